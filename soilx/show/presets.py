"""What a lecture starts from: soils with a rate and a water each, what may be moved, and in which units."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from soilx.chemistry.cation_exchange import SELECTIVITY_RANGES
from soilx.column.files import demo_path, read_soils, read_waters
from soilx.column.soil import Soil
from soilx.column.water import Water
from soilx.show.control import Control, Reading
from soilx.show.page import Shown
from soilx.show.pick import Pick
from soilx.show.sentences import RATE_DIGITS, RATE_UNIT
from soilx.show.words import Sentence
from soilx.sources import SOURCES
from soilx.units import Ground, Kind, express, quantity

PORE_VOLUMES: Final = "pore volumes"
WATER_UNITS: Final[Mapping[str, str]] = MappingProxyType(
    {
        PORE_VOLUMES: "pore volumes",
        "mL/100 g": "mL per 100 g of soil",
        "cm on the field": "cm of water on the field",
    }
)
RATE_UNITS: Final[Mapping[str, str]] = MappingProxyType({unit: unit for unit in RATE_DIGITS})
PLACEMENTS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "mixed": "mixed all through",
        "top 5 cm": "mixed into the top 5 cm",
        "surface": "spread on the surface",
        "water": "dissolved in the water",
    }
)

EC_IS_MEASURED: Final = "This soil's salts were measured one by one. Take “Own soil” to move its EC."
_OWN: Final = "Own soil"


@dataclass(frozen=True, slots=True, kw_only=True)
class Preset:
    """One soil with the gypsum and water it is first shown with.

    Attributes
    ----------
    soil : Soil
    gypsum_t_per_ha, water_pore_volumes : float
        Where the sliders start.
    water : str
        Name of the water applied.
    by_summary : bool
        Whether the soil is known by its CEC, ESP and EC alone, so that its EC may be moved.
    """

    soil: Soil
    gypsum_t_per_ha: float
    water_pore_volumes: float
    water: str = "deionised"
    by_summary: bool = False

    @property
    def capacity_cmol_c_per_kg(self) -> float:
        """Of the soil as it came."""
        return express(self.soil.cation_exchange_capacity, Kind.EXCHANGE_CAPACITY, "cmol_c/kg")


@functools.cache
def presets() -> Mapping[str, Preset]:
    """The soils of the demonstration by name, and one that is described by CEC, ESP and EC alone."""
    soils = read_soils(demo_path("soils.csv"))
    own = _summary_soil(capacity_cmol_c_per_kg=24.0, esp_pct=18.0, ec_ds_per_m=2.0)
    return MappingProxyType(
        {
            "Block C": Preset(soil=soils["Block C"], gypsum_t_per_ha=7.05, water_pore_volumes=4.0),
            "Block F": Preset(
                soil=soils["Block F"], gypsum_t_per_ha=5.24, water_pore_volumes=4.0, water="Well 3"
            ),
            "Lawn 2": Preset(
                soil=soils["Lawn 2"], gypsum_t_per_ha=0.33, water_pore_volumes=8.0, water="Well 3"
            ),
            # The bench pair's 3.0 g/kg, spread over the same depth of the bed.
            "Bed 7": Preset(soil=soils["Bed 7"], gypsum_t_per_ha=6.21, water_pore_volumes=4.0),
            _OWN: Preset(soil=own, gypsum_t_per_ha=7.05, water_pore_volumes=4.0, by_summary=True),
        }
    )


@functools.cache
def waters() -> Mapping[str, Water]:
    """The waters of the demonstration by name."""
    return MappingProxyType(read_waters(demo_path("waters.csv")))


def offered(named: Mapping[str, object]) -> dict[str, str]:
    """Names as they are picked: each reads as it is called."""
    return {name: name for name in named}


@functools.lru_cache(maxsize=512)
def changed_soil(
    preset: Preset,
    *,
    capacity_cmol_c_per_kg: float,
    esp_pct: float,
    ec_ds_per_m: float,
    sodium_selectivity: float,
) -> Soil:
    """The preset's soil with what was moved; what was not moved stays as it was measured.

    Parameters
    ----------
    preset : Preset
    capacity_cmol_c_per_kg, esp_pct, ec_ds_per_m : float
        Exchange capacity, exchangeable sodium, and conductivity of the soil solution at drained water. The
        conductivity counts only for a soil that is known by its summary.
    sodium_selectivity : float
        Gapon selectivity of sodium [(mmol/L)^-½].

    Raises
    ------
    SoilxError
        If no soil can be so.

    Notes
    -----
    Another selectivity alone would redistribute the same sodium, and the clay would hold another share than
    the slider says; the share is set again, so that slider and picture agree.
    """
    soil = preset.soil
    if preset.by_summary and (esp_pct, ec_ds_per_m) != (
        soil.exchangeable_sodium_percentage,
        soil.electrical_conductivity,
    ):
        soil = _summary_soil(
            capacity_cmol_c_per_kg=preset.capacity_cmol_c_per_kg, esp_pct=esp_pct, ec_ds_per_m=ec_ds_per_m
        )
    reselected = sodium_selectivity != soil.selectivity.sodium
    if reselected:
        soil = soil.with_selectivity(
            type(soil.selectivity)(
                sodium=sodium_selectivity,
                potassium=soil.selectivity.potassium,
                magnesium=soil.selectivity.magnesium,
            )
        )
    if reselected or (not preset.by_summary and esp_pct != preset.soil.exchangeable_sodium_percentage):
        soil = soil.with_exchangeable_sodium_percentage(quantity(esp_pct, "%"))
    if abs(capacity_cmol_c_per_kg - preset.capacity_cmol_c_per_kg) > 1e-9:
        soil = soil.with_capacity(quantity(capacity_cmol_c_per_kg, "cmol_c/kg"))
    return soil


def settle(
    preset: Preset,
    *,
    gypsum: Shown,
    water: Shown,
    capacity: Shown,
    sodium: Shown,
    salt: Shown,
    selectivity: Shown,
    placement: Shown,
    applied: Shown,
) -> Preset:
    """The preset, with every control moved to where it starts with this soil.

    Parameters
    ----------
    preset : Preset
    gypsum, water, capacity, sodium, salt, selectivity, placement, applied : Shown
        As the page places the controls of rate, amount of water, CEC, ESP, EC, K_Na, placement, and water.
    """
    soil = preset.soil
    for shown, value in (
        (gypsum, preset.gypsum_t_per_ha),
        (water, preset.water_pore_volumes),
        (capacity, preset.capacity_cmol_c_per_kg),
        (sodium, soil.exchangeable_sodium_percentage),
        (salt, soil.electrical_conductivity),
        (selectivity, soil.selectivity.sodium),
        (placement, "mixed"),
        (applied, preset.water),
    ):
        control = getattr(shown, "control", None)
        if isinstance(control, Control):
            control.move(float(value))
        elif isinstance(control, Pick):
            control.move(str(value))
    control = getattr(salt, "control", None)
    if isinstance(control, Control):
        control.allow(preset.by_summary, note="" if preset.by_summary else EC_IS_MEASURED)
    return preset


def read_in(
    gypsum: Shown, rate_unit: str, water: Shown, water_unit: str, *, soil: Soil, words: Sentence
) -> None:
    """Show rate and water in the units picked; their values stay.

    Parameters
    ----------
    gypsum, water : Shown
        As the page places the sliders.
    rate_unit, water_unit : str
        One of `RATE_UNITS`, one of `WATER_UNITS`.
    soil : Soil
        Of the column: it turns pore volumes into mL and cm.
    words : Sentence
        Says the rate in the same unit.
    """
    words.say_rates_in(rate_unit)
    for shown, unit, readings in (
        (gypsum, rate_unit, None),
        (water, water_unit, water_readings(soil)),
    ):
        control = getattr(shown, "control", None)
        if isinstance(control, Control):
            control.read_in(unit, readings)


def wettings(pore_volumes: float, *, of: Water, portion: float) -> list[dict[str, object]]:
    """What a scenario takes as its wettings: none without water, else one that is caught in portions.

    Parameters
    ----------
    pore_volumes : float
        Of water applied.
    of : Water
        Which it is.
    portion : float
        Size of a portion [pore volumes].
    """
    if pore_volumes == 0:
        return []
    return [
        {
            "amount": quantity(pore_volumes, "pore_volume"),
            "water": of,
            "collect": quantity(min(portion, pore_volumes), "pore_volume"),
        }
    ]


def rate_readings() -> list[Reading]:
    """Units beside t/ha in which a gypsum rate is set and read."""
    # An area rate turns into another whatever the ground; it is asked of one that is easy to follow.
    ground = Ground(depth=100.0, bulk_density=1.0)
    one = express(1.0, Kind.GYPSUM_RATE, RATE_UNIT, ground=ground)
    units = (("short ton/acre", "short_ton/acre", 0.02), ("lb/1000 ft²", "lb/1000 ft^2", 1.0))
    return [
        Reading(
            unit=name,
            factor=express(1.0, Kind.GYPSUM_RATE, unit, ground=ground) / one,
            step=step,
            digits=RATE_DIGITS[name],
        )
        for name, unit, step in units
    ]


def water_readings(soil: Soil) -> list[Reading]:
    """Units beside pore volumes in which water on this soil is set and read.

    Parameters
    ----------
    soil : Soil
        Of the column.
    """
    litres = soil.drained_water
    field = express(litres, Kind.WATER, "cm", ground=soil.ground)
    return [
        Reading(unit="mL/100 g", factor=100.0 * litres, step=1.0, digits=1),
        Reading(unit="cm on the field", factor=field, step=0.2, digits=1),
    ]


def selectivity_note() -> str:
    """The published range of the sodium selectivity, with its source."""
    found = SELECTIVITY_RANGES["sodium"]
    return f"Published: {found.low:g} to {found.high:g} ({SOURCES[found.source].citation.split('.')[0]})."


def _summary_soil(*, capacity_cmol_c_per_kg: float, esp_pct: float, ec_ds_per_m: float) -> Soil:
    return Soil.of(
        name=_OWN,
        depth="15 cm",
        bulk_density="1.40 kg/L",
        cation_exchange_capacity=quantity(capacity_cmol_c_per_kg, "cmol_c/kg"),
        saturation_percentage="52 %",
        initial_water="0.10 L/kg",
        drained_water="0.26 L/kg",
        exchangeable_sodium_percentage=quantity(esp_pct, "%"),
        electrical_conductivity=quantity(ec_ds_per_m, "dS/m"),
    )
