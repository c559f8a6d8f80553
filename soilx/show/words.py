"""Words on a page that change in place: the sentence under the sliders, and the list of what was assumed."""

from __future__ import annotations

from collections.abc import Callable
from importlib.resources import files
from typing import TYPE_CHECKING, Final, TypeVar

import anywidget
import traitlets

from soilx.errors import SoilxError
from soilx.show import sentences

if TYPE_CHECKING:
    from soilx.column.run import Run
    from soilx.column.soil import Soil

_STATIC: Final = files("soilx.show") / "static"
_Made = TypeVar("_Made")


class Sentence(anywidget.AnyWidget):
    """One sentence that changes in place; a screen reader hears it once the slider rests.

    What cannot be is said in its place, while the rest of the page keeps the last picture.
    """

    _esm = (_STATIC / "sentence.js").read_text(encoding="utf-8")
    _css = (_STATIC / "sentence.css").read_text(encoding="utf-8")
    text = traitlets.Unicode().tag(sync=True)
    refusal = traitlets.Unicode().tag(sync=True)

    def __init__(self) -> None:
        super().__init__()
        self._rate_unit = sentences.RATE_UNIT

    def say_rates_in(self, unit: str) -> None:
        """Say gypsum rates in this unit from now on.

        Parameters
        ----------
        unit : str
            A unit of area rates ("short ton/acre").
        """
        self._rate_unit = unit

    def show(self, *, treated: Run, untreated: Run, before: Run | None = None) -> None:  # noqa: ARG002
        """Say what a pair of runs came to.

        Parameters
        ----------
        treated, untreated : Run
            The same soil and water with gypsum and without.
        before : Run, optional
            Not said.
        """
        self.text = sentences.outcome(treated=treated, untreated=untreated, unit=self._rate_unit)

    def heard(self, made: Callable[[], _Made]) -> _Made | None:
        """What is made, or None with the reason in place of the sentence.

        Parameters
        ----------
        made : callable
            Makes something that the library may refuse.
        """
        try:
            done = made()
        except SoilxError as refused:
            self.refusal = str(refused)
            return None
        self.refusal = ""
        return done


class Assumptions(anywidget.AnyWidget):
    """Every default and every note behind a pair of runs, folded under one line."""

    _esm = (_STATIC / "list.js").read_text(encoding="utf-8")
    _css = (_STATIC / "list.css").read_text(encoding="utf-8")
    heading = traitlets.Unicode("What was assumed").tag(sync=True)
    lines = traitlets.List(traitlets.Unicode()).tag(sync=True)

    def show(self, *, treated: Run, untreated: Run, before: Run | None = None) -> None:  # noqa: ARG002
        """List what the treated column took for granted; the untreated one differs in its gypsum alone.

        Parameters
        ----------
        treated, untreated : Run
            The same soil and water with gypsum and without.
        before : Run, optional
            Not listed.
        """
        self.lines = sentences.assumptions(treated=treated, untreated=untreated)


class Line(anywidget.AnyWidget):
    """One line about the soil that is shown, changing in place.

    Parameters
    ----------
    said : callable
        From the soil to the line.
    tag : str
        "h1" for the page's heading, "p" for a line of text.
    """

    _esm = (_STATIC / "line.js").read_text(encoding="utf-8")
    _css = (_STATIC / "line.css").read_text(encoding="utf-8")
    text = traitlets.Unicode().tag(sync=True)
    tag = traitlets.Enum(("h1", "p"), default_value="p").tag(sync=True)

    def __init__(self, said: Callable[[Soil], str], *, tag: str = "p") -> None:
        super().__init__(tag=tag)
        self._said = said

    def show(self, *, treated: Run, untreated: Run, before: Run | None = None) -> None:  # noqa: ARG002
        """Say what is to be said of the soil of a pair of runs.

        Parameters
        ----------
        treated, untreated : Run
            The same soil and water with gypsum and without.
        before : Run, optional
            Not said.
        """
        self.text = self._said(treated.scenario.soil)


def question() -> Line:
    """The page's question, with the soil's name."""
    return Line(sentences.question, tag="h1")


def soil_words() -> Line:
    """Which soil this is: name, depth, density, and what one pore volume of it means."""
    return Line(sentences.soil_line)
