"""A programme as records: by application, by year, every path, and everything in one."""

from typing import Any, Final

from soilx.practice.seasons.programme import Programme
from soilx.practice.seasons.programme_columns import IN_WATER, NOTHING, TREATED
from soilx.practice.seasons.programme_followup import kept_until, monitoring, when_to_stop
from soilx.practice.seasons.season_run import EspPath
from soilx.practice.seasons.visits import months_later
from soilx.units import Kind, express
from soilx.wording import (
    CAUTION_BYPRODUCT,
    CAUTION_DUST,
    CAUTION_LEACHATE,
    CAUTION_LIVESTOCK,
    CAUTION_NUTRIENTS,
    CAUTION_RATE,
    COMMON_PRACTICE_MEANS,
    MODEL_LEAVES_OUT,
)

CAUTIONS: Final = (
    CAUTION_RATE,
    CAUTION_DUST,
    CAUTION_BYPRODUCT,
    CAUTION_LEACHATE,
    CAUTION_NUTRIENTS,
    CAUTION_LIVESTOCK,
)

_AFTER_LAST: Final = 3
"""Months after the last visit at which its effect is read."""


def by_application(programme: Programme) -> list[dict[str, Any]]:
    """One record a visit: what is spread, and ESP before it and when the next one comes.

    Parameters
    ----------
    programme : Programme

    Returns
    -------
    list of dict
        The plan's own record with `esp_before_pct`, `esp_after_pct`, `low_pct`, `high_pct` and
        `untreated_esp_pct`; after the last visit the record of three months later is read, or the last one.
    """
    visits, run = programme.plan.visits, programme.run
    treated, nothing = programme.path(TREATED), programme.path(NOTHING)
    ends = [visit.day for visit in visits[1:]]
    ends.append(min(months_later(visits[-1].day, _AFTER_LAST), run.days[-1]))
    return [
        {
            **row,
            "esp_before_pct": float(treated.esp_pct[run.row(visit.day)]),
            "read_on": run.days[run.row(end)].isoformat(),
            "esp_after_pct": float(treated.esp_pct[run.row(end)]),
            **_band(treated, run.row(end)),
            "untreated_esp_pct": float(nothing.esp_pct[run.row(end)]),
        }
        for row, visit, end in zip(programme.plan.rows(), visits, ends, strict=True)
    ]


def by_year(programme: Programme) -> list[dict[str, Any]]:
    """One record a year, the start first: gypsum so far, ESP of every column, and what the water did.

    Parameters
    ----------
    programme : Programme
    """
    run, plan = programme.run, programme.plan
    paths = {name: programme.path(name) for name in programme.columns}
    gain = programme.gain_pct
    treated = run.column(TREATED)
    records = []
    for year, row in enumerate(run.year_rows()):
        day = run.days[row]
        spread = sum(visit.gypsum for visit in plan.visits if visit.day < day)
        records.append(
            {
                "year": year,
                "date": day.isoformat(),
                "pure_t_per_ha": express(spread, Kind.GYPSUM_RATE, "t/ha", ground=plan.ground),
                "esp_pct": {name: float(path.esp_pct[row]) for name, path in paths.items()},
                **_band(paths[TREATED], row),
                **_band(paths[NOTHING], row, head="untreated_"),
                "gain_pct": float(gain.esp_pct[row]),
                **_band(gain, row, head="gain_"),
                "conductivity_ds_per_m": float(run.conductivity[row, treated]),
                **{f"{name}_mm": float(depth[row, treated]) for name, depth in run.ledger.items()},
            }
        )
    return records


def cautions_of(programme: Programme) -> tuple[str, ...]:
    """What to print with a programme; livestock where stock may graze the cover."""
    grazed = programme.run.water.cover.name in ("pasture", "field crop")
    return tuple(caution for caution in CAUTIONS if grazed or caution != CAUTION_LIVESTOCK)


def notes_of(programme: Programme) -> tuple[str, ...]:
    """Sentences that belong beside every figure of a programme."""
    run = programme.run
    unmet = float(run.unmet[run.column(NOTHING)])
    asked = unmet + float(run.ledger["evapotranspiration"][-1, run.column(NOTHING)])
    share = run.water.share_from(programme.soil.depth)
    band = (
        f"band: range of {programme.draws} draws of soil tests, selectivities, weather and water, and of the "
        f"path itself; another draw lies within it in {programme.draws - 1} of {programme.draws + 1} cases"
        if programme.draws
        else "no band was drawn"
    )
    notes = [
        *run.water.notes,
        f"{100 * share:.3g} % of the evapotranspiration comes from the column's "
        f"{programme.soil.depth:g} mm †",
        *programme.plan.notes,
        *programme.remarks,
        band,
        "the ground holds its drained water when the programme begins, as after rain",
        "ESP is as a soil test would find it, at drained water and without solid gypsum",
        "lime and weathering are left out: after a wet season the model's soil water is as pure as the rain",
        COMMON_PRACTICE_MEANS,
        MODEL_LEAVES_OUT,
    ]
    if unmet > 0:
        notes.append(
            f"{unmet:.3g} mm of the {asked:.4g} mm of evapotranspiration asked of untreated ground were not "
            f"there above its driest water, {programme.soil.driest_water:.3g} L/kg: plants went short"
        )
    return tuple(notes)


def outcome(programme: Programme) -> str:
    """What becomes of the target, in one sentence."""
    target, floor = programme.target_esp_pct, programme.floor_esp_pct
    path = programme.path(TREATED)
    least = int(path.esp_pct.argmin())
    reached, lost = kept_until(programme)
    below = f"; below the water's floor of {floor:.1f} it is not kept" if _is_below(target, floor) else ""
    if target is None:
        return (
            f"ESP goes from {path.esp_pct[0]:.1f} to {path.esp_pct[-1]:.1f} in {programme.run.years} years, "
            f"lowest at {path.esp_pct[least]:.1f} on {path.days[least]}"
        )
    if reached is None:
        return (
            f"the target of {target:g} is not reached in {programme.run.years} years: ESP is lowest at "
            f"{path.esp_pct[least]:.1f} on {path.days[least]}{below}"
        )
    if lost is None:
        return f"the target of {target:g} is reached by {reached} and kept to the end, {path.days[-1]}{below}"
    return f"the target of {target:g} is reached by {reached} and lost again by {lost}{below}"


def summary(programme: Programme) -> dict[str, Any]:
    """Everything of a programme by name, units in the names, ready for JSON."""
    plan, run = programme.plan, programme.run
    return {
        "soil": programme.soil.name,
        "target_esp_pct": programme.target_esp_pct,
        "outcome": outcome(programme),
        "floor_esp_pct": programme.floor_esp_pct,
        "concentrated_floor_esp_pct": programme.concentrated_floor_esp_pct,
        "floor_with_gypsum_in_water_esp_pct": programme.floor_with_gypsum_esp_pct,
        "placement": plan.placement,
        "pure_t_per_ha": express(plan.total, Kind.GYPSUM_RATE, "t/ha", ground=plan.ground),
        "by_application": by_application(programme),
        "by_year": by_year(programme),
        "gypsum_in_water": (
            {
                "mmol_c_per_l": 2 * programme.carried,
                "pure_kg_per_ha_a_year": programme.gypsum_in_water_kg_per_ha,
                "final_esp_pct": float(programme.path(IN_WATER).esp_pct[-1]),
            }
            if IN_WATER in programme.columns
            else None
        ),
        "monitoring": [
            {
                "date": test.day.isoformat(),
                "why": test.why,
                "esp_pct": test.expected_esp_pct,
                "low_pct": test.low_pct,
                "high_pct": test.high_pct,
                "untreated_esp_pct": test.untreated_esp_pct,
                "shows": test.shows,
                "label": test.label,
            }
            for test in monitoring(programme)
        ],
        "stop": [
            {"date": stop.day.isoformat(), "rule": stop.rule, "number": stop.number, "why": stop.sentence}
            for stop in when_to_stop(programme)
        ],
        "practice": [{"what": what, "label": label} for what, label in plan.practice],
        "largest_closing_error": float(abs(run.closing_error).max()),
        "notes": list(notes_of(programme)),
        "cautions": list(cautions_of(programme)),
    }


def _band(path: EspPath, row: int, *, head: str = "") -> dict[str, float | None]:
    return {
        f"{head}low_pct": None if path.low_pct is None else float(path.low_pct[row]),
        f"{head}high_pct": None if path.high_pct is None else float(path.high_pct[row]),
    }


def _is_below(target: float | None, floor: float | None) -> bool:
    return target is not None and floor is not None and target < floor
