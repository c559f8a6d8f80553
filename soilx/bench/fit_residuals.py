"""The pattern of what a fit leaves: readings that lie off together, drift along the run, or stand alone."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from soilx.bench.fit_result import Fit, Met

DRIFT: Final = 0.8
"""Rank correlation of residual and portion from which a series is said to drift; our own limit."""
FAR: Final = 3.0
"""Standard errors from which a single reading is named."""
_WIDE: Final = 2.0
_FEWEST: Final = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """Residuals of one quantity of one column, in the order of the portions.

    Attributes
    ----------
    name, quantity : str
        Column and quantity.
    portions : tuple of int
    residuals : tuple of float
        Model above the reading, in standard errors.
    pattern : str
        "", or what they do together.
    """

    name: str
    quantity: str
    portions: tuple[int, ...]
    residuals: tuple[float, ...]
    pattern: str


def residual_series(fit: Fit) -> tuple[Series, ...]:
    """Residuals of every column and quantity, readings outside an instrument's range left out.

    Parameters
    ----------
    fit : Fit
    """
    groups: dict[tuple[str, str], list[Met]] = {}
    for met in fit.met:
        if not met.reading.limit:
            key = (f"{met.reading.arm} {met.reading.replicate}", met.reading.quantity)
            groups.setdefault(key, []).append(met)
    return tuple(
        Series(
            name=name,
            quantity=quantity,
            portions=tuple(met.reading.portion for met in every),
            residuals=tuple(met.residual for met in every),
            pattern=_pattern([met.residual for met in every]),
        )
        for (name, quantity), every in groups.items()
    )


def _pattern(residuals: Sequence[float]) -> str:
    if len(residuals) < _FEWEST:
        return ""
    values = np.array(residuals)
    if np.all(values > 0) and values.mean() > 1:
        return "the model is above the readings in every portion"
    if np.all(values < 0) and values.mean() < -1:
        return "the model is below the readings in every portion"
    ranks = np.argsort(np.argsort(values))
    drift = float(np.corrcoef(ranks, np.arange(values.size))[0, 1])
    if np.ptp(values) > _WIDE and abs(drift) >= DRIFT:
        early, late = ("above", "below") if drift < 0 else ("below", "above")
        return f"the model is {early} the readings at first and {late} them later"
    middle = values[values.size // 3 : values.size - values.size // 3]
    ends = np.concatenate([values[: values.size // 3], values[values.size - values.size // 3 :]])
    if np.ptp(values) > _WIDE and (middle.min() > ends.max() or middle.max() < ends.min()):
        side = "above" if middle.min() > ends.max() else "below"
        return f"the model is {side} the readings in the middle of the run and on the other side at its ends"
    return ""


def far_readings(fit: Fit) -> tuple[Met, ...]:
    """Readings that the fit leaves more than three standard errors away, the farthest first."""
    far = [met for met in fit.met if abs(met.residual) > FAR]
    return tuple(sorted(far, key=lambda met: -abs(met.residual)))
