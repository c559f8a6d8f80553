"""The part of a reader's page that moves: gypsum and water on the column of its decision."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Final

from soilx.column.scenario import Scenario
from soilx.errors import SoilxError
from soilx.handouts.live_charts import LivePart
from soilx.handouts.moving import moving
from soilx.handouts.page_parts import paragraph
from soilx.handouts.reader_facts import ReaderFacts
from soilx.handouts.readers import METRIC, US, Reader, ReaderUnits
from soilx.practice.dose.product import PURE
from soilx.show.field_answer import PORE_VOLUMES
from soilx.units import Kind, express

RATES: Final[Mapping[tuple[Reader, str], str]] = MappingProxyType(
    {
        (Reader.GARDENER, METRIC): "kg/m²",
        (Reader.GARDENER, US): "lb/1000 ft²",
        (Reader.TURF, METRIC): "g/m²",
        (Reader.TURF, US): "lb/1000 ft²",
        (Reader.GROWER, METRIC): "t/ha",
        (Reader.GROWER, US): "short ton/acre",
        (Reader.STUDENT, METRIC): "t/ha",
        (Reader.STUDENT, US): "short ton/acre",
    }
)

FOR_LEARNING: Final = (
    "This is a model to learn from. It does not change the rate on this page: for that, follow the steps "
    "above."
)


def live_of(
    facts: ReaderFacts,
    reader: Reader,
    units: ReaderUnits,
    *,
    progress: Callable[[float], None] | None = None,
) -> LivePart | None:
    """Sliders and two charts for a reader; None where the verdict allows no rate, so that none can be moved.

    Parameters
    ----------
    facts : ReaderFacts
    reader : Reader
    units : ReaderUnits
    progress : callable, optional
        Told how far the work is, from 0 to 1.
    """
    scenario = scenario_of(facts)
    if scenario is None:
        return None
    part = moving(
        scenario,
        units=units.system,
        gypsum_unit=RATES[reader, units.system],
        few=True,
        progress=progress,
    )
    if part is None:
        return None
    pure = (
        ""
        if facts.product == PURE
        else f" The slider counts pure gypsum, of which {facts.product.name} as it comes holds "
        f"{100 * facts.product.pure_share:.0f} %."
    )
    said = paragraph(f"{FOR_LEARNING}{pure}")
    return replace(part, markup=part.markup.replace("</h2>", f"</h2>{said}", 1))


def scenario_of(facts: ReaderFacts) -> Scenario | None:
    """The column whose sliders belong beside a decision; None where no rate may be spoken of.

    Parameters
    ----------
    facts : ReaderFacts

    Notes
    -----
    A scenario's own column where there is one. Else the rate of the hand formula with the water that the
    decision asks for, in whole half pore volumes and at least what the field page leaches with.
    """
    if not facts.decision.rate_allowed:
        return None
    if facts.scenario is not None:
        return facts.scenario if facts.scenario.wettings else None
    if facts.soil is None or facts.water is None or facts.hand is None:
        return None
    asked = facts.depths.water if facts.depths is not None else None
    pores = max(PORE_VOLUMES, math.ceil(2 * (asked or 0.0) / facts.soil.drained_water) / 2)
    rate = express(facts.hand.gypsum_with_factor, Kind.GYPSUM_RATE, "t/ha", ground=facts.soil.ground)
    try:
        return Scenario.of(
            facts.soil, gypsum=f"{rate:.3g} t/ha", wettings=[(f"{pores:g} pore_volume", facts.water)]
        )
    except SoilxError:
        return None
