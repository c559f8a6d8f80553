"""The equations behind a pair of columns, with the values in use, and the sources that they rest on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from soilx.chemistry.soil_solution import CONSTANTS
from soilx.column.dissolution import FIRST_ORDER
from soilx.sources import SOURCES, cite

if TYPE_CHECKING:
    from soilx.column.scenario import Scenario


@dataclass(frozen=True, slots=True, kw_only=True)
class Equation:
    """One equation with what it says.

    Attributes
    ----------
    name : str
        Of what it gives.
    tex : str
        The formula.
    words : str
        Its symbols with their units, and the values in use here.
    sources : tuple of str
        Keys of `soilx.sources.SOURCES`.
    """

    name: str
    tex: str
    words: str
    sources: tuple[str, ...] = ()


_SHARES: Final = Equation(
    name="Exchangeable sodium percentage",
    tex=(
        r"\text{ESP} = 100\,E_{\text{Na}}, \quad "
        r"E_{\text{Ca}} + E_{\text{Mg}} + E_{\text{Na}} + E_{\text{K}} = 1"
    ),
    words="E is the share of the clay's charge that an ion holds.",
    sources=("ussl1954",),
)
_RATIO: Final = Equation(
    name="Sodium adsorption ratio of the water",
    tex=r"\text{SAR} = \frac{[\text{Na}]}{\sqrt{[\text{Ca}] + [\text{Mg}]}}",
    words="Square brackets are everything dissolved of an ion, in mmol/L.",
    sources=("ussl1954",),
)
_DAVIES: Final = Equation(
    name="Activity of a dissolved ion",
    tex=r"\log_{10} \gamma = -A z^{2} \left( \frac{\sqrt{I}}{1 + \sqrt{I}} - 0.3\, I \right)",
    words=(
        f"z is the ion's charge, I the ionic strength in mol/L, A {CONSTANTS.debye_hueckel_a:.3f} at 25 °C. "
        "Nothing is computed above I = 0.5 unless that is asked for."
    ),
    sources=("davies1962",),
)
_CONDUCTIVITY: Final = Equation(
    name="Electrical conductivity of the leachate at 25 °C",
    tex=(
        r"\kappa = \sum_i \lvert z_i \rvert\, c_i "
        r"\left( \lambda_i^{0} - \frac{b\, \lvert z_i \rvert \sqrt{I}}{1 + B \sqrt{I}} \right)"
        r" \left( 1 - \frac{a\, r_i \sqrt{I}}{1 + B \sqrt{I}} \right)"
    ),
    words=(
        "λ is an ion's conductivity in very thin solution. The first bracket takes off what the ion loses "
        "against the water it drags, the second what the cloud of other ions holds back."
    ),
    sources=(
        "crc_conductivity",
        "mccleskey2011",
        "onsager_fuoss1932",
        "falkenhagen1971",
        "anderko_lencka1997",
    ),
)
_EFFICIENCY: Final = Equation(
    name="Sodium displaced per calcium dissolved",
    tex=r"\frac{Q\,(E_{\text{Na, start}} - E_{\text{Na, end}})}{2\,(g_{\text{given}} - g_{\text{left}})}",
    words=(
        "Q is the exchange capacity in mmol_c/kg, g gypsum in mmol/kg. What is missing from 1 displaced "
        "magnesium and potassium, or left with the water."
    ),
)
_BALANCE: Final = Equation(
    name="Balance of every element",
    tex=r"\text{start} + \text{with the water} - \text{leached} - \text{left} = 0",
    words="What is left is counted up from the water, the clay and the solid gypsum.",
)


def equations(scenario: Scenario) -> tuple[Equation, ...]:
    """What the columns of a scenario are computed with, in the order of the work.

    Parameters
    ----------
    scenario : Scenario
        Of the treated column.
    """
    soil, ground = scenario.soil, scenario.ground
    selectivity = soil.selectivity
    rate = Equation(
        name="A rate for a field from a rate for soil",
        tex=r"R = 0.1\, G\, \rho_b\, L",
        words=(
            f"R in t/ha, G in g/kg, bulk density ρ_b = {soil.bulk_density:.2f} kg/L, depth L = "
            f"{(ground.depth or 0.0) / 10:g} cm."
        ),
        sources=("arithmetic",),
    )
    sodium = Equation(
        name="Sodium on the clay beside the water",
        tex=r"\frac{E_{\text{Na}}}{E_{\text{Ca}} + E_{\text{Mg}}} = K_{\text{Na}}\,\text{SAR}",
        words=f"K_Na = {selectivity.sodium:.4g} (mmol/L)^-½.",
        sources=("gapon1933", "ussl1954", "cjss1982"),
    )
    others = Equation(
        name="Potassium and magnesium likewise",
        tex=(
            r"\frac{E_{\text{K}}}{E_{\text{Ca}} + E_{\text{Mg}}} = K_{\text{K}} "
            r"\frac{[\text{K}]}{\sqrt{[\text{Ca}] + [\text{Mg}]}}, \quad "
            r"\frac{E_{\text{Mg}}}{E_{\text{Ca}}} = K_{\text{Mg}} \frac{[\text{Mg}]}{[\text{Ca}]}"
        ),
        words=f"K_K = {selectivity.potassium:.4g} (mmol/L)^-½ †, K_Mg = {selectivity.magnesium:.3g}.",
        sources=("ussl1954", "magnesium_selectivities"),
    )
    gypsum = Equation(
        name="Water saturated with gypsum",
        tex=(
            r"\gamma_2^{2}\, [\text{Ca}^{2+}]\, [\text{SO}_4^{2-}] = K_{\text{sp}} = "
            f"10^{{-{CONSTANTS.gypsum_pksp:.3f}}}"
        ),
        words=(
            "Brackets are here the free ions, in mol/L: calcium, magnesium, sodium and potassium pair with "
            "sulfate (log K "
            f"{CONSTANTS.calcium_sulfate:.2f}, {CONSTANTS.magnesium_sulfate:.2f}, "
            f"{CONSTANTS.sodium_sulfate:.2f}, {CONSTANTS.potassium_sulfate:.2f} †)."
        ),
        sources=("bennett_adams1972", "ion_pair_constants"),
    )
    column = Equation(
        name="Water moves down",
        tex=r"\Delta V = f\, w\, \frac{1}{N}, \quad \alpha = \frac{1}{2} \frac{L}{N} (1 - f)",
        words=(
            f"The column is {scenario.layers} stirred layers (N). Each step moves the share f = "
            f"{scenario.displaced_fraction:g} of a layer's drained water w to the next; then water, clay and "
            f"gypsum of every layer come to rest. The dispersivity α is {scenario.dispersivity:.3g} mm."
        ),
        sources=("binomial",),
    )
    clarity = Equation(
        name="Clear or cloudy",
        tex=r"C_{\text{cloudy}} \approx \frac{1}{4} C_{\text{threshold}}(\text{ESP})",
        words=(
            "Above the threshold the water runs clear, below a quarter of it cloudy, between the two it may "
            "cloud. C is the water's cation charge in mmol_c/L, ESP that of the last layer."
        ),
        sources=("quirk_schofield1955",),
    )
    slow: tuple[Equation, ...] = ()
    if scenario.dissolution == FIRST_ORDER:
        slow = (
            Equation(
                name="Gypsum that dissolves slowly",
                tex=r"\frac{dg}{dt} = -k\,(c_{\text{sat}} - c)",
                words=(
                    f"Over the time of contact of each step, with k = {scenario.dissolution_rate:.4g} per "
                    "hour for the whole dose, as long as there is gypsum."
                ),
                sources=("surface_gypsum",),
            ),
        )
    return (
        rate, _SHARES, _RATIO, sodium, others, gypsum, _DAVIES, *slow, column, _CONDUCTIVITY, clarity,
        _EFFICIENCY, _BALANCE,
    )  # fmt: skip


def citations(keys: tuple[str, ...]) -> list[str]:
    """Sources with what was taken from each and how its numbers were come by, each once.

    Parameters
    ----------
    keys : tuple of str
        Keys of `soilx.sources.SOURCES`.
    """
    return [
        " ".join(part for part in (cite(key), SOURCES[key].note, f"[{SOURCES[key].label}]") if part)
        for key in dict.fromkeys(keys)
    ]
