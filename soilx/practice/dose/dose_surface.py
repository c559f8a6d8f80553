"""A quadratic surface of final ESP over drawn inputs and dose: a guess, to be checked by columns."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]

_STEEPER: float = 0.5
"""Slope that is taken at least: beyond it more gypsum hardly helps, and a line would lead anywhere [%]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseSurface:
    """Final ESP of every draw as a quadratic of the logarithm of its dose.

    Attributes
    ----------
    about : ndarray, shape (draws,)
        Dose that the logarithm counts from [mmol/kg].
    constant, linear, square : ndarray, shape (draws,)
        Coefficients in ln(dose / about) [% of CEC].
    low, high : float
        Logarithms between which there were pilots.
    """

    about: Array
    constant: Array
    linear: Array
    square: Array
    low: float
    high: float

    def dose(self, target_esp_pct: float) -> Array:
        """Dose at which the surface falls to a target, a line beyond its pilots; shape (draws,) [mmol/kg]."""
        gap = self.constant - target_esp_pct
        root = np.sqrt(np.maximum(self.linear**2 - 4.0 * self.square * gap, 0.0))
        # The root on the falling branch, in the form that does not cancel.
        divisor = -self.linear + root
        at = np.divide(2.0 * gap, divisor, out=np.full(gap.size, self.high), where=np.abs(divisor) > 1e-9)
        room = 0.5 * (self.high - self.low)
        return np.asarray(self.about * np.exp(np.clip(at, self.low - room, self.high + room)))

    def slope(self, dose: Array) -> Array:
        """How much ESP falls for a dose e times as large, shape (draws,) [% of CEC]."""
        at = np.clip(np.log(np.maximum(dose / self.about, 1e-9)), self.low, self.high)
        falls: Array = np.maximum(-(self.linear + 2.0 * self.square * at), _STEEPER)
        return falls


def fit_surface(inputs: Array, about: Array, *, which: Numbers, gypsum: Array, esp: Array) -> DoseSurface:
    """Least-squares surface through the ends of some columns.

    Parameters
    ----------
    inputs : ndarray, shape (inputs, draws)
        What was drawn, of all draws; inputs that do not vary are left out.
    about : ndarray, shape (draws,)
        Doses to count from [mmol/kg].
    which : ndarray of int, shape (K,)
        Draws that were run.
    gypsum, esp : ndarray, shape (K,)
        Their doses and ends [mmol/kg], [%].

    Returns
    -------
    DoseSurface
        All squares and products of two; least in norm, so that few pilots leave at nothing what they cannot
        tell.
    """
    spread = inputs.std(axis=1)
    varied = spread > 0
    scaled = (inputs[varied] - inputs[varied].mean(axis=1, keepdims=True)) / spread[varied, np.newaxis]
    log_dose = np.log(gypsum / about[which])
    own = _terms(scaled)
    pilots = np.vstack([own[:, which], log_dose, log_dose**2, scaled[:, which] * log_dose])
    weights = np.linalg.lstsq(pilots.T, esp, rcond=None)[0]
    fixed = own.shape[0]
    return DoseSurface(
        about=about,
        constant=weights[:fixed] @ own,
        linear=weights[fixed] + weights[fixed + 2 :] @ scaled,
        square=np.full(about.size, weights[fixed + 1]),
        low=float(log_dose.min()),
        high=float(log_dose.max()),
    )


def _terms(scaled: Array) -> Array:
    """1, every input, and every product of two, shape (terms, draws)."""
    first, second = np.triu_indices(scaled.shape[0])
    return np.vstack([np.ones((1, scaled.shape[1])), scaled, scaled[first] * scaled[second]])
