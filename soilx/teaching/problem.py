"""What a homework problem is made of: what is seen, what is asked, and its working line by line."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import IntEnum
from typing import Final

from soilx.column.scenario import Scenario
from soilx.practice.soil_test.report import Report
from soilx.teaching.seeds import Draws
from soilx.units import Ground, IonLike, Kind

ONE_STEP: Final = 0.02
SEVERAL_STEPS: Final = 0.03
MANY_STEPS: Final = 0.05
"""How far an answer may be off, relative: what rounding on the way comes to."""


class Level(IntEnum):
    """How much of the model a problem takes; the order in which they are met."""

    CHARGE_COUNTING = 1
    ONE_BEAKER = 2
    DILUTION = 3
    GYPSUM = 4
    ONE_STIRRED_LAYER = 5
    COLUMN = 6
    FIELD = 7
    WATER = 8

    @property
    def words(self) -> str:
        """For screens."""
        return self.name.replace("_", " ").lower()


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """All that a student is given.

    Attributes
    ----------
    numbers : mapping of str to float
        As printed; their units are the problem's.
    words : mapping of str to str
        What is told in words.
    report : Report or None
        Of the soil behind it, for who wants to read on; the problem is solved without it.
    scenario : Scenario or None
        Of the live column, where a problem has one.
    """

    numbers: Mapping[str, float]
    words: Mapping[str, str] = field(default_factory=dict)
    report: Report | None = None
    scenario: Scenario | None = None

    def __getitem__(self, key: str) -> float:
        return self.numbers[key]


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of the data table: what, how much, in which unit."""

    what: str
    value: str
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """The problem as it is read: a statement in plain words, and its table."""

    statement: str
    rows: tuple[Row, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One thing that is asked for: a number with its unit, or a choice.

    Attributes
    ----------
    key, words : str
        Its name in a solution, and on the screen.
    kind : Kind or None
        Of a number; None for a choice.
    unit : str
        That the solution states it in.
    tolerance : float
        How far a number may be off, relative.
    ion : IonLike or None
        Known from the question: mass, amount and charge of it mean the same.
    ground : Ground or None
        For rates per area and amounts of water.
    choices : tuple of (str, str)
        Key and words.
    given : float or None
        In the same kind, what the question states already: to repeat it is no answer [unit].
    """

    key: str
    words: str
    kind: Kind | None = None
    unit: str = ""
    tolerance: float = SEVERAL_STEPS
    ion: IonLike | None = None
    ground: Ground | None = None
    choices: tuple[tuple[str, str], ...] = ()
    given: float | None = None
    given_unit: str = ""

    @property
    def allowance(self) -> str:
        """How far an answer may be off, in words."""
        if self.kind is None:
            return f"one of {len(self.choices)}"
        return "a whole number" if self.tolerance == 0 else f"within {100 * self.tolerance:g} %"


Value = float | str


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a worked solution.

    Attributes
    ----------
    what : str
        What the line finds.
    how : str
        The calculation, with its numbers.
    result : str
        With its unit.
    answers : str
        Key of what it answers; empty for a step on the way.
    numeric : bool
        Whether it is reckoned; False for a choice.
    """

    what: str
    how: str
    result: str
    answers: str = ""
    numeric: bool = True

    @property
    def text(self) -> str:
        """The line as it is read."""
        return f"{self.what} = {self.how} = {self.result}"

    @property
    def started(self) -> str:
        """The line with its end left to the student."""
        return f"{self.what} = …"


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """Answers by the key of what is asked, in the unit it is stated in, and the lines that lead to them."""

    values: Mapping[str, Value]
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """A kind of problem, from which every student gets a variant.

    Attributes
    ----------
    number : int
        In receipts, for ever; 0 to 63.
    key, title : str
    level : Level
    confronts : str
        The misconception that it is there for, as a sentence.
    mistakes : tuple of str
        Keys of `soilx.teaching.mistakes.MISTAKES` that are told apart in every variant.
    sometimes : tuple of str
        Those that are told apart where the numbers allow it.
    sources : tuple of str
        Keys of `soilx.sources.SOURCES` that its formulas or limits come from.
    draw : callable
        From draws to what is seen; None where they make no possible or no clear case.
    tell, asked : callable
        From what is seen to the statement, and to what is asked.
    solve : callable
        From what is seen and the key of a mistake, empty for none, to a solution.
    """

    number: int
    key: str
    title: str
    level: Level
    confronts: str
    mistakes: tuple[str, ...]
    sometimes: tuple[str, ...] = ()
    sources: tuple[str, ...] = ("arithmetic",)
    draw: Callable[[Draws], Seen | None]
    tell: Callable[[Seen], Told]
    asked: Callable[[Seen], tuple[Asked, ...]]
    solve: Callable[[Seen, str], Solution]
