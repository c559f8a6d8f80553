"""Outside checks of electrical conductivity: single salts, infinite dilution, temperature, rules of thumb."""

from collections.abc import Mapping
from typing import Final

import numpy as np

from soilx.chemistry.conductivity import (
    LIMITING_CONDUCTIVITIES,
    electrical_conductivity,
    temperature_factor_to_25,
)
from soilx.chemistry.gypsum import saturated_with_gypsum
from soilx.chemistry.ions import CHARGES, ORDER
from soilx.chemistry.soil_solution import Solution, total_dissolved_solids
from soilx.verification.claim import Claim, Label
from soilx.verification.printed import share_of, table

_IONS_OF: Final[Mapping[str, Mapping[str, int]]] = {
    "NaCl": {"na": 1, "cl": 1},
    "KCl": {"k": 1, "cl": 1},
    "CaCl2": {"ca": 1, "cl": 2},
    "MgCl2": {"mg": 1, "cl": 2},
    "Na2SO4": {"na": 2, "so4": 1},
    "CaSO4": {"ca": 1, "so4": 1},
    "NaHCO3": {"na": 1, "hco3": 1},
}


def single_salt(salt: str, strength: float) -> Solution:
    """A solution of one salt [mmol/L]."""
    amounts = {symbol.lower(): strength * _IONS_OF[salt].get(symbol.lower(), 0) for symbol in ORDER}
    return Solution(**amounts)


def single_salts(solutions: tuple[tuple[str, float], ...]) -> Mapping[str, float]:
    """Conductivity of single salts [dS/m], by salt and strength [mmol/L].

    The table is by mmol per kg of water; below 50 a litre and a kilogram differ by less than 0.5 %.
    """
    return {
        f"{salt} {strength:g}": float(electrical_conductivity(single_salt(salt, strength).as_array()))
        for salt, strength in solutions
    }


def at_infinite_dilution() -> Mapping[str, float]:
    """Limiting conductivities per equivalent of the seven ions [S cm²/mol_c]."""
    return {
        f"{symbol} λ": conductivity
        for symbol, conductivity in zip(ORDER, LIMITING_CONDUCTIVITIES, strict=True)
    }


def equivalent_conductivity_of(salts: tuple[str, ...], strength: float) -> Mapping[str, float]:
    """Conductivity per equivalent of salt in a very dilute solution [S cm²/mol_c]."""
    found = {}
    for salt in salts:
        solution = single_salt(salt, strength)
        # dS/m per mmol_c/L are 1000 S cm²/mol_c.
        found[f"{salt} Λ"] = (
            1000 * float(electrical_conductivity(solution.as_array())) / solution.cation_charge
        )
    return found


def temperature_factors(temperatures_c: tuple[int, ...]) -> Mapping[str, float]:
    """Factors that bring a reading to 25 °C."""
    return {f"{one} factor": float(temperature_factor_to_25(one)) for one in temperatures_c}


def charge_per_conductivity(solution: Solution) -> float:
    """Sum of cations over conductivity [mmol_c/L per dS/m]."""
    return solution.cation_charge / float(electrical_conductivity(solution.as_array()))


def solids_per_conductivity(concentrations: tuple[float, ...]) -> float:
    """Dissolved solids over conductivity [mg/L per dS/m] of a water given in meq/L."""
    mmol = np.array(concentrations) / np.abs(CHARGES)
    return float(total_dissolved_solids(mmol) / electrical_conductivity(mmol))


_SINGLE_SALTS: Final = table("""
mmol/kg  NaCl    CaCl2   Na2SO4  CaSO4   NaHCO3  KCl
1        0.1247  0.2553  0.2453  0.2272  0.0960  0.1474
5        0.6075  1.205   1.143   0.9056  0.4659  0.7203
10       1.193   2.323   2.178   1.582   0.9117  1.418
15.2     1.788   3.440   3.190   2.191   1.363   2.131
20       2.328   4.443   4.082   –       1.771   2.779
50       5.570   10.36   9.100   –       4.193   6.708
""")
_TO_25: Final = table("""
°C      5      10     15     20     30     35
factor  1.623  1.415  1.248  1.113  0.905  0.825
""")
_IONS: Final = table("""
ion  Ca     Mg    Na     K      SO4   Cl     HCO3
λ    59.47  53.0  50.08  73.48  80.0  76.31  44.5
""")
_AT_LIMIT: Final = table("""
salt  NaCl    KCl     CaCl2   MgCl2   NaHCO3
Λ     126.39  149.79  135.78  129.31  94.58
""")

CLAIMS: Final = (
    Claim(
        id="conductivity.single_salts",
        claim="Six salts from 1 to 50 mmol/kg at 25 °C, gypsum to 15.2.",
        source="mccleskey2011",
        label=Label.LIBRARY,
        inputs={"solutions": tuple((salt, float(text)) for salt, text in map(str.split, _SINGLE_SALTS))},
        printed=_SINGLE_SALTS,
        compute=single_salts,
        unit="dS/m",
        tolerance=share_of(_SINGLE_SALTS, 0.05),
        why_tolerance=(
            "5 %: the source's limiting conductivities and those used here differ by up to 4 %, and its "
            "measurements scatter by a percent or so"
        ),
    ),
    Claim(
        id="conductivity.limiting_ions",
        claim="Conductivities of the seven ions at infinite dilution, per equivalent.",
        source="crc_conductivity",
        label=Label.LIBRARY,
        printed=_IONS,
        compute=at_infinite_dilution,
        unit="S cm²/mol_c",
    ),
    Claim(
        id="conductivity.infinite_dilution",
        claim="A very dilute salt conducts as the sum of its ions at infinite dilution.",
        source="crc_conductivity",
        label=Label.LIBRARY,
        inputs={"salts": tuple(entry.split()[0] for entry in _AT_LIMIT), "strength": 1e-6},
        printed=_AT_LIMIT,
        compute=equivalent_conductivity_of,
        unit="S cm²/mol_c",
        tolerance=share_of(_AT_LIMIT, 1e-4),
        why_tolerance=(
            "1e-4 of the value: at 1e-6 mmol/L the root law still takes a few thousandths of a percent"
        ),
    ),
    Claim(
        id="conductivity.temperature",
        claim="Factors to 25 °C for 10 mmol/kg sodium chloride from 5 to 35 °C.",
        source="mccleskey2011",
        label=Label.LIBRARY,
        inputs={"temperatures_c": (5, 10, 15, 20, 30, 35)},
        printed=_TO_25,
        compute=temperature_factors,
        tolerance=dict.fromkeys(_TO_25, 0.0005) | {"35 factor": 0.0006},
        why_tolerance=(
            "the printed digits, but at 35 °C: 0.82448 in full was rounded to 0.8245 and again to 0.825"
        ),
    ),
    Claim(
        id="conductivity.charge_near_gypsum_saturation",
        claim="Near saturation with calcium sulfate there are 12–14 meq/L of cations per dS/m.",
        source="conductivity_rules",
        label=Label.SEEN,
        printed="12–14",
        compute=lambda: charge_per_conductivity(saturated_with_gypsum()),
        unit="mmol_c/L per dS/m",
    ),
    Claim(
        id="conductivity.charge_in_sodium_sulfate",
        claim="In sodium sulfate there are 9–11 meq/L of cations per dS/m.",
        source="conductivity_rules",
        label=Label.SEEN,
        inputs={"strengths": (5.0, 10.0, 25.0)},
        printed={"5 mmol/L": "9–11", "10 mmol/L": "9–11", "25 mmol/L": "9–11"},
        compute=lambda strengths: {
            f"{one:g} mmol/L": charge_per_conductivity(single_salt("Na2SO4", one)) for one in strengths
        },
        unit="mmol_c/L per dS/m",
    ),
    Claim(
        id="conductivity.charge_rule",
        claim="The sum of cations is about 10 meq/L per dS/m.",
        source="conductivity_rules",
        label=Label.SEEN,
        inputs={"salt": "NaCl", "strength": 20.0},
        printed="10",
        compute=lambda salt, strength: charge_per_conductivity(single_salt(salt, strength)),
        unit="mmol_c/L per dS/m",
        gating=False,
        note="A rule of thumb over mixed waters; sodium chloride lies below it, gypsum above.",
    ),
    Claim(
        id="conductivity.solids_rule",
        claim="Dissolved solids are about 640 mg/L per dS/m.",
        source="conductivity_rules",
        label=Label.SEEN,
        # Ca, Mg, Na, K, SO4, Cl, HCO3 [meq/L] of an invented well water.
        inputs={"concentrations": (1.2, 0.9, 8.4, 0.1, 1.2, 3.6, 5.8)},
        printed="640",
        compute=solids_per_conductivity,
        unit="mg/L per dS/m",
        gating=False,
        note="A rule of thumb over mixed waters.",
    ),
)
