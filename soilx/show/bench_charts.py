"""Charts of a bench run with axes: strengths over the prediction, and what a fit leaves of them."""

from __future__ import annotations

from typing import Any, Final

import altair as alt

from soilx.show.bench_marks import ARM_LOOKS
from soilx.show.charts import dressed, from_zero_to, line_names, source
from soilx.show.marks import BEFORE_DASH, GUESS_DASH, INK_MARK, ION_MARKS

_PAPER: Final = "var(--background, Canvas)"
_ARMS: Final = list(ARM_LOOKS)
_DASHES: Final = [list(dash) for dash, _, _ in ARM_LOOKS.values()]


def strength_chart(*, title: str, ion: str, height: int = 260) -> alt.LayerChart:
    """Strength of the leachate against its amount: lines by the model, markers as read.

    Parameters
    ----------
    title : str
        Of the upright axis, quantity and unit.
    ion : str
        Its symbol, whose colour it wears; ink where empty.
    height : int
        Of the plot [px].

    Notes
    -----
    Data sources "predicted", "before" (grey dots), "measured" and "guess" (``y``, ``label``, drawn across);
    signals "x_top" and "y_top".
    """
    colour = (ION_MARKS[ion] if ion else INK_MARK).colour
    across, up = alt.param(name="x_top", value=400), alt.param(name="y_top", value=1000)
    x = alt.X("x:Q", title="Leachate caught, mL", scale=from_zero_to("x_top"))
    y = alt.Y("y:Q", title=title, scale=from_zero_to("y_top"))
    ghost = (
        alt.Chart(source("before", ()))
        .mark_line(stroke="currentColor", strokeOpacity=0.55, strokeDash=list(BEFORE_DASH), strokeWidth=2.5)
        .encode(x=x, y=y, detail=["arm:N", "name:N"], order="x:Q")
    )
    lines = (
        alt.Chart(source("predicted", ()))
        .mark_line(stroke=colour, strokeWidth=2.5)
        .encode(
            x=x,
            y=y,
            detail=["arm:N", "name:N"],
            order="x:Q",
            strokeDash=alt.StrokeDash("arm:N", legend=None, scale=alt.Scale(domain=_ARMS, range=_DASHES)),
        )
    )
    read = alt.Chart(source("measured", ())).encode(x=x)
    errors = read.mark_rule(stroke=colour, strokeWidth=1.5).encode(
        y=alt.Y("low:Q", scale=from_zero_to("y_top")), y2="high:Q"
    )
    points = read.mark_point(
        size=90,
        strokeWidth=2,
        opacity=1,
        stroke=colour,
        fill=alt.ExprRef(f"datum.filled ? '{colour}' : '{_PAPER}'"),
    ).encode(
        y=y,
        shape=alt.Shape(
            "shape:N",
            legend=None,
            scale=alt.Scale(
                domain=["circle", "square", "diamond", "triangle-up", "cross"],
                range=["circle", "square", "diamond", "triangle-up", "cross"],
            ),
        ),
    )
    beside = "datum.x < 0.55 * x_top"
    names = [
        *line_names((ghost,), beside=beside, shift="12"),
        *line_names((lines,), beside=beside, shift="-10"),
    ]
    guessed = alt.Chart(source("guess", ())).encode(y=alt.Y("y:Q", scale=from_zero_to("y_top")))
    across_it = guessed.mark_rule(stroke="currentColor", strokeDash=list(GUESS_DASH), strokeWidth=3)
    called = guessed.mark_text(
        align="right", dx=-4, dy=-9, fontSize=14, fontWeight="bold", fill="currentColor"
    ).encode(x=alt.value(alt.ExprRef("width")), text="label:N")
    layers = [ghost, lines, errors, points, *names, across_it, called]
    return dressed(alt.LayerChart(layer=layers).add_params(across, up), height=height)


def residual_chart(*, height: int = 240) -> alt.LayerChart:
    """What the fit leaves of each reading, against its portion, in standard errors.

    Notes
    -----
    Data sources "left" and "band"; signals "y_low" and "y_top".
    """
    low, top = alt.param(name="y_low", value=-5), alt.param(name="y_top", value=5)
    scale = alt.Scale(domainMin=alt.ExprRef("y_low"), domainMax=alt.ExprRef("y_top"), nice=False, zero=False)
    y = alt.Y("residual:Q", title="Model above reading, standard errors", scale=scale)
    x = alt.X("portion:Q", title="Portion", axis=alt.Axis(format="d", tickMinStep=1, grid=False))
    band = (
        alt.Chart(source("band", ()))
        .mark_rect(fill="currentColor", fillOpacity=0.12)
        .encode(y=alt.Y("low:Q", scale=scale), y2="high:Q")
    )
    base = alt.Chart(source("left", ())).encode(x=x, y=y)
    lines = base.mark_line(strokeWidth=2, stroke="currentColor", strokeOpacity=0.7).encode(
        detail="series:N",
        order="portion:Q",
        strokeDash=alt.StrokeDash("arm:N", legend=None, scale=alt.Scale(domain=_ARMS, range=_DASHES)),
    )
    colours: dict[str, Any] = {
        "domain": ["sodium", "calcium", "ec"],
        "range": [ION_MARKS["Na"].colour, ION_MARKS["Ca"].colour, INK_MARK.colour],
    }
    points = base.mark_point(
        size=80,
        strokeWidth=2,
        opacity=1,
        fill=alt.ExprRef(f"datum.filled ? datum.colour : '{_PAPER}'"),
    ).encode(
        stroke=alt.Stroke("quantity:N", legend=None, scale=alt.Scale(**colours)),
        shape=alt.Shape(
            "quantity:N",
            legend=None,
            scale=alt.Scale(domain=["sodium", "calcium", "ec"], range=["circle", "square", "triangle-right"]),
        ),
    )
    zero = (
        alt.Chart(source("band", ()))
        .mark_rule(stroke="currentColor", strokeDash=[2, 4])
        .encode(y=alt.Y("nought:Q", scale=scale))
    )
    names = line_names((base,), beside="datum.portion < 3", shift="-12")
    return dressed(
        alt.LayerChart(layer=[band, zero, lines, points, *names]).add_params(low, top), height=height
    )
