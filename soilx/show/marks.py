"""How an ion and a column look, the same on every chart.

The four cations wear Okabe-Ito colours that reach 3:1 against white and against near-black alike, so one
colour serves bright and dark rooms. Orange and sky blue do not reach it on white and were darkened for the
anions. Colour never stands alone: each ion has its own dash and marker, and each line its label.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """How one line is drawn.

    Attributes
    ----------
    colour : str
        Hexadecimal red, green, blue.
    dash : tuple of int
        Lengths of line and gap [px]; (1, 0) is an unbroken line.
    marker : str
        A Vega symbol name.
    """

    colour: str
    dash: tuple[int, ...]
    marker: str


ION_MARKS: Final[Mapping[str, Mark]] = MappingProxyType(
    {
        "Na": Mark(colour="#D55E00", dash=(1, 0), marker="circle"),
        "Ca": Mark(colour="#0072B2", dash=(12, 3), marker="square"),
        "Mg": Mark(colour="#009E73", dash=(12, 3, 3, 3), marker="triangle-up"),
        "K": Mark(colour="#CC79A7", dash=(3, 3), marker="diamond"),
        "SO4": Mark(colour="#B57D00", dash=(8, 3, 2, 3, 2, 3), marker="cross"),
        "Cl": Mark(colour="#2F8FC4", dash=(2, 5), marker="triangle-down"),
        "HCO3": Mark(colour="#808080", dash=(16, 5), marker="stroke"),
    }
)

TREATED: Final = "with gypsum"
UNTREATED: Final = "no gypsum"
START: Final = "start"
BEFORE: Final = "before"

# On a chart of one ion the columns share that ion's colour; the untreated one breaks the line as no ion does.
ARM_DASHES: Final[Mapping[str, tuple[int, ...]]] = MappingProxyType({TREATED: (1, 0), UNTREATED: (7, 5)})

# What was on screen before the last change: dotted, as neither an ion nor a column is.
BEFORE_DASH: Final = (2, 3)

# Curves that were kept, thinner than what is live, each with a dash of its own beside its letter.
KEPT_DASHES: Final[Mapping[str, tuple[int, ...]]] = MappingProxyType(
    {"A": (14, 4), "B": (9, 3, 2, 3), "C": (4, 2)}
)

# A guess: a line across, as no result is drawn.
GUESS: Final = "your guess"
GUESS_DASH: Final = (10, 6)

# What is no ion, such as conductivity, wears the ink of the page and a marker of its own.
INK_MARK: Final = Mark(colour="currentColor", dash=(1, 0), marker="triangle-right")

# Where sodium is, told apart by lightness alone: held, still in the soil's water, gone.
PLACES: Final[Mapping[str, str]] = MappingProxyType(
    {"on the clay": "#8A3B12", "in the water left": "#E3B27C", "in the leachate": "#F6EBD3"}
)

# How water looks: the more clay it carries, the darker.
CLARITY_SHADES: Final[Mapping[str, str]] = MappingProxyType(
    {"clear": "#E3F1F8", "may cloud": "#CDAF86", "cloudy": "#6B3A1E", "no leachate": "transparent"}
)

# Pale where the exchanger holds little sodium, dark where it holds much: lightness alone tells the story.
SODIUM_RAMP: Final = ("#F6EBD3", "#E3B27C", "#C4703A", "#8A3B12", "#4A1A05")
