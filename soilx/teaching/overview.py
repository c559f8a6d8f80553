"""Which mistakes occurred in a class, from receipts that were pasted together; without a network."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from soilx.errors import LimitError, SoilxError
from soilx.teaching.mistakes import MISTAKES
from soilx.teaching.problems import PROBLEMS
from soilx.teaching.receipts import Receipt, read_receipt

MOST_TEXT: Final = 500_000
"""Characters; some thousand receipts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ProblemRow:
    """One problem in a class.

    Attributes
    ----------
    problem, title : str
    handed_in, solved, at_first : int
        Receipts, those solved, and those solved with the first try.
    mistakes : tuple of (str, int)
        Keys with their number, the most frequent first.
    """

    problem: str
    title: str
    handed_in: int
    solved: int
    at_first: int
    mistakes: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Overview:
    """What a class handed in.

    Attributes
    ----------
    receipts : tuple of Receipt
        Each once.
    unread : tuple of (int, str)
        Number of a line that is not a receipt, and what is wrong with it.
    repeated : int
        Lines that were pasted again.
    """

    receipts: tuple[Receipt, ...]
    unread: tuple[tuple[int, str], ...]
    repeated: int

    @property
    def students(self) -> int:
        """How many codes handed something in."""
        return len({(receipt.course, receipt.student) for receipt in self.receipts})

    @property
    def mistakes(self) -> Mapping[str, int]:
        """How many students made each mistake, the most frequent first."""
        made = {
            (receipt.course, receipt.student, key) for receipt in self.receipts for key in receipt.mistakes
        }
        return dict(_ordered(Counter(key for _, _, key in made)))

    @property
    def rows(self) -> tuple[ProblemRow, ...]:
        """Problem by problem, in the order in which they are met."""
        return tuple(
            _row(key, [receipt for receipt in self.receipts if receipt.problem == key])
            for key in PROBLEMS
            if any(receipt.problem == key for receipt in self.receipts)
        )

    @property
    def sentences(self) -> tuple[str, ...]:
        """The class in words: how many, and what to talk about."""
        said = [f"{_counted(len(self.receipts), 'receipt')} of {_counted(self.students, 'student')}."]
        said += [
            f"{count} of {self.students}: {MISTAKES[key].name}. {MISTAKES[key].remedy}"
            for key, count in self.mistakes.items()
        ]
        if self.repeated:
            said.append(f"Pasted again, and counted once: {_counted(self.repeated, 'line')}.")
        said += [f"Line {number}: {problem}" for number, problem in self.unread]
        return tuple(said)


def overview(text: str) -> Overview:
    """What a class handed in, from pasted receipts.

    Parameters
    ----------
    text : str
        A receipt a line; empty lines and lines that begin with # are passed over.

    Returns
    -------
    Overview
        Lines that are no receipts are in it, with what is wrong.

    Raises
    ------
    LimitError
        If the text is longer than a class can hand in.
    """
    if len(text) > MOST_TEXT:
        raise LimitError(
            f"receipts: are {len(text)} characters; the limit is {MOST_TEXT}, ours; paste one class."
        )
    receipts: dict[Receipt, None] = {}
    unread: list[tuple[int, str]] = []
    repeated = 0
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        try:
            receipt = read_receipt(line)
        except SoilxError as problem:
            unread.append((number, str(problem)))
            continue
        repeated += receipt in receipts
        receipts[receipt] = None
    return Overview(receipts=tuple(receipts), unread=tuple(unread), repeated=repeated)


def _row(problem: str, receipts: list[Receipt]) -> ProblemRow:
    made = Counter(key for receipt in receipts for key in receipt.mistakes)
    return ProblemRow(
        problem=problem,
        title=PROBLEMS[problem].title,
        handed_in=len(receipts),
        solved=sum(receipt.solved for receipt in receipts),
        at_first=sum(receipt.solved and receipt.tries == 1 for receipt in receipts),
        mistakes=_ordered(made),
    )


def _ordered(counts: Counter[str]) -> tuple[tuple[str, int], ...]:
    order = tuple(MISTAKES)
    return tuple(sorted(counts.items(), key=lambda item: (-item[1], order.index(item[0]))))


def _counted(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"
