"""Words on a page that change in place: the sentence under the sliders, and the list of what was assumed."""

from __future__ import annotations

from importlib.resources import files
from typing import TYPE_CHECKING, Final

import anywidget
import traitlets

from soilx.show import sentences

if TYPE_CHECKING:
    from soilx.column.run import Run

_STATIC: Final = files("soilx.show") / "static"


class Sentence(anywidget.AnyWidget):
    """One sentence that changes in place; a screen reader hears it once the slider rests."""

    _esm = (_STATIC / "sentence.js").read_text(encoding="utf-8")
    _css = (_STATIC / "sentence.css").read_text(encoding="utf-8")
    text = traitlets.Unicode().tag(sync=True)

    def show(self, *, treated: Run, untreated: Run) -> None:
        """Say what a pair of runs came to.

        Parameters
        ----------
        treated, untreated : Run
            The same soil and water with gypsum and without.
        """
        self.text = sentences.outcome(treated=treated, untreated=untreated)


class Assumptions(anywidget.AnyWidget):
    """Every default and every note behind a pair of runs, folded under one line."""

    _esm = (_STATIC / "list.js").read_text(encoding="utf-8")
    _css = (_STATIC / "list.css").read_text(encoding="utf-8")
    heading = traitlets.Unicode("What was assumed").tag(sync=True)
    lines = traitlets.List(traitlets.Unicode()).tag(sync=True)

    def show(self, *, treated: Run, untreated: Run) -> None:
        """List what the treated column took for granted; the untreated one differs in its gypsum alone.

        Parameters
        ----------
        treated, untreated : Run
            The same soil and water with gypsum and without.
        """
        self.lines = sentences.assumptions(treated=treated, untreated=untreated)


class Line(anywidget.AnyWidget):
    """One line of small print that changes in place."""

    _esm = (_STATIC / "line.js").read_text(encoding="utf-8")
    _css = (_STATIC / "line.css").read_text(encoding="utf-8")
    text = traitlets.Unicode().tag(sync=True)
