"""Outside checks of gypsum: its mass, its solubility, what activities and ion pairs make of it."""

from collections.abc import Mapping
from typing import Final

from soilx.chemistry.gypsum import gypsum_solubility, naive_gypsum_solubility, saturated_with_gypsum
from soilx.chemistry.ions import CALCIUM, SULFATE
from soilx.chemistry.soil_solution import (
    AqueousConstants,
    Solution,
    davies_activity_coefficient,
    debye_hueckel_a,
    speciate,
)
from soilx.units import GYPSUM, Kind, express
from soilx.verification.claim import Claim, Label
from soilx.verification.printed import table

NO_PAIR: Final = -30.0
"""log K of a pair that is not there."""


def salted(salt: str, strength: float) -> Solution:
    """Water with one salt [mmol/L]."""
    ions: Mapping[str, dict[str, float]] = {
        "none": {},
        "NaCl": {"na": strength, "cl": strength},
        "CaCl2": {"ca": strength, "cl": 2 * strength},
        "Na2SO4": {"na": 2 * strength, "so4": strength},
    }
    nothing = dict.fromkeys(("ca", "mg", "na", "k", "so4", "cl", "hco3"), 0.0)
    return Solution(**(nothing | ions[salt]))


def masses() -> Mapping[str, float]:
    """Molar mass [g/mol], equivalent [g/mol_c] and calcium [%] of gypsum."""
    molar = express(1.0, Kind.CONCENTRATION, "mg/L", ion=GYPSUM)
    return {
        "molar mass": molar,
        "equivalent": express(1.0, Kind.CHARGE_CONCENTRATION, "mg/L", ion=GYPSUM),
        "calcium": 100 * CALCIUM.molar_mass / molar,
    }


def solubility(salt: str = "none", strength: float = 0.0) -> float:
    """Gypsum dissolved by water with one salt [mmol/L]."""
    return gypsum_solubility(salted(salt, strength))


def solubility_by_constants(cases: Mapping[str, tuple[float, float | None]]) -> Mapping[str, float]:
    """Solubility in pure water [mmol/L] by pKsp and the log K of CaSO4°, None where the pair is left out."""
    return {
        name: gypsum_solubility(
            constants=AqueousConstants(gypsum_pksp=pksp, calcium_sulfate=NO_PAIR if pair is None else pair)
        )
        for name, (pksp, pair) in cases.items()
    }


def without_activities(pksp: tuple[str, ...]) -> Mapping[str, float]:
    """√Ksp [mmol/L] by pKsp."""
    return {f"pK {one}": naive_gypsum_solubility(AqueousConstants(gypsum_pksp=float(one))) for one in pksp}


def ion_activity_product() -> float:
    """Product of the activities of calcium and sulfate in water saturated with gypsum [(mol/L)²]."""
    species = speciate(saturated_with_gypsum().as_array())
    gamma = float(davies_activity_coefficient(2, species.ionic_strength))
    return gamma**2 * float(species.free[0]) * float(species.free[4]) * 1e-6


def change_of_solubility(salts: tuple[str, ...], strength: float) -> Mapping[str, str]:
    """What salts [mmol/L] do to the solubility of gypsum."""
    changes = {salt: solubility(salt, strength) - solubility() for salt in salts}
    return {
        salt: "rises" if change > 0 else "falls" if change < 0 else "stays"
        for salt, change in changes.items()
    }


def slopes(temperatures_c: tuple[int, ...]) -> Mapping[str, float]:
    """Debye–Hückel slope A, log10 form [(mol/L)^-½]."""
    return {f"{one} A": float(debye_hueckel_a(one)) for one in temperatures_c}


def activity_coefficients(ionic_strengths: tuple[float, ...]) -> Mapping[str, float]:
    """Davies activity coefficients of ions with one and two charges, by ionic strength [mol/L]."""
    return {
        f"{strength:g} {charge}": float(davies_activity_coefficient(charge, strength))
        for charge in (1, 2)
        for strength in ionic_strengths
    }


_SLOPE: Final = table("""
°C  0       10      20      25      30      40
A   0.4908  0.4979  0.5057  0.5100  0.5145  0.5241
""")
_GAMMA: Final = table("""
charge  0.001   0.01    0.05    0.1
1       0.9650  0.9019  0.8212  0.7812
2       0.8671  0.6617  0.4548  0.3725
""")

CLAIMS: Final = (
    Claim(
        id="gypsum.masses",
        claim="Molar mass, equivalent and calcium of gypsum.",
        source="chemicals",
        label=Label.LIBRARY,
        printed={"molar mass": "172.171", "equivalent": "86.0856", "calcium": "23.28"},
        compute=masses,
        unit="g/mol, g/mol_c, %",
        tolerance={"molar mass": 0.0005, "equivalent": 0.00025, "calcium": 0.005},
        why_tolerance=(
            "the equivalent follows from a molar mass kept to three decimals, which is half of ±0.0005"
        ),
    ),
    Claim(
        id="gypsum.solubility_published",
        claim="Published estimates of gypsum's solubility at 25 °C span 14.7–18.2 mmol/L.",
        source="lebedev_kosorukov2017",
        label=Label.SEEN,
        printed="14.7–18.2",
        compute=solubility,
        unit="mmol/L",
    ),
    Claim(
        id="gypsum.solubility_normal",
        claim="A saturated gypsum solution is 0.03 N.",
        source="usda_ars_nc20",
        label=Label.SEEN,
        printed="0.03",
        compute=lambda: saturated_with_gypsum().cation_charge / 1000,
        unit="mol_c/L",
    ),
    Claim(
        id="gypsum.solubility_product",
        claim="Ksp of gypsum is 2.58e-5.",
        source="bennett_adams1972",
        label=Label.SEEN,
        printed="2.58e-5",
        compute=ion_activity_product,
        unit="(mol/L)²",
        note="From the activities in the saturated solution, not from the constant.",
    ),
    Claim(
        id="gypsum.solubility_by_constants",
        claim="What pKsp, the pair CaSO4° and Davies' equation with A = 0.510 imply.",
        source="davies1962",
        label=Label.EXACT,
        inputs={
            "cases": {
                "pK 4.58, no pair": (4.58, None),
                "pK 4.588, log K 2.30": (4.588, 2.30),
                "pK 4.61, log K 2.30": (4.61, 2.30),
            }
        },
        printed={
            "pK 4.58, no pair": "10.84",
            "pK 4.588, log K 2.30": "15.86",
            "pK 4.61, log K 2.30": "15.24",
        },
        compute=solubility_by_constants,
        unit="mmol/L",
    ),
    Claim(
        id="gypsum.naive_solubility",
        claim="√Ksp, without activities and pairs, is a third of the solubility.",
        source="bennett_adams1972",
        label=Label.EXACT,
        inputs={"pksp": ("4.588", "4.58")},
        printed={"pK 4.588": "5.08", "pK 4.58": "5.13"},
        compute=without_activities,
        unit="mmol/L",
    ),
    Claim(
        id="gypsum.common_ion",
        claim="Solubility falls in sodium sulfate and in calcium salts.",
        source="gypsum_in_electrolytes",
        label=Label.SEEN,
        inputs={"salts": ("Na2SO4", "CaCl2"), "strength": 10.0},
        printed={"Na2SO4": "falls", "CaCl2": "falls"},
        compute=change_of_solubility,
    ),
    Claim(
        id="gypsum.debye_hueckel_slope",
        claim="The Debye–Hückel slope of water from 0 to 40 °C.",
        source="chempy",
        label=Label.LIBRARY,
        inputs={"temperatures_c": (0, 10, 20, 25, 30, 40)},
        printed=_SLOPE,
        compute=slopes,
        unit="(mol/L)^-½",
    ),
    Claim(
        id="gypsum.davies",
        claim="Davies activity coefficients for one and two charges at ionic strengths from 0.001 to 0.1.",
        source="chempy",
        label=Label.LIBRARY,
        inputs={"ionic_strengths": (0.001, 0.01, 0.05, 0.1)},
        printed=_GAMMA,
        compute=activity_coefficients,
    ),
    Claim(
        id="gypsum.solubility_product_in_electrolytes",
        claim="In electrolyte solutions the ion activity product came to 2.51e-5.",
        source="bennett_adams1972",
        label=Label.SEEN,
        printed="2.51e-5",
        compute=ion_activity_product,
        unit="(mol/L)²",
        gating=False,
    ),
    Claim(
        id="gypsum.solubility_product_in_soils",
        claim="In soil solutions the ion activity product came to 2.73e-5.",
        source="bennett_adams1972",
        label=Label.SEEN,
        printed="2.73e-5",
        compute=ion_activity_product,
        unit="(mol/L)²",
        gating=False,
    ),
    Claim(
        id="gypsum.solubility_hulett_allen",
        claim="0.2080 g of CaSO4 dissolve in 100 cm³ at 25 °C.",
        source="hulett_allen1902",
        label=Label.RECALLED,
        printed="0.2080",
        # Anhydrous, as the source counts it; mg/L are 1e-4 g/100 cm³.
        compute=lambda: solubility() * (CALCIUM.molar_mass + SULFATE.molar_mass) * 1e-4,
        unit="g/100 cm³",
        gating=False,
        note="The only temperature the model knows; the source gives 0.1759 at 0 °C and 0.2097 at 40 °C.",
    ),
    Claim(
        id="gypsum.rises_in_sodium_chloride",
        claim="Solubility is 1.4–1.5 times higher in 0.1 mol/L sodium chloride.",
        source="gypsum_in_electrolytes",
        label=Label.RECALLED,
        inputs={"salt": "NaCl", "strength": 100.0},
        printed="1.4–1.5",
        compute=lambda salt, strength: solubility(salt, strength) / solubility(),
        gating=False,
    ),
)
