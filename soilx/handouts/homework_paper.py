"""The homework page's list and boxes on paper: the problems by level, and room to write an answer."""

from __future__ import annotations

from typing import Any

from soilx.handouts.control_paper import setting
from soilx.handouts.page_parts import bullets, paragraph
from soilx.handouts.page_text import text


def problems_on_paper(widget: Any, *, level: int) -> str:
    """Markup of the list of problems, each with how far it is.

    Parameters
    ----------
    widget : the browser's part of a ProblemList
    level : int
        Rank of its heading.
    """
    parts = [f"<h{level}>{text('The problems')}</h{level}>"]
    for group in widget.groups:
        parts.append(f"<p><strong>{text(group['title'])}</strong></p>")
        parts.append(bullets(_item(item, widget) for item in group["items"]))
    return "".join(parts)


def problem_picked(widget: Any) -> str:
    """Markup of the problem that is picked, with how far it is.

    Parameters
    ----------
    widget : the browser's part of a ProblemList
    """
    items = (item for group in widget.groups for item in group["items"])
    return "".join(setting("Problem", _item(item, widget)) for item in items if item["key"] == widget.picked)


def answers_on_paper(widget: Any) -> str:
    """Markup of the answer boxes: what stands in them, or a line to write on, and what was said to it.

    Parameters
    ----------
    widget : the browser's part of Answers
    """
    board = widget.board
    return "".join(_box(part, board) for part in board["parts"])


def _item(item: dict[str, str], widget: Any) -> str:
    mark = widget.marks.get(item["key"])
    return f"{item['text']} ({mark})" if mark else item["text"]


def _box(part: dict[str, Any], board: dict[str, Any]) -> str:
    given = board["texts"].get(part["key"], "")
    choices = dict(part["choices"])
    answer = text(choices.get(given, given)) if given else '<span class="blank">&nbsp;</span>'
    offered = bullets(choices.values()) if choices else ""
    said = board["said"].get(part["key"], {}).get("text", "")
    return (
        f'<div class="question"><p><strong>{text(part["label"])}</strong></p>{offered}'
        f"<p>Answer: {answer}</p>{paragraph(part['hint'], look='small')}"
        f"{paragraph(said) if said else ''}</div>"
    )
