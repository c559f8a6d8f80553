"""Outside checks of units: what laboratories and agencies print for one conversion or another."""

from collections.abc import Mapping
from typing import Final

from soilx.chemistry.ions import IONS
from soilx.units import Kind, express, quantity, read
from soilx.verification.claim import Claim, Label
from soilx.verification.printed import table

_EQUIVALENTS: Final = table("""
ion  Na    Ca    Mg    K     Cl    SO4   HCO3
mg   23.0  20.0  12.2  39.1  35.5  48.0  61.0
""")


def conversions(**from_to: tuple[str, str]) -> Mapping[str, float]:
    """How many of a unit one amount is, by entry."""
    return {name: float(quantity(amount).to(unit).magnitude) for name, (amount, unit) in from_to.items()}


def same_exchange_capacity(capacity: str, units: tuple[str, ...]) -> Mapping[str, float]:
    """One exchange capacity in several units."""
    value = read(capacity, Kind.EXCHANGE_CAPACITY, name="exchange capacity")
    return {unit: express(value, Kind.EXCHANGE_CAPACITY, unit) for unit in units}


def soil_content(content: str, ions: tuple[str, ...], unit: str) -> Mapping[str, float]:
    """One exchangeable content of each ion in another unit."""
    return _of_each_ion(content, ions, unit, Kind.SOIL_CONTENT)


def dissolved_content(content: str, ions: tuple[str, ...], unit: str) -> Mapping[str, float]:
    """One concentration of each ion in another unit."""
    return _of_each_ion(content, ions, unit, Kind.CONCENTRATION)


def _of_each_ion(content: str, ions: tuple[str, ...], unit: str, kind: Kind) -> Mapping[str, float]:
    return {
        symbol: express(read(content, kind, name=symbol, ion=IONS[symbol]), kind, unit, ion=IONS[symbol])
        for symbol in ions
    }


CLAIMS: Final = (
    Claim(
        id="units.rates_per_area",
        claim="Rates per acre in metric units.",
        source="us_customary",
        label=Label.SEEN,
        inputs={"lb_per_acre": ("1 lb/acre", "kg/ha"), "short_ton_per_acre": ("1 short_ton/acre", "t/ha")},
        printed={"lb_per_acre": "1.12", "short_ton_per_acre": "2.242"},
        compute=conversions,
        unit="kg/ha, t/ha",
    ),
    Claim(
        id="units.rates_per_area_exact",
        claim="Rates per acre and per 1000 square feet, from the international yard and pound.",
        source="arithmetic",
        label=Label.EXACT,
        inputs={
            "lb_per_acre": ("1 lb/acre", "kg/ha"),
            "short_ton_per_acre": ("1 short_ton/acre", "t/ha"),
            "short_ton_on_a_lawn": ("1 short_ton/acre", "lb/1000 ft^2"),
        },
        printed={
            "lb_per_acre": "1.120851",
            "short_ton_per_acre": "2.241702",
            "short_ton_on_a_lawn": "45.914",
        },
        compute=conversions,
        unit="kg/ha, t/ha, lb/1000 ft^2",
    ),
    Claim(
        id="units.acre_inch",
        claim="An acre-inch of water in gallons and cubic metres.",
        source="us_customary",
        label=Label.SEEN,
        inputs={"gallons": ("1 acre_inch", "gal"), "cubic_metres": ("1 acre_inch", "m^3")},
        printed={"gallons": "27154", "cubic_metres": "102.8"},
        compute=conversions,
        unit="gal, m^3",
    ),
    Claim(
        id="units.report_lb_per_acre",
        claim="In a report ppm × 2 is lb/acre, on 2 000 000 lb of soil.",
        source="lab_report_units",
        label=Label.SEEN,
        inputs={"content": "1 ppm", "ions": ("Ca", "Mg", "Na", "K"), "unit": "lb/acre"},
        printed={"Ca": "2", "Mg": "2", "Na": "2", "K": "2"},
        compute=soil_content,
        unit="lb/acre",
        tolerance=1e-9,
        why_tolerance="less, not more: the factor is a convention without digits to round",
    ),
    Claim(
        id="units.exchange_capacity",
        claim="meq/100 g and cmol_c/kg are one number, and ten times it mmol_c/kg.",
        source="lab_report_units",
        label=Label.SEEN,
        inputs={"capacity": "1 meq/100 g", "units": ("meq/100 g", "cmol_c/kg", "mmol_c/kg")},
        printed={"meq/100 g": "1", "cmol_c/kg": "1", "mmol_c/kg": "10"},
        compute=same_exchange_capacity,
        tolerance=1e-9,
        why_tolerance="less, not more: the factors are exact",
    ),
    Claim(
        id="units.conductivity",
        claim="mmho/cm and dS/m are one number.",
        source="lab_report_units",
        label=Label.SEEN,
        inputs={"mmho_per_cm": ("1 mmho/cm", "dS/m"), "ds_per_m": ("1 dS/m", "mmho/cm")},
        printed={"mmho_per_cm": "1", "ds_per_m": "1"},
        compute=conversions,
        tolerance=1e-9,
        why_tolerance="less, not more: the factor is exact",
    ),
    Claim(
        id="units.exchangeable_by_mass",
        claim="1 cmol_c/kg of sodium, calcium, magnesium and potassium in mg/kg.",
        source="arithmetic",
        label=Label.EXACT,
        inputs={"content": "1 cmol_c/kg", "ions": ("Na", "Ca", "Mg", "K"), "unit": "mg/kg"},
        printed={"Na": "229.9", "Ca": "200.4", "Mg": "121.5", "K": "391.0"},
        compute=soil_content,
        unit="mg/kg",
    ),
    Claim(
        id="units.calcium_200_ppm",
        claim="200 ppm of calcium in water are 10 meq/L.",
        source="lab_report_units",
        label=Label.SEEN,
        inputs={"content": "200 ppm", "ions": ("Ca",), "unit": "meq/L"},
        printed={"Ca": "10"},
        compute=dissolved_content,
        unit="meq/L",
    ),
    Claim(
        id="units.equivalent_masses",
        claim="The divisors from mg/L to meq/L of seven ions.",
        source="lab_report_units",
        label=Label.SEEN,
        inputs={"content": "1 meq/L", "ions": ("Na", "Ca", "Mg", "K", "Cl", "SO4", "HCO3"), "unit": "mg/L"},
        printed={entry.split()[0]: text for entry, text in _EQUIVALENTS.items()},
        compute=dissolved_content,
        unit="mg/L per meq/L",
    ),
    Claim(
        id="units.sodium_at_esp_15",
        claim="Sodium at ESP 15 of 10 and 20 cmol_c/kg, by mass.",
        source="arithmetic",
        label=Label.EXACT,
        inputs={"at_10": "1.5 cmol_c/kg", "at_20": "3.0 cmol_c/kg"},
        printed={"at_10": "345", "at_20": "690"},
        compute=lambda **contents: {
            name: soil_content(content, ("Na",), "mg/kg")["Na"] for name, content in contents.items()
        },
        unit="mg/kg",
    ),
)
