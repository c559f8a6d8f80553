"""Sliders and charts of a scenario, from the scenario alone."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from soilx.errors import quoted, refuse
from soilx.handouts.live_charts import METRIC, US, LivePart, live_part
from soilx.handouts.settings_grid import grid_of
from soilx.show.sentences import RATE_UNIT

if TYPE_CHECKING:
    from soilx.column.scenario import Scenario

RATES: Final[Mapping[str, str]] = MappingProxyType({METRIC: RATE_UNIT, US: "short ton/acre"})
"""In which a field's rate is read, by the system of units."""

_GRID: Final = 0.9
"""Share of the work that the runs are."""


def moving(
    scenario: Scenario,
    *,
    units: str = METRIC,
    gypsum_unit: str | None = None,
    few: bool = False,
    progress: Callable[[float], None] | None = None,
) -> LivePart | None:
    """Sliders and charts of a scenario; None where there is no water to move.

    Parameters
    ----------
    scenario : Scenario
    units : str
        "metric" or "us".
    gypsum_unit : str, optional
        In which rates are read; the field's unit of the system unless given.
    few : bool
        The short form.
    progress : callable, optional
        Told how far the work is, from 0 to 1.

    Raises
    ------
    SoilxError
        If the units are not known, or the scenario cannot be run.
    """
    if units not in RATES:
        refuse(
            "units",
            quoted(units),
            "",
            wrong="is not one of ours",
            limit=f"the systems are {' and '.join(RATES)}",
            remedy="write one of them",
        )
    if not scenario.wettings:
        return None

    def told(done: int, total: int) -> None:
        if progress is not None:
            progress(_GRID * done / total)

    grid = grid_of(scenario, gypsum_unit=gypsum_unit or RATES[units], few=few, progress=told)
    return live_part(grid, units=units, few=few)
