"""Markup that the pages of all readers share: steps, the small print, their style sheet."""

from __future__ import annotations

from collections.abc import Iterable
from importlib.resources import files
from typing import Final

from soilx.handouts.page_parts import bullets, paragraph, section
from soilx.handouts.page_text import text
from soilx.handouts.reader_steps import Step

LINES_OF_THEIR_OWN: Final = 3
"""From so many sentences after the first a step is a list of its own."""

_LARGER: Final = (
    "@media print { body { font-size: 10pt; } .deciding { font-size: 9.5pt; } .care ul { font-size: 9pt; } "
    ".print .small { font-size: 8pt; } }\n"
)
_STATIC: Final = files("soilx.handouts") / "static"


def steps_list(steps: Iterable[Step]) -> str:
    """Steps, numbered.

    Parameters
    ----------
    steps : iterable of Step
    """
    return f'<ol class="steps">{"".join(map(_step, steps))}</ol>'


def small(*said: str) -> str:
    """The small print.

    Parameters
    ----------
    *said : str
        Inert texts, a paragraph each.
    """
    parts = (paragraph(each.strip(), look="small") for each in said)
    return section("Small print", *parts).replace("<section>", '<section class="print">', 1)


def page_style(paper: str | None, *, roomy: bool = False) -> str:
    """What a reader's page adds to the style sheet of every page.

    Parameters
    ----------
    paper : str or None
        As a style sheet names it; None for any.
    roomy : bool
        Whether the page has little to say, so that its type may be larger on paper.
    """
    style = (_STATIC / "reader.css").read_text(encoding="utf-8")
    larger = _LARGER if roomy else ""
    size = "" if paper is None else f"@page {{ size: {paper}; }}\n"
    return f"{style}{larger}{size}"


def _step(step: Step) -> str:
    """A step with what is to be done first, and the rest of it in lines of its own where there is much."""
    head, rest = step.sentences[0], step.sentences[1:]
    if len(rest) < LINES_OF_THEIR_OWN:
        return f"<li><strong>{text(step.title)}.</strong> {text(' '.join(step.sentences))}{step.table}</li>"
    return f"<li><strong>{text(step.title)}.</strong> {text(head)}{bullets(rest)}{step.table}</li>"
