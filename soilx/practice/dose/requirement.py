"""Gypsum requirement by the hand formula: a chain of multipliers, each of them once and in sight."""

from typing import Final

from soilx.column.fields import Given
from soilx.errors import require
from soilx.practice.dose.gypsum_rate import Requirement
from soilx.practice.dose.product import PURE, Product
from soilx.practice.dose.target import read_target
from soilx.practice.soil_test.report import Report
from soilx.practice.soil_test.tested_soil import Tested, tested
from soilx.units import Ground, Kind, Quantity, read

__all__ = ["Requirement", "Tested", "gypsum_requirement", "hand_requirement"]

MOST_DEPTH: Final = 2000.0
"""Nobody treats deeper from above; a deeper one is a slipped unit [mm]."""


def hand_requirement(
    soil: Tested,
    *,
    target_esp: float | Given,
    depth: Given | None = None,
    factor: float = 1.0,
    product: Product = PURE,
) -> Requirement:
    r"""Gypsum requirement of a soil by charge, with its chain of multipliers.

    .. math:: GR = \Delta E_{Na}\,Q \cdot \tfrac12 M_{gypsum} \cdot \rho_b \cdot d \cdot F \,/\, p(1-m)

    Parameters
    ----------
    soil : Soil or Report
        What was tested.
    target_esp : float, str or Quantity
        Exchangeable sodium percentage that is wanted: 5 or "5 %".
    depth : str or Quantity, optional
        Depth that is treated; the sampled one unless given.
    factor : float
        For calcium that misses sodium, applied once.
    product : Product
        What is spread; pure gypsum unless given.

    Returns
    -------
    Requirement
        Nothing where the soil's ESP is at the target or below; its notes then say so.

    Raises
    ------
    SoilxError
        If the report lacks what the formula needs, or a target, depth, factor or product is impossible.

    Notes
    -----
    The formula takes every calcium from gypsum to displace sodium, none of it magnesium or potassium, none to
    leave with the water, and gypsum and water enough. The column knows better:
    `soilx.practice.dose.requirement_column`.

    References
    ----------
    ussl1954; oster1999, where the same stands as GR = 0.0086 F D ρ_b CEC ΔESP with CEC in mmol_c/kg.
    """
    found = tested(soil)
    target = read_target(target_esp)
    treated = found.depth if depth is None else read(depth, Kind.DEPTH, name="depth")
    if isinstance(soil, Report):
        soil.require_sampled(treated)
    require(
        "depth",
        treated,
        "mm",
        low=0.0,
        low_open=True,
        high=MOST_DEPTH,
        whose="what can be treated from above",
        remedy='give the depth to be treated, like "15 cm"',
    )
    return Requirement(
        name=found.name,
        sodium=found.sodium,
        target_esp_pct=target,
        gypsum=found.sodium.above(target) / 2.0,
        ground=Ground(depth=treated, bulk_density=found.bulk_density),
        sampled_depth=found.depth,
        factor=factor,
        product=product,
        ph=found.ph,
        lime=found.lime,
    )


def gypsum_requirement(soil: Tested, *, target_esp: float | Given, depth: Given | None = None) -> Quantity:
    """Pure gypsum that brings a soil to a target ESP by the hand formula, as a rate per area.

    Parameters
    ----------
    soil : Soil or Report
    target_esp : float, str or Quantity
        Exchangeable sodium percentage that is wanted: 5 or "5 %".
    depth : str or Quantity, optional
        Depth that is treated; the sampled one unless given.

    Returns
    -------
    Quantity
        In t/ha; `.to("short_ton/acre")` and the like. No factor, no purity, no moisture: those are
        `hand_requirement`'s, with the chain of multipliers and what has to be said beside a rate.

    Raises
    ------
    SoilxError
        As `hand_requirement` does.
    """
    return hand_requirement(soil, target_esp=target_esp, depth=depth).pure
