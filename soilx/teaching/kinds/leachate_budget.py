"""Level 6, column: the sodium of a bench column, from what its cups caught."""

from __future__ import annotations

from typing import Final

from soilx.chemistry.ions import SODIUM
from soilx.column.leaching import leach
from soilx.column.scenario import Scenario
from soilx.errors import SoilxError
from soilx.teaching.possible_soil import possible_soil
from soilx.teaching.problem import SEVERAL_STEPS, Asked, Level, Problem, Row, Seen, Solution, Told
from soilx.teaching.seeds import Draws
from soilx.teaching.working import Working, printed, shown
from soilx.units import Kind

CUPS: Final = 5
_PARTS: Final = 12
_SIZES: Final = ("1 1 2 3 5", "1 2 2 3 4", "2 1 2 2 5", "1 1 3 3 4")
"""Cups in twelfths of the water: small ones first, as a bench catches them."""


def _draw(draws: Draws) -> Seen | None:
    found = possible_soil(draws, esp=("15", "35", "0.5"))
    dose = draws.grid("dose", "1.0", "5.0", "0.5")
    volumes = draws.grid("pore_volumes", "2", "4", "0.5")
    soil_g = draws.grid("soil", "100", "250", "50")
    sizes = [int(size) for size in draws.choice("cups", _SIZES).split()]
    if found is None:
        return None
    try:
        scenario = Scenario.of(
            found.soil,
            gypsum=f"{dose!r} g/kg",
            wettings=[f"{volumes!r} pore_volume"],
            collect=_PARTS,
            soil_mass=f"{soil_g!r} g",
            title="bench column",
        )
        run = leach(scenario)
    except SoilxError:
        return None
    numbers = {"soil": soil_g, "total": printed(run.sodium_initial_mg_per_kg), "dose": dose}
    volumes_caught, sodium = run.leachate.volume, run.leachate.concentrations[2]
    first = 0
    for cup, size in enumerate(sizes, start=1):
        part = slice(first, first + size)
        volume = float(volumes_caught[part].sum())
        mean = float((volumes_caught[part] * sodium[part]).sum()) / volume * SODIUM.molar_mass
        numbers[f"ml{cup}"] = printed(volume * soil_g, 1)
        numbers[f"na{cup}"] = printed(mean, 0 if mean >= 100.0 else 1)
        first += size
    # As printed, the cups must still tell what the column did.
    off = abs(_out(numbers) - run.sodium_leached_mg_per_kg)
    if off > 0.25 * SEVERAL_STEPS * run.sodium_left_mg_per_kg or numbers["na5"] < 5.0:
        return None
    return Seen(numbers=numbers, report=found.report, scenario=scenario)


def _out(numbers: dict[str, float]) -> float:
    """Sodium in all cups [mg/kg of soil]."""
    milligrams = sum(numbers[f"ml{cup}"] * numbers[f"na{cup}"] / 1000.0 for cup in range(1, CUPS + 1))
    return 1000.0 * milligrams / numbers["soil"]


def _tell(seen: Seen) -> Told:
    return Told(
        statement="A column of sodic soil with gypsum is leached with deionised water. What drained was "
        "caught in five cups, and its sodium was measured. How much sodium is still in the column, on the "
        "clay and in the water together, per kilogram of soil?",
        rows=(
            Row(what="oven-dry soil in the column", value=shown(seen["soil"]), unit="g"),
            Row(what="sodium in the soil before, in all", value=shown(seen["total"]), unit="mg/kg"),
            *(
                Row(what=f"cup {cup}, {what}", value=shown(seen[f"{key}{cup}"]), unit=unit)
                for cup in range(1, CUPS + 1)
                for what, key, unit in (("volume", "ml", "mL"), ("sodium", "na", "mg/L"))
            ),
        ),
    )


def _asked(_: Seen) -> tuple[Asked, ...]:
    words = (("leached", "sodium that came out"), ("left", "sodium that is left"))
    return tuple(
        Asked(key=key, words=said, kind=Kind.SOIL_CONTENT, unit="mg/kg", ion=SODIUM) for key, said in words
    )


def _solve(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    cups = range(1, CUPS + 1)
    if work.made("A8"):
        litres, mean = sum(seen[f"ml{cup}"] for cup in cups) / 1000.0, sum(seen[f"na{cup}"] for cup in cups)
        mean /= CUPS
        caught = work.line("sodium in the cups", f"{shown(litres)} × {shown(mean)}", litres * mean, "mg")
    elif work.made("E3"):
        how = " + ".join(shown(seen[f"na{cup}"]) for cup in cups)
        caught = work.line("sodium in the cups", how, sum(seen[f"na{cup}"] for cup in cups), "mg")
    else:
        parts = [seen[f"ml{cup}"] / 1000.0 * seen[f"na{cup}"] for cup in cups]
        how = " + ".join(f"{shown(seen[f'ml{cup}'] / 1000.0)} × {shown(seen[f'na{cup}'])}" for cup in cups)
        caught = work.line("sodium in the cups", how, sum(parts), "mg")
    if work.made("A7", "E3"):
        out = work.line(
            "sodium that came out", f"{shown(caught)}, as it stands", caught, "mg/kg", answers="leached"
        )
    else:
        soil = seen["soil"] / 1000.0
        how = f"{shown(caught)} / {shown(soil)} kg"
        out = work.line("sodium that came out", how, caught / soil, "mg/kg", answers="leached")
    how = f"{shown(seen['total'])} − {shown(out)}"
    work.line("sodium that is left", how, seen["total"] - out, "mg/kg", answers="left")
    return work.solution


LEACHATE_BUDGET: Final = Problem(
    number=11,
    key="leachate-budget",
    title="What the cups caught, and what is left",
    level=Level.COLUMN,
    confronts="Clear water is no proof: only the account of the sodium tells what is left.",
    mistakes=("A7", "A8"),
    sometimes=("E3",),
    sources=("arithmetic",),
    draw=_draw,
    tell=_tell,
    asked=_asked,
    solve=_solve,
)
