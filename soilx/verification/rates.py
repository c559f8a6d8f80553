"""Outside checks of gypsum rates: what handbooks print for so much sodium over so much ground."""

from typing import Final

from soilx.practice.judgement.irrigation_water import gypsum_for_water
from soilx.units import Ground, Kind, express, quantity, read
from soilx.verification.claim import Claim, Label

ACRE_FOOT: Final = {"depth": "1 ft", "soil_weight": "4000000 lb/acre"}
PLOUGH_LAYER: Final = {"depth": "6 in", "soil_weight": "2000000 lb/acre"}


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


def gypsum_in_water(strength: str, water: str) -> float:
    """Gypsum that gives a volume of water so much calcium charge [lb]."""
    grams = gypsum_for_water(strength, unit="g/L").magnitude * quantity(water).to("L").magnitude
    return float(quantity(grams, "g").to("lb").magnitude)


CLAIMS: Final = (
    Claim(
        id="units.gypsum_per_acre_foot",
        claim=(
            "One meq of sodium per 100 g over an acre-foot of soil asks for 1.7 short tons of gypsum per "
            "acre."
        ),
        source="ali2011",
        label=Label.SEEN,
        inputs={"sodium": "1 meq/100 g", **ACRE_FOOT, "unit": "short_ton/acre"},
        printed="1.7",
        compute=gypsum_over_weighed_ground,
        unit="short_ton/acre",
    ),
    Claim(
        id="units.gypsum_per_acre_foot_exact",
        claim="The same, by arithmetic from the molar mass.",
        source="arithmetic",
        label=Label.EXACT,
        inputs={"sodium": "1 meq/100 g", **ACRE_FOOT, "unit": "short_ton/acre"},
        printed="1.7217",
        compute=gypsum_over_weighed_ground,
        unit="short_ton/acre",
    ),
    Claim(
        id="units.gypsum_per_plough_layer",
        claim="One meq of sodium per 100 g over 2 000 000 lb of soil asks for 1722 lb of gypsum per acre.",
        source="arithmetic",
        label=Label.EXACT,
        inputs={"sodium": "1 meq/100 g", **PLOUGH_LAYER, "unit": "lb/acre"},
        printed="1722",
        compute=gypsum_over_weighed_ground,
        unit="lb/acre",
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
        inputs={"sodium": "1 meq/100 g", **PLOUGH_LAYER, "unit": "short_ton/acre"},
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
)
