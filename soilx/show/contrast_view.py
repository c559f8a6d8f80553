"""The page of contrasts: one press each, columns side by side, and a rule that opens when it is asked for."""

from __future__ import annotations

from importlib.resources import files
from typing import TYPE_CHECKING, Any, Final

import anywidget
import traitlets

from soilx.errors import require
from soilx.show import charts, tables
from soilx.show.contrasts import CONTRASTS, contrast_runs
from soilx.show.live import Drawn, DrawnChart
from soilx.show.tables import Arms, NumberTable, Record

if TYPE_CHECKING:
    from soilx.column.run import Run

_STATIC: Final = files("soilx.show") / "static"

NONE_YET: Final = -1
_HEIGHT: Final = 228


class Contrasts(anywidget.AnyWidget):
    """A button for each contrast; the one that is pressed puts its columns on the chart.

    Attributes
    ----------
    chart : DrawnChart
        Where they are drawn; empty until the first press.
    """

    _esm = (_STATIC / "contrasts.js").read_text(encoding="utf-8")
    _css = (_STATIC / "contrasts.css").read_text(encoding="utf-8")
    contrasts = traitlets.List(traitlets.Unicode(), [one.name for one in CONTRASTS]).tag(sync=True)
    picked = traitlets.Int(NONE_YET).tag(sync=True)
    same = traitlets.Unicode().tag(sync=True)
    question = traitlets.Unicode().tag(sync=True)
    rule = traitlets.Unicode().tag(sync=True)

    def __init__(self) -> None:
        super().__init__()
        self.chart = DrawnChart(
            "Exchangeable sodium, %. Below: average, sodium washed out, last water",
            charts.soil_columns(height=_HEIGHT, order=None),
        )
        self.observe(self._show, names="picked")

    @traitlets.validate("picked")
    def _offered(self, proposal: traitlets.Bunch) -> int:
        return int(
            require(
                "contrast",
                int(proposal["value"]),
                "",
                low=NONE_YET,
                high=len(CONTRASTS) - 1,
                whose=f"a list of {len(CONTRASTS)}, counted from 0",
                remedy="give the place of one of them",
            )
        )

    def _show(self, _: Any) -> None:
        if self.picked == NONE_YET:
            return
        one, runs = CONTRASTS[self.picked], contrast_runs(self.picked)
        self.same, self.question, self.rule = one.same, one.question, one.rule
        self.chart.put(drawn(runs), setting=one.name)


def drawn(arms: Arms) -> Drawn:
    """What the chart of a contrast needs of its columns.

    Parameters
    ----------
    arms : mapping of str to Run
        The columns by name.
    """
    columns: list[Record] = [{"arm": arm, "outcome": _below(run)} for arm, run in arms.items()]
    starts = [float(run.initial_esp_pct) for run in arms.values()]
    first = next(iter(arms.values()))
    return Drawn(
        records={"layers": tables.layer_records(arms), "columns": columns},
        signals={
            "esp_top": tables.axis_top(max(starts)),
            "depth_bottom": float(tables.start_records({"": first})[-1]["middle_cm"]),
            "numbers": 1.0,
        },
        caption=caption(arms),
        table=numbers(arms),
    )


def caption(arms: Arms) -> str:
    """The columns in words, with their numbers.

    Parameters
    ----------
    arms : mapping of str to Run
        The columns by name.
    """
    parts = [
        f"{arm}: {run.initial_esp_pct:.1f} to {run.final_esp_pct:.1f}\N{NO-BREAK SPACE}%, "
        f"{run.sodium_leached_mg_per_kg:.0f} mg/kg of sodium out, last water {run.leachate.clarity[-1]}"
        for arm, run in arms.items()
    ]
    return f"{'; '.join(parts)}."


def numbers(arms: Arms) -> NumberTable:
    """The columns as a table, a row per quantity and a column per column.

    Parameters
    ----------
    arms : mapping of str to Run
        The columns by name.
    """
    table = tables.column_table(arms)
    by_layer = tables.layer_table(arms)
    looks = ("Last water", *(str(run.leachate.clarity[-1]) for run in arms.values()))
    layers = tuple((f"Exchangeable sodium, {row[0]} cm, %", *row[1:]) for row in by_layer.rows)
    return NumberTable(titles=table.titles, rows=(*table.rows, looks, *layers))


def _below(run: Run) -> str:
    """Three lines under a column: its average, the sodium washed out, how the last water looks."""
    out = f"{run.sodium_leached_mg_per_kg:.0f} mg/kg"
    return f"{run.final_esp_pct:.1f} %\n{out}\n{run.leachate.clarity[-1]}"
