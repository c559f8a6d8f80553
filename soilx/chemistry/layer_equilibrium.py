"""One stirred layer at equilibrium: solution, exchanger and solid gypsum, for many layers at once.

`equilibrate` is the fast solver, `equilibrate_inventory` its front for a single layer;
`soilx.chemistry.layer_reference` solves the same problem by nested brackets and is what they are held to.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.cation_exchange import Selectivity
from soilx.chemistry.layer_newton import (
    HALF,
    ONE,
    Layers,
    bracket_without_solid,
    magnesium_dissolved,
    near_electroneutrality,
    saturation_terms,
    solve_with_solid,
    solve_without_solid,
)
from soilx.chemistry.soil_solution import (
    CONSTANTS,
    DAVIES_LIMIT,
    AqueousConstants,
    Solution,
    refuse_strong_solution,
    speciate,
    stoichiometric_ionic_strength,
)
from soilx.errors import ConvergenceError, LimitError

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

_HALVINGS: Final = 60
_ROUGH: Final = ((2, 0.03), (6, 1e-3))
"""Rounds of pairing, and how far from 0 the sign of their saturation index is right (tested)."""

_STRONGEST: Final = np.array(4.0)
"""Ionic strength at which activities are taken where all of a layer's gypsum is thought dissolved: beyond it
the Davies equation means nothing and soon overflows [mol/L]."""

_PLENTY: Final = 400.0
"""Sulfate that no solution within the activity model holds beside solid gypsum [mmol/L]; what the exchanger
can give sodium for comes on top."""


@dataclass(slots=True, kw_only=True)
class Start:
    """Where the solver starts: the last solution of the same layers, or nothing.

    Attributes
    ----------
    log_x : ndarray, shape (n,)
    strength : ndarray, shape (n,)
        Ionic strength of layers with solid gypsum, else not used [mol/L].
    solid : ndarray of bool, shape (n,)
        Where solid gypsum was left.
    """

    log_x: Array
    strength: Array
    solid: Flags

    def take(self, index: NDArray[np.intp] | slice) -> "Start":
        """Where the layers at `index` stand, copied."""
        return Start(
            log_x=self.log_x[index].copy(),
            strength=self.strength[index].copy(),
            solid=self.solid[index].copy(),
        )


@dataclass(slots=True, kw_only=True)
class Equilibrium:
    """n layers at equilibrium.

    Attributes
    ----------
    concentrations : ndarray, shape (5, n)
        Dissolved Ca, Mg, Na, K, SO4 [mmol/L].
    exchanger : ndarray, shape (4, n)
        Charge fractions of Ca, Mg, Na, K.
    gypsum : ndarray, shape (n,)
        Solid gypsum left [mmol/kg].
    start : Start
        For the next call on the same layers.
    """

    concentrations: Array
    exchanger: Array
    gypsum: Array
    start: Start


@dataclass(frozen=True, slots=True, kw_only=True)
class Exchanger:
    """Charge fractions on the exchanger; they sum to 1."""

    ca: float
    mg: float
    na: float
    k: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerState:
    """One layer at equilibrium.

    Attributes
    ----------
    solution : Solution
        What is dissolved [mmol/L].
    exchanger : Exchanger
        Charge fractions.
    gypsum : float
        Solid gypsum [mmol/kg].
    """

    solution: Solution
    exchanger: Exchanger
    gypsum: float

    @property
    def exchangeable_sodium_percentage(self) -> float:
        """100 E_Na [%]."""
        return 100.0 * self.exchanger.na


def equilibrate(
    layers: Layers, start: Start | None = None, *, constants: AqueousConstants = CONSTANTS
) -> Equilibrium:
    """Solution, exchanger and solid gypsum of layers at equilibrium.

    Parameters
    ----------
    layers : Layers
        Totals; calcium follows from the electroneutrality of the solution.
    start : Start, optional
        A state of the same layers near by; else one is guessed from the totals.
    constants : AqueousConstants

    Raises
    ------
    LimitError
        If a layer without a start holds no anions.
    ModelRangeError
        If a layer does not settle and its solution is beyond the activity model.
    ConvergenceError
        If a layer settles neither from its start nor from a bracket.

    Notes
    -----
    Layers that held solid gypsum are solved as saturated; where that asks for more gypsum than there is,
    none is left and they are solved again without. Layers without are tested for saturation. The
    saturation index falls monotonically with the solid left, so that each answer is the only one.
    """
    if start is None:
        start = _cold_start(layers)
    solid = start.solid
    wet = solid.nonzero()[0]
    if wet.size == layers.size:
        log_x, strength, failed = solve_with_solid(layers, start.log_x, start.strength, constants)
    elif wet.size == 0:
        log_x, strength, failed = _electroneutral(layers, start.log_x), start.strength, None
    else:
        dry = (~solid).nonzero()[0]
        log_x, strength = start.log_x.copy(), start.strength.copy()
        log_x[dry] = _electroneutral(layers.take(dry), log_x[dry])
        log_x[wet], strength[wet], failed = solve_with_solid(
            layers.take(wet), log_x[wet], strength[wet], constants
        )
    state = Start(log_x=log_x, strength=strength, solid=solid)
    result = _explicit(layers, state)
    if wet.size:
        spent = solid & ~(result.gypsum > 0)
        if failed is not None:
            spent[wet[failed]] = True
        if np.count_nonzero(spent):
            result = _without_solid(layers, start, state, spent.nonzero()[0])
    over = _oversaturated(layers, result, constants)
    if over is not None:
        result = _with_solid(layers, result.start, over, constants)
    return result


def saturate(layers: Layers, start: Start, *, constants: AqueousConstants = CONSTANTS) -> tuple[Array, Start]:
    """Dissolved sulfate that layers would hold with gypsum without end, and the start for next time.

    Parameters
    ----------
    layers : Layers
        Totals; the sulfate is not used.
    start : Start
        Near by; its `solid` says which layers' ln x and strength are those of a saturated layer.
    constants : AqueousConstants

    Returns
    -------
    sulfate : ndarray, shape (n,)
        [mmol/L]
    start : Start
    """
    cold = ~start.solid
    log_x, strength, failed = solve_with_solid(layers, start.log_x, start.strength, constants)
    if failed is not None:
        cold = cold | failed
    if cold.any():
        index = cold.nonzero()[0]
        plenty = layers.take(index)
        plenty.table[3] = _PLENTY * plenty.water + plenty.table[5]
        found = equilibrate(plenty, constants=constants).start
        log_x[index], strength[index] = found.log_x, found.strength
    anions = layers.other_anions / layers.water
    solution = _explicit(
        layers, Start(log_x=log_x, strength=strength, solid=np.zeros(log_x.shape, dtype=bool))
    )
    ca, mg, na, k, _ = solution.concentrations
    sulfate: Array = ca + mg + 0.5 * (na + k - anions)
    return sulfate, Start(log_x=log_x, strength=strength, solid=np.ones(log_x.shape, dtype=bool))


def equilibrate_inventory(
    *,
    sodium: float,
    potassium: float,
    magnesium: float,
    sulfate: float,
    chloride: float,
    bicarbonate: float,
    capacity: float,
    water: float,
    selectivity: Selectivity,
) -> LayerState:
    """State of one layer from what it holds.

    Parameters
    ----------
    sodium, potassium, magnesium, sulfate, chloride, bicarbonate : float
        Totals per soil: dissolved, exchangeable, and for sulfate also solid gypsum [mmol/kg].
    capacity : float
        Cation exchange capacity [mmol_c/kg].
    water : float
        Water content [L/kg].
    selectivity : Selectivity

    Raises
    ------
    LimitError
        If calcium, which follows from electroneutrality, would be negative, or there are no anions.
    ModelRangeError
        If the solution is stronger than the Davies equation allows.
    """
    calcium = 0.5 * (capacity + chloride + bicarbonate - sodium - potassium) + sulfate - magnesium
    if not calcium > 0:
        raise LimitError(
            f"calcium = {calcium:.4g} mmol/kg: charge balance leaves none; the limit is electroneutrality, sodium, "
            "potassium and magnesium must stay below exchange capacity plus anions; check the units and bases of "
            "the cations against the exchange capacity."
        )
    layers = Layers.of(
        monovalent=np.array([[sodium], [potassium]], dtype=float),
        magnesium=np.array([magnesium], dtype=float),
        sulfate=np.array([sulfate], dtype=float),
        other_anions=np.array([chloride + bicarbonate], dtype=float),
        capacity=np.array([capacity], dtype=float),
        water=np.array([water], dtype=float),
        selectivity=np.array([[selectivity.sodium], [selectivity.potassium]], dtype=float),
        magnesium_selectivity=np.array([selectivity.magnesium], dtype=float),
    )
    result = equilibrate(layers)
    ca, mg, na, k, so4 = (float(value) for value in result.concentrations[:, 0])
    solution = Solution(ca=ca, mg=mg, na=na, k=k, so4=so4, cl=chloride / water, hco3=bicarbonate / water)
    refuse_strong(solution.as_array(), where="the soil solution")
    e_ca, e_mg, e_na, e_k = (float(value) for value in result.exchanger[:, 0])
    return LayerState(
        solution=solution,
        exchanger=Exchanger(ca=e_ca, mg=e_mg, na=e_na, k=e_k),
        gypsum=float(result.gypsum[0]),
    )


def refuse_strong(concentrations: Array, *, where: str) -> None:
    """Raise `ModelRangeError` where a solution is stronger than the Davies equation allows, pairs considered.

    Parameters
    ----------
    concentrations : ndarray, shape (7, ...)
        Total dissolved concentrations [mmol/L].
    where : str
        What the message says the solution is.
    """
    strength = stoichiometric_ionic_strength(concentrations)
    if float(strength.max()) <= 4 * DAVIES_LIMIT:  # pairs do not take more off a stronger one
        strength = speciate(concentrations, extrapolate=True).ionic_strength
    refuse_strong_solution(strength, where=where)


def _cold_start(layers: Layers) -> Start:
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


def _explicit(layers: Layers, start: Start) -> Equilibrium:
    """All amounts at a solved ln x."""
    total_na, total_k, _, total_so4, other_anions, _, water, k_na, k_k, qk_na, qk_k, preference = layers.table
    x = np.exp(start.log_x)
    na = total_na / (qk_na * x + water)
    k = total_k / (qk_k * x + water)
    e_na = k_na * x * na
    e_k = k_k * x * k
    exchanged = ONE - e_na - e_k
    per_x = exchanged / x
    divalent = per_x * per_x
    magnesium = magnesium_dissolved(layers, divalent, exchanged)
    calcium = divalent - magnesium
    held = preference * magnesium
    e_mg = exchanged * held / (calcium + held)
    sulfate = total_so4 / water
    gypsum = np.zeros(x.size)
    if np.count_nonzero(start.solid):
        saturating = HALF * (na + k - other_anions / water) + divalent
        sulfate = np.where(start.solid, saturating, sulfate)
        gypsum = np.where(start.solid, total_so4 - water * sulfate, gypsum)
    concentrations = np.empty((5, x.size))
    concentrations[0], concentrations[1], concentrations[2] = calcium, magnesium, na
    concentrations[3], concentrations[4] = k, sulfate
    exchanger = np.empty((4, x.size))
    exchanger[0], exchanger[1], exchanger[2], exchanger[3] = exchanged - e_mg, e_mg, e_na, e_k
    return Equilibrium(concentrations=concentrations, exchanger=exchanger, gypsum=gypsum, start=start)


def _without_solid(layers: Layers, start: Start, state: Start, index: NDArray[np.intp]) -> Equilibrium:
    """The layers at `index` solved again, from where they started, with all their gypsum dissolved."""
    log_x, solid = state.log_x.copy(), state.solid.copy()
    log_x[index] = _electroneutral(layers.take(index), start.log_x[index])
    solid[index] = False
    return _explicit(layers, Start(log_x=log_x, strength=state.strength, solid=solid))


def _with_solid(
    layers: Layers, state: Start, index: NDArray[np.intp], constants: AqueousConstants
) -> Equilibrium:
    """The oversaturated layers at `index` solved again, with solid gypsum."""
    log_x, strength, solid = state.log_x.copy(), state.strength.copy(), state.solid.copy()
    log_x[index], strength[index] = _enter_saturation(layers.take(index), log_x[index], constants)
    solid[index] = True
    result = _explicit(layers, Start(log_x=log_x, strength=strength, solid=solid))
    none = index[~(result.gypsum[index] > 0)]
    if none.size:  # oversaturated by rounding alone: the solution without solid stands
        log_x[none], strength[none], solid[none] = state.log_x[none], state.strength[none], False
        result = _explicit(layers, result.start)
    return result


def _electroneutral(layers: Layers, log_x: Array) -> Array:
    """ln x of layers whose sulfate is all dissolved; from a bracket where the start is no good."""
    sulfate = layers.sulfate / layers.water
    log_x, failed = solve_without_solid(layers, log_x, sulfate)
    if failed is None:
        return log_x
    index = failed.nonzero()[0]
    part, so4 = layers.take(index), sulfate[index]
    log_x[index], still = solve_without_solid(part, bracket_without_solid(part, so4), so4)
    if still is not None:
        raise ConvergenceError(
            f"layers = {int(still.sum())}: charge balance did not settle; the limit is the solver's; please report "
            "the soil and water that were given."
        )
    return log_x


def _oversaturated(
    layers: Layers, result: Equilibrium, constants: AqueousConstants
) -> NDArray[np.intp] | None:
    """Layers without solid gypsum whose solution is above saturation, or None."""
    concentrations, solid = result.concentrations, result.start.solid
    # concentrations bound activities: most leached layers are cleared by their product alone
    possible = concentrations[0] * concentrations[4] > constants.gypsum_ksp
    if np.count_nonzero(solid):
        possible &= ~solid
    if not np.count_nonzero(possible):
        return None
    index = possible.nonzero()[0]
    part = concentrations[:, index]
    others = layers.other_anions[index] / layers.water[index]
    over = np.zeros(index.size, dtype=bool)
    unsure = np.arange(index.size)
    for rounds, good in _ROUGH:
        rough, _ = _rough_saturation(
            part[:4, unsure], part[4, unsure], others[unsure], constants, rounds=rounds
        )
        over[unsure] = rough > 0
        unsure = unsure[abs(rough) < good]
        if not unsure.size:
            break
    if unsure.size:
        exact = np.concatenate([part[:, unsure], others[np.newaxis, unsure], np.zeros((1, unsure.size))])
        over[unsure] = speciate(exact, constants=constants, extrapolate=True).gypsum_saturation_index > 0
    return index[over] if over.any() else None


def _rough_saturation(
    cations: Array, sulfate: Array, others: Array, constants: AqueousConstants, *, rounds: int
) -> tuple[Array, Array]:
    """Saturation index and ionic strength [mol/L] after some rounds of pairing; its sign: see `_ROUGH`."""
    calcium, magnesium, na, k = cations
    _, _, k_na, k_k, ksp, slope, steepness = saturation_terms(constants)
    k_ca, k_mg, _, _ = constants.association_list
    monovalent = 0.0005 * (na + k + others)
    free_sulfate, free_divalent = 0.7 * sulfate, calcium + magnesium
    for _ in range(rounds):
        strength = np.minimum(0.002 * (free_divalent + free_sulfate) + monovalent, _STRONGEST)
        root = np.sqrt(strength)
        gamma2 = np.exp(slope * (root / (ONE + root)) - steepness * strength)
        squared = gamma2 * gamma2
        beta_ca, beta_mg, beta_na, beta_k = k_ca * squared, k_mg * squared, k_na * gamma2, k_k * gamma2
        free_calcium = calcium / (ONE + beta_ca * free_sulfate)
        free_magnesium = magnesium / (ONE + beta_mg * free_sulfate)
        alkali = na * beta_na / (ONE + beta_na * free_sulfate) + k * beta_k / (ONE + beta_k * free_sulfate)
        free_sulfate = sulfate / (ONE + free_calcium * beta_ca + free_magnesium * beta_mg + alkali)
        free_divalent = free_calcium + free_magnesium
    return np.log10(np.maximum(free_calcium * free_sulfate * squared / ksp, 1e-300)), strength


def _enter_saturation(layers: Layers, log_x: Array, constants: AqueousConstants) -> tuple[Array, Array]:
    """ln x and ionic strength of layers newly known to hold solid gypsum.

    Starts from the solution without solid, where calcium is above its saturated value and so on the safe side
    of the pole; what does not settle from there is bracketed.
    """
    log_x, strength, failed = solve_with_solid(
        layers, log_x, np.full(log_x.shape, 0.06), constants, rounds=40
    )
    if failed is None:
        return log_x, strength
    index = failed.nonzero()[0]
    part = layers.take(index)
    near, about = _bracket_saturation(part, constants)
    log_x[index], strength[index], still = solve_with_solid(part, near, about, constants, rounds=40)
    if still is not None:
        refuse_strong_solution(about[still], where="the solution beside solid gypsum")
        raise ConvergenceError(
            f"layers = {int(still.sum())}: gypsum and exchange did not settle together; the limit is the solver's; "
            "please report the soil, gypsum and water that were given."
        )
    return log_x, strength


def _bracket_saturation(layers: Layers, constants: AqueousConstants) -> tuple[Array, Array]:
    """ln x and ionic strength near saturation, by halving the dissolved sulfate."""
    total_na, total_k, total_mg, _, other_anions, capacity, _, _, _, _, _, _ = layers.table
    # below this sulfate charge balance would leave no calcium
    least = total_mg - 0.5 * (capacity + other_anions - total_na - total_k)
    low = np.maximum(least, 0.0) / layers.water * (1 + 1e-12)
    high = layers.sulfate / layers.water
    others = layers.other_anions / layers.water
    dry = np.zeros(layers.size, dtype=bool)
    log_x, strength = np.empty_like(high), np.full(layers.size, 0.05)
    for _ in range(_HALVINGS):
        sulfate = 0.5 * (low + high)
        log_x = bracket_without_solid(layers, sulfate)
        state = _explicit(layers, Start(log_x=log_x, strength=strength, solid=dry))
        index, strength = _rough_saturation(state.concentrations[:4], sulfate, others, constants, rounds=8)
        over = index > 0
        low, high = np.where(over, low, sulfate), np.where(over, sulfate, high)
    return log_x, strength
