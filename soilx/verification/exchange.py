"""Outside checks of cation exchange: Handbook 60's line, other conventions, dilution, worked examples."""

from collections.abc import Mapping
from typing import Final

import numpy as np

from soilx.chemistry import cation_exchange, exchange_conventions
from soilx.chemistry.cation_exchange import SELECTIVITY_RANGES
from soilx.chemistry.ions import IONS
from soilx.chemistry.soil_solution import sodium_adsorption_ratio
from soilx.units import Kind, read
from soilx.verification.claim import Claim, Label
from soilx.verification.printed import table


def line_esp(sar: tuple[str, ...]) -> Mapping[str, float]:
    """ESP on Handbook 60's line, by SAR [%]."""
    return {f"{one} ESP": float(exchange_conventions.ussl_line_esp(float(one))) for one in sar}


def line_sar(esp_pct: tuple[str, ...]) -> Mapping[str, float]:
    """SAR on Handbook 60's line, by ESP [(mmol/L)^½]."""
    return {f"{one} SAR": float(exchange_conventions.ussl_line_sar(float(one))) for one in esp_pct}


def ratio_of_charges(na: str, ca: str, mg: str) -> float:
    """SAR of a water given in charge per volume [(mmol/L)^½]."""
    given = {"Na": na, "Ca": ca, "Mg": mg}
    mmol = {
        symbol: read(text, Kind.CONCENTRATION, name=symbol, ion=IONS[symbol])
        for symbol, text in given.items()
    }
    return float(sodium_adsorption_ratio(mmol["Na"], mmol["Ca"], mmol["Mg"]))


def conventions(gapon: tuple[str, ...], vanselow_at: tuple[float, ...]) -> Mapping[str, float]:
    """Gaines–Thomas and Vanselow coefficients [mol/L] that follow from Gapon selectivities [(mmol/L)^-½]."""
    found = {}
    for text in gapon:
        selectivity = float(text)
        found[f"K_GT_at_0 {text}"] = float(exchange_conventions.gaines_thomas_from_gapon(selectivity, 0.0))
        for sodium in vanselow_at:
            vanselow = exchange_conventions.vanselow_from_gapon(selectivity, sodium)
            found[f"K_V_at_{sodium:g} {text}"] = float(vanselow)
    return found


def without_preference(points: tuple[tuple[float, float], ...]) -> Mapping[str, float]:
    """Exchangeable sodium where the Vanselow coefficient is 1, by sodium share and charge [mol_c/L]."""
    return {
        f"{share:g} {charge:g}": float(
            exchange_conventions.vanselow_isotherm(
                exchange_conventions.sodium_adsorption_ratio_at_normality(1000 * charge, share),
                coefficient=1.0,
            )
        )
        for share, charge in points
    }


def on_dilution(sodium_share: float, charges: tuple[float, ...]) -> str:
    """What exchangeable sodium does as total charge [mmol_c/L] falls at one sodium share."""
    charge = np.array(sorted(charges, reverse=True))
    sar = sodium_adsorption_ratio(sodium_share * charge, (1 - sodium_share) * charge / 2, 0.0)
    steps = np.diff(cation_exchange.exchangeable_sodium_percentage(sar))
    return "falls" if np.all(steps < 0) else "rises" if np.all(steps > 0) else "neither"


def vanselow_beside_gapon(cases: Mapping[str, tuple[float, float]]) -> Mapping[str, float]:
    """Largest difference in ESP of a constant Vanselow coefficient from Gapon's equation, up to a SAR [%]."""
    found = {}
    for name, (coefficient, highest_sar) in cases.items():
        sar = np.linspace(0.0, highest_sar, 2001)
        vanselow = 100 * exchange_conventions.vanselow_isotherm(sar, coefficient=coefficient)
        gapon = cation_exchange.exchangeable_sodium_percentage(sar)
        found[name] = float(np.max(np.abs(vanselow - gapon)))
    return found


_LINE_ESP: Final = table("""
SAR  1      5      8      10      13      15      20      30      40      50      65
ESP  0.215  5.763  9.535  11.887  15.193  17.263  22.021  30.065  36.605  42.026  48.616
""")
_LINE_SAR: Final = table("""
ESP  5      10     15      20      30
SAR  4.422  8.387  12.818  17.803  29.910
""")
_CONVENTIONS: Final = table("""
K_G      K_GT_at_0  K_V_at_0  K_V_at_0.2  K_V_at_0.4
0.0100   10.000     2.5000    3.7500      5.8333
0.01475  4.5964     1.1491    1.7236      2.6812
0.0150   4.4444     1.1111    1.6667      2.5926
""")
_NO_PREFERENCE: Final = table("""
total_charge  0.1      0.3      0.5      0.7      0.9
0.05          0.01666  0.05660  0.11111  0.19807  0.41036
0.01          –        –        0.04994  –        –
""")

CLAIMS: Final = (
    Claim(
        id="exchange.handbook_line",
        claim="ESP = 100 r/(1 + r) with r = −0.0126 + 0.01475 SAR, from SAR 1 to 65.",
        source="ussl1954",
        label=Label.EXACT,
        inputs={"sar": tuple(entry.split()[0] for entry in _LINE_ESP)},
        printed=_LINE_ESP,
        compute=line_esp,
        unit="%",
        note="The formula was seen in a secondary source; the table is its arithmetic.",
    ),
    Claim(
        id="exchange.handbook_line_inverse",
        claim="The SAR at which the line reaches ESP 5 to 30.",
        source="ussl1954",
        label=Label.EXACT,
        inputs={"esp_pct": tuple(entry.split()[0] for entry in _LINE_SAR)},
        printed=_LINE_SAR,
        compute=line_sar,
        unit="(mmol/L)^½",
    ),
    Claim(
        id="exchange.sar_13_is_esp_15",
        claim="A soil is sodic above ESP 15 or SAR 13.",
        source="kstate_classes",
        label=Label.SEEN,
        inputs={"sar": ("13",)},
        printed={"13 ESP": "15"},
        compute=line_esp,
        unit="%",
    ),
    Claim(
        id="exchange.conventions",
        claim="Gaines–Thomas and Vanselow coefficients of an exchanger that Gapon's equation describes.",
        source="exchange_algebra",
        label=Label.EXACT,
        inputs={"gapon": ("0.0100", "0.01475", "0.0150"), "vanselow_at": (0.0, 0.2, 0.4)},
        printed=_CONVENTIONS,
        compute=conventions,
        unit="mol/L",
    ),
    Claim(
        id="exchange.no_preference",
        claim="Exchangeable sodium where the exchanger prefers neither ion (K_V = 1), at 0.05 and 0.01 N.",
        source="exchange_algebra",
        label=Label.EXACT,
        inputs={"points": tuple(tuple(map(float, entry.split())) for entry in _NO_PREFERENCE)},
        printed=_NO_PREFERENCE,
        compute=without_preference,
        note=(
            "Sodium and calcium on a bentonite at 298 K were read to be essentially congruent with this "
            "isotherm."
        ),
    ),
    Claim(
        id="exchange.valence_dilution",
        claim=(
            "At a fixed sodium share of the solution, exchangeable sodium falls as the solution is diluted."
        ),
        source="reeve_doering1966",
        label=Label.SEEN,
        inputs={"sodium_share": 0.6, "charges": (400.0, 200.0, 100.0, 50.0, 25.0, 12.5)},
        printed="falls",
        compute=on_dilution,
    ),
    Claim(
        id="exchange.vanselow_fits_gapon",
        claim="A fitted constant Vanselow coefficient stays this near to Gapon's equation, in ESP.",
        source="evangelou_phillips1987",
        label=Label.EXACT,
        inputs={"cases": {"K_V 1.61, SAR 17": (1.61, 17.0), "K_V 2.29, SAR 45": (2.29, 45.0)}},
        printed={"K_V 1.61, SAR 17": "0.00–0.68", "K_V 2.29, SAR 45": "0.00–2.66"},
        compute=vanselow_beside_gapon,
        unit="% of the capacity",
        note=(
            "At most so much apart. That the two agree below E 0.2 was seen in the source; the figures are "
            "arithmetic."
        ),
    ),
    Claim(
        id="exchange.sar_of_a_water",
        claim="A water with Na 44, Ca 10 and Mg 8.2 meq/L has SAR 14.59.",
        source="arithmetic",
        label=Label.EXACT,
        inputs={"na": "44 meq/L", "ca": "10 meq/L", "mg": "8.2 meq/L"},
        printed="14.59",
        compute=ratio_of_charges,
        unit="(mmol/L)^½",
    ),
    Claim(
        id="exchange.sar_of_a_water_as_printed",
        claim="The same water by its printed answer, which takes the root before halving.",
        source="course_set",
        label=Label.SEEN,
        inputs={"na": "44 meq/L", "ca": "10 meq/L", "mg": "8.2 meq/L"},
        printed="20.6",
        compute=ratio_of_charges,
        unit="(mmol/L)^½",
        gating=False,
        note="A published error, kept to teach with: nothing is tuned to it.",
    ),
    Claim(
        id="exchange.textbook_field_sar",
        claim="A solution with Na 36, Ca 6 and Mg 2 meq/L has SAR 18.00.",
        source="textbook_acre",
        label=Label.EXACT,
        inputs={"na": "36 meq/L", "ca": "6 meq/L", "mg": "2 meq/L"},
        printed="18.00",
        compute=ratio_of_charges,
        unit="(mmol/L)^½",
    ),
    Claim(
        id="exchange.textbook_field_esp",
        claim="Handbook 60's line puts that solution beside ESP 20.19.",
        source="textbook_acre",
        label=Label.EXACT,
        inputs={"sar": ("18",)},
        printed={"18 ESP": "20.19"},
        compute=line_esp,
        unit="%",
    ),
    Claim(
        id="exchange.published_range_on_screen",
        claim="Slopes of exchangeable sodium against SAR were 0.0085 at 1057 and 0.0163 at 39 meq/L.",
        source="cjss1982",
        label=Label.SEEN,
        printed={"lowest": "0.0085", "highest": "0.0163"},
        compute=lambda: {
            "lowest": SELECTIVITY_RANGES["sodium"].low,
            "highest": SELECTIVITY_RANGES["sodium"].high,
        },
        unit="(mmol/L)^-½",
        note="The range that is shown beside the sodium selectivity.",
    ),
    Claim(
        id="exchange.model_beside_the_line",
        claim="At SAR 13 soils are near ESP 15; the model leaves the line's intercept out.",
        source="ussl1954",
        label=Label.SEEN,
        printed="15",
        compute=lambda: float(cation_exchange.exchangeable_sodium_percentage(13.0)),
        unit="%",
        gating=False,
        note=(
            "Without the intercept the model's ESP is about 1 higher here, and 0 for a soil without sodium."
        ),
    ),
)
