"""A guess before the picture: the learner commits to one answer, and is told what lies behind it."""

from __future__ import annotations

from dataclasses import dataclass
from importlib.resources import files
from typing import Final

import anywidget
import marimo as mo
import traitlets

from soilx.errors import refuse
from soilx.show.page import Shown

_STATIC: Final = files("soilx.show") / "static"

UNANSWERED: Final = -1
SHOWN: Final = -2
"""The answer of who would rather look first."""


_SEEN: Final = {
    "commit": "This is what I saw",
    "skip": "Show me",
    "holds": "So it was.",
    "fails": "Look again at the picture.",
    "voted": False,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One answer a learner may give.

    Attributes
    ----------
    text : str
        The answer.
    reply : str
        What is said to who gave it: the thought behind it, and where it goes wrong.
    right : bool
        Whether it is the right one.
    drawn : float, optional
        Where the picture marks this guess, in the unit of the picture.
    """

    text: str
    reply: str
    right: bool = False
    drawn: float | None = None


class _PredictionWidget(anywidget.AnyWidget):
    """The part in the browser; only its answer changes, and only once."""

    _esm = "\n".join((_STATIC / name).read_text(encoding="utf-8") for name in ("votes.js", "prediction.js"))
    _css = "\n".join((_STATIC / name).read_text(encoding="utf-8") for name in ("prediction.css", "votes.css"))
    question = traitlets.Unicode().tag(sync=True)
    texts = traitlets.List(traitlets.Unicode()).tag(sync=True)
    replies = traitlets.List(traitlets.Unicode()).tag(sync=True)
    right = traitlets.Int().tag(sync=True)
    answer = traitlets.Int(UNANSWERED).tag(sync=True)
    # The stage of a page that opens with the answer; 0 where the notebook opens it.
    stage = traitlets.Int(0).tag(sync=True)
    voted = traitlets.Bool(True).tag(sync=True)
    commit = traitlets.Unicode("This is my guess").tag(sync=True)
    skip = traitlets.Unicode("Show me without a guess").tag(sync=True)
    holds = traitlets.Unicode("Your guess holds.").tag(sync=True)
    fails = traitlets.Unicode("Your guess does not hold. Look at the picture.").tag(sync=True)

    @traitlets.validate("answer")
    def _offered(self, proposal: traitlets.Bunch) -> int:
        answer = int(proposal["value"])
        if not SHOWN <= answer < len(self.texts):
            refuse(
                "answer",
                answer,
                "",
                wrong="is not one of the choices",
                limit=f"the question offers {len(self.texts)}, counted from 0",
                remedy="give the place of the choice in the list",
            )
        return answer


class Prediction(mo.ui.anywidget):
    """A question with choices, of which one is committed to before the picture opens.

    Parameters
    ----------
    question : str
        What is asked.
    *choices : Choice
        What may be answered; one is right.
    answer : int
        Which choice is taken already, counted from 0; `UNANSWERED`, or `SHOWN` to open without a guess.
    stage : int
        The stage of the page that opens with the answer; 0 where a cell opens what is behind it.
    seen : bool
        Whether it asks for what was seen, and not for what will be.

    Attributes
    ----------
    choices : tuple of Choice
        As given.

    Raises
    ------
    LimitError
        If not exactly one choice is right, or the answer is not among them.
    """

    def __init__(
        self, question: str, *choices: Choice, answer: int = UNANSWERED, stage: int = 0, seen: bool = False
    ) -> None:
        right = [at for at, choice in enumerate(choices) if choice.right]
        if len(right) != 1:
            refuse(
                "right choices",
                len(right),
                "",
                wrong="leave the question open",
                limit="a question has one right answer",
                remedy="mark one choice as right",
            )
        self.choices = choices
        super().__init__(
            _PredictionWidget(
                question=question,
                texts=[choice.text for choice in choices],
                replies=[choice.reply for choice in choices],
                right=right[0],
                answer=answer,
                stage=stage,
                **(_SEEN if seen else {}),
            )
        )

    @property
    def shown(self) -> Shown:
        """What a page layout places; a cell that reads only this is not run again by the answer."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; a guess has one number to give.
    @property  # type: ignore[misc]
    def value(self) -> int:  # type: ignore[override]
        """The choice committed to, counted from 0; `UNANSWERED` or `SHOWN` where there is none."""
        return int(self.widget.answer)

    @property
    def opened(self) -> bool:
        """Whether the picture may be seen."""
        return self.value != UNANSWERED

    @property
    def drawn(self) -> float | None:
        """Where the picture marks the guess, in its unit; nothing where there is none to mark."""
        return self.choices[self.value].drawn if self.value >= 0 else None
