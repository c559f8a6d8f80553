"""The decision map as a picture: where the column ends for every rate and water, and the chosen point."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from soilx.column.leaching import leach
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.practice.dose.decision_map import DecisionMap
from soilx.show.control import Control
from soilx.show.field_answer import MOST_PORE_VOLUMES, PORE_VOLUMES, Answer
from soilx.show.field_map_chart import HEIGHT, field_map_chart
from soilx.show.live import Drawn, DrawnChart
from soilx.show.presets import water_readings
from soilx.show.tables import NumberTable, Record, axis_top
from soilx.units import Kind, express, quantity

LEAST_PORE_VOLUMES: Final = 0.3
_EVERY: Final = 4
_STEPS: Final = 200
_NEAR_ACROSS: Final = 0.17
_NEAR_UP: Final = 0.1


class DoseMap(DrawnChart):
    """Final ESP over gypsum and water, shaded and numbered, with the chosen point."""

    def __init__(self) -> None:
        super().__init__(
            "Where it ends: exchangeable sodium, % (the darker, the more)", field_map_chart(), kept=HEIGHT
        )

    def show(self, answer: Answer, run: Run | None) -> None:
        """Put a map and the run of the chosen point into the picture, or take it away and say why.

        Parameters
        ----------
        answer : Answer
        run : Run or None
        """
        if answer.surface is None:
            self.put(nothing_drawn(("cells", "numbers", "reach", "chosen"), answer.why.get("surface", "")))
        else:
            self.put(drawn(answer.surface, target_esp_pct=answer.aim.target_esp_pct, run=run))


def nothing_drawn(sources: Iterable[str], why: str) -> Drawn:
    """A picture without records, and why there are none.

    Parameters
    ----------
    sources : iterable of str
        Names of the chart's data.
    why : str
    """
    return Drawn(
        records={name: [] for name in sources},
        signals={},
        caption=f"Nothing to draw. {why}",
        table=NumberTable(titles=(), rows=()),
    )


def settle_sliders(answer: Answer, *, gypsum: object, water: object) -> Answer:
    """The answer, with both sliders at where its map ends and its formula starts.

    Parameters
    ----------
    answer : Answer
    gypsum, water : object
        `Control.shown` of the rate and of the water.
    """
    rate, wetting = getattr(gypsum, "control", None), getattr(water, "control", None)
    known = answer.surface is not None and answer.soil is not None
    for control in (rate, wetting):
        if isinstance(control, Control):
            control.allow(known, note="" if known else answer.why.get("surface", ""))
    if answer.surface is None or answer.soil is None:
        return answer
    if isinstance(rate, Control):
        top = round(float(answer.surface.gypsum_t_per_ha[-1]), 6)
        start = min(round(answer.start_t_per_ha, 2), top)
        rate.span(0.0, top, step=top / _STEPS, value=start)
    if isinstance(wetting, Control):
        wetting.span(LEAST_PORE_VOLUMES, MOST_PORE_VOLUMES, step=0.1, value=PORE_VOLUMES)
        wetting.read_in("pore volumes", water_readings(answer.soil))
    return answer


def chosen_run(answer: Answer, *, t_per_ha: float, pore_volumes: float) -> Run | None:
    """The column with the chosen rate and water; None where there is no column.

    Parameters
    ----------
    answer : Answer
    t_per_ha : float
        Pure gypsum.
    pore_volumes : float

    Raises
    ------
    SoilxError
        If the column cannot be run so.
    """
    if answer.soil is None or answer.water is None:
        return None
    return leach(
        Scenario.of(
            soil=answer.soil,
            gypsum=quantity(t_per_ha, "t/ha"),
            wettings=[(quantity(pore_volumes, "pore_volume"), answer.water)],
        )
    )


def drawn(surface: DecisionMap, *, target_esp_pct: float, run: Run | None) -> Drawn:
    """What changes in the picture with a map and a chosen point.

    Parameters
    ----------
    surface : DecisionMap
    target_esp_pct : float
        [%]
    run : Run or None
        Of the chosen point.
    """
    gypsum, water, esp = surface.gypsum_t_per_ha, surface.water_pore_volumes, surface.final_esp_pct
    up, across = float(gypsum[1] - gypsum[0]), float(water[1] - water[0])
    cells: list[Record] = [
        {
            "x0": round(float(x) - across / 2, 4),
            "x1": round(min(float(x) + across / 2, float(water[-1])), 4),
            "y0": round(max(float(y) - up / 2, 0.0), 5),
            "y1": round(min(float(y) + up / 2, float(gypsum[-1])), 5),
            "esp_pct": round(float(esp[row, column]), 2),
        }
        for row, y in enumerate(gypsum)
        for column, x in enumerate(water)
    ]
    reach: list[Record] = [
        {"x": float(point["water_pore_volumes"]), "y": float(point["gypsum_t_per_ha"]), "label": ""}
        for point in surface.reaching(target_esp_pct)
    ]
    if reach:
        reach[-1]["label"] = f"ESP {target_esp_pct:.3g}"
    chosen: list[Record] = []
    if run is not None:
        chosen.append(
            {
                "x": float(run.applied_pore_volumes[-1]),
                "y": _rate(run),
                "label": f"{run.final_esp_pct:.1f} %",
            }
        )
    # A number under a label would be read with it.
    labelled = (*reach[-1:], *chosen)
    numbers: list[Record] = [
        {"x": float(water[column]), "y": float(gypsum[row]), "esp_pct": float(esp[row, column])}
        for row in range(1, gypsum.size - 1, _EVERY)
        for column in range(2, water.size - 1, _EVERY)
        if not any(
            abs(float(point["x"]) - water[column]) < _NEAR_ACROSS * water[-1]
            and abs(float(point["y"]) - gypsum[row]) < _NEAR_UP * gypsum[-1]
            for point in labelled
        )
    ]
    return Drawn(
        records={"cells": cells, "numbers": numbers, "reach": reach, "chosen": chosen},
        signals={
            "water_top": float(water[-1]),
            "gypsum_top": float(gypsum[-1]),
            "esp_top": axis_top(float(esp.max())),
        },
        caption=_caption(surface, target_esp_pct=target_esp_pct, run=run),
        table=_table(surface),
    )


def _rate(run: Run) -> float:
    return express(run.scenario.gypsum, Kind.GYPSUM_RATE, "t/ha", ground=run.scenario.soil.ground)


def _caption(surface: DecisionMap, *, target_esp_pct: float, run: Run | None) -> str:
    reached = surface.reaching(target_esp_pct)
    line = (
        f"The white line is ESP {target_esp_pct:.3g}; it begins at "
        f"{reached[0]['water_pore_volumes']:.1f} pore volumes."
        if reached
        else f"ESP {target_esp_pct:.3g} is nowhere on this map: with this water it is out of reach."
    )
    if run is None:
        return line
    return (
        f"{line} The ring is your choice: {_rate(run):.2f} t/ha of pure gypsum and "
        f"{run.applied_pore_volumes[-1]:.1f} pore volumes end at ESP {run.final_esp_pct:.1f}."
    )


def _table(surface: DecisionMap) -> NumberTable:
    columns = range(_EVERY - 1, surface.water.size, _EVERY)
    rows = range(0, surface.gypsum.size, _EVERY - 1)
    return NumberTable(
        titles=(
            "Gypsum, t/ha",
            *(
                f"{surface.water_pore_volumes[at]:.1f} pore volumes, {surface.water_mm[at]:.0f} mm"
                for at in columns
            ),
        ),
        rows=tuple(
            (
                f"{surface.gypsum_t_per_ha[row]:.2f}",
                *(f"{surface.final_esp_pct[row, at]:.1f}" for at in columns),
            )
            for row in rows
        ),
        caption="Exchangeable sodium at the end, %",
    )
