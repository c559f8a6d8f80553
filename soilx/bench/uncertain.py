"""A number that remembers where its error comes from, so that a shared error is not counted twice."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Final, Self, Union

COVERAGE: Final = 1.96
"""Standard errors to each side of a value that hold the truth 95 times in 100, if errors are normal."""


@dataclass(frozen=True, slots=True)
class Uncertain:
    """A value with the standard error that each independent source gives it.

    Attributes
    ----------
    value : float
    parts : mapping of str to float
        By source, with its sign: what one standard error of the source does to the value.

    Notes
    -----
    Propagation is of first order: a product of two values of 10 % error is off by some 1 % in its error.
    """

    value: float
    parts: Mapping[str, float] = field(default_factory=dict)

    @classmethod
    def of(cls, value: float, error: float, source: str) -> Self:
        """Value with one source of error."""
        return cls(value, {source: error} if error else {})

    @property
    def error(self) -> float:
        """Standard error in all."""
        return math.sqrt(sum(part * part for part in self.parts.values()))

    @property
    def half_width(self) -> float:
        """Half of the 95 % interval."""
        return COVERAGE * self.error

    @property
    def interval(self) -> tuple[float, float]:
        """The 95 % interval."""
        return self.value - self.half_width, self.value + self.half_width

    def _with(self, value: float, own: float, other: "Uncertain", others: float) -> "Uncertain":
        parts = {source: own * part for source, part in self.parts.items()}
        for source, part in other.parts.items():
            parts[source] = parts.get(source, 0.0) + others * part
        return Uncertain(value, parts)

    def __add__(self, other: "Uncertain | float") -> "Uncertain":
        added = _uncertain(other)
        return self._with(self.value + added.value, 1.0, added, 1.0)

    def __sub__(self, other: "Uncertain | float") -> "Uncertain":
        taken = _uncertain(other)
        return self._with(self.value - taken.value, 1.0, taken, -1.0)

    def __mul__(self, other: "Uncertain | float") -> "Uncertain":
        factor = _uncertain(other)
        return self._with(self.value * factor.value, factor.value, factor, self.value)

    def __truediv__(self, other: "Uncertain | float") -> "Uncertain":
        by = _uncertain(other)
        return self._with(self.value / by.value, 1.0 / by.value, by, -self.value / by.value**2)

    def largest(self) -> str:
        """The source that gives most of the error; empty where there is none."""
        return max(self.parts, key=lambda source: abs(self.parts[source]), default="")


def _uncertain(value: Union["Uncertain", float]) -> Uncertain:
    return value if isinstance(value, Uncertain) else Uncertain(value)


NOTHING: Final = Uncertain(0.0)


def total(values: Iterable[Uncertain]) -> Uncertain:
    """Sum of values, errors of a common source added before they are squared."""
    result = NOTHING
    for value in values:
        result = result + value
    return result


def mean(values: Iterable[Uncertain], *, source: str = "") -> Uncertain:
    """Mean of replicates, with their scatter as a source of its own.

    Parameters
    ----------
    values : iterable of Uncertain
        At least one.
    source : str
        Name of the scatter; empty to leave it out.

    Notes
    -----
    The scatter of n replicates is added as s/√n. It holds their reading errors once more, so that the error
    is stated rather too large than too small.
    """
    every = list(values)
    average = total(every) / len(every)
    if len(every) < 2 or not source:
        return average
    spread = math.sqrt(sum((value.value - average.value) ** 2 for value in every) / (len(every) - 1))
    return average + Uncertain.of(0.0, spread / math.sqrt(len(every)), source)
