"""Whether a layer holds solid gypsum: the saturation test, and the way into saturation."""

from typing import Final

import numpy as np

from soilx.chemistry.layer_amounts import ONE, Array, Equilibrium, Index, Layers, Start, amounts_at
from soilx.chemistry.layer_charge import bracket_without_solid
from soilx.chemistry.layer_saturated import saturation_terms, solve_with_solid
from soilx.chemistry.soil_solution import AqueousConstants, refuse_strong_solution, speciate
from soilx.errors import ConvergenceError

_HALVINGS: Final = 60
ROUGH: Final = ((2, 0.03), (6, 1e-3))
"""Rounds of pairing, and how far from 0 the sign of their saturation index is right (tested)."""

_STRONGEST: Final = np.array(4.0)
"""Ionic strength at which activities are taken where all of a layer's gypsum is thought dissolved: beyond it
the Davies equation means nothing and soon overflows [mol/L]."""


def oversaturated(layers: Layers, result: Equilibrium, constants: AqueousConstants) -> Index | None:
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
    for rounds, good in ROUGH:
        rough, _ = rough_saturation(
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


def rough_saturation(
    cations: Array, sulfate: Array, others: Array, constants: AqueousConstants, *, rounds: int
) -> tuple[Array, Array]:
    """Saturation index and ionic strength [mol/L] after some rounds of pairing; its sign: see `ROUGH`."""
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


def enter_saturation(layers: Layers, log_x: Array, constants: AqueousConstants) -> tuple[Array, Array]:
    """Value of ln x and ionic strength of layers newly known to hold solid gypsum.

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
            f"layers = {int(still.sum())}: gypsum and exchange did not settle together; the limit is the "
            "solver's; please report the soil, gypsum and water that were given."
        )
    return log_x, strength


def _bracket_saturation(layers: Layers, constants: AqueousConstants) -> tuple[Array, Array]:
    """Value of ln x and ionic strength near saturation, by halving the dissolved sulfate."""
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
        state = amounts_at(layers, Start(log_x=log_x, strength=strength, solid=dry))
        index, strength = rough_saturation(state.concentrations[:4], sulfate, others, constants, rounds=8)
        over = index > 0
        low, high = np.where(over, low, sulfate), np.where(over, sulfate, high)
    return log_x, strength
