"""Visits: when how much product is spread, and how much water follows."""

from dataclasses import dataclass
from datetime import date
from itertools import accumulate
from typing import Any, Final

from soilx.chemistry.ions import GYPSUM_MOLAR_MASS
from soilx.column.placement import require_placement
from soilx.errors import LimitError, refuse, require
from soilx.practice.dose.product import Product
from soilx.units import Ground, Kind, express

RETEST_SHARE: Final = 1.0 / 3.0
"""Of the plan, after which the soil is tested again; common practice, no published source."""

_ROUNDING: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One spreading, and the water that follows it.

    Attributes
    ----------
    day : date
    gypsum : float
        Pure gypsum, over the column [mmol/kg].
    water : float
        To water it in, the same day [L/kg].
    leach : float
        To carry sodium and salt out, on top; 0 where this visit is not followed by leaching [L/kg].

    Raises
    ------
    LimitError
        If there is no gypsum, or an amount of water is negative.
    """

    day: date
    gypsum: float
    water: float = 0.0
    leach: float = 0.0

    def __post_init__(self) -> None:
        for name, value, unit, open_ in (
            ("gypsum of a visit", self.gypsum, "mmol/kg", True),
            ("water after a visit", self.water, "L/kg", False),
            ("leaching after a visit", self.leach, "L/kg", False),
        ):
            require(
                name,
                value,
                unit,
                low=0.0,
                high=1e4,
                low_open=open_,
                whose="a visit",
                remedy="give what is spread and watered, or leave the visit out",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitPlan:
    """All visits that bring a dose onto a piece of ground.

    Attributes
    ----------
    ground : Ground
        Depth, bulk density and drained water that the rates belong to.
    product : Product
    total : float
        Pure gypsum of all visits, over the column [mmol/kg].
    visits : tuple of Visit
        In order.
    placement, top_fraction
        As in `soilx.Scenario`: "surface" on established plants, "mixed" or "top" before planting.
    cap : float or None
        Product of one visit at most, per kilogram of the column's soil [g/kg].
    annual_limit : float or None
        Product of twelve months at most [g/kg].
    practice : tuple of (str, str)
        What was taken from common practice, each with its label.
    notes : tuple of str

    Raises
    ------
    LimitError
        If visits are out of order, do not add up to the total, or pass a cap.
    """

    ground: Ground
    product: Product
    total: float
    visits: tuple[Visit, ...]
    placement: str
    top_fraction: float = 1.0
    cap: float | None = None
    annual_limit: float | None = None
    practice: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        require_placement(self.placement, self.top_fraction)
        if not self.visits:
            raise LimitError("visits: there is none; a plan is at least one visit; add one.")
        days = [visit.day for visit in self.visits]
        if sorted(set(days)) != days:
            raise LimitError("visits: are out of order or fall on one day; a day has one visit; sort them.")
        given = sum(visit.gypsum for visit in self.visits)
        if abs(given - self.total) > _ROUNDING * self.total:
            refuse(
                "gypsum of all visits",
                given,
                "mmol/kg",
                wrong="is not the total",
                limit=f"the plan's total is {self.total:g} mmol/kg",
                remedy="make the visits with soilx.practice.seasons.visit_plans",
            )
        for number, visit in enumerate(self.visits, start=1):
            self._within(
                self.cap, self.product_of(visit.gypsum), f"product of visit {number}", "cap of a visit"
            )
        for number, pure in enumerate(self.by_year, start=1):
            self._within(
                self.annual_limit, self.product_of(pure), f"product of year {number}", "limit of a year"
            )

    def _within(self, cap: float | None, value: float, name: str, what: str) -> None:
        if cap is not None and value > cap * (1 + _ROUNDING):
            limit = express(cap, Kind.PRODUCT_RATE, "lb/1000 ft^2", ground=self.ground)
            refuse(
                name,
                express(value, Kind.PRODUCT_RATE, "lb/1000 ft^2", ground=self.ground),
                "lb/1000 ft^2",
                wrong="is too much at once",
                limit=f"the limit is this plan's {what}, {limit:.4g} lb/1000 ft^2",
                remedy="split it into more visits, or set a higher limit knowingly",
            )

    @property
    def by_year(self) -> tuple[float, ...]:
        """Pure gypsum of each year of the plan, counted from the first visit's day [mmol/kg]."""
        first = self.visits[0].day
        amounts: list[float] = []
        while months_later(first, 12 * len(amounts)) <= self.visits[-1].day:
            opened, closed = (months_later(first, 12 * (len(amounts) + more)) for more in (0, 1))
            # the first visit may fall on a day that no later month has
            opened = min(opened, first) if not amounts else opened
            amounts.append(sum(visit.gypsum for visit in self.visits if opened <= visit.day < closed))
        return tuple(amounts)

    def product_of(self, gypsum: float) -> float:
        """Product as it comes that holds so much pure gypsum, per kilogram of soil [g/kg].

        Parameters
        ----------
        gypsum : float
            [mmol/kg]
        """
        return product_of(gypsum, self.product)

    @property
    def cumulative_share(self) -> tuple[float, ...]:
        """Part of the total spread with each visit and those before it."""
        return tuple(amount / self.total for amount in accumulate(visit.gypsum for visit in self.visits))

    @property
    def retest_after(self) -> int:
        """Number of the visit, from 1, after which a third of the plan is on the ground."""
        return next(
            number
            for number, share in enumerate(self.cumulative_share, start=1)
            if share >= RETEST_SHARE * (1 - _ROUNDING)
        )

    @property
    def water(self) -> float:
        """Water that all visits ask for, watering in and leaching [L/kg]."""
        return sum(visit.water + visit.leach for visit in self.visits)

    def rows(self) -> list[dict[str, Any]]:
        """One record a visit, units in the names."""

        def area(product: float, unit: str) -> float:
            return express(product, Kind.PRODUCT_RATE, unit, ground=self.ground)

        return [
            {
                "visit": number,
                "date": visit.day.isoformat(),
                "product_lb_per_1000_ft2": area(self.product_of(visit.gypsum), "lb/1000 ft^2"),
                "product_t_per_ha": area(self.product_of(visit.gypsum), "t/ha"),
                "pure_t_per_ha": express(visit.gypsum, Kind.GYPSUM_RATE, "t/ha", ground=self.ground),
                "share_so_far_pct": 100.0 * share,
                "water_in_mm": express(visit.water, Kind.WATER, "mm", ground=self.ground),
                "leach_mm": express(visit.leach, Kind.WATER, "mm", ground=self.ground),
            }
            for number, (visit, share) in enumerate(
                zip(self.visits, self.cumulative_share, strict=True), start=1
            )
        ]


def product_of(gypsum: float, product: Product) -> float:
    """Product as it comes that holds so much pure gypsum, per kilogram of soil [g/kg].

    Parameters
    ----------
    gypsum : float
        [mmol/kg]
    product : Product
    """
    return product.product_mass(gypsum * GYPSUM_MOLAR_MASS / 1000.0)


def months_later(day: date, months: int) -> date:
    """The same day some months later; the 28th at the latest, so that every month has it."""
    count = day.month - 1 + months
    return date(day.year + count // 12, 1 + count % 12, min(day.day, 28))


def day_of(given: date | str, *, name: str) -> date:
    """A day from a date or its text.

    Parameters
    ----------
    given : date or str
        "2026-03-15".
    name : str
        What it is the day of.

    Raises
    ------
    LimitError
        If it is no such day.
    """
    if isinstance(given, date):
        return given
    try:
        return date.fromisoformat(given.strip())
    except ValueError:
        refuse(
            name,
            given,
            "",
            wrong="is not a day",
            limit="the limit is the calendar",
            remedy='write year, month and day, like "2026-03-15"',
        )
