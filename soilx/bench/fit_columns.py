"""The columns of a bench record as scenarios: soil, dose, water and cups as they were on the bench."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import pi
from typing import Final

from soilx.bench.fit_soil import soil_by_totals
from soilx.bench.record import Portion, Record
from soilx.column.dispersion import DEFAULT_LAYERS
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.column.water import DEIONISED, LEAST_CHARGE, Water

BENCH_DISPERSIVITY: Final = 1.0
"""Dispersivity of a column packed by hand [mm]; common practice, no published source."""
USUAL_LAYERS: Final = 6
"""Where the depth of the soil in its container is not known."""

_BLANKS = ("blank", "gypsum blank")
_PURE = ("deionised", "distilled", "deionised water", "distilled water")


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchColumn:
    """One column of a record that dripped.

    Attributes
    ----------
    arm, replicate : str, int
    scenario : Scenario
        Soil before the fit, dose, and one wetting for each portion that dripped: as much water as the cup
        caught, the first also what fills the column up.
    portions : tuple of Portion
        Those that dripped, in order.
    kept_ml, filling_ml : float or None, float
        Water poured up to the first portion that dripped, less what that gave, by the record; and what the
        drained water of its soil is more than the initial one.
    """

    arm: str
    replicate: int
    scenario: Scenario
    portions: tuple[Portion, ...]
    kept_ml: float | None
    filling_ml: float

    @property
    def name(self) -> str:
        """Arm and replicate, as on a label."""
        return f"{self.arm} {self.replicate}"


def bench_columns(
    record: Record, soil: Soil, *, waters: Mapping[str, Water], layers: int | None
) -> tuple[list[BenchColumn], list[str], list[str]]:
    """Columns of a record, what of it is left out and why, and what was taken for granted.

    Parameters
    ----------
    record : Record
    soil : Soil
        Before the run.
    waters : mapping of str to Water
        By arm, where it is not the record's.
    layers : int or None
        Of the column that is run; by `layers_of_bench` where None.

    Raises
    ------
    SoilxError
        If the record lacks the soil's mass, or something in it cannot be.
    """
    held = _bench_soil(record, soil)
    columns: list[BenchColumn] = []
    left_out: list[str] = []
    notes: list[str] = []
    if layers is None:
        layers, why = layers_of_bench(record, soil)
        notes.append(why)
    for arm in record.arms.values():
        if arm.name in _BLANKS:
            left_out.append(f"arm {arm.name}: holds no soil.")
            continue
        water = waters.get(arm.name) or _water(record, arm.name)
        if water is None:
            left_out.append(
                f"arm {arm.name}: what was dissolved in its water is not in the record; give its water."
            )
            continue
        for replicate, portions in arm.replicates.items():
            name = f"{arm.name} {replicate}"
            usable, why = _usable(portions)
            if why:
                left_out.append(f"{name}, {why}.")
            dripping = tuple(portion for portion in usable if portion.volume_ml > 0)
            if not dripping:
                left_out.append(f"{name}: nothing dripped, so that it says nothing about what leaches.")
                continue
            gypsum = _pure_gypsum(record, arm.name, replicate, notes)
            scenario = _scenario(record, held, water, gypsum, title=name, portions=dripping, layers=layers)
            columns.append(
                BenchColumn(
                    arm=arm.name,
                    replicate=replicate,
                    scenario=scenario,
                    portions=dripping,
                    kept_ml=_kept(usable),
                    filling_ml=1000 * (held.drained_water - held.initial_water) * record.soil_mass,
                )
            )
            if any(portion.hours is None for portion in dripping):
                notes.append(f"{name}: times are not all written down; 24 h a pore volume taken there.")
    return columns, left_out, list(dict.fromkeys(notes))


def layers_of_bench(record: Record, soil: Soil) -> tuple[int, str]:
    """Stirred layers that disperse as a packed bench column does, and the sentence that says so.

    Notes
    -----
    N = L/4α with half of each layer's water displaced a step; L from the soil's mass and bulk density and the
    opening of the container, α of a packed column as in `BENCH_DISPERSIVITY`.
    """
    opening = record.known("opening")
    if opening is None:
        return USUAL_LAYERS, f"{USUAL_LAYERS} layers: the width of the container is not in the record."
    density = record.known("bulk_density")
    # 1 kg/L over 1 mm² is 1e-6 kg a mm
    area = pi * opening.value**2 / 4
    depth = 1e6 * record.soil_mass / ((soil.bulk_density if density is None else density.value) * area)
    layers = round(min(max(depth / (4 * BENCH_DISPERSIVITY), 1), DEFAULT_LAYERS))
    return layers, (
        f"{layers} layer(s): the soil is about {depth:.2g} mm deep in the container, and a packed column "
        f"disperses over about {BENCH_DISPERSIVITY:g} mm (common practice)."
    )


def _bench_soil(record: Record, soil: Soil) -> Soil:
    """The soil with the record's own water contents, where it has them."""
    initial, drained = record.known("initial_water"), record.known("drained_water")
    waters = (
        soil.initial_water if initial is None else initial.value,
        soil.drained_water if drained is None else drained.value,
    )
    if waters == (soil.initial_water, soil.drained_water):
        return soil
    return soil_by_totals(soil, name=soil.name, initial_water=waters[0], drained_water=waters[1])


def _usable(portions: tuple[Portion, ...]) -> tuple[tuple[Portion, ...], str]:
    """Portions before the first one that is missing, and what was cut off."""
    numbers = [portion.number for portion in portions]
    gap = next((n for n, number in enumerate(numbers, start=1) if number != n), None)
    why = ""
    if gap is not None:
        why = (
            f"from portion {gap} on: portion {gap} is not in the record, so that nobody knows how much water "
            "had gone before the next one"
        )
        portions = portions[: gap - 1]
    return portions, why


def _kept(portions: tuple[Portion, ...]) -> float | None:
    """Water poured up to the first portion that dripped, less what that gave; None where not written [mL]."""
    poured = 0.0
    for portion in portions:
        if portion.added_ml is None:
            return None
        poured += portion.added_ml
        if portion.volume_ml > 0:
            break
    return poured - portion.volume_ml


def _water(record: Record, arm: str) -> Water | None:
    """Water of an arm by the record's own words and numbers; None where they do not say enough."""
    known = {ion: record.known(f"water_{ion}", arm=arm) for ion in ("sodium", "calcium", "sulfate")}
    if any(value is not None for value in known.values()):
        na, ca, so4 = (0.0 if value is None else value.value for value in known.values())
        # a simple salt: chloride is what charge leaves
        chloride = na + 2 * ca - 2 * so4
        if chloride < 0 or arm == "irrigation water":
            return None
        if na + 2 * ca < LEAST_CHARGE:
            return DEIONISED
        return Water.of(
            name=f"water of {arm}",
            sodium=f"{na!r} mmol/L",
            calcium=f"{ca!r} mmol/L",
            sulfate=f"{so4!r} mmol/L",
            chloride=f"{chloride!r} mmol/L",
        )
    if arm in ("control", "gypsum") and record.words.get("water", "deionised").lower() in _PURE:
        return DEIONISED
    return None


def _pure_gypsum(record: Record, arm: str, replicate: int, notes: list[str]) -> float:
    """Pure gypsum put into a column [g/kg]."""
    dose = record.known("dose", arm=arm, replicate=replicate)
    if dose is None:
        if arm == "gypsum":
            record.needed("dose", arm=arm, replicate=replicate, why="the gypsum arm got some")
        return 0.0
    purity = record.known("purity", arm=arm, replicate=replicate)
    moisture = record.known("moisture", arm=arm, replicate=replicate)
    if dose.value > 0 and purity is None:
        notes.append("purity of the product is not in the record: taken as pure.")
    if dose.value > 0 and moisture is None:
        notes.append("moisture of the product is not in the record: taken as dry.")
    share = (1.0 if purity is None else purity.value) * (1.0 if moisture is None else 1 - moisture.value)
    return 1000 * dose.value * share / record.soil_mass


def _scenario(
    record: Record,
    soil: Soil,
    water: Water,
    gypsum: float,
    *,
    title: str,
    portions: tuple[Portion, ...],
    layers: int | None,
) -> Scenario:
    mass = record.soil_mass
    wettings: list[dict[str, object]] = []
    begun = 0.0
    amount = soil.drained_water - soil.initial_water
    for portion in portions:
        amount += portion.volume_ml / 1000 / mass
        wetting: dict[str, object] = {"amount": f"{amount!r} L/kg", "water": water, "collect": "1"}
        if portion.hours is not None and portion.hours > begun:
            wetting["hours"] = f"{portion.hours - begun!r} h"
            begun = portion.hours
        wettings.append(wetting)
        amount = 0.0
    stack = {} if layers is None else {"layers": layers}
    return Scenario.of(
        soil,
        gypsum=f"{gypsum!r} g/kg",
        wettings=wettings,
        soil_mass=f"{mass!r} kg",
        title=title,
        **stack,
    )
