"""Instalments of a dose cut into visits that keep a cap."""

from collections.abc import Sequence
from datetime import date, timedelta
from math import ceil
from typing import Final

from soilx.chemistry.ions import GYPSUM_MOLAR_MASS
from soilx.column.fields import Given
from soilx.column.soil import Soil
from soilx.errors import refuse, require
from soilx.practice.dose.product import Product
from soilx.practice.seasons.covers import Cover
from soilx.practice.seasons.visits import Visit, months_later
from soilx.units import Kind, read

_ROUNDING: Final = 1e-9


def cap_of(cover: Cover, cap: Given | None, soil: Soil) -> float:
    """Product of one visit at most [g/kg]."""
    if cap is not None:
        return require(
            "cap",
            read(cap, Kind.PRODUCT_RATE, name="cap", ground=soil.ground),
            "g/kg",
            low=0.0,
            low_open=True,
            whose="a visit with gypsum",
            remedy='give the most product of one visit, like "25 lb/1000 ft^2"',
        )
    if cover.cap_high is None:
        refuse(
            "cover",
            cover.name,
            "",
            wrong="has no cap of its own for gypsum laid on top",
            limit="common practice works gypsum in there",
            remedy='give a cap, like "40 lb/1000 ft^2", or plan it as incorporated',
        )
    return read(f"{cover.cap_high!r} lb/1000 ft^2", Kind.PRODUCT_RATE, name="cap", ground=soil.ground)


def require_count(name: str, value: int, high: int) -> None:
    """Raise where a count is not whole, below 1 or too high."""
    if value != int(value):
        refuse(name, value, "", wrong="is not a whole number", limit="it is counted", remedy="round it")
    require(name, value, "", low=1, high=high, whose="a plan of visits", remedy="give a whole number")


def pure_of(product_rate: float, product: Product) -> float:
    """Pure gypsum [mmol/kg] in so much product [g/kg]."""
    return product.pure_mass(product_rate) * 1000.0 / GYPSUM_MOLAR_MASS


def equal_parts(total: float, part: float) -> list[float]:
    """Equal parts, and what is left as a last smaller one [mmol/kg]."""
    count = ceil(total / part - _ROUNDING)
    return [part] * (count - 1) + [total - part * (count - 1)]


def capped_visits(
    amounts: Sequence[float],
    *,
    cap: float,
    first: date,
    instalments_a_year: int,
    days_between: int,
    water: float,
    leach: float,
    leach_every: int,
) -> list[Visit]:
    """Visits of all instalments: as few a piece as the cap allows, equally large."""
    days: list[date] = []
    sizes: list[float] = []
    for number, amount in enumerate(amounts):
        count = ceil(amount / cap - _ROUNDING)
        opened, following = (
            first if not step else months_later(first, round(12 * step / instalments_a_year))
            for step in (number, number + 1)
        )
        last = opened + timedelta(days=days_between * (count - 1))
        if last + timedelta(days=days_between) > following and number + 1 < len(amounts):
            fit = max(1, (following - opened).days // days_between)
            refuse(
                f"visits of instalment {number + 1}",
                count,
                "",
                wrong=f"do not fit before the next instalment on {following}",
                limit=f"{days_between} days between visits leave room for {fit}",
                remedy="make instalments smaller or fewer a year, allow a higher cap, or come more often",
            )
        days += [opened + timedelta(days=days_between * step) for step in range(count)]
        sizes += [amount / count] * count
    return [
        Visit(
            day=day,
            gypsum=size,
            water=water,
            leach=leach if number % leach_every == 0 or number == len(days) else 0.0,
        )
        for number, (day, size) in enumerate(zip(days, sizes, strict=True), start=1)
    ]
