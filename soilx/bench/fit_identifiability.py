"""Which fitted parameters the readings tell, which they do not, and which they tell only together."""

from dataclasses import dataclass
from math import log
from typing import Final

from soilx.bench.fit_result import Fit, Fitted

TOLD: Final = "told"
ROUGH: Final = "told roughly"
ONE_SIDED: Final = "told on one side"
NOT_TOLD: Final = "not told"

ROUGH_RATIO, MOST_RATIO = 1.6, 5.0
"""Upper over lower end of an interval above which it is told roughly, or not at all; our own limits."""
ROUGH_PART, MOST_PART = 0.25, 0.6
"""The same for a share, as part of its range."""
MOST_ALLOWED: Final = 0.75
"""Part of the search that an interval with an open end may span before it tells nothing; our own limit."""
TOGETHER: Final = 0.9
"""Correlation from which two parameters are told only together; our own limit."""
NO_EFFECT: Final = 0.2
"""Standard errors, in all readings together, by which crossing a hundredth of the range has to move them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """How well the readings tell one parameter.

    Attributes
    ----------
    fitted : Fitted
    verdict : str
        `TOLD`, `ROUGH`, `ONE_SIDED` or `NOT_TOLD`.
    why : str
        For a parameter that is not told; empty else.
    together : tuple of (str, float)
        Titles of parameters that it is told only together with, and the correlation.
    """

    fitted: Fitted
    verdict: str
    why: str
    together: tuple[tuple[str, float], ...]


def identifiability(fit: Fit) -> tuple[Told, ...]:
    """How well each parameter is told, in the order of the fit.

    Parameters
    ----------
    fit : Fit
    """
    found = []
    for place, fitted in enumerate(fit.parameters):
        verdict, why = _verdict(fitted)
        partners = [
            (other.parameter.title, float(fit.correlation[place, number]))
            for number, other in enumerate(fit.parameters)
            if number != place and abs(fit.correlation[place, number]) >= TOGETHER
        ]
        found.append(Told(fitted=fitted, verdict=verdict, why=why, together=tuple(partners)))
    return tuple(found)


def _verdict(fitted: Fitted) -> tuple[str, str]:
    interval, (low, high) = fitted.interval, fitted.limits
    if fitted.effect < NO_EFFECT and interval.open_low and interval.open_high:
        return NOT_TOLD, "hardly anything that was read depends on it"
    if interval.open_low and interval.open_high:
        return NOT_TOLD, "any value between the limits of the search meets the readings"
    if fitted.parameter.is_share:
        size = interval.width / (high - low)
        rough, most = ROUGH_PART, MOST_PART
        said = f"the interval is {100 * size:.0f} % of its range"
    else:
        size = interval.high / interval.low
        rough, most = ROUGH_RATIO, MOST_RATIO
        said = f"the upper end is {size:.2g} times the lower one"
    if interval.open_low or interval.open_high:
        part = size if fitted.parameter.is_share else log(size) / log(high / low)
        if part > MOST_ALLOWED:
            return NOT_TOLD, f"{100 * part:.0f} % of all that was searched meets the readings"
        return ONE_SIDED, ""
    if size > most:
        return NOT_TOLD, said
    return (ROUGH if size > rough else TOLD), ""
