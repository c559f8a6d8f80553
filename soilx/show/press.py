"""A button that counts how often it was pressed."""

from __future__ import annotations

from importlib.resources import files
from typing import Final

import anywidget
import marimo as mo
import traitlets

from soilx.show.page import Shown

_STATIC: Final = files("soilx.show") / "static"


class _PressWidget(anywidget.AnyWidget):
    """The part in the browser."""

    _esm = (_STATIC / "press.js").read_text(encoding="utf-8")
    _css = (_STATIC / "press.css").read_text(encoding="utf-8")
    label = traitlets.Unicode().tag(sync=True)
    # The name under which a key of the page presses it.
    key = traitlets.Unicode().tag(sync=True)
    presses = traitlets.Int(0).tag(sync=True)


class Press(mo.ui.anywidget):
    """A button; ``value`` is how often it was pressed.

    Parameters
    ----------
    label : str
        What it does.
    key : str
        The name under which a key of the page presses it, such as "restore"; none unless given.
    """

    def __init__(self, label: str, *, key: str = "") -> None:
        super().__init__(_PressWidget(label=label, key=key))

    @property
    def shown(self) -> Shown:
        """What a page layout places; a cell that reads only this is not run again by a press."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; a button has one number to give.
    @property  # type: ignore[misc]
    def value(self) -> int:  # type: ignore[override]
        """How often it was pressed."""
        return int(self.widget.presses)
