"""The list of problems, grouped by level, of which one is picked; it says which are done."""

from __future__ import annotations

from collections.abc import Mapping
from importlib.resources import files
from typing import Final

import anywidget
import marimo as mo
import traitlets

from soilx.errors import refuse
from soilx.show.page import Shown
from soilx.teaching.problem import Level
from soilx.teaching.problems import PROBLEMS, problems_of

_STATIC: Final = files("soilx.show") / "static"


class _ListWidget(anywidget.AnyWidget):
    """The part in the browser; its problems never change, their marks do."""

    _esm = (_STATIC / "homework_list.js").read_text(encoding="utf-8")
    _css = (_STATIC / "pick.css").read_text(encoding="utf-8")
    label = traitlets.Unicode().tag(sync=True)
    groups = traitlets.List(traitlets.Dict()).tag(sync=True)
    marks = traitlets.Dict().tag(sync=True)
    picked = traitlets.Unicode().tag(sync=True)

    @traitlets.validate("picked")
    def _offered(self, proposal: traitlets.Bunch) -> str:
        picked = str(proposal["value"])
        if picked not in PROBLEMS:
            refuse(
                self.label,
                picked,
                "",
                wrong="is not in the list",
                limit=f"the list holds {', '.join(PROBLEMS)}",
                remedy="take one of them",
            )
        return picked


class ProblemList(mo.ui.anywidget):
    """Every problem by level; ``value`` is the key of the one that is picked.

    Parameters
    ----------
    label : str
        What is picked, as the student reads it.
    value : str
        Key of the problem at the start.

    Raises
    ------
    LimitError
        If there is no such problem.
    """

    def __init__(self, label: str, *, value: str) -> None:
        groups = [
            {
                "title": f"{int(level)}. {level.words}",
                "items": [{"key": problem.key, "text": problem.title} for problem in problems_of(level)],
            }
            for level in Level
        ]
        super().__init__(_ListWidget(label=label, groups=groups, picked=value))

    @property
    def shown(self) -> Shown:
        """What a page layout places; a cell that reads only this is not run again by a pick."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; a list has one pick to give.
    @property  # type: ignore[misc]
    def value(self) -> str:  # type: ignore[override]
        """Key of the problem that is picked."""
        return str(self.widget.picked)

    def mark(self, marks: Mapping[str, str]) -> None:
        """Say behind the titles how far each problem is; no cell is run for it.

        Parameters
        ----------
        marks : mapping of str to str
            By key; such as "solved". What is not named has no mark.
        """
        self.widget.marks = dict(marks)
