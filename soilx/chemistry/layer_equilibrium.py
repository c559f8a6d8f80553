"""One stirred layer at equilibrium: solution, exchanger and solid gypsum, for many layers at once.

`equilibrate` is the fast solver, `equilibrate_inventory` its front for a single layer;
`soilx.chemistry.layer_reference` solves the same problem by nested brackets and is what they are held to.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from soilx.chemistry.cation_exchange import Selectivity
from soilx.chemistry.layer_amounts import Array, Equilibrium, Index, Layers, Start, amounts_at
from soilx.chemistry.layer_charge import cold_start, electroneutral
from soilx.chemistry.layer_gypsum import enter_saturation, oversaturated
from soilx.chemistry.layer_saturated import solve_with_solid
from soilx.chemistry.soil_solution import (
    CONSTANTS,
    DAVIES_LIMIT,
    AqueousConstants,
    Solution,
    refuse_strong_solution,
    speciate,
    stoichiometric_ionic_strength,
)
from soilx.errors import LimitError

_PLENTY: Final = 400.0
"""Sulfate that no solution within the activity model holds beside solid gypsum [mmol/L]; what the exchanger
can give sodium for comes on top."""


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
        start = cold_start(layers)
    solid = start.solid
    wet = solid.nonzero()[0]
    if wet.size == layers.size:
        log_x, strength, failed = solve_with_solid(layers, start.log_x, start.strength, constants)
    elif wet.size == 0:
        log_x, strength, failed = electroneutral(layers, start.log_x), start.strength, None
    else:
        dry = (~solid).nonzero()[0]
        log_x, strength = start.log_x.copy(), start.strength.copy()
        log_x[dry] = electroneutral(layers.take(dry), log_x[dry])
        log_x[wet], strength[wet], failed = solve_with_solid(
            layers.take(wet), log_x[wet], strength[wet], constants
        )
    state = Start(log_x=log_x, strength=strength, solid=solid)
    result = amounts_at(layers, state)
    if wet.size:
        spent = solid & ~(result.gypsum > 0)
        if failed is not None:
            spent[wet[failed]] = True
        if np.count_nonzero(spent):
            result = _without_solid(layers, start, state, spent.nonzero()[0])
    over = oversaturated(layers, result, constants)
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
    solution = amounts_at(
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
            f"calcium = {calcium:.4g} mmol/kg: charge balance leaves none; the limit is "
            "electroneutrality: sodium, potassium and magnesium must stay below exchange capacity plus "
            "anions; check the units and bases of the cations against the exchange capacity."
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


def _without_solid(layers: Layers, start: Start, state: Start, index: Index) -> Equilibrium:
    """The layers at `index` solved again, from where they started, with all their gypsum dissolved."""
    log_x, solid = state.log_x.copy(), state.solid.copy()
    log_x[index] = electroneutral(layers.take(index), start.log_x[index])
    solid[index] = False
    return amounts_at(layers, Start(log_x=log_x, strength=state.strength, solid=solid))


def _with_solid(layers: Layers, state: Start, index: Index, constants: AqueousConstants) -> Equilibrium:
    """The oversaturated layers at `index` solved again, with solid gypsum."""
    log_x, strength, solid = state.log_x.copy(), state.strength.copy(), state.solid.copy()
    log_x[index], strength[index] = enter_saturation(layers.take(index), log_x[index], constants)
    solid[index] = True
    result = amounts_at(layers, Start(log_x=log_x, strength=strength, solid=solid))
    none = index[~(result.gypsum[index] > 0)]
    if none.size:  # oversaturated by rounding alone: the solution without solid stands
        log_x[none], strength[none], solid[none] = state.log_x[none], state.strength[none], False
        result = amounts_at(layers, result.start)
    return result
