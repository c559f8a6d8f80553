"""The soil of a fit: selectivity, capacity and dissolved sodium moved, and written down by its totals."""

from dataclasses import replace

from soilx.chemistry.cation_exchange import Selectivity
from soilx.chemistry.layer_equilibrium import LayerState
from soilx.column.inventory import Inventory
from soilx.column.soil import Soil
from soilx.column.soil_changes import inventory_of_state
from soilx.column.soil_fields import SELECTIVITIES, SOIL_FIELD
from soilx.errors import LimitError

_NOT_NIL = 1e-6
"""Solid gypsum below this is rounding [mmol/kg]."""


def soluble_sodium(soil: Soil) -> float:
    """Dissolved sodium of a soil at its drained water [mmol/kg]."""
    return soil.state.solution.na * soil.drained_water


def moved_soil(
    soil: Soil,
    *,
    sodium_selectivity: float | None = None,
    capacity: float | None = None,
    soluble: float | None = None,
) -> Soil:
    r"""The soil with another sodium selectivity, exchange capacity or dissolved sodium.

    Parameters
    ----------
    soil : Soil
    sodium_selectivity : float, optional
        Gapon coefficient [(mmol/L)^-½]; the same inventory is redistributed by it.
    capacity : float, optional
        [mmol_c/kg]; exchanger fractions and solution stay, the exchanger is scaled.
    soluble : float, optional
        Dissolved sodium at drained water [mmol/kg]; the exchanger stays, the solution is strengthened or
        thinned.

    Returns
    -------
    Soil
        For runs: it keeps the texts of the soil it came from. `soil_by_totals` writes it down anew.

    Raises
    ------
    LimitError
        If dissolved sodium is to be moved beside solid gypsum, which sets the strength of the solution.

    Notes
    -----
    In this order, so that the soil ends with exactly the values given. On an unchanged exchanger the Gapon
    equations hold sodium over the root of calcium and magnesium, so that sodium and potassium are multiplied
    by one ratio r, calcium and magnesium by r², and all anions, in their proportion, by what keeps the
    solution neutral.
    """
    if sodium_selectivity is not None:
        soil = replace(soil, selectivity=replace(soil.selectivity, sodium=sodium_selectivity))
    if capacity is None and soluble is None:
        return soil
    state, capacity = soil.state, soil.cation_exchange_capacity if capacity is None else capacity
    if soluble is not None:
        state = _strengthened(state, soluble / (state.solution.na * soil.drained_water), soil.name)
    inventory = inventory_of_state(state, capacity=capacity, water=soil.drained_water)
    return replace(soil, cation_exchange_capacity=capacity, **inventory.amounts)


def _strengthened(state: LayerState, ratio: float, name: str) -> LayerState:
    if state.gypsum > _NOT_NIL:
        raise LimitError(
            f"soluble_sodium of soil {name}: cannot be fitted beside {state.gypsum:.3g} mmol/kg of solid "
            "gypsum in the soil; the limit is that gypsum, which sets the strength of the solution; leave "
            "soluble_sodium out of the fit."
        )
    old = state.solution
    cations = {"na": old.na * ratio, "k": old.k * ratio, "ca": old.ca * ratio**2, "mg": old.mg * ratio**2}
    charge = cations["na"] + cations["k"] + 2 * (cations["ca"] + cations["mg"])
    times = charge / old.anion_charge
    anions = {"so4": old.so4 * times, "cl": old.cl * times, "hco3": old.hco3 * times}
    return replace(state, solution=replace(old, **cations, **anions))


def soil_by_totals(
    soil: Soil,
    *,
    name: str,
    inventory: Inventory | None = None,
    capacity: float | None = None,
    selectivity: Selectivity | None = None,
    initial_water: float | None = None,
    drained_water: float | None = None,
) -> Soil:
    """The soil written down by its totals, so that files and handouts can make it again.

    Parameters
    ----------
    soil : Soil
        Gives everything that is not given.
    name : str
        Of the new soil.
    inventory : Inventory, optional
        What a kilogram holds [mmol/kg].
    capacity : float, optional
        [mmol_c/kg]
    selectivity : Selectivity, optional
    initial_water, drained_water : float, optional
        [L/kg]

    Raises
    ------
    LimitError
        If this cannot be a soil.
    """
    held = soil.inventory if inventory is None else inventory
    chosen = soil.selectivity if selectivity is None else selectivity
    drained = soil.drained_water if drained_water is None else drained_water
    initial = soil.initial_water if initial_water is None else initial_water
    others = held.chloride + held.bicarbonate
    share = held.bicarbonate / others if others > 0 else 0.0
    cec = soil.cation_exchange_capacity if capacity is None else capacity
    given = {
        "name": name,
        "origin": "totals",
        "depth": f"{soil.depth!r} mm",
        "bulk_density": f"{soil.bulk_density!r} kg/L",
        "cation_exchange_capacity": f"{cec!r} mmol_c/kg",
        "saturation_percentage": dict(soil.typed).get("saturation_percentage", ""),
        "initial_water": f"{initial!r} L/kg",
        "drained_water": f"{drained!r} L/kg",
        "driest_water": f"{min(soil.driest_water, initial)!r} L/kg",
        "total_sodium": f"{held.sodium!r} mmol/kg",
        "total_potassium": f"{held.potassium!r} mmol/kg",
        "total_magnesium": f"{held.magnesium!r} mmol/kg",
        "total_sulfate": f"{held.sulfate!r} mmol/kg",
        "other_anions": f"{others!r} mmol_c/kg",
        "bicarbonate_share": f"{100 * share!r} %",
        **{
            key: f"{getattr(chosen, key.removesuffix('_selectivity'))!r} {SOIL_FIELD[key].unit}".strip()
            for key in SELECTIVITIES
        },
        **soil.observations,
    }
    return Soil.of(changes=(), **{key: text for key, text in given.items() if text})
