"""95 % intervals of fitted parameters: what they are, and those that straight lines give."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.bench.fit_model import Model

Array = NDArray[np.float64]

CONFIDENCE: Final = 0.95
PROFILE: Final = "profile"
INTERPOLATED: Final = "profile, interpolated"
LINEARISED: Final = "linearised"


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
