"""Sheets and forms on paper: every fold written out, every box that is filled with what stands in it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, Final

from soilx.handouts.page_parts import bullets, paragraph
from soilx.handouts.page_table import table
from soilx.handouts.page_text import text
from soilx.show.tables import NumberTable

_LOOKS: Final = {"verdict": "finding", "strong": "finding", "caution": "soilx-caution", "note": "small"}


def sheet_on_paper(widget: Any, *, level: int, unfolded: bool = True) -> str:
    """Markup of a sheet.

    Parameters
    ----------
    widget : Sheet
    level : int
        Rank of its headings.
    unfolded : bool
        Whether what is behind a fold is written out, or left to be opened.
    """
    return "".join(_block(block, level, unfolded) for block in json.loads(widget.wire))


def form_on_paper(widget: Any) -> str:
    """Markup of a form: the boxes that hold something.

    Parameters
    ----------
    widget : the browser's part of a Form
    """
    labels = {field["key"]: field["label"] for group in widget.groups for field in group["fields"]}
    filled = [f"{labels.get(key, key)}: {value}" for key, value in widget.texts.items() if value]
    typed = bullets(filled) if filled else paragraph(f"{widget.label}: nothing is typed.", look="small")
    whys = [*widget.refusals.values(), *filter(None, [widget.refusal])]
    return typed + "".join(f"<p><strong>{text(why)}</strong></p>" for why in whys)


def _block(block: Mapping[str, Any], level: int, unfolded: bool) -> str:
    kind = block["kind"]
    if kind == "line":
        return _line(block["text"], block["look"], level)
    if kind == "points":
        tag = "ol" if block["ordered"] else "ul"
        items = "".join(f"<li>{text(each)}</li>" for each in block["texts"])
        return f"<{tag}>{items}</{tag}>" if items else ""
    if kind == "grid":
        return _grid(block)
    inside = "".join(_block(each, level, unfolded) for each in block["blocks"])
    if not unfolded:
        return f"<details><summary>{text(block['title'])}</summary>{inside}</details>"
    return f'<div class="note"><p><strong>{text(block["title"])}</strong></p>{inside}</div>'


def _line(said: str, look: str, level: int) -> str:
    if look == "title":
        return f"<h{level}>{text(said)}</h{level}>"
    if look == "stop":
        return f"<p><strong>{text(said)}</strong></p>"
    return paragraph(said, look=_LOOKS.get(look, ""))


def _grid(block: Mapping[str, Any]) -> str:
    titles = tuple(block["titles"])
    numbers = NumberTable(titles=titles, rows=tuple(map(tuple, block["rows"])))
    return table(numbers, caption=block["caption"] or ", ".join(filter(None, titles)))
