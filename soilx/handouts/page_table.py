"""Tables of a page: named, scrolled where they are wide, and set side by side where they are long."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from soilx.handouts.page_text import is_figure, text, verbatim
from soilx.show.tables import NumberTable

ROWS_IN_A_BLOCK: Final = 25
"""A table of more rows is set as several short ones side by side: paper is filled in both directions."""

ROWS_IN_SIGHT: Final = 16
"""A table of more rows is scrolled on a screen; on paper it is whole."""

COLUMNS_IN_SIGHT: Final = 2
"""A table of more columns may be wider than a phone."""

LETTERS_IN_A_LINE: Final = 15
"""A column whose cells have no more letters is not broken."""

MOST_ROWS: Final = 240
"""Rows shown at most; of a longer table every second, third, … row is, and the table says so."""


def table(numbers: NumberTable, *, caption: str) -> str:
    """A table with its caption.

    Parameters
    ----------
    numbers : NumberTable
        Titles and rows as printed; the first column names the row.
    caption : str
        What the table shows; of a table longer than `MOST_ROWS`, which rows are shown is added.
    """
    rows = numbers.rows
    if len(rows) > MOST_ROWS:
        every = math.ceil(len(rows) / MOST_ROWS)
        caption = f"{caption}; row {every}, {2 * every}, … of {len(rows)}"
        rows = rows[every - 1 :: every]
    looks = [_look(column) for column in zip(*rows, strict=True)] or [""] * len(numbers.titles)
    count = max(1, math.ceil(len(rows) / ROWS_IN_A_BLOCK))
    height = math.ceil(len(rows) / count)
    blocks = "".join(
        _block(
            numbers.titles,
            rows[part * height : (part + 1) * height],
            looks=looks,
            caption=caption if count == 1 else f"Part {part + 1} of {count}",
        )
        for part in range(count)
    )
    long, wide = len(rows) > ROWS_IN_SIGHT, len(numbers.titles) > COLUMNS_IN_SIGHT
    # What does not fit has to be scrolled by the keyboard too.
    reached = f' role="group" aria-label="{verbatim(caption)}" tabindex="0"' if long or wide else ""
    head = f'<p class="caption">{text(caption)}</p>' if count > 1 else ""
    return f'{head}<div class="numbers{" long" if long else ""}"{reached}>{blocks}</div>'


def _look(column: Sequence[str]) -> str:
    figures = "figure" if all(map(is_figure, column)) else ""
    short = "short" if all(len(cell) <= LETTERS_IN_A_LINE for cell in column) else ""
    looks = " ".join(look for look in (figures, short) if look)
    return f' class="{looks}"' if looks else ""


def _block(
    titles: Sequence[str], rows: Sequence[Sequence[str]], *, looks: Sequence[str], caption: str
) -> str:
    # A head that says nothing heads nothing.
    head = "".join(
        f'<th scope="col"{look}>{text(title)}</th>' if title else f"<td{look}></td>"
        for title, look in zip(titles, looks, strict=True)
    )
    body = "".join(
        "<tr>"
        + f'<th scope="row"{looks[0]}>{text(first)}</th>'
        + "".join(f"<td{look}>{text(cell)}</td>" for cell, look in zip(cells, looks[1:], strict=True))
        + "</tr>"
        for first, *cells in rows
    )
    top = f"<caption>{text(caption)}</caption><thead><tr>{head}</tr></thead>"
    return f"<table>{top}<tbody>{body}</tbody></table>"
