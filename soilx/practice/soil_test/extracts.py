"""From a 1:5 or a 1:1 extract to a saturation extract: a value, its range and its source, or a refusal.

Limits such as 4 dS/m or SAR 13 are of the saturation extract. An extract with more water reads lower, and
by how much is known from regressions on other people's soils. All of them were fitted where there was little
gypsum: with gypsum in the soil more water dissolves more of it, nothing is diluted, and they are refused.
"""

import math
from typing import Final

from soilx.errors import ModelRangeError, refuse, require
from soilx.practice.estimate import Estimate
from soilx.practice.soil_test.report_fields import ONE_TO_FIVE, ONE_TO_ONE

CONDUCTIVITY_HALF_RANGE: Final = 0.25
"""How far a soil may lie from the 1:5 formula, as a share of it; common practice, no published source."""

ONE_TO_ONE_FACTORS: Final = (1.60, 2.11, 3.35)
"""Least, combined and largest published ECe over EC1:1."""

ADSORPTION_RATIO_FACTORS: Final = {ONE_TO_ONE: (1.21, 0.954), ONE_TO_FIVE: (2.22, 0.828)}
"""SARe over the extract's SAR, and the R² of the 122 samples it was fitted to."""


def paste_conductivity(
    conductivity: Estimate,
    *,
    extract: str,
    saturation_percentage: Estimate | None = None,
    gypsum_present: bool | None = None,
) -> Estimate:
    r"""Conductivity of the saturation extract from that of a wider one.

    .. math:: EC_e = \left(2.46 + \frac{3.03}{\theta_{SP}}\right) EC_{1:5}, \qquad EC_e = 2.11\,EC_{1:1}

    Parameters
    ----------
    conductivity : Estimate
        Of the extract at 25 °C [dS/m].
    extract : str
        "1:1 extract" or "1:5 extract".
    saturation_percentage : Estimate, optional
        Water of the saturated paste, measured or estimated from texture [%]; the 1:5 formula needs it.
    gypsum_present : bool, optional
        Whether solid gypsum is in the soil; None where it is not known.

    Returns
    -------
    Estimate
        [dS/m]

    Raises
    ------
    ModelRangeError
        If gypsum is present.
    LimitError
        If the extract is another one, or the 1:5 formula lacks the saturation percentage.

    Notes
    -----
    The range of the 1:5 formula is that of the saturation percentage and a quarter to both sides, which is
    common practice; that of the 1:1 factor is the spread of published factors through the origin.

    References
    ----------
    slavich_petterson1993; ec_extracts_1_1
    """
    _refuse_gypsum("conductivity of the extract", conductivity, gypsum_present)
    if extract == ONE_TO_ONE:
        low, factor, high = ONE_TO_ONE_FACTORS
        return Estimate(
            value=conductivity.value * factor,
            low=conductivity.low * low,
            high=conductivity.high * high,
            unit="dS/m",
            origin=f"converted from a {extract}",
            source="ec_extracts_1_1",
        )
    _require_known(extract)
    if saturation_percentage is None:
        refuse(
            "saturation percentage",
            "not given",
            "",
            wrong="is needed to convert a 1:5 extract",
            limit="the factor falls from 18 in sand to 6 in clay (Slavich & Petterson 1993)",
            remedy="measure it, or give texture or clay",
        )
    factors = slavich_petterson_factor(saturation_percentage)
    return Estimate(
        value=conductivity.value * factors.value,
        low=conductivity.low * factors.low * (1.0 - CONDUCTIVITY_HALF_RANGE),
        high=conductivity.high * factors.high * (1.0 + CONDUCTIVITY_HALF_RANGE),
        unit="dS/m",
        origin=f"converted from a {extract}, paste water {saturation_percentage.origin}",
        source="slavich_petterson1993",
    )


def slavich_petterson_factor(saturation_percentage: Estimate) -> Estimate:
    """Conductivity of the saturation extract over that of a 1:5 extract, by the water of the paste.

    Parameters
    ----------
    saturation_percentage : Estimate
        [%]; θ_SP of the formula is kg of water per kg of soil.

    References
    ----------
    slavich_petterson1993
    """
    require(
        "saturation percentage",
        saturation_percentage.low,
        "%",
        low=0.0,
        low_open=True,
        whose="a paste that holds water",
        remedy="give the water of the saturated paste in % of oven-dry soil",
    )
    return saturation_percentage.through(
        lambda percent: 2.46 + 3.03 / (percent / 100.0),
        unit="",
        origin=f"paste water {saturation_percentage.origin}",
        source="slavich_petterson1993",
    )


def paste_adsorption_ratio(
    adsorption_ratio: Estimate, *, extract: str, gypsum_present: bool | None = None
) -> Estimate:
    """Sodium adsorption ratio of the saturation extract from that of a wider one.

    Parameters
    ----------
    adsorption_ratio : Estimate
        Of the extract [(mmol/L)^½].
    extract : str
        "1:1 extract" or "1:5 extract".
    gypsum_present : bool, optional
        As for `paste_conductivity`.

    Returns
    -------
    Estimate
        [(mmol/L)^½]

    Raises
    ------
    ModelRangeError
        If gypsum is present.
    LimitError
        If the extract is another one.

    Notes
    -----
    The source prints R² and no scatter. The range is √(1 − R²) of the value to both sides, which is the
    residual deviation of samples that spread as wide as their mean; our own reading, to be replaced by a
    regression on the laboratory's own soils.

    References
    ----------
    sar_extracts_122
    """
    _refuse_gypsum("SAR of the extract", adsorption_ratio, gypsum_present)
    _require_known(extract)
    factor, determination = ADSORPTION_RATIO_FACTORS[extract]
    half = math.sqrt(1.0 - determination)
    return Estimate(
        value=adsorption_ratio.value * factor,
        low=adsorption_ratio.low * factor * (1.0 - half),
        high=adsorption_ratio.high * factor * (1.0 + half),
        unit="",
        origin=f"converted from a {extract}",
        source="sar_extracts_122",
    )


def _refuse_gypsum(name: str, given: Estimate, gypsum_present: bool | None) -> None:
    if gypsum_present:
        refuse(
            name,
            given.value,
            given.unit,
            wrong="cannot be converted to a saturation extract",
            limit="solid gypsum is present or was spread lately, and more water dissolves more of it (the "
            "sources had little)",
            remedy="have a saturation extract made",
            error=ModelRangeError,
        )


def _require_known(extract: str) -> None:
    if extract not in ADSORPTION_RATIO_FACTORS:
        refuse(
            "extract",
            extract,
            "",
            wrong="has no published conversion here",
            limit=f"there are those of {' and '.join(ADSORPTION_RATIO_FACTORS)}",
            remedy="name the extract that was made; a saturation extract needs none",
        )
