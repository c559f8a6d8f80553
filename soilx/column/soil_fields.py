"""Everything a soil can be given as, with its unit, its limits and the origins that ask for it."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from soilx.chemistry.ions import BICARBONATE, CALCIUM, CHLORIDE, MAGNESIUM, POTASSIUM, SODIUM, SULFATE, Ion
from soilx.column.fields import Field, by_key
from soilx.units import Kind

REPORT: Final = "report"
"""Exchangeable cations and a saturation extract, as a laboratory reports them."""
TOTALS: Final = "totals"
"""Cations in all, on the clay and in the water together, with CEC and anions."""
SUMMARY: Final = "summary"
"""CEC, ESP and EC, and nothing else."""
ORIGINS: Final = (REPORT, TOTALS, SUMMARY)

_ALL = frozenset(ORIGINS)
_REPORT = frozenset({REPORT})
_TOTALS = frozenset({TOTALS})
_SUMMARY = frozenset({SUMMARY})
_NONE: frozenset[str] = frozenset()


def _exchangeable(symbol: str, ion: Ion) -> Field:
    return Field(
        key=f"exchangeable_{ion.name}",
        column=f"exchangeable_{symbol}_cmol_c_per_kg",
        title=f"exchangeable {ion.name}",
        unit="cmol_c/kg",
        kind=Kind.SOIL_CONTENT,
        ion=ion,
        low=0.0,
        high=200.0,
        needed_by=_REPORT,
        allowed_in=_REPORT,
    )


def _extract(symbol: str, ion: Ion) -> Field:
    return Field(
        key=f"extract_{ion.name}",
        column=f"extract_{symbol}_mmol_c_per_l",
        title=f"{ion.name} of the extract",
        unit="mmol_c/L",
        kind=Kind.CONCENTRATION,
        ion=ion,
        low=0.0,
        high=1000.0,
        needed_by=_REPORT,
        allowed_in=_REPORT,
    )


def _total(symbol: str, ion: Ion, *, needed: bool) -> Field:
    return Field(
        key=f"total_{ion.name}",
        column=f"total_{symbol}_mg_per_kg",
        title=f"{ion.name} on the clay, in the water and in gypsum together",
        unit="mg/kg",
        kind=Kind.SOIL_CONTENT,
        ion=ion,
        low=0.0,
        high=40000.0,
        needed_by=_TOTALS if needed else _NONE,
        allowed_in=_TOTALS,
    )


def _selectivity(ion: Ion, low: float, high: float) -> Field:
    return Field(
        key=f"{ion.name}_selectivity",
        column=f"selectivity_{ion.symbol.lower()}" + ("" if ion is MAGNESIUM else "_per_root_mmol_per_l"),
        title=f"selectivity for {ion.name} over the divalent cations",
        unit="" if ion is MAGNESIUM else "(mmol/L)^-0.5",
        kind=Kind.RATIO if ion is MAGNESIUM else Kind.SELECTIVITY,
        low=low,
        high=high,
        allowed_in=_ALL,
    )


def _said(key: str, column: str, title: str, unit: str, kind: Kind, low: float, high: float) -> Field:
    return Field(
        key=key, column=column, title=title, unit=unit, kind=kind, low=low, high=high, allowed_in=_ALL
    )


_PERCENT = ("%", Kind.FRACTION)

# fmt: off
SOIL_FIELDS: Final[tuple[Field, ...]] = (
    Field(key="name", column="name", title="name of the soil", needed_by=_ALL, allowed_in=_ALL),
    Field(key="origin", column="origin", title="what the row states its soil by",
          words=ORIGINS, needed_by=_ALL, allowed_in=_ALL),
    Field(key="depth", column="depth_cm", title="depth of the column", unit="cm", kind=Kind.DEPTH,
          low=1.0, high=200.0, needed_by=_ALL, allowed_in=_ALL),
    Field(key="bulk_density", column="bulk_density_kg_per_l", title="bulk density, oven-dry", unit="kg/L",
          kind=Kind.BULK_DENSITY, low=0.2, high=2.2, needed_by=_ALL, allowed_in=_ALL),
    Field(key="soil_basis", column="soil_basis", title="what a kilogram of soil means",
          words=("oven-dry",), allowed_in=_ALL),
    Field(key="cation_exchange_capacity", column="cec_cmol_c_per_kg", title="cation exchange capacity",
          unit="cmol_c/kg", kind=Kind.EXCHANGE_CAPACITY, low=0.1, high=200.0, needed_by=_ALL,
          allowed_in=_ALL),
    Field(key="saturation_percentage", column="saturation_percentage_pct",
          title="water of the saturated paste", unit="%", kind=Kind.WATER_CONTENT, low=10.0, high=250.0,
          needed_by=_REPORT, allowed_in=_ALL),
    Field(key="initial_water", column="initial_water_l_per_kg", title="water at the start", unit="L/kg",
          kind=Kind.WATER_CONTENT, low=0.005, high=2.0, allowed_in=_ALL),
    Field(key="drained_water", column="drained_water_l_per_kg", title="water held when drained", unit="L/kg",
          kind=Kind.WATER_CONTENT, low=0.01, high=2.0, allowed_in=_ALL),
    Field(key="driest_water", column="driest_water_l_per_kg", title="water below which plants take none",
          unit="L/kg", kind=Kind.WATER_CONTENT, low=0.001, high=2.0, allowed_in=_ALL),
    # by a report
    Field(key="exchangeable_basis", column="exchangeable_basis",
          title="whether what is dissolved was taken off the exchangeable cations",
          words=("exchangeable", "extractable"), allowed_in=_REPORT),
    _exchangeable("ca", CALCIUM), _exchangeable("mg", MAGNESIUM),
    _exchangeable("k", POTASSIUM), _exchangeable("na", SODIUM),
    Field(key="extract_basis", column="extract_basis", title="which extract was analysed",
          words=("saturation extract",), allowed_in=_REPORT),
    _extract("na", SODIUM), _extract("ca", CALCIUM), _extract("mg", MAGNESIUM), _extract("k", POTASSIUM),
    _extract("hco3", BICARBONATE),
    Field(key="extract_carbonate", column="extract_co3_mmol_c_per_l", title="carbonate of the extract",
          unit="mmol_c/L", kind=Kind.CHARGE_CONCENTRATION, low=0.0, high=1000.0, allowed_in=_REPORT),
    _extract("cl", CHLORIDE), _extract("so4", SULFATE),
    Field(key="extract_conductivity", column="extract_ec_ds_per_m",
          title="conductivity of the extract at 25 °C", unit="dS/m", kind=Kind.CONDUCTIVITY,
          low=0.0, high=100.0, allowed_in=_REPORT),
    Field(key="native_gypsum", column="native_gypsum_g_per_kg", title="solid gypsum already in the soil",
          unit="g/kg", kind=Kind.GYPSUM_RATE, low=0.0, high=900.0, allowed_in=_REPORT),
    # by totals
    _total("na", SODIUM, needed=True), _total("k", POTASSIUM, needed=True),
    _total("mg", MAGNESIUM, needed=False), _total("ca", CALCIUM, needed=False),
    Field(key="magnesium_share", column="mg_share_of_divalents_pct",
          title="magnesium's share of the moles of calcium and magnesium in all", unit="%",
          kind=Kind.FRACTION, low=0.0, high=100.0, allowed_in=_TOTALS),
    Field(key="total_sulfate", column="total_so4_mmol_per_kg", title="sulfate, dissolved and as gypsum",
          unit="mmol/kg", kind=Kind.SOIL_CONTENT, ion=SULFATE, low=0.0, high=6000.0,
          needed_by=_TOTALS, allowed_in=_TOTALS),
    Field(key="other_anions", column="other_anions_mmol_c_per_kg", title="anions other than sulfate",
          unit="mmol_c/kg", kind=Kind.EXCHANGE_CAPACITY, low=0.0, high=3000.0,
          needed_by=_TOTALS, allowed_in=_TOTALS),
    Field(key="bicarbonate_share", column="hco3_share_of_anions_pct",
          title="bicarbonate's share of the anions: of all, or of those other than sulfate where totals "
          "are given",
          unit="%", kind=Kind.FRACTION, low=0.0, high=100.0, allowed_in=_TOTALS | _SUMMARY),
    # by a summary
    Field(key="exchangeable_sodium_percentage", column="esp_pct", title="exchangeable sodium percentage",
          unit="%", kind=Kind.FRACTION, low=0.0, high=95.0, needed_by=_SUMMARY, allowed_in=_SUMMARY),
    Field(key="electrical_conductivity", column="ec_ds_per_m", title="electrical conductivity at 25 °C",
          unit="dS/m", kind=Kind.CONDUCTIVITY, low=0.02, high=25.0, needed_by=_SUMMARY, allowed_in=_SUMMARY),
    Field(key="conductivity_basis", column="ec_basis", title="which water the conductivity is of",
          words=("drained soil solution", "saturation extract"), allowed_in=_SUMMARY),
    Field(key="potassium_share", column="exchangeable_k_share_pct", title="potassium's share of the CEC",
          unit="%", kind=Kind.FRACTION, low=0.0, high=40.0, allowed_in=_SUMMARY),
    Field(key="calcium_to_magnesium", column="ca_to_mg_ratio", title="dissolved calcium per magnesium, moles",
          kind=Kind.RATIO, low=0.01, high=1e6, allowed_in=_SUMMARY),
    Field(key="sulfate_share", column="so4_share_of_anions_pct", title="sulfate's share of the anion charge",
          unit="%", kind=Kind.FRACTION, low=0.0, high=100.0, allowed_in=_SUMMARY),
    # how the exchanger chooses
    Field(key="selectivity", column="selectivity", title="whose selectivities are used",
          words=("default", "implied"), allowed_in=_ALL),
    _selectivity(SODIUM, 1e-4, 1.0), _selectivity(POTASSIUM, 1e-4, 5.0), _selectivity(MAGNESIUM, 0.05, 20.0),
    # what was seen of the site: kept for a diagnosis, not used by the column
    _said("clay", "clay_pct", "clay", *_PERCENT, 0.0, 100.0),
    _said("ph", "ph", "pH of the saturated paste", "", Kind.RATIO, 2.0, 12.0),
    _said("lime", "calcium_carbonate_pct", "calcium carbonate", *_PERCENT, 0.0, 100.0),
    _said("drain_test", "drain_test_h", "time in which a test hole drains", "h", Kind.TIME, 0.0, 2400.0),
    Field(key="jar_test", column="jar_test", title="dispersion seen in a jar of rain water", allowed_in=_ALL),
)
# fmt: on

SOIL_FIELD: Final[Mapping[str, Field]] = MappingProxyType(dict(by_key(SOIL_FIELDS)))
OBSERVATIONS: Final = ("clay", "ph", "lime", "drain_test", "jar_test")
SELECTIVITIES: Final = ("sodium_selectivity", "potassium_selectivity", "magnesium_selectivity")
CHANGES: Final = (
    "cation_exchange_capacity",
    "exchangeable_sodium_percentage",
    "selectivity",
    *SELECTIVITIES,
)
"""What may be changed after a soil is made; kept in the order in which it was changed."""
