"""Rates in the units people spread, buy and weigh by."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from soilx.practice.dose.product import Product
from soilx.units import GYPSUM_MOLAR_MASS, Ground, Kind, express

PER_SOIL: Final[Mapping[str, str]] = MappingProxyType({"g_per_kg": "g/kg"})
PER_AREA: Final[Mapping[str, str]] = MappingProxyType(
    {
        "t_per_ha": "t/ha",
        "kg_per_ha": "kg/ha",
        "g_per_m2": "g/m^2",
        "short_ton_per_acre": "short_ton/acre",
        "lb_per_acre": "lb/acre",
        "lb_per_1000_ft2": "lb/1000 ft^2",
        "lb_per_100_ft2": "lb/100 ft^2",
    }
)
TRADE_UNITS: Final[Mapping[str, str]] = MappingProxyType({**PER_SOIL, **PER_AREA})
"""Unit of each key; the keys name their unit in JSON and in tables."""

BAGGED_AREAS: Final[Mapping[str, str]] = MappingProxyType(
    {"bags_per_ha": "kg/ha", "bags_per_acre": "kg/acre", "bags_per_1000_ft2": "kg/1000 ft^2"}
)

SHOWN: Final[Mapping[str, str]] = MappingProxyType(
    {
        **TRADE_UNITS,
        "bags_per_ha": "bags/ha",
        "bags_per_acre": "bags/acre",
        "bags_per_1000_ft2": "bags/1000 ft^2",
    }
)
"""Unit of each key as it is printed."""


def pure_rate_in_units(gypsum: float, *, ground: Ground) -> dict[str, float]:
    """A rate of pure gypsum in every unit of the trade, by keys that name the unit.

    Parameters
    ----------
    gypsum : float
        Pure gypsum in the treated depth [mmol/kg].
    ground : Ground
        Depth and bulk density that are treated.
    """
    return {key: express(gypsum, Kind.GYPSUM_RATE, unit, ground=ground) for key, unit in TRADE_UNITS.items()}


def product_rate_in_units(gypsum: float, *, product: Product, ground: Ground) -> dict[str, float]:
    """The product as it comes that holds a rate of pure gypsum, in every unit of the trade and in bags.

    Parameters
    ----------
    gypsum : float
        Pure gypsum in the treated depth [mmol/kg].
    product : Product
        Bags are counted where its bag is known, not rounded.
    ground : Ground
        Depth and bulk density that are treated.
    """
    per_soil = product.product_mass(gypsum * GYPSUM_MOLAR_MASS / 1000.0)
    units = {
        key: express(per_soil, Kind.PRODUCT_RATE, unit, ground=ground) for key, unit in TRADE_UNITS.items()
    }
    if product.bag is not None:
        for key, unit in BAGGED_AREAS.items():
            units[key] = product.bags(express(per_soil, Kind.PRODUCT_RATE, unit, ground=ground))
    return units
