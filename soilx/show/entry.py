"""A typed text with its unit in it, and room for the one sentence that says why it cannot be."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from importlib.resources import files
from typing import Final, TypeVar

import anywidget
import marimo as mo
import traitlets

from soilx.errors import SoilxError
from soilx.show.page import Shown

_STATIC: Final = files("soilx.show") / "static"
_LONGEST: Final = 200
_Made = TypeVar("_Made")


class _EntryWidget(anywidget.AnyWidget):
    """The part in the browser."""

    _esm = (_STATIC / "entry.js").read_text(encoding="utf-8")
    _css = (_STATIC / "entry.css").read_text(encoding="utf-8")
    label = traitlets.Unicode().tag(sync=True)
    hint = traitlets.Unicode().tag(sync=True)
    text = traitlets.Unicode().tag(sync=True)
    refusal = traitlets.Unicode().tag(sync=True)

    @traitlets.validate("text")
    def _short(self, proposal: traitlets.Bunch) -> str:
        return str(proposal["value"])[:_LONGEST]


class Entry(mo.ui.anywidget):
    """A field for a quantity, typed with its unit; ``value`` is the text.

    Parameters
    ----------
    label : str
        What is typed, as the audience reads it.
    value : str
        What it starts with: an example of how to write it.
    hint : str
        A short line under it, such as other units.
    """

    def __init__(self, label: str, value: str, *, hint: str = "") -> None:
        super().__init__(_EntryWidget(label=label, hint=hint, text=value))

    @property
    def shown(self) -> Shown:
        """What a page layout places; a cell that reads only this is not run again when the text changes."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; a field has one text to give.
    @property  # type: ignore[misc]
    def value(self) -> str:  # type: ignore[override]
        """The text without blanks around it."""
        return str(self.widget.text).strip()

    def move(self, value: str) -> None:
        """Write something else into it; the field shows it, and no cell is run for it.

        Parameters
        ----------
        value : str
            With its unit.
        """
        self.widget.text = value

    def refuse(self, why: str) -> None:
        """Say beside the field why its text cannot be; an empty text takes that back.

        Parameters
        ----------
        why : str
            One sentence.
        """
        self.widget.refusal = why


def heard(
    made: Callable[[], _Made], fields: Mapping[str, object], *, otherwise: Callable[[str], None]
) -> _Made | None:
    """What is made of typed fields, or None with the reason beside the field it is about.

    Parameters
    ----------
    made : callable
        Makes something that the library may refuse.
    fields : mapping of str to Shown
        The fields as a page places them, by the name with which a refusal of each begins.
    otherwise : callable
        Says what is about none of them; called with an empty text where there is nothing to say.
    """
    elsewhere, result, about = "", None, None
    try:
        result = made()
    except SoilxError as refused:
        elsewhere = str(refused)
        about = max((key for key in fields if elsewhere.startswith(key)), key=len, default=None)
    controls = [control for control in map(_control, fields.values()) if control is not None]
    for control in {id(control): control for control in controls}.values():
        mine = about is not None and control is _control(fields[about])
        control.refuse(elsewhere if mine else "")
    otherwise("" if about is not None else elsewhere)
    return result


def _control(shown: object) -> Entry | None:
    control = getattr(shown, "control", None)
    return control if isinstance(control, Entry) else None
