"""The whole page of a field decision: the verdict and why, and the column of the rate where there is one."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import TYPE_CHECKING

from soilx.handouts.moving import moving
from soilx.handouts.page_parts import bullets, paragraph, section
from soilx.handouts.reader_facts import facts_of
from soilx.handouts.reader_found import found_sentence
from soilx.handouts.reader_gauge import numbers_table
from soilx.handouts.reader_numbers import deciding_numbers
from soilx.handouts.reader_page import facts_page
from soilx.handouts.reader_print import carried_decision
from soilx.handouts.reader_source import numbers_of_facts, scenario_of
from soilx.handouts.readers import Reader, units_of
from soilx.handouts.scenario_page import scenario_page

if TYPE_CHECKING:
    from soilx.handouts.record_in_page import Number
    from soilx.practice.decision_record import DecisionRecord


def decision_page(
    record: DecisionRecord, *, units: str, progress: Callable[[float], None], made_on: dt.date
) -> tuple[str, dict[str, Number]]:
    """The page of a decision, and its key figures.

    Parameters
    ----------
    record : DecisionRecord
    units : str
        "metric" or "us".
    progress : callable
        Told how far the work is, from 0 to 1.
    made_on : date
        As shown.

    Raises
    ------
    SoilxError
        If a word is not known, or the record cannot be read.

    Notes
    -----
    Where the verdict allows no rate there is no column to show, and the page is that of a student: it has
    every step of the reckoning that led to the verdict.
    """
    facts = facts_of(record, progress=lambda share: progress(0.4 * share))
    numbers = numbers_of_facts(facts)
    scenario = scenario_of(facts)
    if scenario is None:
        shown = units_of(Reader.STUDENT, units)
        return facts_page(facts, Reader.STUDENT, shown, paper=None, made_on=made_on), numbers
    live = moving(scenario, units=units, progress=lambda share: progress(0.4 + 0.5 * share))
    decided = section(
        "What was decided",
        paragraph(found_sentence(facts)),
        numbers_table(deciding_numbers(facts.decision, Reader.STUDENT, units=units)),
        bullets(facts.decision.sentences),
        carried_decision(facts),
    )
    title = f"{record.title}: the decision and its column"
    return scenario_page(scenario, title=title, opening=decided, live=live, made_on=made_on), numbers
