"""Level 6, column: the least gypsum, and the least water, found on the live column."""

from __future__ import annotations

from typing import Final

from soilx.column.scenario import Scenario
from soilx.errors import SoilxError
from soilx.practice.dose.requirement_column import least_gypsum, least_water
from soilx.teaching.kinds.gypsum_amounts import gypsum_line, solubility
from soilx.teaching.possible_soil import PossibleSoil, possible_soil
from soilx.teaching.problem import MANY_STEPS, Asked, Level, Problem, Row, Seen, Solution, Told
from soilx.teaching.seeds import Draws
from soilx.teaching.working import Working, printed, shown
from soilx.units import GYPSUM_MOLAR_MASS, Kind

_TEXTURES: Final = ("sandy loam", "loam", "clay loam")
_WATER_ALONE: Final = 1.25
"""Water alone has to leave the ESP so much above the target, or gypsum would not be the question."""


def _numbers(found: PossibleSoil, target: float) -> dict[str, float]:
    return {
        "capacity": found.capacity,
        "esp": printed(found.soil.exchangeable_sodium_percentage, 1),
        "target": target,
        "depth": found.depth_cm,
        "density": found.density,
        "water": printed(found.soil.drained_water, 3),
    }


def _soil_rows(seen: Seen) -> tuple[Row, ...]:
    return (
        Row(what="cation exchange capacity", value=shown(seen["capacity"]), unit="cmol_c/kg"),
        Row(what="ESP now", value=shown(seen["esp"]), unit="%"),
        Row(what="target ESP, mean of the column", value=shown(seen["target"]), unit="%"),
        Row(what="depth of the column", value=shown(seen["depth"]), unit="cm"),
        Row(what="bulk density", value=shown(seen["density"]), unit="kg/L"),
        Row(what="one pore volume", value=shown(seen["water"]), unit="L of water per kg of soil"),
    )


def _draw_gypsum(draws: Draws) -> Seen | None:
    found = possible_soil(draws, esp=("18", "38", "0.5"), textures=_TEXTURES)
    target = float(draws.whole("target", 5, 10))
    volumes = draws.grid("pore_volumes", "3", "6", "0.5")
    if found is None:
        return None
    scenario = Scenario.of(found.soil, wettings=[f"{volumes!r} pore_volume"], title="least gypsum")
    try:
        least = least_gypsum(scenario, target_esp_pct=target)
    except SoilxError:
        return None
    if least.untreated_esp_pct is None or least.untreated_esp_pct < _WATER_ALONE * target:
        return None
    grams = least.gypsum * GYPSUM_MOLAR_MASS / 1000.0
    return Seen(
        numbers={**_numbers(found, target), "volumes": volumes, "least": grams},
        report=found.report,
        scenario=scenario,
    )


def _tell_gypsum(seen: Seen) -> Told:
    return Told(
        statement=f"Move the gypsum on the live column. {seen['volumes']:g} pore volumes of deionised water "
        "run through it, and the gypsum is mixed in. Find the least gypsum with which the column's mean ESP "
        "ends at the target or below it. First say what the hand formula would give; then look by how much "
        "it is off.",
        rows=(*_soil_rows(seen), Row(what="water", value=f"{seen['volumes']:g}", unit="pore volumes")),
    )


def _asked_gypsum(seen: Seen) -> tuple[Asked, ...]:
    ground = None if seen.scenario is None else seen.scenario.soil.ground
    return (
        Asked(
            key="gypsum",
            words="least pure gypsum",
            kind=Kind.GYPSUM_RATE,
            unit="g/kg",
            tolerance=MANY_STEPS,
            ground=ground,
        ),
    )


def _solve_gypsum(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    by_hand = gypsum_line(
        work, capacity=seen["capacity"], esp=seen["esp"], target=seen["target"], what="the hand formula"
    )
    if work.made("A14", "A5", "M5"):
        work.line("least gypsum", "the hand formula's", by_hand, "g/kg", answers="gypsum")
    else:
        how = f"on the column, {shown(seen['least'] / by_hand, 3)} times the hand formula"
        work.line("least gypsum", how, seen["least"], "g/kg", answers="gypsum")
    return work.solution


LEAST_GYPSUM: Final = Problem(
    number=12,
    key="least-gypsum",
    title="The least gypsum that reaches the target",
    level=Level.COLUMN,
    confronts="Exchange does not go to completion: some calcium leaves with the water.",
    mistakes=("A14",),
    sometimes=("A5", "M5"),
    sources=("frenkel1989",),
    draw=_draw_gypsum,
    tell=_tell_gypsum,
    asked=_asked_gypsum,
    solve=_solve_gypsum,
)


def _draw_water(draws: Draws) -> Seen | None:
    found = possible_soil(draws, esp=("18", "38", "0.5"), textures=_TEXTURES)
    target = float(draws.whole("target", 7, 12))
    times = draws.grid("times", "1.5", "2.5", "0.25")
    if found is None:
        return None
    esp = found.soil.exchangeable_sodium_percentage
    charge = 10.0 * (esp - target) / 100.0 * found.capacity
    grams = printed(times * charge * GYPSUM_MOLAR_MASS / 2000.0, 1)
    try:
        scenario = Scenario.of(
            found.soil, gypsum=f"{grams!r} g/kg", wettings=["6 pore_volume"], title="least water"
        )
        least = least_water(scenario, target_esp_pct=target)
    except SoilxError:
        return None
    if not 0.8 <= least.pore_volumes <= 12.0:
        return None
    return Seen(
        numbers={**_numbers(found, target), "grams": grams, "least": least.pore_volumes},
        report=found.report,
        scenario=scenario,
    )


def _tell_water(seen: Seen) -> Told:
    litre = solubility() * GYPSUM_MOLAR_MASS / 1000.0
    return Told(
        statement="Move the water on the live column. Gypsum is mixed in; deionised water runs through. Find "
        "the least water, in pore volumes, with which the column's mean ESP ends at the target or below it.",
        rows=(
            *_soil_rows(seen),
            Row(what="pure gypsum, mixed in", value=shown(seen["grams"]), unit="g/kg"),
            Row(what="a litre of pure water dissolves", value=f"{litre:.3g}", unit="g of gypsum"),
        ),
    )


def _asked_water(seen: Seen) -> tuple[Asked, ...]:
    ground = None if seen.scenario is None else seen.scenario.soil.ground
    return (
        Asked(
            key="water",
            words="least water",
            kind=Kind.WATER,
            unit="pore_volume",
            tolerance=MANY_STEPS,
            ground=ground,
        ),
    )


def _solve_water(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    litre = solubility() * GYPSUM_MOLAR_MASS / 1000.0
    dissolving = work.line(
        "pure water that dissolves the gypsum",
        f"{shown(seen['grams'])} / {litre:.3g} / {shown(seen['water'])}",
        seen["grams"] / litre / seen["water"],
        "pore volumes",
    )
    if work.made("A15"):
        work.line("least water", "that water", dissolving, "pore volumes", answers="water")
    else:
        how = "on the column, where the clay takes up calcium as it dissolves"
        work.line("least water", how, seen["least"], "pore volumes", answers="water")
    return work.solution


LEAST_WATER: Final = Problem(
    number=13,
    key="least-water",
    title="The least water that reaches the target",
    level=Level.COLUMN,
    confronts="More water is not always better: the clay takes calcium out of the water, so that gypsum "
    "works in much less of it than a jar would need.",
    mistakes=("A15",),
    sources=("frenkel1989",),
    draw=_draw_water,
    tell=_tell_water,
    asked=_asked_water,
    solve=_solve_water,
)
