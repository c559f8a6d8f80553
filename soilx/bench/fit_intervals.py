"""95 % intervals of fitted parameters: linearised, and by profile, which follows where the model bends."""

from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.bench.fit_model import Model
from soilx.errors import SoilxError

Array = NDArray[np.float64]

CONFIDENCE: Final = 0.95
PROFILE: Final = "profile"
INTERPOLATED: Final = "profile, interpolated"
LINEARISED: Final = "linearised"

_METHODS: Final = (PROFILE, INTERPOLATED, LINEARISED)
_MOST_ROUNDS: Final = 12
_CLOSE: Final = 0.02
"""How near the root of the rise of the sum of squares has to come to its target, relative."""
_BETTER: Final = 0.05
"""A sum of squares that is lower than the fit's by this much is a better fit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """A 95 % interval, in the parameter's unit.

    Attributes
    ----------
    low, high : float
        Its ends.
    open_low, open_high : bool
        True where the readings allow everything up to the limit of the search, so that the end is that limit.
    method : str
        "profile"; "profile, interpolated" where the search saw both sides of an end and did not settle on it;
        "linearised" where it saw neither.
    """

    low: float
    high: float
    open_low: bool = False
    open_high: bool = False
    method: str = PROFILE

    @property
    def width(self) -> float:
        """From end to end."""
        return self.high - self.low

    def holds(self, value: float) -> bool:
        """True where the value is within; an open end holds everything beyond it."""
        return (self.open_low or value >= self.low) and (self.open_high or value <= self.high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Profiles:
    """What profiling found.

    Attributes
    ----------
    intervals : tuple of Interval
        One for each parameter.
    better : ndarray or None
        A point with a smaller sum of squares than the fit's, if the search came across one.
    """

    intervals: tuple[Interval, ...]
    better: Array | None


def covariance(slopes: Array, bounds: tuple[Array, Array]) -> Array:
    """Covariance on the scale of the search, for residuals of unit error, shape (unknowns, unknowns).

    Parameters
    ----------
    slopes : ndarray, shape (residuals, unknowns)
        At the fit.
    bounds : tuple of ndarray
        Ends of the search: a direction of which nothing is known is held to be as wide as they are.
    """
    # A prior as wide as the search leaves what is known as it is, and keeps what is not known finite.
    width = bounds[1] - bounds[0]
    return np.asarray(np.linalg.inv(slopes.T @ slopes + np.diag(1.0 / width**2)))


def critical(dof: int, *, scaled: bool) -> float:
    """How many standard errors a 95 % interval reaches on either side.

    Parameters
    ----------
    dof : int
        Degrees of freedom.
    scaled : bool
        True where the errors themselves are judged from the residuals, and Student's t takes the place of the
        normal distribution.
    """
    from scipy.special import ndtri, stdtrit  # loaded on first use

    tail = 0.5 + CONFIDENCE / 2
    return float(stdtrit(dof, tail) if scaled else ndtri(tail))


def linearised(model: Model, point: Array, slopes: Array, *, reach: float) -> tuple[Interval, ...]:
    """Intervals from the slopes at the fit alone, straight in the parameters' own units.

    Parameters
    ----------
    model : Model
    point : ndarray, shape (unknowns,)
        The fit.
    slopes : ndarray, shape (residuals, unknowns)
    reach : float
        Half width in standard errors of unit residuals.
    """
    unknowns = model.unknowns
    spread = np.sqrt(np.diag(covariance(slopes, unknowns.bounds())))
    found = []
    for place, parameter in enumerate(unknowns.parameters):
        value = parameter.value(float(point[place]), unknowns.scenario)
        half = reach * float(spread[place]) * parameter.slope(float(point[place]), unknowns.scenario)
        found.append(Interval(low=value - half, high=value + half, method=LINEARISED))
    return tuple(found)


@dataclass(slots=True)
class _End:
    """Search for one end of one interval; what it has seen as (place on the scale, rise in errors)."""

    place: int
    side: float
    point: Array
    seen: list[tuple[float, float]] = field(default_factory=list)
    done: bool = False
    open_: bool = False


def profile(model: Model, point: Array, residuals: Array, slopes: Array, *, reach: float) -> Profiles:
    r"""Intervals within which the sum of squares, least by all other unknowns, rises by `reach`² at most.

    Parameters
    ----------
    model : Model
    point, residuals, slopes : ndarray
        The fit, and what `Model.residuals_and_slopes` gives there.
    reach : float
        As in `linearised`.

    Notes
    -----
    All ends are searched at once, each by Gauss–Newton steps: the model made straight at the point reached
    has a parabola as its profile, and the step goes to where that parabola meets the target,

    .. math:: |r_\perp + j_\perp d|^2 = S_{min} + \mathrm{reach}^2

    with r⊥ and j⊥ what the other unknowns cannot take up. It does not depend on the scale of the search. A
    search that comes to the limit of a parameter ends there, and the interval is open.
    """
    bounds = model.unknowns.bounds()
    least = float(residuals @ residuals)
    spread = covariance(slopes, bounds)
    ends = []
    for place in range(len(model.unknowns.parameters)):
        for side in (-1.0, 1.0):
            step = side * reach * spread[:, place] / np.sqrt(spread[place, place])
            # no further at first than a search's tenth: a far point may not even run
            longest = np.max(np.abs(step) / (0.1 * (bounds[1] - bounds[0])))
            ends.append(_End(place, side, np.clip(point + step / max(1.0, longest), *bounds)))
    better, best = None, least - _BETTER
    for _ in range(_MOST_ROUNDS):
        active = [end for end in ends if not end.done]
        if not active:
            break
        try:
            r, j = model.residuals_and_slopes(np.array([end.point for end in active]))
        except SoilxError:
            for end in active:
                end.point = 0.5 * (end.point + point)
            continue
        for end, here, slope in zip(active, r, j, strict=True):
            square = float(here @ here)
            if square < best:
                better, best = end.point.copy(), square
            _advance(end, here, slope, target=least + reach**2, least=least, reach=reach, bounds=bounds)
    return Profiles(intervals=_intervals(model, point, slopes, ends, reach=reach), better=better)


def _advance(
    end: _End,
    residuals: Array,
    slopes: Array,
    *,
    target: float,
    least: float,
    reach: float,
    bounds: tuple[Array, Array],
) -> None:
    """One step of a search, or its end."""
    place, side = end.place, end.side
    low, high = bounds[0][place], bounds[1][place]
    others = np.arange(slopes.shape[1]) != place
    free = _free(end.point, residuals, slopes, others, bounds)
    basis, values, right = _reduced(slopes[:, free])
    own = slopes[:, place] - basis @ (basis.T @ slopes[:, place])
    rest = residuals - basis @ (basis.T @ residuals)
    square, profiled = float(residuals @ residuals), float(rest @ rest)
    settled = square - profiled < _CLOSE * reach**2
    risen = np.sqrt(max(profiled - least, 0.0))
    if settled:
        end.seen.append((float(end.point[place]), float(risen)))
    at_limit = (end.point[place] >= high - 1e-9) if side > 0 else (end.point[place] <= low + 1e-9)
    if settled and (abs(risen - reach) < _CLOSE * reach or (at_limit and risen < reach)):
        end.done, end.open_ = True, risen < reach * (1 - _CLOSE)
        return
    a, b, c = float(own @ own), float(own @ rest), profiled - target
    inside = b * b - a * c
    longest = 0.25 * (high - low)
    if a < 1e-12:
        step = side * longest
    elif inside >= 0:
        step = (-b + side * np.sqrt(inside)) / a
    else:
        step = -b / a
    step = float(np.clip(step, -longest, longest))
    step = float(np.clip(end.point[place] + step, low, high) - end.point[place])
    moved = np.zeros(slopes.shape[1])
    moved[place] = step
    moved[free] = -right.T @ ((basis.T @ (residuals + slopes[:, place] * step)) / values)
    size = np.max(np.abs(moved) / (bounds[1] - bounds[0]))
    end.point = np.clip(end.point + moved * min(1.0, 0.25 / max(size, 1e-300)), *bounds)


def _reduced(slopes: Array) -> tuple[Array, Array, Array]:
    """Singular values and vectors of slopes, without the directions in which nothing changes."""
    basis, values, right = np.linalg.svd(slopes, full_matrices=False)
    kept = values > 1e-6 * max(float(values.max(initial=0.0)), 1e-300)
    return basis[:, kept], values[kept], right[kept]


def _free(
    point: Array, residuals: Array, slopes: Array, others: NDArray[np.bool_], bounds: tuple[Array, Array]
) -> NDArray[np.bool_]:
    """Those of the other unknowns that are not held at a limit beyond which they would fit better."""
    at_low, at_high = point <= bounds[0] + 1e-9, point >= bounds[1] - 1e-9
    downhill = -(slopes.T @ residuals)
    held = (at_low & (downhill < 0)) | (at_high & (downhill > 0))
    return np.asarray(others & ~held)


def _intervals(
    model: Model, point: Array, slopes: Array, ends: list[_End], *, reach: float
) -> tuple[Interval, ...]:
    unknowns = model.unknowns
    spread = np.sqrt(np.diag(covariance(slopes, unknowns.bounds())))
    found = []
    for place, parameter in enumerate(unknowns.parameters):
        pair = ends[2 * place : 2 * place + 2]
        limits = parameter.limits(unknowns.scenario)
        found_at = [
            _place_of(end, float(point[place]), float(spread[place]), unknowns.bounds(), reach=reach)
            for end in pair
        ]
        reached = [at for at, _ in found_at]
        found.append(
            Interval(
                low=limits[0] if pair[0].open_ else parameter.value(reached[0], unknowns.scenario),
                high=limits[1] if pair[1].open_ else parameter.value(reached[1], unknowns.scenario),
                open_low=pair[0].open_,
                open_high=pair[1].open_,
                method=max((how for _, how in found_at), key=_METHODS.index),
            )
        )
    return tuple(found)


def _place_of(
    end: _End, centre: float, spread: float, bounds: tuple[Array, Array], *, reach: float
) -> tuple[float, str]:
    """Where a search ended, or would have: between what it saw on either side of the target, else linearised."""
    if end.done:
        return float(end.point[end.place]), PROFILE
    # from the fit outwards; a point nearer than one already within says nothing new
    seen = sorted(
        [(0.0, 0.0)] + [((place - centre) * end.side, risen) for place, risen in end.seen], key=lambda one: one[0]
    )
    within = max(number for number, (_, risen) in enumerate(seen) if risen <= reach)
    if within + 1 < len(seen):
        (near, low), (far, high) = seen[within], seen[within + 1]
        away, how = near + (far - near) * (reach - low) / (high - low), INTERPOLATED
    else:
        away, how = max(reach * spread, seen[within][0]), LINEARISED
    return float(np.clip(centre + end.side * away, bounds[0][end.place], bounds[1][end.place])), how
