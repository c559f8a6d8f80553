"""Where things stand on a page: side by side where there is room, below each other where there is not."""

from __future__ import annotations

import functools
import html
import sys
import threading
from collections.abc import Iterator
from typing import Final

import marimo as mo
from anywidget import AnyWidget

_TURN_SECONDS: Final = 0.0002
_USUAL_TURN_SECONDS: Final = 0.005
# Every session of a served notebook has some three.
_THREADS_OF_A_FEW: Final = 12


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


class Laid(mo.Html):
    """A layout that still knows what it places, so that a page can be saved with all that is on it.

    Parameters
    ----------
    markup : str
        Of the whole layout.
    *items : object
        Whatever the notebook can show.
    """

    def __init__(self, markup: str, *items: object) -> None:
        super().__init__(markup)
        self.items = items


def widgets_in(*outputs: object) -> Iterator[AnyWidget]:
    """Every widget that outputs place, each as often as it is placed.

    Parameters
    ----------
    *outputs : object
        Layouts, controls, and what else a notebook can show.
    """
    for output in outputs:
        if isinstance(output, Laid):
            yield from widgets_in(*output.items)
        elif isinstance(output, Shown):
            yield from widgets_in(output.control)
        elif isinstance(output, mo.ui.anywidget):
            yield output.widget
        elif isinstance(output, AnyWidget):
            yield output


def row(*items: object, label: str = "", look: str = "") -> Laid:
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
    return Laid(f'<div class="{looks}"{named}>{cells}</div>', *items)


def screen(*items: object, head: object = None) -> Laid:
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
    return Laid(f'<div class="soilx-screen">{above}{parts}</div>', head, *items)


def part(*items: object, stage: int, label: str, kept: bool = False) -> Laid:
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
    return Laid(
        f'<section class="{looks}" aria-label="{html.escape(label, quote=True)}">{inside}</section>', *items
    )


def step(*items: object, at: str) -> Laid:
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
    return Laid(f'<div class="soilx-at-{html.escape(at, quote=True)}">{inside}</div>', *items)


def folds(*items: object) -> Laid:
    """Folds and switches in one line, of which an open one takes the whole width.

    Parameters
    ----------
    *items : object
        Whatever the notebook can show.
    """
    inside = "".join(f"<div>{mo.as_html(item).text}</div>" for item in items)
    return Laid(f'<div class="soilx-folds">{inside}</div>', *items)


def fold(title: str, *items: object, saved: bool = True) -> Laid:
    """Items behind one line that opens.

    Parameters
    ----------
    title : str
        The line.
    *items : object
        Whatever the notebook can show.
    saved : bool
        Whether a page that is kept has it too: what only helps to run the screen is not kept.
    """
    inside = "".join(f"<div>{mo.as_html(item).text}</div>" for item in items)
    look = "soilx-fold" if saved else "soilx-fold soilx-unsaved"
    markup = f'<details class="{look}"><summary>{html.escape(title)}</summary>{inside}</details>'
    return Laid(markup, *items)


def caution(text: str) -> mo.Html:
    """A caution in its own line, for beside a rate.

    Parameters
    ----------
    text : str
        One of `soilx.wording`.
    """
    return mo.Html(f'<p class="soilx-caution" role="note">{html.escape(text)}</p>')


def prose(*items: object) -> Laid:
    """Text below a screen, in lines short enough to read.

    Parameters
    ----------
    *items : object
        Whatever the notebook can show.
    """
    parts = "".join(f"<div>{mo.as_html(item).text}</div>" for item in items)
    return Laid(f'<div class="soilx-prose">{parts}</div>', *items)


def quick_turns() -> None:
    """A process in which a slider's message does not wait for its turn.

    Notes
    -----
    A served notebook and its server are threads of one process. At Python's usual turn of 5 ms, a message
    that the server passes on in the middle of a run may cost one; with short turns a move was seen on screen
    some 6 ms sooner. Where a class has the page open, short turns cost more than they win: every thread that
    waits wakes at each. With thirty people dragging, half of the moves were seen within 132 ms at the usual
    turn, and within 346 ms at the short one.
    """
    alone = threading.active_count() <= _THREADS_OF_A_FEW
    sys.setswitchinterval(_TURN_SECONDS if alone else _USUAL_TURN_SECONDS)
    _ask_once_what_is_installed()


def _ask_once_what_is_installed() -> None:
    """For every run of a cell the framework reads the metadata of all packages; here it does so once.

    Among a hundred packages that was 6 ms of each move, a quarter of what a class asks of the processor. It
    is a private corner of the framework: in a version without it nothing happens.
    """
    try:
        from marimo._entrypoints import registry
    except ImportError:
        return
    asked = getattr(registry, "get_entry_points", None)
    if callable(asked) and not hasattr(asked, "cache_info"):
        registry.get_entry_points = functools.cache(asked)
