"""What a soil can be: geometry, pores, and charges that balance."""

from typing import Final

from soilx.column.inventory import Inventory
from soilx.errors import refuse, require

PARTICLE_DENSITY: Final = 2.65
"""Density of soil minerals, quartz [kg/L]; more water than the pores between them hold is refused."""

CHARGE_TOLERANCE: Final = 1e-9
"""How far totals may be from electroneutral, relative to all charge."""


def require_possible_soil(
    name: str,
    *,
    depth: float,
    bulk_density: float,
    capacity: float,
    initial_water: float,
    drained_water: float,
    driest_water: float,
) -> None:
    """Raise where a column of this geometry and water cannot be.

    Parameters
    ----------
    name : str
        Of the soil, for the refusal.
    depth : float
        [mm]
    bulk_density : float
        [kg/L]
    capacity : float
        Cation exchange capacity [mmol_c/kg].
    initial_water, drained_water, driest_water : float
        [L/kg]

    Raises
    ------
    LimitError
        If one is not above zero, the soil is wetter than drained, or its pores cannot hold its water.
    """
    for key, value, unit in (
        ("depth", depth, "mm"),
        ("bulk_density", bulk_density, "kg/L"),
        ("cation_exchange_capacity", capacity, "mmol_c/kg"),
        ("initial_water", initial_water, "L/kg"),
        ("drained_water", drained_water, "L/kg"),
        ("driest_water", driest_water, "L/kg"),
    ):
        require(
            f"{key} of soil {name}",
            value,
            unit,
            low=0.0,
            low_open=True,
            whose="a soil that holds water and cations",
            remedy=f"give the {key.replace('_', ' ')} as measured",
        )
    for key, value in (("initial_water", initial_water), ("driest_water", driest_water)):
        require(
            f"{key} of soil {name}",
            value,
            "L/kg",
            high=drained_water,
            whose="its own drained water",
            remedy="give less, or more drained_water",
        )
    require(
        f"drained_water of soil {name}",
        drained_water,
        "L/kg",
        high=1 / bulk_density - 1 / PARTICLE_DENSITY,
        whose=f"the pores left at {bulk_density:g} kg/L by minerals of {PARTICLE_DENSITY} kg/L",
        remedy="check drained_water and bulk_density; water is per oven-dry soil by mass",
    )


def require_neutral_inventory(name: str, inventory: Inventory, *, capacity: float) -> None:
    """Raise where amounts are negative or do not balance in charge.

    Parameters
    ----------
    name : str
        Of the soil, for the refusal.
    inventory : Inventory
        Totals [mmol/kg].
    capacity : float
        Cation exchange capacity [mmol_c/kg].

    Raises
    ------
    LimitError
        If an amount is negative or cations are not equal to exchange capacity and anions.
    """
    for ion in ("calcium", "magnesium", "sodium", "potassium", "sulfate", "chloride", "bicarbonate"):
        require(
            f"{ion} of soil {name}",
            getattr(inventory, ion),
            "mmol/kg",
            low=0.0,
            whose="an amount",
            remedy=f"give the {ion} as measured, or 0",
        )
    cations = 2 * (inventory.calcium + inventory.magnesium) + inventory.sodium + inventory.potassium
    anions = capacity + 2 * inventory.sulfate + inventory.chloride + inventory.bicarbonate
    if abs(cations - anions) > CHARGE_TOLERANCE * anions:
        refuse(
            f"charge of soil {name}",
            cations - anions,
            "mmol_c/kg",
            wrong="cations are not equal to exchange capacity and anions",
            limit=f"the limit is {CHARGE_TOLERANCE:g} of all charge, by electroneutrality",
            remedy="build the soil with Soil.of, where calcium follows from the charge balance",
        )
