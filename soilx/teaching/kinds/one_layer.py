"""Level 5, one stirred layer: one portion of leaching by hand."""

from __future__ import annotations

from typing import Final

from soilx.chemistry.ions import SODIUM
from soilx.column.leaching import leach
from soilx.column.scenario import Scenario
from soilx.teaching.possible_soil import possible_soil
from soilx.teaching.problem import Asked, Level, Problem, Row, Seen, Solution, Told
from soilx.teaching.seeds import Draws
from soilx.teaching.working import Working, printed, shown
from soilx.units import Kind

_SHARES: Final = ("0.2", "0.25", "0.4", "0.5")
"""Of a pore volume, in one portion."""


def _draw(draws: Draws) -> Seen | None:
    found = possible_soil(draws, ec=("2.0", "9.0", "0.1"))
    share = float(draws.choice("share", _SHARES))
    if found is None:
        return None
    soil = found.soil
    scenario = Scenario.of(
        soil, layers=1, displaced_fraction=share, wettings=[f"{share!r} pore_volume"], title="one portion"
    )
    run = leach(scenario)
    sodium = float(run.leachate.concentrations[2, 0])
    return Seen(
        numbers={
            "sodium": printed(sodium, 1),
            "water": soil.drained_water,
            "share": share,
            "total": printed(run.sodium_initial_mg_per_kg),
            "density": found.density,
        },
        report=found.report,
        scenario=scenario,
    )


def _tell(seen: Seen) -> Told:
    return Told(
        statement="One layer of soil is as wet as it is when drained: that water is one pore volume. "
        f"{seen['share']:g} of a pore volume of pure water is poured on. As much of the soil's own "
        "water drains out, before anything else has time to happen. How much sodium leaves with it, and how "
        "much is left in the soil, on the clay and in the water together? Both per kilogram of soil.",
        rows=(
            Row(what="sodium in the soil's water", value=shown(seen["sodium"]), unit="mmol/L"),
            Row(what="one pore volume", value=shown(seen["water"]), unit="L of water per kg of soil"),
            Row(what="poured on", value=f"{seen['share']:g}", unit="pore volume"),
            Row(
                what="sodium in the soil, on the clay and in the water",
                value=shown(seen["total"]),
                unit="mg/kg",
            ),
            Row(what="bulk density", value=shown(seen["density"]), unit="kg/L"),
            Row(what="one mole of sodium", value=f"{SODIUM.molar_mass:.4g} g"),
        ),
    )


def _asked(_: Seen) -> tuple[Asked, ...]:
    return (
        Asked(key="leached", words="sodium that leaves", kind=Kind.SOIL_CONTENT, unit="mg/kg", ion=SODIUM),
        Asked(key="left", words="sodium that is left", kind=Kind.SOIL_CONTENT, unit="mg/kg", ion=SODIUM),
    )


def _solve(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    milligrams = work.line(
        "sodium in the water",
        f"{shown(seen['sodium'])} × {SODIUM.molar_mass:.4g}",
        seen["sodium"] * SODIUM.molar_mass,
        "mg/L",
    )
    if work.made("M11"):
        volume, how = 1.0 / seen["density"], f"{seen['share']:g} × 1 / {shown(seen['density'])}"
    else:
        volume, how = seen["water"], f"{seen['share']:g} × {shown(seen['water'])}"
    drained = work.line("water that drains", how, seen["share"] * volume, "L/kg")
    if work.made("E3"):
        leached = work.line(
            "sodium that leaves", f"{shown(milligrams)}, as it stands", milligrams, "mg/kg", answers="leached"
        )
    else:
        leached = work.line(
            "sodium that leaves",
            f"{shown(milligrams)} × {shown(drained)}",
            milligrams * drained,
            "mg/kg",
            answers="leached",
        )
    work.line(
        "sodium that is left",
        f"{shown(seen['total'])} − {shown(leached)}",
        seen["total"] - leached,
        "mg/kg",
        answers="left",
    )
    return work.solution


ONE_PORTION: Final = Problem(
    number=10,
    key="one-portion",
    title="One portion of leaching, by hand",
    level=Level.ONE_STIRRED_LAYER,
    confronts="A pore volume is water, not soil, and most of the sodium is not in the water.",
    mistakes=("E3", "M11"),
    sources=("arithmetic",),
    draw=_draw,
    tell=_tell,
    asked=_asked,
    solve=_solve,
)
