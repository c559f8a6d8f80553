"""Requirement of a brine soil from its solution: gypsum that brings the saturated paste to a target SAR."""

from dataclasses import dataclass
from typing import Final

from soilx.errors import refuse, require
from soilx.practice.soil_test.report import Report
from soilx.units import GYPSUM_MOLAR_MASS, Ground, Kind, Quantity, as_quantity

PRINTED_CONSTANT: Final = 0.00335
"""Of the published equation, for 15 cm of soil [t/ha per (mmol_c/L)² of sodium over SAR², per %]."""

PRINTED_DEPTH: Final = 150.0
"""Depth that the constant is for [mm]."""

PRINTED_BULK_DENSITY: Final = PRINTED_CONSTANT / (1e-7 * GYPSUM_MOLAR_MASS * PRINTED_DEPTH)
"""Bulk density that the constant implies: 1.297 [kg/L]."""

BRINE_SODIUM: Final = 40.0
"""Sodium of the extract from which on it is a brine: what a conductivity of 4 dS/m carries [mmol_c/L]."""

DISSOLVED_SHARE: Final = 0.5
"""Dissolved over exchangeable sodium from which on the solution decides; our own limit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SolutionRequirement:
    """Gypsum by the solution method.

    Attributes
    ----------
    gypsum : float
        Pure [mmol/kg].
    ground : Ground
    applies : bool
        Whether the method is meant for such a soil.
    reasons : tuple of str
        Why it is, or why it is not.
    """

    gypsum: float
    ground: Ground
    applies: bool
    reasons: tuple[str, ...]

    @property
    def pure(self) -> Quantity:
        """Pure gypsum over the ground's depth, as a rate per area."""
        return as_quantity(self.gypsum, Kind.GYPSUM_RATE, "t/ha", ground=self.ground)


def solution_gypsum(*, sodium: float, sar: float, target_sar: float, saturation_pct: float) -> float:
    r"""Pure gypsum that brings a saturated paste's solution to a target SAR, its sodium staying [mmol/kg].

    .. math:: a^2 \left(\frac{1}{b^2} - \frac{1}{c^2}\right) \cdot \frac{SP}{100}

    Parameters
    ----------
    sodium : float
        Of the saturation extract, a [mmol_c/L].
    sar : float
        Of the saturation extract, c [(mmol/L)^½].
    target_sar : float
        Wanted, b [(mmol/L)^½].
    saturation_pct : float
        Water of the saturated paste, SP [%].

    Returns
    -------
    float
        0 where the SAR is at the target or below.

    Raises
    ------
    LimitError
        If a number is nothing or less.

    Notes
    -----
    Calcium and magnesium beside sodium a at SAR s are a²/s² in mmol/L; what gypsum adds makes the difference.
    Sodium on the exchanger is left out.

    References
    ----------
    ashworth1999, whose constant 0.00335 is this over 15 cm of soil at 1.297 kg/L.
    """
    whose, remedy = "the saturation extract of a sodic soil", "take it from the report"
    for name, value, unit in (
        ("sodium of the extract", sodium, "mmol_c/L"),
        ("SAR of the extract", sar, ""),
        ("target SAR", target_sar, ""),
        ("saturation percentage", saturation_pct, "%"),
    ):
        require(name, value, unit, low=0.0, low_open=True, whose=whose, remedy=remedy)
    return max(0.0, sodium**2 * (target_sar**-2 - sar**-2) * saturation_pct / 100.0)


def solution_requirement(report: Report, *, target_sar: float) -> SolutionRequirement:
    """Requirement of a report's soil by the solution method, and whether the method is meant for it.

    Parameters
    ----------
    report : Report
        With its saturation extract, saturation percentage, depth and bulk density.
    target_sar : float
        Wanted in the saturation extract [(mmol/L)^½].

    Raises
    ------
    LimitError
        If the report lacks one of them; the message says which.

    Notes
    -----
    The method is for brine spills: soils whose sodium is mostly in the water. There the exchanger's formula
    misses most of it. Where the exchanger holds more, this one does.
    """
    sodium, sar = report.paste.get("Na"), report.paste_sar
    paste, depth, density = report.saturation_percentage, report.depth, report.bulk_density
    if sodium is None or sar is None or paste is None or depth is None or density is None:
        lacking = {
            "sodium of the saturation extract": sodium,
            "SAR of the saturation extract": sar,
            "saturation percentage": paste,
            "sampled depth": depth,
            "bulk density": density,
        }
        refuse(
            f"report {report.name}",
            ", ".join(name for name, value in lacking.items() if value is None),
            "",
            wrong="is missing",
            limit="the solution method is made of these",
            remedy="ask for a saturation extract",
        )
    gypsum = solution_gypsum(
        sodium=sodium.value, sar=sar.value, target_sar=target_sar, saturation_pct=paste.value
    )
    applies, reasons = _applies(
        report, sodium=sodium.value, paste=paste.value / 100.0, sar=sar.value, target=target_sar
    )
    return SolutionRequirement(
        gypsum=gypsum,
        ground=Ground(depth=depth, bulk_density=density.value),
        applies=applies,
        reasons=reasons,
    )


def _applies(
    report: Report, *, sodium: float, paste: float, sar: float, target: float
) -> tuple[bool, tuple[str, ...]]:
    """Whether the solution decides, from its sodium [mmol_c/L], water of the paste [L/kg] and SAR."""
    held = report.exchangeable.get("Na")
    dissolved = sodium * paste
    against = []
    if sodium < BRINE_SODIUM:
        against.append(
            f"The extract holds {sodium:.3g} mmol_c/L of sodium; a brine begins near {BRINE_SODIUM:g}."
        )
    if sar <= target:
        against.append(f"SAR {sar:.3g} is at the target of {target:.3g} or below it.")
    if report.gypsum_present:
        against.append("There is gypsum in the soil: the extract's calcium is not all there is.")
    if held is None:
        against.append("Exchangeable sodium was not measured: nobody knows which of the two is more.")
    elif dissolved < DISSOLVED_SHARE * held.value:
        against.append(
            f"Dissolved sodium is {dissolved / 10:.3g} cmol_c/kg and exchangeable {held.value / 10:.3g}: the "
            "exchanger decides, and this method leaves it out."
        )
    if against or held is None:
        return False, tuple(against)
    return True, (
        f"Dissolved sodium is {dissolved / 10:.3g} cmol_c/kg and exchangeable {held.value / 10:.3g}: a "
        "formula of the exchanger alone misses what is in the water. Leach with the gypsum, not before it.",
    )
