"""A number guessed before the run, and how sure; such as the level the treated column comes to."""

from __future__ import annotations

from collections.abc import Sequence
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Final

import anywidget
import marimo as mo
import traitlets

from soilx.errors import require
from soilx.show import guess_words
from soilx.show.page import Shown

if TYPE_CHECKING:
    from soilx.column.run import Run

_STATIC: Final = files("soilx.show") / "static"

OPEN: Final = "open"
GUESSED: Final = "guessed"
PASSED: Final = "shown"

SURENESS: Final = ("a wild guess", "fairly sure", "certain")
BANDS_PCT: Final = (0.0, 5.0, 10.0, 15.0)
"""Lower ends of the levels that a room is asked to raise hands for [%]."""


class _LevelGuessWidget(anywidget.AnyWidget):
    """The part in the browser."""

    _esm = "\n".join((_STATIC / name).read_text(encoding="utf-8") for name in ("votes.js", "level_guess.js"))
    _css = "\n".join(
        (_STATIC / name).read_text(encoding="utf-8") for name in ("level_guess.css", "votes.css")
    )
    stage = traitlets.Int(1).tag(sync=True)
    question = traitlets.Unicode().tag(sync=True)
    hint = traitlets.Unicode().tag(sync=True)
    quantity = traitlets.Unicode().tag(sync=True)
    unit = traitlets.Unicode().tag(sync=True)
    low = traitlets.Float(0.0).tag(sync=True)
    high = traitlets.Float().tag(sync=True)
    step = traitlets.Float().tag(sync=True)
    sureness = traitlets.List(traitlets.Unicode(), list(SURENESS)).tag(sync=True)
    bands = traitlets.List(traitlets.Unicode()).tag(sync=True)
    state = traitlets.Enum((OPEN, GUESSED, PASSED), default_value=OPEN).tag(sync=True)
    level = traitlets.Float(0.0).tag(sync=True)
    sure = traitlets.Int(-1).tag(sync=True)
    # What the page says of the guess, of the run beside it, and which band of the room's votes holds.
    guess = traitlets.Unicode().tag(sync=True)
    found = traitlets.Unicode().tag(sync=True)
    band = traitlets.Int(-1).tag(sync=True)

    @traitlets.validate("level")
    def _within(self, proposal: traitlets.Bunch) -> float:
        return require(
            "guess",
            float(proposal["value"]),
            self.unit,
            low=self.low,
            high=self.high,
            whose="the slider of the guess",
            remedy="give a level in between",
        )

    @traitlets.validate("sure")
    def _offered(self, proposal: traitlets.Bunch) -> int:
        return int(
            require(
                "how sure",
                int(proposal["value"]),
                "",
                low=-1,
                high=len(self.sureness) - 1,
                whose="the list of answers, counted from 0; -1 for none",
                remedy="give the place of one of them",
            )
        )


class NumberGuess(mo.ui.anywidget):
    """A question for a number, answered before the run; what is asked and said is its subclass's.

    Parameters
    ----------
    quantity, unit : str
        What is guessed.
    high, step : float
        Where its slider ends, from 0, and its steps [unit].
    bands : sequence of str
        What a room is asked to raise hands for.
    stage : int
        Of the page, which opens with the answer.
    """

    def __init__(
        self, quantity: str, unit: str, *, high: float, step: float, bands: Sequence[str], stage: int = 1
    ) -> None:
        super().__init__(
            _LevelGuessWidget(
                stage=stage, high=high, step=step, quantity=quantity, unit=unit, bands=list(bands)
            )
        )
        self.widget.observe(self._say, names=["state", "level", "sure"])

    @property
    def shown(self) -> Shown:
        """What a page layout places; a cell that reads only this is not run again by the guess."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; a guess has one number to give.
    @property  # type: ignore[misc]
    def value(self) -> float | None:  # type: ignore[override]
        """The number guessed [unit]; nothing where none was."""
        return float(self.widget.level) if self.widget.state == GUESSED else None

    @property
    def sure(self) -> str:
        """How sure the guess was called."""
        return SURENESS[self.widget.sure]

    @property
    def certain(self) -> bool:
        """Whether it was called certain."""
        return bool(self.widget.sure == len(SURENESS) - 1)

    def _say(self, _: Any) -> None:
        raise NotImplementedError


class LevelGuess(NumberGuess):
    """A question for the exchangeable sodium that the treated column comes to, answered before the run.

    Parameters
    ----------
    stage : int
        Of the page, which opens with the answer.
    high : float
        Where its slider ends [%].
    """

    def __init__(self, *, stage: int = 1, high: float = 30.0) -> None:
        ends = [*(f"{end:g}" for end in BANDS_PCT[1:]), "more"]
        bands = [
            f"{low:g} % and more" if end == "more" else f"{low:g} to {end} %"
            for low, end in zip(BANDS_PCT, ends, strict=True)
        ]
        super().__init__(
            "Your guess: exchangeable sodium with gypsum", "%", high=high, step=0.5, bands=bands, stage=stage
        )

    def show(self, *, treated: Run, untreated: Run, before: Run | None = None) -> None:  # noqa: ARG002
        """Ask for the run's end while it has not begun, and afterwards say how far the guess was off.

        Parameters
        ----------
        treated, untreated : Run
            The same soil and water with gypsum and without.
        before : Run, optional
            Not shown.
        """
        widget = self.widget
        self._came_to = treated.final_esp_pct
        if not widget.question:
            self.ask(treated=treated)
        widget.band = max(at for at, low in enumerate(BANDS_PCT) if low <= max(0.0, self._came_to))
        self._say({})

    def ask(self, *, treated: Run) -> None:
        """Put the question for the run that is to be guessed.

        Parameters
        ----------
        treated : Run
            The column with gypsum, run to its end.
        """
        self.widget.question, self.widget.hint = guess_words.guess_question(treated)
        self.widget.band = -1

    _came_to: float | None = None

    def _say(self, _: Any) -> None:
        widget = self.widget
        level = self.value
        widget.guess = "" if level is None else guess_words.guess(level, self.sure)
        if self._came_to is None:
            widget.found = ""
        else:
            widget.found = guess_words.guess_found(level, found_pct=self._came_to, certain=self.certain)
