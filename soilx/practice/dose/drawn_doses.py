"""Final ESP of many drawn columns, and the least dose of each of them, a few sweeps for all."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.column.dispersion import MOST_GYPSUM
from soilx.column.sweep import CHUNK, sweep
from soilx.practice.dose.dose_surface import DoseSurface, fit_surface
from soilx.practice.dose.uncertain_columns import DrawnColumns

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]
Tell = Callable[[int], None]

CLOSE: Final = 0.3
"""From an ESP this near the target a dose is read along the surface's slope [% of CEC]."""

_STEP: Final = 0.06
"""A dose is read along the slope for at most this part of itself."""

_PILOTS: Final = 200
_PILOT_SPAN: Final = (0.4, 5.0)
_NEAR_SPAN: Final = (0.9, 1.1)
"""Doses of the first pilots over a hand formula's, and of the second over what the first make of it."""

_NEAR_TARGET: Final = 0.02
_REGULAR: Final = 0.1
_LEAST: Final = 0.01
"""Shares of the CEC: how near the target a column may need nothing; what keeps a guess away from nothing."""

_GUESSES: Final = 2
_FEW: Final = 60
_MANY: Final = np.array([0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875])
_NARROW: Final = 0.005
"""A bracket this narrow, relative to its end, is read along its line."""


def ends(columns: DrawnColumns, gypsum: Array, which: Numbers, *, tell: Tell | None = None) -> Array:
    """Final ESP of some of the columns with a dose each, shape (K,) [%].

    Parameters
    ----------
    columns : DrawnColumns
    gypsum : ndarray, shape (K,)
        [mmol/kg]
    which : ndarray of int, shape (K,)
        Numbers of the columns; one may stand there with several doses.
    tell : callable, optional
        Told how many columns more have been run, chunk by chunk.
    """
    # Columns of like length together, so that few wait for the longest.
    length = [columns.scenarios[n].volume / columns.scenarios[n].soil.drained_water for n in which]
    order = np.argsort(length)
    found = np.empty(which.size)
    for first in range(0, which.size, CHUNK):
        part = order[first : first + CHUNK]
        runs = sweep(columns.dosed(gypsum[part], which[part]), keep_steps=False)
        found[part] = [run.final_esp_pct for run in runs]
        if tell is not None:
            tell(part.size)
    return found


@dataclass(slots=True)
class _Brackets:
    """The best bracket of each column's least dose, and what its ends end at; NaN where not known yet."""

    low: Array
    low_esp: Array
    high: Array
    high_esp: Array

    def narrow(self, which: Numbers, tried: Array, esp: Array, target: float) -> None:
        """Move the ends by what was tried; a column may stand there with several doses."""
        for number, dose, end in zip(which.tolist(), tried.tolist(), esp.tolist(), strict=True):
            if end > target:
                if not self.low[number] > dose:
                    self.low[number], self.low_esp[number] = dose, end
            elif not self.high[number] < dose:
                self.high[number], self.high_esp[number] = dose, end


def least_doses(
    columns: DrawnColumns, *, target_esp_pct: float, inputs: Array, tell: Tell | None = None
) -> Array:
    """Least pure gypsum of every column for a target; infinite where no dose reaches it, shape (draws,).

    Parameters
    ----------
    columns : DrawnColumns
    target_esp_pct : float
        [%]
    inputs : ndarray, shape (inputs, draws)
        What was drawn, all positive; to guess each column's dose from that of others.
    tell : callable, optional
        Told how many columns more have been run.

    Returns
    -------
    ndarray, shape (draws,)
        [mmol/kg]

    Notes
    -----
    A few pilots are run with doses all over, a few more with doses near the least one; a quadratic surface
    through their ends guesses a dose for every column, and every column is run with its own. Where it ends
    within `CLOSE` of the target, its least dose is read along the surface's slope; else it is bracketed by
    runs of its own. The surface guesses, and turns a small gap of ESP into a small one of dose: each answer
    rests on its own column.
    """
    target, count = target_esp_pct, len(columns.scenarios)
    excess = columns.sodium - target / 100.0 * columns.capacity
    most = columns.most_gypsum(MOST_GYPSUM)
    bracket = _Brackets(
        low=np.zeros(count), low_esp=np.full(count, np.nan), high=most.copy(), high_esp=np.full(count, np.nan)
    )
    answer = np.full(count, np.inf)
    # Only columns near the target or below it may need nothing.
    near = np.flatnonzero(excess < _NEAR_TARGET * columns.capacity)
    if near.size:
        bracket.narrow(near, np.zeros(near.size), ends(columns, np.zeros(near.size), near, tell=tell), target)
        answer[bracket.high == 0.0] = 0.0
    left = np.flatnonzero(bracket.high > 0.0)
    if not left.size:
        return answer
    need = np.maximum(excess + _REGULAR * columns.capacity, _LEAST * columns.capacity) / 2.0
    surface = _surface(columns, np.log(inputs), left, need=need, most=most, target=target, tell=tell)
    dose = np.minimum(surface.dose(target), most)
    for _ in range(_GUESSES):
        esp = ends(columns, dose[left], left, tell=tell)
        bracket.narrow(left, dose[left], esp, target)
        gap = esp - target
        along = np.minimum(
            dose[left] * np.exp(np.clip(gap / surface.slope(dose)[left], -0.7, 0.7)), most[left]
        )
        # A gap that is small because the surface is flat there says little of the dose.
        close = np.abs(gap) <= np.minimum(CLOSE, _STEP * surface.slope(dose)[left])
        answer[left[close]] = along[close]
        dose[left] = along
        left = left[~close]
    _narrow_down(columns, bracket, left, answer, target=target, tell=tell)
    return answer


def _narrow_down(
    columns: DrawnColumns,
    bracket: _Brackets,
    left: Numbers,
    answer: Array,
    *,
    target: float,
    tell: Tell | None,
) -> None:
    """Bracket what is left and narrow it down; what no dose reaches stays infinite."""
    for unseen, at in ((bracket.high_esp, bracket.high), (bracket.low_esp, bracket.low)):
        which = left[np.isnan(unseen[left])]
        tried = at[which]
        bracket.narrow(which, tried, ends(columns, tried, which, tell=tell), target)
        # No end above the target: not reached. None below it: nothing is needed.
        answer[left[bracket.high[left] == 0.0]] = 0.0
        left = left[np.isfinite(bracket.high_esp[left]) & (bracket.high[left] > 0.0)]
    while left.size:
        low, high = bracket.low[left], bracket.high[left]
        fall = bracket.low_esp[left] - bracket.high_esp[left]
        line = np.clip((bracket.low_esp[left] - target) / fall, 0.0, 1.0)
        done = (high - low <= _NARROW * high) | (fall <= CLOSE)
        answer[left[done]] = (low + line * (high - low))[done]
        left, low, high, line = left[~done], low[~done], high[~done], line[~done]
        # Few columns cost little more in eight pieces than in two.
        sections = _MANY if left.size <= _FEW else np.array([0.5])
        cuts = np.column_stack([np.clip(line, 0.1, 0.9), np.tile(sections, (left.size, 1))])
        which = np.repeat(left, cuts.shape[1])
        tried = (low[:, np.newaxis] + cuts * (high - low)[:, np.newaxis]).reshape(-1)
        if left.size:
            bracket.narrow(which, tried, ends(columns, tried, which, tell=tell), target)


def _surface(
    columns: DrawnColumns,
    inputs: Array,
    left: Numbers,
    *,
    need: Array,
    most: Array,
    target: float,
    tell: Tell | None,
) -> DoseSurface:
    """Surface of final ESP about the least doses, by two rounds of pilots."""
    step = max(1, left.size // _PILOTS)
    first, second = (left[start::step][:_PILOTS] for start in (0, step // 2))
    tried = np.minimum(need[first] * _spread(first.size, _PILOT_SPAN), most[first])
    rough = fit_surface(inputs, need, which=first, gypsum=tried, esp=ends(columns, tried, first, tell=tell))
    about = np.minimum(rough.dose(target), 0.5 * most)
    tried = np.minimum(about[second] * _spread(second.size, _NEAR_SPAN), most[second])
    esp = ends(columns, tried, second, tell=tell)
    return fit_surface(inputs, about, which=second, gypsum=tried, esp=esp)


def _spread(count: int, span: tuple[float, float]) -> Array:
    """Factors over a span, evenly in their logarithm; by the golden ratio any run of them covers it."""
    low, high = np.log(span)
    factors: Array = np.exp(low + (high - low) * ((np.arange(count) * 0.6180339887498949) % 1.0))
    return factors
