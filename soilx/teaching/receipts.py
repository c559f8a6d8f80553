"""Receipts: a short code that says what was tried; the library reads it again. Formative, no security."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from soilx.errors import refuse
from soilx.teaching.mistakes import MISTAKES
from soilx.teaching.problems import BY_NUMBER, PROBLEMS
from soilx.teaching.seeds import LONGEST_CODE, MOST_FRESH, course_code, hashed, student_code

ALPHABET: Final = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""No I, L, O, U: what is copied by hand is read again."""
CHARACTERS: Final = 12
MOST_MISTAKES: Final = 3

_EDITION: Final = "soilx receipt 1"
_CHECK_BITS: Final = 21
_NONE: Final = 63
_KEYS: Final = tuple(MISTAKES)
_MISREAD: Final = str.maketrans({"O": "0", "I": "1", "L": "1"})
_TEXT: Final = re.compile(
    r"\s*(?P<course>[A-Za-z0-9_.-]+)\s+(?P<student>[A-Za-z0-9_.-]+)\s+"
    r"(?P<code>[A-Za-z0-9]{4}-[A-Za-z0-9]{4}-[A-Za-z0-9]{4})\s*"
)
LONGEST_RECEIPT: Final = 2 * LONGEST_CODE + CHARACTERS + 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt:
    """What a student did with one variant, to be handed in.

    Attributes
    ----------
    course, student : str
        Codes.
    problem : str
        Key of the problem.
    fresh : int
        Number of the fresh variant.
    solved : bool
    tries : int
        1 to 3.
    level : int
        Of support, 0 to 3.
    mistakes : tuple of str
        The first three known mistakes that occurred.
    """

    course: str
    student: str
    problem: str
    fresh: int
    solved: bool
    tries: int
    level: int = 0
    mistakes: tuple[str, ...] = ()

    @property
    def text(self) -> str:
        """The receipt as it is handed in: course, student and twelve characters."""
        code = self.code
        return f"{self.course} {self.student} {code[:4]}-{code[4:8]}-{code[8:]}"

    @property
    def code(self) -> str:
        """The twelve characters."""
        told = [_KEYS.index(key) for key in self.mistakes[:MOST_MISTAKES]]
        told += [_NONE] * (MOST_MISTAKES - len(told))
        payload = PROBLEMS[self.problem].number
        for value, bits in (
            (self.fresh, 8),
            (int(self.solved), 1),
            (self.tries, 2),
            (self.level, 2),
            *((index, 6) for index in told),
        ):
            payload = payload << bits | value
        return _letters(payload << _CHECK_BITS | _check(self.course, self.student, payload))

    @property
    def sentence(self) -> str:
        """What it says, in words."""
        outcome = "solved" if self.solved else "not solved"
        tries = f"{self.tries} {'try' if self.tries == 1 else 'tries'}"
        met = "; ".join(MISTAKES[key].name for key in self.mistakes) or "none that is known"
        number = "the first variant" if self.fresh == 0 else f"fresh variant {self.fresh}"
        title = PROBLEMS[self.problem].title
        return f"{self.student}, “{title}”, {number}: {outcome} in {tries}. Mistakes: {met}."


def read_receipt(text: str) -> Receipt:
    """The receipt of a line that was handed in.

    Parameters
    ----------
    text : str
        "SOIL-24 S07 1R0A-FZZY-G74N".

    Raises
    ------
    LimitError
        If it is not a receipt, or was mistyped, or is for other codes than those beside it.
    """
    found = _TEXT.fullmatch(text) if len(text) <= LONGEST_RECEIPT else None
    if found is None:
        refuse(
            "receipt",
            text,
            "",
            wrong="is not a receipt",
            limit="one is a course code, a student code and three groups of four",
            remedy='copy the whole line, like "SOIL-24 S07 1R0A-FZZY-G74N"',
        )
    course, student = course_code(found["course"]), student_code(found["student"])
    letters = found["code"].replace("-", "").upper().translate(_MISREAD)
    receipt = _opened(course, student, letters)
    if receipt is None:
        refuse(
            "receipt",
            text,
            "",
            wrong="does not fit its codes",
            limit="its last characters check the others, and the codes before it",
            remedy="copy the whole line again, or ask for it again",
        )
    return receipt


def _opened(course: str, student: str, letters: str) -> Receipt | None:
    if any(letter not in ALPHABET for letter in letters):
        return None
    whole = 0
    for letter in letters:
        whole = whole << 5 | ALPHABET.index(letter)
    payload, check = whole >> _CHECK_BITS, whole & ((1 << _CHECK_BITS) - 1)
    if check != _check(course, student, payload):
        return None
    told = [payload >> shift & 63 for shift in (12, 6, 0)]
    level, tries, solved = payload >> 18 & 3, payload >> 20 & 3, bool(payload >> 22 & 1)
    fresh, number = payload >> 23 & MOST_FRESH, payload >> 31
    if number not in BY_NUMBER or any(index >= len(_KEYS) and index != _NONE for index in told):
        return None
    return Receipt(
        course=course,
        student=student,
        problem=BY_NUMBER[number].key,
        fresh=fresh,
        solved=solved,
        tries=tries,
        level=level,
        mistakes=tuple(_KEYS[index] for index in told if index != _NONE),
    )


def _check(course: str, student: str, payload: int) -> int:
    return hashed(_EDITION, course, student, payload) & ((1 << _CHECK_BITS) - 1)


def _letters(whole: int) -> str:
    return "".join(ALPHABET[whole >> shift & 31] for shift in range(5 * (CHARACTERS - 1), -1, -5))
