"""When to test again, when to stop, and what became of the target."""

from dataclasses import dataclass
from datetime import date
from typing import Final

import numpy as np

from soilx.column.fields import COMMON_PRACTICE
from soilx.practice.seasons.monitoring_days import days_of_tests, retest_day
from soilx.practice.seasons.programme import Programme
from soilx.practice.seasons.programme_columns import NOTHING, TREATED
from soilx.practice.soil_test.soil_test_scatter import scatter_of_difference

NEAR_FLOOR: Final = 1.0
"""So close to the water's floor more gypsum buys nothing that lasts [points of ESP]; common practice †."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Monitoring:
    """One day on which the soil is tested, and what is expected then.

    Attributes
    ----------
    day : date
    why : str
    expected_esp_pct : float
        Of the treated ground [%].
    low_pct, high_pct : float or None
        Its band [%].
    untreated_esp_pct : float
        Of ground that nothing was done to [%].
    shows : bool or None
        Whether the change since the first test is larger than two soil tests scatter; None for that one.
    label : str
    """

    day: date
    why: str
    expected_esp_pct: float
    low_pct: float | None
    high_pct: float | None
    untreated_esp_pct: float
    shows: bool | None
    label: str = f"{COMMON_PRACTICE} †"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One reason to stop spreading, from a day on.

    Attributes
    ----------
    rule : str
        "target reached", "target reached for certain", "near the water's floor", "cannot tell", "plan spent".
    day : date
    number : float
        What decided it.
    sentence : str
    """

    rule: str
    day: date
    number: float
    sentence: str


def monitoring(programme: Programme) -> tuple[Monitoring, ...]:
    """Days on which to test the soil: before, after the first third, and each year in the same season.

    Parameters
    ----------
    programme : Programme

    Notes
    -----
    Same depth, laboratory, season and method each time; otherwise two tests do not compare.
    """
    reasons = days_of_tests(programme.plan, last=programme.run.days[-1])
    return tuple(_expected(programme, day, why) for day, why in reasons.items())


def when_to_stop(programme: Programme) -> tuple[Stop, ...]:
    """Reasons to stop that this programme meets, in the order of their days.

    Parameters
    ----------
    programme : Programme
    """
    path, plan = programme.path(TREATED), programme.plan
    found: list[Stop] = []
    after_first = [number for number, day in enumerate(path.days) if day > plan.visits[0].day]
    target = programme.target_esp_pct
    if target is not None:
        for rule, values, word in (
            ("target reached", path.esp_pct, "the expected ESP"),
            ("target reached for certain", path.high_pct, "the whole band"),
        ):
            row = None if values is None else _first(after_first, values <= target)
            if row is not None and values is not None:
                found.append(
                    Stop(
                        rule=rule,
                        day=path.days[row],
                        number=float(values[row]),
                        sentence=f"{word} is at {values[row]:.1f}, at or below the target of {target:g}: "
                        "test the soil, and stop if it says so too",
                    )
                )
    floor = programme.floor_esp_pct
    row = None if floor is None else _first(after_first, path.esp_pct <= floor + NEAR_FLOOR)
    if row is not None and floor is not None:
        found.append(
            Stop(
                rule="near the water's floor",
                day=path.days[row],
                number=floor,
                sentence=f"ESP is within {NEAR_FLOOR:g} of {floor:.1f}, to which the irrigation water brings "
                "this soil in the end: what gypsum gains below it does not last; better the water",
            )
        )
    test = _expected(programme, min(retest_day(plan), path.days[-1]), "")
    gain = test.untreated_esp_pct - test.expected_esp_pct
    noise = scatter_of_difference(test.untreated_esp_pct, test.expected_esp_pct)
    if gain < noise:
        found.append(
            Stop(
                rule="cannot tell",
                day=test.day,
                number=gain,
                sentence=f"after the first third the gain of {gain:.1f} points over doing nothing is less "
                f"than the {noise:.1f} by which two soil tests differ by chance: a retest then cannot say "
                "whether to go on; keep an untreated strip and test more samples",
            )
        )
    found.append(
        Stop(
            rule="plan spent",
            day=plan.visits[-1].day,
            number=plan.total,
            sentence="all of the plan's gypsum is on the ground: no more without a new soil test",
        )
    )
    return tuple(sorted(found, key=lambda stop: stop.day))


def kept_until(programme: Programme) -> tuple[date | None, date | None]:
    """When the treated ground first reaches the target, and when it is lost again.

    Returns
    -------
    reached, lost : date or None
        None where that does not come in these years, or there is no target.
    """
    target = programme.target_esp_pct
    if target is None:
        return None, None
    path = programme.path(TREATED)
    reached = _first(range(len(path.days)), path.esp_pct <= target)
    if reached is None:
        return None, None
    lost = _first(range(reached, len(path.days)), path.esp_pct > target)
    return path.days[reached], None if lost is None else path.days[lost]


def _expected(programme: Programme, day: date, why: str) -> Monitoring:
    row = programme.run.row(day)
    treated, nothing = programme.path(TREATED), programme.path(NOTHING)
    first = programme.run.row(programme.plan.visits[0].day)
    before, now = float(treated.esp_pct[first]), float(treated.esp_pct[row])
    return Monitoring(
        day=day,
        why=why,
        expected_esp_pct=now,
        low_pct=None if treated.low_pct is None else float(treated.low_pct[row]),
        high_pct=None if treated.high_pct is None else float(treated.high_pct[row]),
        untreated_esp_pct=float(nothing.esp_pct[row]),
        shows=None if row == first else abs(before - now) > scatter_of_difference(before, now),
    )


def _first(rows: range | list[int], holds: np.ndarray) -> int | None:
    """First of some rows at which something holds."""
    return next((row for row in rows if holds[row]), None)
