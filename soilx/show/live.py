"""Charts on a page that stay where they are while their data change.

A chart's specification is embedded once, with the drawing library in the page itself; afterwards only
records, axis ends, the caption and the table travel. Rebuilding a chart for every slider move costs about
twice as much and replaces it on screen.
"""

from __future__ import annotations

import functools
import json
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Final

import altair as alt
import anywidget
import traitlets
import vl_convert

from soilx.show import charts, sentences, tables
from soilx.show.control import Control
from soilx.show.marks import TREATED
from soilx.show.page import caution, problem, prose, quick_turns, row, screen
from soilx.show.sentences import soil_line
from soilx.show.tables import NumberTable, Record
from soilx.show.words import Assumptions, Line, Sentence

if TYPE_CHECKING:
    from soilx.column.run import Run

__all__ = [
    "Assumptions",
    "Control",
    "Drawn",
    "DrawnChart",
    "Line",
    "LiveChart",
    "Sentence",
    "caution",
    "exchangeable_sodium_by_depth",
    "problem",
    "prose",
    "quick_turns",
    "row",
    "screen",
    "soil_columns",
    "soil_line",
]

_STATIC: Final = files("soilx.show") / "static"

# A chart that has not changed for so long was looked at: that setting is the one before.
_REST_SECONDS: Final = 1.0

# Room to the right of the starting value, so that a line's name fits beside it.
_HEADROOM: Final = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """Everything of a chart that changes with a run.

    Attributes
    ----------
    records : mapping of str to sequence of dict
        Rows by the name of the chart's data source.
    signals : mapping of str to float
        Axis ends by the name of the chart's parameter.
    caption : str
        The chart in words, with its numbers.
    table : NumberTable
        The numbers themselves.
    """

    records: Mapping[str, Sequence[Record]]
    signals: Mapping[str, float]
    caption: str
    table: NumberTable


class DrawnChart(anywidget.AnyWidget):
    """A chart with its heading, a caption that carries the numbers, and the numbers as a table.

    Parameters
    ----------
    heading : str
        What is shown, with its unit where the drawing has no axis for it.
    chart : altair.LayerChart or dict
        Built once, or its specification; its data sources and parameters are named.
    """

    _css = (_STATIC / "chart.css").read_text(encoding="utf-8")
    heading = traitlets.Unicode().tag(sync=True)
    spec = traitlets.Dict().tag(sync=True)
    content = traitlets.Dict()
    # The content as it travels: one text, because a tree of records is walked piece by piece on its way out,
    # and by columns, because a field's name in every row is most of it.
    wire = traitlets.Unicode().tag(sync=True)

    def __init__(self, heading: str, chart: alt.LayerChart | dict[str, Any]) -> None:
        spec = chart if isinstance(chart, dict) else chart.to_dict()
        super().__init__(_esm=_drawing_module(), heading=heading, spec=spec)

    def put(self, now: Drawn, *, setting: str = "") -> None:
        """Put new records, axis ends, words and numbers into the chart that is on screen.

        Parameters
        ----------
        now : Drawn
            What changes with the setting.
        setting : str
            The setting in words, so that a page can tell one drawing from the next; the caption unless given.
        """
        self.content = {
            "records": {name: list(rows) for name, rows in now.records.items()},
            "signals": dict(now.signals),
            "caption": now.caption,
            "table": {"titles": now.table.titles, "rows": now.table.rows, "caption": now.table.caption},
            "setting": setting or now.caption,
        }
        columns = {name: _by_column(rows) for name, rows in now.records.items()}
        self.wire = json.dumps(self.content | {"records": columns}, allow_nan=False, separators=(",", ":"))


class LiveChart(DrawnChart):
    """A chart of a pair of runs.

    Parameters
    ----------
    heading : str
        What is shown, with its unit where the drawing has no axis for it.
    chart : altair.LayerChart
        Built once; its data sources and parameters are named.
    drawn : callable
        From runs by arm to what the chart needs of them.
    ghost : callable, optional
        From runs by arm to the rows of the data source "ghost": the setting before the last change.
    """

    def __init__(
        self,
        heading: str,
        chart: alt.LayerChart,
        drawn: Callable[[tables.Arms], Drawn],
        *,
        ghost: Callable[[tables.Arms], Sequence[Record]] | None = None,
    ) -> None:
        super().__init__(heading, chart)
        self._drawn = drawn
        self._ghost = ghost
        self._latest: tables.Arms = {}
        self._before: tables.Arms = {}
        self._shown_at = 0.0

    def show(self, *, treated: Run, untreated: Run) -> None:
        """Put a pair of runs into the chart that is on screen.

        Parameters
        ----------
        treated, untreated : Run
            The same soil and water with gypsum and without.
        """
        arms = tables.arms_of(treated=treated, untreated=untreated)
        now = self._drawn(arms)
        if self._ghost is not None:
            now = replace(now, records={**now.records, "ghost": self._earlier(arms)})
        self.put(now, setting=sentences.setting(treated))

    def _earlier(self, arms: tables.Arms) -> Sequence[Record]:
        """Rows of the setting at which the chart last rested; a drag is one change, not many."""
        now = time.monotonic()
        if self._latest and now - self._shown_at > _REST_SECONDS:
            self._before = self._latest
        self._latest, self._shown_at = arms, now
        return self._ghost(self._before) if self._ghost is not None and self._before else ()


def soil_columns() -> LiveChart:
    """Both columns drawn as soil, each layer labelled with its exchangeable sodium."""

    def drawn(arms: tables.Arms) -> Drawn:
        return Drawn(
            records={"layers": tables.layer_records(arms), "columns": tables.column_records(arms)},
            signals=_soil_axes(arms, headroom=1.0),
            caption=sentences.columns_caption(arms),
            table=tables.column_table(arms),
        )

    return LiveChart("Exchangeable sodium, %", charts.soil_columns(), drawn)


def exchangeable_sodium_by_depth() -> LiveChart:
    """Exchangeable sodium against depth, both columns and the start."""

    def drawn(arms: tables.Arms) -> Drawn:
        return Drawn(
            records={"layers": tables.layer_records(arms), "start": tables.start_records(arms)},
            signals=_soil_axes(arms, headroom=_HEADROOM),
            caption=sentences.depth_caption(arms),
            table=tables.layer_table(arms),
        )

    def ghost(arms: tables.Arms) -> Sequence[Record]:
        return [row for row in tables.layer_records(arms) if row["arm"] == TREATED]

    chart = charts.exchangeable_sodium_by_depth()
    return LiveChart("Exchangeable sodium by depth", chart, drawn, ghost=ghost)


def _soil_axes(arms: tables.Arms, *, headroom: float) -> dict[str, float]:
    start = tables.start_records(arms)
    return {
        "esp_top": tables.axis_top(headroom * float(start[0]["esp_pct"])),
        "depth_bottom": float(start[-1]["middle_cm"]),
    }


def _by_column(records: Sequence[Record]) -> dict[str, list[str | float | bool]]:
    """Records as one list a field; every record of a source has the same fields."""
    return {field: [record[field] for record in records] for field in records[0]} if records else {}


@functools.cache
def _drawing_module() -> str:
    """The chart's script with the drawing library bundled in: a second's work, once a process."""
    version = ".".join(alt.SCHEMA_VERSION.lstrip("v").split(".")[:2])
    script = (_STATIC / "chart.js").read_text(encoding="utf-8")
    return vl_convert.javascript_bundle(script, vl_version=version)
