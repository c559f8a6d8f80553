"""What "Change the soil" sets: a soil from the demo or of one's own, with some of it moved."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final, TypeVar

from soilx.column.soil import Soil
from soilx.errors import SoilxError
from soilx.units import Kind, express, quantity

OWN_SOIL: Final = "A soil of your own"

#: Where the three numbers of a soil of one's own start.
OWN_ESP_PCT: Final = 15.0
OWN_EC_DS_PER_M: Final = 3.0
OWN_CEC: Final = 20.0

SELECTIVITY_RANGE: Final = (0.0085, 0.0163)
"""Published range of Gapon's K_Na, falling as the solution grows stronger [(mmol/L)^-½]."""

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """Where the controls of a soil start.

    Attributes
    ----------
    soil : Soil
    esp_pct, conductivity_ds_per_m : float
        At drained water [%], [dS/m].
    capacity : float
        [cmol_c/kg]
    sodium_selectivity : float
        [(mmol/L)^-½]
    """

    soil: Soil
    esp_pct: float
    conductivity_ds_per_m: float
    capacity: float
    sodium_selectivity: float


def own_soil(*, esp_pct: float, conductivity_ds_per_m: float, capacity: float) -> Soil:
    """A soil of which only three numbers are known; depth, density and water are an ordinary clay loam's.

    Parameters
    ----------
    esp_pct, conductivity_ds_per_m, capacity : float
        At drained water [%], [dS/m]; exchange capacity [cmol_c/kg].
    """
    return Soil.of(
        name=OWN_SOIL,
        cation_exchange_capacity=quantity(capacity, "cmol_c/kg"),
        exchangeable_sodium_percentage=quantity(esp_pct, "%"),
        electrical_conductivity=quantity(conductivity_ds_per_m, "dS/m"),
        depth="15 cm",
        bulk_density="1.40 kg/L",
        drained_water="0.26 L/kg",
    )


def start_of(soil: Soil | None) -> Start:
    """Where the controls stand for a soil of the demo, or for one of one's own (None)."""
    if soil is None:
        soil = own_soil(esp_pct=OWN_ESP_PCT, conductivity_ds_per_m=OWN_EC_DS_PER_M, capacity=OWN_CEC)
    return Start(
        soil=soil,
        esp_pct=round(soil.exchangeable_sodium_percentage, 1),
        conductivity_ds_per_m=round(soil.electrical_conductivity, 1),
        capacity=express(soil.cation_exchange_capacity, Kind.EXCHANGE_CAPACITY, "cmol_c/kg"),
        sodium_selectivity=soil.selectivity.sodium,
    )


def soil_as_set(
    start: Start, *, esp_pct: float, conductivity_ds_per_m: float, capacity: float, sodium_selectivity: float
) -> Soil:
    """The soil with what was moved; a control that stands where it started changes nothing.

    Parameters
    ----------
    start : Start
    esp_pct, conductivity_ds_per_m, capacity, sodium_selectivity : float
        As on the controls, in the units of `Start`. The conductivity moves a soil of one's own alone: a
        report has its own salts.

    Raises
    ------
    SoilxError
        If the soil cannot be so.
    """
    soil = start.soil
    if soil.name == OWN_SOIL:
        soil = own_soil(esp_pct=esp_pct, conductivity_ds_per_m=conductivity_ds_per_m, capacity=capacity)
    else:
        if esp_pct != start.esp_pct:
            soil = soil.with_exchangeable_sodium_percentage(quantity(esp_pct, "%"))
        if capacity != start.capacity:
            soil = soil.with_capacity(quantity(capacity, "cmol_c/kg"))
    if sodium_selectivity != start.sodium_selectivity:
        soil = soil.with_selectivity(replace(soil.selectivity, sodium=sodium_selectivity))
    return soil


def attempt(make: Callable[[], _T]) -> tuple[_T | None, str]:
    """What was made and no words, or nothing and the words of the refusal.

    Parameters
    ----------
    make : callable
        May raise `SoilxError`; anything else goes on its way.
    """
    try:
        return make(), ""
    except SoilxError as refusal:
        return None, str(refusal)
