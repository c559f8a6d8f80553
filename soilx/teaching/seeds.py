"""Draws that are the same everywhere: integers hashed from codes, no generator whose stream could change.

Each draw hashes the seed with the draw's own label, so that a draw added later moves no other. Decimals lie
on a grid, counted in whole steps: nothing is rounded, and no library's version can change what a student
gets.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Context, Decimal
from typing import Final

from soilx.errors import refuse

LONGEST_CODE: Final = 24
MOST_FRESH: Final = 255
"""A student's fresh variants of one problem are numbered 0 to 255: a receipt has a byte for them."""

# A context of our own: whoever changes the process's one does not change a draw.
_PRECISE: Final = Context(prec=28)
_CODE: Final = re.compile(r"[A-Z0-9](?:[A-Z0-9_.-]*[A-Z0-9])?")


def course_code(text: str) -> str:
    """A course's code in capitals.

    Parameters
    ----------
    text : str
        Letters, digits, "-", "_" and "."; at most 24 of them.

    Raises
    ------
    LimitError
        If it is not such a code.
    """
    return _code(text, name="course code", example="SOIL-24")


def student_code(text: str) -> str:
    """A student's code in capitals; a code without a digit is refused, since it may be a name.

    Parameters
    ----------
    text : str
        As for `course_code`, with a digit in it.

    Raises
    ------
    LimitError
        If it is not such a code.
    """
    code = _code(text, name="student code", example="S07")
    if not any(character.isdigit() for character in code):
        refuse(
            "student code",
            code,
            "",
            wrong="has no digit in it and may be a name",
            limit="homework knows codes, never names",
            remedy='write a code with a digit, like "S07"',
        )
    return code


def _code(text: str, *, name: str, example: str) -> str:
    code = text[: 4 * LONGEST_CODE].strip().upper()
    if len(code) > LONGEST_CODE or not code.isascii() or not _CODE.fullmatch(code):
        refuse(
            name,
            text,
            "",
            wrong="is not a code",
            limit=f'letters, digits, "-", "_" and ".", at most {LONGEST_CODE} of them',
            remedy=f'write it like "{example}"',
        )
    return code


@dataclass(frozen=True, slots=True, kw_only=True)
class Seed:
    """Where a variant comes from: the same four make the same problem, anywhere.

    Attributes
    ----------
    course, student : str
        Codes.
    problem : str
        Key of the problem kind.
    fresh : int
        Number of the fresh variant; 0 is the first.
    """

    course: str
    problem: str
    student: str
    fresh: int = 0

    @classmethod
    def of(cls, course: str, problem: str, student: str, fresh: int = 0) -> Seed:
        """Seed from codes as they were typed.

        Raises
        ------
        LimitError
            If a code is none, or the number of the fresh variant is not 0 to 255.
        """
        if not 0 <= fresh <= MOST_FRESH:
            refuse(
                "fresh variant",
                fresh,
                "",
                wrong="is not a number of one",
                limit=f"they are 0 to {MOST_FRESH}",
                remedy="start again at 0",
            )
        return cls(
            course=course_code(course), problem=problem, student=student_code(student), fresh=int(fresh)
        )

    @property
    def text(self) -> str:
        """The seed as it is hashed."""
        return f"{self.course}/{self.problem}/{self.student}/{self.fresh}"


def hashed(*parts: object) -> int:
    """A whole number from 0 to 2²⁵⁶ − 1 that depends on nothing but the text of its parts."""
    text = "\x1f".join(str(part) for part in parts)
    return int.from_bytes(hashlib.sha256(text.encode("utf-8")).digest(), "big")


class Draws:
    """Labelled draws of one attempt at a variant, and the record of what was drawn.

    Parameters
    ----------
    seed : Seed
    attempt : int
        Counts the draws that were rejected before.
    """

    __slots__ = ("_attempt", "_seed", "record")

    def __init__(self, seed: Seed, attempt: int = 0) -> None:
        self._seed = seed
        self._attempt = attempt
        self.record: dict[str, str] = {}

    def whole(self, label: str, low: int, high: int) -> int:
        """A whole number, both ends possible and all as likely (to one in 2²⁴⁰).

        Parameters
        ----------
        label : str
            What is drawn; once in an attempt.
        low, high : int
        """
        if label in self.record or low > high:
            raise ValueError(f"draw {label}: is drawn twice, or {low} to {high} is no range")
        drawn = low + hashed(self._seed.text, self._attempt, label) % (high - low + 1)
        self.record[label] = str(drawn)
        return drawn

    def grid(self, label: str, low: str, high: str, step: str) -> float:
        """A decimal on a grid, as the float nearest to it.

        Parameters
        ----------
        label : str
        low, high, step : str
            Decimals; `high` is reached if it lies on the grid.
        """
        first, size = Decimal(low), Decimal(step)
        steps = int(_PRECISE.divide_int(_PRECISE.subtract(Decimal(high), first), size))
        drawn = _PRECISE.add(first, _PRECISE.multiply(size, self.whole(label, 0, steps)))
        self.record[label] = str(drawn)
        return float(drawn)

    def choice(self, label: str, words: Sequence[str]) -> str:
        """One of several words, all as likely."""
        word = words[self.whole(label, 0, len(words) - 1)]
        self.record[label] = word
        return word
