"""A climate by its months: rain in so many wettings, and reference evapotranspiration."""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Final, Self

from soilx.errors import refuse, require

MONTHS: Final = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)

PLAIN_YEAR: Final = 2001
"""A year of 365 days, on which days of the year are laid out."""

MOST_RAIN: Final = 3000.0
MOST_EVAPOTRANSPIRATION: Final = 450.0
"""Of a month; more is a wrong unit or a year's figure [mm]."""
MOST_RAINS: Final = 10
"""Wettings into which a month's rain is cut at most."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Climate:
    """An average year, by months.

    Attributes
    ----------
    name : str
    rain : tuple of float, 12
        [mm a month]
    reference_evapotranspiration : tuple of float, 12
        [mm a month]
    rains : tuple of int, 12
        Wettings that a month's rain comes in.

    Raises
    ------
    LimitError
        If there are not twelve months, a depth is negative or absurd, or rain comes in no wetting.
    """

    name: str
    rain: tuple[float, ...]
    reference_evapotranspiration: tuple[float, ...]
    rains: tuple[int, ...]

    def __post_init__(self) -> None:
        for what, values, high in (
            ("rain", self.rain, MOST_RAIN),
            ("reference evapotranspiration", self.reference_evapotranspiration, MOST_EVAPOTRANSPIRATION),
            ("rains", self.rains, MOST_RAINS),
        ):
            if len(values) != len(MONTHS):
                refuse(
                    f"{what} of climate {self.name}",
                    len(values),
                    "months",
                    wrong="is not a year",
                    limit="a year has 12 months",
                    remedy="give one value a month, January first",
                )
            for month, value in zip(MONTHS, values, strict=True):
                require(
                    f"{what} of climate {self.name} in {month}",
                    value,
                    "wettings" if what == "rains" else "mm",
                    low=0.0,
                    high=high,
                    whose="any month on earth" if what != "rains" else "a month's rain as it is counted here",
                    remedy="give the month's own figure",
                )
        for month, rain, rains in zip(MONTHS, self.rain, self.rains, strict=True):
            if rains != int(rains) or (rain > 0) != (rains > 0):
                refuse(
                    f"rains of climate {self.name} in {month}",
                    rains,
                    "wettings",
                    wrong=f"does not go with {rain:g} mm of rain",
                    limit="rain comes in a whole number of wettings, and no rain in none",
                    remedy="give 1 wetting or more where there is rain, and 0 where there is none",
                )

    @property
    def annual_rain(self) -> float:
        """Rain of the year [mm]."""
        return sum(self.rain)

    @property
    def annual_reference_evapotranspiration(self) -> float:
        """Reference evapotranspiration of the year [mm]."""
        return sum(self.reference_evapotranspiration)

    def without_rain(self) -> Self:
        """The same climate under a roof."""
        return replace(self, name=f"{self.name}, without rain", rain=(0.0,) * 12, rains=(0,) * 12)

    def without_evapotranspiration(self) -> Self:
        """The same climate with nothing taken by air and plants."""
        return replace(
            self, name=f"{self.name}, without evapotranspiration", reference_evapotranspiration=(0.0,) * 12
        )

    def reference_between(self, first: date, last: date) -> float:
        """Reference evapotranspiration from the start of one day to the start of another [mm].

        Parameters
        ----------
        first, last : date
            In order; the last day itself is not counted.
        """
        depth = 0.0
        while first < last:
            following = first_of_next_month(first)
            days = (min(following, last) - first).days
            depth += self.reference_evapotranspiration[first.month - 1] * days / days_of(first)
            first = following
        return depth

    def rain_of(self, year: int) -> list[tuple[date, float]]:
        """Days and depths of a year's rains, spread evenly over their months [mm]."""
        found = []
        for month, (depth, count) in enumerate(zip(self.rain, self.rains, strict=True), start=1):
            first = date(year, month, 1)
            days = even_days(first, first_of_next_month(first), count)
            found += [(day, depth / count) for day in days]
        return found


def days_of(day: date) -> int:
    """Days of the month that a day is in."""
    return (first_of_next_month(day) - day.replace(day=1)).days


def first_of_next_month(day: date) -> date:
    """The first day of the month after the one that a day is in."""
    return (day.replace(day=1) + timedelta(days=32)).replace(day=1)


def even_days(first: date, last: date, count: int) -> list[date]:
    """So many days spread evenly over a span, each in the middle of its part.

    Parameters
    ----------
    first, last : date
        The last day itself is not counted.
    count : int
    """
    span = (last - first).days
    return [first + timedelta(days=int(span * (number + 0.5) / count)) for number in range(count)]


def day_of_year(text: str, *, name: str) -> date:
    """A day that every year has, as a date of `PLAIN_YEAR`.

    Parameters
    ----------
    text : str
        Month and day, "04-15".
    name : str
        What it is the day of.

    Raises
    ------
    LimitError
        If it is no such day.
    """
    try:
        return datetime.strptime(f"{PLAIN_YEAR}-{text.strip()}", "%Y-%m-%d").date()
    except ValueError:
        refuse(
            name,
            text,
            "",
            wrong="is not a day of every year",
            limit="a month and a day of it",
            remedy='write month and day, like "04-15"',
        )
