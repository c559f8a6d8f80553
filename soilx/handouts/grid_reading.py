"""What a page's sliders show of a run: states at the stops of water, and the leachate's line up to there."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final, Self

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.conductivity import electrical_conductivity
from soilx.chemistry.ions import GYPSUM_MOLAR_MASS, ORDER, SODIUM
from soilx.column.leaching import schedule_of

if TYPE_CHECKING:
    from soilx.column.run import Run
    from soilx.column.scenario import Scenario

Array = NDArray[np.float64]

_NA: Final = ORDER.index("Na")
#: Points of a leachate's line, about.
_POINTS: Final = 72

DIGITS: Final[Mapping[str, int]] = MappingProxyType(
    {
        "esp_start": 1,
        "esp_mean": 1,
        "esp_top": 1,
        "esp_bottom": 1,
        "esp_layers": 2,
        "sodium_start": 0,
        "on_clay": 0,
        "in_water": 0,
        "leached": 0,
        "gypsum_left": 2,
        "na": 1,
        "na_first": 1,
        "ec": 2,
        "ec_first": 2,
        "na_line": 2,
        "ec_line": 3,
    }
)
"""Decimals of each number. What is printed is rounded once, from the run itself; lines are only drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """At which rows of a run it is read.

    Attributes
    ----------
    stops : tuple of int
        The slider's.
    line : tuple of int
        Points of the leachate's line; row 0, before any water, has none.
    line_water : tuple of float
        Water applied up to each point [pore volumes].
    """

    stops: tuple[int, ...]
    line: tuple[int, ...]
    line_water: tuple[float, ...]

    @classmethod
    def of(cls, applied: Sequence[float], stops: tuple[int, ...]) -> Self:
        """Rows of all runs that are given the same water in the same steps.

        Parameters
        ----------
        applied : sequence of float
            Water applied up to each row [pore volumes].
        stops : tuple of int
            The slider's.
        """
        every = max(1, math.ceil((len(applied) - 1) / _POINTS))
        line = tuple(sorted({*range(1, len(applied), every), *stops} - {0}))
        return cls(stops=stops, line=line, line_water=tuple(round(applied[row], 3) for row in line))


def read_run(run: Run, rows: Rows) -> dict[str, NDArray[Any]]:
    """The numbers of a run by name, the keys of `DIGITS`.

    Parameters
    ----------
    run : Run
        With every step kept.
    rows : Rows

    Returns
    -------
    dict of str to ndarray
        Of shape (), (stops,), (stops, layers) or (points,); NaN where nothing has drained.

    Notes
    -----
    ``na`` and ``ec`` at a stop are those of the last water that has drained until then, ``na_first`` and
    ``ec_first`` of the first that ever does.
    """
    stops = np.array(rows.stops)
    trace, soil = run.trace, run.scenario.soil
    exchanger = trace.exchanger[stops, _NA]
    esp = 100.0 * exchanger
    drained = np.concatenate([[0.0], np.cumsum(trace.out_volume * trace.outflow[:, _NA])])
    sodium, conductivity = drained_line(run)
    mass = SODIUM.molar_mass
    dripping = np.flatnonzero(np.isfinite(sodium))
    last = np.array([dripping[dripping <= row][-1:].sum() for row in stops], dtype=int)
    first = dripping[:1].sum()
    line = np.array(rows.line)
    return {
        "esp_start": np.array(run.initial_esp_pct),
        "esp_mean": esp.mean(axis=1),
        "esp_top": esp[:, 0],
        "esp_bottom": esp[:, -1],
        "esp_layers": esp,
        "sodium_start": np.array(run.sodium_initial_mg_per_kg),
        "on_clay": exchanger.mean(axis=1) * soil.cation_exchange_capacity * mass,
        "in_water": (trace.water[stops] * trace.concentrations[stops, _NA]).mean(axis=1) * mass,
        "leached": drained[stops] * mass,
        "gypsum_left": trace.gypsum[stops].mean(axis=1) * GYPSUM_MOLAR_MASS / 1000.0,
        "na": sodium[last],
        "na_first": sodium[first],
        "ec": conductivity[last],
        "ec_first": conductivity[first],
        "na_line": sodium[line],
        "ec_line": conductivity[line],
    }


def drained_line(run: Run) -> tuple[Array, Array]:
    """Sodium and conductivity of what drains in each step.

    Parameters
    ----------
    run : Run

    Returns
    -------
    tuple of ndarray, shape (steps + 1,)
        [mmol/L] and [dS/m]; NaN where nothing drains, as before the first step.
    """
    sodium, conductivity = (np.full(run.steps + 1, np.nan) for _ in range(2))
    drips = np.flatnonzero(run.trace.out_volume > 0)
    if drips.size:
        outflow = run.trace.outflow[drips]
        sodium[drips + 1] = outflow[:, _NA]
        conductivity[drips + 1] = electrical_conductivity(outflow.T)
    return sodium, conductivity


def sodium_brought(scenario: Scenario, rows: Rows) -> tuple[float, ...]:
    """Sodium that came with the water until each stop [mg/kg].

    Parameters
    ----------
    scenario : Scenario
        Whose water is that of all runs.
    rows : Rows
    """
    schedule = schedule_of(scenario, list(zip(scenario.wettings, scenario.inflows, strict=True)))
    brought = np.concatenate([[0.0], np.cumsum(schedule.volume * schedule.inflow[:, _NA])])
    return tuple(float(brought[row]) * SODIUM.molar_mass for row in rows.stops)
