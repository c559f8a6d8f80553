"""Targets that cannot be reached: how near any dose or water comes, and what would reach them."""

from typing import Final, NoReturn

from soilx.column.leaching import leach
from soilx.column.placement import WATER
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.errors import TargetError, refuse
from soilx.practice.dose.dose_search import dosed, first_water, most_gypsum, search_dose, watered
from soilx.units import Kind, express

MOST_PORE_VOLUMES: Final = 40.0
"""Beyond this nobody leaches a field; searches for water end here. Our own limit."""

_ROOM: Final = 1.1
"""Water above the least that plenty of gypsum needs, so that a finite dose does it."""


def refuse_dose(scenario: Scenario, *, target_esp_pct: float, lowest_esp_pct: float) -> NoReturn:
    """Raise because no dose reaches a target with the scenario's water.

    Parameters
    ----------
    scenario : Scenario
    target_esp_pct, lowest_esp_pct : float
        Wanted, and reached with as much gypsum as can be [%].

    Raises
    ------
    TargetError
        With the water and the dose that would reach it, where there are any.
    """
    water = f"{scenario.volume / scenario.soil.drained_water:.3g} pore volumes"
    if scenario.placement == WATER:
        limit = f"all the gypsum that the water dissolves brings it to {lowest_esp_pct:.3g}"
        remedy = f'choose a target above {lowest_esp_pct:.3g}, or the placement "mixed"'
    else:
        limit = f"with this water the largest dose ends at {lowest_esp_pct:.3g}"
        remedy = _with_more_water(scenario, target_esp_pct) or (
            f"choose a target above {lowest_esp_pct:.3g}, or a better water"
        )
    refuse(
        "target ESP",
        target_esp_pct,
        "%",
        wrong=f"no dose of gypsum reaches it with {water} of {_last_water(scenario)}",
        limit=limit,
        remedy=remedy,
        error=TargetError,
    )


def refuse_water(scenario: Scenario, *, run: Run, target_esp_pct: float) -> NoReturn:
    """Raise because no water reaches a target with the scenario's dose.

    Parameters
    ----------
    scenario : Scenario
    run : Run
        As far as water was tried, every step kept.
    target_esp_pct : float
        [%]

    Raises
    ------
    TargetError
        With the dose that would reach it, where there is one.
    """
    lowest = float(run.depth_average_esp_pct.min())
    pores = run.scenario.volume / scenario.soil.drained_water
    more = search_dose(run.scenario, target_esp_pct=target_esp_pct).run
    remedy = f"choose a target above {lowest:.3g}, or a better water: no dose does it with this one"
    if more is not None:
        remedy = (
            f"{_rate(more.scenario)} of pure gypsum reach it with {pores:.3g} pore volumes; or choose a "
            f"target above {lowest:.3g}"
        )
    refuse(
        "target ESP",
        target_esp_pct,
        "%",
        wrong=f"{_rate(scenario)} of pure gypsum do not reach it with {pores:.3g} pore volumes of "
        f"{_last_water(scenario)}",
        limit=f"the column comes down to {lowest:.3g} and no further",
        remedy=remedy,
        error=TargetError,
    )


def _with_more_water(scenario: Scenario, target: float) -> str:
    """The water and dose that would do, in words; empty where more of the water does not help."""
    pore = scenario.soil.drained_water
    plenty = dosed(scenario, most_gypsum(scenario))
    bracket = first_water(leach(watered(plenty, MOST_PORE_VOLUMES * pore)), target_esp_pct=target)
    if bracket is None:
        return ""
    wetter = watered(scenario, max(_ROOM * bracket[1], scenario.volume))
    found = search_dose(wetter, target_esp_pct=target).run
    if found is None:
        return ""
    return (
        f"{wetter.volume / pore:.3g} pore volumes of it with {_rate(found.scenario)} of pure gypsum would "
        "reach it; or choose a higher target"
    )


def _rate(scenario: Scenario) -> str:
    rate = express(scenario.gypsum, Kind.GYPSUM_RATE, "t/ha", ground=scenario.soil.ground)
    return f"{rate:.3g} t/ha"


def _last_water(scenario: Scenario) -> str:
    name = scenario.wettings[-1].water.name
    return f"{name} water" if name == "deionised" else name
