"""Live charts of the lecture's later stages: each built once, its data alone change."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from soilx.show import kept_records, sentences, stage_charts, stage_records
from soilx.show.charts import specification
from soilx.show.kept import KeptCurves
from soilx.show.live import Drawn, LiveChart
from soilx.show.marks import TREATED
from soilx.show.tables import Arms, Record, axis_top

if TYPE_CHECKING:
    from soilx.column.run import Run

_HEADINGS: Final = {
    "Na": "Sodium",
    "Ca": "Calcium",
    "EC": "Salt (EC)",
    "SAR": "SAR",
}
_LEAST_WATER: Final = 4.0


def leachate_curve(of: str, *, kept: KeptCurves | None = None) -> LiveChart:
    """One property of what drains against the water applied, both columns and the treated one before.

    Parameters
    ----------
    of : str
        One of `soilx.show.stage_records.PROPERTIES`.
    kept : KeptCurves, optional
        Drawn by their letters.
    """
    title = stage_records.PROPERTIES[of].title
    ion = of if of in {"Na", "Ca"} else None
    chart = specification(stage_charts.leachate_curve, title=title, ion=ion)

    def drawn(arms: Arms, before: Run | None) -> Drawn:
        curves = stage_records.curve_records(arms, of)
        # With nothing changed but how much water, the curve before is the same curve.
        same = before is not None and _but_for_water(before) == _but_for_water(arms[TREATED])
        ghost = [] if same else stage_records.curve_before(before, of)
        frozen = kept_records.curves(() if kept is None else kept.curves, of)
        highest = _highest((*curves, *ghost, *frozen))
        return Drawn(
            records={"leachate": curves, "before": ghost, "kept": frozen},
            # Without leachate the axis stays where it was.
            signals={"water_top": _water_top(arms), **({"value_top": axis_top(highest)} if highest else {})},
            caption=sentences.curve_caption(arms, of),
            table=stage_records.curve_table(arms, of),
        )

    return LiveChart(_HEADINGS[of], chart, drawn, kept=stage_charts.CURVE_HEIGHT)


def sodium_places() -> LiveChart:
    """Where the sodium of both columns is: on the clay, in the water left, in the leachate."""

    def drawn(arms: Arms, _: Run | None) -> Drawn:
        places = stage_records.place_records(arms)
        return Drawn(
            records={"places": places, "totals": stage_records.place_totals(arms)},
            signals={"sodium_top": axis_top(max(float(place["to_mg_per_kg"]) for place in places))},
            caption=sentences.places_caption(arms),
            table=stage_records.place_table(arms),
        )

    return LiveChart("Where the sodium is, mg/kg", specification(stage_charts.sodium_places), drawn, kept=240)


def clarity_by_portion() -> LiveChart:
    """Whether each portion runs clear, may cloud or is cloudy, both columns at equal water."""

    def drawn(arms: Arms, _: Run | None) -> Drawn:
        return Drawn(
            records={"portions": stage_records.clarity_records(arms)},
            signals={"water_top": _water_top(arms)},
            caption=sentences.clarity_caption(arms),
            table=stage_records.clarity_table(arms),
        )

    return LiveChart(
        "Clear or cloudy, portion by portion", specification(stage_charts.clarity_by_portion), drawn, kept=300
    )


def _but_for_water(run: Run) -> tuple[object, ...]:
    """What makes a curve of the leachate, how long it gets aside."""
    scenario = run.scenario
    waters = {wetting.water for wetting in scenario.wettings}
    return scenario.soil, scenario.gypsum, scenario.placement, waters


def _highest(records: Sequence[Record]) -> float:
    return max((float(record["y"]) for record in records), default=0.0)


def _water_top(arms: Arms) -> float:
    """Right end of the water axis: it moves in steps, and not below where most lectures stand."""
    applied = max(float(run.applied_pore_volumes[-1]) for run in arms.values())
    return axis_top(max(_LEAST_WATER, round(applied, 6)))
