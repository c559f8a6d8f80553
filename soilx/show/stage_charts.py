"""Charts of the lecture's later stages: what drains, where the sodium is, clear or cloudy."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

import altair as alt

from soilx.show.charts import (
    dressed,
    from_zero_to,
    ghost_line,
    kept_lines,
    line_names,
    pair_of_lines,
    source,
)
from soilx.show.marks import CLARITY_SHADES, INK_MARK, ION_MARKS, PLACES, TREATED, UNTREATED
from soilx.show.tables import Record

CURVE_HEIGHT: Final = 170
_ROW: Final = 84
_ARMS: Final = [TREATED, UNTREATED]


def leachate_curve(
    leachate: Iterable[Record] = (),
    before: Iterable[Record] = (),
    kept: Iterable[Record] = (),
    *,
    title: str,
    ion: str | None = None,
    water_top: float = 4.0,
    value_top: float = 50.0,
    height: int = CURVE_HEIGHT,
) -> alt.LayerChart:
    """One property of the leachate against the water applied, a line per column and one for before.

    Parameters
    ----------
    leachate : iterable of dict
        Rows of :func:`soilx.show.stage_records.curve_records`; data source "leachate".
    before : iterable of dict
        Rows of :func:`soilx.show.stage_records.curve_before`; data source "before".
    kept : iterable of dict
        Rows of :func:`soilx.show.kept_records.curves`; data source "kept".
    title : str
        Of the upright axis, quantity and unit.
    ion : str, optional
        Its symbol, whose colour, dash and marker the lines wear; ink where it is no ion.
    water_top : float
        Right end of the axis [pore volumes]; signal "water_top".
    value_top : float
        Upper end of the axis; signal "value_top".
    height : int
        Of the plot [px].
    """
    across = alt.param(name="water_top", value=water_top)
    up = alt.param(name="value_top", value=value_top)
    x = alt.X("x:Q", title="Water, pore volumes", scale=from_zero_to("water_top"))
    y = alt.Y("y:Q", title=title, scale=from_zero_to("value_top"))
    mark = ION_MARKS[ion] if ion else INK_MARK
    ghost = ghost_line(source("before", before), x=x, y=y, order="x:Q")
    frozen = kept_lines(source("kept", kept), x=x, y=y, order="x:Q")
    pair = pair_of_lines(source("leachate", leachate), x=x, y=y, order="x:Q", mark=mark)
    beside = "datum.x < 0.45 * water_top"
    # The treated name far to the right would stand on the fall before it.
    below = f"datum.arm == '{TREATED}' && datum.x > 0.5 * water_top && datum.y > 0.2 * value_top ? 14 : -10"
    return dressed(
        alt.LayerChart(
            layer=[
                ghost,
                frozen,
                *pair,
                *line_names((ghost,), beside=beside, shift="-10"),
                *line_names((frozen,), beside=beside, shift="-10"),
                *line_names(pair, beside=beside, shift=below),
            ]
        ).add_params(across, up),
        height=height,
    )


def sodium_places(
    places: Iterable[Record] = (), totals: Iterable[Record] = (), *, sodium_top: float = 1500.0
) -> alt.LayerChart:
    """Where the sodium of each column is, stacked: on the clay, in the water left, in the leachate.

    Parameters
    ----------
    places : iterable of dict
        Rows of :func:`soilx.show.stage_records.place_records`; data source "places".
    totals : iterable of dict
        Rows of :func:`soilx.show.stage_records.place_totals`; data source "totals".
    sodium_top : float
        Right end of the axis [mg/kg]; signal "sodium_top".
    """
    top = alt.param(name="sodium_top", value=sodium_top)
    axis = alt.Axis(format="d", labelOverlap=True)
    x = alt.X("from_mg_per_kg:Q", title="Sodium, mg/kg", scale=from_zero_to("sodium_top"), axis=axis)
    y = alt.Y("arm:N", sort=_ARMS, axis=None, scale=alt.Scale(domain=_ARMS, padding=0.1))
    shade = alt.Fill(
        "place:N",
        scale=alt.Scale(domain=list(PLACES), range=list(PLACES.values())),
        legend=alt.Legend(
            title=None,
            orient="top",
            columns=2,
            labelFontSize=15,
            labelLimit=300,
            symbolType="square",
            symbolSize=220,
            symbolStrokeColor="currentColor",
            labelColor="currentColor",
        ),
    )
    base = alt.Chart(source("places", places))
    bars = base.mark_bar(height=34, yOffset=14, stroke="currentColor", strokeWidth=1).encode(
        x=x, x2="to_mg_per_kg:Q", y=y, fill=shade, order="from_mg_per_kg:Q"
    )
    numbers = (
        base.transform_filter("datum.wide")
        .mark_text(
            yOffset=14,
            fontSize=15,
            fontWeight="bold",
            fill=alt.ExprRef("datum.place == 'on the clay' ? 'white' : 'black'"),
        )
        .encode(x=alt.X("middle_mg_per_kg:Q", scale=from_zero_to("sodium_top")), y=y, text="number:N")
    )
    names = (
        alt.Chart(source("totals", totals))
        .mark_text(align="left", baseline="middle", yOffset=-16, fontSize=14, fontWeight="bold")
        .encode(x=alt.value(0), y=y, text="said:N")
    )
    return dressed(alt.LayerChart(layer=[bars, numbers, names]).add_params(top), height=2 * _ROW)


def clarity_by_portion(portions: Iterable[Record] = (), *, water_top: float = 4.0) -> alt.LayerChart:
    """Clear, may cloud or cloudy, portion by portion downwards, both columns at equal water.

    Parameters
    ----------
    portions : iterable of dict
        Rows of :func:`soilx.show.stage_records.clarity_records`; data source "portions".
    water_top : float
        Lower end of the axis [pore volumes]; signal "water_top".
    """
    top = alt.param(name="water_top", value=water_top)
    scale = alt.Scale(domainMin=0, domainMax=alt.ExprRef("water_top"), nice=False, reverse=True)
    where = alt.X(
        "arm:N",
        sort=_ARMS,
        scale=alt.Scale(domain=_ARMS, paddingInner=0.12, paddingOuter=0.02),
        axis=alt.Axis(
            title=None, orient="top", labelAngle=0, labelFontWeight="bold", ticks=False, domain=False
        ),
    )
    base = alt.Chart(source("portions", portions))
    cups = base.mark_rect(stroke="currentColor", strokeOpacity=0.5, strokeWidth=1).encode(
        x=where,
        y=alt.Y("from_pv:Q", title="Water applied, pore volumes", scale=scale, axis=alt.Axis(grid=False)),
        y2="to_pv:Q",
        fill=alt.Fill(
            "clarity:N",
            legend=None,
            scale=alt.Scale(domain=list(CLARITY_SHADES), range=list(CLARITY_SHADES.values())),
        ),
    )
    ink = "datum.clarity == 'cloudy' ? 'white' : datum.clarity == 'no leachate' ? 'currentColor' : 'black'"
    words = base.mark_text(fontSize=15, fontWeight="bold", fill=alt.ExprRef(ink)).encode(
        x=where, y=alt.Y("middle_pv:Q", scale=scale), text="clarity:N"
    )
    return dressed(alt.LayerChart(layer=[cups, words]).add_params(top))
