"""Outside checks of units: what laboratories, handbooks and agencies print for one conversion or another."""

from collections.abc import Mapping
from typing import Final

from soilx.chemistry.ions import IONS
from soilx.units import GYPSUM, Ground, Kind, express, quantity, read
from soilx.verification.claim import Claim, Label


def _ground(depth: str, soil_weight: str) -> Ground:
    """The depth of soil that weighs so much per area; how rates over "an acre-foot" are meant."""
    thickness = read(depth, Kind.DEPTH, name="depth")
    # A mass per area over a depth is a density: kg/m² over mm is kg/L.
    weight = float(quantity(soil_weight).to("kg/m^2").magnitude)
    return Ground(depth=thickness, bulk_density=weight / thickness)


def gypsum_over_weighed_ground(sodium: str, depth: str, soil_weight: str, unit: str) -> float:
    """Pure gypsum that replaces so much exchangeable sodium in a depth of soil of a stated weight [unit]."""
    rate = read(sodium, Kind.GYPSUM_RATE, name="gypsum")
    return express(rate, Kind.GYPSUM_RATE, unit, ground=_ground(depth, soil_weight))


def gypsum_over_dense_ground(sodium: str, depth: str, bulk_density: str, unit: str) -> float:
    """Pure gypsum that replaces so much exchangeable sodium in a depth of soil of a stated density [unit]."""
    ground = Ground(
        depth=read(depth, Kind.DEPTH, name="depth"),
        bulk_density=read(bulk_density, Kind.BULK_DENSITY, name="bulk density"),
    )
    return express(read(sodium, Kind.GYPSUM_RATE, name="gypsum"), Kind.GYPSUM_RATE, unit, ground=ground)


def conversions(**from_to: tuple[str, str]) -> Mapping[str, float]:
    """How many of a unit one amount is, by entry."""
    return {name: float(quantity(amount).to(unit).magnitude) for name, (amount, unit) in from_to.items()}


def same_exchange_capacity(capacity: str, units: tuple[str, ...]) -> Mapping[str, float]:
    """One exchange capacity in several units."""
    value = read(capacity, Kind.EXCHANGE_CAPACITY, name="exchange capacity")
    return {unit: express(value, Kind.EXCHANGE_CAPACITY, unit) for unit in units}


def soil_content(content: str, ions: tuple[str, ...], unit: str) -> Mapping[str, float]:
    """One exchangeable content of each ion in another unit."""
    return {
        symbol: express(
            read(content, Kind.SOIL_CONTENT, name=symbol, ion=IONS[symbol]), Kind.SOIL_CONTENT, unit, ion=IONS[symbol]
        )
        for symbol in ions
    }


def dissolved_content(content: str, ions: tuple[str, ...], unit: str) -> Mapping[str, float]:
    """One concentration of each ion in another unit."""
    return {
        symbol: express(
            read(content, Kind.CONCENTRATION, name=symbol, ion=IONS[symbol]), Kind.CONCENTRATION, unit, ion=IONS[symbol]
        )
        for symbol in ions
    }


def gypsum_in_water(strength: str, water: str) -> float:
    """Gypsum that gives a volume of water so much calcium charge [lb]."""
    per_litre = read(strength, Kind.CONCENTRATION, name="calcium", ion=GYPSUM)
    grams = express(per_litre, Kind.CONCENTRATION, "g/L", ion=GYPSUM)
    return float(quantity(grams * quantity(water).to("L").magnitude, "g").to("lb").magnitude)


CLAIMS: Final = (
    Claim(
        id="units.gypsum_per_acre_foot",
        claim="One meq of sodium per 100 g over an acre-foot of soil asks for 1.7 short tons of gypsum per acre.",
        source="ali2011",
        label=Label.SEEN,
        inputs={"sodium": "1 meq/100 g", "depth": "1 ft", "soil_weight": "4000000 lb/acre", "unit": "short_ton/acre"},
        printed="1.7",
        compute=gypsum_over_weighed_ground,
        unit="short_ton/acre",
    ),
    Claim(
        id="units.gypsum_per_acre_foot_exact",
        claim="The same, by arithmetic from the molar mass.",
        source="arithmetic",
        label=Label.EXACT,
        inputs={"sodium": "1 meq/100 g", "depth": "1 ft", "soil_weight": "4000000 lb/acre", "unit": "short_ton/acre"},
        printed="1.7217",
        compute=gypsum_over_weighed_ground,
        unit="short_ton/acre",
    ),
    Claim(
        id="units.gypsum_per_plough_layer",
        claim="One meq of sodium per 100 g over 2 000 000 lb of soil asks for 1722 lb of gypsum per acre.",
        source="arithmetic",
        label=Label.EXACT,
        inputs={"sodium": "1 meq/100 g", "depth": "6 in", "soil_weight": "2000000 lb/acre", "unit": "lb/acre"},
        printed="1722",
        compute=gypsum_over_weighed_ground,
        unit="lb/acre",
    ),
    Claim(
        id="units.gypsum_for_part_of_the_sodium",
        claim="15 cm of soil at 1.25 Mg/m³ that gives up 40 % of 10 cmol_c/kg sodium asks for 6.456 t/ha of gypsum.",
        source="homework_hectare",
        label=Label.EXACT,
        inputs={"sodium": "4 cmol_c/kg", "depth": "15 cm", "bulk_density": "1.25 Mg/m^3", "unit": "t/ha"},
        printed="6.456",
        compute=gypsum_over_dense_ground,
        unit="t/ha",
        note="The question was seen, the answer is arithmetic: the answer printed with it doses for all the sodium.",
    ),
    Claim(
        id="units.gypsum_for_all_the_sodium_as_printed",
        claim="The same soil by its printed answer, which doses for all the sodium where 40 % was asked.",
        source="homework_hectare",
        label=Label.SEEN,
        inputs={"sodium": "10 cmol_c/kg", "depth": "15 cm", "bulk_density": "1.25 Mg/m^3", "unit": "t/ha"},
        printed="16.125",
        compute=gypsum_over_dense_ground,
        unit="t/ha",
        gating=False,
        note="Printed with an equivalent mass of gypsum of 86 g.",
    ),
    Claim(
        id="units.gypsum_per_kg_of_soil",
        claim="Bringing a CEC of 12.5 cmol_c/kg from ESP 80 to 50 takes 3.228 g of gypsum per kg of soil.",
        source="course_set",
        label=Label.EXACT,
        inputs={"sodium": "3.75 cmol_c/kg", "unit": "g/kg"},
        printed="3.228",
        compute=lambda sodium, unit: express(
            read(sodium, Kind.GYPSUM_RATE, name="gypsum"), Kind.GYPSUM_RATE, unit
        ),
        unit="g/kg",
        note="The question was seen, the answer is arithmetic.",
    ),
    Claim(
        id="units.gypsum_for_a_textbook_field",
        claim="3.037 meq of sodium per 100 g over 2 000 000 lb of soil ask for 5229 lb of gypsum per acre.",
        source="textbook_acre",
        label=Label.EXACT,
        inputs={"sodium": "3.037 meq/100 g", "depth": "6 in", "soil_weight": "2000000 lb/acre", "unit": "lb/acre"},
        printed="5229",
        compute=gypsum_over_weighed_ground,
        unit="lb/acre",
        note="The question was seen, the answer is arithmetic.",
    ),
    Claim(
        id="units.gypsum_per_30_cm",
        claim="One meq of sodium per 100 g over 30 cm of a hectare asks for 3.85 t of gypsum.",
        source="ali2011",
        label=Label.SEEN,
        inputs={"sodium": "1 meq/100 g", "depth": "30.48 cm", "bulk_density": "1.471 Mg/m^3", "unit": "t/ha"},
        printed="3.85",
        compute=gypsum_over_dense_ground,
        unit="t/ha",
        gating=False,
        note="The source does not print its bulk density; that of an acre-foot of 4 000 000 lb is used.",
    ),
    Claim(
        id="units.gypsum_over_plough_layer_as_printed",
        claim="One meq of sodium per 100 g over 6 to 7 inches asks for 0.9 short ton of gypsum per acre.",
        source="ussl1954",
        label=Label.RECALLED,
        inputs={"sodium": "1 meq/100 g", "depth": "6 in", "soil_weight": "2000000 lb/acre", "unit": "short_ton/acre"},
        printed="0.9",
        compute=gypsum_over_weighed_ground,
        unit="short_ton/acre",
        gating=False,
    ),
    Claim(
        id="units.gypsum_in_an_acre_foot_of_water",
        claim="One meq/L of calcium in an acre-foot of water takes 234 lb of gypsum.",
        source="usda_water_gypsum",
        label=Label.RECALLED,
        inputs={"strength": "1 meq/L", "water": "1 acre_foot"},
        printed="234",
        compute=gypsum_in_water,
        unit="lb",
        gating=False,
    ),
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
        printed={"lb_per_acre": "1.120851", "short_ton_per_acre": "2.241702", "short_ton_on_a_lawn": "45.914"},
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
        # "2" is exact by convention.
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
        printed={
            "Na": "23.0", "Ca": "20.0", "Mg": "12.2", "K": "39.1", "Cl": "35.5", "SO4": "48.0", "HCO3": "61.0",
        },
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
