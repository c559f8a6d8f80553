"""From a report to the column's soil: as its own row where it is whole, by a summary where it is not."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Final

from soilx.column.fields import Typed
from soilx.column.soil import Soil
from soilx.column.soil_fields import OBSERVATIONS, REPORT, SELECTIVITIES, SOIL_FIELD, SUMMARY, TOTALS
from soilx.errors import LimitError
from soilx.practice.estimate import Estimate
from soilx.practice.soil_test.report_exchanger import ReportExchanger
from soilx.practice.soil_test.report_fields import (
    AIR_DRY,
    CATIONS,
    EXCHANGEABLE,
    OVEN_DRY,
    PASTE,
    PER_SOIL,
    REPORT_FIELD,
)
from soilx.practice.soil_test.report_solution import ReportSolution
from soilx.practice.soil_test.report_values import ReportValues

if TYPE_CHECKING:
    from soilx.practice.soil_test.report import Report

_GEOMETRY: Final = (
    "name",
    "depth",
    "bulk_density",
    "saturation_percentage",
    "initial_water",
    "drained_water",
    "driest_water",
    *SELECTIVITIES,
    *OBSERVATIONS,
)
_MOST_POTASSIUM: Final = 0.40
"""Potassium's share of the CEC that a summary takes at most."""


def column_texts(
    values: ReportValues,
    solution: ReportSolution,
    exchanger: ReportExchanger,
    *,
    bulk_density: Estimate | None,
) -> Typed:
    """What the column takes instead of what was typed, or besides it.

    Parameters
    ----------
    values, solution, exchanger
        The report, read, and its two sides.
    bulk_density : Estimate or None
        Measured or estimated [kg/L].

    Returns
    -------
    tuple of (str, str)
        Empty where the report is whole and on the column's own bases: then nothing is touched.
    """
    texts: dict[str, str] = {}
    if values.words.get("soil_basis") == AIR_DRY:
        texts["soil_basis"] = OVEN_DRY
        texts |= {key: values.oven_dry_text(key) for key in PER_SOIL if key in values.numbers}
    if "bulk_density" not in values.numbers and bulk_density is not None:
        texts["bulk_density"] = f"{bulk_density.value!r} kg/L"
    if "saturation_percentage" not in values.numbers and solution.saturation_percentage is not None:
        texts["saturation_percentage"] = f"{solution.saturation_percentage.value!r} %"
    typed = values.charge_of_soil("cation_exchange_capacity")
    capacity = exchanger.capacity
    same_capacity = capacity is None or (typed is not None and typed.value == capacity.value)
    if capacity is not None and not same_capacity:
        texts["cation_exchange_capacity"] = _charge(capacity)
    if not same_capacity or _touched(values, exchanger):
        texts["exchangeable_basis"] = EXCHANGEABLE
        texts |= {
            f"exchangeable_{CATIONS[symbol]}": _charge(amount)
            for symbol, amount in exchanger.exchangeable.items()
        }
    return tuple(texts.items())


def _touched(values: ReportValues, exchanger: ReportExchanger) -> bool:
    """Whether a cation was typed as a share, or changed otherwise than the column corrects it itself."""
    if any(f"base_saturation_{name}" in values.numbers for name in CATIONS.values()):
        return True
    corrected = {line.symbol: line.exchangeable for line in exchanger.lines}
    return any(
        amount.value != (corrected.get(symbol) or exchanger.reported[symbol]).value
        for symbol, amount in exchanger.exchangeable.items()
    )


def _charge(amount: Estimate) -> str:
    return f"{amount.value!r} {amount.unit}"


def soil_of_report(report: Report) -> Soil:
    """The column's soil of a report.

    Raises
    ------
    LimitError
        If the report does not say enough for any of the column's origins.
    """
    told = {**dict(report.typed), **dict(report.converted)}
    ways = {REPORT: _by_report(told), TOTALS: _by_totals(told), SUMMARY: _by_summary(report, told)}
    missing = {origin: _missing(texts, origin) for origin, texts in ways.items()}
    wanted = told.get("origin")
    order = sorted(ways, key=lambda origin: origin != wanted)
    for origin in order:
        if not missing[origin]:
            return Soil.of(changes=(), **ways[origin])
    nearest = min(order, key=lambda origin: len(missing[origin]))
    first = order[0] if wanted else nearest
    another = ""
    if nearest != first:
        another = f"; by {nearest} it lacks {', '.join(missing[nearest])}"
    raise LimitError(
        f"report {report.name}: says too little for a column; by {first} it lacks {', '.join(missing[first])}"
        f"{another}; add one of these, each with its unit."
    )


def _by_report(told: Mapping[str, str]) -> dict[str, str]:
    return {
        **{
            key: text
            for key, text in told.items()
            if key in SOIL_FIELD and REPORT in SOIL_FIELD[key].allowed_in
        },
        "origin": REPORT,
    }


def _by_totals(told: Mapping[str, str]) -> dict[str, str]:
    return {
        **{
            key: text
            for key, text in told.items()
            if key in SOIL_FIELD and TOTALS in SOIL_FIELD[key].allowed_in
        },
        "origin": TOTALS,
    }


def _by_summary(report: Report, told: Mapping[str, str]) -> dict[str, str]:
    """CEC, ESP and the paste's conductivity, with what else a summary may say."""
    allowed = (
        key
        for key in told
        if key in SOIL_FIELD and SUMMARY in SOIL_FIELD[key].allowed_in and key != "selectivity"
    )
    texts = {key: told[key] for key in allowed}
    texts["origin"] = SUMMARY
    if "exchangeable_sodium_percentage" not in texts and report.esp is not None:
        texts["exchangeable_sodium_percentage"] = f"{report.esp.value!r} %"
    if "electrical_conductivity" not in texts and report.paste_ec is not None:
        texts["electrical_conductivity"] = f"{report.paste_ec.value!r} dS/m"
        texts["conductivity_basis"] = PASTE
    potassium, capacity = report.exchangeable.get("K"), report.cation_exchange_capacity
    if potassium is not None and capacity is not None and capacity.value > 0:
        share = potassium.value / capacity.value
        if share <= _MOST_POTASSIUM:
            texts.setdefault("potassium_share", f"{100.0 * share!r} %")
    calcium, magnesium = report.paste.get("Ca"), report.paste.get("Mg")
    if calcium is not None and magnesium is not None and calcium.value > 0 and magnesium.value > 0:
        texts.setdefault("calcium_to_magnesium", f"{calcium.value / magnesium.value!r}")
    return texts


def _missing(texts: Mapping[str, str], origin: str) -> list[str]:
    """Keys that an origin asks for and that are not there."""
    keys = [key for key, field in SOIL_FIELD.items() if origin in field.needed_by and key not in texts]
    if origin == TOTALS and not {"magnesium_share", "total_magnesium"} & set(texts):
        keys.append("magnesium_share")
    if "drained_water" not in texts and "saturation_percentage" not in texts:
        keys.append("drained_water")
    if origin == REPORT and texts.get("extract_basis") != PASTE:
        keys.append(f'extract_basis "{PASTE}"')
    return [REPORT_FIELD[key].key if key in REPORT_FIELD else key for key in keys]
