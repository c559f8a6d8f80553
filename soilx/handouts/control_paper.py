"""Controls as they stand on paper: what they are set to, or what was read of them last."""

from __future__ import annotations

import json
from typing import Any

from soilx.handouts.page_parts import paragraph
from soilx.handouts.page_table import table
from soilx.handouts.page_text import text
from soilx.show.tables import NumberTable


def slider(widget: Any) -> str:
    """A slider's quantity and the number it stands at."""
    return setting(widget.quantity, f"{widget.value:.{widget.digits}f} {widget.unit}")


def picked(widget: Any) -> str:
    """A list's name and what is picked of it."""
    return setting(widget.label, widget.texts[widget.options.index(widget.picked)])


def cups(widget: Any) -> str:
    """The last portion, in a sentence and a table."""
    if not widget.wire:
        return ""
    shown = json.loads(widget.wire)
    numbers = NumberTable(
        titles=tuple(shown["table"]["titles"]), rows=tuple(map(tuple, shown["table"]["rows"]))
    )
    return paragraph(shown["said"]) + table(numbers, caption="The last portion")


def level(widget: Any) -> str:
    """A level to be guessed, with a place for it."""
    return paragraph(f"{widget.question} Your guess: ______ {widget.unit}", look="question")


def setting(label: str, value: object) -> str:
    """A name and what it is set to."""
    shown = {True: "yes", False: "no"}[value] if isinstance(value, bool) else value
    set_to = text("–" if shown in (None, "") else shown)
    return f'<p class="setting">{text(label)}: <strong>{set_to}</strong></p>'
