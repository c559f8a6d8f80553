"""The page of one reader: what was found, what decided it, what to do and not to do, and how sure it is."""

from __future__ import annotations

import datetime as dt

from soilx import wording
from soilx.handouts.live_charts import LivePart
from soilx.handouts.page_parts import bullets, document, paragraph, section
from soilx.handouts.reader_facts import ReaderFacts
from soilx.handouts.reader_found import LABORATORY_WATER, found_sentence
from soilx.handouts.reader_gauge import numbers_table
from soilx.handouts.reader_markup import page_style, steps_list
from soilx.handouts.reader_numbers import deciding_numbers
from soilx.handouts.reader_path import path_figure
from soilx.handouts.reader_plan import plan_for
from soilx.handouts.reader_print import carried_decision, small_print, take_care
from soilx.handouts.reader_retest import Retest, retest_of
from soilx.handouts.reader_steps import steps_of
from soilx.handouts.reader_student import calculation
from soilx.handouts.reader_sure import how_sure
from soilx.handouts.reader_warnings import not_to_do
from soilx.handouts.readers import TITLES, Reader, ReaderUnits


def facts_page(
    facts: ReaderFacts,
    reader: Reader,
    units: ReaderUnits,
    *,
    paper: str | None,
    made_on: dt.date,
    live: LivePart | None = None,
) -> str:
    """The page of facts that were worked out before.

    Parameters
    ----------
    facts : ReaderFacts
    reader : Reader
    units : ReaderUnits
    paper : str or None
        As a style sheet names it.
    made_on : date
    live : LivePart or None
    """
    plan = plan_for(facts, reader, made_on=made_on)
    decision = facts.decision
    retest = retest_of(facts, plan, units, made_on=made_on)
    numbers = deciding_numbers(decision, reader, units=units.system)
    parts = (
        paragraph(TITLES[reader], look="whom"),
        paragraph(found_sentence(facts), look="finding"),
        *((paragraph(LABORATORY_WATER),) if facts.laboratory_water else ()),
        paragraph(wording.CAUTION_RATE, look="soilx-caution"),
        section("Three numbers that decided it", numbers_table(numbers)),
        *((calculation(facts),) if reader is Reader.STUDENT else ()),
        section(
            "What to do, in this order", steps_list(steps_of(facts, plan, reader, units, wait=retest.wait))
        ),
        section("What not to do", bullets(not_to_do(facts, plan, reader, units))),
        section("How sure we are", bullets(how_sure(facts, units))),
        section(
            "Test again, and when to stop",
            _retest(retest),
            path_figure(facts, None if plan is None else plan.programme, units),
        ),
        "" if live is None else live.markup,
        take_care(facts, plan),
        small_print(facts, plan, reader, units, made_on=made_on),
        carried_decision(facts),
    )
    return document(
        decision.sentences[0].rstrip("."),
        *parts,
        live=() if live is None else (live,),
        style=page_style(paper, roomy=plan is None and reader is not Reader.STUDENT),
    )


def _retest(retest: Retest) -> str:
    said = (f"{retest.wait} {retest.how}", *retest.expected, retest.success, retest.stop)
    return bullets(said)
