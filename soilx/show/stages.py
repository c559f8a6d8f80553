"""The lecture's stages: what comes next, how it is asked for, and the charts that come with it."""

from __future__ import annotations

import html
from collections.abc import Sequence
from importlib.resources import files
from typing import TYPE_CHECKING, Final

import anywidget
import marimo as mo
import traitlets

from soilx.column.sweep import sweep
from soilx.show import live, sentences, stage_charts, tables
from soilx.show import stage_records as records
from soilx.show.live import Drawn, LiveChart
from soilx.show.marks import TREATED
from soilx.units import quantity

if TYPE_CHECKING:
    from soilx.column.run import Run
    from soilx.column.scenario import Scenario

_STATIC: Final = files("soilx.show") / "static"


class _StageWidget(anywidget.AnyWidget):
    """The part in the browser: Back, Next, and which stage this is."""

    _esm = (_STATIC / "stage.js").read_text(encoding="utf-8")
    _css = (_STATIC / "stage.css").read_text(encoding="utf-8")
    titles = traitlets.List(traitlets.Unicode()).tag(sync=True)
    stage = traitlets.Int(1).tag(sync=True)


class Stages(mo.ui.anywidget):
    """Back and Next through stages that each add one thing to the page.

    Parameters
    ----------
    titles : sequence of str
        What each stage brings, in order.
    start : int
        The stage it opens on, from 1.
    """

    def __init__(self, titles: Sequence[str], *, start: int = 1) -> None:
        super().__init__(_StageWidget(titles=list(titles), stage=start))

    # The base class gives every trait of its widget as a dictionary; this one has one number to give.
    @property  # type: ignore[misc]
    def value(self) -> int:  # type: ignore[override]
        """The stage that is open, from 1."""
        return int(self.widget.stage)


def bar(stage: Stages) -> mo.Html:
    """Back and Next along the lower edge of the page, above whatever comes later on it.

    Parameters
    ----------
    stage : Stages
    """
    return mo.Html(f'<div class="soilx-bar">{mo.as_html(stage).text}</div>')


def section(number: int, title: str, *items: object) -> mo.Html:
    """One stage of the page, below those before it.

    Parameters
    ----------
    number : int
        Its place among the stages; Next brings it into view.
    title : str
        Its heading.
    *items : object
        Whatever the notebook can show.
    """
    parts = "".join(f"<div>{mo.as_html(item).text}</div>" for item in items)
    return mo.Html(
        f'<section class="soilx-screen soilx-stage" data-stage="{number:d}" tabindex="-1">'
        f"<h2>{html.escape(title)}</h2>{parts}</section>"
    )


def leachate_quantity(quantity: str, *, most_water: float) -> LiveChart:
    """One quantity of the leachate against the water applied, both columns.

    Parameters
    ----------
    quantity : str
        "Na", "Ca", "EC" or "SAR".
    most_water : float
        Right end of the axis [pore volumes].
    """
    followed = records.QUANTITIES[quantity]

    def drawn(arms: tables.Arms) -> Drawn:
        rows = records.quantity_records(arms, quantity)
        return Drawn(
            records={"leachate": rows},
            # Without leachate the axis stays where it was.
            signals={"value_top": tables.axis_top(max(float(row["value"]) for row in rows))} if rows else {},
            caption=sentences.leachate_caption(arms) if quantity == "Na" else _range_caption(arms, quantity),
            table=records.quantity_table(arms, quantity),
        )

    def ghost(arms: tables.Arms) -> Sequence[tables.Record]:
        return [row for row in records.quantity_records(arms, quantity) if row["arm"] == TREATED]

    chart = stage_charts.leachate_quantity(quantity, water_top=most_water)
    return LiveChart(followed.title, chart, drawn, ghost=ghost)


def places_of_sodium() -> LiveChart:
    """Where each column's sodium is at the end: on the clay, in the water left, in the leachate."""

    def drawn(arms: tables.Arms) -> Drawn:
        rows = records.place_records(arms)
        return Drawn(
            records={"places": rows},
            signals={"sodium_top": max(float(row["to_mg_per_kg"]) for row in rows)},
            caption=_places_caption(arms),
            table=records.place_table(arms),
        )

    return LiveChart("Where the sodium is, mg/kg of soil", stage_charts.places_of_sodium(), drawn)


def clear_or_cloudy(*, most_water: float) -> LiveChart:
    """Each portion of leachate, clear or cloudy, at equal water for both columns.

    Parameters
    ----------
    most_water : float
        Right end of the axis [pore volumes].
    """

    def drawn(arms: tables.Arms) -> Drawn:
        return Drawn(
            records={"portions": records.clarity_records(arms)},
            signals={"water_top": most_water},
            caption=". ".join(f"Portions {arm}: {records.clarity_words(run)}" for arm, run in arms.items())
            + ".",
            table=records.portion_table(arms),
        )

    chart = stage_charts.clear_or_cloudy(water_top=most_water)
    return LiveChart("Clear or cloudy, portion by portion", chart, drawn)


class Pouring:
    """The pair of columns while portions of water are poured on them, one after the other.

    Attributes
    ----------
    columns : LiveChart
        Both columns as they stand.
    """

    def __init__(self) -> None:
        self.columns = live.soil_columns()
        self._from: tuple[Scenario, float] | None = None
        self._pair: tuple[Run, Run] | None = None
        self._count = 0

    def pour(self, scenario: Scenario, portion: float, count: int) -> tuple[Run, Run]:
        """The pair after so many portions; the next portion goes on from where the columns stand.

        Parameters
        ----------
        scenario : Scenario
            The treated column, its water that of the first wetting.
        portion : float
            [pore volumes]
        count : int
            How many.

        Returns
        -------
        treated, untreated : Run

        Raises
        ------
        SoilxError
            If the gypsum is dissolved in the water, or a run is refused.
        """
        pair, now = self._pair, (scenario, portion)
        fresh = pair is None or count < self._count or now != self._from
        if (
            pair is not None
            and count == self._count == 0
            and self._from
            and scenario.soil == self._from[0].soil
        ):
            return pair
        if fresh or pair is None:
            pair, self._count = self._dry(scenario), 0
        wetting = (quantity(portion, "pore_volume"), scenario.wettings[0].water)
        for _ in range(count - self._count):
            pair = (pair[0].then(wetting), pair[1].then(wetting))
        self._from, self._pair, self._count = now, pair, count
        self.columns.show(treated=pair[0], untreated=pair[1])
        return pair

    @staticmethod
    def _dry(scenario: Scenario) -> tuple[Run, Run]:
        treated, untreated = sweep(
            [scenario.with_(wettings=()), scenario.without_gypsum().with_(wettings=())]
        )
        return treated, untreated


def portions_so_far(*, treated: Run, untreated: Run) -> mo.Html:
    """The portions collected up to now as a table, the latest first in words.

    Parameters
    ----------
    treated, untreated : Run
        The pair as it stands.
    """
    arms = tables.arms_of(treated=treated, untreated=untreated)
    table = records.portion_table(arms)
    if not table.rows:
        return mo.Html('<p role="status">No water yet. Press “Next portion”.</p>')
    count = treated.leachate.volume.size
    latest = []
    for arm, run in arms.items():
        leachate = run.leachate
        if leachate.volume[-1] > 0:
            sodium = records.leachate_values(leachate, "Na")[-1]
            latest.append(f"{arm}: {leachate.clarity[-1]}, sodium {sodium:.1f} mmol/L")
        else:
            latest.append(f"{arm}: nothing drips yet")
    told = "; ".join(latest)
    words = f"Portion {count}. {told[0].upper()}{told[1:]}. {sentences.columns_caption(arms)}"
    head = "".join(f'<th scope="col">{html.escape(title)}</th>' for title in table.titles)
    body = "".join(
        f'<tr><th scope="row">{html.escape(row[0])}</th>'
        + "".join(f"<td>{html.escape(cell)}</td>" for cell in row[1:])
        + "</tr>"
        for row in table.rows
    )
    return mo.Html(
        f'<p role="status">{html.escape(words)}</p><div class="soilx-portions"><table>'
        f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>"
    )


def _range_caption(arms: tables.Arms, quantity: str) -> str:
    """Where a quantity begins and ends in each column's leachate."""
    followed = records.QUANTITIES[quantity]
    parts = []
    for arm, run in arms.items():
        values = records.leachate_values(run.step_leachate, quantity)
        if values:
            first, last = (f"{value:.{followed.digits}f}" for value in (values[0], values[-1]))
            parts.append(f"{first} to {last} {arm}")
        else:
            parts.append(f"nothing has drained {arm}")
    return f"First to last drop: {'; '.join(parts)}."


def _places_caption(arms: tables.Arms) -> str:
    """Where each column's sodium is, in numbers."""
    parts = []
    for arm, run in arms.items():
        amounts = records.place_amounts(run)
        told = ", ".join(f"{amount:.0f} {place}" for place, amount in amounts.items())
        parts.append(f"{arm.capitalize()}: {told}")
    return f"{'. '.join(parts)} mg/kg."
