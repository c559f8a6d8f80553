"""A number with its range, and where it comes from: no value of a report is ever shown without the two."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from soilx.errors import refuse

MEASURED: Final = "measured"
TYPED: Final = "typed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A value, the range it may lie in, its unit and its origin.

    Attributes
    ----------
    value : float
        Best value [unit].
    low, high : float
        Range, both ends included [unit]; equal to the value where no range is known.
    unit : str
        Of all three, in any spelling that `soilx.units.read` takes; empty for plain ratios.
    origin : str
        In words: "measured", "typed", "estimated from texture", "converted from a 1:5 extract".
    source : str
        Key of `soilx.sources.SOURCES`; empty where the number is the report's own.

    Raises
    ------
    LimitError
        If a number is not finite, or the value lies outside its own range.
    """

    value: float
    low: float
    high: float
    unit: str
    origin: str
    source: str = ""

    def __post_init__(self) -> None:
        if not all(math.isfinite(number) for number in (self.value, self.low, self.high)):
            refuse(
                self.origin,
                self.value,
                self.unit,
                wrong=f"is not finite with its range {self.low:g} to {self.high:g}",
                limit="an estimate has a value and two ends",
                remedy="leave out what is not known",
            )
        if not self.low <= self.value <= self.high:
            refuse(
                self.origin,
                self.value,
                self.unit,
                wrong=f"lies outside its own range, {self.low:g} to {self.high:g} {self.unit}".rstrip(),
                limit="an estimate lies between its two ends",
                remedy="give the lower end first",
            )

    @classmethod
    def measured(cls, value: float, unit: str, *, origin: str = MEASURED) -> Estimate:
        """A number the report prints, without a range of its own.

        Parameters
        ----------
        value : float
            As reported [unit].
        unit : str
            Its unit.
        origin : str
            How it was come by, where "measured" says too little.
        """
        return cls(value=value, low=value, high=value, unit=unit, origin=origin)

    @property
    def is_measured(self) -> bool:
        """True where the number is the report's own, or made of nothing else."""
        return self.origin.startswith((MEASURED, TYPED))

    @property
    def exact(self) -> bool:
        """True where no range is carried."""
        return self.low == self.high

    def __str__(self) -> str:
        unit = "" if self.unit == "" else f" {self.unit}"
        if self.exact:
            return f"{self.value:.4g}{unit}"
        return f"{self.value:.4g}{unit} ({self.low:.4g} to {self.high:.4g})"

    def scaled(self, factor: float, unit: str | None = None) -> Estimate:
        """The estimate times a constant, in another unit where one is named; origin and source stay.

        Parameters
        ----------
        factor : float
            A negative factor turns the range around.
        unit : str, optional
            Unit of the product.
        """
        ends = sorted((self.low * factor, self.high * factor))
        return replace(
            self,
            value=self.value * factor,
            low=ends[0],
            high=ends[1],
            unit=self.unit if unit is None else unit,
        )

    def through(
        self, function: Callable[[float], float], *, unit: str, origin: str, source: str = ""
    ) -> Estimate:
        """The estimate through a monotone function: value by value, and end by end.

        Parameters
        ----------
        function : callable
            Rising or falling over the whole range.
        unit, origin, source : str
            Of the result.
        """
        ends = sorted((function(self.low), function(self.high)))
        return Estimate(
            value=function(self.value), low=ends[0], high=ends[1], unit=unit, origin=origin, source=source
        )
