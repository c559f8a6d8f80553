"""What a page about a bench run rests on: its budget, the pair, and the verdict that it cannot give."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from soilx.bench.budget import Budget, ColumnBudget, budget_of
from soilx.bench.budget_field import scale_of
from soilx.bench.budget_pair import Pair, pair_of
from soilx.bench.plan_scale import Scale
from soilx.bench.record import Record
from soilx.chemistry.ions import SODIUM
from soilx.errors import SoilxError
from soilx.practice.judgement.verdict import Decision, decide
from soilx.practice.soil_test.report import Report

TREATED: Final = "gypsum"
CONTROL: Final = "control"

_SAID_OF_SOIL: Final = (
    "depth",
    "bulk_density",
    "initial_water",
    "drained_water",
    "saturation_percentage",
    "cation_exchange_capacity",
    "exchangeable_sodium",
    "exchangeable_calcium",
)
_EXTRACT: Final = ("extract_sodium", "extract_calcium", "extract_sulfate")


@dataclass(frozen=True, kw_only=True, eq=False)
class BenchFacts:
    """A bench record with what can be said of it.

    Attributes
    ----------
    record : Record
    budget : Budget
    pair : Pair or None
        Gypsum and control; None where one of them was not run.
    scale : Scale or None
        Bench and field; None where the record does not know enough.
    decision : Decision
        On what the record knows of the soil: no drain test, no water, so that a rate is out of its reach.
    """

    record: Record
    budget: Budget
    pair: Pair | None
    scale: Scale | None
    decision: Decision

    @property
    def soil(self) -> str:
        """Name of the soil, else of the record."""
        return self.record.words.get("soil") or self.record.name

    def first(self, arm: str) -> ColumnBudget | None:
        """First column of an arm; None where it was not run."""
        return next((column for (name, _), column in self.budget.columns.items() if name == arm), None)

    def sodium_mg(self, arm: str) -> tuple[float, float] | None:
        """Sodium caught from a column of an arm, and half its 95 % interval [mg]."""
        if self.pair is None:
            return None
        leached = self.pair.leached.treated if arm == TREATED else self.pair.leached.control
        if leached is None:
            return None
        per_kg = SODIUM.molar_mass * self.record.soil_mass
        return leached.value * per_kg, leached.half_width * per_kg

    @property
    def difference_seen(self) -> bool | None:
        """Whether gypsum took out more sodium than chance; None where it cannot be told."""
        return None if self.pair is None else self.pair.leached.is_seen


def bench_facts_of(record: Record) -> BenchFacts:
    """Facts of a bench record.

    Parameters
    ----------
    record : Record

    Raises
    ------
    SoilxError
        If the record does not say how much soil was in a column.
    """
    budget = budget_of(record)
    both = {TREATED, CONTROL} <= set(record.arms)
    try:
        scale = scale_of(record)
    except SoilxError:
        scale = None
    return BenchFacts(
        record=record,
        budget=budget,
        pair=pair_of(budget) if both else None,
        scale=scale,
        decision=decide(_report_of(record)),
    )


def _report_of(record: Record) -> Report:
    """The soil test that a record holds, as far as it does."""
    name = record.words.get("soil") or record.name
    known = {
        key: found.text.partition(" ± ")[0]
        for key in (*_SAID_OF_SOIL, *_EXTRACT)
        if (found := record.known(key))
    }
    if any(key in known for key in _EXTRACT):
        known["extract_basis"] = "saturation extract"
    try:
        return Report.of(name=name, exchangeable_basis="exchangeable", **known)
    except SoilxError:
        return Report.of(name=name)
