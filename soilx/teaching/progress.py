"""How much help a student gets: worked, then faded, then solo, by what succeeded before."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from math import ceil
from typing import Final

from soilx.teaching.homework_words import FADED_FIRST, SOLO, WORKED_FIRST
from soilx.teaching.problem import Line
from soilx.teaching.seeds import MOST_FRESH
from soilx.teaching.variants import Variant, variant

MOST_LEVEL: Final = 3
_SHOWN: Final = (1.0, 0.6, 0.3, 0.0)
"""Share of the lines that are worked for the student, by level."""


class Stage(StrEnum):
    """How much is worked for the student; the value is the word on the screen."""

    WORKED = "worked"
    FADED = "faded"
    SOLO = "solo"


def level_after(results: Iterable[bool], *, start: int = 0) -> int:
    """Level of support after some problems of one kind: up with each success, down with each failure.

    Parameters
    ----------
    results : iterable of bool
        Oldest first: solved with the first try, or not.
    start : int
        Level before them, 0 to 3.

    Returns
    -------
    int
        0 worked, 1 and 2 faded, 3 solo.
    """
    level = min(max(start, 0), MOST_LEVEL)
    for success in results:
        level = min(level + 1, MOST_LEVEL) if success else max(level - 1, 0)
    return level


def stage_of(level: int) -> Stage:
    """The stage of a level."""
    if level <= 0:
        return Stage.WORKED
    return Stage.SOLO if level >= MOST_LEVEL else Stage.FADED


@dataclass(frozen=True, slots=True, kw_only=True)
class Support:
    """What is shown beside a variant.

    Attributes
    ----------
    stage : Stage
    sentence : str
        What the student may expect.
    example : Variant or None
        Another variant with all its lines; at the first stage only.
    shown : tuple of str
        Lines of the student's own variant that are worked.
    left : tuple of str
        Its other lines, begun; none in solo.
    """

    stage: Stage
    sentence: str
    example: Variant | None
    shown: tuple[str, ...]
    left: tuple[str, ...]


def support(own: Variant, level: int) -> Support:
    """What is shown beside a student's variant at a level of support.

    Parameters
    ----------
    own : Variant
    level : int
        Of `level_after`.

    Notes
    -----
    A whole solution of the own variant would be its answer: the worked one is another variant, for which the
    last number of fresh ones is kept.
    """
    stage = stage_of(level)
    lines = own.solution.lines
    if stage is Stage.WORKED:
        seed = own.seed
        example = variant(seed.course, seed.problem, seed.student, fresh=MOST_FRESH)
        begun = tuple(line.started for line in lines)
        return Support(stage=stage, sentence=WORKED_FIRST, example=example, shown=(), left=begun)
    if stage is Stage.SOLO:
        return Support(stage=stage, sentence=SOLO, example=None, shown=(), left=())
    count = ceil(_SHOWN[level] * len(lines))
    shown = _shown(lines[:count])
    return Support(
        stage=stage,
        sentence=FADED_FIRST,
        example=None,
        shown=shown,
        left=tuple(line.started for line in lines[len(shown) :]),
    )


def _shown(lines: tuple[Line, ...]) -> tuple[str, ...]:
    """Lines up to the first answer, which is set out and left to be reckoned: a choice is left whole."""
    shown: list[str] = []
    for line in lines:
        if line.answers:
            return (*shown, f"{line.what} = {line.how} = …") if line.numeric else tuple(shown)
        shown.append(line.text)
    return tuple(shown)
