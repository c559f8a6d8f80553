"""What a fit found: parameters with intervals, every reading beside the model, the soil for the field."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from soilx.bench.fit_intervals import Interval
from soilx.bench.fit_parameters import Parameter, scenario_at
from soilx.bench.fit_soil import soil_by_totals
from soilx.bench.observations import Observation, Observations
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.column.sweep import sweep
from soilx.errors import LimitError

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """One parameter after a fit.

    Attributes
    ----------
    parameter : Parameter
    start, value : float
        Before and after the fit, in the parameter's unit.
    limits : tuple of float
        Between which it was searched.
    interval, linearised : Interval
        95 %, by profile; and from the slopes alone.
    at_limit : str
        "lower" or "upper" where the fit ended at a limit of the search; else "".
    effect : float
        How far the readings move, in standard errors all together, as the parameter crosses a hundredth of
        its range.
    """

    parameter: Parameter
    start: float
    value: float
    limits: tuple[float, float]
    interval: Interval
    linearised: Interval
    at_limit: str
    effect: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Met:
    """One reading beside the model.

    Attributes
    ----------
    reading : Observation
    before, after : float
        By the model before and after the fit, as the instrument would show it [unit of the reading].
    residual_before, residual : float
        How far the model is above the reading, in standard errors of the reading by itself; of a reading
        outside the range, how unlikely its side is, on the same scale.
    """

    reading: Observation
    before: float
    after: float
    residual_before: float
    residual: float


@dataclass(frozen=True, kw_only=True, eq=False)
class Fit:
    """A fit and everything to judge it by.

    Attributes
    ----------
    observations : Observations
    parameters : tuple of Fitted
    correlation : ndarray, shape (parameters, parameters)
        Of the fitted parameters, on the scales of the search.
    met : tuple of Met
        Every reading beside the model, before and after.
    calibration : mapping of str to float
        By quantity: factor by which its readings are too high, as the fit has it.
    sum_of_squares, sum_before : float
        Of residuals in standard errors, calibrations included.
    degrees_of_freedom : int
    misfit : float
        Factor by which the intervals were widened, since the readings lie further off than their errors
        explain; 1 where they do not.
    sweeps, columns : int
        What it took: sweeps, and columns in all of them.
    """

    observations: Observations
    parameters: tuple[Fitted, ...]
    correlation: Array
    met: tuple[Met, ...]
    calibration: Mapping[str, float]
    sum_of_squares: float
    sum_before: float
    degrees_of_freedom: int
    misfit: float
    sweeps: int
    columns: int

    @property
    def values(self) -> dict[str, float]:
        """Fitted values by key, in the parameters' units."""
        return {fitted.parameter.key: fitted.value for fitted in self.parameters}

    def __getitem__(self, key: str) -> Fitted:
        """One fitted parameter by its key."""
        for fitted in self.parameters:
            if fitted.parameter.key == key:
                return fitted
        raise LimitError(
            f"parameter {key}: was not fitted; the fit moved {', '.join(self.values)}; name one of these."
        )

    @cached_property
    def soil(self) -> Soil:
        """The fitted soil, by its totals, with the geometry and waters of the soil before; for the field."""
        before = self.observations.soil
        moved = scenario_at(self.observations.columns[0].scenario, self.values).soil
        return soil_by_totals(
            before,
            name=f"{before.name}, fitted",
            inventory=moved.inventory,
            capacity=moved.cation_exchange_capacity,
            selectivity=moved.selectivity,
        )

    def carried_to(self, scenario: Scenario, *, column_too: bool = False) -> Scenario:
        """A scenario of the field with the fitted soil in place of its own.

        Parameters
        ----------
        scenario : Scenario
            Of the soil before the fit.
        column_too : bool
            Carry bypass, dispersivity over depth and dissolution rate as well, where they were fitted. A
            bench column is not a field: its cracks and its packing are its own.
        """
        changes: dict[str, object] = {"soil": self.soil}
        values = self.values if column_too else {}
        if "bypass_fraction" in values:
            changes["bypass_fraction"] = values["bypass_fraction"]
        if "dispersivity" in values:
            share = 1 - 2 * self.observations.columns[0].scenario.layers * values["dispersivity"]
            changes |= {
                "layers": self.observations.columns[0].scenario.layers,
                "displaced_fraction": share,
                "dispersivity": None,
            }
        if "dissolution_rate" in values:
            changes |= {
                "dissolution": "first_order",
                "dissolution_rate": f"{values['dissolution_rate']!r} 1/h",
            }
        return scenario.with_(**changes)

    @cached_property
    def runs_before(self) -> tuple[Run, ...]:
        """The prediction: every column with the parameters as they were, step by step."""
        return sweep(column.scenario for column in self.observations.columns)

    @cached_property
    def runs(self) -> tuple[Run, ...]:
        """Every column with the fitted parameters, step by step."""
        return sweep(scenario_at(column.scenario, self.values) for column in self.observations.columns)
