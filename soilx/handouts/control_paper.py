"""Controls as they stand on paper: what they are set to, or what was read of them last."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any, Final

from soilx.handouts.page_parts import paragraph
from soilx.handouts.page_table import table
from soilx.handouts.page_text import text
from soilx.show.tables import NumberTable

_NEAR: Final = 1e-9


def slider(widget: Any) -> str:
    """A slider's quantity and the number it stands at, in the unit in use and in its others."""
    own = {"unit": widget.unit, "factor": 1.0, "digits": widget.digits}
    readings = [own, *widget.readings]
    used = next((one for one in readings if one["unit"] == widget.used), own)
    others = " = ".join(_read(widget.value, one) for one in readings if one is not used)
    also = f" = {others}" if others else ""
    note = paragraph(widget.note, look="small") if widget.note else ""
    return f"{setting(widget.quantity, _read(widget.value, used), also=also)}{note}"


def _read(value: float, reading: Any) -> str:
    return f"{value * reading['factor']:.{reading['digits']}f} {reading['unit']}"


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


def goal(widget: Any, sliders: Iterable[Any]) -> str:
    """What is to be reached, and what is said where its slider stands there.

    Parameters
    ----------
    widget : Goal
    sliders : iterable of widget
        All that are on the page, or none where it is to be reached on paper.
    """
    there = any(
        one.has_trait("quantity")
        and one.has_trait("value")
        and one.quantity == widget.quantity
        and widget.low - _NEAR <= one.value <= widget.high + _NEAR
        for one in sliders
    )
    reached = paragraph(f"Reached. {widget.done}") if there else ""
    return paragraph(f"Goal: {widget.goal}", look="question") + reached


def refused(widget: Any) -> str:
    """Why what was typed cannot be, where something cannot."""
    why = getattr(widget, "refusal", "")
    return f"<p><strong>{text(why)}</strong></p>" if why else ""


def said_of_work(widget: Any) -> str:
    """What came of longer work, where it was asked for."""
    return paragraph(widget.said) if widget.said else ""


def setting(label: str, value: object, *, also: str = "") -> str:
    """A name and what it is set to.

    Parameters
    ----------
    label : str
        The name.
    value : object
        Shown as its text, "yes" or "no" for a switch.
    also : str
        The same in other units.
    """
    shown = {True: "yes", False: "no"}[value] if isinstance(value, bool) else value
    set_to = text("–" if shown in (None, "") else shown)
    return f'<p class="setting">{text(label)}: <strong>{set_to}</strong>{text(also)}</p>'
