"""Verdicts as plain text: what `soilx verify` prints."""

import textwrap
from collections.abc import Sequence
from typing import Final

from soilx import wording
from soilx.show.text import table
from soilx.verification.claim import Verdict

WORDS: Final = 30
"""Characters of a worded claim that are shown in a table; all of it is in the rows for programs."""


def verdict_report(verdicts: Sequence[Verdict]) -> str:
    """Gating claims with their verdicts, then context with its differences, then the sources.

    Parameters
    ----------
    verdicts : sequence of Verdict
        In the order to be shown.
    """
    gating = [verdict for verdict in verdicts if verdict.claim.gating]
    context = [verdict for verdict in verdicts if not verdict.claim.gating]
    sources = {verdict.claim.source: verdict.claim.citation for verdict in verdicts}
    count = len({verdict.claim.source for verdict in gating})
    held = sum(verdict.ok for verdict in gating)
    title = ("", "claim", "source", "label", "printed", "computed", "difference", "tolerance", "unit")
    return "\n\n".join(
        [
            table(title, [_verdict_row(verdict, "ok" if verdict.ok else "FAILED") for verdict in gating]),
            "Context: shown with its difference, never gating",
            table(title, [_verdict_row(verdict, "") for verdict in context]),
            "\n".join(f"{key}: {citation}" for key, citation in sources.items()),
            wording.RECALLED_MEANS,
            f"{held} of {len(gating)} gating claims hold, from {count} sources; {len(context)} are context.\n"
            "Of a table, the entry that uses most of its tolerance is shown.",
        ]
    )


def _verdict_row(verdict: Verdict, word: str) -> tuple[str, ...]:
    claim, entry = verdict.claim, verdict.worst
    where = f" [{entry}; {len(claim.entries)} entries]" if entry else ""
    computed = verdict.computed.get(entry, verdict.failure or "nothing")
    return (
        word,
        f"{claim.id}{where}",
        claim.source,
        str(claim.label),
        textwrap.shorten(claim.entries[entry], WORDS, placeholder=" …"),
        textwrap.shorten(computed, WORDS, placeholder=" …")
        if isinstance(computed, str)
        else f"{computed:.6g}",
        f"{verdict.differences[entry]:+.2g}",
        f"{claim.tolerances[entry]:.2g}",
        claim.unit,
    )
