"""What can be picked on the page, soils, waters and products, and what can be aimed at."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from soilx.column.files import demo_path, read_waters
from soilx.column.water import DEIONISED_NAME, Water
from soilx.practice.dose.product import PURE, Product
from soilx.practice.dose.products_file import read_products
from soilx.practice.soil_test.report import Report, read_reports

OWN_SOIL: Final = "own"
OWN_WATER: Final = "own"
NO_WATER: Final = "unknown"
OWN_PRODUCT: Final = "own"
FACTOR: Final = "1.25"
"""In print; recalled are 1.1 to 1.3 †."""

# What each demonstration soil is aimed at where nobody says otherwise.
_TARGETS: Final[Mapping[str, str]] = MappingProxyType({"Block F": "6 %", "Lawn 2": "3 %"})


@functools.cache
def demo_reports() -> Mapping[str, Report]:
    """Soil tests of the demonstration, by name."""
    return MappingProxyType(dict(read_reports(demo_path("soils.csv"))))


@functools.cache
def demo_waters() -> Mapping[str, Water]:
    """Waters of the demonstration, by name."""
    return MappingProxyType(read_waters(demo_path("waters.csv")))


@functools.cache
def demo_products() -> Mapping[str, Product]:
    """Products of the demonstration, by name; their prices are invented."""
    return MappingProxyType(dict(read_products(demo_path("products.csv"))))


def soils_offered() -> dict[str, str]:
    """Soils to pick from, as they are read."""
    return {**{name: f"{name} (invented)" for name in demo_reports()}, OWN_SOIL: "My own: an empty form"}


def waters_offered() -> dict[str, str]:
    """Waters to pick from, as they are read."""
    named = {name: name for name in demo_waters() if name != DEIONISED_NAME}
    return {
        **named,
        DEIONISED_NAME: "deionised (a laboratory's)",
        NO_WATER: "nobody knows yet",
        OWN_WATER: "my own analysis",
    }


def gypsum_offered() -> dict[str, str]:
    """Gypsum products to pick from, as they are read."""
    named = {name: name for name, product in demo_products().items() if product.substance == "gypsum"}
    return {**named, PURE.name: "pure gypsum", OWN_PRODUCT: "my own: from its label"}


def aims_of(soil: str) -> dict[str, str]:
    """What stands in the boxes of the aim when a soil is picked.

    Parameters
    ----------
    soil : str
        As picked.
    """
    aims = {"factor": FACTOR, "concentration": "1", "pot": "100 g"}
    return aims | ({"target": _TARGETS[soil]} if soil in _TARGETS else {})


def product_texts(product: Product) -> dict[str, str]:
    """What stands in the boxes of a product.

    Parameters
    ----------
    product : Product
    """
    texts = {
        "name": product.name,
        "purity": f"{100 * product.purity:.4g} %",
        "moisture": f"{100 * product.moisture:.4g} %",
        "moisture_basis": "wet",
    }
    return texts | ({} if product.bag is None else {"bag": f"{product.bag:g} kg"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """What is aimed at.

    Attributes
    ----------
    target_esp_pct : float
        Asked for, or the convention's own [%].
    depth : str or None
        To treat, as typed; None for as sampled.
    factor, concentration : float
    pot : str or None
        Oven-dry soil of a pot, as typed.
    asked : bool
        Whether the target was asked for.
    """

    target_esp_pct: float
    depth: str | None = None
    factor: float = 1.0
    concentration: float = 1.0
    pot: str | None = None
    asked: bool = False
