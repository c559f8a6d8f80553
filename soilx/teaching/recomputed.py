"""A problem's answer under each known mistake, and whether mistakes can be told apart by their answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from soilx.teaching.mistakes import MISTAKES, Mistake
from soilx.teaching.problem import Asked, Line, Problem, Seen, Solution, Value

APART: Final = 2.2
"""Answers further from each other than so many tolerances cannot be one another's rounding."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WrongAnswer:
    """What comes out under one known mistake.

    Attributes
    ----------
    mistake : Mistake
    values : mapping of str to float or str
        Answers that differ from the right ones, by the key of what is asked.
    went_wrong, right : Line
        The first line that differs, as it was worked and as it is.
    """

    mistake: Mistake
    values: Mapping[str, Value]
    went_wrong: Line
    right: Line


def differs(asked: Asked, one: Value, other: Value) -> bool:
    """Whether two answers to one question are further apart than rounding could bring them."""
    if isinstance(one, str) or isinstance(other, str):
        return one != other
    return abs(one - other) > max(APART * asked.tolerance, 1e-6) * max(abs(one), abs(other))


def wrong_answer(
    problem: Problem, seen: Seen, asked: tuple[Asked, ...], right: Solution, key: str
) -> WrongAnswer | None:
    """Answers under one mistake; None where it changes nothing that could be told from rounding.

    Parameters
    ----------
    problem : Problem
    seen : Seen
    asked : tuple of Asked
    right : Solution
    key : str
        Of `MISTAKES`.
    """
    made = problem.solve(seen, key)
    values = {
        part.key: made.values[part.key]
        for part in asked
        if part.key in made.values and differs(part, made.values[part.key], right.values[part.key])
    }
    # A balance that comes out below nothing is nobody's answer.
    values = {name: value for name, value in values.items() if isinstance(value, str) or value > 0}
    pairs = zip(made.lines, right.lines, strict=False)
    lines = next(((mine, line) for mine, line in pairs if mine != line), None)
    if not values or lines is None:
        return None
    return WrongAnswer(mistake=MISTAKES[key], values=values, went_wrong=lines[0], right=lines[1])


def wrong_answers(
    problem: Problem, seen: Seen, asked: tuple[Asked, ...], right: Solution
) -> tuple[WrongAnswer, ...] | None:
    """Answers under every known mistake of a problem; None where one that matters cannot be told apart.

    Parameters
    ----------
    problem : Problem
    seen : Seen
    asked : tuple of Asked
    right : Solution
    """
    found: list[WrongAnswer] = []
    for key in (*problem.mistakes, *problem.sometimes):
        wrong = wrong_answer(problem, seen, asked, right, key)
        alike = wrong is None or any(_alike(asked, wrong, other, right) for other in found)
        if wrong is not None and not alike:
            found.append(wrong)
        elif key in problem.mistakes:
            return None
    return tuple(found)


def _alike(asked: tuple[Asked, ...], one: WrongAnswer, other: WrongAnswer, right: Solution) -> bool:
    """Whether two mistakes lead to the same answers in every part."""
    return all(
        not differs(
            part,
            one.values.get(part.key, right.values[part.key]),
            other.values.get(part.key, right.values[part.key]),
        )
        for part in asked
    )
