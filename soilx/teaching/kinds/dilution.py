"""Level 3, dilution: what more water does to the ratio, to the clay, and to a conductivity."""

from __future__ import annotations

from typing import Final

from soilx.chemistry.conductivity import electrical_conductivity
from soilx.practice.estimate import Estimate
from soilx.practice.judgement.thresholds import US
from soilx.practice.soil_test.extracts import slavich_petterson_factor
from soilx.teaching.kinds.hand_ratio import SELECTIVITY_ROW, ratio_line, share_lines
from soilx.teaching.kinds.one_beaker import LEAST_PRINTED, WIDE_WATER, asked_esp, asked_ratio
from soilx.teaching.possible_soil import possible_soil
from soilx.teaching.problem import Asked, Level, Problem, Row, Seen, Solution, Told
from soilx.teaching.seeds import Draws
from soilx.teaching.working import Working, is_clear_of, printed, shown
from soilx.units import Kind

# Diluted twice, the whole and the root of it are too near to other mistakes.
_TIMES: Final = ("3", "4", "5", "8", "10")


def _draw_dilution(draws: Draws) -> Seen | None:
    found = possible_soil(draws, potassium=False, ec=("2.0", "9.0", "0.1"))
    times = float(draws.choice("times", _TIMES))
    if found is None or min(found.extract["Ca"], found.extract["Mg"]) < LEAST_PRINTED:
        return None
    numbers = {symbol.lower(): found.extract[symbol] for symbol in ("Na", "Ca", "Mg")}
    return Seen(numbers={**numbers, "times": times}, report=found.report)


def _tell_dilution(seen: Seen) -> Told:
    return Told(
        statement=f"This water stood on the clay and was in equilibrium with it. It is poured off and mixed "
        f"with pure water to {seen['times']:g} times its volume. A pinch of the clay is stirred into much of "
        "this thinner water, so little that the water stays as it is. Find the SAR of the thinner water, and "
        "the ESP that the pinch of clay comes to. It holds no potassium.",
        rows=(
            Row(what="sodium, before", value=shown(seen["na"]), unit="meq/L"),
            Row(what="calcium, before", value=shown(seen["ca"]), unit="meq/L"),
            Row(what="magnesium, before", value=shown(seen["mg"]), unit="meq/L"),
            Row(what="diluted", value=f"{seen['times']:g}", unit="times"),
            SELECTIVITY_ROW,
        ),
    )


def _solve_dilution(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    times = seen["times"]
    diluted = 1.0 if work.made("M10", "A3") else times
    over = "as before" if work.made("M10", "A3") else f"before / {times:g}"
    names = {"na": "sodium", "ca": "calcium", "mg": "magnesium"}
    after = {ion: work.line(names[ion], over, seen[ion] / diluted, "meq/L") for ion in names}
    if work.made("A3"):
        before = ratio_line(work, na=after["na"], ca=after["ca"], mg=after["mg"])
        sar = work.line("SAR", f"{shown(before)} / {times:g}", before / times, answers="sar")
    else:
        sar = ratio_line(work, na=after["na"], ca=after["ca"], mg=after["mg"], answers="sar")
    share_lines(work, sar)
    return work.solution


VALENCE_DILUTION: Final = Problem(
    number=6,
    key="valence-dilution",
    title="More water on the same clay",
    level=Level.DILUTION,
    confronts="Dilution is not neutral: it moves the clay towards calcium, without any calcium added.",
    mistakes=("M10", "A3"),
    sometimes=("M6", "A1", "A2", "E11", "A4"),
    sources=("gapon1933", "reeve_doering1966"),
    draw=_draw_dilution,
    tell=_tell_dilution,
    asked=lambda _: (
        asked_ratio("sodium adsorption ratio of the thinner water"),
        asked_esp("ESP of the pinch of clay"),
    ),
    solve=_solve_dilution,
)

YES_NO: Final = (("yes", "yes"), ("no", "no"))
_AGREE: Final = 0.25
"""The published factor was fitted on other soils; a variant is one that it describes within so much."""
_ROOM: Final = 0.15


def _factor(saturation_pct: float) -> float:
    return slavich_petterson_factor(Estimate.measured(saturation_pct, "%")).value


def _draw_wide(draws: Draws) -> Seen | None:
    found = possible_soil(draws, ec=("1.0", "10.0", "0.1"))
    if found is None:
        return None
    wide = float(electrical_conductivity(found.state_at(WIDE_WATER).solution.as_array()))
    read = printed(wide, 3)
    paste = read * _factor(found.saturation_pct)
    if abs(paste / found.ec - 1.0) > _AGREE or not is_clear_of(paste, US.ec.high, by=_ROOM):
        return None
    # What the soil really has in its saturation extract falls on the same side.
    if (paste > US.ec.high) != (found.ec > US.ec.high):
        return None
    return Seen(numbers={"ec": read, "saturation": found.saturation_pct}, report=found.report)


def _tell_wide(seen: Seen) -> Told:
    return Told(
        statement="A laboratory shook one part of soil with five parts of water and measured the "
        "conductivity of that 1:5 extract. The limit for a saline soil, 4 dS/m, is of the saturation "
        "extract. A published formula leads from one to the other: multiply by 2.46 + 3.03 / θ, with θ the "
        "kilograms of water per kilogram of soil in the saturated paste. What is the conductivity of the "
        "saturation extract, and is the soil saline?",
        rows=(
            Row(what="conductivity of the 1:5 extract", value=shown(seen["ec"]), unit="dS/m"),
            Row(what="water of the saturated paste", value=shown(seen["saturation"]), unit="%"),
            Row(what="saline above", value=f"{US.ec.high:g}", unit="dS/m in the saturation extract"),
        ),
    )


def _asked_wide(_: Seen) -> tuple[Asked, ...]:
    return (
        Asked(
            key="ec",
            words="conductivity of the saturation extract",
            kind=Kind.CONDUCTIVITY,
            unit="dS/m",
        ),
        Asked(key="saline", words="saline?", choices=YES_NO),
    )


def _solve_wide(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    wide, percent = seen["ec"], seen["saturation"]
    if work.made("E8"):
        factor = work.line("factor", "1, no conversion", 1.0)
    elif work.made("A6"):
        factor = work.line("factor", f"2.46 + 3.03 / {shown(percent)}", 2.46 + 3.03 / percent)
    else:
        factor = work.line("factor", f"2.46 + 3.03 / {shown(percent / 100.0)}", _factor(percent))
    paste = work.line(
        "conductivity of the saturation extract",
        f"{shown(wide)} × {shown(factor)}",
        wide * factor,
        "dS/m",
        answers="ec",
    )
    key = "yes" if paste > US.ec.high else "no"
    work.choose("saline", f"{shown(paste, 3)} against {US.ec.high:g}", key, key, answers="saline")
    return work.solution


WIDE_EXTRACT: Final = Problem(
    number=7,
    key="which-extract",
    title="The conductivity of which water?",
    level=Level.DILUTION,
    confronts="A conductivity says nothing without its water: 1:5 reads low, the limit is of the saturation "
    "extract.",
    mistakes=("E8", "A6"),
    sources=("slavich_petterson1993", "kstate_classes"),
    draw=_draw_wide,
    tell=_tell_wide,
    asked=_asked_wide,
    solve=_solve_wide,
)
