"""Questions as they stand on paper: to be answered there, or with the guess that was made on the screen."""

from __future__ import annotations

from typing import Any, Final

from soilx.handouts.page_parts import figure, paragraph
from soilx.handouts.page_text import text, verbatim
from soilx.show.contrast_view import drawn
from soilx.show.contrasts import CONTRASTS, contrast_runs
from soilx.show.level_guess import OPEN
from soilx.show.prediction import SHOWN, UNANSWERED

_RIGHT: Final = "<strong>right.</strong> "


def open_question(widget: Any, number: int) -> tuple[str, str]:
    """A question with its choices, and apart from it what lies behind each choice.

    Parameters
    ----------
    widget : the browser's part of a Prediction
    number : int
        Of the question on its page.
    """
    replies = "".join(
        f"<li>{text(choice)}: {_RIGHT if at == widget.right else ''}{text(reply)}</li>"
        for at, (choice, reply) in enumerate(zip(widget.texts, widget.replies, strict=True))
    )
    answer = f"<h3>{text(f'Question {number}')}</h3>{paragraph(widget.question)}<ol>{replies}</ol>"
    return _choices(widget, f"Question {number}. "), answer


def question_as_answered(widget: Any, *, told: bool) -> str:
    """A question with its choices, the one that was taken, and what is said to it.

    Parameters
    ----------
    widget : the browser's part of a Prediction
    told : bool
        Whether the page has come to the reasons.
    """
    asked = _choices(widget, taken=widget.answer)
    if widget.answer == UNANSWERED or not told:
        return asked
    right = widget.right
    holds = "" if widget.answer == right else paragraph(f"What holds: {widget.texts[right]}")
    if widget.answer == SHOWN:
        return f"{asked}{holds}{paragraph(widget.replies[right])}"
    verdict = widget.holds if widget.answer == right else widget.fails
    return f"{asked}<p><strong>{text(verdict)}</strong> {text(widget.replies[widget.answer])}</p>{holds}"


def _choices(widget: Any, counted: str = "", *, taken: int = UNANSWERED) -> str:
    choices = "".join(
        f"<li><strong>{text(choice)}</strong> (your guess)</li>"
        if at == taken
        else f"<li>{text(choice)}</li>"
        for at, choice in enumerate(widget.texts)
    )
    number = f"<strong>{text(counted.strip())}</strong> " if counted else ""
    return f'<div class="question"><p>{number}{text(widget.question)}</p><ol>{choices}</ol></div>'


def open_level(widget: Any) -> str:
    """A level to be guessed, with a place for it.

    Parameters
    ----------
    widget : the browser's part of a LevelGuess
    """
    return paragraph(f"{widget.question} Your guess: ______ {widget.unit}", look="question")


def level_as_guessed(widget: Any, *, asks: bool) -> str:
    """A level that was guessed with what the model came to; one that is still asked for as it is asked.

    Parameters
    ----------
    widget : the browser's part of a LevelGuess
    asks : bool
        Whether the page asks for it now.
    """
    if asks or widget.state == OPEN:
        return open_level(widget)
    said = " ".join(filter(None, (widget.guess, widget.found)))
    return paragraph(said, look="finding") if said else ""


def explained(widget: Any) -> str:
    """What is to be explained, with room for it.

    Parameters
    ----------
    widget : Explain

    Notes
    -----
    What was typed never leaves the browser. It puts its text in place of the mark when it saves the page.
    """
    return f"{paragraph(widget.prompt, look='question')}{written_mark(widget.prompt)}"


def written_mark(prompt: str) -> str:
    """The mark in whose place a browser puts what was typed to a prompt.

    Parameters
    ----------
    prompt : str
        What was to be written.
    """
    return f'<p class="written" data-prompt="{verbatim(prompt)}"></p>'


def contrasts_on_paper(spec: dict[str, Any], *, level: int, first: int) -> tuple[str, list[str]]:
    """Every contrast with its question and its columns, and apart from it the rule behind each.

    Parameters
    ----------
    spec : dict
        Of the chart that they are drawn on.
    level : int
        Rank of their headings.
    first : int
        Number of the first chart on the page.
    """
    parts, rules = [], []
    for at, one in enumerate(CONTRASTS):
        columns = drawn(contrast_runs(at))
        content = {"records": columns.records, "signals": columns.signals, "caption": columns.caption}
        shown = figure(one.name, spec, content, number=first + at, level=level)
        parts.append(f"{shown}{paragraph(one.same)}{paragraph(one.question, look='question')}")
        rules.append(f"<h3>{text(one.name)}</h3>{paragraph(one.rule)}")
    return "".join(parts), rules


def contrast_as_picked(widget: Any, *, level: int) -> tuple[str, list[str]]:
    """The contrast that is on the screen with its question, and apart from it its rule.

    Parameters
    ----------
    widget : Contrasts
    level : int
        Rank of its heading.
    """
    if not widget.question:
        return "", []
    name = CONTRASTS[widget.picked].name
    heading = f"<h{level}>{text(name)}</h{level}>"
    asked = f"{paragraph(widget.question, look='question')}{paragraph(f'The same for all: {widget.same}')}"
    return heading + asked, [f"<h3>{text(name)}</h3>{paragraph(widget.rule)}"]
