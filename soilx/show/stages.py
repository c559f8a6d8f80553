"""A page that opens one part at a time, each in steps: asked, the curve, the numbers, why."""

from __future__ import annotations

from collections.abc import Sequence
from importlib.resources import files
from typing import Final

import anywidget
import marimo as mo
import traitlets

from soilx.errors import require
from soilx.show.page import Shown

_STATIC: Final = files("soilx.show") / "static"

ASKED: Final = 0
CURVE: Final = 1
NUMBERS: Final = 2
WHY: Final = 3
"""Steps in which a stage of the taught path opens."""


class _StagesWidget(anywidget.AnyWidget):
    """The part in the browser: it opens and closes the parts of the page by itself."""

    _esm = (_STATIC / "stages.js").read_text(encoding="utf-8")
    _css = (_STATIC / "stages.css").read_text(encoding="utf-8")
    names = traitlets.List(traitlets.Unicode()).tag(sync=True)
    stage = traitlets.Int(1).tag(sync=True)
    step = traitlets.Int(ASKED).tag(sync=True)
    plain = traitlets.Bool(False).tag(sync=True)
    # The stages whose question was answered, or passed over.
    guessed = traitlets.List(traitlets.Int()).tag(sync=True)

    @traitlets.validate("stage")
    def _exists(self, proposal: traitlets.Bunch) -> int:
        return int(
            require(
                "stage",
                int(proposal["value"]),
                "",
                low=1,
                high=len(self.names),
                whose=f"a page of {len(self.names)} stages",
                remedy="give one of them, counted from 1",
            )
        )

    @traitlets.validate("step")
    def _opens(self, proposal: traitlets.Bunch) -> int:
        return int(
            require(
                "step",
                int(proposal["value"]),
                "",
                low=ASKED,
                high=WHY,
                whose="a stage: asked, the curve, the numbers, why",
                remedy="give one of them, counted from 0",
            )
        )


class Stages(mo.ui.anywidget):
    """Where a staged page stands; ``value`` is the last stage that is open, counted from 1.

    Parameters
    ----------
    names : sequence of str
        What each stage is about.
    stage : int
        Where it starts.
    plain : bool
        Whether it starts in the plain view, where nothing is asked and a stage opens whole.

    Raises
    ------
    LimitError
        If there is no such stage.
    """

    def __init__(self, names: Sequence[str], *, stage: int = 1, plain: bool = False) -> None:
        super().__init__(_StagesWidget(names=list(names), stage=stage, plain=plain))

    @property
    def shown(self) -> Shown:
        """What a page layout places."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; stages have one number to give.
    @property  # type: ignore[misc]
    def value(self) -> int:  # type: ignore[override]
        """The last stage that is open, counted from 1."""
        return int(self.widget.stage)

    @property
    def locked(self) -> bool:
        """Whether the first run is still to be guessed, or hidden again."""
        return self._at(ASKED)

    @property
    def numbers(self) -> bool:
        """Whether the first pictures carry their numbers."""
        return not self._at(CURVE)

    def pass_on(self) -> None:
        """Open the first stage whole, as for who would rather look first; no change once it was opened."""
        widget = self.widget
        if self.locked and 1 not in widget.guessed:
            widget.guessed = [*widget.guessed, 1]
            widget.step = WHY

    def _at(self, step: int) -> bool:
        widget = self.widget
        return not widget.plain and (widget.stage, widget.step) == (1, step)


class AskFirst(anywidget.AnyWidget):
    """The switch between the taught path, which asks first, and the plain view, which shows."""

    _esm = (_STATIC / "ask_first.js").read_text(encoding="utf-8")
    _css = (_STATIC / "desk.css").read_text(encoding="utf-8")
    label = traitlets.Unicode("Ask me first").tag(sync=True)
    note = traitlets.Unicode("(off: the plain view)").tag(sync=True)
