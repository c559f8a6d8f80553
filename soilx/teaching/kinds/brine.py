"""Level 8, water: gypsum for a soil whose sodium is in its water, by the solution of the saturated paste."""

from __future__ import annotations

from typing import Final

from soilx.practice.dose.solution_method import solution_gypsum, solution_requirement
from soilx.teaching.kinds.field_rates import asked_rates, ground_of, t_per_ha
from soilx.teaching.kinds.hand_ratio import ratio_line
from soilx.teaching.kinds.one_beaker import asked_ratio
from soilx.teaching.possible_soil import possible_soil
from soilx.teaching.problem import Level, Problem, Row, Seen, Solution, Told
from soilx.teaching.seeds import Draws
from soilx.teaching.working import Working, shown
from soilx.units import GYPSUM_MOLAR_MASS

_LEAST_TIMES: Final = 1.7
"""SAR over its target, at least: nearer to it the difference of two squares hangs on printed digits."""
_MOST_GYPSUM: Final = 120.0
"""A little more than the published example's, beyond which nobody spreads it [mmol/kg]."""


def _draw(draws: Draws) -> Seen | None:
    found = possible_soil(
        draws,
        esp=("18", "45", "0.5"),
        ec=("6.0", "16.0", "0.5"),
        textures=("sandy loam", "loam", "clay loam"),
        depths=("20", "30", "5"),
    )
    target = float(draws.whole("target", 6, 12))
    treated = draws.grid("treated", "10", "20", "5")
    if found is None or found.report.paste_sar is None or treated >= found.depth_cm:
        return None
    # Where the clay holds more than the water, this is the wrong formula.
    by_method = solution_requirement(found.report, target_sar=target)
    clear = found.report.paste_sar.value >= _LEAST_TIMES * target and by_method.gypsum <= _MOST_GYPSUM
    if not (by_method.applies and clear):
        return None
    return Seen(
        numbers={
            **{symbol.lower(): found.extract[symbol] for symbol in ("Na", "Ca", "Mg")},
            "target": target,
            "saturation": found.saturation_pct,
            "sampled": found.depth_cm,
            "treated": treated,
            "density": found.density,
        },
        report=found.report,
    )


def _tell(seen: Seen) -> Told:
    return Told(
        statement="A pit leaked, and salt water ran into this soil. Much of its sodium is now in the water "
        "between the grains, not on the clay. A published method for such soils gives as much calcium as "
        "would bring the water of the saturated paste down to a target SAR, were all its sodium to stay. "
        "Find the SAR now, and the pure gypsum per hectare by that method. At a given SAR, calcium and "
        "magnesium together are (Na/SAR)² in mmol/L.",
        rows=(
            Row(what="sodium of the saturation extract", value=shown(seen["na"]), unit="meq/L"),
            Row(what="calcium of the saturation extract", value=shown(seen["ca"]), unit="meq/L"),
            Row(what="magnesium of the saturation extract", value=shown(seen["mg"]), unit="meq/L"),
            Row(what="target SAR", value=shown(seen["target"])),
            Row(
                what="water of the saturated paste", value=shown(seen["saturation"]), unit="% of the dry soil"
            ),
            Row(what="sampled depth", value=f"0–{seen['sampled']:g}", unit="cm"),
            Row(what="depth to be treated", value=f"0–{seen['treated']:g}", unit="cm"),
            Row(what="bulk density", value=shown(seen["density"]), unit="kg/L, which is t/m³"),
            Row(what="one mole of gypsum", value=f"{GYPSUM_MOLAR_MASS:.5g} g, one calcium"),
        ),
    )


def _solve(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    sodium, target = seen["na"], seen["target"]
    sar = ratio_line(work, na=sodium, ca=seen["ca"], mg=seen["mg"], answers="sar", what="SAR now")
    wanted = work.line(
        "calcium and magnesium at the target",
        f"({shown(sodium)} / {shown(target)})²",
        (sodium / target) ** 2,
        "mmol/L",
    )
    there = work.line(
        "calcium and magnesium now", f"({shown(sodium)} / {shown(sar)})²", (sodium / sar) ** 2, "mmol/L"
    )
    percent = seen["saturation"]
    # A paste of 100 % holds a litre for each kilogram.
    per_litre = solution_gypsum(sodium=sodium, sar=sar, target_sar=target, saturation_pct=100.0)
    litre = work.line(
        "gypsum for a litre of the paste's water",
        f"({shown(wanted)} − {shown(there)}) × {GYPSUM_MOLAR_MASS:.5g} / 1000",
        per_litre * GYPSUM_MOLAR_MASS / 1000.0,
        "g/L",
    )
    if work.made("E3"):
        grams, how = litre, f"{shown(litre)}, as it stands"
    elif work.made("A6"):
        grams, how = litre * percent, f"{shown(litre)} × {shown(percent)}"
    else:
        per_kg = solution_gypsum(sodium=sodium, sar=sar, target_sar=target, saturation_pct=percent)
        grams, how = per_kg * GYPSUM_MOLAR_MASS / 1000.0, f"{shown(litre)} × {shown(percent / 100.0)}"
    work.line("gypsum in a kilogram of soil", how, grams, "g/kg")
    depth = seen["sampled"] if work.made("E2") else seen["treated"]
    soil = work.line(
        "soil on a hectare",
        f"100 × {shown(depth)} × {shown(seen['density'])}",
        100.0 * depth * seen["density"],
        "t",
    )
    pure = t_per_ha(grams, ground_of(depth, seen["density"]))
    work.line("pure gypsum", f"{shown(grams)} × {shown(soil)} / 1000", pure, "t/ha", answers="pure")
    return work.solution


BRINE_GYPSUM: Final = Problem(
    number=22,
    key="brine-gypsum",
    title="Gypsum where the sodium is in the water",
    level=Level.WATER,
    confronts="Not all sodium is on the clay: after a brine much is in the water, and the clay's formula "
    "misses it.",
    mistakes=("A1", "A2", "E2", "E3", "A6"),
    sometimes=("E11",),
    sources=("ashworth1999",),
    draw=_draw,
    tell=_tell,
    asked=lambda seen: (asked_ratio("SAR of the saturation extract now"), asked_rates(seen)[0]),
    solve=_solve,
)
