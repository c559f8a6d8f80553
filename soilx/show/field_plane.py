"""Where a soil lies between salt and sodium: EC against SAR, with the bands of the limits."""

from __future__ import annotations

from typing import Any, Final

import altair as alt
import numpy as np

from soilx.chemistry.cation_exchange import DEFAULT_SELECTIVITY, exchangeable_sodium_percentage
from soilx.chemistry.clarity import threshold_electrolyte_concentration
from soilx.practice.estimate import Estimate
from soilx.practice.judgement.diagnosis_numbers import CHARGE_PER_EC
from soilx.practice.judgement.verdict import Decision
from soilx.show.charts import dressed, from_zero_to, source
from soilx.show.live import Drawn, DrawnChart
from soilx.show.marks import ION_MARKS
from soilx.show.tables import NumberTable, Record, axis_top

HEIGHT: Final = 320
_PAPER: Final = "var(--background, Canvas)"
_HEADROOM: Final = 1.25
_CURVE_POINTS: Final = 41


class Plane(DrawnChart):
    """The EC–SAR plane with a soil and its water on it."""

    def __init__(self) -> None:
        super().__init__("Salt and sodium: where this soil lies", _chart(), kept=HEIGHT)

    def show(self, decision: Decision) -> None:
        """Put a soil and its water on the plane.

        Parameters
        ----------
        decision : Decision
        """
        self.put(drawn(decision))


def drawn(decision: Decision) -> Drawn:
    """What changes on the plane with a decision.

    Parameters
    ----------
    decision : Decision
    """
    diagnosis = decision.diagnosis
    ec, sar = diagnosis.salinity, diagnosis.sar
    points: list[Record] = []
    if ec.estimate is not None and sar.estimate is not None:
        points.append(_point(decision.name, "soil", ec.estimate, sar.estimate))
    judged = decision.water
    if judged is not None and np.isfinite(judged.sar):
        points.append(
            {
                **dict.fromkeys(("x", "x_low", "x_high"), judged.ec),
                **dict.fromkeys(("y", "y_low", "y_high"), judged.sar),
                "label": judged.water.name,
                "what": "water",
            }
        )
    x_top = axis_top(_HEADROOM * max(6.0, *(float(point["x_high"]) for point in points)) if points else 6.0)
    y_top = axis_top(_HEADROOM * max(16.0, *(float(point["y_high"]) for point in points)) if points else 20.0)
    bands: list[Record] = [
        {"x0": ec.band.low, "x1": ec.band.high, "y0": 0.0, "y1": y_top},
        {"x0": 0.0, "x1": x_top, "y0": sar.band.low, "y1": sar.band.high},
    ]
    names: list[Record] = [
        # To the right of the line of dispersion, which begins in this corner.
        {"x": 0.1 * x_top, "y": 0.45 * sar.band.low, "text": "neither", "at": "left"},
        {"x": 0.99 * x_top, "y": 0.45 * sar.band.low, "text": "saline", "at": "right"},
        {"x": 0.01 * x_top, "y": 0.96 * y_top, "text": "sodic", "at": "left"},
        {"x": 0.99 * x_top, "y": 0.96 * y_top, "text": "saline-sodic", "at": "right"},
    ]
    return Drawn(
        records={
            "bands": bands,
            "names": names,
            "curve": _curve(x_top, y_top),
            "points": points,
        },
        signals={"ec_top": x_top, "sar_top": y_top},
        caption=_caption(decision),
        table=NumberTable(
            titles=("", "EC, dS/m", "SAR"),
            rows=(
                (decision.name, ec.number, sar.number),
                *(((judged.water.name, f"{judged.ec:.3g}", f"{judged.sar:.3g}"),) if judged else ()),
                ("band of the limit", ec.band.words, sar.band.words),
            ),
        ),
    )


def _point(label: str, what: str, ec: Estimate, sar: Estimate) -> Record:
    return {
        "x": ec.value,
        "x_low": ec.low,
        "x_high": ec.high,
        "y": sar.value,
        "y_low": sar.low,
        "y_high": sar.high,
        "label": label,
        "what": what,
    }


def _curve(x_top: float, y_top: float) -> list[Record]:
    """Salt below which clay of a SAR may disperse †, as conductivity by the usual rule."""
    ratios = np.linspace(0.0, y_top, _CURVE_POINTS)
    shares = exchangeable_sodium_percentage(ratios, selectivity=DEFAULT_SELECTIVITY)
    salts = np.asarray(threshold_electrolyte_concentration(shares)) / CHARGE_PER_EC[1]
    return [
        {"x": round(float(x), 4), "y": float(y)} for x, y in zip(salts, ratios, strict=True) if x <= x_top
    ]


def _caption(decision: Decision) -> str:
    diagnosis = decision.diagnosis
    ec, sar = diagnosis.salinity, diagnosis.sar
    if ec.estimate is None or sar.estimate is None:
        missing = [name for name, found in (("EC", ec.estimate), ("SAR", sar.estimate)) if found is None]
        return (
            f"{decision.name} cannot be placed: {' and '.join(missing)} of a saturation extract "
            f"{'is' if len(missing) == 1 else 'are'} not known."
        )
    return (
        f"{decision.name}: EC {ec.number}, SAR {sar.number}: {diagnosis.soil_class}. Grey are the "
        "bands of the "
        f"limits, EC {ec.band.words} and SAR {sar.band.words}. Left of the broken line the clay may "
        "disperse †."
    )


def _chart() -> alt.LayerChart:
    across, up = alt.param(name="ec_top", value=8.0), alt.param(name="sar_top", value=20.0)
    x_scale, y_scale = from_zero_to("ec_top"), from_zero_to("sar_top")
    bands = (
        alt.Chart(source("bands", ()))
        .mark_rect(fill="currentColor", fillOpacity=0.13, clip=True)
        .encode(
            x=alt.X("x0:Q", title="EC of the saturation extract, dS/m", scale=x_scale),
            x2="x1:Q",
            y=alt.Y("y0:Q", title="SAR of the saturation extract", scale=y_scale),
            y2="y1:Q",
        )
    )
    x, y = alt.X("x:Q", scale=x_scale), alt.Y("y:Q", scale=y_scale)
    curve = (
        alt.Chart(source("curve", ()))
        .mark_line(stroke="currentColor", strokeDash=[7, 5], strokeWidth=2, clip=True)
        .encode(x=x, y=y, order="y:Q")
    )
    regions = (
        alt.Chart(source("names", ()))
        .mark_text(fontSize=14, fontStyle="italic", align=alt.ExprRef("datum.at"), baseline="middle")
        .encode(x=x, y=y, text="text:N")
    )
    found = alt.Chart(source("points", ()))
    wide = found.mark_rule(strokeWidth=2, stroke="currentColor").encode(
        x=alt.X("x_low:Q", scale=x_scale), x2="x_high:Q", y=y
    )
    tall = found.mark_rule(strokeWidth=2, stroke="currentColor").encode(
        y=alt.Y("y_low:Q", scale=y_scale), y2="y_high:Q", x=x
    )
    colours = f"datum.what == 'soil' ? '{ION_MARKS['Na'].colour}' : '{ION_MARKS['Ca'].colour}'"
    dots = found.mark_point(
        size=170, strokeWidth=2, filled=True, opacity=1, stroke=_PAPER, fill=alt.ExprRef(colours)
    ).encode(
        x=x,
        y=y,
        shape=alt.Shape(
            "what:N", legend=None, scale=alt.Scale(domain=["soil", "water"], range=["circle", "square"])
        ),
    )
    said = found.encode(x=x, y=y, text="label:N")
    text: dict[str, Any] = {
        "fontSize": 15,
        "fontWeight": "bold",
        "baseline": "middle",
        "align": alt.ExprRef("datum.x < 0.6 * ec_top ? 'left' : 'right'"),
        "dx": alt.ExprRef("datum.x < 0.6 * ec_top ? 12 : -12"),
    }
    rim = said.mark_text(**text, stroke=_PAPER, strokeWidth=5, strokeJoin="round", fill=_PAPER)
    return dressed(
        alt.LayerChart(
            layer=[bands, curve, regions, wide, tall, dots, rim, said.mark_text(**text)]
        ).add_params(across, up),
        height=HEIGHT,
    )
