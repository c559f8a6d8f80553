"""Homework as plain values, for programs; keys name their units."""

from __future__ import annotations

from typing import Any

from soilx.teaching.attempts import Attempt
from soilx.teaching.homework_words import RECEIPT_IS_NO_PROOF
from soilx.teaching.mistakes import MISTAKES
from soilx.teaching.overview import Overview
from soilx.teaching.progress import Support
from soilx.teaching.receipts import Receipt
from soilx.teaching.variants import Variant


def plain_receipt(receipt: Receipt) -> dict[str, Any]:
    """A receipt as plain values."""
    return {
        "course": receipt.course,
        "student": receipt.student,
        "problem": receipt.problem,
        "fresh": receipt.fresh,
        "solved": receipt.solved,
        "tries": receipt.tries,
        "level": receipt.level,
        "mistakes": [{"key": key, "name": MISTAKES[key].name} for key in receipt.mistakes],
        "note": RECEIPT_IS_NO_PROOF,
    }


def plain_variant(own: Variant, beside: Support) -> dict[str, Any]:
    """A problem and what is shown beside it, without its answers."""
    return {
        "problem": own.problem.key,
        "title": own.problem.title,
        "level": own.problem.level.words,
        "statement": own.told.statement,
        "given": [{"what": row.what, "value": row.value, "unit": row.unit} for row in own.told.rows],
        "asked": [
            {
                "part": part.key,
                "words": part.words,
                "unit": part.unit,
                "allowance": part.allowance,
                "choices": dict(part.choices),
            }
            for part in own.asked
        ],
        "support": {
            "stage": beside.stage.value,
            "shown": list(beside.shown),
            "left": list(beside.left),
            "example": None
            if beside.example is None
            else {
                "statement": beside.example.told.statement,
                "lines": [line.text for line in beside.example.solution.lines],
            },
        },
    }


def plain_attempt(attempt: Attempt) -> dict[str, Any]:
    """What is said to answers; the solution once it is over."""
    receipt = attempt.receipt
    return {
        "solved": attempt.solved,
        "tries": attempt.tries,
        "judged": {
            key: {
                "outcome": one.outcome.value,
                "said": one.text,
                "mistake": one.mistake or None,
                "factor": one.factor,
            }
            for key, one in attempt.judged.items()
        },
        "solution": list(attempt.solution),
        "receipt": None if receipt is None else receipt.text,
    }


def plain_overview(found: Overview) -> dict[str, Any]:
    """What a class handed in."""
    return {
        "receipts": len(found.receipts),
        "students": found.students,
        "mistakes": dict(found.mistakes),
        "problems": [
            {
                "problem": row.problem,
                "handed_in": row.handed_in,
                "solved": row.solved,
                "at_first": row.at_first,
                "mistakes": dict(row.mistakes),
            }
            for row in found.rows
        ],
        "unread": [{"line": number, "problem": problem} for number, problem in found.unread],
        "repeated": found.repeated,
    }
