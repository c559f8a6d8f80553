"""How sure a rate is, in words: where nine in ten draws lie, and which input matters most."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from soilx.errors import LimitError
from soilx.practice.dose.drawn_bands import Band
from soilx.practice.dose.uncertain_inputs import UNITS, input_ranges
from soilx.practice.dose.uncertainty import RequirementBand, requirement_band
from soilx.practice.soil_test.report_ranges import ranges_of_report
from soilx.show.field_answer import Answer
from soilx.show.field_rate_words import amount
from soilx.show.word_sheet import Sheet, grid, line

_NAMES: Final = {
    "exchangeable_sodium": "exchangeable sodium",
    "cation_exchange_capacity": "cation exchange capacity",
    "bulk_density": "bulk density",
    "drained_water": "water held when drained",
    "water_applied": "water applied",
    "sodium_selectivity": "selectivity for sodium",
    "magnesium_selectivity": "selectivity for magnesium",
}
_BAR: Final = 20
NOT_DRAWN: Final = (
    "Soil tests scatter, and so do fields. Press the button: 2000 soils like this one are drawn from "
    "the ranges of "
    "its numbers and worked out one by one."
)


def band_of(answer: Answer, told: Callable[[float], None]) -> RequirementBand:
    """Band of the requirement of an answer.

    Parameters
    ----------
    answer : Answer
    told : callable
        Told how far it is, from 0 to 1.

    Raises
    ------
    SoilxError
        If there is no column, or a draw is no possible soil.
    """
    scenario = answer.scenario
    if scenario is None:
        raise LimitError(answer.why.get("column", "column: there is none; name a soil and a water."))
    return requirement_band(
        scenario,
        target_esp_pct=answer.aim.target_esp_pct,
        ranges=input_ranges(scenario, known=ranges_of_report(answer.report)),
        progress=told,
    )


def show_band(sheet: Sheet, band: RequirementBand | None) -> None:
    """Put a band on its sheet.

    Parameters
    ----------
    sheet : Sheet
    band : RequirementBand or None
        None before one was drawn.
    """
    if band is None:
        sheet.put(line(NOT_DRAWN))
        return
    first = band.influences[0] if band.influences else None
    most = (
        "Nothing that was drawn moves the column's rate."
        if first is None
        else f"What matters most is {_name(first.key)}: know that better first."
    )
    lost = (
        f" In {100 * band.unreachable_share:.0f} % of the draws no dose reaches the target with this water."
        if band.unreachable_share > 0
        else ""
    )
    sheet.put(
        line(
            f"Nine in ten draws lie between {_range(band.hand)} by the formula, and between "
            f"{_range(band.column)} by the column.{lost} {most}",
            "strong",
        ),
        grid(
            ("Input", "How much it moves the column's rate", "", "Drawn from"),
            [
                (
                    _name(each.key),
                    f"{each.rank_correlation:+.2f}",
                    "█" * max(1, round(_BAR * abs(each.rank_correlation))),
                    _drawn_from(band, each.key),
                )
                for each in band.influences
            ],
            caption="Rank correlation: near +1 or −1 the input alone decides, near 0 it matters little",
        ),
        line(
            f"{band.draws} draws. Each input is drawn by itself; a range typed nowhere is common practice.",
            "note",
        ),
        spoken=f"The band is drawn. {most}",
    )


def _range(band: Band) -> str:
    high = "more than any dose that was tried" if band.high is None else f"{amount(band.high)} {band.unit}"
    return f"{'more than any dose' if band.low is None else amount(band.low)} and {high}"


def _name(key: str) -> str:
    return _NAMES.get(key, key)


def _drawn_from(band: RequirementBand, key: str) -> str:
    found = next(each for each in band.ranges if each.key == key)
    unit = UNITS[key].replace("(mmol/L)^-0.5", "√(L/mmol)")
    return f"{found.low:.3g} to {found.high:.3g} {unit}".strip()
