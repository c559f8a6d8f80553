"""Pictures of the exchange lesson: curves and bars; built once, then fed with records."""

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
_PAPER: Final = "var(--background, Canvas)"
_INK: Final = "currentColor"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """How one kind of curve is drawn: colour, lengths of line and gap [px]."""

    colour: str
    dash: tuple[int, ...]


# What the clay holds is sodium, so its curves share sodium's colour; no dash here is an ion's but the first.
LINES: Final[Mapping[str, Line]] = MappingProxyType(
    {
        "first": Line(colour=_SODIUM.colour, dash=_SODIUM.dash),
        "second": Line(colour=_SODIUM.colour, dash=ARM_DASHES[UNTREATED]),
        "third": Line(colour=_SODIUM.colour, dash=(2, 3)),
        "plain": Line(colour=_INK, dash=(1, 0)),
        "reference": Line(colour=_INK, dash=(2, 4)),
    }
)


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
    drawn = alt.Chart(source("curves", records)).encode(x=across, y=up, detail="line:N", order="x:Q")
    stroke = alt.Stroke("kind:N", legend=None, scale=_by_kind([line.colour for line in LINES.values()]))
    dash = alt.StrokeDash("kind:N", legend=None, scale=_by_kind([list(line.dash) for line in LINES.values()]))
    lines = [
        drawn.transform_filter(f"datum.kind {which} 'reference'")
        .mark_line(clip=True, strokeWidth=width)
        .encode(stroke=stroke, strokeDash=dash)
        for which, width in (("==", 1.5), ("!=", 3.0))
    ]
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
            layer=[band, *lines, rule, *_texts(names), cross, *_texts(guess), point, *_texts(now, bold=True)]
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
