"""A button for work that takes longer than a blink, with a bar that says how far it is."""

from __future__ import annotations

from collections.abc import Callable
from importlib.resources import files
from typing import Final, TypeVar

import anywidget
import marimo as mo
import traitlets

from soilx.errors import SoilxError
from soilx.show.page import Shown

_STATIC: Final = files("soilx.show") / "static"
_Made = TypeVar("_Made")
_STEP: Final = 0.02


class _TaskWidget(anywidget.AnyWidget):
    """The part in the browser."""

    _esm = (_STATIC / "task.js").read_text(encoding="utf-8")
    _css = (_STATIC / "task.css").read_text(encoding="utf-8")
    label = traitlets.Unicode().tag(sync=True)
    presses = traitlets.Int(0).tag(sync=True)
    busy = traitlets.Bool(False).tag(sync=True)
    share = traitlets.Float(0.0).tag(sync=True)
    said = traitlets.Unicode().tag(sync=True)


class Task(mo.ui.anywidget):
    """A button; ``value`` is how often it was pressed.

    Parameters
    ----------
    label : str
        What it does.
    """

    def __init__(self, label: str) -> None:
        super().__init__(_TaskWidget(label=label))

    @property
    def shown(self) -> Shown:
        """What a page layout places; a cell that reads only this is not run again by a press."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; a button has one number to give.
    @property  # type: ignore[misc]
    def value(self) -> int:  # type: ignore[override]
        """How often it was pressed."""
        return int(self.widget.presses)

    def told(self, share: float) -> None:
        """Show how far the work is.

        Parameters
        ----------
        share : float
            From 0 to 1.
        """
        # Not more often than the eye sees: every message costs the work some of its time.
        if share >= 1.0 or share - self.widget.share >= _STEP or share < self.widget.share:
            self.widget.share = min(1.0, float(share))

    def say(self, text: str) -> None:
        """Say beside the button what came of it.

        Parameters
        ----------
        text : str
        """
        self.widget.said = text


def worked(
    shown: object, work: Callable[[Callable[[float], None]], _Made], *, said: str = ""
) -> tuple[_Made | None, str]:
    """What some work makes, with its bar moving, or None and the reason where it is refused.

    Parameters
    ----------
    shown : object
        `Task.shown`; where it is none, the work goes on without a bar.
    work : callable
        Takes a function that is told how far it is, from 0 to 1.
    said : str
        Beside the button once it is done.
    """
    task = getattr(shown, "control", None)
    if not isinstance(task, Task):
        task = Task("")
    task.widget.share = 0.0
    task.widget.busy = True
    try:
        made = work(task.told)
    except SoilxError as refused:
        task.say(str(refused))
        return None, str(refused)
    finally:
        task.widget.busy = False
    task.say(said)
    return made, ""
