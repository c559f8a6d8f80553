"""A model fitted to a bench run: chosen parameters are moved until it meets the portions."""

from math import sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.bench.fit_intervals import Interval, covariance, critical, linearised
from soilx.bench.fit_model import Model, Unknowns
from soilx.bench.fit_parameters import parameters_of
from soilx.bench.fit_profile import profile
from soilx.bench.fit_result import Fit, Fitted, Met
from soilx.bench.observations import Observations
from soilx.errors import ConvergenceError, LimitError, SoilxError

Array = NDArray[np.float64]

DEFAULT_PARAMETERS: Final = (
    "sodium_selectivity",
    "cation_exchange_capacity",
    "soluble_sodium",
    "bypass_fraction",
)

MISFIT_PROBABILITY: Final = 0.05
"""Where the instruments' errors would leave a sum of squares so large this rarely, the model misses."""

_STARTS: Final = 24
"""Points tried before the search, so that it begins in the right valley."""
_MOST_TRIALS: Final = 60
_MOST_SEARCHES: Final = 3
"""Searches from different points where the first does not meet the readings."""
_REFUSED: Final = 1e6
"""Residual of a point at which no column runs: the search steps back from it."""


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
        point, residuals, slopes = _least(model, profiles.better) or (point, residuals, slopes)
    return _described(model, point, residuals, slopes, profiles.intervals, misfit=misfit, dof=dof)


def _require_enough(observations: Observations, wanted: int) -> None:
    count = len(observations.readings)
    if count <= wanted:
        raise LimitError(
            f"readings = {count}: are too few to fit {wanted} parameter(s); the limit is arithmetic: a fit "
            "needs more readings than parameters, to see how well it does; fit fewer parameters, or read "
            "more portions."
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
    found: list[tuple[Array, Array, Array]] = []
    for start in _starts(model):
        reached = _least(model, start)
        if reached is None:
            continue
        found.append(reached)
        if len(found) == _MOST_SEARCHES or _misfit(float(reached[1] @ reached[1]), dof) == 1:
            break
    if not found:
        raise ConvergenceError(
            "fit: no column can be run at the start or near it; the limit is the model's; check soil, dose "
            "and water of the record."
        )
    return min(found, key=lambda one: float(one[1] @ one[1]))


def _least(model: Model, start: Array) -> tuple[Array, Array, Array] | None:
    """Point of least squares from a start, its residuals and slopes; None if nothing runs there."""
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

    def residuals_at(point: Array) -> Array:
        return at(point)[0]

    def slopes_at(point: Array) -> Array:
        return at(point)[1]

    low, high = model.unknowns.bounds()
    inner = 1e-9 * (high - low)
    found = least_squares(
        residuals_at,
        np.clip(start, low + inner, high - inner),
        jac=slopes_at,
        bounds=(low, high),
        x_scale="jac",
        ftol=1e-5,
        xtol=1e-5,
        gtol=1e-5,
        max_nfev=_MOST_TRIALS,
    )
    point = np.asarray(found.x)
    residuals, slopes = at(point)
    return None if residuals[0] == _REFUSED else (point, residuals, slopes)


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
    # the prediction is of the columns as they were, not of where the search may begin
    predicted = model.predicted_with([{}, unknowns.values(point)])
    factors = np.stack([np.zeros(point.size - count), point[count:]])
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
