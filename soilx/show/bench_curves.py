"""Bench curves that stay on the page: the plan's, those under the readings, and those of a fit."""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

from soilx.show.bench_charts import strength_chart
from soilx.show.bench_marks import marker_of
from soilx.show.bench_records import (
    NAMED,
    STRENGTHS,
    Strength,
    curve_of,
    highest,
    looks_in_words,
    measured_records,
    predicted_records,
    reading_text,
)
from soilx.show.live import Drawn, DrawnChart
from soilx.show.tables import NumberTable, axis_top
from soilx.show.tables import Record as Row

if TYPE_CHECKING:
    from soilx.bench.fit_result import Fit
    from soilx.bench.plan import Plan
    from soilx.bench.record import Record

_HEIGHT: Final = 240
_NOWHERE: Final = 2.0
_READ_WITH: Final = {"at least": "above the instrument's range", "at most": "below the instrument's range"}


def curve_charts() -> dict[str, DrawnChart]:
    """A chart for each quantity that is predicted and read."""
    return {key: DrawnChart(of.heading, _spec(key), kept=_HEIGHT) for key, of in STRENGTHS.items()}


@functools.cache
def _spec(key: str) -> dict[str, Any]:
    """Built once: three rows of these charts are on the page."""
    of = STRENGTHS[key]
    spec: dict[str, Any] = strength_chart(title=of.title, ion=of.ion, height=_HEIGHT).to_dict()
    return spec


def show_planned(charts: Mapping[str, DrawnChart], plan: Plan, *, guess: Sequence[Row] = ()) -> None:
    """Put what the model expects of a plan's arms on its charts.

    Parameters
    ----------
    charts : mapping of str to DrawnChart
        As `curve_charts` made them.
    plan : Plan
    guess : sequence of dict
        ``y`` and ``label`` of a guessed level, for the chart of sodium.
    """
    for key, chart in charts.items():
        chart.put(planned_drawn(plan, STRENGTHS[key], guess=guess if key == "sodium" else ()))


def planned_drawn(plan: Plan, of: Strength, *, guess: Sequence[Row] = ()) -> Drawn:
    """What the model expects of a plan's arms, portion by portion in the table.

    Parameters
    ----------
    plan : Plan
    of : Strength
    guess : sequence of dict
        Drawn across.
    """
    lines = predicted_records(plan, of)
    return Drawn(
        records={"predicted": lines, "before": [], "measured": [], "guess": guess},
        signals=_ends(lines, guess),
        caption=f"By the model, first cup to last: {_arms_said(plan, of)}.{_guess_said(guess, of)}",
        table=_planned_table(plan, of),
    )


def show_measured(
    charts: Mapping[str, DrawnChart], record: Record, plan: Plan, *, guess: Sequence[Row] = ()
) -> None:
    """Put readings over the prediction.

    Parameters
    ----------
    charts : mapping of str to DrawnChart
        As `curve_charts` made them.
    record : Record
    plan : Plan
        That the record is of, for the lines.
    guess : sequence of dict
        ``y`` and ``label`` of a guessed level, for the chart of sodium.
    """
    for key, chart in charts.items():
        chart.put(measured_drawn(record, plan, STRENGTHS[key], guess=guess if key == "sodium" else ()))


def measured_drawn(record: Record, plan: Plan, of: Strength, *, guess: Sequence[Row] = ()) -> Drawn:
    """Readings over the prediction of the arms that were recorded.

    Parameters
    ----------
    record : Record
    plan : Plan
    of : Strength
    guess : sequence of dict
        Drawn across.
    """
    points = measured_records(record, of)
    lines = [row for row in predicted_records(plan, of) if not record.arms or row["arm"] in record.arms]
    said = (
        f"{len(points)} reading{'s' * (len(points) != 1)} over the model's lines: {looks_in_words(points)}. "
        "Bars are 95 % by the instrument's errors."
        if points
        else "0 cups have a reading of it: the lines are the model's."
    )
    return Drawn(
        records={"predicted": lines, "before": [], "measured": points, "guess": guess},
        signals=_ends(lines, points, guess),
        caption=f"{said}{_guess_said(guess, of)}",
        table=_measured_table(points, lines, of),
    )


def show_fitted(charts: Mapping[str, DrawnChart], fit: Fit | None) -> None:
    """Put a fit's curves on the charts, with the prediction before it in grey; empty them without a fit.

    Parameters
    ----------
    charts : mapping of str to DrawnChart
        As `curve_charts` made them.
    fit : Fit or None
    """
    for key, chart in charts.items():
        chart.put(fitted_drawn(fit, STRENGTHS[key]))


def fitted_drawn(fit: Fit | None, of: Strength) -> Drawn:
    """A fit's curves as the instrument would show them, the prediction before it, and what was read.

    Parameters
    ----------
    fit : Fit or None
    of : Strength
    """
    if fit is None:
        empty = NumberTable(titles=("column and portion",), rows=())
        return Drawn(
            records={"predicted": [], "before": [], "measured": []},
            signals={"x_top": 400.0, "y_top": 1.0},
            caption="0 fits were made so far.",
            table=empty,
        )
    columns = fit.observations.columns
    before: list[Row] = []
    after: list[Row] = []
    factor = fit.calibration.get(of.quantity, 1.0)
    for column, old, new in zip(columns, fit.runs_before, fit.runs, strict=True):
        place = NAMED.get(column.arm, 0.5) if column.replicate == 1 else _NOWHERE
        draw = functools.partial(
            curve_of,
            of=of,
            arm=column.arm,
            name=column.name,
            soil_mass=float(column.scenario.soil_mass or 0.0),
        )
        before += draw(old, named=_NOWHERE)
        after += draw(new, named=place, factor=factor)
    points = _fitted_points(fit, of)
    return Drawn(
        records={"predicted": after, "before": before, "measured": points},
        signals=_ends(before, after, points),
        caption=_fitted_caption(points, factor),
        table=NumberTable(
            titles=(
                "column and portion",
                f"read, {of.unit}",
                f"before the fit, {of.unit}",
                f"fitted, {of.unit}",
                "left, standard errors",
            ),
            rows=tuple(
                (
                    f"{met.reading.arm} {met.reading.replicate}, {met.reading.portion}",
                    f"{met.reading.value:.{of.digits}f}",
                    f"{met.before:.{of.digits}f}",
                    f"{met.after:.{of.digits}f}",
                    f"{met.residual:+.1f}",
                )
                for met in fit.met
                if met.reading.quantity == of.quantity
            ),
        ),
    )


def _fitted_points(fit: Fit, of: Strength) -> list[Row]:
    record_points: list[Row] = []
    for met in fit.met:
        reading = met.reading
        if reading.quantity != of.quantity:
            continue
        portions = fit.observations.columns[reading.column].portions
        caught = sum(portion.volume_ml for portion in portions[: reading.cup])
        error = 1.96 * reading.standard_error
        record_points.append(
            {
                "arm": reading.arm,
                "x": round(caught + portions[reading.cup].volume_ml / 2, 3),
                "y": reading.value,
                "low": max(0.0, reading.value - error),
                "high": reading.value + error,
                **marker_of(reading.arm),
            }
        )
    return record_points


def _fitted_caption(points: Sequence[Row], factor: float) -> str:
    if not points:
        return "None of these readings were used in the fit; the lines are what the fit says of them."
    said = "Grey dots: the prediction before the fit. Coloured lines: the fit"
    if abs(factor - 1) >= 0.005:
        way = "high" if factor > 1 else "low"
        said += f", as an instrument would show it that reads {abs(100 * (factor - 1)):.1f} % too {way}"
    return f"{said}. Markers: what was read, {looks_in_words(points)}."


def _ends(*records: Sequence[Row]) -> dict[str, float]:
    across, up = highest(*records)
    return {"x_top": axis_top(across), "y_top": axis_top(up)}


def _guess_said(guess: Sequence[Row], of: Strength) -> str:
    return "".join(f" Your guess: {of.text(float(row['y']))}." for row in guess)


def _arms_said(plan: Plan, of: Strength) -> str:
    said = []
    for arm in plan.arms:
        if arm.scenario is not None:
            values = [value for value in of.predicted(plan.runs[arm.name].leachate) if value == value]
            if values:
                first, last = of.text(float(values[0])), of.text(float(values[-1]))
                said.append(f"{arm.name} {first} to {last}")
    return "; ".join(said)


def _planned_table(plan: Plan, of: Strength) -> NumberTable:
    arms = [arm.name for arm in plan.arms if arm.scenario is not None]
    values = {arm: of.predicted(plan.runs[arm].leachate) for arm in arms}
    cups = plan.runs[arms[0]].leachate
    rows = []
    for at in range(cups.volume.size):
        if cups.volume[at] > 0:
            end = plan.scale.millilitres(float(cups.cumulative_volume[at]))
            cells = [f"{float(values[arm][at]):.{of.digits}f}" for arm in arms]
            rows.append((f"{end:.0f} mL = {plan.scale.water(end, 'mm'):.0f} mm", *cells))
    return NumberTable(
        titles=("caught up to, bench = field", *(f"{arm}, {of.unit}" for arm in arms)), rows=tuple(rows)
    )


def _measured_table(points: Sequence[Row], lines: Sequence[Row], of: Strength) -> NumberTable:
    rows = []
    for point in points:
        curve = [line for line in lines if line["arm"] == point["arm"]]
        rows.append(
            (
                f"{point['name']}, {point['portion']}",
                f"{float(point['x']):.0f}",
                reading_text(point, of),
                _between(curve, float(point["x"]), of),
                _READ_WITH.get(str(point["limit"]), ""),
            )
        )
    return NumberTable(
        titles=(
            "column and portion",
            "middle of the cup, mL caught",
            f"read, {of.unit}",
            f"by the model there, {of.unit}",
            "note",
        ),
        rows=tuple(rows),
    )


def _between(curve: Sequence[Row], x: float, of: Strength) -> str:
    """The line's height at a place, straight between its points."""
    for left, right in pairwise(curve):
        start, end = float(left["x"]), float(right["x"])
        if start <= x <= end and end > start:
            share = (x - start) / (end - start)
            value = float(left["y"]) * (1 - share) + float(right["y"]) * share
            return f"{value:.{of.digits}f}"
    return "–"
