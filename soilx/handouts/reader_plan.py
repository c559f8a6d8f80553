"""The visits that a reader makes for a rate, and the years that follow, by the reader's own habit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from soilx.column.fields import listed
from soilx.column.soil import Soil
from soilx.errors import LimitError, SoilxError
from soilx.handouts.reader_facts import ReaderFacts
from soilx.handouts.readers import Reader
from soilx.practice.decision_record import SPLIT, WORKED_IN
from soilx.practice.seasons.covers import COVERS
from soilx.practice.seasons.programme import Programme
from soilx.practice.seasons.visit_plans import LEACH, WATER_IN, incorporated, split
from soilx.practice.seasons.visits import VisitPlan
from soilx.show.field_programme import DRAWS, LAYERS, climates, field_water, plan_texts
from soilx.units import Quantity, quantity

ESTABLISHED: Final = {
    Reader.GARDENER: "tolerant lawn",
    Reader.TURF: "fine turf",
    Reader.GROWER: "pasture",
    Reader.STUDENT: "tolerant lawn",
}
"""On which plants gypsum is laid where the record names none: turf is taken to be fine, which bears least."""

VISITS_A_YEAR: Final = 12


@dataclass(frozen=True, kw_only=True, eq=False)
class ReaderPlan:
    """Visits of one reader.

    Attributes
    ----------
    visits : VisitPlan
    way, cover : str
    programme : Programme or None
        The years of it; None where the record names no climate, or they cannot be run.
    climate : str
        Empty where it names none.
    """

    visits: VisitPlan
    way: str
    cover: str
    programme: Programme | None
    climate: str


def plan_for(
    facts: ReaderFacts,
    reader: Reader,
    *,
    made_on: dt.date,
    progress: Callable[[float], None] | None = None,
) -> ReaderPlan | None:
    """Visits for the rate of a decision; None where there is no rate.

    Parameters
    ----------
    facts : ReaderFacts
    reader : Reader
        A turf manager's gypsum is laid on grass in visits; the others work it in unless the record says
        otherwise.
    made_on : date
        The coming spring is planned for where the record names no day.
    progress : callable, optional
        Told how many of the years are run, from 0 to 1.

    Raises
    ------
    LimitError
        If the record names a climate that is not known.
    """
    soil, hand = facts.soil, facts.hand
    if soil is None or hand is None or hand.gypsum == 0:
        return None
    texts = dict(facts.record.plan)
    cover = texts.get("cover", "")
    grown = COVERS[cover].is_established if cover else reader is Reader.TURF
    way = SPLIT if reader is Reader.TURF else texts.get("way", SPLIT if grown else WORKED_IN)
    if way == SPLIT and not grown:
        cover = ESTABLISHED[reader]
    cover = cover or (ESTABLISHED[reader] if way == SPLIT else "field crop")
    gypsum = texts.get("gypsum") or hand.pure_with_factor
    visits = _visits(facts, soil, texts, gypsum=gypsum, way=way, cover=cover, made_on=made_on)
    climate = texts.get("climate", "")
    if climate and climate not in climates():
        raise LimitError(
            f"climate = {climate}: is not known; the limit is the table of climates, {listed(climates())}; "
            "write one of them, or leave it out."
        )
    return ReaderPlan(
        visits=visits,
        way=way,
        cover=cover,
        programme=_programme(facts, soil, visits, climate=climate, cover=cover, progress=progress),
        climate=climate,
    )


def _visits(
    facts: ReaderFacts,
    soil: Soil,
    texts: dict[str, str],
    *,
    gypsum: str | Quantity,
    way: str,
    cover: str,
    made_on: dt.date,
) -> VisitPlan:
    first = texts.get("first") or plan_texts(made_on)["first"]
    water, leach = texts.get("water", WATER_IN), texts.get("leach", LEACH)
    product = facts.product
    if way == WORKED_IN:
        return incorporated(soil, gypsum=gypsum, day=first, product=product, water=water, leach=leach)

    def cut(annual_limit: str | Quantity | None) -> VisitPlan:
        return split(
            soil,
            gypsum=gypsum,
            first=first,
            cover=cover,
            cap=texts.get("cap"),
            annual_limit=annual_limit,
            product=product,
            water=water,
            leach=leach,
        )

    try:
        return cut(texts.get("annual_limit"))
    except LimitError:
        cap = COVERS[cover].cap_high
        if "annual_limit" in texts or "cap" in texts or cap is None:
            raise
        # More than a visit a month in either half of the year: the plan takes more years instead.
        return cut(quantity(VISITS_A_YEAR * cap, "lb/1000 ft^2"))


def _programme(
    facts: ReaderFacts,
    soil: Soil,
    visits: VisitPlan,
    *,
    climate: str,
    cover: str,
    progress: Callable[[float], None] | None,
) -> Programme | None:
    if not climate or facts.water is None:
        return None
    water = field_water(soil, facts.water, climate=climate, cover=cover)
    # A draw may be drier or saltier than the model can run; without the band the rest still may.
    for draws in (DRAWS, 0):
        try:
            return Programme.of(
                soil,
                plan=visits,
                water=water,
                years=facts.record.years,
                target_esp_pct=facts.decision.target_esp_pct,
                draws=draws,
                progress=progress,
                layers=LAYERS,
            )
        except SoilxError:
            continue
    return None
