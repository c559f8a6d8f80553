"""Pictures of the exchange lesson: curves, bars, and the sites of clay; built once, then fed with records."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

import altair as alt

from soilx.show.charts import dressed, source
from soilx.show.marks import ARM_DASHES, ION_MARKS, UNTREATED
from soilx.show.tables import Record

_SODIUM: Final = ION_MARKS["Na"]
_CALCIUM: Final = ION_MARKS["Ca"]
_PAPER: Final = "var(--background, Canvas)"
_INK: Final = "currentColor"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """How one kind of curve is drawn: colour, lengths of line and gap [px], width [px]."""

    colour: str
    dash: tuple[int, ...]
    width: float


# What the clay holds is sodium, so its curves share sodium's colour; no dash here is an ion's but the first.
LINES: Final[Mapping[str, Line]] = MappingProxyType(
    {
        "first": Line(colour=_SODIUM.colour, dash=_SODIUM.dash, width=3),
        "second": Line(colour=_SODIUM.colour, dash=ARM_DASHES[UNTREATED], width=3),
        "third": Line(colour=_SODIUM.colour, dash=(2, 3), width=3),
        "plain": Line(colour=_INK, dash=(1, 0), width=3),
        "reference": Line(colour=_INK, dash=(2, 4), width=1.5),
    }
)

SITES_ACROSS: Final = 12
# Rows of the drawing from the top, in its own unit: water above, clay below, a heading over each.
WATER_ROWS: Final = (1.0, 1.95)
CLAY_ROWS: Final = (3.75, 4.85)
_BOTTOM: Final = 5.5
_SHORE: Final = 2.6


def curves(
    records: Iterable[Record] = (),
    *,
    x: str,
    y: str,
    x_ends: tuple[float, float],
    y_ends: tuple[float, float],
) -> alt.LayerChart:
    """Curves with a mark where the slider stands and a cross where the guess was.

    Parameters
    ----------
    records : iterable of dict
        Rows of `soilx.show.lesson_records.line`; data source "curves". The sources "band", "names", "now" and
        "guess", of the functions of those names there, start empty.
    x, y : str
        Axis titles, quantity and unit.
    x_ends, y_ends : tuple of float
        Ends of the axes.
    """
    across = alt.X("x:Q", title=x, scale=alt.Scale(domain=list(x_ends), nice=False))
    up_scale = alt.Scale(domain=list(y_ends), nice=False)
    up = alt.Y("y:Q", title=y, scale=up_scale)
    band = (
        alt.Chart(source("band", ()))
        .mark_area(fill=_SODIUM.colour, fillOpacity=0.18)
        .encode(x=across, y=alt.Y("low:Q", title=y, scale=up_scale), y2="high:Q")
    )
    lines = (
        alt.Chart(source("curves", records))
        .mark_line(clip=True)
        .encode(
            x=across,
            y=up,
            detail="line:N",
            order="x:Q",
            stroke=alt.Stroke(
                "kind:N", legend=None, scale=_by_kind([line.colour for line in LINES.values()])
            ),
            strokeDash=alt.StrokeDash(
                "kind:N", legend=None, scale=_by_kind([list(line.dash) for line in LINES.values()])
            ),
            strokeWidth=alt.StrokeWidth(
                "kind:N", legend=None, scale=_by_kind([line.width for line in LINES.values()])
            ),
        )
    )
    now = alt.Chart(source("now", ())).encode(x=across, y=up)
    rule = alt.Chart(source("now", ())).mark_rule(stroke=_INK, strokeOpacity=0.45).encode(x=across)
    point = now.mark_point(shape="circle", size=110, opacity=1, stroke=_PAPER, strokeWidth=2).encode(
        fill=alt.Fill("kind:N", legend=None, scale=_by_kind([line.colour for line in LINES.values()]))
    )
    guess = alt.Chart(source("guess", ())).encode(x=across, y=up)
    cross = guess.mark_point(
        shape="M-1,-1L1,1M-1,1L1,-1", size=60, opacity=1, stroke=_INK, strokeWidth=2.5, fill=None
    )
    names = alt.Chart(source("names", ())).encode(x=across, y=up)
    return dressed(
        alt.LayerChart(
            layer=[band, lines, rule, *_texts(names), cross, *_texts(guess), point, *_texts(now, bold=True)]
        )
    )


def bars(
    records: Iterable[Record] = (), *, x: str, x_top: float, colours: Mapping[str, str], order: Sequence[str]
) -> alt.LayerChart:
    """Bars under each other, each with its name above it and its number at its end.

    Parameters
    ----------
    records : iterable of dict
        ``name``, ``value``, ``text``; data source "bars".
    x : str
        Axis title, quantity and unit.
    x_top : float
        Right end of the axis.
    colours : mapping of str to str
        Colour by name.
    order : sequence of str
        Names from top to bottom.
    """
    base = alt.Chart(source("bars", records)).encode(
        y=alt.Y("name:N", sort=list(order), axis=None, scale=alt.Scale(domain=list(order), padding=0.1))
    )
    across = alt.X("value:Q", title=x, scale=alt.Scale(domain=[0, x_top], nice=False))
    drawn = base.mark_bar(height=22, yOffset=10).encode(
        x=across,
        fill=alt.Fill(
            "name:N",
            legend=None,
            scale=alt.Scale(domain=list(order), range=[colours[name] for name in order]),
        ),
    )
    numbers = base.mark_text(
        align="left", baseline="middle", dx=6, yOffset=10, fontSize=14, fontWeight="bold"
    )
    titles = base.mark_text(align="left", baseline="middle", yOffset=-13, fontSize=14)
    return dressed(
        alt.LayerChart(
            layer=[
                drawn,
                numbers.encode(x=across, text="text:N"),
                titles.encode(x=alt.value(0), text="name:N"),
            ]
        )
    )


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
        "fontSize": alt.ExprRef("width < 420 ? 11 : 14"),
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


def _by_kind(looks: list[Any]) -> alt.Scale:
    return alt.Scale(domain=list(LINES), range=looks)


def _texts(chart: alt.Chart, *, bold: bool = False) -> tuple[alt.Chart, alt.Chart]:
    """Words beside their points, on a rim of the page's own colour so that they read across lines."""
    look: dict[str, Any] = {
        "fontSize": 14,
        "fontWeight": "bold" if bold else "normal",
        "baseline": "middle",
        "align": alt.ExprRef("datum.align"),
        "dx": alt.ExprRef("datum.align == 'left' ? 11 : datum.align == 'right' ? -11 : 0"),
        "dy": alt.ExprRef("datum.dy"),
    }
    named = chart.encode(text="text:N")
    return (
        named.mark_text(**look, stroke=_PAPER, strokeWidth=5, strokeJoin="round", fill=_PAPER),
        named.mark_text(**look),
    )
