"""One thing that a report leaves undecided, and the cheapest test that would decide it."""

from dataclasses import dataclass
from enum import IntEnum
from typing import Final


class Effort(IntEnum):
    """What a test costs, in kind: prices differ by place; common practice, no published source."""

    ASK = 0
    LOOK = 1
    HOME = 2
    SIMPLE_LAB = 3
    FULL_LAB = 4

    @property
    def words(self) -> str:
        """For a screen."""
        return _EFFORT_WORDS[self]


_EFFORT_WORDS: Final = {
    Effort.ASK: "a question to the laboratory or the owner",
    Effort.LOOK: "a jar, a spade, a bucket of water",
    Effort.HOME: "a kitchen scale, vinegar, a hand-held meter",
    Effort.SIMPLE_LAB: "one simple laboratory test",
    Effort.FULL_LAB: "a full laboratory test",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """Something that cannot be decided.

    Attributes
    ----------
    key : str
    question : str
        What cannot be decided.
    missing : tuple of str
        Keys of the report that would decide it.
    test : str
        The cheapest test that would.
    effort : Effort
        What that test costs.
    why : str
        What goes wrong without it.
    pressing : int
        Rank of the question in the order of decisions; the smallest is decided first.
    """

    key: str
    question: str
    missing: tuple[str, ...]
    test: str
    effort: Effort
    why: str
    pressing: int
