"""How much gypsum a water dissolves, and how far a solution is from saturation with it, at 25 °C."""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from soilx.chemistry.soil_solution import (
    CONSTANTS,
    AqueousConstants,
    Solution,
    refuse_strong_solution,
    speciate,
)
from soilx.errors import ConvergenceError, refuse

Array = NDArray[np.float64]

PURE_WATER: Final = Solution(ca=0.0, mg=0.0, na=0.0, k=0.0, so4=0.0, cl=0.0, hco3=0.0)

# One mmol of gypsum brings one mmol of Ca and one of SO4, in the axis order Ca, Mg, Na, K, SO4, Cl, HCO3.
_PER_GYPSUM: Final = np.array([1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0])

# A background above saturation by no more than this is taken as saturated: rounding, not chemistry.
_SATURATED: Final = 1e-9

# On √(IAP/Ksp) − 1, a few hundred times the rounding of the speciation: 1e-11 mmol/L of gypsum.
_CLOSED: Final = 1e-12


def gypsum_saturation_index(
    concentrations: ArrayLike, *, constants: AqueousConstants = CONSTANTS, extrapolate: bool = False
) -> Array:
    r"""How far a solution is from saturation with gypsum: 0 saturated, negative below, positive above.

    .. math:: \mathrm{SI} = \log_{10}\frac{\gamma_2^2\,[Ca^{2+}][SO_4^{2-}]}{K_{sp}}

    Parameters
    ----------
    concentrations : array_like, shape (7, ...)
        Total dissolved concentrations, in the order of `soilx.chemistry.ions.ORDER` [mmol/L].
    constants : AqueousConstants
        Solubility product, association constants, Debye–Hückel slope.
    extrapolate : bool
        Allow ionic strengths above 0.5 mol/L.

    Returns
    -------
    ndarray, shape (...)
        Saturation index; −inf where calcium or sulfate is nil.

    References
    ----------
    bennett_adams1972, davies1962
    """
    return speciate(concentrations, constants=constants, extrapolate=extrapolate).gypsum_saturation_index


def gypsum_solubility(
    background: Solution = PURE_WATER, *, constants: AqueousConstants = CONSTANTS, extrapolate: bool = False
) -> float:
    """Gypsum that a water dissolves until it is saturated, at 25 °C [mmol/L].

    Parameters
    ----------
    background : Solution
        What the water carries before gypsum is added; pure water unless given.
    constants : AqueousConstants
        Solubility product, association constants, Debye–Hückel slope.
    extrapolate : bool
        Allow ionic strengths above 0.5 mol/L.

    Raises
    ------
    LimitError
        If the water is above saturation before any gypsum is added.
    ModelRangeError
        If the saturated solution is above 0.5 mol/L ionic strength and `extrapolate` is not set.

    See Also
    --------
    gypsum_solubilities : the same for many waters at once, with the assumptions.
    """
    return float(gypsum_solubilities(background.as_array(), constants=constants, extrapolate=extrapolate))


def saturated_with_gypsum(
    background: Solution = PURE_WATER, *, constants: AqueousConstants = CONSTANTS
) -> Solution:
    """The water once it has dissolved all the gypsum it can; the rest as in `gypsum_solubility`."""
    dissolved = gypsum_solubility(background, constants=constants)
    return Solution.from_array(background.as_array() + dissolved * _PER_GYPSUM)


def gypsum_solubilities(
    backgrounds: ArrayLike, *, constants: AqueousConstants = CONSTANTS, extrapolate: bool = False
) -> Array:
    r"""Gypsum that each of many waters dissolves until it is saturated, at 25 °C.

    The root s of SI(background + s gypsum) = 0.

    Parameters
    ----------
    backgrounds : array_like, shape (7, ...)
        Total dissolved concentrations before gypsum is added [mmol/L].
    constants, extrapolate
        As in `gypsum_solubility`.

    Returns
    -------
    ndarray, shape (...)
        Gypsum dissolved [mmol/L]; 0 where the water comes saturated.

    Raises
    ------
    LimitError
        If a water is above saturation before any gypsum is added.
    ModelRangeError
        If a saturated solution is above 0.5 mol/L ionic strength and `extrapolate` is not set.
    ConvergenceError
        If no bracket is found below 4 mol/L, or the bracket does not close.

    Notes
    -----
    One root: each mmol adds to both free ions, which outweighs what it takes from their activity
    coefficients, so that the index rises with s throughout the validity of the Davies equation. The bracket
    starts at the water as it is and at a strength doubled until it is above saturation; within it the
    residual √(IAP/Ksp) − 1 is almost linear and is followed by false position, with the Illinois
    halving that keeps either end from being stuck.

    Equilibrium with the fine solid: grain size, crystal strain and other temperatures are left out.

    References
    ----------
    bennett_adams1972, davies1962
    """
    water = np.asarray(backgrounds, dtype=float)
    per_gypsum = _PER_GYPSUM.reshape((7,) + (1,) * (water.ndim - 1))

    def residual(dissolved: Array) -> Array:
        index = gypsum_saturation_index(water + dissolved * per_gypsum, constants=constants, extrapolate=True)
        return np.asarray(10.0 ** (index / 2.0) - 1.0)

    start = gypsum_saturation_index(water, constants=constants, extrapolate=extrapolate)
    if np.any(start > _SATURATED):
        refuse(
            "saturation index with gypsum",
            float(np.max(start)),
            "",
            wrong="the water is above saturation before any gypsum is added",
            limit="chemistry's limit for dissolving more is 0",
            remedy="check its calcium and sulfate; gypsum would come out of it",
        )
    low, at_low = np.zeros_like(start), np.asarray(np.minimum(10.0 ** (start / 2.0) - 1.0, 0.0))
    high = np.full_like(start, 32.0)
    at_high = residual(high)
    while np.any(at_high <= 0):
        if np.max(high) > 4000.0:
            _not_closed("no strength up to 4 mol/L is above saturation")
        high = np.where(at_high <= 0, 2 * high, high)
        at_high = residual(high)
    saturated = at_low >= 0
    kept = np.zeros_like(start)  # which end the last round kept: 1 the high one, −1 the low one
    for _ in range(100):
        span = np.where(saturated, 1.0, at_high - at_low)
        guess = np.where(saturated, 0.0, low - at_low * (high - low) / span)
        at_guess = residual(guess)
        if np.all(saturated | (np.abs(at_guess) < _CLOSED)):
            break
        below = at_guess < 0
        at_high = np.where(below, np.where(kept == 1, 0.5 * at_high, at_high), at_guess)
        at_low = np.where(below, at_guess, np.where(kept == -1, 0.5 * at_low, at_low))
        low, high = np.where(below, guess, low), np.where(below, high, guess)
        kept = np.where(below, 1.0, -1.0)
    else:
        _not_closed("the bracket did not close in 100 rounds")
    if not extrapolate:
        final = speciate(water + guess * per_gypsum, constants=constants, extrapolate=True)
        refuse_strong_solution(final.ionic_strength, where="the water saturated with gypsum")
    return np.asarray(guess)


def naive_gypsum_solubility(constants: AqueousConstants = CONSTANTS) -> float:
    """√Ksp, solubility without activities and ion pairs: wrong threefold, kept as a lesson [mmol/L]."""
    return float(np.sqrt(constants.gypsum_ksp))


def _not_closed(why: str) -> None:
    raise ConvergenceError(
        f"gypsum solubility: {why}; the limit is the solver's; "
        "please report the water and the constants that were given."
    )
