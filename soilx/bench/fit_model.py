"""What the columns of a bench run give for any parameters, and how far that is from what was read.

Readings and model are compared as asinh(x/2a), with a the reading's floor over twice its relative error: on
this scale an error that is relative for strong leachate and absolute near nothing is the same everywhere.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.bench.fit_parameters import Parameter, scenario_at
from soilx.bench.observations import Observations
from soilx.chemistry.conductivity import electrical_conductivity
from soilx.chemistry.ions import MOLAR_MASSES, ORDER
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.sweep import sweep

Array = NDArray[np.float64]

_NUDGE: Final = 1e-4
_ROWS: Final = {"calcium": ORDER.index("Ca"), "sodium": ORDER.index("Na")}


@dataclass(frozen=True, slots=True, kw_only=True)
class Unknowns:
    """The numbers that are searched: parameters on their scales, then one calibration for each quantity.

    Attributes
    ----------
    parameters : tuple of Parameter
    scenario : Scenario
        Any column of the run, before the fit: it gives starts and limits.
    calibrated : tuple of str
        Quantities whose readings share an error; the unknown is the logarithm of how much too high they are.
    """

    parameters: tuple[Parameter, ...]
    scenario: Scenario
    calibrated: tuple[str, ...]

    @property
    def size(self) -> int:
        """How many there are."""
        return len(self.parameters) + len(self.calibrated)

    def start(self) -> Array:
        """Before the fit, shape (size,)."""
        before = [p.searched(p.start(self.scenario), self.scenario) for p in self.parameters]
        return np.array(before + [0.0] * len(self.calibrated))

    def bounds(self) -> tuple[Array, Array]:
        """Ends of the search, each shape (size,)."""
        ends = [p.bounds(self.scenario) for p in self.parameters] + [(-1.0, 1.0)] * len(self.calibrated)
        return np.array([low for low, _ in ends]), np.array([high for _, high in ends])

    def values(self, point: Array) -> dict[str, float]:
        """Parameters of a point, by key, in their units."""
        count = len(self.parameters)
        return {
            p.key: p.value(float(searched), self.scenario)
            for p, searched in zip(self.parameters, point[:count], strict=True)
        }


@dataclass(slots=True, kw_only=True)
class Model:
    """Residuals of a run's readings at any point, many points in one sweep.

    Attributes
    ----------
    observations : Observations
    unknowns : Unknowns
    sweeps, columns : int
        How often columns were swept, and how many of them in all: what the fit cost.
    """

    observations: Observations
    unknowns: Unknowns
    sweeps: int = 0
    columns: int = 0
    read: Array = field(init=False)
    scale: Array = field(init=False)
    weight: Array = field(init=False)
    sense: Array = field(init=False)
    calibration: Array = field(init=False)
    shared: Array = field(init=False)

    def __post_init__(self) -> None:
        readings = self.observations.readings
        self.weight = np.array([1.0 / reading.error for reading in readings])
        self.scale = np.array([reading.floor / (2 * reading.error) for reading in readings])
        self.read = np.arcsinh(np.array([reading.value for reading in readings]) / (2 * self.scale))
        senses = {"": 0.0, "below": 1.0, "above": -1.0}
        self.sense = np.array([senses[reading.limit] for reading in readings])
        names = self.unknowns.calibrated
        self.calibration = np.array([self.observations.calibration[name] for name in names])
        self.shared = np.array(
            [[float(reading.quantity == name) for name in names] for reading in readings]
        ).reshape(len(readings), len(names))

    def predicted(self, points: Array) -> Array:
        """What perfect instruments would have read, shape (points, readings), in the readings' units.

        Raises
        ------
        SoilxError
            If a column cannot be run at one of the points.
        """
        return self.predicted_with([self.unknowns.values(point) for point in points])

    def predicted_with(self, values: Sequence[Mapping[str, float]]) -> Array:
        """The same by parameters in their own units; what is not named stays as it was before the fit."""
        own = self.observations.columns
        runs = self._runs(values)
        found = np.empty((len(values), len(self.observations.readings)))
        cups = np.concatenate([cup_means(run) for run in runs], axis=1)
        conductivity = electrical_conductivity(cups, extrapolate=True)
        firsts = np.cumsum([0, *(len(column.portions) for column in own)])
        for row in range(len(values)):
            for place, reading in enumerate(self.observations.readings):
                cup = row * firsts[-1] + firsts[reading.column] + reading.cup
                if reading.quantity == "ec":
                    found[row, place] = conductivity[cup]
                else:
                    ion = _ROWS[reading.quantity]
                    found[row, place] = cups[ion, cup] * MOLAR_MASSES[ion]
        return found

    def _runs(self, values: Sequence[Mapping[str, float]]) -> tuple[Run, ...]:
        scenarios = [
            scenario_at(column.scenario, at) for at in values for column in self.observations.columns
        ]
        self.sweeps += 1
        self.columns += len(scenarios)
        # trial points may be stronger than the activity model likes; what is shown in the end may not
        return sweep(scenarios, extrapolate=True, keep_steps=False)

    def residuals(self, predicted: Array, factors: Array) -> Array:
        """Residuals in standard errors, shape (points, readings + calibrations).

        Parameters
        ----------
        predicted : ndarray, shape (points, readings)
        factors : ndarray, shape (points, calibrations)
            Logarithm of how much too high each calibrated quantity is read.

        Notes
        -----
        Of a reading outside the instrument's range only its side is known: its residual is √(−2 ln Φ), so
        that the sum of squares stays −2 ln of the likelihood.
        """
        seen = predicted * np.exp(factors @ self.shared.T)
        off = (np.arcsinh(seen / (2 * self.scale)) - self.read) * self.weight
        one_sided = self.sense != 0
        if one_sided.any():
            from scipy.special import log_ndtr  # loaded on first use

            off[:, one_sided] = np.sqrt(-2 * log_ndtr(-self.sense[one_sided] * off[:, one_sided]))
        return np.concatenate([off, factors / self.calibration], axis=1)

    def residuals_and_slopes(self, points: Array) -> tuple[Array, Array]:
        """Residuals, and their derivatives by every unknown, by one sweep for all points.

        Parameters
        ----------
        points : ndarray, shape (points, unknowns)

        Returns
        -------
        tuple of ndarray
            Shapes (points, readings + calibrations) and (points, readings + calibrations, unknowns).

        Raises
        ------
        SoilxError
            If a column cannot be run at one of the points.
        """
        (low, high), count = self.unknowns.bounds(), len(self.unknowns.parameters)
        nudges = np.array([p.nudge for p in self.unknowns.parameters])
        moved = np.repeat(points[:, np.newaxis], 2 * count + 1, axis=1)
        each = np.arange(count)
        moved[:, 1 + each, each] = np.minimum(points[:, :count] + nudges, high[:count])
        moved[:, 1 + count + each, each] = np.maximum(points[:, :count] - nudges, low[:count])
        distance = moved[:, 1 + each, each] - moved[:, 1 + count + each, each]
        runs = moved.reshape(-1, points.shape[1])
        factors = runs[:, count:]
        predicted = self.predicted(runs)
        found = self.residuals(predicted, factors).reshape(len(points), 2 * count + 1, -1)
        slopes = np.empty((*found[:, 0].shape, points.shape[1]))
        slopes[..., :count] = (
            (found[:, 1 : 1 + count] - found[:, 1 + count :]) / distance[..., np.newaxis]
        ).transpose(0, 2, 1)
        # the calibrations need no runs of their own
        here = predicted.reshape(len(points), 2 * count + 1, -1)[:, 0]
        for place in range(count, points.shape[1]):
            sides = []
            for nudge in (_NUDGE, -_NUDGE):
                other = points.copy()
                other[:, place] += nudge
                sides.append(self.residuals(here, other[:, count:]))
            slopes[..., place] = (sides[0] - sides[1]) / (2 * _NUDGE)
        return found[:, 0], slopes


def cup_means(run: Run) -> Array:
    """Mean composition of every cup of a run with one cup a wetting, shape (7, cups) [mmol/L]."""
    ends = np.cumsum([wetting.volume for wetting in run.scenario.wettings])
    steps = run.trace.applied[1:]
    cup = np.searchsorted(ends, steps - 1e-9 * ends[-1])
    volume = np.zeros(ends.size)
    amount = np.zeros((ends.size, 7))
    np.add.at(volume, cup, run.trace.out_volume)
    np.add.at(amount, cup, run.trace.out_volume[:, np.newaxis] * run.trace.outflow)
    return np.asarray((amount / volume[:, np.newaxis]).T)
