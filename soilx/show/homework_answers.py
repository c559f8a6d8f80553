"""The boxes that a problem is answered in, with what is said to each answer beside it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib.resources import files
from typing import Any, Final

import anywidget
import marimo as mo
import traitlets

from soilx.show.page import Shown
from soilx.teaching.attempts import Attempt
from soilx.teaching.problem import Asked

_STATIC: Final = files("soilx.show") / "static"
_IN_WORDS: Final = {"pore_volume": "pore volumes", "dimensionless": ""}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """What a student sent up to now.

    Attributes
    ----------
    checks, fresh : int
        How often an answer was to be checked, and a fresh problem asked for.
    texts : mapping of str to str
        What stood in the boxes at the last press, by part.
    """

    checks: int = 0
    fresh: int = 0
    texts: Mapping[str, str] = field(default_factory=dict)


class _AnswersWidget(anywidget.AnyWidget):
    """The part in the browser."""

    _esm = (_STATIC / "homework_answers.js").read_text(encoding="utf-8")
    _css = (_STATIC / "homework_answers.css").read_text(encoding="utf-8")
    # All that is shown travels as one: boxes never stand beside what is said to others.
    board = traitlets.Dict().tag(sync=True)
    sent = traitlets.Dict().tag(sync=True)


class Answers(mo.ui.anywidget):
    """Boxes and buttons; ``value`` is what was sent."""

    def __init__(self) -> None:
        board = {"token": "", "parts": [], "texts": {}, "said": {}, "over": False}
        super().__init__(_AnswersWidget(board=board, sent={"checks": 0, "fresh": 0, "texts": {}}))

    @property
    def shown(self) -> Shown:
        """What a page layout places; a cell that reads only this is not run again by an answer."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; this one has what was sent to give.
    @property  # type: ignore[misc]
    def value(self) -> Sent:  # type: ignore[override]
        """What was sent up to now."""
        sent: Mapping[str, Any] = self.widget.sent
        texts = sent.get("texts")
        return Sent(
            checks=_count(sent.get("checks")),
            fresh=_count(sent.get("fresh")),
            texts={str(key): str(text) for key, text in texts.items()} if isinstance(texts, dict) else {},
        )

    def put(self, attempt: Attempt | None, texts: Mapping[str, str]) -> None:
        """Show the boxes of an attempt, and what is said to its last answers; no cell is run for it.

        Parameters
        ----------
        attempt : Attempt or None
            None for no boxes.
        texts : mapping of str to str
            What stands in them where the problem is another than before.
        """
        asked = () if attempt is None else attempt.variant.asked
        judged = {} if attempt is None else attempt.judged
        said = {key: {"text": one.text, "outcome": one.outcome.value} for key, one in judged.items()}
        self.widget.board = {
            # Where it changes, the boxes are made anew.
            "token": "" if attempt is None else attempt.variant.seed.text,
            "parts": [_part(part) for part in asked],
            "texts": dict(texts),
            "said": said,
            "over": attempt is not None and attempt.over,
        }


def _part(asked: Asked) -> dict[str, object]:
    unit = _IN_WORDS.get(asked.unit, asked.unit)
    # A number is not parted from its percent sign at the end of a line.
    allowance = asked.allowance.replace(" %", "\u00a0%")
    if asked.kind is None:
        hint = "Choose one."
    elif unit:
        hint = f"A number with its unit, in {unit} or another unit of its kind; {allowance}."
    else:
        hint = f"A number; {allowance}."
    label = asked.words[:1].upper() + asked.words[1:]
    return {
        "key": asked.key,
        "label": f"{label}, {unit}" if unit else label,
        "hint": hint,
        "choices": [list(choice) for choice in asked.choices],
    }


def _count(given: object) -> int:
    return given if isinstance(given, int) and not isinstance(given, bool) else 0
