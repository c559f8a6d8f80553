"""Layers without solid gypsum: electroneutrality of the solution, one equation in ln x."""

from typing import Final, NamedTuple

import numpy as np

from soilx.chemistry.layer_amounts import HALF, ONE, TWO, Array, Flags, Layers, Start
from soilx.errors import ConvergenceError, LimitError

SETTLED: Final = 1e-5
"""A Newton step this small, in ln x, ln √D or relative in I, leaves an error of about its square."""

_EIGHT: Final = np.array(8.0)


class Prepared(NamedTuple):
    """What stays the same between Newton rounds.

    Attributes
    ----------
    monovalent : tuple of 4 ndarray
        Sodium and potassium if all of it were dissolved [mmol/L]; E_D if all of it were exchangeable; and
        w/Q, which times what is dissolved is what E_D has more than that.
    anions : ndarray
        Chloride and bicarbonate [mmol_c/L].
    """

    monovalent: tuple[Array, Array, Array, Array]
    anions: Array


def prepare(layers: Layers) -> Prepared:
    """What stays the same between Newton rounds."""
    total_na, total_k, _, _, other_anions, capacity, water, _, _, _, _, _ = layers.table
    per_water = ONE / water
    unbound = ONE - (total_na + total_k) / capacity
    return Prepared(
        (total_na * per_water, total_k * per_water, unbound, water / capacity),
        other_anions * per_water,
    )


def charge_residual(
    layers: Layers, prepared: Prepared, log_x: Array, anions: Array
) -> tuple[Array, Array, Array, Array]:
    """Logarithm of cation over anion charge in solution, its slope in ln x, E_D, and the slope of ln √D.

    Parameters
    ----------
    layers : Layers
    prepared : Prepared
        Of the same layers.
    log_x : ndarray, shape (n,)
    anions : ndarray, shape (n,)
        Anion charge of the solution [mmol_c/L].

    Notes
    -----
    Where E_D is positive the residual falls strictly as x rises; where it is not, x lies above the root.
    """
    _, _, _, _, _, _, water, _, _, qk_na, qk_k, _ = layers.table
    all_na, all_k, unbound, per_capacity = prepared.monovalent
    x = np.exp(log_x)
    free_na = water / (qk_na * x + water)
    free_k = water / (qk_k * x + water)
    na = all_na * free_na
    k = all_k * free_k
    monovalent = na + k
    d_monovalent = na * free_na + k * free_k - monovalent
    exchanged = unbound + per_capacity * monovalent
    per_x = exchanged / x
    double = TWO * per_x * per_x
    cations = monovalent + double
    d_root = per_capacity * d_monovalent / exchanged - ONE
    slope = (d_monovalent + TWO * double * d_root) / cations
    return np.log(cations / anions), slope, exchanged, d_root


def solve_without_solid(
    layers: Layers, log_x: Array, sulfate: Array, *, rounds: int = 12
) -> tuple[Array, Flags | None]:
    """Value of ln x at which solutions of known sulfate are electroneutral, and where it has not settled.

    Parameters
    ----------
    layers : Layers
    log_x : ndarray, shape (n,)
        Start, near the root; see `bracket_without_solid` for a cold one.
    sulfate : ndarray, shape (n,)
        Dissolved sulfate [mmol/L].
    rounds : int
        Newton steps at most.

    Returns
    -------
    log_x : ndarray, shape (n,)
    failed : ndarray of bool, shape (n,), or None
        None where all have settled.
    """
    prepared = prepare(layers)
    anions = prepared.anions + TWO * sulfate
    with np.errstate(all="ignore"):  # a layer that leaves the domain is returned as failed
        for _ in range(rounds):
            residual, slope, exchanged, d_root = charge_residual(layers, prepared, log_x, anions)
            step = residual / slope
            # in ln √D, which moves more than ln x where little calcium or magnesium is exchangeable
            size = abs(step * d_root)
            largest = float(size[size.argmax()])
            if not largest < 0.5:
                step = np.clip(step, -0.5, 0.5)
            log_x = log_x - step
            if largest < SETTLED and exchanged.min() > 0:
                return log_x, None
    return log_x, ~((size < SETTLED) & (exchanged > 0))


def near_electroneutrality(*, ratio: Array, exchanged: Array, charge: Array) -> Array:
    """Value of ln x of solutions of known charge beside a known exchanger, to start Newton from.

    Parameters
    ----------
    ratio : ndarray, shape (n,)
        (Na + K)/√D that the exchanger asks for [(mmol/L)^½].
    exchanged : ndarray, shape (n,)
        E_D.
    charge : ndarray, shape (n,)
        Cations and so anions of the solution [mmol_c/L].
    """
    # 4√D = √(r² + 8c) − r, written so that it does not cancel where sodium is nearly all there is
    return np.log(HALF * exchanged * (np.sqrt(ratio * ratio + _EIGHT * charge) + ratio) / charge)


def bracket_without_solid(layers: Layers, sulfate: Array) -> Array:
    """Value of ln x at which solutions are electroneutral, by halving a bracket that holds the root.

    Notes
    -----
    At ln x = −25, D alone is above any anion charge that a soil can have; at +25 the cations left are below
    those of pure water. Fifty halvings leave 5e-14; Newton polishes afterwards.
    """
    low = np.full(layers.size, -25.0)
    high = np.full(layers.size, 25.0)
    prepared = prepare(layers)
    anions = prepared.anions + TWO * sulfate
    with np.errstate(all="ignore"):  # the slope is not used, and has none where no divalent is exchangeable
        for _ in range(50):
            middle = 0.5 * (low + high)
            residual, _, exchanged, _ = charge_residual(layers, prepared, middle, anions)
            above = (residual > 0) & (exchanged > 0)
            low = np.where(above, middle, low)
            high = np.where(above, high, middle)
    return np.asarray(0.5 * (low + high))


def electroneutral(layers: Layers, log_x: Array) -> Array:
    """Value of ln x of layers whose sulfate is all dissolved; from a bracket where the start is no good."""
    sulfate = layers.sulfate / layers.water
    log_x, failed = solve_without_solid(layers, log_x, sulfate)
    if failed is None:
        return log_x
    index = failed.nonzero()[0]
    part, so4 = layers.take(index), sulfate[index]
    log_x[index], still = solve_without_solid(part, bracket_without_solid(part, so4), so4)
    if still is not None:
        raise ConvergenceError(
            f"layers = {int(still.sum())}: charge balance did not settle; the limit is the solver's; please "
            "report the soil and water that were given."
        )
    return log_x


def cold_start(layers: Layers) -> Start:
    """A start for layers of which only the totals are known: as if the exchanger held all cations it can."""
    total_na, total_k, _, total_so4, other_anions, capacity, water, k_na, k_k, _, _, _ = layers.table
    charge = other_anions + 2.0 * total_so4
    if not charge.min() > 0:
        raise LimitError(
            f"anions = {charge.min():g} mmol_c/kg: leave the cations of a soil solution nothing to balance; "
            "the limit is electroneutrality, above 0; give the anions of the soil, however few."
        )
    full = np.maximum(total_na + total_k, capacity) * (1 + 1e-3)
    exchanged = 1.0 - (total_na + total_k) / full
    log_x = near_electroneutrality(
        ratio=(total_na / k_na + total_k / k_k) / (full * exchanged),
        exchanged=exchanged,
        charge=charge / water,
    )
    return Start(log_x=log_x, strength=np.full(log_x.shape, 0.05), solid=np.zeros(log_x.shape, dtype=bool))
