"""Ways to bring a dose onto the ground: worked in before planting, or split on established plants."""

from datetime import date
from typing import Final

from soilx.column.fields import COMMON_PRACTICE, Given
from soilx.column.placement import SURFACE, read_placement
from soilx.column.soil import Soil
from soilx.errors import refuse, require
from soilx.practice.dose.product import PURE, Product
from soilx.practice.seasons.capped_visits import cap_of, capped_visits, equal_parts, pure_of, require_count
from soilx.practice.seasons.covers import Cover, cover_of
from soilx.practice.seasons.visits import Visit, VisitPlan, day_of
from soilx.units import Kind, express, read

TREATED_DEPTH: Final = 152.4
"""Top 6 in, to which the rates for established plantings belong [mm]; common practice."""

WATER_IN: Final = "0.5 in"
LEACH: Final = "1 pore_volume"
LEACH_EVERY: Final = 3
INSTALMENT: Final = "25 %"
INSTALMENTS_A_YEAR: Final = 2
DAYS_BETWEEN: Final = 28

_LABEL: Final = f"{COMMON_PRACTICE} †"
_SAME_DEPTH: Final = 5.0
"""A column this near to 6 in is that depth as it is sampled [mm]."""


def incorporated(
    soil: Soil,
    *,
    gypsum: Given,
    day: date | str,
    placement: str = "mixed",
    product: Product = PURE,
    water: Given = WATER_IN,
    leach: Given = LEACH,
) -> VisitPlan:
    """Plan of one visit: the full rate worked in before planting, watered in and leached.

    Parameters
    ----------
    soil : Soil
    gypsum : str or Quantity
        Full rate, pure: "5.64 t/ha".
    day : date or str
        Of spreading and tillage.
    placement : str
        "mixed" through the column, or "top 10 cm".
    product : Product
    water, leach : str or Quantity
        To water it in, and to leach after that.

    Raises
    ------
    SoilxError
        If a unit is wrong, or gypsum that is worked in is said to lie on the surface.
    """
    place, top = read_placement(placement, depth=soil.depth)
    if place not in ("mixed", "top"):
        refuse(
            "placement",
            placement,
            "",
            wrong="is not worked into the soil",
            limit='what is incorporated is "mixed" or in the "top" part',
            remedy="write one of them, or split the rate over visits on the surface",
        )
    total = read(gypsum, Kind.GYPSUM_RATE, name="gypsum", ground=soil.ground)
    visit = Visit(
        day=day_of(day, name="day"),
        gypsum=total,
        water=read(water, Kind.WATER, name="water", ground=soil.ground),
        leach=read(leach, Kind.WATER, name="leach", ground=soil.ground),
    )
    return VisitPlan(
        ground=soil.ground,
        product=product,
        total=total,
        visits=(visit,),
        placement=place,
        top_fraction=top,
        practice=(
            ("the full rate in one visit, worked in before planting", _LABEL),
            (f"watered in with {water}, then leached with {leach}", _LABEL),
        ),
    )


def split(
    soil: Soil,
    *,
    gypsum: Given,
    first: date | str,
    cover: str | Cover = "tolerant lawn",
    cap: Given | None = None,
    annual_limit: Given | None = None,
    instalment: Given | float = INSTALMENT,
    instalments_a_year: int = INSTALMENTS_A_YEAR,
    days_between: int = DAYS_BETWEEN,
    product: Product = PURE,
    water: Given = WATER_IN,
    leach: Given = LEACH,
    leach_every: int = LEACH_EVERY,
) -> VisitPlan:
    """Plan of many visits on established plants: capped, watered in, leached every few visits.

    Parameters
    ----------
    soil : Soil
    gypsum : str or Quantity
        Full rate, pure.
    first : date or str
        Of the first visit; instalments follow it at even spans of the year.
    cover : str or Cover
        What grows there; its bolder cap holds unless `cap` is given.
    cap : str or Quantity, optional
        Product of one visit at most: "25 lb/1000 ft^2".
    annual_limit : str or Quantity, optional
        Product of twelve months at most; instalments are made smaller to keep it, and take longer.
    instalment : str, Quantity or float
        Part of the full rate in one instalment: "25 %".
    instalments_a_year : int
        From 1 to 12.
    days_between : int
        Between visits, where an instalment passes the cap and takes several.
    product : Product
    water : str or Quantity
        After each visit.
    leach : str or Quantity
        On top, after every `leach_every` visits and after the last.
    leach_every : int

    Raises
    ------
    SoilxError
        If a unit is wrong, the cover bears none on the surface and no cap is given, or the visits of one
        instalment run into the next.
    """
    ground = soil.ground
    kind = cover_of(cover) if isinstance(cover, str) else cover
    total = require(
        "gypsum",
        read(gypsum, Kind.GYPSUM_RATE, name="gypsum", ground=ground),
        "mmol/kg",
        low=0.0,
        low_open=True,
        whose="a plan that spreads some",
        remedy="give the full rate, or plan nothing",
    )
    largest = cap_of(kind, cap, soil)
    for name, value, high in (
        ("instalments_a_year", instalments_a_year, 12),
        ("days_between", days_between, 366),
        ("leach_every", leach_every, 100),
    ):
        require_count(name, value, high)
    share = require(
        "instalment",
        read(instalment, Kind.FRACTION, name="instalment"),
        "",
        low=0.01,
        high=1.0,
        whose="a part of the full rate",
        remedy='write a part, like "25 %"',
    )
    part = share * total
    limit = None
    notes: list[str] = []
    if abs(soil.depth - TREATED_DEPTH) > _SAME_DEPTH:
        notes.append(
            f"the rate belongs to the column's {soil.depth:g} mm; common practice treats the top 6 in, 152 mm"
        )
    if annual_limit is not None:
        limit = read(annual_limit, Kind.PRODUCT_RATE, name="annual_limit", ground=ground)
        require(
            "annual_limit",
            limit,
            "g/kg",
            low=0.0,
            low_open=True,
            whose="a year with gypsum",
            remedy="give a rate",
        )
        most = pure_of(limit, product) / instalments_a_year
        if most < part:
            notes.append(
                f"instalments of {100 * most / total:.3g} % of the rate instead of {100 * share:.3g} %, to "
                f"keep the limit of {annual_limit} a year"
            )
            part = most
    amounts = equal_parts(total, part)
    visits = capped_visits(
        amounts,
        cap=pure_of(largest, product),
        first=day_of(first, name="first"),
        instalments_a_year=instalments_a_year,
        days_between=days_between,
        water=read(water, Kind.WATER, name="water", ground=ground),
        leach=read(leach, Kind.WATER, name="leach", ground=ground),
        leach_every=leach_every,
    )
    if leach_every > LEACH_EVERY:
        notes.append(f"leached after every {leach_every} visits, where common practice leaches after 2 to 3")
    return VisitPlan(
        ground=ground,
        product=product,
        total=total,
        visits=tuple(visits),
        placement=SURFACE,
        cap=largest,
        annual_limit=limit,
        practice=(
            (
                f"{100 * part / total:.3g} % of the full rate, {instalments_a_year} times a year, on "
                f"established {kind.name}; top 6 in; monitor",
                _LABEL,
            ),
            (
                f"at most {express(largest, Kind.PRODUCT_RATE, 'lb/1000 ft^2', ground=ground):.4g} lb/1000 "
                f"ft² of product in one visit on {kind.name}",
                _LABEL if cap is None else "your own cap",
            ),
            (f"watered in with {water} after each visit", _LABEL),
            (f"leached with {leach} after every {leach_every} visits and after the last", _LABEL),
            ("soil tested again after the first third", _LABEL),
        ),
        notes=tuple(notes),
    )
