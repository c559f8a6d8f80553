"""Moves that were made: a goal for one slider with its end, and a lock that lets one thing change."""

from __future__ import annotations

from importlib.resources import files
from typing import Final

import anywidget
import traitlets

from soilx.errors import refuse
from soilx.show.control import Control
from soilx.show.page import Shown

_STATIC: Final = files("soilx.show") / "static"


class Goal(anywidget.AnyWidget):
    """What is to be reached with a slider, the moves made on the way, and what is said at the end.

    Parameters
    ----------
    goal : str
        What to reach, in one sentence.
    slider : Shown
        As the page places it.
    low, high : float
        Where on the slider it is reached [unit of the slider].
    done : str
        What is said when it is.

    Raises
    ------
    LimitError
        If the slider cannot get there.
    """

    _esm = (_STATIC / "goal.js").read_text(encoding="utf-8")
    _css = (_STATIC / "moves.css").read_text(encoding="utf-8")
    goal = traitlets.Unicode().tag(sync=True)
    done = traitlets.Unicode().tag(sync=True)
    quantity = traitlets.Unicode().tag(sync=True)
    low = traitlets.Float().tag(sync=True)
    high = traitlets.Float().tag(sync=True)

    def __init__(self, goal: str, slider: Shown, *, low: float, high: float, done: str) -> None:
        control = getattr(slider, "control", None)
        if isinstance(control, Control):
            widget = control.widget
            if not widget.low <= low <= high <= widget.high:
                refuse(
                    "goal",
                    f"{low:g} to {high:g}",
                    widget.unit,
                    wrong="cannot be reached",
                    limit=f"the slider goes from {widget.low:g} to {widget.high:g} {widget.unit}",
                    remedy="set the goal in between",
                )
        quantity = control.widget.quantity if isinstance(control, Control) else ""
        super().__init__(goal=goal, done=done, quantity=quantity, low=low, high=high)


class Moves(anywidget.AnyWidget):
    """The list of moves made on a page, and a tick that holds everything but the first thing moved."""

    _esm = (_STATIC / "moves.js").read_text(encoding="utf-8")
    _css = (_STATIC / "moves.css").read_text(encoding="utf-8")
    label = traitlets.Unicode("Change one thing at a time").tag(sync=True)
    release = traitlets.Unicode("“Put everything back” frees the rest.").tag(sync=True)
