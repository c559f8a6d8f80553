"""Level 2, one beaker: clay and water side by side, and what an extractant takes of both."""

from __future__ import annotations

from typing import Final

from soilx.chemistry.ions import SODIUM
from soilx.teaching.kinds.hand_ratio import SELECTIVITY_ROW, ratio_line, share_lines
from soilx.teaching.possible_soil import CATIONS, possible_soil, printed_extract
from soilx.teaching.problem import Asked, Level, Problem, Row, Seen, Solution, Told
from soilx.teaching.seeds import Draws
from soilx.teaching.working import Working, printed, shown
from soilx.units import Kind

WIDE_WATER: Final = 5.0
"""Water of a 1:5 extract [L/kg]."""
LEAST_PRINTED: Final = 0.2
LEAST_WIDE: Final = 0.03
"""Below them two and three decimals of a meq/L are too coarse to reckon with [meq/L]."""


def _draw_beaker(draws: Draws) -> Seen | None:
    # Without potassium the beaker's clay is Gapon's of the textbook.
    found = possible_soil(draws, potassium=False)
    if found is None:
        return None
    wide = printed_extract(found.state_at(WIDE_WATER), digits=3)
    narrow = found.extract
    if min(narrow["Ca"], narrow["Mg"]) < LEAST_PRINTED or min(wide["Ca"], wide["Mg"]) < LEAST_WIDE:
        return None
    numbers = {symbol.lower(): narrow[symbol] for symbol in ("Na", "Ca", "Mg")}
    numbers |= {f"wide_{symbol.lower()}": wide[symbol] for symbol in ("Na", "Ca", "Mg")}
    return Seen(numbers=numbers, report=found.report)


def _tell_beaker(seen: Seen) -> Told:
    return Told(
        statement="Clay lies in its water. The laboratory made two extracts of the soil: the saturation "
        "extract, and one with five times as much water as soil. Find the sodium adsorption ratio, SAR, of "
        "the saturation extract, and from it, by Gapon's equation, the ESP of the clay. It holds no "
        "potassium.",
        rows=(
            *(
                Row(what=f"{name} of the {extract}", value=shown(seen[f"{key}{symbol}"]), unit="meq/L")
                for key, extract in (("", "saturation extract"), ("wide_", "1:5 extract"))
                for symbol, name in (("na", "sodium"), ("ca", "calcium"), ("mg", "magnesium"))
            ),
            SELECTIVITY_ROW,
        ),
    )


def asked_ratio(words: str = "sodium adsorption ratio") -> Asked:
    """A sodium adsorption ratio as something that is asked."""
    return Asked(key="sar", words=words, kind=Kind.ADSORPTION_RATIO)


def asked_esp(words: str = "exchangeable sodium percentage", key: str = "esp") -> Asked:
    """An ESP as something that is asked."""
    return Asked(key=key, words=words, kind=Kind.FRACTION, unit="%")


def _solve_beaker(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    # The usual mix: sodium of one extract, calcium and magnesium of the other.
    of = "wide_" if work.made("E7") else ""
    sar = ratio_line(work, na=seen["na"], ca=seen[f"{of}ca"], mg=seen[f"{of}mg"], answers="sar")
    share_lines(work, sar)
    return work.solution


SAR_TO_ESP: Final = Problem(
    number=3,
    key="sar-to-esp",
    title="From the water to the clay",
    level=Level.ONE_BEAKER,
    confronts="SAR is of the water, ESP is of the clay: they are not one number.",
    mistakes=("A1", "A2", "E7"),
    sometimes=("M6", "E11", "A4"),
    sources=("gapon1933", "ussl1954"),
    draw=_draw_beaker,
    tell=_tell_beaker,
    asked=lambda _: (asked_ratio(), asked_esp()),
    solve=_solve_beaker,
)


def _draw_extractable(draws: Draws) -> Seen | None:
    found = possible_soil(draws, esp=("8", "30", "0.5"), ec=("3.0", "9.0", "0.1"))
    lime = draws.grid("lime", "16", "40", "2")
    if found is None:
        return None
    water = found.saturation_pct / 1000.0
    taken = {
        symbol: printed(found.exchangeable[symbol] + found.extract[symbol] * water, 2) for symbol in CATIONS
    }
    # What the extractant dissolves of lime comes on top of exchangeable and dissolved calcium.
    taken["Ca"] = printed(taken["Ca"] + lime / 100.0 * found.exchangeable["Ca"], 2)
    return Seen(
        numbers={
            **taken,
            "capacity": found.capacity,
            "saturation": found.saturation_pct,
            "extract_na": found.extract["Na"],
        },
        report=found.report,
    )


def _tell_extractable(seen: Seen) -> Told:
    names = {"Ca": "calcium", "Mg": "magnesium", "K": "potassium", "Na": "sodium"}
    return Told(
        statement="A laboratory shook the soil with an extractant and printed what it took: what sits on the "
        "clay, what was dissolved, and of calcium some lime too. The soil fizzes with acid. The exchange "
        "capacity was measured by itself. How much sodium sits on the clay, and what is the ESP?",
        rows=(
            *(
                Row(what=f"extractable {names[symbol]}", value=shown(seen[symbol]), unit="cmol_c/kg")
                for symbol in CATIONS
            ),
            Row(what="exchange capacity, measured", value=shown(seen["capacity"]), unit="cmol_c/kg"),
            Row(what="sodium of the saturation extract", value=shown(seen["extract_na"]), unit="meq/L"),
            Row(what="water of the saturated paste", value=shown(seen["saturation"]), unit="%"),
        ),
    )


def _asked_extractable(_: Seen) -> tuple[Asked, ...]:
    return (
        Asked(
            key="sodium",
            words="exchangeable sodium",
            kind=Kind.EXCHANGE_CAPACITY,
            unit="cmol_c/kg",
            ion=SODIUM,
        ),
        asked_esp(),
    )


def _solve_extractable(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    water = seen["saturation"]
    if work.made("E4"):
        dissolved = work.line("dissolved sodium", "not taken off", 0.0, "cmol_c/kg")
    elif work.made("E3"):
        # As though a meq in a litre of extract were a meq in a kilogram of soil.
        dissolved = work.line(
            "dissolved sodium", f"{shown(seen['extract_na'])} / 10", seen["extract_na"] / 10.0, "cmol_c/kg"
        )
    else:
        dissolved = work.line(
            "dissolved sodium",
            f"{shown(seen['extract_na'])} × {shown(water)} / 1000",
            seen["extract_na"] * water / 1000.0,
            "cmol_c/kg",
        )
    sodium = work.line(
        "exchangeable sodium",
        f"{shown(seen['Na'])} − {shown(dissolved)}",
        seen["Na"] - dissolved,
        "cmol_c/kg",
        answers="sodium",
    )
    if work.made("E5"):
        held = sum(seen[symbol] for symbol in CATIONS)
        capacity = work.line("exchange capacity", "the sum of all that was extracted", held, "cmol_c/kg")
    elif work.made("E6"):
        held = sum(seen[symbol] for symbol in CATIONS if symbol != "Na")
        capacity = work.line("exchange capacity", "the sum of the other three", held, "cmol_c/kg")
    else:
        capacity = work.line("exchange capacity", "as measured", seen["capacity"], "cmol_c/kg")
    work.line(
        "ESP", f"100 × {shown(sodium)} / {shown(capacity)}", 100.0 * sodium / capacity, "%", answers="esp"
    )
    return work.solution


EXTRACTABLE: Final = Problem(
    number=4,
    key="what-sits-on-the-clay",
    title="What was extracted and what sits on the clay",
    level=Level.ONE_BEAKER,
    confronts="Not all sodium is on the clay, and not all calcium that is extracted was exchangeable.",
    mistakes=("E4", "E5"),
    sometimes=("E3", "E6"),
    sources=("trade_texts", "common_practice"),
    draw=_draw_extractable,
    tell=_tell_extractable,
    asked=_asked_extractable,
    solve=_solve_extractable,
)
