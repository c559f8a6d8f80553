"""Exchangeable sodium percentage of a report: over CEC, as printed, or from SAR, in this order."""

from typing import Final

from soilx.chemistry.cation_exchange import ussl_line_esp
from soilx.errors import refuse
from soilx.practice.estimate import MEASURED, Estimate
from soilx.practice.soil_test.report_values import ReportValues

LINE_HALF_RANGE_PCT: Final = 5.0
"""How far soils lie from Handbook 60's line: within 5 ESP units in the Nile Delta [%]."""
LINE_HIGHEST_SAR: Final = 65.0
"""The line was fitted below [(mmol/L)^½]."""


def esp_of(
    values: ReportValues,
    sodium: Estimate | None,
    capacity: Estimate | None,
    paste_sar: Estimate | None,
    notes: list[str],
) -> Estimate | None:
    """ESP from exchangeable sodium over CEC, else as reported, else from SAR by Handbook 60's line.

    Parameters
    ----------
    values : ReportValues
        The report, read.
    sodium, capacity : Estimate or None
        On the exchanger [mmol_c/kg].
    paste_sar : Estimate or None
        Of the saturation extract [(mmol/L)^½].
    notes : list of str
        Why none could be read from a SAR is added.

    Returns
    -------
    Estimate or None
        [%]

    Raises
    ------
    LimitError
        If sodium is more than the capacity.
    """
    if sodium is not None and capacity is not None and capacity.low > 0:
        if sodium.value > capacity.value:
            refuse(
                "exchangeable sodium",
                sodium.value / 10.0,
                "cmol_c/kg",
                wrong=f"is more than the whole CEC of {capacity.value / 10.0:.4g} cmol_c/kg",
                limit="no cation takes more than the exchanger has, by definition",
                remedy="check the units of both, and whether the sodium is extractable",
            )
        origin = "measured, exchangeable sodium over CEC"
        return Estimate(
            value=100.0 * sodium.value / capacity.value,
            low=100.0 * sodium.low / capacity.high,
            high=min(100.0 * sodium.high / capacity.low, 100.0),
            unit="%",
            origin=origin if sodium.origin == MEASURED else f"{origin} ({sodium.origin})",
            source=sodium.source or capacity.source,
        )
    told = values.pct("exchangeable_sodium_percentage")
    if told is not None:
        return Estimate.measured(told, "%", origin="measured, as the report states it")
    if paste_sar is None:
        return None
    if paste_sar.high > LINE_HIGHEST_SAR:
        notes.append(
            f"SAR {paste_sar} reaches beyond {LINE_HIGHEST_SAR:g}, the end of Handbook 60's line: no ESP is "
            "read from it"
        )
        return None
    return esp_from_sar(paste_sar)


def esp_from_sar(paste_sar: Estimate) -> Estimate:
    """Exchangeable sodium percentage that Handbook 60's line gives for a SAR, within 5 units [%].

    Parameters
    ----------
    paste_sar : Estimate
        Of a saturation extract [(mmol/L)^½].

    Notes
    -----
    Below SAR 0.854 the line gives less than nothing; nothing is what is returned, since no soil holds less.

    References
    ----------
    ussl1954; nile_delta1977
    """
    value, low, high = (
        max(0.0, float(ussl_line_esp(sar))) for sar in (paste_sar.value, paste_sar.low, paste_sar.high)
    )
    return Estimate(
        value=value,
        low=max(0.0, low - LINE_HALF_RANGE_PCT),
        high=high + LINE_HALF_RANGE_PCT,
        unit="%",
        origin=f"from SAR by Handbook 60's line (SAR {paste_sar.origin})",
        source="ussl1954",
    )
