"""Bands of drawn results, and how much each input moves them."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

LOW: Final = 0.05
HIGH: Final = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Where nine in ten draws lie.

    Attributes
    ----------
    low, middle, high : float or None
        Twentieth, half and nineteen twentieths of the draws are at or below; None where that many draws have
        no answer, since no dose reaches the target.
    unit : str
        As printed.
    """

    low: float | None
    middle: float | None
    high: float | None
    unit: str

    @classmethod
    def of(cls, values: Array, unit: str) -> "Band":
        """Band of draws; infinite ones count as beyond every other."""
        # Each bound is one of the draws: a mean of a number and infinity is no number.
        found = np.quantile(values, [LOW, 0.5, HIGH], method="inverted_cdf")
        low, middle, high = (float(value) if np.isfinite(value) else None for value in found)
        return cls(low=low, middle=middle, high=high, unit=unit)


@dataclass(frozen=True, slots=True, kw_only=True)
class Influence:
    """How much one input moves a result.

    Attributes
    ----------
    key : str
        As in `soilx.practice.dose.uncertain_inputs.UNITS`.
    rank_correlation : float
        Spearman's, over the draws: near 1 or −1 where the input alone decides, near 0 where it matters
        little.
    """

    key: str
    rank_correlation: float


def influences_on(result: Array, inputs: Mapping[str, Array]) -> tuple[Influence, ...]:
    """Rank correlation of a result with every input that varies, the strongest first.

    Parameters
    ----------
    result : ndarray, shape (draws,)
        May hold infinities: they rank last, alike.
    inputs : dict of str to ndarray, each shape (draws,)
    """
    ranked = _ranks(result)
    if ranked.std() == 0:
        return ()
    found = [
        Influence(key=key, rank_correlation=float(np.corrcoef(ranked, _ranks(values))[0, 1]))
        for key, values in inputs.items()
        if values.std() > 0
    ]
    return tuple(sorted(found, key=lambda each: -abs(each.rank_correlation)))


def _ranks(values: Array) -> Array:
    """Ranks, equal values sharing the mean of theirs, shape (draws,)."""
    ordered = np.sort(values)
    below, upto = (np.searchsorted(ordered, values, side=side) for side in ("left", "right"))
    return np.asarray(0.5 * (below + upto - 1.0))
