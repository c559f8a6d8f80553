"""Profile intervals: how far each parameter can go before no choice of the others meets the readings."""

from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.bench.fit_intervals import INTERPOLATED, LINEARISED, PROFILE, Interval, covariance
from soilx.bench.fit_model import Model
from soilx.errors import SoilxError

Array = NDArray[np.float64]

_METHODS: Final = (PROFILE, INTERPOLATED, LINEARISED)
_MOST_ROUNDS: Final = 16
_CLOSE: Final = 0.02
"""How near the root of the rise of the sum of squares has to come to its target, relative."""
_STEP_COST: Final = 10.0
"""Residual that a step of another unknown across all its range counts as."""
_BETTER: Final = 0.05
"""A sum of squares that is lower than the fit's by this much is a better fit."""


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


@dataclass(slots=True)
class _End:
    """Search for one end of one interval.

    `point` is to be tried next, `kept` the last point taken with its sum of squares; `seen` holds (place on
    the scale, rise in errors) wherever the others had settled.
    """

    place: int
    side: float
    point: Array
    kept: Array
    square: float
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
            ends.append(_End(place, side, np.clip(point + step / max(1.0, longest), *bounds), point, least))
    better, best = None, least - _BETTER
    for _ in range(_MOST_ROUNDS):
        active = [end for end in ends if not end.done]
        if not active:
            break
        try:
            r, j = model.residuals_and_slopes(np.array([end.point for end in active]))
        except SoilxError:
            for end in active:
                end.point = 0.5 * (end.point + end.kept)
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
    place, side, square = end.place, end.side, float(residuals @ residuals)
    if square > max(target, end.square) + reach**2 and np.max(np.abs(end.point - end.kept)) > 1e-6:
        # the straight model led astray: half as far
        end.point = 0.5 * (end.point + end.kept)
        return
    end.kept, end.square = end.point, square
    low, high = bounds[0][place], bounds[1][place]
    others = np.arange(slopes.shape[1]) != place
    free = _free(end.point, residuals, slopes, others, bounds)
    # a step of the others along which nothing changes is kept short by a small cost of its own
    cost = np.diag(_STEP_COST / (bounds[1] - bounds[0]))[free][:, free]
    straight = np.concatenate([slopes[:, free], cost])
    basis, triangle = np.linalg.qr(straight)
    padding = np.zeros(len(cost))
    own_all = np.concatenate([slopes[:, place], padding])
    rest_all = np.concatenate([residuals, padding])
    own = own_all - basis @ (basis.T @ own_all)
    rest = rest_all - basis @ (basis.T @ rest_all)
    profiled = float(rest @ rest)
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
    moved[free] = -np.linalg.solve(triangle, basis.T @ (rest_all + own_all * step))
    size = np.max(np.abs(moved) / (bounds[1] - bounds[0]))
    end.point = np.clip(end.point + moved * min(1.0, 0.25 / max(size, 1e-300)), *bounds)


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
    """Where a search ended, or would have: between what it saw on both sides of its target; and how."""
    if end.done:
        return float(end.point[end.place]), PROFILE
    # from the fit outwards; a point nearer than one already within says nothing new
    seen = sorted(
        [(0.0, 0.0)] + [((place - centre) * end.side, risen) for place, risen in end.seen],
        key=lambda one: one[0],
    )
    within = max(number for number, (_, risen) in enumerate(seen) if risen <= reach)
    if within + 1 < len(seen):
        (near, low), (far, high) = seen[within], seen[within + 1]
        away, how = near + (far - near) * (reach - low) / (high - low), INTERPOLATED
    else:
        away, how = max(reach * spread, seen[within][0]), LINEARISED
    return float(np.clip(centre + end.side * away, bounds[0][end.place], bounds[1][end.place])), how
