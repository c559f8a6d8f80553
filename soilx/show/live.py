"""Charts on a page that stay where they are while their data change.

A chart's specification is embedded once, with the drawing library in the page itself; afterwards only
records, axis ends, the caption and the table travel. Rebuilding a chart for every slider move costs about
twice as much and replaces it on screen.
"""

from __future__ import annotations

import functools
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Final

import altair as alt
import anywidget
import traitlets

from soilx.show import charts, kept_records, sentences, stage_records, tables
from soilx.show.control import Control
from soilx.show.drawing_library import with_library
from soilx.show.kept import KeptCurves
from soilx.show.level_guess import LevelGuess
from soilx.show.page import caution, prose, quick_turns, row, screen
from soilx.show.sentences import soil_line
from soilx.show.stages import Stages
from soilx.show.tables import NumberTable, Record
from soilx.show.words import Assumptions, Sentence

if TYPE_CHECKING:
    from soilx.column.run import Run

__all__ = [
    "Assumptions",
    "Control",
    "Drawn",
    "DrawnChart",
    "LiveChart",
    "Sentence",
    "caution",
    "exchangeable_sodium_by_depth",
    "prose",
    "quick_turns",
    "row",
    "screen",
    "soil_columns",
    "soil_line",
]

_STATIC: Final = files("soilx.show") / "static"

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
    kept : int
        Height kept open before there is anything to draw [px].
    """

    _css = (_STATIC / "chart.css").read_text(encoding="utf-8")
    heading = traitlets.Unicode().tag(sync=True)
    spec = traitlets.Dict().tag(sync=True)
    content = traitlets.Dict()
    # The content as it travels: one text, because a tree of records is walked piece by piece on its way out,
    # and by columns, because a field's name in every row is most of it.
    wire = traitlets.Unicode().tag(sync=True)
    # Room kept open for the plot before it comes, so that what stands below it does not jump [px].
    kept = traitlets.Int(0).tag(sync=True)

    def __init__(self, heading: str, chart: alt.LayerChart | dict[str, Any], *, kept: int = 0) -> None:
        spec = chart if isinstance(chart, dict) else chart.to_dict()
        super().__init__(_esm=_drawing_module(), heading=heading, spec=spec, kept=kept)

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
    chart : altair.LayerChart or dict
        Built once, or its specification; its data sources and parameters are named.
    drawn : callable
        From runs by arm, and the treated one before the last change if there is one, to what the chart needs
        of them.
    kept : int
        Height kept open before there is anything to draw [px].
    """

    def __init__(
        self,
        heading: str,
        chart: alt.LayerChart | dict[str, Any],
        drawn: Callable[[tables.Arms, Run | None], Drawn],
        *,
        kept: int = 0,
    ) -> None:
        super().__init__(heading, chart, kept=kept)
        self._drawn = drawn

    def show(self, *, treated: Run, untreated: Run, before: Run | None = None) -> None:
        """Put a pair of runs into the chart that is on screen.

        Parameters
        ----------
        treated, untreated : Run
            The same soil and water with gypsum and without.
        before : Run, optional
            The treated one before the last change, to be drawn in grey where the chart has a place for it.
        """
        now = self._drawn(tables.arms_of(treated=treated, untreated=untreated), before)
        self.put(now, setting=sentences.setting(treated))


def soil_columns(
    *, height: int = charts.HEIGHT, heading: str = "Exchangeable sodium, %", stages: Stages | None = None
) -> LiveChart:
    """Both columns drawn as soil, each layer labelled with its exchangeable sodium.

    Parameters
    ----------
    height : int
        Of the drawn soil [px].
    heading : str
        What it shows, with its unit.
    stages : Stages, optional
        Of the page, where numbers come after the picture.
    """

    def drawn(arms: tables.Arms, _: Run | None) -> Drawn:
        return Drawn(
            records={"layers": tables.layer_records(arms), "columns": tables.column_records(arms)},
            signals=_soil_axes(arms, headroom=1.0) | {"numbers": float(stages is None or stages.numbers)},
            caption=sentences.columns_caption(arms),
            table=tables.column_table(arms),
        )

    return LiveChart(heading, charts.specification(charts.soil_columns, height=height), drawn, kept=height)


def exchangeable_sodium_by_depth(
    *, height: int = charts.HEIGHT, guess: LevelGuess | None = None, kept: KeptCurves | None = None
) -> LiveChart:
    """Exchangeable sodium against depth, both columns, the start, and the treated one before.

    Parameters
    ----------
    height : int
        Of the plot [px].
    guess : LevelGuess, optional
        Drawn across as a labelled line.
    kept : KeptCurves, optional
        Drawn by their letters.
    """

    def drawn(arms: tables.Arms, before: Run | None) -> Drawn:
        frozen = () if kept is None else kept.curves
        level = None if guess is None else guess.value
        return Drawn(
            records={
                "layers": tables.layer_records(arms),
                "start": tables.start_records(arms),
                "before": stage_records.profile_before(before),
                "kept": kept_records.profiles(frozen),
                "guess": kept_records.guess(level),
            },
            signals=_soil_axes(
                arms,
                headroom=_HEADROOM,
                highest=max((level or 0.0, *(float(one.run.final_esp_by_layer_pct.max()) for one in frozen))),
                before=before,
            ),
            caption=" ".join((sentences.depth_caption(arms), *kept_records.said(frozen, level))),
            table=tables.layer_table(arms),
        )

    chart = charts.specification(charts.exchangeable_sodium_by_depth, height=height)
    return LiveChart("Exchangeable sodium by depth", chart, drawn, kept=height)


def _soil_axes(
    arms: tables.Arms, *, headroom: float, highest: float = 0.0, before: Run | None = None
) -> dict[str, float]:
    start = tables.start_records(arms)
    highest = max(
        headroom * float(start[0]["esp_pct"]), highest, *(before.final_esp_by_layer_pct if before else ())
    )
    return {
        "esp_top": tables.axis_top(float(highest)),
        "depth_bottom": float(start[-1]["middle_cm"]),
    }


def _by_column(records: Sequence[Record]) -> dict[str, list[str | float | bool | None]]:
    """Records as one list a field, with None where a record has no such field."""
    fields = dict.fromkeys(field for record in records for field in record)
    return {field: [record.get(field) for record in records] for field in fields}


@functools.cache
def _drawing_module() -> str:
    """The chart's script with the drawing library behind it, as a module."""
    return f"export default {with_library((_STATIC / 'chart.js').read_text(encoding='utf-8'))};\n"
