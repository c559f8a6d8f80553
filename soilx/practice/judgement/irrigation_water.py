"""What an irrigation water does to a soil: carbonate, infiltration, its floor, leaching, gypsum in it."""

import math
from typing import Final

from soilx.chemistry.cation_exchange import (
    DEFAULT_SELECTIVITY,
    Selectivity,
    exchangeable_sodium_percentage,
    sodium_adsorption_ratio_beside,
)
from soilx.column.fields import Given
from soilx.column.water import Water
from soilx.errors import require
from soilx.practice.judgement.infiltration import (
    HIGHEST_SAR,
    INFILTRATION,
    Restriction,
    infiltration_restriction,
)
from soilx.practice.judgement.leaching_share import leaching_requirement, water_for_leaching
from soilx.units import GYPSUM, Kind, Quantity, as_quantity, read

# One door to irrigation water: what the two modules above hold is reached from here as well.
__all__ = [
    "HIGHEST_SAR",
    "INFILTRATION",
    "MOST_CONCENTRATION",
    "Restriction",
    "calcium_for_floor",
    "floor_esp_pct",
    "gypsum_for_water",
    "infiltration_restriction",
    "leaching_requirement",
    "ratio_of_water",
    "residual_sodium_carbonate",
    "water_for_leaching",
]

MOST_CONCENTRATION: Final = 20.0
"""A soil that concentrates its water further is a salt pan; our own limit."""


def residual_sodium_carbonate(water: Water) -> float:
    """Carbonate and bicarbonate beyond calcium and magnesium; below zero where lime stays in solution.

    Parameters
    ----------
    water : Water

    Returns
    -------
    float
        (CO3 + HCO3) − (Ca + Mg) [mmol_c/L].
    """
    return water.residual_sodium_carbonate


def ratio_of_water(water: Water) -> float:
    """Sodium adsorption ratio of a water, infinite where it has sodium and nothing divalent beside it.

    Parameters
    ----------
    water : Water
        Softened water may come without a trace of calcium and magnesium.

    Returns
    -------
    float
        [(mmol/L)^½]
    """
    if water.solution.ca + water.solution.mg > 0.0:
        return water.sodium_adsorption_ratio
    return math.inf if water.solution.na > 0.0 else 0.0


def floor_esp_pct(
    water: Water, *, concentration_factor: float = 1.0, selectivity: Selectivity = DEFAULT_SELECTIVITY
) -> float:
    r"""Exchangeable sodium percentage to which a water brings any soil in the end: its floor.

    .. math:: 100\,\frac{K_{Na}\,\mathrm{SAR}\sqrt{CF}}{1 + K_{Na}\,\mathrm{SAR}\sqrt{CF}}

    Parameters
    ----------
    water : Water
    concentration_factor : float
        How many times the root zone concentrates the water, CF, 1 to 20.
    selectivity : Selectivity
        Of the soil's exchanger.

    Returns
    -------
    float
        [%]

    Raises
    ------
    LimitError
        If the concentration factor is below 1 or above 20.

    Notes
    -----
    All ions are taken to concentrate alike. In a water with residual sodium carbonate calcium comes down as
    lime while it concentrates, which is left out: its floor is higher than this. Exchangeable potassium is
    left out as well.
    """
    ratio = ratio_of_water(water) * _concentration(concentration_factor) ** 0.5
    if math.isinf(ratio):
        return 100.0
    return float(exchangeable_sodium_percentage(ratio, selectivity=selectivity))


def gypsum_for_water(calcium: Given, *, unit: str = "lb/acre_foot") -> Quantity:
    """Pure gypsum that gives irrigation water so much more calcium.

    Parameters
    ----------
    calcium : str or Quantity
        What is to be added: "1 meq/L".
    unit : str
        Of the answer, a mass per volume of water.

    Returns
    -------
    Quantity
        234.10 lb per acre-foot for each meq/L.

    Raises
    ------
    SoilxError
        If it is no concentration, or less than nothing.

    References
    ----------
    arithmetic; usda_water_gypsum
    """
    charge = read(calcium, Kind.CHARGE_CONCENTRATION, name="calcium to add", ion=GYPSUM)
    require(
        "calcium to add", charge, "mmol_c/L", low=0.0, whose="an addition", remedy="give what is to be added"
    )
    milligrams = charge * GYPSUM.molar_mass / GYPSUM.charge
    return as_quantity(milligrams, Kind.MASS_CONCENTRATION, unit)


def calcium_for_floor(
    water: Water,
    *,
    esp_pct: float,
    concentration_factor: float = 1.0,
    selectivity: Selectivity = DEFAULT_SELECTIVITY,
) -> float:
    """Calcium that has to be added to a water so that its floor comes down to an ESP; 0 if it is there.

    Parameters
    ----------
    water : Water
    esp_pct : float
        Wanted floor, above 0 [%].
    concentration_factor : float
        As for `floor_esp_pct`.
    selectivity : Selectivity
        Of the soil's exchanger.

    Returns
    -------
    float
        [mmol_c/L]; whether water can dissolve as much gypsum is another question
        (`soilx.practice.judgement.water_judgement`).
    """
    require(
        "wanted floor",
        esp_pct,
        "%",
        low=0.0,
        low_open=True,
        high=99.0,
        whose="a water with sodium",
        remedy="give an ESP above 0",
    )
    factor = _concentration(concentration_factor)
    ratio = float(sodium_adsorption_ratio_beside(esp_pct, selectivity=selectivity)) / factor**0.5
    held = water.solution.ca + water.solution.mg
    return 2.0 * max(0.0, float((water.solution.na / ratio) ** 2) - held)


def _concentration(factor: float) -> float:
    return require(
        "concentration factor",
        factor,
        "",
        low=1.0,
        high=MOST_CONCENTRATION,
        whose="roots that take up water and leave salt",
        remedy="1 is the water as it is; 2 to 3 are usual in a root zone (common practice)",
    )
