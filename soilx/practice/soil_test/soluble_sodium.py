"""Dissolved sodium where an extract's ions were not told: what its conductivity and SAR allow."""

import math
from typing import Final

from soilx.practice.estimate import Estimate
from soilx.practice.soil_test.report_solution import ReportSolution
from soilx.practice.soil_test.soluble_salts import SOIL_CHARGE, dissolved, less

CHARGE_PER_CONDUCTIVITY: Final = (8.0, 10.0, 14.0)
"""Cations per conductivity: least, usual, near saturation with gypsum [mmol_c/L per dS/m]."""


def sodium_by_conductivity(extractable: Estimate, solution: ReportSolution) -> Estimate | None:
    """Exchangeable sodium: extractable less what conductivity and SAR let be dissolved.

    Parameters
    ----------
    extractable : Estimate
        Sodium [mmol_c/kg].
    solution : ReportSolution
        The report's water side.

    Returns
    -------
    Estimate or None
        [mmol_c/kg]; None where no conductivity or no paste water is known, or nothing would be left.

    Notes
    -----
    All cations are 8 to 14, usually 10 mmol_c/L per dS/m. Without a SAR sodium may be none or all of them,
    and half is taken. Potassium is left out beside a SAR, which makes dissolved sodium a little too high.

    References
    ----------
    conductivity_rules
    """
    if solution.paste_ec is None or solution.saturation_percentage is None:
        return None
    least, usual, most = CHARGE_PER_CONDUCTIVITY
    ec, sar = solution.paste_ec, solution.paste_sar
    if sar is None:
        sodium = Estimate(
            value=0.5 * usual * ec.value, low=0.0, high=most * ec.high, unit="mmol_c/L", origin="of the EC"
        )
    else:
        sodium = Estimate(
            value=sodium_of_cations(usual * ec.value, sar.value),
            low=sodium_of_cations(least * ec.low, sar.low),
            high=sodium_of_cations(most * ec.high, sar.high),
            unit="mmol_c/L",
            origin="of EC and SAR",
        )
    soluble = dissolved(sodium, solution.saturation_percentage)
    if soluble.value > extractable.value:
        return None
    left = less(
        extractable,
        soluble,
        origin=f"extractable less what {'EC' if sar is None else 'EC and SAR'} of the paste let be dissolved",
    )
    return Estimate(
        value=left.value,
        low=left.low,
        high=left.high,
        unit=SOIL_CHARGE,
        origin=left.origin,
        source="conductivity_rules",
    )


def sodium_of_cations(cations: float, sar: float) -> float:
    r"""Sodium of a solution of so many cations and such a SAR, potassium left out.

    .. math:: \mathrm{Na} = \mathrm{SAR}\sqrt{(c - \\mathrm{Na})/2}

    Parameters
    ----------
    cations : float
        Sodium, calcium and magnesium together [mmol_c/L].
    sar : float
        [(mmol/L)^½]

    Returns
    -------
    float
        [mmol_c/L]
    """
    half = sar * sar / 4.0
    # The root of Na² + 2·half·Na − 2·half·c, in the form that keeps its digits where sodium is little.
    root = math.sqrt(half * half + 2.0 * half * cations)
    return 0.0 if half == 0.0 else 2.0 * half * cations / (half + root)
