"""Where things stand on a page: side by side where there is room, below each other where there is not."""

from __future__ import annotations

import html
import sys
from typing import Final

import marimo as mo

_TURN_SECONDS: Final = 0.0002


def row(*items: object, label: str = "") -> mo.Html:
    """Items side by side, as many as fit.

    Parameters
    ----------
    *items : object
        Whatever the notebook can show.
    label : str
        Accessible name of the group, if it has one.
    """
    cells = "".join(f"<div>{mo.as_html(item).text}</div>" for item in items)
    named = f' role="group" aria-label="{html.escape(label, quote=True)}"' if label else ""
    return mo.Html(f'<div class="soilx-row"{named}>{cells}</div>')


def screen(*items: object) -> mo.Html:
    """Items below each other, close enough together to be one screen.

    Parameters
    ----------
    *items : object
        Whatever the notebook can show.
    """
    parts = "".join(f"<div>{mo.as_html(item).text}</div>" for item in items)
    return mo.Html(f'<div class="soilx-screen">{parts}</div>')


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
