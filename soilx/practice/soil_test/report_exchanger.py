"""The exchanger of a report: cations without what is dissolved, capacity on its basis, and ESP."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from soilx.practice.estimate import Estimate
from soilx.practice.soil_test.report_capacity import Amounts, capacity_of, without_lime
from soilx.practice.soil_test.report_esp import esp_of
from soilx.practice.soil_test.report_fields import CATIONS, EXTRACTABLE
from soilx.practice.soil_test.report_solution import ReportSolution
from soilx.practice.soil_test.report_values import ReportValues
from soilx.practice.soil_test.soluble_salts import SolubleLine
from soilx.practice.soil_test.soluble_sodium import sodium_by_conductivity


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportExchanger:
    """What a report says of the exchanger.

    Attributes
    ----------
    capacity : Estimate or None
        Cation exchange capacity, with sodium in it and without what is dissolved [mmol_c/kg].
    reported : mapping of str to Estimate
        Cations as the report has them, per oven-dry soil, by symbol [mmol_c/kg].
    exchangeable : mapping of str to Estimate
        Cations on the exchanger, by symbol [mmol_c/kg].
    lines : tuple of SolubleLine
        The soluble-salt correction, where one was made.
    esp : Estimate or None
        Exchangeable sodium percentage [%].
    notes : tuple of str
        What was assumed, changed or left out.
    """

    capacity: Estimate | None
    reported: Amounts
    exchangeable: Amounts
    lines: tuple[SolubleLine, ...]
    esp: Estimate | None
    notes: tuple[str, ...]


def exchanger_of(values: ReportValues, solution: ReportSolution) -> ReportExchanger:
    """The exchanger of a report.

    Parameters
    ----------
    values : ReportValues
        The report, read.
    solution : ReportSolution
        Its water side.

    Raises
    ------
    LimitError
        If sodium on the exchanger is more than the exchanger holds.
    """
    notes: list[str] = []
    typed_capacity = values.charge_of_soil("cation_exchange_capacity")
    reported = _reported(values, typed_capacity)
    lines = _lines(reported, solution)
    held = _held(values, reported, lines, solution, notes)
    capacity = capacity_of(values, typed_capacity, held, lines, notes)
    held = without_lime(values, held, capacity, notes)
    return ReportExchanger(
        capacity=capacity,
        reported=MappingProxyType(reported),
        exchangeable=MappingProxyType(held),
        lines=tuple(lines.values()) if values.words.get("exchangeable_basis") == EXTRACTABLE else (),
        esp=esp_of(values, held.get("Na"), capacity, solution.paste_sar, notes),
        notes=tuple(notes),
    )


def _reported(values: ReportValues, capacity: Estimate | None) -> dict[str, Estimate]:
    found: dict[str, Estimate] = {}
    for symbol, name in CATIONS.items():
        amount = values.charge_of_soil(f"exchangeable_{name}")
        share = values.pct(f"base_saturation_{name}")
        if amount is None and share is not None and capacity is not None:
            amount = replace(capacity.scaled(share / 100.0), origin="measured, as a share of the CEC")
        if amount is not None:
            found[symbol] = amount
    return found


def _lines(reported: Amounts, solution: ReportSolution) -> dict[str, SolubleLine]:
    if solution.water is None:
        return {}
    return {
        symbol: SolubleLine(
            symbol=symbol,
            name=CATIONS[symbol],
            extractable=amount,
            extract=solution.extract[symbol],
            water=solution.water,
        )
        for symbol, amount in reported.items()
        if symbol in solution.extract
    }


def _held(
    values: ReportValues,
    reported: Amounts,
    lines: Mapping[str, SolubleLine],
    solution: ReportSolution,
    notes: list[str],
) -> dict[str, Estimate]:
    """Cations on the exchanger: as reported, or less what is dissolved, or unknown where that is unknown."""
    basis = values.words.get("exchangeable_basis")
    if not reported or basis not in (None, EXTRACTABLE):
        return dict(reported)
    held: dict[str, Estimate] = {}
    for symbol, amount in reported.items():
        line = lines.get(symbol)
        left = line.exchangeable if line is not None else None
        if line is None and symbol == "Na":
            left = sodium_by_conductivity(amount, solution)
        if basis == EXTRACTABLE:
            if left is not None:
                held[symbol] = left
            elif line is not None:
                notes.append(
                    f"{line.text}: the two cannot both be right; check the basis of the cations and the "
                    "units of the extract"
                )
            else:
                notes.append(
                    f"extractable {CATIONS[symbol]} still holds what is dissolved, and no extract says how "
                    "much: it is not taken for exchangeable"
                )
        elif left is not None:
            # Whether salts were taken off is not stated: the range holds both answers.
            held[symbol] = replace(
                amount,
                low=min(left.low, amount.low),
                origin="measured, with or without dissolved: not stated",
            )
        else:
            held[symbol] = replace(amount, origin="measured, with or without dissolved: not stated")
    if basis is None:
        notes.append(
            "exchangeable_basis is not stated: taken as exchangeable, with a range down to what is left if "
            "dissolved salts are still in it"
        )
    return held
