"""The column that a bench record was run on, as far as the record tells which soil it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from soilx.bench.plan import Plan
from soilx.errors import refuse
from soilx.show.bench_offers import demo_soils
from soilx.show.bench_recorded import Recorded

if TYPE_CHECKING:
    from soilx.bench.record import Record
    from soilx.column.scenario import Scenario

_DOSE = "3 g/kg"
"""For a record that does not say its own; the page then says so."""


def scenario_of_record(record: Record) -> tuple[Scenario, tuple[str, ...]]:
    """The gypsum column of a bench record as a scenario, and what has to be said of it.

    Parameters
    ----------
    record : Record

    Raises
    ------
    LimitError
        If it names no soil that is known here.
    """
    named = record.words.get("soil", "")
    soils = demo_soils()
    if named not in soils:
        refuse(
            f"soil of record {record.name}",
            named or "none",
            "",
            wrong="is not known here, so that no column can be run beside the readings",
            limit=f"the soils known by name are {', '.join(soils)}",
            remedy="make the page of a scenario with this soil, or load the soil on the bench page",
        )
    recorded = Recorded()
    plan = recorded.plan(record, Plan.of(soils[named], gypsum=_DOSE))
    return plan.treated, recorded.said
