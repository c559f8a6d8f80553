"""Exchange capacity on the basis that ESP is meant on, and calcium where lime was extracted with it."""

from collections.abc import Mapping
from dataclasses import replace

from soilx.column.soil_report import MOST_BASES_OVER_CAPACITY
from soilx.practice.estimate import Estimate
from soilx.practice.soil_test.report_fields import (
    CATIONS,
    EXTRACTABLE,
    MEASURED_CAPACITY,
    SUM_WITH_SODIUM,
    SUM_WITHOUT_SODIUM,
)
from soilx.practice.soil_test.report_solution import gypsum_in
from soilx.practice.soil_test.report_values import ReportValues
from soilx.practice.soil_test.soluble_salts import SOIL_CHARGE, SolubleLine, less

Amounts = Mapping[str, Estimate]


def capacity_of(
    values: ReportValues,
    typed: Estimate | None,
    held: Amounts,
    lines: Mapping[str, SolubleLine],
    notes: list[str],
) -> Estimate | None:
    """Exchange capacity on the basis that ESP is meant on: all four cations, nothing dissolved.

    Parameters
    ----------
    values : ReportValues
        The report, read.
    typed : Estimate or None
        As the report has it, per oven-dry soil [mmol_c/kg].
    held : mapping of str to Estimate
        Cations on the exchanger [mmol_c/kg].
    lines : mapping of str to SolubleLine
        What is dissolved, by symbol.
    notes : list of str
        What was assumed or changed is added.

    Returns
    -------
    Estimate or None
        [mmol_c/kg]; None where it cannot be known.
    """
    if typed is None:
        if len(held) < len(CATIONS):
            return None
        notes.append(
            "CEC is not given: the sum of the exchangeable cations stands in, too high where lime is"
        )
        return _sum(list(held.values()), origin="sum of the exchangeable cations")
    basis = values.words.get("cec_basis")
    if basis in (None, MEASURED_CAPACITY):
        return typed if basis else replace(typed, origin="measured, by sum or not: not stated")
    taken_off = [
        line.soluble
        for symbol, line in lines.items()
        if values.words.get("exchangeable_basis") == EXTRACTABLE
        and not (basis == SUM_WITHOUT_SODIUM and symbol == "Na")
    ]
    capacity = typed
    if taken_off:
        soluble = _sum(taken_off, origin="dissolved")
        capacity = less(typed, soluble, origin=f"{basis}, less what is dissolved")
        notes.append(
            f"CEC by sum: {typed.scaled(0.1, 'cmol_c/kg')} less {soluble.scaled(0.1, 'cmol_c/kg')} dissolved"
        )
    if basis == SUM_WITH_SODIUM:
        return replace(capacity, origin=capacity.origin if taken_off else basis)
    if "Na" not in held:
        notes.append(
            "CEC is a sum without sodium, and sodium is not known: there is no CEC to hold it against"
        )
        return None
    whole = _sum([capacity, held["Na"]], origin="sum without sodium, and sodium")
    notes.append(
        f"CEC is a sum without sodium: {capacity.scaled(0.1, 'cmol_c/kg')} and exchangeable sodium make "
        f"{whole.scaled(0.1, 'cmol_c/kg')}"
    )
    return whole


def _sum(amounts: list[Estimate], *, origin: str) -> Estimate:
    return Estimate(
        value=sum(amount.value for amount in amounts),
        low=sum(amount.low for amount in amounts),
        high=sum(amount.high for amount in amounts),
        unit=SOIL_CHARGE,
        origin=origin,
        source=next((amount.source for amount in amounts if amount.source), ""),
    )


def without_lime(
    values: ReportValues, held: dict[str, Estimate], capacity: Estimate | None, notes: list[str]
) -> dict[str, Estimate]:
    """Cations with calcium by difference, where lime or gypsum was extracted with it.

    Parameters
    ----------
    values : ReportValues
        The report, read.
    held : dict of str to Estimate
        Cations less what is dissolved [mmol_c/kg].
    capacity : Estimate or None
        [mmol_c/kg]; a capacity by sum has the lime in it and changes nothing.
    notes : list of str
        The change is added.
    """
    by_sum = values.words.get("cec_basis") in (SUM_WITH_SODIUM, SUM_WITHOUT_SODIUM)
    calcareous = values.numbers.get("lime", 0.0) > 0 or gypsum_in(values)
    calcareous = calcareous or values.flag("gypsum_recently_applied")
    if not calcareous or by_sum or capacity is None or len(held) < len(CATIONS):
        return held
    bases = sum(amount.value for amount in held.values())
    others = _sum([held[symbol] for symbol in ("Mg", "Na", "K")], origin="the other three")
    if bases <= MOST_BASES_OVER_CAPACITY * capacity.value or others.value >= capacity.value:
        return held
    calcium = less(
        capacity, others, origin="CEC less the other three, since lime or gypsum was extracted too"
    )
    notes.append(
        f"calcium: {held['Ca'].scaled(0.1, 'cmol_c/kg')} extracted, {calcium.scaled(0.1, 'cmol_c/kg')} "
        f"taken, which is CEC less the other three; the cations are {bases / capacity.value:.2f} of the CEC, "
        "and lime or gypsum dissolves in the extractant"
    )
    return {**held, "Ca": calcium}
