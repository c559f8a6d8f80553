"""The numbers a diagnosis judges, taken or worked out from a report, each with its origin and range."""

from dataclasses import replace
from typing import Final

from soilx.practice.estimate import MEASURED, TYPED, Estimate
from soilx.practice.soil_test.report import Report
from soilx.practice.soil_test.report_inventory import BY_EQUILIBRIUM

CHARGE_PER_EC: Final = (8.0, 10.0, 12.0)
"""Cations per conductivity of an extract: low, usual, high [mmol_c/L per dS/m]; conductivity_rules."""

MODEL_EC_ERROR: Final = 0.05
"""How far computed conductivities lie from measured single salts, as a share."""


def plain(value: float | None, unit: str) -> Estimate | None:
    """A number that a report prints without a range, as an estimate; None stays None."""
    return None if value is None else Estimate.measured(value, unit)


def measured(estimate: Estimate) -> bool:
    """Whether a number is the report's own and not a guess from something else."""
    return estimate.origin in (MEASURED, TYPED)


def salinity_of(report: Report) -> Estimate | None:
    """Conductivity of the saturation extract; a computed one with the model's own range [dS/m]."""
    found = report.paste_ec
    if found is None or not (found.exact and found.origin.startswith(BY_EQUILIBRIUM)):
        return found
    return replace(found, low=found.value * (1.0 - MODEL_EC_ERROR), high=found.value * (1.0 + MODEL_EC_ERROR))


def capacity_of(report: Report) -> Estimate | None:
    """Exchange capacity in the unit of its band [cmol_c/kg]."""
    capacity = report.cation_exchange_capacity
    return None if capacity is None else capacity.scaled(0.1, "cmol_c/kg")


def magnesium_share_of(report: Report) -> Estimate | None:
    """Magnesium on the exchanger [% of CEC]; None without either."""
    capacity = report.cation_exchange_capacity
    held = report.exchangeable.get("Mg")
    if capacity is None or held is None:
        return None
    return Estimate(
        value=100.0 * held.value / capacity.value,
        low=100.0 * held.low / capacity.high,
        high=100.0 * held.high / capacity.low,
        unit="% of CEC",
        origin="exchangeable magnesium over CEC",
        source=held.source,
    )


def electrolyte_of(report: Report) -> Estimate | None:
    """Cations of the saturation extract [mmol_c/L]: their sum, else by the rule from its conductivity."""
    cations = [report.paste.get(symbol) for symbol in ("Ca", "Mg", "Na")]
    found = [cation for cation in cations if cation is not None]
    if len(found) == len(cations):
        potassium = report.paste.get("K")
        found += [] if potassium is None else [potassium]
        return Estimate(
            value=sum(cation.value for cation in found),
            low=sum(cation.low for cation in found),
            high=sum(cation.high for cation in found),
            unit="mmol_c/L",
            origin="sum of the extract's cations",
        )
    if report.paste_ec is None:
        return None
    low, usual, high = CHARGE_PER_EC
    return Estimate(
        value=usual * report.paste_ec.value,
        low=low * report.paste_ec.low,
        high=high * report.paste_ec.high,
        unit="mmol_c/L",
        origin="from the extract's conductivity",
        source="conductivity_rules",
    )


def without_soluble_carbonate(report: Report) -> bool:
    """Whether the extract shows no carbonate beyond calcium and magnesium; False where not known."""
    held = {symbol: report.paste.get(symbol) for symbol in ("Ca", "Mg", "HCO3")}
    calcium, magnesium, bicarbonate = held["Ca"], held["Mg"], held["HCO3"]
    if calcium is None or magnesium is None or bicarbonate is None:
        return False
    carbonate = report.paste.get("CO3")
    beside = 0.0 if carbonate is None else carbonate.high
    return bicarbonate.high + beside <= calcium.low + magnesium.low
