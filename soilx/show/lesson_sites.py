"""Clay drawn as sites of one charge each, for the exchange lesson; built once, then fed with ions."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

import altair as alt

from soilx.show.charts import dressed, source
from soilx.show.marks import ION_MARKS
from soilx.show.tables import Record

_SODIUM: Final = ION_MARKS["Na"]
_CALCIUM: Final = ION_MARKS["Ca"]
_INK: Final = "currentColor"

SITES_ACROSS: Final = 12
# Rows of the drawing from the top, in its own unit: water above, clay below, a heading over each.
WATER_ROWS: Final = (1.0, 1.95)
CLAY_ROWS: Final = (3.75, 4.85)
_BOTTOM: Final = 5.5
_SHORE: Final = 2.6


def sites(records: Iterable[Record] = ()) -> alt.LayerChart:
    """Clay drawn as sites of one charge each, with the ions on them, under the water that holds the rest.

    Parameters
    ----------
    records : iterable of dict
        ``symbol`` ("Na" or "Ca"), ``left``, ``middle``, ``right`` (in sites), ``top``, ``row``, ``bottom``;
        data source "ions".
    """
    x_scale = alt.Scale(domain=[0, SITES_ACROSS], nice=False)
    y_scale = alt.Scale(domain=[0, _BOTTOM], nice=False, reverse=True)
    place: dict[str, Any] = {"scale": y_scale, "axis": None}
    grounds = alt.Chart(
        alt.InlineData(
            values=[
                {"name": "In the water", "top": 0.0, "bottom": _SHORE, "heading": 0.32},
                {"name": "On the clay", "top": _SHORE, "bottom": _BOTTOM, "heading": _SHORE + 0.42},
            ]
        )
    )
    ground = grounds.mark_rect(stroke=_INK, strokeOpacity=0.35).encode(
        x=alt.value(0),
        x2=alt.value(alt.ExprRef("width")),
        y=alt.Y("top:Q", **place),
        y2="bottom:Q",
        fill=alt.Fill(
            "name:N",
            legend=None,
            scale=alt.Scale(
                domain=["In the water", "On the clay"], range=[ION_MARKS["Cl"].colour, "#8A3B12"]
            ),
        ),
        fillOpacity=alt.value(0.16),
    )
    heading = grounds.mark_text(align="left", baseline="middle", fontSize=14, fontWeight="bold").encode(
        x=alt.value(6), y=alt.Y("heading:Q", **place), text="name:N"
    )
    charges = (
        alt.Chart(
            alt.InlineData(
                values=[{"x": at + 0.5, "y": row + 0.54} for row in CLAY_ROWS for at in range(SITES_ACROSS)]
            )
        )
        .mark_text(text="−", fontSize=16, fontWeight="bold", baseline="middle")
        .encode(x=alt.X("x:Q", scale=x_scale, axis=None), y=alt.Y("y:Q", **place))
    )
    ions = alt.Chart(source("ions", records))
    words: dict[str, Any] = {
        "fontSize": alt.ExprRef("width < 420 ? 10 : 14"),
        "fontWeight": "bold",
        "baseline": "middle",
    }
    at: dict[str, Any] = {"x": alt.X("middle:Q", scale=x_scale, axis=None), "y": alt.Y("row:Q", **place)}
    sodium = ions.transform_filter("datum.symbol == 'Na'").encode(**at)
    calcium = ions.transform_filter("datum.symbol == 'Ca'")
    squares = calcium.mark_rect(fill=_CALCIUM.colour, cornerRadius=4).encode(
        x=alt.X("left:Q", scale=x_scale, axis=None), x2="right:Q", y=alt.Y("top:Q", **place), y2="bottom:Q"
    )
    circles = sodium.mark_point(
        shape=_SODIUM.marker,
        fill=_SODIUM.colour,
        stroke=None,
        opacity=1,
        size=alt.ExprRef(f"pow(min(0.9 * width / {SITES_ACROSS}, 36), 2)"),
    )
    return dressed(
        alt.LayerChart(
            layer=[
                ground,
                heading,
                charges,
                squares,
                circles,
                calcium.mark_text(text="Ca²⁺", fill="white", **words).encode(**at),
                sodium.mark_text(text="Na⁺", fill="black", **words),
            ]
        )
    )
