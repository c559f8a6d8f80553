"""Homework as plain text: what the command line prints."""

from __future__ import annotations

from soilx.show.text import table
from soilx.teaching.attempts import MOST_TRIES, Attempt
from soilx.teaching.homework_words import HOMEWORK_IS_AN_EXERCISE, RECEIPT_IS_NO_PROOF
from soilx.teaching.mistakes import MISTAKES
from soilx.teaching.overview import Overview
from soilx.teaching.progress import Support
from soilx.teaching.variants import Variant


def variant_text(own: Variant, beside: Support) -> str:
    """A problem as it is read on a screen.

    Parameters
    ----------
    own : Variant
    beside : Support
    """
    parts = [f"{own.problem.title} ({own.problem.level.words})"]
    if beside.example is not None:
        lines = "\n".join(line.text for line in beside.example.solution.lines)
        parts += [beside.sentence, _statement(beside.example), lines]
    parts.append(_statement(own))
    if beside.shown:
        parts += [beside.sentence, "\n".join(beside.shown)]
    if beside.left:
        parts.append("\n".join(beside.left))
    asked = [(part.words, part.unit or "–", part.allowance) for part in own.asked]
    parts.append(table(("asked", "unit", "allowance"), asked))
    for part in own.asked:
        parts += ["\n".join(f"{key}: {words}" for key, words in part.choices)] if part.choices else []
    return "\n\n".join([*parts, HOMEWORK_IS_AN_EXERCISE])


def _statement(made: Variant) -> str:
    rows = [(row.what, row.value, row.unit) for row in made.told.rows]
    return f"{made.told.statement}\n\n{table(('given', 'value', 'unit'), rows)}"


def attempt_text(attempt: Attempt) -> str:
    """What is said to answers, with the solution and the receipt where it is over."""
    parts = ["\n".join(attempt.sentences)]
    if attempt.over and not attempt.solved:
        parts.append("\n".join(attempt.solution))
    receipt = attempt.receipt
    if receipt is None:
        left = MOST_TRIES - attempt.tries
        parts.append(f"{left} {'try is' if left == 1 else 'tries are'} left.")
    else:
        parts.append(f"Receipt: {receipt.text}\n{RECEIPT_IS_NO_PROOF}")
    return "\n\n".join(parts)


def overview_text(found: Overview) -> str:
    """A class as it is read on a screen."""
    rows = [
        (
            row.title,
            str(row.handed_in),
            str(row.solved),
            str(row.at_first),
            "; ".join(f"{MISTAKES[key].name} ({count})" for key, count in row.mistakes),
        )
        for row in found.rows
    ]
    shown_rows = table(("problem", "handed in", "solved", "at first", "mistakes"), rows)
    return "\n\n".join([shown_rows, "\n".join(found.sentences), RECEIPT_IS_NO_PROOF])
