"""Least gypsum and least water by root finding on the column, several columns to a sweep."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.gypsum import gypsum_solubility
from soilx.column.dispersion import MOST_GYPSUM
from soilx.column.placement import WATER
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.sweep import sweep
from soilx.column.wetting import Wetting

Array = NDArray[np.float64]

CLOSE: Final = 1e-3
"""An answer's ESP is the target or lower by at most this much [% of CEC]."""

_TIGHT: Final = 1e-6
"""A bracket this narrow relative to its end is closed, whatever the ESP does in it."""

_TRIED: Final = (0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 5.0, 10.0)
_INSIDE: Final = np.array([0.2, 0.4, 0.6, 0.8])
_NEAR: Final = np.array([0.97, 1.0, 1.001, 1.03])
"""Where the next columns are put: through the bracket, and about where a straight line meets the target."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseSearch:
    """What a search for the least dose found.

    Attributes
    ----------
    run : Run or None
        Of the least dose that reaches the target; None where none does.
    untreated_esp_pct : float
        Where the column ends without gypsum [%].
    lowest_esp_pct : float
        Where it ends with as much as can be [%].
    """

    run: Run | None
    untreated_esp_pct: float
    lowest_esp_pct: float


def most_gypsum(scenario: Scenario) -> float:
    """The largest dose that a scenario can be asked to take [mmol/kg].

    Parameters
    ----------
    scenario : Scenario
        Gypsum dissolved in its water is limited by what the water dissolves.
    """
    if scenario.placement != WATER:
        return MOST_GYPSUM
    soluble = min(gypsum_solubility(wetting.water.solution) for wetting in scenario.wettings)
    # A little less, so that rounding does not ask a water to carry more than it dissolves.
    return min(MOST_GYPSUM, float(soluble) * scenario.volume * (1 - 1e-9))


def dosed(scenario: Scenario, gypsum: float) -> Scenario:
    """The scenario with another dose of pure gypsum [mmol/kg]."""
    return scenario.with_(gypsum=f"{gypsum!r} mmol/kg")


def search_dose(scenario: Scenario, *, target_esp_pct: float) -> DoseSearch:
    """Least gypsum with which a column ends at a target ESP or below.

    Parameters
    ----------
    scenario : Scenario
        Its water, placement and stack stay; its gypsum is what is sought.
    target_esp_pct : float
        For the depth average [%].

    Notes
    -----
    More gypsum never ends at more sodium, so that the first dose at the target brackets the least one between
    itself and the dose before. The answer's ESP is the target to `CLOSE`, never above it.
    """
    most = most_gypsum(scenario)
    need = (scenario.soil.exchangeable_sodium_percentage - target_esp_pct) / 100.0
    unit = max(need, 0.01) * scenario.soil.cation_exchange_capacity / 2.0
    doses = np.unique([0.0, *(unit * times for times in _TRIED if unit * times < most), most])
    runs = _ends(scenario, doses)
    esp = np.array([run.final_esp_pct for run in runs])
    untreated, lowest = float(esp[0]), float(esp[-1])
    while True:
        reached = np.flatnonzero(esp <= target_esp_pct)
        if not reached.size:
            return DoseSearch(run=None, untreated_esp_pct=untreated, lowest_esp_pct=lowest)
        first = int(reached[0])
        least = runs[first]
        if first == 0 or _closed(doses, esp, first, target_esp_pct):
            return DoseSearch(run=least, untreated_esp_pct=untreated, lowest_esp_pct=lowest)
        low, high = doses[first - 1], doses[first]
        line = (esp[first - 1] - target_esp_pct) / (esp[first - 1] - esp[first])
        inside = np.unique(np.concatenate([_INSIDE, (line * _NEAR)[line * _NEAR < 1.0]]))
        doses = np.concatenate([[low], low + inside * (high - low), [high]])
        tried = _ends(scenario, doses[1:-1])
        runs = [runs[first - 1], *tried, least]
        esp = np.array([run.final_esp_pct for run in runs])


def _closed(doses: Array, esp: Array, first: int, target: float) -> bool:
    narrow = doses[first] - doses[first - 1] <= _TIGHT * doses[first]
    return bool(narrow or target - esp[first] <= CLOSE)


def _ends(scenario: Scenario, doses: Array) -> list[Run]:
    return list(sweep([dosed(scenario, float(dose)) for dose in doses], keep_steps=False))


def watered(scenario: Scenario, volume: float) -> Scenario:
    """The scenario with its waters in their order up to so much, the last one going on where it is more.

    Parameters
    ----------
    scenario : Scenario
        At least one wetting. The one that is cut, or goes on, keeps its pace; drying comes after a wetting
        that is given whole.
    volume : float
        Water in all [L/kg].
    """
    given: list[object] = []
    before = 0.0
    last = scenario.wettings[-1]
    for wetting in scenario.wettings:
        rest = volume - before
        if rest <= wetting.volume * (1 + 1e-12) or wetting is last:
            given.append(_cut(wetting, rest))
            break
        given.append(wetting)
        before += wetting.volume
    return scenario.with_(wettings=given)


def _cut(wetting: Wetting, volume: float) -> object:
    if abs(volume - wetting.volume) <= 1e-12 * volume:
        return wetting
    hours = wetting.hours * volume / wetting.volume
    return {"amount": f"{volume!r} L/kg", "water": wetting.water, "hours": f"{hours!r} h"}


def first_water(run: Run, *, target_esp_pct: float) -> tuple[float, float] | None:
    """Water before and at the first step at which a run's depth average is at a target; None if it never is.

    Parameters
    ----------
    run : Run
        With every step kept.
    target_esp_pct : float
        [%]

    Returns
    -------
    tuple of float or None
        Applied water one row before, and there [L/kg]; twice the same where it is so from the start, or where
        drying brings it about.
    """
    reached = np.flatnonzero(run.depth_average_esp_pct <= target_esp_pct)
    if not reached.size:
        return None
    row = int(reached[0])
    return float(run.applied_water[max(row - 1, 0)]), float(run.applied_water[row])


def search_water(scenario: Scenario, bracket: tuple[float, float], *, target_esp_pct: float) -> Run:
    """Run with the least water between two amounts that ends at a target or below.

    Parameters
    ----------
    scenario : Scenario
    bracket : tuple of float
        Too little, and enough [L/kg]; one step apart.
    target_esp_pct : float
        [%]
    """
    low, high = bracket
    for _ in range(3):
        volumes: Sequence[float] = [float(v) for v in np.linspace(low, high, 6)[1:]]
        runs = sweep([watered(scenario, volume) for volume in volumes])
        first = next(
            (n for n, run in enumerate(runs) if run.final_esp_pct <= target_esp_pct), len(volumes) - 1
        )
        if target_esp_pct - runs[first].final_esp_pct <= CLOSE:
            break
        low, high = (volumes[first - 1] if first else low), volumes[first]
    return runs[first]
