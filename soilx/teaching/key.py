"""The key of a class: the answers of a list of codes, for whoever teaches."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from soilx.column.inert_cells import as_typed, inert_row
from soilx.errors import FileError, SoilxError
from soilx.teaching.seeds import student_code
from soilx.teaching.variants import variant
from soilx.teaching.working import shown

COLUMN: Final = "student"
MOST_CODES: Final = 2000
LARGEST_FILE: Final = 200_000
"""Bytes; a list of codes is short."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyRow:
    """One answer of one student.

    Attributes
    ----------
    student, problem : str
        Code, and key of the problem.
    fresh : int
    part, words : str
        What is asked.
    answer : str
        As it is printed.
    unit, allowance : str
        Its unit, and how far an answer may be off.
    """

    student: str
    problem: str
    fresh: int
    part: str
    words: str
    answer: str
    unit: str
    allowance: str

    @property
    def cells(self) -> tuple[str, ...]:
        """The row as text, in the order of `HEADER`."""
        return (
            self.student,
            self.problem,
            str(self.fresh),
            self.part,
            self.words,
            self.answer,
            self.unit,
            self.allowance,
        )


HEADER: Final = (COLUMN, "problem", "fresh", "part", "asked", "answer", "unit", "allowance")


def key_rows(
    course: str, students: Iterable[str], problems: Sequence[str], *, fresh: int = 0
) -> tuple[KeyRow, ...]:
    """Answers of a class, student by student.

    Parameters
    ----------
    course : str
        Code.
    students : iterable of str
        Codes.
    problems : sequence of str
        Keys of problems.
    fresh : int
        Number of the fresh variant.

    Raises
    ------
    LimitError
        If a code is none, or a problem unknown.
    """
    rows = []
    for student in students:
        for problem in problems:
            made = variant(course, problem, student, fresh=fresh)
            for part in made.asked:
                value = made.solution.values[part.key]
                rows.append(
                    KeyRow(
                        student=made.seed.student,
                        problem=problem,
                        fresh=fresh,
                        part=part.key,
                        words=part.words,
                        answer=value if isinstance(value, str) else shown(value),
                        unit=part.unit,
                        allowance=part.allowance,
                    )
                )
    return tuple(rows)


def key_csv(rows: Iterable[KeyRow]) -> str:
    """The key as a table for a spreadsheet."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(HEADER)
    writer.writerows(inert_row(row.cells) for row in rows)
    return out.getvalue().replace("\r\n", "\n")


def read_codes(path: str | Path) -> tuple[str, ...]:
    """Student codes of a CSV file: the column `student`, one code a row.

    Parameters
    ----------
    path : str or Path
        UTF-8; other columns are not read, so that names can stay at home.

    Raises
    ------
    FileError
        It names file, row, value, limit and remedy.
    """
    name = Path(path).name
    try:
        raw = Path(path).read_bytes()
    except OSError as problem:
        raise FileError(
            f"{name}: cannot be read ({problem.strerror or problem}); the limit is this machine's; "
            "give a CSV file of codes."
        ) from None
    if len(raw) > LARGEST_FILE:
        raise FileError(
            f"{name}: is {len(raw)} bytes; the limit is {LARGEST_FILE}, ours for a list of codes; split it."
        )
    try:
        rows = list(csv.reader(io.StringIO(raw.decode("utf-8-sig")), strict=True))
    except (UnicodeDecodeError, csv.Error) as problem:
        raise FileError(
            f"{name}: is not a CSV table in UTF-8 ({problem}); the limit is the format's; save it as CSV."
        ) from None
    header = [cell.strip().lower() for cell in rows[0]] if rows else []
    if COLUMN not in header:
        raise FileError(
            f"{name}, row 1: has no column {COLUMN}; the limit is ours; name the column of the codes so."
        )
    at = header.index(COLUMN)
    codes = [_code(name, number, row, at) for number, row in enumerate(rows[1:], start=2) if any(row)]
    if not codes or len(codes) > MOST_CODES:
        raise FileError(
            f"{name}: holds {len(codes)} codes; the limit is 1 to {MOST_CODES}, ours; give a class."
        )
    twice = {code for code in codes if codes.count(code) > 1}
    if twice:
        raise FileError(
            f"{name}: has {', '.join(sorted(twice)[:5])} more than once; the limit is one code for one "
            "student; take out the second one."
        )
    return tuple(codes)


def _code(name: str, number: int, row: list[str], at: int) -> str:
    try:
        return student_code(as_typed(row[at].strip()) if at < len(row) else "")
    except SoilxError as problem:
        raise FileError(f"{name}, row {number}, column {COLUMN}: {problem}") from None
