"""The bench page's own widgets as they stand on paper: the record, what was typed, what was ticked."""

import json
from typing import Any

from soilx.handouts.page_parts import bullets, paragraph
from soilx.handouts.page_table import table
from soilx.show.tables import NumberTable


def record_on_paper(widget: Any) -> str:
    """A record's rows, without the columns that nobody filled, and what is wrong with it.

    Parameters
    ----------
    widget : widget
        Of `soilx.show.bench_sheet.Sheet`.
    """
    shown = json.loads(widget.wire)
    filled = [at for at in range(len(shown["titles"])) if any(row[at] for row in shown["rows"])]
    said = paragraph(f"{shown['name']}. {shown['where']}")
    if not filled:
        return said
    rows = tuple(tuple(row[at] or "–" for at in filled) for row in shown["rows"])
    titles = tuple(shown["titles"][at] for at in filled)
    return (
        said
        + table(NumberTable(titles=titles, rows=rows), caption="The record, portion by portion")
        + bullets(shown["problems"])
    )


def ticked_on_paper(widget: Any) -> str:
    """What is ticked of what can be.

    Parameters
    ----------
    widget : widget
        Of `soilx.show.ticks.Ticks`.
    """
    chosen = [words for key, words in zip(widget.options, widget.texts, strict=True) if key in widget.ticked]
    return paragraph(f"{widget.label}: {'; '.join(chosen) or 'none'}.")
