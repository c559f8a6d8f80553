"""The whole page of a bench record: what it says, its readings, and the column that the model makes of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Final

from soilx import wording
from soilx.bench.budget import Budget, budget_of
from soilx.bench.budget_field import field_rows
from soilx.bench.budget_pair import pair_of
from soilx.bench.budget_words import sentences_of
from soilx.column.leaching import leach
from soilx.errors import SoilxError
from soilx.handouts.bench_model import scenario_of_record
from soilx.handouts.moving import moving
from soilx.handouts.page_parts import bullets, carried_file, document, made_line, paragraph, section
from soilx.handouts.page_table import table
from soilx.handouts.scenario_page import LIVE_CHARTS, pair_figures
from soilx.show.tables import NumberTable, arms_of

if TYPE_CHECKING:
    from soilx.bench.record import Record
    from soilx.handouts.live_charts import LivePart
    from soilx.handouts.record_in_page import Number

_RATE: Final = "g/kg"
_ARMS: Final = ("gypsum", "control")


def bench_page(
    record: Record, *, text: str, units: str, progress: Callable[[float], None], made_on: dt.date
) -> tuple[str, dict[str, Number]]:
    """The page of a bench record, and its key figures.

    Parameters
    ----------
    record : Record
    text : str
        Of its file, which travels in the page.
    units : str
        "metric" or "us", for depths.
    progress : callable
        Told how far the work is, from 0 to 1.
    made_on : date
        As shown.

    Raises
    ------
    SoilxError
        If the record does not say how much soil was in a column.
    """
    budget = budget_of(record)
    said = sentences_of(budget)
    known = (*map(str, record.problems), *record.notes)
    live, still, model = _model(record, units=units, progress=progress)
    page = document(
        f"Bench run: {record.words.get('soil') or record.name}",
        paragraph(_finding(budget) or said[0], look="finding"),
        paragraph(wording.CAUTION_BENCH, look="soilx-caution"),
        paragraph(made_line(made_on), look="small"),
        section("What it says", bullets(said)),
        *((live.markup,) if live else ()),
        section("The model's column", bullets(model), *still),
        _on_the_field(budget),
        section("What was read", *_rows(record)),
        *((section("What to know of the record", bullets(known)),) if known else ()),
        section("What the model leaves out", bullets((wording.MODEL_LEAVES_OUT,))),
        section("Cautions", bullets(wording.ALL_CAUTIONS)),
        section(
            "The record",
            carried_file(text, Path(record.name).stem, suffix="csv", kind="text/csv", what="record"),
        ),
        live=(live,) if live else (),
    )
    return page, _numbers(budget)


def _finding(budget: Budget) -> str:
    if not set(_ARMS) <= set(budget.record.arms):
        return ""
    value = pair_of(budget).leached.value
    if value is None:
        return ""
    return (
        f"Gypsum minus control: {0.1 * value.value:.2f} ± {0.1 * value.half_width:.2f} mmol of sodium more "
        "left with the water, for each 100 g of soil."
    )


def _model(
    record: Record, *, units: str, progress: Callable[[float], None]
) -> tuple[LivePart | None, tuple[str, ...], tuple[str, ...]]:
    """The sliders of the record's own column, its charts that stand still, and what to say of it."""
    try:
        scenario, said = scenario_of_record(record)
        arms = arms_of(treated=leach(scenario), untreated=leach(scenario.without_gypsum()))
        live = moving(scenario, units=units, gypsum_unit=_RATE, progress=progress)
    except SoilxError as refusal:
        return None, (), (str(refusal),)
    return live, tuple(pair_figures(arms, moving=live is not None, only=LIVE_CHARTS)), said


def _on_the_field(budget: Budget) -> str:
    try:
        rows = tuple((row.name, row.bench, row.field) for row in field_rows(budget))
    except SoilxError as refusal:
        return section("On the field", paragraph(refusal))
    shown = NumberTable(titles=("What", "On the bench", "On the field"), rows=rows)
    return section(
        "On the field",
        table(shown, caption="The same by soil mass"),
        paragraph(wording.CAUTION_RATE, look="soilx-caution"),
    )


def _rows(record: Record) -> list[str]:
    """The readings as they were typed, without columns that nobody filled."""
    head, *body = [row for row in record.rows if row and not row[0].startswith("#")] or [()]
    filled = [at for at in range(len(head)) if any(at < len(row) and row[at] for row in body)]
    rows = tuple(tuple(row[at] if at < len(row) and row[at] else "–" for at in filled) for row in body)
    shown = NumberTable(titles=tuple(head[at].replace("_", " ") for at in filled), rows=rows)
    return [table(shown, caption="The readings, portion by portion")] if filled else []


def _numbers(budget: Budget) -> dict[str, Number]:
    found: dict[str, Number] = {}
    for (arm, number), column in budget.columns.items():
        for what, value in (
            ("sodium leached, mmol/kg", column.amounts.leached),
            ("sodium off the clay by the water, mmol/kg", column.displaced),
            ("sodium off the clay by the soil, mmol/kg", column.displaced_by_soil),
            ("out over in", column.closure),
        ):
            found[f"{arm} {number}: {what}"] = None if value is None else value.value
    return found
