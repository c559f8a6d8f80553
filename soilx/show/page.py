"""Where things stand on a page: side by side where there is room, below each other where there is not."""

from __future__ import annotations

import html
import sys
from typing import Final

import marimo as mo

_TURN_SECONDS: Final = 0.0002


class Shown(mo.Html):
    """A control as a layout places it; a cell that reads only this is not run again when the control moves.

    Parameters
    ----------
    control : mo.ui.anywidget
        Whose place it takes.

    Attributes
    ----------
    control : mo.ui.anywidget
        To be moved from elsewhere.
    """

    def __init__(self, control: mo.ui.anywidget) -> None:
        super().__init__(control.text)
        self.control = control


def row(*items: object, label: str = "", look: str = "") -> mo.Html:
    """Items side by side, as many as fit.

    Parameters
    ----------
    *items : object
        Whatever the notebook can show.
    label : str
        Accessible name of the group, if it has one.
    look : str
        "narrow" for items that need little width, "first-wide" where the first takes what is left.
    """
    cells = "".join(f"<div>{mo.as_html(item).text}</div>" for item in items)
    named = f' role="group" aria-label="{html.escape(label, quote=True)}"' if label else ""
    looks = f"soilx-row soilx-{look}" if look else "soilx-row"
    return mo.Html(f'<div class="{looks}"{named}>{cells}</div>')


def screen(*items: object, head: object = None) -> mo.Html:
    """Items below each other, close enough together to be one screen.

    Parameters
    ----------
    *items : object
        Whatever the notebook can show.
    head : object, optional
        Stands above them, and stays in sight while they scroll where the screen is tall enough.
    """
    parts = "".join(f"<div>{mo.as_html(item).text}</div>" for item in items)
    above = "" if head is None else f'<div class="soilx-head">{mo.as_html(head).text}</div>'
    return mo.Html(f'<div class="soilx-screen">{above}{parts}</div>')


def part(*items: object, stage: int, label: str, kept: bool = False) -> mo.Html:
    """What a stage brings, hidden until it opens.

    Parameters
    ----------
    *items : object
        Whatever the notebook can show.
    stage : int
        From which stage on it is seen.
    label : str
        Accessible name.
    kept : bool
        Whether its place is kept open before, because it stands among what is on screen already.
    """
    inside = "".join(f"<div>{mo.as_html(item).text}</div>" for item in items)
    place = " soilx-kept" if kept else ""
    looks = f"soilx-stage-{stage} soilx-of-{stage}{' soilx-first' if stage == 1 else ''}{place}"
    return mo.Html(
        f'<section class="{looks}" aria-label="{html.escape(label, quote=True)}">{inside}</section>'
    )


def step(*items: object, at: str) -> mo.Html:
    """What a stage of the taught path shows from one of its steps on; in the plain view it is there at once.

    Parameters
    ----------
    *items : object
        Whatever the notebook can show.
    at : str
        "ask" for the question, which the plain view leaves out; "curve", "numbers", "why"; "sentence" for
        what goes only while the curve is there without its numbers, its place kept.
    """
    inside = "".join(f"<div>{mo.as_html(item).text}</div>" for item in items)
    return mo.Html(f'<div class="soilx-at-{html.escape(at, quote=True)}">{inside}</div>')


def folds(*items: object) -> mo.Html:
    """Folds and switches in one line, of which an open one takes the whole width.

    Parameters
    ----------
    *items : object
        Whatever the notebook can show.
    """
    inside = "".join(f"<div>{mo.as_html(item).text}</div>" for item in items)
    return mo.Html(f'<div class="soilx-folds">{inside}</div>')


def fold(title: str, *items: object) -> mo.Html:
    """Items behind one line that opens.

    Parameters
    ----------
    title : str
        The line.
    *items : object
        Whatever the notebook can show.
    """
    inside = "".join(f"<div>{mo.as_html(item).text}</div>" for item in items)
    return mo.Html(f'<details class="soilx-fold"><summary>{html.escape(title)}</summary>{inside}</details>')


def caution(text: str) -> mo.Html:
    """A caution in its own line, for beside a rate.

    Parameters
    ----------
    text : str
        One of `soilx.wording`.
    """
    return mo.Html(f'<p class="soilx-caution" role="note">{html.escape(text)}</p>')


def prose(*items: object) -> mo.Html:
    """Text below a screen, in lines short enough to read.

    Parameters
    ----------
    *items : object
        Whatever the notebook can show.
    """
    parts = "".join(f"<div>{mo.as_html(item).text}</div>" for item in items)
    return mo.Html(f'<div class="soilx-prose">{parts}</div>')


def quick_turns() -> None:
    """A process in which a slider's message does not wait for its turn.

    Notes
    -----
    A served notebook and its server are threads of one process. At Python's usual turn of 5 ms, a message
    that the server passes on in the middle of a run may cost one; with short turns a move was seen on screen
    some 6 ms sooner.
    """
    sys.setswitchinterval(_TURN_SECONDS)
