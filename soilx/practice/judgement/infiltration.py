"""The infiltration table: how far a water of a given SAR and conductivity lets itself into the soil."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from soilx.errors import ModelRangeError, refuse, require

HIGHEST_SAR: Final = 40.0
"""Where the infiltration table ends."""


class Restriction(StrEnum):
    """How far a water restricts infiltration; the value is the word on the screen."""

    NONE = "none"
    SLIGHT_TO_MODERATE = "slight to moderate"
    SEVERE = "severe"


@dataclass(frozen=True, slots=True, kw_only=True)
class InfiltrationRow:
    """One row of the infiltration table.

    Attributes
    ----------
    sar_from : float
        The row holds from this SAR on, up to the next row's.
    none_above, severe_below : float
        Conductivity of the water above which nothing is restricted, and below which all is [dS/m].
    """

    sar_from: float
    none_above: float
    severe_below: float


INFILTRATION: Final = (
    InfiltrationRow(sar_from=0.0, none_above=0.7, severe_below=0.2),
    InfiltrationRow(sar_from=3.0, none_above=1.2, severe_below=0.3),
    InfiltrationRow(sar_from=6.0, none_above=1.9, severe_below=0.5),
    InfiltrationRow(sar_from=12.0, none_above=2.9, severe_below=1.3),
    InfiltrationRow(sar_from=20.0, none_above=5.0, severe_below=2.9),
)


def infiltration_restriction(sar: float, ec: float) -> Restriction:
    """How far a water of a given SAR and conductivity restricts infiltration.

    Parameters
    ----------
    sar : float
        Sodium adsorption ratio of the water, 0 to 40.
    ec : float
        Its conductivity at 25 °C [dS/m].

    Raises
    ------
    ModelRangeError
        If the SAR is above 40, where the table ends.
    LimitError
        If a value is negative or not finite.

    Notes
    -----
    The source leaves its borders in SAR open. Here a SAR of exactly 3, 6, 12 or 20 belongs to the row above
    it, which asks for more salt: the cautious side. Conductivities exactly on a border are slight to
    moderate, as the printed > and < have it. SAR 40 itself is in the table.

    References
    ----------
    ayers_westcot1985
    """
    ratio = require("SAR of the water", sar, "", low=0.0, whose="a ratio", remedy="check the analysis")
    salt = require(
        "conductivity of the water", ec, "dS/m", low=0.0, whose="a water", remedy="check the analysis"
    )
    if ratio > HIGHEST_SAR:
        refuse(
            "SAR of the water",
            ratio,
            "",
            wrong="is beyond the infiltration table",
            limit=f"it ends at {HIGHEST_SAR:g} (FAO Irrigation and Drainage Paper 29)",
            remedy="take it for severe, and ask for qualified advice",
            error=ModelRangeError,
        )
    row = next(row for row in reversed(INFILTRATION) if ratio >= row.sar_from)
    if salt > row.none_above:
        return Restriction.NONE
    return Restriction.SEVERE if salt < row.severe_below else Restriction.SLIGHT_TO_MODERATE
