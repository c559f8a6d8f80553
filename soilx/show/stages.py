"""A page that opens one part at a time: Back, where we are, Next."""

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


class _StagesWidget(anywidget.AnyWidget):
    """The part in the browser: it opens and closes the parts of the page by itself."""

    _esm = (_STATIC / "stages.js").read_text(encoding="utf-8")
    _css = (_STATIC / "stages.css").read_text(encoding="utf-8")
    names = traitlets.List(traitlets.Unicode()).tag(sync=True)
    stage = traitlets.Int(1).tag(sync=True)

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


class Stages(mo.ui.anywidget):
    """Where a staged page stands; ``value`` is the last stage that is open, counted from 1.

    Parameters
    ----------
    names : sequence of str
        What each stage is about.
    stage : int
        Where it starts.

    Raises
    ------
    LimitError
        If there is no such stage.
    """

    def __init__(self, names: Sequence[str], *, stage: int = 1) -> None:
        super().__init__(_StagesWidget(names=list(names), stage=stage))

    @property
    def shown(self) -> Shown:
        """What a page layout places."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; stages have one number to give.
    @property  # type: ignore[misc]
    def value(self) -> int:  # type: ignore[override]
        """The last stage that is open, counted from 1."""
        return int(self.widget.stage)
