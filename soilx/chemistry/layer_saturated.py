"""Layers with solid gypsum: saturation and electroneutrality together, two equations in ln x and I."""

from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np

from soilx.chemistry.layer_amounts import HALF, ONE, Array, Flags, Layers, magnesium_dissolved
from soilx.chemistry.layer_charge import SETTLED, Prepared, prepare
from soilx.chemistry.soil_solution import AqueousConstants

_NEAR: Final = 0.2
"""A joint Newton step larger than this, in ln x or relative in I, is not taken as it is."""

_STRENGTH_OF_DIVALENT: Final = np.array(0.002)
_STRENGTH_OF_MONOVALENT: Final = np.array(0.0005)
_LN10: Final = float(np.log(10.0))


@lru_cache(maxsize=8)
def saturation_terms(constants: AqueousConstants) -> tuple[Array, ...]:
    """What a gypsum-saturated solution is solved with, as arrays of no dimension.

    The fixed concentration of CaSO4°; association times Ksp for MgSO4°; association constants of NaSO4⁻ and
    KSO4⁻; Ksp; and the two coefficients of ln γ2 = a √I/(1 + √I) − b I.
    """
    k_ca, k_mg, k_na, k_k = constants.association_list
    ksp = constants.gypsum_ksp
    slope = -4.0 * constants.debye_hueckel_a * _LN10
    return tuple(np.array(value) for value in (k_ca * ksp, k_mg * ksp, k_na, k_k, ksp, slope, 0.3 * slope))


class Saturated(NamedTuple):
    """The saturated system at one (ln x, I): residuals, slopes, and what a step must not use up.

    Attributes
    ----------
    residual, strength_residual : ndarray
        ln of cation over anion charge; the solution's own ionic strength less I [mol/L].
    r_x, r_i, s_x, s_i : ndarray
        Their slopes in ln x and I.
    free_calcium, exchanged : ndarray
        Ca − pair [mmol/L] and E_D: both must stay above zero.
    pull, d_exchanged, d_root : ndarray
        Slopes in ln x of ln(Ca − pair), of E_D and of ln √D.
    """

    residual: Array
    strength_residual: Array
    r_x: Array
    r_i: Array
    s_x: Array
    s_i: Array
    free_calcium: Array
    exchanged: Array
    pull: Array
    d_exchanged: Array
    d_root: Array


def saturated_system(
    layers: Layers,
    prepared: Prepared,
    log_x: Array,
    strength: Array,
    terms: tuple[Array, ...],
) -> Saturated:
    """Residuals of gypsum-saturated layers in (ln x, I), with analytic slopes.

    Notes
    -----
    At saturation the neutral pair CaSO4° has a fixed concentration, K·Ksp, and free sulfate is
    Ksp/(γ2²(Ca − pair)). The first residual is a logarithm, which tames the pole at Ca = pair.
    A name with `d_` is a slope in ln x, one with `by_i` a slope in I.
    """
    pair, pair_mg, pair_na, pair_k, ksp, slope, steepness = terms
    _, _, total_mg, _, _, capacity, water, _, _, qk_na, qk_k, preference = layers.table
    all_na, all_k, unbound, per_capacity = prepared.monovalent
    anions = prepared.anions

    x = np.exp(log_x)
    free_na = water / (qk_na * x + water)
    free_k = water / (qk_k * x + water)
    na = all_na * free_na
    k = all_k * free_k
    d_na = na * free_na - na
    d_k = k * free_k - k
    monovalent = na + k
    d_monovalent = d_na + d_k
    exchanged = unbound + per_capacity * monovalent
    d_exchanged = per_capacity * d_monovalent
    per_x = exchanged / x
    divalent = per_x * per_x
    d_root = d_exchanged / exchanged - ONE
    d_half_divalent = divalent * d_root
    d_divalent = d_half_divalent + d_half_divalent

    half = HALF * capacity * preference
    excess = preference - ONE
    if np.count_nonzero(excess):
        magnesium = magnesium_dissolved(layers, divalent, exchanged)
        weight = divalent + excess * magnesium
    else:
        magnesium = total_mg * divalent / (water * divalent + half * exchanged)
        weight = divalent
    grip = half / weight
    spread = grip * exchanged / weight
    d_magnesium = magnesium * (spread * d_divalent - grip * d_exchanged) / (water + spread * divalent)
    free_calcium = divalent - magnesium - pair
    pull = (d_divalent - d_magnesium) / free_calcium

    root = np.sqrt(strength)
    ahead = ONE + root
    gamma2 = np.exp(slope * (root / ahead) - steepness * strength)
    by_i = slope * (HALF / (root * ahead * ahead)) - steepness

    activity = ksp / (gamma2 * free_calcium)
    free_sulfate = activity / gamma2
    pairing_na = pair_na * activity
    pairing_k = pair_k * activity
    pairing_mg = pair_mg / free_calcium
    share_na = pairing_na / (ONE + pairing_na)
    share_k = pairing_k / (ONE + pairing_k)
    share_mg = pairing_mg / (ONE + pairing_mg)
    paired_na = na * share_na
    paired_k = k * share_k
    paired_mg = magnesium * share_mg
    # d(pair)/d(ln pairing) = pair/(1 + pairing)
    mobile = free_sulfate + paired_na * (ONE - share_na) + paired_k * (ONE - share_k)
    d_paired_mg = d_magnesium * share_mg - pull * paired_mg * (ONE - share_mg)

    half_cations = HALF * monovalent + divalent
    half_charge = HALF * anions + free_sulfate + pair + paired_na + paired_k + paired_mg
    d_half_charge = d_na * share_na + d_k * share_k + d_paired_mg - pull * mobile
    residual = np.log(half_cations / half_charge)
    r_x = (HALF * d_monovalent + d_divalent) / half_cations - d_half_charge / half_charge
    r_i = by_i * (free_sulfate + mobile) / half_charge
    free_divalent = free_calcium + magnesium - paired_mg + free_sulfate
    s = _STRENGTH_OF_DIVALENT * free_divalent + _STRENGTH_OF_MONOVALENT * (monovalent + anions) - strength
    s_x = (
        _STRENGTH_OF_DIVALENT * (d_divalent - d_paired_mg - pull * free_sulfate)
        + _STRENGTH_OF_MONOVALENT * d_monovalent
    )
    s_i = -_STRENGTH_OF_DIVALENT * by_i * (free_sulfate + free_sulfate) - ONE
    return Saturated(residual, s, r_x, r_i, s_x, s_i, free_calcium, exchanged, pull, d_exchanged, d_root)


def _careful_step(system: Saturated) -> Array:
    """A step in ln x for layers far from the root, with the ionic strength left to follow by itself.

    At given I the residual falls with x, and along its tangent a tenth of Ca − pair and half of E_D are left.
    """
    step = -system.residual / system.r_x
    bound = np.minimum(-0.9 / system.pull, -0.5 * system.exchanged / system.d_exchanged)
    return np.clip(step, -1.5, np.minimum(bound, 1.5))


def solve_with_solid(
    layers: Layers, log_x: Array, strength: Array, constants: AqueousConstants, *, rounds: int = 14
) -> tuple[Array, Array, Flags | None]:
    """Value of ln x and ionic strength of gypsum-saturated layers, and where they have not settled.

    Parameters
    ----------
    layers : Layers
    log_x, strength : ndarray, shape (n,)
        Start, with calcium above the pair's concentration; ionic strength [mol/L].
    constants : AqueousConstants
    rounds : int
        Newton steps at most.

    Returns
    -------
    log_x, strength : ndarray, shape (n,)
    failed : ndarray of bool, shape (n,), or None
        None where all have settled.
    """
    prepared, terms = prepare(layers), saturation_terms(constants)
    with np.errstate(all="ignore"):  # a layer that leaves the domain is returned as failed
        for _ in range(rounds):
            system = saturated_system(layers, prepared, log_x, strength, terms)
            residual, s, r_x, r_i, s_x, s_i = system[:6]
            scale = ONE / (r_x * s_i - r_i * s_x)
            step = (s * r_i - residual * s_i) * scale
            strength_step = (residual * s_x - s * r_x) * scale
            size = abs(step) + abs(strength_step) / strength
            largest = float(size[size.argmax()])
            if not largest < _NEAR:
                far = ~(size < _NEAR)
                step = np.where(far, _careful_step(system), step)
                strength_step = np.where(far, np.maximum(s, -0.7 * strength), strength_step)
            log_x = log_x + step
            strength = strength + strength_step
            inside = largest < SETTLED and system.free_calcium.min() > 0 and system.exchanged.min() > 0
            if inside and abs(step * system.d_root).max() < SETTLED:
                return log_x, strength, None
    return log_x, strength, ~((size < SETTLED) & (system.free_calcium > 0) & (system.exchanged > 0))
