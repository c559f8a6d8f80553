"""The chart of the verification page: what soilx computes as lines, what others print as marks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

import altair as alt

from soilx.show.charts import dressed, source
from soilx.show.tables import Record

_PAPER: Final = "var(--background, Canvas)"


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How one series is drawn; no two on a chart share a dash and a marker.

    Attributes
    ----------
    colour : str
    dash : tuple of int
        Lengths of line and gap [px].
    marker : str
        A Vega symbol name.
    """

    colour: str
    dash: tuple[int, ...]
    marker: str


#: In the order in which a chart's series take them; every one reaches 3:1 on white paper.
LOOKS: Final[tuple[Look, ...]] = (
    Look(colour="#0072B2", dash=(1, 0), marker="circle"),
    Look(colour="#B34700", dash=(9, 4), marker="square"),
    Look(colour="#00795A", dash=(3, 3), marker="triangle-up"),
    Look(colour="#A0487F", dash=(12, 3, 3, 3), marker="diamond"),
    Look(colour="#6B5B00", dash=(2, 5), marker="triangle-down"),
    Look(colour="#3D3D3D", dash=(16, 4), marker="cross"),
)


def beside_print(
    names: Sequence[str],
    *,
    x: str,
    y: str,
    x_ends: tuple[float, float],
    y_ends: tuple[float, float],
) -> dict[str, Any]:
    """Specification of a chart with the sources "lines", "marks", "bands" and "words".

    Parameters
    ----------
    names : sequence of str
        Of the series, at most as many as there are `LOOKS`.
    x, y : str
        Axis titles, quantity and unit.
    x_ends, y_ends : tuple of float
        Ends of the axes.
    """
    looks = LOOKS[: len(names)]
    across = alt.X("x:Q", title=x, scale=alt.Scale(domain=list(x_ends), nice=False))
    up_scale = alt.Scale(domain=list(y_ends), nice=False)
    up = alt.Y("y:Q", title=y, scale=up_scale)

    def by_name(range_: list[Any]) -> alt.Scale:
        return alt.Scale(domain=list(names), range=range_)

    stroke = alt.Stroke("name:N", legend=None, scale=by_name([look.colour for look in looks]))
    lines = (
        alt.Chart(source("lines", ()))
        .mark_line(clip=True, strokeWidth=2.5)
        .encode(
            x=across,
            y=up,
            order="x:Q",
            stroke=stroke,
            strokeDash=alt.StrokeDash(
                "name:N", legend=None, scale=by_name([list(look.dash) for look in looks])
            ),
        )
    )
    bands = (
        alt.Chart(source("bands", ()))
        .mark_bar(fill=_PAPER, strokeWidth=2, width=9)
        .encode(x=across, y=alt.Y("low:Q", title=y, scale=up_scale), y2="high:Q", stroke=stroke)
    )
    marks = (
        alt.Chart(source("marks", ()))
        .mark_point(size=75, opacity=1, fill=_PAPER, strokeWidth=2)
        .encode(
            x=across,
            y=up,
            stroke=stroke,
            shape=alt.Shape("name:N", legend=None, scale=by_name([look.marker for look in looks])),
        )
    )
    words = alt.Chart(source("words", ())).encode(x=across, y=up, text="text:N")
    type_: dict[str, Any] = {
        "fontSize": 14,
        "baseline": "middle",
        "align": alt.ExprRef("datum.align"),
        "dx": alt.ExprRef("datum.align == 'left' ? 9 : datum.align == 'right' ? -9 : 0"),
        "dy": alt.ExprRef("datum.dy"),
    }
    rim = words.mark_text(**type_, stroke=_PAPER, strokeWidth=5, strokeJoin="round", fill=_PAPER)
    chart = alt.LayerChart(layer=[bands, lines, marks, rim, words.mark_text(**type_)])
    specification: dict[str, Any] = dressed(chart).to_dict()
    return specification


def line(name: str, x: Iterable[float], y: Iterable[float]) -> list[Record]:
    """Rows of one line."""
    return [{"name": name, "x": float(at), "y": float(value)} for at, value in zip(x, y, strict=True)]


def band(name: str, x: float, ends: tuple[float, float]) -> Record:
    """A printed range at one place."""
    return {"name": name, "x": x, "low": ends[0], "high": ends[1]}


def word(text: str, x: float, y: float, *, align: str = "left", dy: float = 0) -> Record:
    """A name beside what it names."""
    return {"text": text, "x": float(x), "y": float(y), "align": align, "dy": dy}


def filled(
    *,
    lines: Iterable[Record],
    marks: Iterable[Record] = (),
    bands: Iterable[Record] = (),
    words: Iterable[Record] = (),
) -> dict[str, list[Record]]:
    """Rows by source, as a page puts them into the specification."""
    return {"lines": list(lines), "marks": list(marks), "bands": list(bands), "words": list(words)}
