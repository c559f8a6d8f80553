"""What a student has done while the page is open: attempts, successes and receipts, by their codes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from soilx.show.entry import heard
from soilx.show.homework_answers import Sent
from soilx.teaching.attempts import Attempt
from soilx.teaching.problems import PROBLEMS
from soilx.teaching.progress import level_after
from soilx.teaching.seeds import course_code, student_code
from soilx.teaching.variants import variant

COURSE, STUDENT = "course code", "student code"


@dataclass(slots=True, kw_only=True)
class Work:
    """What one pair of codes has done, by key of the problem.

    Attributes
    ----------
    attempts : dict of str to Attempt
        The one on the desk.
    texts : dict of str to dict
        What stands in its boxes.
    results : dict of str to list of bool
        Of those that are over, oldest first: solved with the first try or not.
    solved : set of str
        Problems that were solved at least once.
    receipts : list of (str, str)
        Problem and receipt, oldest first.
    """

    attempts: dict[str, Attempt] = field(default_factory=dict)
    texts: dict[str, Mapping[str, str]] = field(default_factory=dict)
    results: dict[str, list[bool]] = field(default_factory=dict)
    solved: set[str] = field(default_factory=set)
    receipts: list[tuple[str, str]] = field(default_factory=list)

    @property
    def marks(self) -> dict[str, str]:
        """How far each problem is that was begun, in a word."""
        marks = {}
        for key in PROBLEMS:
            attempt = self.attempts.get(key)
            if key in self.solved:
                marks[key] = "solved"
            elif key in self.results:
                marks[key] = "three tries made"
            elif attempt is not None and attempt.tries:
                marks[key] = "begun"
        return marks


class Desk:
    """Everything that was done on the page, kept until it is closed.

    Attributes
    ----------
    work : Work or None
        Of the codes that stand on the page; None where they are none.
    """

    def __init__(self) -> None:
        self.work: Work | None = None
        self._works: dict[tuple[str, str], Work] = {}
        self._seen = Sent()

    def turn(
        self, *, course: str, student: str, problem: str, sent: Sent, fields: Mapping[str, object]
    ) -> Attempt | None:
        """The attempt on the desk after what was sent last.

        Parameters
        ----------
        course, student : str
            Codes, as typed; where one is missing nothing is refused yet.
        problem : str
            Key.
        sent : Sent
            Every press counts once, also where this is asked again.
        fields : mapping of str to Shown
            The fields of `COURSE` and `STUDENT`, for what is wrong with a code.

        Returns
        -------
        Attempt or None
            None where the codes are none.
        """
        check, fresh = sent.checks > self._seen.checks, sent.fresh > self._seen.fresh
        self._seen = sent
        self.work = self._opened(course, student, fields)
        if self.work is None:
            return None
        codes = course_code(course), student_code(student)
        attempt = self.work.attempts.get(problem)
        if attempt is None:
            attempt = Attempt(variant=variant(codes[0], problem, codes[1]))
        elif fresh and attempt.over:
            attempt = attempt.fresh(level=level_after(self.work.results.get(problem, ())))
            self.work.texts[problem] = {}
        if check and not attempt.over:
            self.work.texts[problem] = sent.texts
            attempt = attempt.answer(sent.texts)
            self._close(problem, attempt, self.work)
        self.work.attempts[problem] = attempt
        return attempt

    def texts(self, problem: str) -> Mapping[str, str]:
        """What stood in the boxes of a problem when it was last checked."""
        return {} if self.work is None else self.work.texts.get(problem, {})

    def _opened(self, course: str, student: str, fields: Mapping[str, object]) -> Work | None:
        if not course.strip() or not student.strip():
            heard(lambda: None, fields, otherwise=lambda _: None)
            return None
        codes = heard(lambda: (course_code(course), student_code(student)), fields, otherwise=lambda _: None)
        return None if codes is None else self._works.setdefault(codes, Work())

    @staticmethod
    def _close(problem: str, attempt: Attempt, work: Work) -> None:
        """Put a problem that is over among the results."""
        receipt = attempt.receipt
        if receipt is None:
            return
        work.results.setdefault(problem, []).append(attempt.at_first)
        work.receipts.append((problem, receipt.text))
        if attempt.solved:
            work.solved.add(problem)
