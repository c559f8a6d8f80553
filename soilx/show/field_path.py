"""Exchangeable sodium through the years: treated and not, with bands, the water's floor and the target."""

from __future__ import annotations

from datetime import date
from typing import Any, Final

import altair as alt

from soilx.practice.seasons.programme import Programme
from soilx.practice.seasons.programme_columns import IN_WATER, NOTHING, TREATED, WATER_ONLY
from soilx.practice.seasons.programme_table import by_year
from soilx.show.charts import dressed, from_zero_to, source
from soilx.show.field_map import nothing_drawn
from soilx.show.field_programme_words import gain_sentence
from soilx.show.live import Drawn, DrawnChart
from soilx.show.marks import ARM_DASHES, ION_MARKS, UNTREATED
from soilx.show.marks import TREATED as TREATED_ARM
from soilx.show.tables import NumberTable, Record, axis_top

HEIGHT: Final = 320
_DASHES: Final = {
    TREATED: list(ARM_DASHES[TREATED_ARM]),
    NOTHING: list(ARM_DASHES[UNTREATED]),
    WATER_ONLY: [3, 3],
    IN_WATER: [14, 3, 3, 3],
}
_YEAR_DAYS: Final = 365.25
_PAPER: Final = "var(--background, Canvas)"
_SODIUM: Final = ION_MARKS["Na"].colour


class SodiumPath(DrawnChart):
    """ESP over the years of a programme."""

    def __init__(self) -> None:
        super().__init__("Exchangeable sodium through the years", _chart(), kept=HEIGHT)

    def show(self, programme: Programme) -> None:
        """Put a programme into the picture.

        Parameters
        ----------
        programme : Programme
        """
        self.put(drawn(programme))

    def clear(self, why: str) -> None:
        """Take the lines away, and say why there are none.

        Parameters
        ----------
        why : str
        """
        self.put(nothing_drawn(("paths", "bands", "rules"), why))


def drawn(programme: Programme) -> Drawn:
    """What changes in the picture with a programme.

    Parameters
    ----------
    programme : Programme
    """
    began = programme.run.days[0]
    paths = {name: programme.path(name) for name in programme.columns}
    lines: list[Record] = [
        {"column": name, "x": _years(began, day), "y": round(float(path.esp_pct[row]), 3)}
        for name, path in paths.items()
        for row, day in enumerate(path.days)
    ]
    bands: list[Record] = [
        {
            "column": name,
            "x": _years(began, day),
            "low": round(float(path.low_pct[row]), 3),
            "high": round(float(path.high_pct[row]), 3),
        }
        for name, path in paths.items()
        if path.low_pct is not None and path.high_pct is not None
        for row, day in enumerate(path.days)
    ]
    rules: list[Record] = []
    floor, target = programme.floor_esp_pct, programme.target_esp_pct
    if floor is not None:
        rules.append({"y": floor, "label": f"the water's floor, {floor:.1f}", "above": True})
    if target is not None:
        rules.append({"y": target, "label": f"target, {target:.3g}", "above": False})
    top = max(
        *(float(line["y"]) for line in lines),
        *(float(band["high"]) for band in bands),
        *(float(rule["y"]) for rule in rules),
    )
    return Drawn(
        records={"paths": lines, "bands": bands, "rules": rules},
        signals={"years_top": float(programme.run.years), "esp_top": axis_top(top)},
        caption=_caption(programme),
        table=NumberTable(
            titles=("Day", *(f"{name}, %" for name in programme.columns)),
            rows=tuple(
                (row["date"], *(f"{row['esp_pct'][name]:.1f}" for name in programme.columns))
                for row in by_year(programme)
            ),
            caption="Exchangeable sodium percentage, depth average",
        ),
    )


def _years(began: date, day: date) -> float:
    return round((day - began).days / _YEAR_DAYS, 4)


def _caption(programme: Programme) -> str:
    drawn_of = (
        f" The shaded bands hold {programme.draws} draws of soil, weather and water."
        if programme.draws
        else ""
    )
    return f"{gain_sentence(programme)}{drawn_of} Rain and irrigation make the small waves."


def _chart() -> alt.LayerChart:
    across, up = alt.param(name="years_top", value=5.0), alt.param(name="esp_top", value=20.0)
    x_scale, y_scale = from_zero_to("years_top"), from_zero_to("esp_top")
    x = alt.X("x:Q", title="Years since the first month", scale=x_scale)
    band = (
        alt.Chart(source("bands", ()))
        .mark_area(fill=_SODIUM, fillOpacity=0.16, clip=True)
        .encode(
            x=x,
            y=alt.Y("low:Q", title="Exchangeable sodium, %", scale=y_scale),
            y2="high:Q",
            detail="column:N",
        )
    )
    dash = alt.StrokeDash(
        "column:N",
        scale=alt.Scale(domain=list(_DASHES), range=list(_DASHES.values())),
        legend=alt.Legend(
            title=None,
            orient="top",
            columns=1,
            labelFontSize=14,
            labelLimit=220,
            symbolSize=900,
            symbolStrokeWidth=3,
            symbolStrokeColor=_SODIUM,
            labelColor="currentColor",
        ),
    )
    lines = (
        alt.Chart(source("paths", ()))
        .mark_line(stroke=_SODIUM, strokeWidth=2.5, clip=True)
        .encode(x=x, y=alt.Y("y:Q", scale=y_scale), strokeDash=dash, order="x:Q")
    )
    rules = alt.Chart(source("rules", ()))
    height = alt.Y("y:Q", scale=y_scale)
    rule = rules.mark_rule(stroke="currentColor", strokeDash=[2, 3], strokeWidth=2).encode(y=height)
    text: dict[str, Any] = {
        "fontSize": 14,
        "fontWeight": "bold",
        "align": "right",
        "baseline": alt.ExprRef("datum.above ? 'bottom' : 'top'"),
        "dy": alt.ExprRef("datum.above ? -4 : 5"),
        "dx": -4,
    }
    named = rules.encode(y=height, x=alt.value("width"), text="label:N")
    rim = named.mark_text(**text, stroke=_PAPER, strokeWidth=5, strokeJoin="round", fill=_PAPER)
    return dressed(
        alt.LayerChart(layer=[band, rule, lines, rim, named.mark_text(**text)]).add_params(across, up),
        height=HEIGHT,
    )
