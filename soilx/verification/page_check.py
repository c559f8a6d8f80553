"""One check on the verification page: its claim, verdict, source, inputs and every one of its values."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, Final

from soilx.handouts.page_table import table
from soilx.handouts.page_text import text, verbatim
from soilx.show.tables import NumberTable
from soilx.verification.claim import Label, Verdict
from soilx.verification.printed import signed

#: What each label says of a printed value, in words for a reader.
LABELS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "seen": "read in a text that was retrieved",
        "library": "computed with a general-purpose library's own tables",
        "exact": "arithmetic or a closed form",
        "recalled †": "from memory, not confirmed in a copy",
        "common practice": "a fact of the trade without a published source",
    }
)

HOLDS: Final = "Holds"
FAILED: Final = "FAILED"
SHOWN: Final = "Only shown, decides nothing"

_NAMES: Final = re.compile(r"(?<![KG])(?<!mmol)(?<!mol)_")


def check(verdict: Verdict, *, level: int, anchor: str = "") -> str:
    """One check, whole.

    Parameters
    ----------
    verdict : Verdict
        Of either kind.
    level : int
        Of the heading.
    anchor : str
        Where links find it; none unless given.
    """
    claim = verdict.claim
    failed = claim.gating and not verdict.ok
    word = FAILED if failed else HOLDS if claim.gating else SHOWN
    facts = [
        ("Source", f"{claim.citation} ({claim.source})"),
        ("Label", label_of(claim.label)),
        ("Put in", said(claim.inputs) if claim.inputs else "nothing but soilx's own constants"),
        ("Tolerance", claim.why_tolerance or "half the last printed digit"),
        *((("Note", claim.note),) if claim.note else ()),
        *((("Not computed", verdict.failure),) if verdict.failure else ()),
        ("Name", claim.id),
    ]
    listed = "".join(f"<dt>{text(name)}</dt><dd>{text(value)}</dd>" for name, value in facts)
    look = ' class="failed"' if failed else ""
    place = f' id="{verbatim(anchor)}"' if anchor else ""
    unit = f", {claim.unit}" if claim.unit else ""
    return (
        f'<section class="check"{place}><h{level}>{text(claim.claim)}</h{level}>'
        f"<p{look}>{word}</p><dl>{listed}</dl>"
        + table(_values(verdict), caption=f"Printed and computed{unit}")
        + "</section>"
    )


def label_of(label: Label) -> str:
    """A label as it is shown: † stays beside what was recalled."""
    return f"{label} †" if label is Label.RECALLED else str(label)


def said(value: Any) -> str:
    """An input in words.

    Parameters
    ----------
    value : object
        As a claim holds it: text, number, or these in tuples and mappings.
    """
    if isinstance(value, Mapping):
        return "; ".join(f"{_name(str(name))}: {said(one)}" for name, one in value.items())
    if isinstance(value, tuple | list):
        inner = [said(one) for one in value]
        nested = any(isinstance(one, tuple | list | Mapping) for one in value)
        return f"({'), ('.join(inner)})" if nested else ", ".join(inner)
    if value is None:
        return "none"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _values(verdict: Verdict) -> NumberTable:
    """Every entry as printed and as computed; what was computed and is printed nowhere stands there too."""
    claim = verdict.claim
    tolerances, differences = claim.tolerances, verdict.differences
    rows: list[tuple[str, ...]] = []
    for entry, printed in claim.entries.items():
        off, tolerance = differences[entry], tolerances[entry]
        worded = tolerance == 0 and off in (0.0, math.inf)
        rows.append(
            (
                _name(entry) or "value",
                # Next to the name, so that a phone shows it without scrolling.
                *((_judged(verdict, entry),) if claim.gating else ()),
                printed,
                _computed(verdict.computed.get(entry)),
                ("none" if off == 0 else "another") if worded else _off(off),
                "the same" if worded else f"{tolerance:.2g}",
            )
        )
    rows += [
        (_name(entry) or "value", *((FAILED,) if claim.gating else ()), "nothing", _computed(value), "", "")
        for entry, value in verdict.computed.items()
        if entry not in claim.entries
    ]
    verdicts = ("Verdict",) if claim.gating else ()
    titles = ("Value", *verdicts, "Printed", "Computed", "Difference", "Tolerance")
    return NumberTable(titles=titles, rows=tuple(rows))


def _judged(verdict: Verdict, entry: str) -> str:
    return "holds" if verdict.holds(entry) else FAILED


def _computed(value: float | str | None) -> str:
    if value is None:
        return "nothing"
    return value if isinstance(value, str) else f"{value:.6g}".replace("-", "−")


def _off(difference: float) -> str:
    return "none to tell" if not math.isfinite(difference) else signed(difference, ".2g").replace("e-", "e−")


def _name(entry: str) -> str:
    """A name of an entry or input as it is read."""
    return _NAMES.sub(" ", entry)
