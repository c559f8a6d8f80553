"""The verification page: every outside check in one file, what decides apart from what is only shown."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Final

from soilx import wording
from soilx.column.file_writing import write_text
from soilx.handouts.equations import citations
from soilx.handouts.page_parts import bullets, document, figure, made_line, paragraph, section
from soilx.handouts.page_table import table
from soilx.handouts.page_text import text, verbatim
from soilx.handouts.write import require_page
from soilx.show.tables import NumberTable
from soilx.verification.claim import OWN, OWN_CITATION, Verdict
from soilx.verification.page_check import LABELS, check
from soilx.verification.pictures import PICTURES, Picture

#: How a topic, the first part of an id, is called on the page.
TOPICS: Final = {
    "units": "Units and rates",
    "exchange": "Cation exchange",
    "gypsum": "Gypsum and activities",
    "conductivity": "Electrical conductivity",
    "column": "Columns: transport, gypsum, sodium",
    "clarity": "Clear and cloudy water",
    "irrigation": "Irrigation water",
    "requirement": "Gypsum requirement",
}

# A failure is a word, a thick bar and a place at the top before it is a colour.
_STYLE: Final = """
.check { margin: 1rem 0 1.75rem; padding-left: .8rem; border-left: 3px solid #b0b0b0; }
.check h4 { margin-top: 0; }
.check .failed { display: inline-block; margin: .25rem 0; padding: .1rem .6rem; border: 3px solid #1a1a1a; }
.check .failed { font-weight: 700; }
.check:has(> .failed) { border-left: 10px double #1a1a1a; }
.check dl { display: grid; grid-template-columns: max-content 1fr; gap: .1rem .8rem; font-size: .9rem; }
.check dt { font-weight: 600; }
.check dd { margin: 0; }
@media (max-width: 36rem) { .check dl { display: block; } .check dd { margin: 0 0 .3rem; } }
@media print { .check dl { break-inside: avoid; } .check :is(h3, h4, p, dl) { break-after: avoid; } }
"""


def write_page(verdicts: Sequence[Verdict], page: Path) -> int:
    """Put the page of all verdicts in place of a file.

    Parameters
    ----------
    verdicts : sequence of Verdict
        In the order to be shown.
    page : Path
        The file to write (.html); an older one is replaced.

    Returns
    -------
    int
        Its size [bytes].

    Raises
    ------
    FileError
        If the page cannot be put there.
    """
    require_page(page)
    made = verification_page(verdicts)
    write_text(page, made)
    return len(made.encode("utf-8"))


def verification_page(
    verdicts: Sequence[Verdict],
    *,
    pictures: Iterable[Callable[[], Picture]] | None = None,
    made_on: dt.date | None = None,
) -> str:
    """The page of all verdicts; what failed stands first, and again in its place.

    Parameters
    ----------
    verdicts : sequence of Verdict
        In the order to be shown.
    pictures : iterable of callable, optional
        Each draws one; one that cannot be drawn says so in its place. All of `PICTURES` unless given.
    made_on : date, optional
        As shown; today unless given.
    """
    gating = [verdict for verdict in verdicts if verdict.claim.gating]
    context = [verdict for verdict in verdicts if not verdict.claim.gating]
    failed = [verdict for verdict in gating if not verdict.ok]
    topics = tuple(dict.fromkeys(verdict.claim.topic for verdict in verdicts))
    return document(
        "soilx beside what others published",
        paragraph(summary(verdicts), look="finding"),
        _what_failed(failed),
        paragraph(made_line(made_on), look="small"),
        section(
            "How to read this page",
            paragraph(
                "A check that decides holds soilx to a value that was read in a text, computed with a "
                "library or follows exactly, and that soilx claims to reproduce. It fails when the computed "
                "value is further from the printed one than the tolerance: half the last printed digit, or "
                "another with its reason beside it. When one fails, soilx verify ends with exit code 1."
            ),
            paragraph(
                "What is only shown stands beside it with its difference and decides nothing: values from "
                "memory, rules of thumb, other people's soils, published errors, and what soilx computed "
                "itself. Nothing is ever tuned to a row of either kind."
            ),
            bullets(f"{name}: {meaning}" for name, meaning in LABELS.items()),
            _overview(verdicts, topics),
        ),
        section("Better looked at", *_figures(PICTURES if pictures is None else pictures)),
        _checks("Checks that decide", gating, topics),
        _checks("Only shown: nothing depends on these", context, topics),
        section(
            "Sources",
            bullets(
                citations(
                    tuple(
                        dict.fromkeys(
                            verdict.claim.source for verdict in verdicts if verdict.claim.source != OWN
                        )
                    )
                ),
                look="small",
            ),
            paragraph(f"soilx: {OWN_CITATION}", look="small"),
            paragraph(f"{wording.RECALLED_MEANS} {wording.COMMON_PRACTICE_MEANS}", look="small"),
        ),
        section("What the model leaves out", paragraph(wording.MODEL_LEAVES_OUT)),
        style=_STYLE,
    )


def summary(verdicts: Sequence[Verdict]) -> str:
    """How many checks hold, in a sentence that begins with what failed.

    Parameters
    ----------
    verdicts : sequence of Verdict
        Of either kind.
    """
    gating = [verdict for verdict in verdicts if verdict.claim.gating]
    held = sum(verdict.ok for verdict in gating)
    sources = len({verdict.claim.source for verdict in gating})
    shown = len(verdicts) - len(gating)
    told = (
        f"{held} of {len(gating)} checks that decide hold, from {sources} sources; "
        f"{shown} more are only shown."
    )
    failed = len(gating) - held
    return f"{failed} FAILED: {told}" if failed else told


def _what_failed(failed: Sequence[Verdict]) -> str:
    if not failed:
        return ""
    links = "".join(
        f'<li><a href="#{verbatim(_anchor(verdict))}">{text(verdict.claim.id)}: '
        f"{text(verdict.claim.claim)}</a></li>"
        for verdict in failed
    )
    return section("What failed", f"<ul>{links}</ul>", *(check(verdict, level=3) for verdict in failed))


def _overview(verdicts: Sequence[Verdict], topics: Sequence[str]) -> str:
    def row(name: str, chosen: Sequence[Verdict]) -> tuple[str, ...]:
        gating = [verdict for verdict in chosen if verdict.claim.gating]
        held = sum(verdict.ok for verdict in gating)
        return (name, f"{held}", f"{len(gating) - held}", f"{len(chosen) - len(gating)}")

    rows = [
        row(_topic(topic), [verdict for verdict in verdicts if verdict.claim.topic == topic])
        for topic in topics
    ]
    return table(
        NumberTable(
            titles=("Topic", "Decide and hold", "Decide and FAILED", "Only shown"),
            rows=(*rows, row("All", verdicts)),
        ),
        caption="Number of checks",
    )


def _figures(pictures: Iterable[Callable[[], Picture]]) -> Iterable[str]:
    for number, draw in enumerate(pictures, start=1):
        try:
            made = draw()
            yield figure(made.heading, made.spec, made.content, number=number, level=3)
        except Exception as failure:  # a page of checks stands whatever breaks: what broke is said on it
            yield paragraph(
                f"Picture {number} could not be drawn: {type(failure).__name__}: {failure}", look="note"
            )


def _checks(heading: str, verdicts: Sequence[Verdict], topics: Sequence[str]) -> str:
    parts = []
    for topic in topics:
        chosen = [verdict for verdict in verdicts if verdict.claim.topic == topic]
        if chosen:
            inside = "".join(check(verdict, level=4, anchor=_anchor(verdict)) for verdict in chosen)
            parts.append(section(_topic(topic), inside, level=3))
    return section(heading, *parts) if parts else ""


def _topic(topic: str) -> str:
    return TOPICS.get(topic, topic.capitalize())


def _anchor(verdict: Verdict) -> str:
    return "check-" + verdict.claim.id.replace(".", "-")
