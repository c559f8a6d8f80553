"""When the soil of a plan is tested: before, after the first third, and each year in the same season."""

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Final

from soilx.practice.seasons.visits import VisitPlan, months_later

DAYS_TO_RETEST: Final = 28
"""From a visit to a test of the soil, where no visit follows sooner; common practice †."""


def retest_day(plan: VisitPlan) -> date:
    """Day of the test after the first third of a plan: before the next visit, or four weeks later.

    Parameters
    ----------
    plan : VisitPlan
    """
    visit = plan.retest_after
    day = plan.visits[visit - 1].day + timedelta(days=DAYS_TO_RETEST)
    return min(day, plan.visits[visit].day) if visit < len(plan.visits) else day


def days_of_tests(plan: VisitPlan, *, last: date) -> Mapping[date, str]:
    """Days on which to test the soil, in order, each with its reason.

    Parameters
    ----------
    plan : VisitPlan
    last : date
        After which nothing is planned.
    """
    first, third = plan.visits[0].day, plan.retest_after
    share = 100 * plan.cumulative_share[third - 1]
    wanted = [
        (first, "before the first visit: the sample that all later ones are compared with"),
        (retest_day(plan), f"after visit {third}, with {share:.3g} % of the plan on the ground"),
    ]
    year = 1
    while (day := months_later(first, 12 * year)) <= last:
        wanted.append((day, f"{year} year{'s' if year > 1 else ''} later, in the same season"))
        year += 1
    reasons: dict[date, str] = {}
    for day, why in sorted(wanted):
        if day <= last:
            reasons[day] = f"{reasons[day]}; {why}" if day in reasons else why
    return reasons
