"""From plan to record: the file that a run is begun with, and a rehearsal filled in by the model."""

from collections.abc import Iterator
from typing import Any, Final

from soilx.bench.plan import Plan
from soilx.bench.record_text import record_text
from soilx.chemistry.ions import CALCIUM, ORDER, SODIUM, SULFATE
from soilx.column.leachate import Leachate
from soilx.column.run import Run

_CA, _MG, _NA, _, _SO4, _, _ = range(len(ORDER))


def planned_lines(plan: Plan) -> list[tuple[str, ...]]:
    """What is known before the first portion: key, value, error, arm, replicate, note.

    Parameters
    ----------
    plan : Plan
    """
    scale, soil, state = plan.scale, plan.soil, plan.soil.state
    capacity = soil.cation_exchange_capacity
    water = soil.drained_water
    lines: list[tuple[str, ...]] = [
        ("soil", soil.name),
        ("water", "deionised"),
        ("soil_mass", f"{1000 * scale.soil_mass:g} g", "", "", "", "oven-dry"),
        ("opening", f"{scale.opening / 10:g} cm"),
        ("depth", f"{soil.depth / 10:g} cm", "", "", "", "treated in the field"),
        ("bulk_density", f"{soil.bulk_density:g} kg/L", "", "", "", "in the field"),
        ("initial_water", f"{max(soil.initial_water, soil.drained_water)!r} L/kg", "", "", "", "pre-wetted"),
        ("drained_water", f"{water!r} L/kg"),
        ("cation_exchange_capacity", f"{soil.cation_exchange_capacity!r} mmol_c/kg", "", "", "", "before"),
        (
            "exchangeable_sodium",
            f"{capacity * state.exchanger.na!r} mmol_c/kg",
            "",
            "",
            "",
            "before, by equilibrium",
        ),
        (
            "exchangeable_calcium",
            f"{capacity * state.exchanger.ca!r} mmol_c/kg",
            "",
            "",
            "",
            "before, by equilibrium",
        ),
        ("soluble_sodium", f"{water * state.solution.na!r} mmol_c/kg", "", "", "", "before, by equilibrium"),
        ("soluble_calcium", f"{2 * water * state.solution.ca!r} mmol_c/kg", "", "", "", "before"),
        ("soluble_sulfate", f"{2 * water * state.solution.so4!r} mmol_c/kg", "", "", "", "before"),
        ("product", scale.product.name),
        ("purity", f"{100 * scale.product.purity:.6g} %"),
        ("moisture", f"{100 * scale.product.moisture:.6g} %"),
        ("measured_with", plan.measured_with),
        ("volumes_by", "weight"),
    ]
    for arm in plan.arms:
        dose = plan.product_g if arm.gypsum else 0.0
        lines.append(("dose", f"{dose:.6g} g", f"{plan.resolution_g / 2:g} g", arm.name))
        solution = arm.water.solution
        for name, value in (("sodium", solution.na), ("calcium", solution.ca), ("sulfate", solution.so4)):
            lines.append((f"water_{name}", f"{value!r} mmol/L", "", arm.name))
    return lines


def record_begun(plan: Plan) -> str:
    """Text of the record that a run is begun with: what is known, and no portion yet.

    Parameters
    ----------
    plan : Plan
    """
    return record_text(planned_lines(plan))


def rehearsal(plan: Plan) -> str:
    """Text of a record as the model expects it: for practising before the first drop, never for results.

    Parameters
    ----------
    plan : Plan

    Notes
    -----
    One column of each arm with soil, read without error; "by" says that the model filled it in.
    """
    lines: list[tuple[str, ...]] = [
        ("by", "the model, a rehearsal"),
        ("ec_at_25", "yes"),
        ("sodium_read_on", "filtered"),
    ]
    rows: list[dict[str, str]] = []
    for arm in plan.arms:
        if arm.scenario is None:
            continue
        run = plan.runs[arm.name]
        sodium = run.sodium_on_clay_mg_per_kg / SODIUM.molar_mass
        water = float(run.water_content[-1].mean())
        lines += [
            ("exchangeable_sodium_after", f"{sodium!r} mmol_c/kg", "0 mmol_c/kg", arm.name, "1"),
            ("water_left", f"{water!r} L/kg", "", arm.name),
        ]
        rows += [{"arm": arm.name, **portion} for portion in _portions(run, plan)]
    return record_text([*planned_lines(plan), *lines], rows)


def _portions(run: Run, plan: Plan) -> Iterator[dict[str, str]]:
    """The poured portions of a run; after the pre-wetting each of them drips, in the model."""
    leachate = run.leachate
    for number, at in enumerate(_poured(leachate, plan), start=1):
        ions = leachate.concentrations[:, at]
        yield {
            "replicate": "1",
            "portion": f"{number}",
            "added_ml": f"{plan.portion_ml!r}",
            "volume_ml": f"{plan.scale.millilitres(float(leachate.volume[at]))!r}",
            "ec_ds_per_m": f"{float(leachate.electrical_conductivity[at])!r}",
            "sodium_mg_per_l": f"{float(ions[_NA]) * SODIUM.molar_mass!r}",
            "calcium_mg_per_l": f"{float(ions[_CA]) * CALCIUM.molar_mass!r}",
            "sulfate_mg_per_l": f"{float(ions[_SO4]) * SULFATE.molar_mass!r}",
        }


def _poured(leachate: Leachate, plan: Plan) -> range:
    """Portions of a run's leachate that were poured, what ran out while pre-wetting left aside."""
    return range(leachate.volume.size - plan.portions, leachate.volume.size)


PREDICTED_COLUMNS: Final = (
    "arm",
    "portion",
    "water_ml",
    "pore_volumes",
    "field_mm",
    "ec_ds_per_m",
    "sodium_mg_per_l",
    "sodium_leached_mg",
    "clarity",
)


def predicted_curves(plan: Plan) -> list[dict[str, Any]]:
    """What the model expects of every arm that is run, one mapping a portion, for a chart or a table.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    list of dict
        Keys as in `PREDICTED_COLUMNS`; `water_ml` is poured up to the end of the portion, pre-wetting
        included, and `field_mm` the same on the field. That a column may not drip at all the model does not
        know.
    """
    records: list[dict[str, Any]] = []
    for arm in plan.arms:
        if arm.scenario is None:
            continue
        leachate = plan.runs[arm.name].leachate
        leached = 0.0
        for number, at in enumerate(_poured(leachate, plan), start=1):
            strength = float(leachate.concentrations[_NA, at]) * SODIUM.molar_mass
            leached += float(leachate.volume[at]) * plan.scale.soil_mass * strength
            water = plan.scale.millilitres(float(leachate.applied_pore_volumes[at]) * plan.soil.drained_water)
            records.append(
                {
                    "arm": arm.name,
                    "portion": number,
                    "water_ml": water,
                    "pore_volumes": float(leachate.applied_pore_volumes[at]),
                    "field_mm": plan.scale.water(water, "mm"),
                    "ec_ds_per_m": float(leachate.electrical_conductivity[at]),
                    "sodium_mg_per_l": strength,
                    "sodium_leached_mg": leached,
                    "clarity": str(leachate.clarity[at]),
                }
            )
    return records
