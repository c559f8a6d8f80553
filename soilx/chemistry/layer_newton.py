r"""The two Newton systems of one layer's equilibrium, over many layers at once.

With :math:`x = E_D/\sqrt D`, where D is dissolved and E_D exchangeable calcium plus magnesium, the
Gapon equations make everything explicit in x:

.. math::

    N_i = \frac{T_i}{w + Q K_i x}, \quad E_D = 1 - x\,(K_{Na} N_{Na} + K_K N_K), \quad D = (E_D/x)^2

for i = Na, K. Without solid gypsum one equation is left, the electroneutrality of the solution. Taking
calcium from the electroneutrality of the *totals* instead would cancel catastrophically in dilute water.
With solid gypsum the dissolved sulfate follows from electroneutrality, and two equations are left in
ln x and the ionic strength I: that sulfate is what a saturated solution holds, and I is its own.

Bare kernels: every array has shape (n,), in L, kg, mmol, mmol_c; I in mol/L. On the few dozen layers of a
live pair it is calls that cost: sodium and potassium are spelt out instead of broadcast, what does not move
is prepared once, and constants are arrays of no dimension, which numpy multiplies faster than floats.
"""

from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.soil_solution import AqueousConstants

Array = NDArray[np.float64]
Index = NDArray[np.intp]

SETTLED: Final = 1e-5
"""A Newton step this small, in ln x, ln √D or relative in I, leaves an error of about its square."""

_NEAR: Final = 0.2
"""A joint Newton step larger than this, in ln x or relative in I, is not taken as it is."""

ONE: Final = np.array(1.0)
TWO: Final = np.array(2.0)
FOUR: Final = np.array(4.0)
HALF: Final = np.array(0.5)
_EIGHT: Final = np.array(8.0)
_STRENGTH_OF_DIVALENT: Final = np.array(0.002)
_STRENGTH_OF_MONOVALENT: Final = np.array(0.0005)
_LN10: Final = float(np.log(10.0))


class Layers(NamedTuple):
    """What n layers hold, per kilogram of soil, as rows of one table of shape (12, n).

    Rows: total sodium and potassium, exchangeable and dissolved [mmol/kg]; total magnesium [mmol/kg]; total
    sulfate with solid gypsum [mmol/kg]; chloride and bicarbonate [mmol_c/kg]; exchange capacity
    [mmol_c/kg]; water content [L/kg]; Gapon selectivities of sodium and potassium [(mmol/L)^-½]; these times
    capacity; K_Mg of E_Mg/E_Ca = K_Mg Mg/Ca.
    """

    table: Array

    @classmethod
    def of(
        cls,
        *,
        monovalent: Array,
        magnesium: Array,
        sulfate: Array,
        other_anions: Array,
        capacity: Array,
        water: Array,
        selectivity: Array,
        magnesium_selectivity: Array,
    ) -> "Layers":
        """Layers from rows of shape (n,); `monovalent` and `selectivity` of shape (2, n), sodium first."""
        table = np.empty((12, magnesium.size))
        table[0:2] = monovalent
        table[2], table[3], table[4], table[5], table[6] = magnesium, sulfate, other_anions, capacity, water
        table[7:9] = selectivity
        table[9:11] = selectivity * capacity
        table[11] = magnesium_selectivity
        return cls(table)

    def take(self, index: Index) -> "Layers":
        """The layers at `index`, copied."""
        return Layers(self.table.take(index, axis=1))

    @property
    def size(self) -> int:
        """Number of layers."""
        return int(self.table.shape[1])

    @property
    def sulfate(self) -> Array:
        """Total sulfate with solid gypsum [mmol/kg]."""
        return np.asarray(self.table[3])

    @property
    def other_anions(self) -> Array:
        """Chloride and bicarbonate [mmol_c/kg]."""
        return np.asarray(self.table[4])

    @property
    def water(self) -> Array:
        """Water content [L/kg]."""
        return np.asarray(self.table[6])


def magnesium_dissolved(layers: Layers, divalent: Array, exchanged: Array) -> Array:
    """Dissolved magnesium, given D and E_D: the positive root of its own mass balance [mmol/L]."""
    table = layers.table
    magnesium, capacity, water, preference = table[2], table[5], table[6], table[11]
    excess = preference - ONE
    if not np.count_nonzero(excess):
        alone: Array = magnesium * divalent / (water * divalent + HALF * capacity * exchanged)
        return alone
    linear = water * divalent + HALF * capacity * preference * exchanged - excess * magnesium
    constant = magnesium * divalent
    # b + √(b² + 4ac): this form of the root does not cancel and holds for K_Mg = 1, where a = 0
    dissolved: Array = TWO * constant / (linear + np.sqrt(linear * linear + FOUR * excess * water * constant))
    return dissolved


class Prepared(NamedTuple):
    """What stays the same between Newton rounds.

    Attributes
    ----------
    monovalent : tuple of 4 ndarray
        Sodium and potassium if all of it were dissolved [mmol/L]; E_D if all of it were exchangeable; and w/Q,
        which times what is dissolved is what E_D has more than that.
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
) -> tuple[Array, NDArray[np.bool_] | None]:
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
    """Value of ln x of solutions of known charge beside an exchanger of known composition, a start for Newton.

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
) -> tuple[Array, Array, NDArray[np.bool_] | None]:
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
