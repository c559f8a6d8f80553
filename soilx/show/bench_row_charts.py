"""Charts of a bench run with a row for each column or parameter: the budget, and what a fit is worth."""

from __future__ import annotations

from typing import Final

import altair as alt

from soilx.show.charts import dressed, from_zero_to, source
from soilx.show.marks import ION_MARKS, PLACES

_PAPER: Final = "var(--background, Canvas)"
_STEP: Final = 64


def closure_chart() -> alt.LayerChart:
    """Sodium found again, per column, with its error bar over the band within which a budget closes.

    Notes
    -----
    Data sources "columns" and "band"; signals "x_low" and "x_top" [%].
    """
    low, top = alt.param(name="x_low", value=50), alt.param(name="x_top", value=150)
    scale = alt.Scale(domainMin=alt.ExprRef("x_low"), domainMax=alt.ExprRef("x_top"), nice=False, zero=False)
    axis = alt.Axis(labelOverlap=True)
    x = alt.X("closure:Q", title="Sodium found again, % of what was there", scale=scale, axis=axis)
    y = alt.Y("name:N", sort=None, axis=None, scale=alt.Scale(padding=0.1))
    band = (
        alt.Chart(source("band", ()))
        .mark_rect(fill="currentColor", fillOpacity=0.12)
        .encode(x=alt.X("low:Q", scale=scale), x2="high:Q")
    )
    whole = (
        alt.Chart(source("band", ()))
        .mark_rule(stroke="currentColor", strokeDash=[2, 4])
        .encode(x=alt.X("whole:Q", scale=scale))
    )
    base = alt.Chart(source("columns", ()))
    found = base.transform_filter("datum.told")
    mark = ION_MARKS["Na"]
    bars = found.mark_rule(stroke=mark.colour, strokeWidth=3, yOffset=14).encode(
        x=alt.X("low:Q", scale=scale), x2="high:Q", y=y
    )
    points = found.mark_point(
        size=130, shape=mark.marker, fill=mark.colour, stroke=mark.colour, opacity=1, yOffset=14
    ).encode(x=x, y=y)
    names = base.mark_text(align="left", yOffset=-14, fontSize=14, fontWeight="bold").encode(
        x=alt.value(0), y=y, text="said:N"
    )
    chart = alt.LayerChart(layer=[band, whole, bars, points, names]).add_params(low, top)
    return _by_rows(chart)


def sodium_account() -> alt.LayerChart:
    """Where each column's sodium was before and after, laid end to end.

    Notes
    -----
    Data sources "parts" and "names"; signal "sodium_top" [mmol_c/100 g].
    """
    top = alt.param(name="sodium_top", value=8)
    x = alt.X("from:Q", title="Sodium, mmol_c per 100 g of soil", scale=from_zero_to("sodium_top"))
    y = alt.Y("name:N", sort=None, axis=None, scale=alt.Scale(padding=0.1))
    shade = alt.Fill(
        "place:N",
        scale=alt.Scale(domain=list(_PLACES), range=list(_PLACES.values())),
        legend=alt.Legend(
            title=None,
            orient="top",
            columns=2,
            labelFontSize=14,
            labelLimit=300,
            symbolType="square",
            symbolSize=200,
            symbolStrokeColor="currentColor",
            labelColor="currentColor",
        ),
    )
    base = alt.Chart(source("parts", ()))
    bars = base.mark_bar(height=26, yOffset=14, stroke="currentColor", strokeWidth=1).encode(
        x=x, x2="to:Q", y=y, fill=shade, order="from:Q"
    )
    numbers = (
        base.transform_filter("datum.wide")
        .mark_text(
            yOffset=14,
            fontSize=14,
            fontWeight="bold",
            fill=alt.ExprRef("datum.place == 'on the clay' ? 'white' : 'black'"),
        )
        .encode(x=alt.X("middle:Q", scale=from_zero_to("sodium_top")), y=y, text="number:N")
    )
    names = (
        alt.Chart(source("names", ()))
        .mark_text(align="left", yOffset=-14, fontSize=14, fontWeight="bold")
        .encode(x=alt.value(0), y=y, text="said:N")
    )
    return _by_rows(alt.LayerChart(layer=[bars, numbers, names]).add_params(top))


#: The same shades as on every page, with the words of a bench run.
_PLACES: Final = dict(zip(("on the clay", "dissolved", "in the leachate"), PLACES.values(), strict=True))


def interval_chart() -> alt.LayerChart:
    """Each fitted parameter within what was searched: before, after, and its 95 % interval.

    Notes
    -----
    Data source "parameters"; positions are shares of the search, on its own scale [%].
    """
    scale = alt.Scale(domain=[0, 100], nice=False)
    x = alt.X("at:Q", title="Place within all that was searched, %", scale=scale)
    y = alt.Y("title:N", sort=None, axis=None, scale=alt.Scale(padding=0.1))
    base = alt.Chart(source("parameters", ()))
    track = base.mark_rule(stroke="currentColor", strokeOpacity=0.3, strokeWidth=1, yOffset=14).encode(
        x=alt.X("whole_low:Q", scale=scale), x2="whole_high:Q", y=y
    )
    bars = base.mark_rule(stroke="currentColor", strokeWidth=5, strokeOpacity=0.55, yOffset=14).encode(
        x=alt.X("low:Q", scale=scale), x2="high:Q", y=y
    )
    before = base.mark_point(
        shape="diamond", size=130, strokeWidth=2, stroke="currentColor", fill=_PAPER, opacity=1, yOffset=14
    ).encode(x=alt.X("before:Q", scale=scale), y=y)
    after = base.mark_point(
        shape="circle", size=130, stroke="currentColor", fill="currentColor", opacity=1, yOffset=14
    ).encode(x=x, y=y)
    names = base.mark_text(align="left", yOffset=-14, fontSize=14, fontWeight="bold").encode(
        x=alt.value(0), y=y, text="said:N"
    )
    return _by_rows(alt.LayerChart(layer=[track, bars, before, after, names]))


def _by_rows(chart: alt.LayerChart) -> alt.LayerChart:
    """As high as it has rows."""
    worn: alt.LayerChart = dressed(chart).properties(height=alt.Step(_STEP))
    return worn
