"""The steps of a report after the units: dried, corrected for salts, converted between extracts."""

from typing import Final

from soilx.practice.estimate import Estimate
from soilx.practice.soil_test.report_exchanger import ReportExchanger
from soilx.practice.soil_test.report_fields import (
    CATIONS,
    EXTRACT_WATER_PCT,
    EXTRACTABLE,
    PER_SOIL,
    REPORT_FIELD,
)
from soilx.practice.soil_test.report_solution import ReportSolution
from soilx.practice.soil_test.report_trail import Step, basis_of, dried_step, unit_steps
from soilx.practice.soil_test.report_values import ReportValues
from soilx.units import Kind, express

_CORRECTED: Final = "less what is dissolved: extract × paste water/1000"


def trail_of(values: ReportValues, solution: ReportSolution, exchanger: ReportExchanger) -> tuple[Step, ...]:
    """The whole trail of a report.

    Parameters
    ----------
    values, solution, exchanger
        The report, read, and its two sides.
    """
    return (
        *unit_steps(dict(values.typed)),
        *_dried(values),
        *_corrected(values, exchanger),
        *_capacity(values, exchanger),
        *_between_extracts(values, solution),
        *_estimated(values, solution),
    )


def _dried(values: ReportValues) -> list[Step]:
    moisture = values.moisture
    if moisture is None:
        return []
    steps = []
    for key in PER_SOIL:
        if key not in values.numbers:
            continue
        field = REPORT_FIELD[key]
        shown = express(values.numbers[key], field.kind or Kind.RATIO, field.unit, ion=field.ion)
        steps.append(
            dried_step(
                key,
                f"{shown:.6g} {field.unit}",
                str(values.per_oven_dry(shown, field.unit)),
                moisture=moisture,
                typed=dict(values.typed),
            )
        )
    return steps


def _corrected(values: ReportValues, exchanger: ReportExchanger) -> list[Step]:
    if values.words.get("exchangeable_basis") != EXTRACTABLE:
        return []
    by_symbol = {line.symbol: line for line in exchanger.lines}
    steps = []
    for symbol, left in exchanger.exchangeable.items():
        line = by_symbol.get(symbol)
        key = f"exchangeable_{CATIONS[symbol]}"
        before = exchanger.reported[symbol].scaled(0.1, "cmol_c/kg")
        steps.append(
            Step(
                key=key,
                what=f"exchangeable {CATIONS[symbol]}",
                before=f"{before} extractable",
                multiplier=None,
                after=str(left.scaled(0.1, "cmol_c/kg")),
                basis=basis_of(key, dict(values.typed)),
                why=left.origin if line is None else f"{_CORRECTED}; {line.text}",
            )
        )
    return steps


def _capacity(values: ReportValues, exchanger: ReportExchanger) -> list[Step]:
    typed = values.charge_of_soil("cation_exchange_capacity")
    capacity = exchanger.capacity
    if capacity is None or (typed is not None and typed.value == capacity.value):
        return []
    key = "cation_exchange_capacity"
    return [
        Step(
            key=key,
            what=REPORT_FIELD[key].title,
            before="not given" if typed is None else str(typed.scaled(0.1, "cmol_c/kg")),
            multiplier=None,
            after=str(capacity.scaled(0.1, "cmol_c/kg")),
            basis=basis_of(key, dict(values.typed)),
            why=capacity.origin,
        )
    ]


def _between_extracts(values: ReportValues, solution: ReportSolution) -> list[Step]:
    if solution.basis not in EXTRACT_WATER_PCT:
        return []
    pairs = (
        (
            "extract_conductivity",
            "conductivity of the saturation extract",
            solution.extract_ec,
            solution.paste_ec,
        ),
        (
            "extract_adsorption_ratio",
            "SAR of the saturation extract",
            solution.extract_sar,
            solution.paste_sar,
        ),
    )
    return [
        _converted(key, what, before, after, values)
        for key, what, before, after in pairs
        if before is not None and after is not None and before.value > 0
    ]


def _converted(key: str, what: str, before: Estimate, after: Estimate, values: ReportValues) -> Step:
    return Step(
        key=key,
        what=what,
        before=str(before),
        multiplier=after.value / before.value,
        after=str(after),
        basis=basis_of(key, dict(values.typed)),
        why=f"{after.origin}, {after.source}",
    )


def _estimated(values: ReportValues, solution: ReportSolution) -> list[Step]:
    found = {
        "saturation_percentage": solution.saturation_percentage,
        "bulk_density": values.from_texture("bulk_density", "kg/L"),
    }
    return [
        Step(
            key=key,
            what=REPORT_FIELD[key].title,
            before="not given",
            multiplier=None,
            after=str(estimate),
            basis="soil",
            why=f"{estimate.origin}, common practice",
        )
        for key, estimate in found.items()
        if estimate is not None and key not in values.numbers
    ]
