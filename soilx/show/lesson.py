"""The exchange lesson's one door: a guess, a control, a picture that stays while its data change, a rule.

Each picture comes in two parts: a chart, built once (`sites_chart`), and the function of the same name
(`sites`) that says what it shows at a setting. All numbers are asked of `soilx.chemistry`.
"""

from __future__ import annotations

import functools
import html
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any, Final

import marimo as mo

from soilx.show import lesson_charts as charts
from soilx.show import lesson_sites
from soilx.show.control import Control
from soilx.show.lesson_answers import answers
from soilx.show.lesson_beaker import MOST_CALCIUM_PCT, beaker
from soilx.show.lesson_counting import CATIONS, mass_per_charge, milligrams, sites
from soilx.show.lesson_exchange import (
    MOST_THINNED,
    beside_thinned,
    dilution,
    isotherm,
)
from soilx.show.lesson_gypsum import (
    MOST_GYPSUM_G_PER_L,
    STEPS,
    plateau,
    solubility,
    solubility_by_root,
    solubility_product,
    steps,
)
from soilx.show.lesson_layer import (
    MOST_WATER,
    layer,
    layer_gypsum,
    layer_start,
    layer_undrained,
)
from soilx.show.lesson_ratio import HIGHEST_SAR, MOST_TIMES, conventions, ratio, root
from soilx.show.live import Drawn, DrawnChart
from soilx.show.marks import ION_MARKS
from soilx.show.moves import Goal
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
    "Goal",
    "Prediction",
    "after",
    "answers",
    "beaker",
    "beaker_chart",
    "beside_thinned",
    "bibliography",
    "conventions",
    "conventions_chart",
    "dilution",
    "dilution_chart",
    "folded",
    "isotherm",
    "isotherm_chart",
    "layer",
    "layer_chart",
    "layer_gypsum",
    "layer_start",
    "layer_undrained",
    "mass_per_charge",
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
    "solubility_by_root",
    "solubility_product",
    "steps",
    "steps_chart",
]

_ON_CLAY: Final = "Sodium on the clay, % of its charge"
_SAR: Final = "SAR of the water, √(mmol/L)"
_ESP: Final = "ESP of the clay, %"
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
    return mo.Html(f'<ul style="list-style: disc; padding-left: 1.4em">{items}</ul>')


def folded(title: str, lines: Iterable[str]) -> mo.Html:
    """Lines behind one line, which opens them.

    Parameters
    ----------
    title : str
        What stands outside.
    lines : iterable of str
        What stands inside, one under the other.
    """
    inside = "".join(f"<p>{html.escape(line)}</p>" for line in lines)
    summary = f"<summary>{html.escape(title)}</summary>"
    return mo.Html(f'<details class="soilx-fold">{summary}{inside}</details>')


def sites_chart() -> DrawnChart:
    """Clay with 24 sites, and the water above it."""
    return DrawnChart("Each − is one charge of the clay", _spec("sites"))


def milligrams_chart() -> DrawnChart:
    """The charge of the same mass of four cations."""
    return DrawnChart("Charge in the same mass", _spec("milligrams"))


def isotherm_chart() -> DrawnChart:
    """Sodium on the clay against its share in the water."""
    return DrawnChart("What the clay holds beside the water", _spec("isotherm"))


def beaker_chart() -> DrawnChart:
    """Sodium left in one beaker against the calcium added."""
    return DrawnChart("One beaker, stirred until nothing changes", _spec("beaker"))


def dilution_chart() -> DrawnChart:
    """Sodium on the clay against the thinning of its water."""
    return DrawnChart("The same water, thinner", _spec("dilution"))


def root_chart() -> DrawnChart:
    """Sodium on the clay against sodium multiplied, for three ways to multiply calcium."""
    return DrawnChart("How much calcium keeps pace?", _spec("root"))


def ratio_chart() -> DrawnChart:
    """Exchangeable sodium against the sodium adsorption ratio."""
    return DrawnChart("SAR is of the water, ESP is of the clay", _spec("ratio"))


def plateau_chart() -> DrawnChart:
    """Gypsum dissolved against gypsum stirred in."""
    return DrawnChart("A litre of pure water at 25 °C", _spec("plateau"))


def steps_chart() -> DrawnChart:
    """Solubility of gypsum as more of the chemistry is counted."""
    return DrawnChart("What each step adds", _spec("steps"))


def layer_chart() -> DrawnChart:
    """Sodium left on the clay of a stirred layer against the water poured through it."""
    return DrawnChart("One layer, stirred and draining", _spec("layer"))


def conventions_chart() -> DrawnChart:
    """Exchangeable sodium by three conventions."""
    return DrawnChart("One clay, three equations", _spec("conventions"))


_AXES: Final[Mapping[str, tuple[str, str, tuple[float, float], tuple[float, float]]]] = MappingProxyType(
    {
        "isotherm": ("Sodium in the water, % of the charge", _ON_CLAY, (0, 100), (0, 100)),
        "beaker": ("Calcium added, % of the sodium's charge", _ON_CLAY, (0, MOST_CALCIUM_PCT), (0, 45)),
        "dilution": ("Thinned, times", _ON_CLAY, (1, MOST_THINNED), (0, 45)),
        "root": ("Sodium in the water, times n", _ON_CLAY, (1, MOST_TIMES), (0, 45)),
        "ratio": (_SAR, _ESP, (0, HIGHEST_SAR), (0, 100)),
        "plateau": (
            "Gypsum stirred in, g/L",
            "Gypsum dissolved, g/L",
            (0, MOST_GYPSUM_G_PER_L),
            (0, MOST_GYPSUM_G_PER_L + 1),
        ),
        "layer": ("Water poured through, pore volumes", _ON_CLAY, (0, MOST_WATER), (0, 25)),
        "conventions": (_SAR, _ESP, (0, HIGHEST_SAR), (0, 100)),
    }
)


# All charts take a second to build: once a process, not once for everyone in a class.
@functools.cache
def _spec(name: str) -> dict[str, Any]:
    if name in _AXES:
        x, y, x_ends, y_ends = _AXES[name]
        chart = charts.curves(x=x, y=y, x_ends=x_ends, y_ends=y_ends)
    elif name == "sites":
        chart = lesson_sites.sites()
    elif name == "milligrams":
        names = [ion.name for ion in CATIONS]
        colours = {ion.name: ION_MARKS[ion.symbol].colour for ion in CATIONS}
        chart = charts.bars(x="Charge, meq/L", x_top=45, colours=colours, order=names)
    else:
        neutral = dict.fromkeys(STEPS, _NEUTRAL)
        chart = charts.bars(x="Gypsum dissolved, mmol/L", x_top=30, colours=neutral, order=STEPS)
    spec: dict[str, Any] = chart.to_dict()
    return spec
