"""Outside checks of irrigation water and soil classes: infiltration table, leaching share, three soils."""

from collections.abc import Mapping
from typing import Final

from soilx.column.water import Water
from soilx.practice.judgement.irrigation_water import (
    Restriction,
    floor_esp_pct,
    gypsum_for_water,
    infiltration_restriction,
    leaching_requirement,
    residual_sodium_carbonate,
    water_for_leaching,
)
from soilx.practice.judgement.soil_class import soil_class
from soilx.verification.claim import Claim, Label
from soilx.verification.printed import table

_HIGHEST_EC: Final = 10.0


def infiltration_borders(sar: tuple[str, ...]) -> Mapping[str, float]:
    """Conductivities at which the class changes, by a range of SAR, found by asking in its middle [dS/m]."""
    found = {}
    for text in sar:
        low, high = map(float, text.split("–"))
        middle = (low + high) / 2
        found[f"none_above {text}"] = _border(middle, {Restriction.SEVERE, Restriction.SLIGHT_TO_MODERATE})
        found[f"severe_below {text}"] = _border(middle, {Restriction.SEVERE})
    return found


def _border(sar: float, worse: set[Restriction]) -> float:
    """Lowest conductivity at which a water of this SAR is in none of the worse classes [dS/m]."""
    low, high = 0.0, _HIGHEST_EC
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if infiltration_restriction(sar, middle) in worse else (low, middle)
    return high


def leaching_and_water(ec_water: float, ec_threshold: float, used_cm: float) -> Mapping[str, float]:
    """Leaching requirement by the threshold form, and the water to apply with it [cm]."""
    share = leaching_requirement(ec_water, ec_threshold=ec_threshold)
    return {"share": share, "water": water_for_leaching(used_cm, leaching_fraction=share)}


def classes(soils: Mapping[str, tuple[float, tuple[float, ...]]]) -> Mapping[str, float | str]:
    """ESP over the sum of Ca, Mg, Na and K, and class, of soils given by EC and these cations."""
    found: dict[str, float | str] = {}
    for name, (ec, cations) in soils.items():
        esp = 100.0 * cations[2] / sum(cations)
        found[f"ESP {name}"] = esp
        found[f"class {name}"] = soil_class(ec=ec, esp_pct=esp).value
    return found


def demo_well() -> Mapping[str, float]:
    """Residual carbonate and floors of a water with SAR 8.2, worked out from its analysis."""
    well = Water.of(
        name="well",
        sodium="8.4 meq/L",
        calcium="1.2 meq/L",
        magnesium="0.9 meq/L",
        potassium="0.1 meq/L",
        bicarbonate="5.6 meq/L",
        carbonate="0.2 meq/L",
        chloride="3.6 meq/L",
        sulfate="1.2 meq/L",
    )
    return {
        "SAR": well.sodium_adsorption_ratio,
        "residual carbonate": residual_sodium_carbonate(well),
        "floor": floor_esp_pct(well),
        "floor at 2": floor_esp_pct(well, concentration_factor=2.0),
    }


_INFILTRATION: Final = table("""
SAR    none_above  severe_below
0–3    0.7         0.2
3–6    1.2         0.3
6–12   1.9         0.5
12–20  2.9         1.3
20–40  5.0         2.9
""")

CLAIMS: Final = (
    Claim(
        id="irrigation.infiltration",
        claim="Conductivities at which a water of some SAR restricts infiltration no more, and severely.",
        source="ayers_westcot1985",
        label=Label.SEEN,
        inputs={"sar": ("0–3", "3–6", "6–12", "12–20", "20–40")},
        printed=_INFILTRATION,
        compute=infiltration_borders,
        unit="dS/m",
        note=(
            "Asked in the middle of each range. The source leaves SAR of exactly 3, 6, 12 and 20 open: here "
            "they belong to the row above, which asks for more salt."
        ),
    ),
    Claim(
        id="irrigation.leaching_requirement",
        claim="Water of 1.5 dS/m for plants that stand 6.0 leaches with 0.0526; 76 cm of use take 80.22 cm.",
        source="ali2011",
        label=Label.SEEN,
        inputs={"ec_water": 1.5, "ec_threshold": 6.0, "used_cm": 76.0},
        printed={"share": "0.0526", "water": "80.22"},
        compute=leaching_and_water,
        unit="–, cm",
    ),
    Claim(
        id="irrigation.leaching_requirement_by_drainage",
        claim="By the draining water's conductivity, 20 dS/m, the same water leaches with 7.5 %.",
        source="ali2011",
        label=Label.SEEN,
        inputs={"ec_water": 1.5, "ec_drainage": 20.0},
        printed="7.5",
        compute=lambda ec_water, ec_drainage: 100.0 * leaching_requirement(ec_water, ec_drainage=ec_drainage),
        unit="%",
        note="Another published form, and another answer: neither is the other's rounding.",
    ),
    Claim(
        id="irrigation.gypsum_in_an_acre_foot_exact",
        claim="One meq/L of calcium in an acre-foot of water takes 234.10 lb of gypsum.",
        source="arithmetic",
        label=Label.EXACT,
        inputs={"calcium": "1 meq/L"},
        printed="234.10",
        compute=lambda calcium: float(gypsum_for_water(calcium).magnitude),
        unit="lb/acre-foot",
    ),
    Claim(
        id="irrigation.water_floor",
        claim="Water of Na 8.4, Ca 1.2, Mg 0.9 meq/L brings a soil to ESP 10.8, concentrated twice to 14.6.",
        source="arithmetic",
        label=Label.EXACT,
        printed={"SAR": "8.2", "residual carbonate": "3.7", "floor": "10.8", "floor at 2": "14.6"},
        compute=demo_well,
        unit="–, meq/L, %, %",
    ),
    Claim(
        id="irrigation.course_classes",
        claim="Three soils of a course are sodic, saline and sodic.",
        source="course_set",
        label=Label.EXACT,
        inputs={
            "soils": {
                "first": (2.0, (5.0, 3.0, 5.0, 2.0)),
                "second": (5.0, (19.0, 8.0, 4.0, 4.0)),
                "third": (2.0, (23.0, 6.0, 10.0, 1.0)),
            }
        },
        printed={
            "ESP first": "33.3",
            "class first": "sodic",
            "ESP second": "11.4",
            "class second": "saline",
            "ESP third": "25.0",
            "class third": "sodic",
        },
        compute=classes,
        unit="%",
        note="The question was seen, the answer is arithmetic and the United States' limits.",
    ),
)
