"""When and how to test again, what success looks like, and when to stop."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from soilx.handouts.reader_facts import ReaderFacts
from soilx.handouts.reader_found import drain_time, water_name
from soilx.handouts.reader_plan import ReaderPlan
from soilx.handouts.reader_rate import day_in_words
from soilx.handouts.readers import ReaderUnits, figure, rough
from soilx.practice.judgement.verdict_words import Verdict
from soilx.practice.seasons.monitoring_days import retest_day
from soilx.practice.seasons.programme import Programme
from soilx.practice.seasons.programme_columns import NOTHING, TREATED
from soilx.practice.seasons.programme_followup import NEAR_FLOOR
from soilx.practice.seasons.visits import months_later
from soilx.practice.soil_test.soil_test_scatter import scatter_of_difference

MONTHS_TO_RETEST: Final = 12
SOONER: Final = (
    "So with this water gypsum helps the soil sooner, and does not keep it better in the end. Only better "
    "water does that."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Retest:
    """What comes after.

    Attributes
    ----------
    day : date
    wait, how, success, stop : str
    expected : tuple of str
        What the model expects until then and after; empty where no years were run.
    """

    day: dt.date
    wait: str
    how: str
    success: str
    stop: str
    expected: tuple[str, ...] = ()


_SUCCESS: Final[Mapping[Verdict, str]] = MappingProxyType(
    {
        Verdict.CANNOT_DECIDE: "Success is a report that can be judged: then make this page again.",
        Verdict.LEACH: "Success is a salt reading under the limit above, with the clay still holding "
        "together.",
        Verdict.MAGNESIUM: "Success is a jar of rain water with a crumb of this soil in it that stays clear.",
        Verdict.FIX_THE_WATER: "Success is a water whose own share of sodium is under your soil’s.",
        Verdict.GYPSUM_THERE: "Success is a sodium share that has fallen by more than two tests differ by "
        "chance.",
        Verdict.CARBONATE_FIRST: "Success is a pH that has come down to 8.5 or so, and a jar that stays "
        "clear.",
    }
)
_STEADY: Final = "Success is a sodium share that stays where it is, and water that still sinks in."

_STOP: Final[Mapping[Verdict, str]] = MappingProxyType(
    {
        Verdict.CANNOT_DECIDE: "Spend nothing on gypsum until then.",
        Verdict.LEACH: "Stop leaching when the salt is low: more water takes nutrients too.",
        Verdict.FIX_THE_WATER: "Think again when the water changes: with other water the answer may be "
        "another.",
        Verdict.GYPSUM_THERE: "Stop when the share is at the target. Spread no more without a new test.",
    }
)
_STEADY_STOP: Final = "Think again if the share rises, or if water begins to stand."


def retest_of(facts: ReaderFacts, plan: ReaderPlan | None, units: ReaderUnits, *, made_on: dt.date) -> Retest:
    """What comes after, by verdict.

    Parameters
    ----------
    facts : ReaderFacts
    plan : ReaderPlan or None
        None where there is no rate.
    units : ReaderUnits
    made_on : date
    """
    depth = facts.report.depth
    layer = "the same depth" if depth is None else f"the same {units.soil_depth(depth)} of soil"
    how = f"Take the sample from {layer}, in the same season, for the same laboratory and the same method."
    if plan is not None:
        return _after_gypsum(facts, plan, how=how)
    verdict = facts.decision.verdict
    day = _next_year(facts, made_on)
    if verdict is Verdict.DRAINAGE_FIRST:
        return Retest(
            day=day,
            wait=(
                "Dig the test hole again after the work. Then take a new soil sample, by "
                f"{day_in_words(day)}."
            ),
            how=how,
            success=(
                "Success is a hole that drains within a day, where it now takes "
                f"{drain_time(facts.decision)}. Within an hour is best."
            ),
            stop="If it still takes over a day, stop there. Spread nothing, and get more advice.",
        )
    wait = f"Test the soil again by {day_in_words(day)}."
    if verdict is Verdict.CANNOT_DECIDE:
        wait = (
            "Get the missing tests done as soon as you can, and the soil tested again by "
            f"{day_in_words(day)}."
        )
    return Retest(
        day=day,
        wait=wait,
        how=how,
        success=_SUCCESS.get(verdict, _STEADY),
        stop=_STOP.get(verdict, _STEADY_STOP),
    )


def _after_gypsum(facts: ReaderFacts, plan: ReaderPlan, *, how: str) -> Retest:
    decision, programme = facts.decision, plan.programme
    day = retest_day(plan.visits)
    third = len(plan.visits.visits) > 1
    wait = (
        f"Gypsum works as it dissolves. Test the soil on {day_in_words(day)}"
        f"{', when a third of the gypsum is on the ground' if third else ''}."
    )
    esp = decision.diagnosis.esp.estimate
    before = decision.target_esp_pct if esp is None else esp.value
    then = before if programme is None else _share(programme, TREATED, day)
    noise = scatter_of_difference(before, min(before, then))
    success = (
        f"Success is a share that is lower than {figure(before)} % by more than {rough(noise)} points. Less "
        "than that may be chance. Keep a strip without gypsum to compare."
    )
    stop = (
        f"Stop when a test reads {decision.target_esp_pct:.3g} % or less, or when all of the plan is on the "
        "ground: no more without a new test."
    )
    floor = decision.floor_esp_pct
    if decision.target_below_floor and floor is not None:
        stop += (
            f" Stop, too, when the share is within {NEAR_FLOOR:g} point of {floor:.1f} %, to which "
            f"{water_name(facts)} brings it in the end."
        )
    expected = () if programme is None else _expected(programme, plan, day)
    return Retest(day=day, wait=wait, how=how, success=success, stop=stop, expected=expected)


def _expected(programme: Programme, plan: ReaderPlan, day: dt.date) -> tuple[str, ...]:
    path = programme.path(TREATED)
    row = programme.run.row(day)
    band = ""
    if path.low_pct is not None and path.high_pct is not None:
        band = f" (from {path.low_pct[row]:.1f} to {path.high_pct[row]:.1f})"
    years = programme.run.years
    ends = float(path.esp_pct[-1]), float(programme.path(NOTHING).esp_pct[-1])
    # Where both end alike, gypsum bought time, and a reader who pays for it is told so.
    same = (SOONER,) if ends[1] - ends[0] < NEAR_FLOOR else ()
    return (
        f"The model, with the climate “{plan.climate}”, expects {path.esp_pct[row]:.1f} %{band} on that "
        f"day, and {_share(programme, NOTHING, day):.1f} % with nothing done.",
        f"After {years} {'years' if years > 1 else 'year'} it is {ends[0]:.1f} % with gypsum, and "
        f"{ends[1]:.1f} % without.",
        *same,
    )


def _share(programme: Programme, name: str, day: dt.date) -> float:
    return float(programme.path(name).esp_pct[programme.run.row(day)])


def _next_year(facts: ReaderFacts, made_on: dt.date) -> dt.date:
    """A year after the sample, in its own season; after the page where nobody knows, or that is past."""
    try:
        sampled = dt.date.fromisoformat(facts.report.date or "")
    except ValueError:
        return months_later(made_on, MONTHS_TO_RETEST)
    day = months_later(sampled, MONTHS_TO_RETEST)
    while day <= made_on:
        day = months_later(day, MONTHS_TO_RETEST)
    return day
