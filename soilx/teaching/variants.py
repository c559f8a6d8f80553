"""Variants: the problem that a code stands for, drawn until it is possible, consistent and clear."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Final

from soilx.errors import ConvergenceError, refuse
from soilx.teaching.problem import Asked, Problem, Seen, Solution, Told, Value
from soilx.teaching.problems import PROBLEMS
from soilx.teaching.recomputed import WrongAnswer, wrong_answers
from soilx.teaching.seeds import Draws, Seed
from soilx.teaching.working import shown

MOST_ATTEMPTS: Final = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """One student's problem.

    Attributes
    ----------
    seed : Seed
    problem : Problem
    seen : Seen
        All that the student is given.
    told : Told
    asked : tuple of Asked
    solution : Solution
    wrong : tuple of WrongAnswer
        What comes out under each known mistake that its numbers tell apart.
    attempts : int
        Draws that were rejected before.
    record : mapping of str to str
        What was drawn, by label.
    """

    seed: Seed
    problem: Problem
    seen: Seen
    told: Told
    asked: tuple[Asked, ...]
    solution: Solution
    wrong: tuple[WrongAnswer, ...]
    attempts: int
    record: Mapping[str, str]

    def part(self, key: str) -> Asked:
        """One of the things that are asked.

        Raises
        ------
        LimitError
            If nothing of that name is asked.
        """
        found = next((part for part in self.asked if part.key == key), None)
        if found is None:
            refuse(
                "part",
                key,
                "",
                wrong="is not asked here",
                limit=f"this problem asks for {', '.join(part.key for part in self.asked)}",
                remedy="name one of them",
            )
        return found

    @property
    def digest(self) -> str:
        """Fingerprint of the draws, exactly, and of the answers to five digits."""
        parts = [f"{label}={value}" for label, value in sorted(self.record.items())]
        parts += [f"{key}:{_rounded(value)}" for key, value in sorted(self.solution.values.items())]
        text = "\n".join([self.seed.text, str(self.attempts), *parts])
        return hashlib.sha256(text.encode("utf-8")).hexdigest()


def _rounded(value: Value) -> str:
    # Five digits: the last bits of a float may differ between machines, these do not.
    return value if isinstance(value, str) else shown(value, 5)


def problem_of(key: str) -> Problem:
    """The problem of a key.

    Parameters
    ----------
    key : str
        Of `soilx.teaching.problems.PROBLEMS`.

    Raises
    ------
    LimitError
        If there is none.
    """
    problem = PROBLEMS.get(key)
    if problem is None:
        refuse(
            "problem",
            key,
            "",
            wrong="is not one of ours",
            limit=f"they are {', '.join(PROBLEMS)}",
            remedy="name one of them",
        )
    return problem


def variant(course: str, problem: str, student: str, *, fresh: int = 0) -> Variant:
    """The variant of a problem that a course code and a student code stand for.

    Parameters
    ----------
    course, student : str
        Codes, never names.
    problem : str
        Key of `soilx.teaching.problems.PROBLEMS`.
    fresh : int
        0 for the first one, and so on.

    Returns
    -------
    Variant
        The same for the same codes, on every machine.

    Raises
    ------
    LimitError
        If a code is none, or there is no such problem.
    """
    return _made(Seed.of(course, problem_of(problem).key, student, fresh))


@lru_cache(maxsize=128)
def _made(seed: Seed) -> Variant:
    problem = PROBLEMS[seed.problem]
    for attempt in range(MOST_ATTEMPTS):
        draws = Draws(seed, attempt)
        seen = problem.draw(draws)
        if seen is None:
            continue
        asked, solution = problem.asked(seen), problem.solve(seen, "")
        wrong = wrong_answers(problem, seen, asked, solution)
        if wrong is None:
            continue
        return Variant(
            seed=seed,
            problem=problem,
            seen=seen,
            told=problem.tell(seen),
            asked=asked,
            solution=solution,
            wrong=wrong,
            attempts=attempt,
            record=MappingProxyType(dict(draws.record)),
        )
    raise ConvergenceError(
        f"problem {seed.problem}: no clear case in {MOST_ATTEMPTS} draws; the limit is ours; "
        "please report the codes."
    )
