"""Charts of tidy records: each is built once, and later only its data and its named limits change.

Every chart takes records of ``soilx.show.tables`` (none, for a live chart) and computes nothing. Text and
axes take the colour of the page around them (``currentColor``), so one chart serves bright and dark rooms.
"""

from __future__ import annotations

import functools
import json
from collections.abc import Callable, Iterable, Sequence
from typing import Any, Final

import altair as alt

from soilx.show.marks import (
    ARM_DASHES,
    BEFORE_DASH,
    GUESS_DASH,
    ION_MARKS,
    KEPT_DASHES,
    SODIUM_RAMP,
    TREATED,
    UNTREATED,
    Mark,
)
from soilx.show.tables import Record

HEIGHT: Final = 300

# From this share of the darkest shade on, white reads better than black on it.
WHITE_NUMBERS_ABOVE: Final = 0.577
_FONT: Final = "system-ui, sans-serif"
_ARMS: Final = [TREATED, UNTREATED]
# The page's background, wherever the page says what that is.
_PAPER: Final = "var(--background, Canvas)"
_SODIUM: Final = ION_MARKS["Na"]


@functools.cache
def _written(build: Callable[..., alt.LayerChart], settings: tuple[tuple[str, Any], ...]) -> str:
    return build(**dict(settings)).to_json(indent=None)


def specification(build: Callable[..., alt.LayerChart], **settings: Any) -> dict[str, Any]:
    """The specification of a chart without records, built once: to build one takes a tenth of a second.

    Parameters
    ----------
    build : callable
        Makes the chart.
    **settings
        What it is given.
    """
    spec: dict[str, Any] = json.loads(_written(build, tuple(settings.items())))
    return spec


def soil_columns(
    layers: Iterable[Record] = (),
    columns: Iterable[Record] = (),
    *,
    esp_top: float = 20.0,
    depth_bottom: float = 15.0,
    height: int = HEIGHT,
    order: Sequence[str] | None = tuple(_ARMS),
) -> alt.LayerChart:
    """Two columns drawn as soil, each layer as dark as its exchangeable sodium and labelled with it.

    Parameters
    ----------
    layers : iterable of dict
        Rows of :func:`soilx.show.tables.layer_records`; data source "layers".
    columns : iterable of dict
        Rows of :func:`soilx.show.tables.column_records`; data source "columns".
    esp_top : float
        Exchangeable sodium that is drawn darkest [%]; signal "esp_top".
    depth_bottom : float
        Lower edge of the drawing [cm]; signal "depth_bottom".
    height : int
        Of the drawn soil [px].
    order : sequence of str, optional
        Names of the columns from left to right; as they come in the data where it is None.

    Notes
    -----
    With the signal "numbers" at 0 the soil is drawn and nothing is written on it.
    """
    top = alt.param(name="esp_top", value=esp_top)
    bottom = alt.param(name="depth_bottom", value=depth_bottom)
    written = alt.param(name="numbers", value=1)
    sort = list(order) if order is not None else None
    where = alt.X("arm:N", sort=sort, axis=None, scale=alt.Scale(paddingInner=0.12, paddingOuter=0.02))
    base = alt.Chart(source("layers", layers))
    soil = base.mark_rect(stroke="currentColor", strokeOpacity=0.35, strokeWidth=0.5).encode(
        x=where,
        y=_depth("top_cm", grid=False),
        y2="bottom_cm:Q",
        color=alt.Color(
            "esp_pct:Q",
            legend=None,
            scale=alt.Scale(
                range=list(SODIUM_RAMP), domainMin=0, domainMax=alt.ExprRef("esp_top"), clamp=True
            ),
        ),
    )
    numbers = base.mark_text(
        fontSize=14,
        fontWeight="bold",
        opacity=alt.ExprRef("numbers"),
        fill=alt.ExprRef(f"datum.esp_pct > {WHITE_NUMBERS_ABOVE} * esp_top ? 'white' : 'black'"),
    ).encode(x=where, y=_depth("middle_cm", grid=False), text=alt.Text("esp_pct:Q", format=".1f"))
    heads = alt.Chart(source("columns", columns))
    names = heads.mark_text(fontSize=15, fontWeight="bold", baseline="bottom").encode(
        x=where, y=alt.value(-8), text="arm:N"
    )
    outcome = heads.mark_text(
        fontSize=14, baseline="top", lineBreak="\n", opacity=alt.ExprRef("numbers")
    ).encode(x=where, y=alt.value(height + 8), text="outcome:N")
    return dressed(
        alt.LayerChart(layer=[soil, numbers, names, outcome]).add_params(top, bottom, written), height=height
    )


def exchangeable_sodium_by_depth(
    layers: Iterable[Record] = (),
    start: Iterable[Record] = (),
    before: Iterable[Record] = (),
    kept: Iterable[Record] = (),
    guess: Iterable[Record] = (),
    *,
    esp_top: float = 20.0,
    depth_bottom: float = 15.0,
    height: int = HEIGHT,
) -> alt.LayerChart:
    """Exchangeable sodium against depth, one line per column and one for the start.

    Parameters
    ----------
    layers : iterable of dict
        Rows of :func:`soilx.show.tables.layer_records`; data source "layers".
    start : iterable of dict
        Rows of :func:`soilx.show.tables.start_records`; data source "start".
    before : iterable of dict
        ``middle_cm``, ``esp_pct``, ``label`` of the setting before; data source "before".
    kept : iterable of dict
        The same with ``letter``, of curves that were kept; data source "kept".
    guess : iterable of dict
        ``esp_pct``, ``label`` of what was guessed; data source "guess".
    esp_top : float
        Right end of the axis [%]; signal "esp_top".
    depth_bottom : float
        Lower end of the axis [cm]; signal "depth_bottom".
    height : int
        Of the plot [px].
    """
    top = alt.param(name="esp_top", value=esp_top)
    bottom = alt.param(name="depth_bottom", value=depth_bottom)
    sodium = alt.X("esp_pct:Q", title="Exchangeable sodium, %", scale=from_zero_to("esp_top"))
    began = alt.Chart(source("start", start)).encode(x=sodium, y=_depth("middle_cm"))
    begin = began.mark_line(stroke="currentColor", strokeDash=[2, 4], strokeWidth=1.5)
    ghost = ghost_line(source("before", before), x=sodium, y=_depth("middle_cm"), order="middle_cm:Q")
    frozen = kept_lines(source("kept", kept), x=sodium, y=_depth("middle_cm"), order="middle_cm:Q")
    guessed = alt.Chart(source("guess", guess)).encode(x=sodium)
    across = guessed.mark_rule(stroke="currentColor", strokeDash=list(GUESS_DASH), strokeWidth=3)
    called = alt.Chart(guessed.data).encode(x=sodium, y=alt.value(height - 12), text=alt.Text("label:N"))
    pair = pair_of_lines(source("layers", layers), x=sodium, y=_depth("middle_cm"), order="middle_cm:Q")
    beside = "datum.esp_pct < 0.7 * esp_top"
    names = [
        *line_names((began,), beside="true", shift="10"),
        *line_names((ghost,), beside=beside, shift="0"),
        *line_names((frozen,), beside=beside, shift="0"),
        *line_names(pair, beside=beside, shift="0"),
        *line_names((called,), beside=beside, shift="0"),
    ]
    drawn = [begin, ghost, frozen, across, *pair, *names]
    return dressed(alt.LayerChart(layer=drawn).add_params(top, bottom), height=height)


def source(name: str, records: Iterable[Record]) -> alt.InlineData:
    """Named data, so that a live view can swap it."""
    return alt.InlineData(values=list(records), name=name)


def from_zero_to(signal: str) -> alt.Scale:
    """An axis whose far end is a signal: it stays where it is while the data move."""
    return alt.Scale(domainMin=0, domainMax=alt.ExprRef(signal), nice=False, zero=True)


def _depth(field: str, *, grid: bool = True) -> alt.Y:
    """Depth downwards from the surface."""
    scale = alt.Scale(domainMin=0, domainMax=alt.ExprRef("depth_bottom"), nice=False, reverse=True)
    return alt.Y(f"{field}:Q", title="Depth, cm", scale=scale, axis=alt.Axis(grid=grid))


def pair_of_lines(
    data: alt.InlineData, *, x: alt.X, y: alt.Y, order: str, mark: Mark = _SODIUM
) -> tuple[alt.Chart, alt.Chart]:
    """Both columns' lines of one thing, in its colour: broken where untreated; markers filled or open."""
    base = alt.Chart(data).encode(x=x, y=y, detail="arm:N")
    dashes = alt.Scale(domain=_ARMS, range=[list(mark.dash), list(ARM_DASHES[UNTREATED])])
    lines = base.mark_line(stroke=mark.colour, strokeWidth=3).encode(
        strokeDash=alt.StrokeDash("arm:N", legend=None, scale=dashes), order=order
    )
    points = base.transform_filter("datum.marked").mark_point(
        shape=mark.marker,
        size=70,
        strokeWidth=2,
        opacity=1,
        stroke=mark.colour,
        fill=alt.ExprRef(f"datum.arm == '{TREATED}' ? '{mark.colour}' : '{_PAPER}'"),
    )
    return lines, points


def ghost_line(data: alt.InlineData, *, x: alt.X, y: alt.Y, order: str) -> alt.Chart:
    """The treated column's line as it was before: grey, dotted, without markers."""
    line = alt.Chart(data).mark_line(
        stroke="currentColor", strokeOpacity=0.55, strokeDash=list(BEFORE_DASH), strokeWidth=3
    )
    drawn: alt.Chart = line.encode(x=x, y=y, order=order)
    return drawn


def kept_lines(data: alt.InlineData, *, x: alt.X, y: alt.Y, order: str) -> alt.Chart:
    """Curves that were kept, by letter: ink, thin, each with its own dash."""
    dashes = alt.Scale(domain=list(KEPT_DASHES), range=[list(dash) for dash in KEPT_DASHES.values()])
    line = alt.Chart(data).mark_line(stroke="currentColor", strokeOpacity=0.8, strokeWidth=2)
    drawn: alt.Chart = line.encode(
        x=x, y=y, order=order, strokeDash=alt.StrokeDash("letter:N", legend=None, scale=dashes)
    )
    return drawn


def line_names(charts: Sequence[alt.Chart], *, beside: str, shift: str) -> tuple[alt.Chart, alt.Chart]:
    """Each line's name next to it, on a rim of the page's own colour so that it reads across other lines.

    ``beside`` says when the name stands right of its point (left otherwise), ``shift`` how far below it [px].
    """
    named = alt.Chart(charts[0].data).encode(
        x=charts[0].encoding.x, y=charts[0].encoding.y, text=alt.Text("label:N")
    )
    text: dict[str, Any] = {
        "fontSize": 14,
        "fontWeight": "bold",
        "baseline": "middle",
        "align": alt.ExprRef(f"{beside} ? 'left' : 'right'"),
        "dx": alt.ExprRef(f"{beside} ? 10 : -10"),
        "dy": alt.ExprRef(shift),
    }
    shown = named.transform_filter("datum.label != ''")
    rim = shown.mark_text(**text, stroke=_PAPER, strokeWidth=5, strokeJoin="round", fill=_PAPER)
    return rim, shown.mark_text(**text)


def dressed(chart: alt.LayerChart, *, height: int = HEIGHT) -> alt.LayerChart:
    """The chart as wide as its place, in type that is read from the back row, without colours of its own."""
    worn: alt.LayerChart = (
        chart.properties(
            width="container",
            height=height,
            autosize=alt.AutoSizeParams(type="fit-x", contains="padding", resize=True),
        )
        .configure(font=_FONT, background="transparent", padding=4)
        .configure_view(stroke=None)
        .configure_text(fill="currentColor")
        .configure_axis(
            labelColor="currentColor",
            titleColor="currentColor",
            gridColor="currentColor",
            domainColor="currentColor",
            tickColor="currentColor",
            labelFontSize=14,
            titleFontSize=14,
            titleFontWeight="normal",
            gridOpacity=0.15,
            tickCount=5,
        )
    )
    return worn
