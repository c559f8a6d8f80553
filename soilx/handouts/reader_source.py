"""A reader's page of whatever a page may be made from, with its sliders where a rate may be spoken of."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import TYPE_CHECKING

from soilx.bench.record_reading import record_of_bytes
from soilx.column.scenario_toml import scenario_from_toml
from soilx.handouts.key_numbers import numbers_of_pair
from soilx.handouts.reader_bench_facts import BenchFacts, bench_facts_of
from soilx.handouts.reader_bench_page import bench_reader_page
from soilx.handouts.reader_facts import ReaderFacts, facts_of
from soilx.handouts.reader_live import live_of, scenario_of
from soilx.handouts.reader_page import facts_page
from soilx.handouts.readers import paper_of, reader_of, units_of
from soilx.practice.decision_file import decision_from_toml

if TYPE_CHECKING:
    from soilx.column.scenario import Scenario
    from soilx.handouts.record_in_page import Number, PageRecord
    from soilx.practice.decision_record import DecisionRecord

__all__ = ["numbers_of_facts", "reader_source_page", "scenario_of"]


def reader_source_page(
    record: PageRecord,
    *,
    reader: str,
    units: str,
    progress: Callable[[float], None],
    made_on: dt.date,
) -> tuple[str, dict[str, Number]]:
    """A reader's page of a record, and its key figures.

    Parameters
    ----------
    record : PageRecord
    reader, units : str
        As `soilx.handouts.readers` knows them.
    progress : callable
        Told how far the work is, from 0 to 1.
    made_on : date
        As shown.

    Raises
    ------
    SoilxError
        If a word is not known, or the record cannot be read.
    """
    who = reader_of(reader)
    shown, paper = units_of(who, units), paper_of(record.options.get("paper"))
    if record.kind == "bench record":
        bench = bench_facts_of(record_of_bytes(record.text.encode("utf-8"), name=record.name))
        return bench_reader_page(bench, who, shown, paper=paper, made_on=made_on), numbers_of_run(bench)
    facts = facts_of(_source(record), progress=lambda share: progress(0.6 * share))
    live = live_of(facts, who, shown, progress=lambda share: progress(0.6 + 0.3 * share))
    return facts_page(facts, who, shown, paper=paper, made_on=made_on, live=live), numbers_of_facts(facts)


def numbers_of_facts(facts: ReaderFacts) -> dict[str, Number]:
    """Key figures of a decision: the verdict, and the rates and the water where it allows any.

    Parameters
    ----------
    facts : ReaderFacts
    """
    decision = facts.decision
    found: dict[str, Number] = {
        "verdict": str(decision.verdict),
        "target, exchangeable sodium, %": decision.target_esp_pct,
    }
    for name, finding in (
        ("exchangeable sodium, %", decision.diagnosis.esp),
        ("sodium adsorption ratio", decision.diagnosis.sar),
        ("EC, dS/m", decision.diagnosis.salinity),
    ):
        if finding.estimate is not None:
            found[name] = finding.estimate.value
    if facts.hand is not None:
        found["pure gypsum by the hand formula, mmol/kg"] = facts.hand.gypsum_with_factor
    if facts.column is not None:
        found["pure gypsum by the column, mmol/kg"] = facts.column.gypsum
    if facts.depths is not None:
        found["water, L/kg"] = facts.depths.water
    if len(facts.runs) == 2:
        found |= numbers_of_pair(*facts.runs)
    return found


def numbers_of_run(facts: BenchFacts) -> dict[str, Number]:
    """Key figures of a bench run: sodium that came out of each arm, and its share on the clay after.

    Parameters
    ----------
    facts : BenchFacts
    """
    found: dict[str, Number] = {"verdict": str(facts.decision.verdict)}
    for arm in facts.record.arms:
        for number, column in enumerate(facts.budget.of(arm), start=1):
            if column.amounts.leached is not None:
                found[f"{arm} {number}, sodium leached, mmol/kg"] = column.amounts.leached.value
            if column.esp_after_pct is not None:
                found[f"{arm} {number}, exchangeable sodium after, %"] = column.esp_after_pct.value
    return found


def _source(record: PageRecord) -> DecisionRecord | Scenario:
    if record.kind == "decision":
        return decision_from_toml(record.text, name=record.name)
    return scenario_from_toml(record.text, name=record.name)
