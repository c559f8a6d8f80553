"""A model fitted to a bench run: chosen parameters moved until the portions are met, with what they are worth."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from math import sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.bench.fit_intervals import Interval, covariance, critical, linearised, profile
from soilx.bench.fit_model import Model, Unknowns
from soilx.bench.fit_parameters import Parameter, parameters_of, scenario_at
from soilx.bench.fit_soil import soil_by_totals
from soilx.bench.observations import Observation, Observations
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.column.sweep import sweep
from soilx.errors import ConvergenceError, LimitError, SoilxError

Array = NDArray[np.float64]

DEFAULT_PARAMETERS: Final = (
    "sodium_selectivity",
    "cation_exchange_capacity",
    "soluble_sodium",
    "bypass_fraction",
)

MISFIT_PROBABILITY: Final = 0.05
"""Where the instruments' errors would leave so large a sum of squares this rarely, the model is held to miss."""

_STARTS: Final = 24
"""Points tried before the search, so that it begins in the right valley."""
_MOST_TRIALS: Final = 60
_MOST_SEARCHES: Final = 4
"""Searches from different points where the first does not meet the readings."""
_REFUSED: Final = 1e6
"""Residual of a point at which no column runs: the search steps back from it."""


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
            Carry bypass, dispersivity over depth and dissolution rate as well, where they were fitted. A bench
            column is not a field: its cracks and its packing are its own.
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
            changes |= {"dissolution": "first_order", "dissolution_rate": f"{values['dissolution_rate']!r} 1/h"}
        return scenario.with_(**changes)

    @cached_property
    def runs_before(self) -> tuple[Run, ...]:
        """The prediction: every column with the parameters as they were, step by step."""
        return sweep(column.scenario for column in self.observations.columns)

    @cached_property
    def runs(self) -> tuple[Run, ...]:
        """Every column with the fitted parameters, step by step."""
        return sweep(scenario_at(column.scenario, self.values) for column in self.observations.columns)


def fit(observations: Observations, parameters: tuple[str, ...] = DEFAULT_PARAMETERS) -> Fit:
    """Fit of chosen parameters to a bench run, with their intervals.

    Parameters
    ----------
    observations : Observations
        From `observe`.
    parameters : tuple of str
        Keys of `soilx.bench.fit_parameters.PARAMETERS`.

    Returns
    -------
    Fit

    Raises
    ------
    LimitError
        If a parameter is not known, or there are no more readings than parameters.
    ConvergenceError
        If no set of parameters can be run near the start.

    Notes
    -----
    Weighted least squares by `scipy.optimize.least_squares`, on scales that keep every parameter within its
    limits: the logarithm, or the logit of a share. One residual a reading, by the error of each reading by
    itself; the error that all readings of an instrument share is one more unknown each, held by its own size.
    All finite differences of a step are one sweep.

    The soil's inventory, the dose and the volumes are taken as they are written down; their errors are not in
    the intervals.
    """
    chosen = parameters_of(parameters)
    _require_enough(observations, len(chosen))
    calibrated = tuple(q for q in observations.quantities if observations.calibration[q] > 0)
    unknowns = Unknowns(parameters=chosen, scenario=observations.columns[0].scenario, calibrated=calibrated)
    model = Model(observations=observations, unknowns=unknowns)
    dof = len(observations.readings) - len(chosen)
    point, residuals, slopes = _searched(model, dof)
    for _ in range(3):
        misfit = _misfit(float(residuals @ residuals), dof)
        reach = misfit * critical(dof, scaled=misfit > 1)
        profiles = profile(model, point, residuals, slopes, reach=reach)
        if profiles.better is None:
            break
        point, residuals, slopes = _least(model, profiles.better)
    return _described(model, point, residuals, slopes, profiles.intervals, misfit=misfit, dof=dof)


def _require_enough(observations: Observations, wanted: int) -> None:
    count = len(observations.readings)
    if count <= wanted:
        raise LimitError(
            f"readings = {count}: are too few to fit {wanted} parameter(s); the limit is arithmetic: a fit needs more "
            "readings than parameters, to see how well it does; fit fewer parameters, or read more portions."
        )


def _starts(model: Model) -> list[Array]:
    """Points to begin from, those that the readings like best first."""
    unknowns = model.unknowns
    start, (low, high) = unknowns.start(), unknowns.bounds()
    count = len(unknowns.parameters)
    # fixed points, so that a fit is the same every time
    places = np.random.default_rng(20).uniform(-1.0, 1.0, (_STARTS, count))
    spread = np.array([parameter.spread for parameter in unknowns.parameters])
    # a share that starts at the end of its range is spread around a place within
    centre = np.clip(start[:count], low[:count] + spread, high[:count] - spread)
    tried = np.repeat(start[np.newaxis], _STARTS, axis=0)
    tried[1:, :count] = centre + spread * places[1:]
    try:
        predicted = model.predicted(tried)
    except SoilxError:
        return [start]
    off = model.residuals(predicted, tried[:, count:])
    return list(tried[np.argsort((off**2).sum(axis=1))])


def _searched(model: Model, dof: int) -> tuple[Array, Array, Array]:
    """The best point found; searched for again from elsewhere where the readings are not met."""
    starts = _starts(model)
    found = _least(model, starts[0])
    if _misfit(float(found[1] @ found[1]), dof) > 1:
        others = [_least(model, start) for start in starts[1:_MOST_SEARCHES]]
        found = min([found, *others], key=lambda one: float(one[1] @ one[1]))
    return found


def _least(model: Model, start: Array) -> tuple[Array, Array, Array]:
    """Point of least squares from a start, its residuals and slopes."""
    from scipy.optimize import least_squares  # loaded on first use: it costs as much as soilx itself

    known: dict[bytes, tuple[Array, Array]] = {}

    def at(point: Array) -> tuple[Array, Array]:
        key = point.tobytes()
        if key not in known:
            try:
                r, j = model.residuals_and_slopes(point[np.newaxis])
                known[key] = (r[0], j[0])
            except SoilxError:
                count = len(model.observations.readings) + model.calibration.size
                known[key] = (np.full(count, _REFUSED), np.zeros((count, point.size)))
        return known[key]

    low, high = model.unknowns.bounds()
    inner = 1e-9 * (high - low)
    found = least_squares(
        lambda point: at(point)[0],
        np.clip(start, low + inner, high - inner),
        jac=lambda point: at(point)[1],
        bounds=(low, high),
        x_scale="jac",
        ftol=1e-6,
        xtol=1e-6,
        gtol=1e-6,
        max_nfev=_MOST_TRIALS,
    )
    point = np.asarray(found.x)
    residuals, slopes = at(point)
    if residuals[0] == _REFUSED:
        raise ConvergenceError(
            "fit: no column can be run at the start or near it; the limit is the model's; check soil, dose and "
            "water of the record."
        )
    return point, residuals, slopes


def _misfit(square: float, dof: int) -> float:
    from scipy.special import chdtri  # loaded on first use

    return sqrt(square / dof) if square > chdtri(dof, MISFIT_PROBABILITY) else 1.0


def _described(
    model: Model,
    point: Array,
    residuals: Array,
    slopes: Array,
    intervals: tuple[Interval, ...],
    *,
    misfit: float,
    dof: int,
) -> Fit:
    unknowns, observations = model.unknowns, model.observations
    count = len(unknowns.parameters)
    reach = misfit * critical(dof, scaled=misfit > 1)
    straight = linearised(model, point, slopes, reach=reach)
    both = np.stack([unknowns.start(), point])
    predicted = model.predicted(both)
    factors = both[:, count:]
    shown = predicted * np.exp(factors @ model.shared.T)
    off = model.residuals(predicted, factors)
    spread = covariance(slopes, unknowns.bounds())[:count, :count]
    own = np.sqrt(np.diag(spread))
    low, high = unknowns.bounds()
    room = 0.02 * (high - low)
    return Fit(
        observations=observations,
        parameters=tuple(
            Fitted(
                parameter=parameter,
                start=parameter.start(unknowns.scenario),
                value=parameter.value(float(point[place]), unknowns.scenario),
                limits=parameter.limits(unknowns.scenario),
                interval=intervals[place],
                linearised=straight[place],
                at_limit=_limit(point[place], low[place] + room[place], high[place] - room[place]),
                effect=float(np.linalg.norm(slopes[:, place]) * room[place] / 2),
            )
            for place, parameter in enumerate(unknowns.parameters)
        ),
        correlation=spread / np.outer(own, own),
        met=tuple(
            Met(
                reading=reading,
                before=float(shown[0, place]),
                after=float(shown[1, place]),
                residual_before=float(off[0, place]),
                residual=float(off[1, place]),
            )
            for place, reading in enumerate(observations.readings)
        ),
        calibration={
            name: float(np.exp(factors[1, place])) for place, name in enumerate(unknowns.calibrated)
        },
        sum_of_squares=float(residuals @ residuals),
        sum_before=float(off[0] @ off[0]),
        degrees_of_freedom=dof,
        misfit=misfit,
        sweeps=model.sweeps,
        columns=model.columns,
    )


def _limit(value: float, low: float, high: float) -> str:
    return "lower" if value < low else "upper" if value > high else ""
