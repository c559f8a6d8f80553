"""The gypsum column of a bench plan: its dose, its pre-wetting and its portions, for the model."""

from typing import Final

from soilx.column.fields import Given
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.errors import LimitError, UnitKindError
from soilx.practice.dose.requirement import hand_requirement
from soilx.units import Kind, read

PREWET_L_PER_KG_H: Final = 0.1
"""Slow enough for air to leave before the water: 10 mL/h on 100 g; common practice, no source."""


def dose_of(soil: Soil, *, gypsum: Given | None, target_esp: float | Given | None) -> float:
    """Pure gypsum, given or by the hand formula [mmol/kg].

    Parameters
    ----------
    soil : Soil
    gypsum : str or Quantity, optional
        A rate of pure gypsum.
    target_esp : float, str or Quantity, optional
        What the hand formula is to reach.

    Raises
    ------
    SoilxError
        If both or none are given, or there is nothing to show.
    """
    if (gypsum is None) == (target_esp is None):
        raise UnitKindError(
            f"gypsum = {'not given' if gypsum is None else 'given, and a target too'}: cannot be planned; "
            "the dose "
            'comes from one of them; give gypsum like "3.0 g/kg", or target_esp like "5 %".'
        )
    if gypsum is not None:
        dose = read(gypsum, Kind.GYPSUM_RATE, name="gypsum", ground=soil.ground)
    else:
        dose = hand_requirement(soil, target_esp=target_esp or 0.0).gypsum
    if dose <= 0:
        raise LimitError(
            f"gypsum = {dose:g} mmol/kg: shows nothing; the soil is at its target without any; choose a "
            "lower target, or a soil with more sodium."
        )
    return dose


def treated_column(soil: Soil, *, gypsum: float, soil_mass: float, water: float, portions: int) -> Scenario:
    """Column with gypsum mixed in: slow pre-wetting to drained water, then equal portions of deionised water.

    Parameters
    ----------
    soil : Soil
    gypsum : float
        Pure gypsum [mmol/kg].
    soil_mass : float
        Oven-dry soil in the column [kg].
    water : float
        Poured after the pre-wetting [L/kg].
    portions : int
        In how many parts.
    """
    wettings: list[object] = []
    missing = soil.drained_water - soil.initial_water
    if missing > 0:
        hours = missing / PREWET_L_PER_KG_H
        wettings.append({"amount": f"{missing!r} L/kg", "collect": 1, "hours": f"{hours!r} h"})
    wettings.append({"amount": f"{water!r} L/kg", "collect": portions})
    return Scenario.of(
        soil=soil,
        gypsum=f"{gypsum!r} mmol/kg",
        wettings=wettings,
        soil_mass=f"{soil_mass!r} kg",
        title=f"Bench run on {soil.name}",
    )
