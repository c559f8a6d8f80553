"""The drawing of the decision map: shaded and numbered cells, the line of the target, the chosen point."""

from __future__ import annotations

from typing import Any, Final

import altair as alt

from soilx.show.charts import WHITE_NUMBERS_ABOVE, dressed, from_zero_to, source
from soilx.show.marks import SODIUM_RAMP

HEIGHT: Final = 360


def field_map_chart() -> alt.LayerChart:
    """The map without data: sources "cells", "numbers", "reach", "chosen"; axis ends as signals."""
    params = [
        alt.param(name=name, value=value)
        for name, value in (("water_top", 6.0), ("gypsum_top", 20.0), ("esp_top", 20.0))
    ]
    x_scale, y_scale = from_zero_to("water_top"), from_zero_to("gypsum_top")
    plain = alt.Axis(grid=False)
    cells = (
        alt.Chart(source("cells", ()))
        .mark_rect(strokeWidth=0.6)
        .encode(
            x=alt.X("x0:Q", title="Water, pore volumes", scale=x_scale, axis=plain),
            x2="x1:Q",
            y=alt.Y("y0:Q", title="Pure gypsum, t/ha", scale=y_scale, axis=plain),
            y2="y1:Q",
            fill=alt.Fill(
                "esp_pct:Q",
                legend=None,
                scale=alt.Scale(
                    range=list(SODIUM_RAMP), domainMin=0, domainMax=alt.ExprRef("esp_top"), clamp=True
                ),
            ),
            stroke=alt.Stroke(
                "esp_pct:Q",
                legend=None,
                scale=alt.Scale(
                    range=list(SODIUM_RAMP), domainMin=0, domainMax=alt.ExprRef("esp_top"), clamp=True
                ),
            ),
        )
    )
    x, y = alt.X("x:Q", scale=x_scale), alt.Y("y:Q", scale=y_scale)
    numbers = (
        alt.Chart(source("numbers", ()))
        .mark_text(
            fontSize=13,
            fill=alt.ExprRef(f"datum.esp_pct > {WHITE_NUMBERS_ABOVE} * esp_top ? 'white' : 'black'"),
        )
        .encode(x=x, y=y, text=alt.Text("esp_pct:Q", format=".0f"))
    )
    reach = alt.Chart(source("reach", ())).encode(x=x, y=y)
    edge = reach.mark_line(stroke="black", strokeWidth=6, clip=True).encode(order="x:Q")
    line = reach.mark_line(stroke="white", strokeWidth=3, clip=True).encode(order="x:Q")
    named = reach.transform_filter("datum.label != ''").encode(text="label:N")
    beside: dict[str, Any] = {"fontSize": 14, "fontWeight": "bold", "align": "right", "dx": -8, "dy": -12}
    chosen = alt.Chart(source("chosen", ())).encode(x=x, y=y)
    ring = chosen.mark_point(size=240, strokeWidth=6, stroke="black", filled=False, opacity=1)
    inner = chosen.mark_point(size=240, strokeWidth=2.5, stroke="white", filled=False, opacity=1)
    says = chosen.encode(text="label:N")
    at_ring: dict[str, Any] = {
        "fontSize": 15,
        "fontWeight": "bold",
        "baseline": "middle",
        "align": alt.ExprRef("datum.x > 0.75 * water_top ? 'right' : 'left'"),
        "dx": alt.ExprRef("datum.x > 0.75 * water_top ? -16 : 16"),
    }
    halo: dict[str, Any] = {"stroke": "white", "strokeWidth": 5, "strokeJoin": "round", "fill": "white"}
    layers = [
        cells,
        numbers,
        edge,
        line,
        named.mark_text(**beside, **halo),
        named.mark_text(**beside, fill="black"),
        ring,
        inner,
        says.mark_text(**at_ring, **halo),
        says.mark_text(**at_ring, fill="black"),
    ]
    return dressed(alt.LayerChart(layer=layers).add_params(*params), height=HEIGHT)
