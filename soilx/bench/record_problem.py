"""What of a bench record could not be used as it stands, in one sentence for each kind."""

from collections.abc import Iterable
from dataclasses import dataclass

from soilx.errors import quoted


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Something of a record that could not be used as it stands, and is kept.

    Attributes
    ----------
    file, row, column, text : str, int or None, str, str
        Where it stands and what stands there.
    wrong, limit, remedy : str
        What is wrong, the limit and whose it is, what to do.
    """

    file: str
    row: int | None
    column: str
    text: str
    wrong: str
    limit: str
    remedy: str

    @property
    def sentence(self) -> str:
        """The problem in one sentence."""
        where = ", ".join(
            part
            for part in (
                self.file,
                f"row {self.row}" if self.row else "",
                f"column {self.column}" if self.column else "",
            )
            if part
        )
        given = f" = {quoted(self.text)}" if self.text else ""
        return f"{where}{given}: {self.wrong}; {self.limit}; {self.remedy}."


def told(problems: Iterable[Problem]) -> tuple[str, ...]:
    """One sentence for each kind of problem: the first is told, the others are counted.

    Parameters
    ----------
    problems : iterable of Problem
        A whole column of decimal commas is one mistake, not a hundred.
    """
    by_kind: dict[str, list[Problem]] = {}
    for problem in problems:
        by_kind.setdefault(problem.wrong, []).append(problem)
    return tuple(_counted(first, others) for first, *others in by_kind.values())


def _counted(first: Problem, others: list[Problem]) -> str:
    if not others:
        return first.sentence
    rows = sorted({problem.row for problem in others if problem.row})
    places = f" (rows {rows[0]} to {rows[-1]})" if len(rows) > 1 else f" (row {rows[0]})" if rows else ""
    more = "once more" if len(others) == 1 else f"{len(others)} more times"
    return f"{first.sentence.rstrip('.')}; the same holds {more}{places}."
