"""The exchange lesson's one door: a guess, a control, a picture that stays while its data change, a rule.

Each picture comes in two parts: a chart, built once (`sites_chart`), and the function of the same name
(`sites`) that says what it shows at a setting. All numbers are asked of `soilx.chemistry`.
"""

from __future__ import annotations

import html
from collections.abc import Iterable
from typing import Final

import marimo as mo

from soilx.show import lesson_charts as charts
from soilx.show.control import Control
from soilx.show.lesson_counting import CATIONS, milligrams, sites
from soilx.show.lesson_exchange import (
    MOST_CALCIUM_PCT,
    MOST_THINNED,
    beaker,
    beside_thinned,
    dilution,
    isotherm,
)
from soilx.show.lesson_gypsum import (
    MOST_GYPSUM_G_PER_L,
    STEPS,
    plateau,
    solubility,
    solubility_product,
    steps,
)
from soilx.show.lesson_ratio import HIGHEST_SAR, MOST_TIMES, conventions, ratio, root
from soilx.show.live import Drawn, DrawnChart
from soilx.show.marks import ION_MARKS
from soilx.show.page import prose, row, screen
from soilx.show.prediction import SHOWN, UNANSWERED, Choice, Prediction
from soilx.sources import SOURCES, cite

__all__ = [
    "SHOWN",
    "UNANSWERED",
    "Choice",
    "Control",
    "Drawn",
    "DrawnChart",
    "Prediction",
    "after",
    "beaker",
    "beaker_chart",
    "beside_thinned",
    "bibliography",
    "conventions",
    "conventions_chart",
    "dilution",
    "dilution_chart",
    "isotherm",
    "isotherm_chart",
    "milligrams",
    "milligrams_chart",
    "plateau",
    "plateau_chart",
    "prose",
    "ratio",
    "ratio_chart",
    "root",
    "root_chart",
    "row",
    "screen",
    "sites",
    "sites_chart",
    "solubility",
    "solubility_product",
    "steps",
    "steps_chart",
]

_ON_CLAY: Final = "Sodium on the clay, % of its charge"
_NEUTRAL: Final = "#767676"


def after(guess: Prediction, *items: object) -> mo.Html:
    """What a guess opens: nothing until it is made.

    Parameters
    ----------
    guess : Prediction
        The question before.
    *items : object
        Whatever the notebook can show.
    """
    return screen(*items) if guess.opened else mo.Html("")


def bibliography(keys: Iterable[str]) -> mo.Html:
    """Sources as a list, each with how its numbers were come by.

    Parameters
    ----------
    keys : iterable of str
        Of `soilx.sources.SOURCES`.
    """
    items = "".join(
        f"<li>{html.escape(cite(key))} <em>({html.escape(SOURCES[key].label)})</em>"
        f"{' ' + html.escape(SOURCES[key].note) if SOURCES[key].note else ''}</li>"
        for key in keys
    )
    return mo.Html(f'<ul class="soilx-sources">{items}</ul>')


def sites_chart() -> DrawnChart:
    """Clay with 24 sites, and the water above it."""
    return DrawnChart("Each − is one charge of the clay", charts.sites())


def milligrams_chart() -> DrawnChart:
    """The charge of the same mass of four cations."""
    chart = charts.bars(
        x="Charge, meq/L",
        x_top=45,
        colours={ion.name: ION_MARKS[ion.symbol].colour for ion in CATIONS},
        order=[ion.name for ion in CATIONS],
    )
    return DrawnChart("Charge in the same mass", chart)


def isotherm_chart() -> DrawnChart:
    """Sodium on the clay against its share in the water."""
    chart = charts.curves(
        x="Sodium in the water, % of the dissolved charge", y=_ON_CLAY, x_ends=(0, 100), y_ends=(0, 100)
    )
    return DrawnChart("What the clay holds beside the water", chart)


def beaker_chart() -> DrawnChart:
    """Sodium left in one beaker against the calcium added."""
    chart = charts.curves(
        x="Calcium added, % of the sodium's charge", y=_ON_CLAY, x_ends=(0, MOST_CALCIUM_PCT), y_ends=(0, 45)
    )
    return DrawnChart("One beaker, stirred until nothing changes", chart)


def dilution_chart() -> DrawnChart:
    """Sodium on the clay against the thinning of its water."""
    chart = charts.curves(x="Thinned, times", y=_ON_CLAY, x_ends=(1, MOST_THINNED), y_ends=(0, 45))
    return DrawnChart("The same water, thinner", chart)


def root_chart() -> DrawnChart:
    """Sodium on the clay against sodium multiplied, for three ways to multiply calcium."""
    chart = charts.curves(
        x="Sodium in the water, times the first water", y=_ON_CLAY, x_ends=(1, MOST_TIMES), y_ends=(0, 45)
    )
    return DrawnChart("How much calcium keeps pace?", chart)


def ratio_chart() -> DrawnChart:
    """Exchangeable sodium against the sodium adsorption ratio."""
    chart = charts.curves(
        x="SAR of the water, √(mmol/L)",
        y="ESP of the clay, %",
        x_ends=(0, HIGHEST_SAR),
        y_ends=(0, 100),
    )
    return DrawnChart("SAR is of the water, ESP is of the clay", chart)


def plateau_chart() -> DrawnChart:
    """Gypsum dissolved against gypsum stirred in."""
    chart = charts.curves(
        x="Gypsum stirred in, g/L",
        y="Gypsum dissolved, g/L",
        x_ends=(0, MOST_GYPSUM_G_PER_L),
        y_ends=(0, MOST_GYPSUM_G_PER_L + 1),
    )
    return DrawnChart("A litre of pure water at 25 °C", chart)


def steps_chart() -> DrawnChart:
    """Solubility of gypsum as more of the chemistry is counted."""
    chart = charts.bars(
        x="Gypsum dissolved, mmol/L", x_top=30, colours=dict.fromkeys(STEPS, _NEUTRAL), order=STEPS
    )
    return DrawnChart("What each step adds", chart)


def conventions_chart() -> DrawnChart:
    """Exchangeable sodium by three conventions."""
    chart = charts.curves(
        x="SAR of the water, √(mmol/L)",
        y="ESP of the clay, %",
        x_ends=(0, HIGHEST_SAR),
        y_ends=(0, 100),
    )
    return DrawnChart("One clay, three equations", chart)
