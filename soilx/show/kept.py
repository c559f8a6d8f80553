"""Curves that were kept: up to three settings of the treated column, frozen under a letter each."""

from __future__ import annotations

from dataclasses import dataclass
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Final

import anywidget
import marimo as mo
import traitlets

from soilx.show import sentences
from soilx.show.page import Shown

if TYPE_CHECKING:
    from soilx.column.run import Run

_STATIC: Final = files("soilx.show") / "static"

LETTERS: Final = "ABC"
"""Names of the curves that may be kept at a time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """One curve that was kept.

    Attributes
    ----------
    letter : str
        Its name on the charts.
    run : Run
        The treated column as it was.
    """

    letter: str
    run: Run


class _KeptWidget(anywidget.AnyWidget):
    """The part in the browser: a button, and a line for each curve."""

    _esm = (_STATIC / "kept.js").read_text(encoding="utf-8")
    _css = (_STATIC / "kept.css").read_text(encoding="utf-8")
    keeps = traitlets.Int(0).tag(sync=True)
    gone = traitlets.List(traitlets.Unicode()).tag(sync=True)
    lines = traitlets.List(traitlets.List(traitlets.Unicode())).tag(sync=True)
    said = traitlets.Unicode().tag(sync=True)


class KeptCurves(mo.ui.anywidget):
    """A button that keeps the curve on screen, and the list of those that were kept.

    Attributes
    ----------
    curves : tuple of Kept
        At most one for each of `LETTERS`.
    """

    def __init__(self) -> None:
        super().__init__(_KeptWidget())
        self.curves: tuple[Kept, ...] = ()
        self._now: Run | None = None
        self.widget.observe(self._keep, names="keeps")
        self.widget.observe(self._remove, names="gone")

    @property
    def shown(self) -> Shown:
        """What a page layout places; a cell that reads only this is not run again by a press."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; here one number is set.
    @property  # type: ignore[misc]
    def value(self) -> int:  # type: ignore[override]
        """How many curves are kept."""
        return len(self.curves)

    def show(self, *, treated: Run, untreated: Run, before: Run | None = None) -> None:  # noqa: ARG002
        """Remember what a press would keep.

        Parameters
        ----------
        treated, untreated : Run
            The same soil and water with gypsum and without.
        before : Run, optional
            Not kept.
        """
        self._now = treated

    def _keep(self, _: Any) -> None:
        used = {kept.letter for kept in self.curves}
        free = [letter for letter in LETTERS if letter not in used]
        run = self._now
        if run is None or not run.scenario.volume:
            self.widget.said = "There is no curve before the first water."
        elif any(kept.run.scenario == run.scenario for kept in self.curves):
            self.widget.said = "This curve is kept already."
        elif not free:
            self.widget.said = f"{len(LETTERS)} curves are kept. Remove one first."
        else:
            self.curves = tuple(
                sorted((*self.curves, Kept(letter=free[0], run=run)), key=lambda kept: kept.letter)
            )
            self._say()

    def _remove(self, _: Any) -> None:
        gone = set(self.widget.gone)
        if gone:
            self.curves = tuple(kept for kept in self.curves if kept.letter not in gone)
            self.widget.gone = []
            self._say()

    def _say(self) -> None:
        self.widget.said = ""
        self.widget.lines = [[kept.letter, sentences.kept(kept.run)] for kept in self.curves]
