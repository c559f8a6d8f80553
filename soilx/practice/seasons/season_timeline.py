"""Everything that happens to columns over the years, day by day."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.gypsum import gypsum_solubility
from soilx.column.water import Water
from soilx.errors import LimitError, refuse, require
from soilx.practice.seasons.climate import first_of_next_month
from soilx.practice.seasons.field_water import FieldWater
from soilx.practice.seasons.season_arms import SeasonArm
from soilx.practice.seasons.visits import months_later

Array = NDArray[np.float64]

MOST_YEARS: Final = 100

RAIN: Final = "rain"
IRRIGATION: Final = "irrigation"
VISIT: Final = "visit"
SOURCES_OF_WATER: Final = (RAIN, IRRIGATION, VISIT)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Event:
    """One thing that happens on one day, to B columns.

    Attributes
    ----------
    day : date
    source : str
        What brings water, one of `SOURCES_OF_WATER`; empty where nothing but a record is taken.
    depth : ndarray, shape (B,)
        Water [mm].
    inflow : ndarray, shape (7, B)
        Its composition [mmol/L].
    dose : ndarray, shape (B,)
        Pure gypsum spread before the water [mmol/m²].
    """

    day: date
    source: str
    depth: Array
    inflow: Array
    dose: Array

    @property
    def is_record(self) -> bool:
        """Whether the columns are looked at and nothing is done."""
        return not self.source


def timeline(
    arms: Sequence[SeasonArm],
    *,
    water: FieldWater,
    first: date,
    years: int,
    looks: Iterable[date] = (),
) -> list[Event]:
    """Events of all columns in the order in which they happen.

    Parameters
    ----------
    arms : sequence of SeasonArm
    water : FieldWater
    first : date
        Nothing happens before it; a record is taken on it.
    years : int
    looks : iterable of date
        Further days of a record; those outside the years are left out.

    Returns
    -------
    list of Event
        Records at the start, at the first of each month, before each visit, and at the end. On one day a
        record comes first, then visits, then rain, then irrigation.

    Raises
    ------
    LimitError
        If years are none or too many, a visit lies outside them, or gypsum that the irrigation is to carry
        does not dissolve in it.
    """
    require_years(years)
    last = months_later(first, 12 * int(years))
    _refuse_visits_outside(arms, first, last)
    _refuse_undissolved(arms, water)
    none = np.zeros(len(arms))
    records = {first, last} | {visit.day for arm in arms if arm.plan for visit in arm.plan.visits}
    records |= {day for day in looks if first <= day <= last}
    month = first_of_next_month(first)
    while month < last:
        records.add(month)
        month = first_of_next_month(month)
    plain = np.ones((7, len(arms)))
    found = [Event(day=day, source="", depth=none, inflow=plain, dose=none) for day in sorted(records)]
    found += _visits(arms, water)
    rain = np.repeat(water.rain.solution.as_array()[:, np.newaxis], len(arms), axis=1)
    times = np.array([arm.rain for arm in arms])
    for year in range(first.year, last.year + 1):
        found += [
            Event(day=day, source=RAIN, depth=depth * times, inflow=rain, dose=none)
            for day, depth in water.climate.rain_of(year)
            if first <= day < last
        ]
        found += [event for event in _irrigations(arms, water, year) if first <= event.day < last]
    order = ("", VISIT, RAIN, IRRIGATION)
    return sorted(found, key=lambda event: (event.day, order.index(event.source)))


def require_years(years: int) -> None:
    """Raise where years are no whole number of them, none, or too many."""
    if years != int(years):
        refuse(
            "years",
            years,
            "",
            wrong="is not a whole number",
            limit="seasons come in years",
            remedy="round it",
        )
    require("years", years, "", low=1, high=MOST_YEARS, whose="a run of seasons", remedy="give whole years")


def _irrigations(arms: Sequence[SeasonArm], water: FieldWater, year: int) -> list[Event]:
    if water.irrigation is None:
        return []
    inflow = _inflow(water.irrigation.water, [water.irrigation.gypsum + arm.carried for arm in arms])
    times = np.array([arm.irrigation for arm in arms])
    none = np.zeros(len(arms))
    return [
        Event(day=day, source=IRRIGATION, depth=depth * times, inflow=inflow, dose=none)
        for day, depth in water.irrigation.of_year(year)
    ]


def _visits(arms: Sequence[SeasonArm], water: FieldWater) -> list[Event]:
    """Visits of all columns, those of one day as one event."""
    inflow = _inflow(water.watering, [0.0] * len(arms))
    doses: dict[date, Array] = {}
    depths: dict[date, Array] = {}
    for number, arm in enumerate(arms):
        if arm.plan is None:
            continue
        areal = (arm.plan.ground.depth or 0.0) * (arm.plan.ground.bulk_density or 0.0)
        for visit in arm.plan.visits:
            dose = doses.setdefault(visit.day, np.zeros(len(arms)))
            depth = depths.setdefault(visit.day, np.zeros(len(arms)))
            dose[number] = visit.gypsum * areal if arm.spreads else 0.0
            depth[number] = (visit.water + visit.leach) * areal
    return [Event(day=day, source=VISIT, depth=depths[day], inflow=inflow, dose=doses[day]) for day in doses]


def _inflow(water: Water, carried: Sequence[float]) -> Array:
    """Composition of a water with gypsum dissolved in it for each column, shape (7, B) [mmol/L]."""
    solution = water.solution
    return np.stack(
        [
            replace(solution, ca=solution.ca + gypsum, so4=solution.so4 + gypsum).as_array()
            for gypsum in carried
        ],
        axis=1,
    )


def _refuse_visits_outside(arms: Sequence[SeasonArm], first: date, last: date) -> None:
    for arm in arms:
        for visit in arm.plan.visits if arm.plan else ():
            if not first <= visit.day < last:
                raise LimitError(
                    f"visit on {visit.day}: lies outside the seasons; the limit is {first} to {last}; start "
                    "earlier, or run more years."
                )


def _refuse_undissolved(arms: Sequence[SeasonArm], water: FieldWater) -> None:
    most = max(arm.carried for arm in arms)
    if most == 0:
        return
    if water.irrigation is None:
        raise LimitError(
            "gypsum in the irrigation water: there is no irrigation; the limit is that something has to "
            "carry it; add irrigation, or spread the gypsum."
        )
    require(
        "gypsum in the irrigation water",
        water.irrigation.gypsum + most,
        "mmol/L",
        high=gypsum_solubility(water.irrigation.water.solution),
        whose=f"what {water.irrigation.water.name} dissolves at 25 °C",
        remedy="dissolve less in more water",
    )
