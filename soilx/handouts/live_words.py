"""What a page's sliders and charts say: names, and sentences that the page fills with numbers."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from soilx.show.marks import TREATED, UNTREATED

if TYPE_CHECKING:
    from collections.abc import Mapping

    from soilx.handouts.settings_axes import Axis

NAMES: Final[Mapping[str, str]] = MappingProxyType(
    {
        "gypsum": "Gypsum",
        "water": "Water",
        "capacity": "CEC of the soil",
        "sodium": "Sodium at the start",
    }
)

FEWER: Final[Mapping[str, tuple[str, str]]] = MappingProxyType(
    {
        "gypsum": ("Less gypsum", "More gypsum"),
        "water": ("Less water", "More water"),
        "capacity": ("Lower CEC", "Higher CEC"),
        "sodium": ("Less sodium at the start", "More sodium at the start"),
    }
)

INTRODUCTION: Final = (
    "Each stop of a slider is a column computed when this page was made, and the water is read along it: "
    "nothing is estimated between stops."
)
MORE_WATER: Final = "Beyond {water} the column is given more of its last water."
PAPER: Final = "On paper, and without script, the page shows the setting it was made for."
BACK: Final = "Back to the setting of this page"
TABLE: Final = "The numbers of this chart"

WORDS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "treated": TREATED,
        "untreated": UNTREATED,
        "dry": (
            "No water yet. Both columns hold {alone} exchangeable sodium; gypsum does nothing until it is "
            "wet."
        ),
        "bare": (
            "Without gypsum both columns are the same: after {water}, exchangeable sodium goes from {began} "
            "to {alone}."
        ),
        "pair": (
            "With {rate} of pure gypsum and {water}, exchangeable sodium goes from {began} to {ended}; with "
            "the same water alone, to {alone}."
        ),
        "no_run": "There is no run with gypsum at this setting. {reason}",
        "no_bare_run": "There is no run without gypsum at this setting. {reason}",
        "nothing": "There is no run to show here.",
        "depth": (
            "Top to bottom: {treated_top} to {treated_bottom} with gypsum, {bare_top} to {bare_bottom} with "
            "none; {began} at the start."
        ),
        "curve": "First to last water: {treated_first} to {treated_last} with gypsum; {bare_first} to "
        "{bare_last} with none.",
        "undrained": "The water only wetted the soil. Nothing has drained yet, so no sodium has left.",
        "places": (
            "The soil began with {start} mg/kg of sodium{brought}. Still on the clay: {treated} with gypsum, "
            "{bare} with none."
        ),
        "brought": ", and the water brought {brought}",
        "of_water": "{water} of water",
    }
)


def value_text(axis: Axis, number: int, *, depths: tuple[str, ...], few: bool) -> str:
    """A stop as it is read beside its slider, with its unit.

    Parameters
    ----------
    axis : Axis
    number : int
        Of the stop.
    depths : tuple of str
        Each stop of water as a depth, with its unit.
    few : bool
        Water is read as a depth alone.
    """
    text, unit = axis.texts[number], axis.unit
    if axis.key == "water":
        return depths[number] if few else f"{text}\N{NO-BREAK SPACE}pore volumes ({depths[number]})"
    of = " of CEC" if axis.key == "sodium" else ""
    return f"{text}\N{NO-BREAK SPACE}{unit}{of}"
