"""What a report by totals says of exchanger and solution: nothing on paper, so equilibrium has to say it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from soilx.chemistry.conductivity import electrical_conductivity
from soilx.chemistry.soil_solution import sodium_adsorption_ratio
from soilx.column.soil import state_of
from soilx.errors import SoilxError
from soilx.practice.estimate import Estimate

if TYPE_CHECKING:
    from soilx.practice.soil_test.report import Report

    AnyReport = TypeVar("AnyReport", bound=Report)

BY_EQUILIBRIUM = "computed from totals by equilibrium"


def with_equilibrium(report: AnyReport) -> AnyReport:
    """The report, with ESP at drained water and the paste's EC and SAR where only totals are told.

    Parameters
    ----------
    report : Report
        As read.

    Notes
    -----
    The saturation extract is what the same inventory comes to at the saturation percentage, by the default
    selectivities or those typed. It is a model's answer: no range is known, and the origin says so.
    """
    if report.esp is not None or "total_sodium" not in dict(report.typed):
        return report
    try:
        soil = report.soil()
        esp = soil.exchangeable_sodium_percentage
    except SoilxError as error:
        return replace(report, notes=(*report.notes, str(error)))
    found = replace(report, esp=_computed(esp, "%", "at drained water"))
    if report.saturation_percentage is None or report.paste_ec is not None or report.paste_sar is not None:
        return found
    state = state_of(soil, report.saturation_percentage.value / 100.0)
    solution = state.solution
    return replace(
        found,
        paste_ec=_computed(float(electrical_conductivity(solution.as_array())), "dS/m", "at paste water"),
        paste_sar=_computed(
            float(sodium_adsorption_ratio(solution.na, solution.ca, solution.mg)), "", "at paste water"
        ),
    )


def _computed(value: float, unit: str, where: str) -> Estimate:
    return Estimate.measured(value, unit, origin=f"{BY_EQUILIBRIUM}, {where}")
