"""Text that somebody typed, made fit for a page: it is read, and does nothing else."""

from __future__ import annotations

import html
import re
from typing import Final

# What would turn the text around it: overrides, embeddings, isolates and marks of direction; and what no page
# may hold.
_TURNING: Final = re.compile(
    "[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]"
)
_RIGHT_TO_LEFT: Final = "\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc\U00010800-\U00010fff\U0001e800-\U0001efff"
_RIGHT_TO_LEFT_RUN: Final = re.compile(f"[{_RIGHT_TO_LEFT}]+(?:[\\s.,'\"()-]+[{_RIGHT_TO_LEFT}]+)*")
# How units and constants are typed, and how they are set.
_SET: Final = (
    (re.compile(r"\b(c?mol|mmol)_c\b"), r"\1<sub>c</sub>"),
    (re.compile(r"\b(K)_(Na|K|Mg)\b"), r"\1<sub>\2</sub>"),
    (re.compile("ρ_b\\b"), "ρ<sub>b</sub>"),
    (re.compile(r"\^-½"), "<sup>−½</sup>"),
)
_FIGURE: Final = re.compile(r"[−+-]?<?\d[\d.]*(e[+-]?\d+)?|[–-]?")


def plain(value: object) -> str:
    """Text without characters that no page may hold or that turn the direction of what follows them.

    Parameters
    ----------
    value : object
        Shown as its text; each character taken out leaves U+FFFD in its place, so that nobody wonders.
    """
    return _TURNING.sub("\N{REPLACEMENT CHARACTER}", str(value))


def text(value: object) -> str:
    """Text as a page can hold it whoever typed it: no markup, and right-to-left script in a place of its own.

    Units and constants are set as in print: mmol_c with a lowered c.

    Parameters
    ----------
    value : object
        Shown as its text.
    """
    shown = _RIGHT_TO_LEFT_RUN.sub(lambda run: f"<bdi>{run[0]}</bdi>", verbatim(value))
    for typed, written in _SET:
        shown = typed.sub(written, shown)
    return shown


def verbatim(value: object) -> str:
    """Text letter by letter as it was typed, for a quoted attribute or for a file shown as text.

    Parameters
    ----------
    value : object
        Shown as its text.
    """
    return html.escape(plain(value), quote=True)


def is_figure(cell: str) -> bool:
    """Whether a cell is a number, or stands where there is none: to be set with its like under each other.

    Parameters
    ----------
    cell : str
        As printed.
    """
    return bool(_FIGURE.fullmatch(cell))
