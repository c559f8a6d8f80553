"""Outside checks of the gypsum requirement: worked examples, the solution method, masses equal by charge."""

import math
from typing import Final

from soilx.chemistry.cation_exchange import ussl_line_esp
from soilx.practice.dose.amendments import AMENDMENTS
from soilx.practice.dose.gypsum_rate import Requirement
from soilx.practice.dose.product_label import GYPSUM_PER_SULFUR
from soilx.practice.dose.solution_method import PRINTED_BULK_DENSITY, solution_gypsum
from soilx.practice.soil_test.reported_sodium import ReportedSodium
from soilx.units import Ground, Kind, express, quantity, read
from soilx.verification.claim import Claim, Label


def _requirement(capacity: str, esp: float, target_esp: float, ground: Ground) -> Requirement:
    """Requirement of a soil that is known by its capacity and its ESP [%] alone."""
    charge = read(capacity, Kind.EXCHANGE_CAPACITY, name="cation exchange capacity")
    sodium = ReportedSodium(exchangeable=charge * esp / 100.0, capacity=charge, basis="as printed")
    return Requirement(
        name="worked example",
        sodium=sodium,
        target_esp_pct=target_esp,
        gypsum=sodium.above(target_esp) / 2.0,
        ground=ground,
        sampled_depth=ground.depth or 0.0,
    )


def gypsum_for_a_field(capacity: str, esp: float, target_esp: float, depth: str, bulk_density: str) -> float:
    """Pure gypsum that brings a field from one ESP to another [t/ha]."""
    ground = Ground(
        depth=read(depth, Kind.DEPTH, name="depth"),
        bulk_density=read(bulk_density, Kind.BULK_DENSITY, name="bulk density"),
    )
    return _requirement(capacity, esp, target_esp, ground).in_units["pure"]["t_per_ha"]


def gypsum_for_a_kilogram(capacity: str, esp: float, target_esp: float) -> dict[str, float]:
    """Sodium to go [cmol_c/kg] and pure gypsum [g/kg] between two ESP."""
    found = _requirement(capacity, esp, target_esp, Ground(depth=150.0, bulk_density=1.0))
    return {
        "sodium": found.sodium.above(target_esp) / 10.0,
        "gypsum": found.in_units["pure"]["g_per_kg"],
    }


def gypsum_for_an_acre(
    calcium: float, magnesium: float, sodium: float, capacity: str, target_esp: float, soil_weight: str
) -> dict[str, float]:
    """SAR, ESP by Handbook 60, sodium to go [meq/100 g], gypsum [lb/acre], from a solution [meq/L]."""
    sar = sodium / math.sqrt((calcium + magnesium) / 2.0)
    esp = float(ussl_line_esp(sar))
    # Any depth of soil that weighs so much an acre: kg/m² over mm is kg/L.
    weight = float(quantity(soil_weight).to("kg/m^2").magnitude)
    found = _requirement(capacity, esp, target_esp, Ground(depth=150.0, bulk_density=weight / 150.0))
    return {
        "SAR": sar,
        "ESP": esp,
        "sodium": found.sodium.above(target_esp) / 10.0,
        "gypsum": found.in_units["pure"]["lb_per_acre"],
    }


def gypsum_for_a_brine(sodium: float, sar: float, target_sar: float, saturation_pct: float) -> float:
    """Pure gypsum by the solution method over 15 cm of the soil that its constant implies [t/ha]."""
    gypsum = solution_gypsum(sodium=sodium, sar=sar, target_sar=target_sar, saturation_pct=saturation_pct)
    ground = Ground(depth=150.0, bulk_density=PRINTED_BULK_DENSITY)
    return express(gypsum, Kind.GYPSUM_RATE, "t/ha", ground=ground)


CLAIMS: Final = (
    Claim(
        id="requirement.part_of_the_sodium",
        claim=(
            "15 cm of soil at 1.25 Mg/m³ that gives up 40 % of 10 cmol_c/kg sodium asks for 6.456 t/ha of "
            "gypsum."
        ),
        source="homework_hectare",
        label=Label.EXACT,
        inputs={
            "capacity": "40 cmol_c/kg",
            "esp": 25.0,
            "target_esp": 15.0,
            "depth": "15 cm",
            "bulk_density": "1.25 Mg/m^3",
        },
        printed="6.456",
        compute=gypsum_for_a_field,
        unit="t/ha",
        note=(
            "The question was seen, the answer is arithmetic: the answer printed with it doses for all the "
            "sodium."
        ),
    ),
    Claim(
        id="requirement.all_the_sodium_as_printed",
        claim="The same soil by its printed answer, which doses for all the sodium where 40 % was asked.",
        source="homework_hectare",
        label=Label.SEEN,
        inputs={
            "capacity": "40 cmol_c/kg",
            "esp": 25.0,
            "target_esp": 0.0,
            "depth": "15 cm",
            "bulk_density": "1.25 Mg/m^3",
        },
        printed="16.125",
        compute=gypsum_for_a_field,
        unit="t/ha",
        gating=False,
        note="Printed with an equivalent mass of gypsum of 86 g.",
    ),
    Claim(
        id="requirement.per_kilogram",
        claim="Bringing a CEC of 12.5 cmol_c/kg from ESP 80 to 50 takes 3.228 g of gypsum per kg of soil.",
        source="course_set",
        label=Label.EXACT,
        inputs={"capacity": "12.5 cmol_c/kg", "esp": 80.0, "target_esp": 50.0},
        printed={"sodium": "3.75", "gypsum": "3.228"},
        compute=gypsum_for_a_kilogram,
        unit="cmol_c/kg and g/kg",
        note="The question was seen, the answer is arithmetic.",
    ),
    Claim(
        id="requirement.textbook_acre",
        claim=(
            "A solution of Ca 6, Mg 2, Na 36 meq/L over CEC 20 meq/100 g means ESP 20.19; to ESP 5 over "
            "2 000 000 lb of soil it takes 5229 lb of gypsum an acre."
        ),
        source="textbook_acre",
        label=Label.EXACT,
        inputs={
            "calcium": 6.0,
            "magnesium": 2.0,
            "sodium": 36.0,
            "capacity": "20 meq/100 g",
            "target_esp": 5.0,
            "soil_weight": "2000000 lb/acre",
        },
        printed={"SAR": "18.00", "ESP": "20.19", "sodium": "3.037", "gypsum": "5229"},
        compute=gypsum_for_an_acre,
        unit="(mmol/L)^½, %, meq/100 g and lb/acre",
        note="The question was seen, the answer is arithmetic with Handbook 60's line.",
    ),
    Claim(
        id="requirement.brine",
        claim="Sodium 100 meq/L at SAR 20, paste of 65.7 %, takes 39.4 t/ha of gypsum to SAR 7 over 15 cm.",
        source="ashworth1999",
        label=Label.SEEN,
        inputs={"sodium": 100.0, "sar": 20.0, "target_sar": 7.0, "saturation_pct": 65.7},
        printed="39.4",
        compute=gypsum_for_a_brine,
        unit="t/ha",
        note="The equation's constant 0.00335 implies a soil of 1.297 kg/L.",
    ),
    Claim(
        id="requirement.amendment_masses",
        claim="Masses of other amendments that equal one of pure gypsum by charge.",
        source="arithmetic",
        label=Label.EXACT,
        printed={
            "anhydrite": "0.79",
            "calcium_chloride_dihydrate": "0.85",
            "calcium_chloride": "0.645",
            "calcium_nitrate": "1.37",
            "sulfur": "0.186",
            "sulfuric_acid": "0.57",
            "lime_sulfur": "0.78",
            "iron_sulfate": "1.61",
            "aluminium_sulfate": "1.29",
            "lime": "0.58",
            "potassium_magnesium_sulfate": "0.80",
        },
        compute=lambda: {key: each.per_gypsum for key, each in AMENDMENTS.items() if key != "gypsum"},
    ),
    Claim(
        id="requirement.gypsum_from_sulfur",
        claim="Per cent of gypsum is 5.37 times per cent of sulfur.",
        source="arithmetic",
        label=Label.EXACT,
        printed="5.37",
        compute=lambda: GYPSUM_PER_SULFUR,
    ),
    Claim(
        id="requirement.full_rate_on_a_lawn",
        claim="161 lb/1000 ft², a full rate for a strongly sodic soil, is 3.5 short tons an acre.",
        source="common_practice",
        label=Label.COMMON_PRACTICE,
        inputs={"rate": "161 lb/1000 ft^2"},
        printed={"short_ton/acre": "3.5", "lb/100 ft^2": "16"},
        compute=lambda rate: {
            unit: float(quantity(rate).to(unit).magnitude) for unit in ("short_ton/acre", "lb/100 ft^2")
        },
        gating=False,
    ),
)
