"""The quality checks of a report, all of them, in the order in which a report is read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from soilx.practice.soil_test.quality_check import Check, Verdict
from soilx.practice.soil_test.report_exchanger_checks import EXCHANGER_CHECKS
from soilx.practice.soil_test.report_solution_checks import SOLUTION_CHECKS

if TYPE_CHECKING:
    from soilx.practice.soil_test.report import Report

__all__ = ["Check", "Verdict", "checks_of"]


def checks_of(report: Report) -> tuple[Check, ...]:
    """Every check that a report's numbers allow; what was not reported is not checked.

    Parameters
    ----------
    report : Report
        As read.

    Returns
    -------
    tuple of Check
        First those of the extract, then those of the exchanger.
    """
    checks = (check(report) for check in (*SOLUTION_CHECKS, *EXCHANGER_CHECKS))
    return tuple(found for found in checks if found is not None)
