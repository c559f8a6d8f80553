"""A limit with the width that practice and sources leave it."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from soilx.errors import refuse, require
from soilx.sources import SOURCES

_ROUNDING: Final = 1e-9
"""A percentage worked out of two typed numbers misses a border by a last bit; that is still the border."""


class Place(StrEnum):
    """Where a value lies beside a band; exactly on a border counts as between."""

    BELOW = "below"
    BETWEEN = "between"
    ABOVE = "above"


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """One limit, with the width that practice and sources leave it.

    Attributes
    ----------
    title : str
        What is judged, as the subject of a sentence.
    unit : str
        Of the limits; empty for a plain number.
    low, high : float
        Below `low` one thing is said, above `high` another [unit].
    source : str
        Keys of `soilx.sources.SOURCES`, separated by a comma.
    note : str
        Which limit is whose, with † where it is recalled.

    Raises
    ------
    LimitError
        If the band ends before it begins.
    KeyError
        If a source is not in the bibliography.
    """

    title: str
    unit: str
    low: float
    high: float
    source: str
    note: str

    def __post_init__(self) -> None:
        if not self.low <= self.high:
            refuse(
                f"band of {self.title}",
                f"{self.low:g} to {self.high:g}",
                self.unit,
                wrong="ends before it begins",
                limit="the low end of a band comes first",
                remedy="swap the two ends",
            )
        for key in self.source.split(", "):
            if key not in SOURCES:
                raise KeyError(f"band of {self.title}: source {key!r} is not in soilx.sources")

    def under(self, value: float) -> bool:
        """Whether a value lies below the band, by more than rounding [unit]."""
        return value < self.low * (1.0 - _ROUNDING)

    def over(self, value: float) -> bool:
        """Whether a value lies above the band, by more than rounding [unit]."""
        return value > self.high * (1.0 + _ROUNDING)

    def place(self, value: float) -> Place:
        """Where a value lies beside the band.

        Parameters
        ----------
        value : float
            [unit]

        Raises
        ------
        LimitError
            If it is not a finite number.
        """
        number = require(
            self.title, value, self.unit, whose="a limit", remedy="leave it out where it is not known"
        )
        if self.under(number):
            return Place.BELOW
        return Place.ABOVE if self.over(number) else Place.BETWEEN

    def holds_one_place(self, low: float, high: float) -> bool:
        """Whether a value known no better than a range lies in one place whatever it is.

        Parameters
        ----------
        low, high : float
            Ends of the range [unit].
        """
        return self.place(low) is self.place(high)

    @property
    def words(self) -> str:
        """The band as a reader sees it."""
        unit = f" {self.unit}" if self.unit else ""
        ends = f"{self.low:.3g}" if self.low == self.high else f"{self.low:.3g} to {self.high:.3g}"
        return f"{ends}{unit}"
