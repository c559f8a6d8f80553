"""Charts of the later stages of the lecture: leachate, places of sodium, clear or cloudy."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

import altair as alt

from soilx.chemistry.clarity import Clarity
from soilx.column.leachate import NO_LEACHATE
from soilx.show.charts import ARM_ORDER, dressed, from_zero_to, ghost_line, names_beside, one_ion, source
from soilx.show.marks import ION_MARKS, Mark
from soilx.show.stage_records import IN_WATER, LEACHED, ON_CLAY, PLACES, QUANTITIES
from soilx.show.tables import Record

_BARS: Final = 170
_NEUTRAL: Final = Mark(colour="currentColor", dash=(1, 0), marker="circle")

#: Fill and ink of each place: dark where it clings, pale where it is gone; lightness alone tells them apart.
_PLACE_FILL: Final = {ON_CLAY: "#6B2C0C", IN_WATER: "#D9A066", LEACHED: "#DCE9F5"}
_PLACE_INK: Final = {ON_CLAY: "white", IN_WATER: "black", LEACHED: "black"}

_CLARITY_FILL: Final = {
    Clarity.CLEAR.value: "#DCE9F5",
    Clarity.MAY_CLOUD.value: "#C9A574",
    Clarity.CLOUDY.value: "#5A3213",
    NO_LEACHATE: "#FFFFFF00",
}
_CLARITY_INK: Final = {
    Clarity.CLEAR.value: "black",
    Clarity.MAY_CLOUD.value: "black",
    Clarity.CLOUDY.value: "white",
    NO_LEACHATE: "currentColor",
}


def leachate_quantity(
    quantity: str, leachate: Iterable[Record] = (), *, water_top: float = 6.0
) -> alt.LayerChart:
    """One quantity of the leachate against the water applied, one line per column.

    Parameters
    ----------
    quantity : str
        Key of `soilx.show.stage_records.QUANTITIES`; signal "value_top".
    leachate : iterable of dict
        Rows of :func:`soilx.show.stage_records.quantity_records`; data source "leachate".
    water_top : float
        Right end of the axis [pore volumes]; signal "water_top".
    """
    across = alt.param(name="water_top", value=water_top)
    up = alt.param(name="value_top", value=50.0)
    x = alt.X("applied_pore_volumes:Q", title="Water applied, pore volumes", scale=from_zero_to("water_top"))
    y = alt.Y("value:Q", title=QUANTITIES[quantity].title, scale=from_zero_to("value_top"))
    order = "applied_pore_volumes:Q"
    mark = ION_MARKS.get(quantity, _NEUTRAL)
    pair = one_ion(source("leachate", leachate), x=x, y=y, order=order, mark=mark)
    names = names_beside(pair, beside="datum.applied_pore_volumes < 0.65 * water_top", shift="-12")
    return dressed(
        alt.LayerChart(layer=[ghost_line(x=x, y=y, order=order), *pair, *names]).add_params(across, up)
    )


def places_of_sodium() -> alt.LayerChart:
    """Each column's sodium as one bar: on the clay, in the water left, in the leachate.

    Data source "places", rows of :func:`soilx.show.stage_records.place_records`; signal "sodium_top" [mg/kg].
    """
    top = alt.param(name="sodium_top", value=1200.0)
    base = alt.Chart(source("places", ()))
    scale = from_zero_to("sodium_top")
    bars = base.mark_bar(stroke="currentColor", strokeWidth=1).encode(
        x=alt.X("from_mg_per_kg:Q", title="Sodium, mg/kg of soil", scale=scale),
        x2="to_mg_per_kg:Q",
        y=_bar_of_arm(),
        color=alt.Color(
            "place:N",
            legend=None,
            scale=alt.Scale(domain=list(PLACES), range=[_PLACE_FILL[place] for place in PLACES]),
        ),
    )
    ink = alt.ExprRef(_chosen("place", _PLACE_INK))
    middle = base.encode(x=alt.X("middle_mg_per_kg:Q", scale=scale), y=_bar_of_arm())
    number_fits = _fits("number", 11, "to_mg_per_kg - datum.from_mg_per_kg", "sodium_top")
    word_fits = _fits("name", 8, "to_mg_per_kg - datum.from_mg_per_kg", "sodium_top")
    numbers = middle.mark_text(fontSize=17, fontWeight="bold", fill=ink, dy=-8, opacity=number_fits)
    words = middle.mark_text(fontSize=14, fill=ink, dy=12, opacity=word_fits)
    names = _arm_names(base, first="datum.from_mg_per_kg == 0")
    layers = [bars, names, numbers.encode(text="number:N"), words.encode(text="name:N")]
    return _low(alt.LayerChart(layer=layers).add_params(top))


def clear_or_cloudy(*, water_top: float = 6.0) -> alt.LayerChart:
    """Each portion of leachate, clear or cloudy, at equal water for both columns.

    Data source "portions", rows of :func:`soilx.show.stage_records.clarity_records`; signal "water_top".
    """
    across = alt.param(name="water_top", value=water_top)
    base = alt.Chart(source("portions", ()))
    scale = from_zero_to("water_top")
    cups = base.mark_bar(stroke="currentColor", strokeWidth=1).encode(
        x=alt.X("from_pore_volumes:Q", title="Water applied, pore volumes", scale=scale),
        x2="to_pore_volumes:Q",
        y=_bar_of_arm(),
        color=alt.Color(
            "clarity:N",
            legend=None,
            scale=alt.Scale(domain=list(_CLARITY_FILL), range=list(_CLARITY_FILL.values())),
        ),
    )
    words = base.encode(
        x=alt.X("middle_pore_volumes:Q", scale=scale), y=_bar_of_arm(), text="clarity:N"
    ).mark_text(
        fontSize=14,
        fontWeight="bold",
        fill=alt.ExprRef(_chosen("clarity", _CLARITY_INK)),
        opacity=_fits("clarity", 9, "to_pore_volumes - datum.from_pore_volumes", "water_top"),
    )
    names = _arm_names(base, first="datum.from_pore_volumes == 0")
    return _low(alt.LayerChart(layer=[cups, names, words]).add_params(across))


def _bar_of_arm(position: float = 0.5) -> alt.Y:
    """One bar an arm, with room above it for the arm's name."""
    scale = alt.Scale(paddingInner=0.35, paddingOuter=0.3)
    return alt.Y("arm:N", sort=ARM_ORDER, axis=None, scale=scale, bandPosition=position)


def _arm_names(base: alt.Chart, *, first: str) -> alt.Chart:
    """The name of each arm above its bar; `first` tells the part that begins it."""
    names: alt.Chart = (
        base.transform_filter(first)
        .mark_text(align="left", baseline="bottom", dy=-4, fontSize=15, fontWeight="bold")
        .encode(x=alt.value(0), y=_bar_of_arm(0.0), text="arm:N")
    )
    return names


def _fits(field: str, letter: int, span: str, top: str) -> alt.ExprRef:
    """Opacity of a text that is left out where its part of the bar is narrower than its letters [px]."""
    return alt.ExprRef(f"(datum.{span}) / {top} * width > {letter} * length(datum.{field}) + 4 ? 1 : 0")


def _chosen(field: str, values: dict[str, str]) -> str:
    """An expression that picks the value of a datum's field."""
    *most, (_, last) = values.items()
    choice = f"'{last}'"
    for name, value in reversed(most):
        choice = f"datum.{field} == '{name}' ? '{value}' : ({choice})"
    return choice


def _low(chart: alt.LayerChart) -> alt.LayerChart:
    worn: alt.LayerChart = dressed(chart).properties(height=_BARS)
    return worn
