"""A student at one variant: tries counted, mistakes kept, the solution after the third."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Final

from soilx.teaching.checking import Judged, Outcome, judge
from soilx.teaching.homework_words import SOLUTION_FOLLOWS
from soilx.teaching.receipts import Receipt
from soilx.teaching.seeds import MOST_FRESH
from soilx.teaching.variants import Variant, variant

MOST_TRIES: Final = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Attempt:
    """What a student did with a variant so far; every answer makes a new one.

    Attributes
    ----------
    variant : Variant
    tries : int
        Answers that were read.
    judged : mapping of str to Judged
        The last word on every part that was answered.
    mistakes : tuple of str
        Keys of known mistakes that occurred, in order, each once.
    level : int
        Of support when it was begun: see `soilx.teaching.progress`.
    """

    variant: Variant
    tries: int = 0
    judged: Mapping[str, Judged] = field(default_factory=dict)
    mistakes: tuple[str, ...] = ()
    level: int = 0

    @property
    def solved(self) -> bool:
        """Whether every part is right."""
        return all(
            part.key in self.judged and self.judged[part.key].outcome is Outcome.RIGHT
            for part in self.variant.asked
        )

    @property
    def over(self) -> bool:
        """Whether there is nothing more to try: solved, or three tries made."""
        return self.solved or self.tries >= MOST_TRIES

    @property
    def at_first(self) -> bool:
        """Whether it was solved with the first try."""
        return self.solved and self.tries == 1

    @property
    def sentences(self) -> tuple[str, ...]:
        """What is said to the last answers, part by part, and what follows."""
        parts = [
            f"{part.words}: {self.judged[part.key].text}"
            for part in self.variant.asked
            if part.key in self.judged
        ]
        return (*parts, *((SOLUTION_FOLLOWS,) if self.over and not self.solved else ()))

    @property
    def solution(self) -> tuple[str, ...]:
        """The worked solution, line by line; nothing before the problem is over."""
        return tuple(line.text for line in self.variant.solution.lines) if self.over else ()

    @property
    def receipt(self) -> Receipt | None:
        """What the student hands in; None before the problem is over."""
        if not self.over:
            return None
        seed = self.variant.seed
        return Receipt(
            course=seed.course,
            student=seed.student,
            problem=seed.problem,
            fresh=seed.fresh,
            solved=self.solved,
            tries=min(max(self.tries, 1), MOST_TRIES),
            level=self.level,
            mistakes=self.mistakes[:3],
        )

    def answer(self, replies: Mapping[str, str]) -> Attempt:
        """The attempt after one more answer.

        Parameters
        ----------
        replies : mapping of str to str
            By part. What is right already stays right; what cannot be read is no try.

        Returns
        -------
        Attempt
            The same one where it is over.
        """
        if self.over:
            return self
        judged = dict(self.judged)
        asked = [
            part
            for part in self.variant.asked
            if not (part.key in judged and judged[part.key].outcome is Outcome.RIGHT)
        ]
        for part in asked:
            judged[part.key] = judge(self.variant, part.key, replies.get(part.key, ""), others=dict(replies))
        fresh = [judged[part.key] for part in asked]
        tried = any(one.outcome is not Outcome.UNREAD for one in fresh)
        met = [one.mistake for one in fresh if one.mistake]
        return replace(
            self,
            tries=self.tries + tried,
            judged=MappingProxyType(judged),
            mistakes=tuple(dict.fromkeys((*self.mistakes, *met))),
        )

    def fresh(self, *, level: int | None = None) -> Attempt:
        """An attempt at the next variant of the same problem, for the same codes."""
        seed = self.variant.seed
        # The last number is kept for the worked example.
        following = variant(seed.course, seed.problem, seed.student, fresh=(seed.fresh + 1) % MOST_FRESH)
        return Attempt(variant=following, level=self.level if level is None else level)
