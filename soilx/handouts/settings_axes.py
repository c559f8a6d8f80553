"""Stops of a page's sliders: values that print well, and among them the scenario's own."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from soilx.show.sentences import RATE_DIGITS
from soilx.units import Kind, express

if TYPE_CHECKING:
    from soilx.column.scenario import Scenario

#: A stop nearer to the scenario's own value than this part of a step makes way for it.
_TOO_NEAR: Final = 0.4
_LADDER: Final = (1.0, 2.0, 2.5, 5.0)
_MOST_SODIUM_PCT: Final = 60.0
_CAPACITY_UNIT: Final = "cmol_c/kg"
_UNIT_TEXTS: Final = (("ft²", "ft^2"), ("m²", "m^2"), ("short ton", "short_ton"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """The stops of one slider.

    Attributes
    ----------
    key : str
        "gypsum", "capacity", "sodium" or "water".
    unit : str
        As read, such as "t/ha".
    values : tuple of float
        In that unit, ascending.
    digits : int
        Decimals shown.
    own : int
        Number of the stop that is the scenario's own.
    """

    key: str
    unit: str
    values: tuple[float, ...]
    digits: int
    own: int

    @property
    def texts(self) -> tuple[str, ...]:
        """The values as printed, without their unit."""
        return tuple(f"{value:.{self.digits}f}" for value in self.values)

    def typed(self, number: int) -> str:
        """A stop as it is typed into a scenario.

        Parameters
        ----------
        number : int
            Of the stop.
        """
        return f"{self.values[number]:.12g} {typed_unit(self.unit)}"


def typed_unit(unit: str) -> str:
    """A unit as it is typed, from how it is read: "lb/1000 ft^2" from "lb/1000 ft²".

    Parameters
    ----------
    unit : str
        As read.
    """
    for read, typed in _UNIT_TEXTS:
        unit = unit.replace(read, typed)
    return unit


def gypsum_axis(scenario: Scenario, unit: str, *, stops: int) -> Axis:
    """Rates from none to about twice the scenario's own.

    Parameters
    ----------
    scenario : Scenario
        A column without gypsum goes up to what would take the place of all its exchangeable sodium.
    unit : str
        In which the rate is read.
    stops : int
        About so many.
    """
    soil = scenario.soil
    sodium = soil.exchangeable_sodium_percentage / 100 * soil.cation_exchange_capacity
    highest = 2 * scenario.gypsum or max(0.5 * sodium, 1.0)
    own, top = (
        express(rate, Kind.GYPSUM_RATE, typed_unit(unit), ground=scenario.ground)
        for rate in (scenario.gypsum, highest)
    )
    step = nice_step(top / (stops - 1))
    values, at = stops_with(own, low=0.0, high=top, step=step)
    return Axis(key="gypsum", unit=unit, values=values, digits=_digits(unit, step, own), own=at)


def capacity_axis(scenario: Scenario, *, stops: int) -> Axis:
    """Exchange capacities from half the soil's own to one and a half times it.

    Parameters
    ----------
    scenario : Scenario
    stops : int
        About so many; 1 is the soil's own alone.
    """
    own = express(scenario.soil.cation_exchange_capacity, Kind.EXCHANGE_CAPACITY, _CAPACITY_UNIT)
    digits = 1 if own >= 10 else 2
    if stops == 1:
        return Axis(key="capacity", unit=_CAPACITY_UNIT, values=(own,), digits=digits, own=0)
    step = nice_step(own / (stops - 1))
    values, at = stops_with(own, low=0.5 * own, high=1.5 * own, step=step)
    return Axis(key="capacity", unit=_CAPACITY_UNIT, values=values, digits=digits, own=at)


def sodium_axis(scenario: Scenario, *, stops: int) -> Axis:
    """Exchangeable sodium at the start, from a little to twice the soil's own.

    Parameters
    ----------
    scenario : Scenario
    stops : int
        About so many; 1 is the soil's own alone.
    """
    own = scenario.soil.exchangeable_sodium_percentage
    if stops == 1:
        return Axis(key="sodium", unit="%", values=(own,), digits=1, own=0)
    high = max(own, min(2 * own, _MOST_SODIUM_PCT), 10.0)
    step = nice_step(high / stops)
    values, at = stops_with(own, low=step, high=high, step=step)
    return Axis(key="sodium", unit="%", values=values, digits=1, own=at)


def water_stops(applied: Sequence[float], kept: Collection[int], *, stops: int) -> tuple[int, ...]:
    """Rows of a run at which its water is read: evenly along it, whole steps, and some rows in any case.

    Parameters
    ----------
    applied : sequence of float
        Water applied up to each row [pore volumes].
    kept : collection of int
        Rows that are read in any case, such as the one at which the scenario ends.
    stops : int
        About so many.
    """
    first = applied[1] - applied[0]
    step = nice_step(applied[-1] / (stops - 1), whole=first)
    wanted = [number * step for number in range(int(applied[-1] / step + 1e-9) + 1)]
    # A row that takes water back leaves what was applied: the last row of a kind is the state after it.
    rows = {max(range(len(applied)), key=lambda row: (-abs(applied[row] - value), row)) for value in wanted}
    held = {0, len(applied) - 1, *kept}
    near = {row for row in rows if any(abs(applied[row] - applied[at]) < _TOO_NEAR * step for at in held)}
    return tuple(sorted((rows - near) | held))


def nice_step(wanted: float, *, whole: float | None = None) -> float:
    """The one of 1, 2, 2.5, 5, 10, … that is nearest.

    Parameters
    ----------
    wanted : float
        Above nil.
    whole : float, optional
        One that is a multiple of it is taken where there is one within a factor of two.
    """
    decade = math.floor(math.log10(wanted))
    rungs = [rung * 10.0**power for power in (decade - 1, decade, decade + 1) for rung in _LADDER]
    near = sorted(rungs, key=lambda rung: abs(math.log(rung / wanted)))
    if whole is None:
        return near[0]
    return next((rung for rung in near if 0.5 <= rung / wanted <= 2 and _is_whole(rung / whole)), near[0])


def _is_whole(value: float) -> bool:
    return value >= 0.5 and abs(value - round(value)) < 1e-6


def stops_with(own: float, *, low: float, high: float, step: float) -> tuple[tuple[float, ...], int]:
    """Whole steps between two ends, with one more value among them, and its number.

    Parameters
    ----------
    own : float
        Takes the place of a stop that is too near to it; nil stays beside it.
    low, high : float
        No stop is outside, but `own` may be.
    step : float
        Between stops.
    """
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    # Rounded, so that 3 × 0.1 is typed as 0.3.
    even = [round(number * step, 10) for number in range(first, last + 1)]
    kept = [value for value in even if value == 0 != own or abs(value - own) >= _TOO_NEAR * step]
    values = tuple(sorted({*kept, own}))
    return values, values.index(own)


def _digits(unit: str, step: float, own: float) -> int:
    """Decimals in which every step and the scenario's own rate are printed as they are."""
    of_step = next(digits for digits in range(12) if math.isclose(round(step, digits), step))
    of_own = RATE_DIGITS.get(unit, 0 if own == 0 else 2 - math.floor(math.log10(own)))
    return max(of_step, of_own, 0)
