"""What a report leaves undecided, without which test, and the cheapest test that would decide it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from soilx.practice.soil_test.report_basis_gaps import (
    deeper,
    gypsum,
    lime,
    number_bases,
    retest,
    salts_in_cations,
)
from soilx.practice.soil_test.report_fields import EXTRACTABLE, PASTE
from soilx.practice.soil_test.report_gap import Effort, Gap

if TYPE_CHECKING:
    from soilx.practice.soil_test.report import Report

__all__ = ["Effort", "Gap", "gaps_of", "next_test"]


def gaps_of(report: Report) -> tuple[Gap, ...]:
    """Every gap of a report: the most pressing question first, and of one rank the cheapest test."""
    found = (gap(report) for gap in _GAPS)
    return tuple(
        sorted((gap for gap in found if gap is not None), key=lambda gap: (gap.pressing, gap.effort))
    )


def next_test(report: Report) -> Gap | None:
    """The cheapest test that decides something still open; of equal ones the most pressing.

    Questions to the laboratory cost nothing and come first.
    """
    return min(gaps_of(report), key=lambda gap: (gap.effort, gap.pressing), default=None)


def _drainage(report: Report) -> Gap | None:
    if report.drain_test_h is not None:
        return None
    return Gap(
        key="drainage",
        question="whether water can leave the soil",
        missing=("drain_test",),
        test="dig a hole 18 in deep, fill it twice, and time how long the second filling takes to drain",
        effort=Effort.LOOK,
        why="without drainage no gypsum helps, and leaching makes it worse",
        pressing=0,
    )


def _sodium(report: Report) -> Gap | None:
    if report.esp is not None:
        return None
    if report.extract_basis is None and report.extract_sar is not None:
        return None
    return Gap(
        key="sodium",
        question="whether there is a sodium problem",
        missing=("exchangeable_sodium", "cation_exchange_capacity"),
        test="a saturation extract with sodium, calcium, magnesium and EC: SAR, and ESP within 5 units",
        effort=Effort.SIMPLE_LAB,
        why="neither ESP nor SAR is known; pH and EC alone do not tell",
        pressing=1,
    )


def _dispersion(report: Report) -> Gap | None:
    if report.jar_test is not None:
        return None
    return Gap(
        key="dispersion",
        question="whether the clay disperses",
        missing=("jar_test",),
        test="drop crumbs of dry soil into a jar of rain water; after two hours: clear, milky edge or cloudy",
        effort=Effort.LOOK,
        why="ESP alone does not tell: salts can hold a sodic soil together",
        pressing=1,
    )


def _salinity(report: Report) -> Gap | None:
    if report.paste_ec is not None:
        return None
    if report.extract_ec is not None and report.extract_basis is None:
        return None
    if report.extract_ec is not None:
        return Gap(
            key="salinity",
            question="whether the soil is saline",
            missing=("extract_conductivity", "extract_basis"),
            test="EC of a saturation extract",
            effort=Effort.SIMPLE_LAB,
            why=f"the EC of a {report.extract_basis} could not be converted, and limits are of the paste",
            pressing=2,
        )
    return Gap(
        key="salinity",
        question="whether the soil is saline",
        missing=("extract_conductivity",),
        test="one part of dry soil and five of rain water by weight, shaken, settled, with a hand-held EC "
        "meter (where there is no gypsum)",
        effort=Effort.HOME,
        why="a saline-sodic soil must not be leached before calcium is there",
        pressing=2,
    )


def _rate(report: Report) -> Gap | None:
    missing = []
    if "Na" not in report.exchangeable and report.esp is None:
        missing.append("exchangeable_sodium")
    if report.cation_exchange_capacity is None:
        missing.append("cation_exchange_capacity")
    if not missing:
        return None
    return Gap(
        key="rate",
        question="how much gypsum the sodium asks for",
        missing=tuple(missing),
        test="exchangeable cations and CEC, with a saturation extract of the same sample",
        effort=Effort.FULL_LAB,
        why="a percentage is not an amount: the amount is ESP times CEC",
        pressing=3,
    )


def _ground(report: Report) -> Gap | None:
    missing = []
    if report.depth is None:
        missing.append("depth")
    if report.bulk_density is None or not report.bulk_density.exact:
        missing.append("bulk_density")
    if not missing:
        return None
    return Gap(
        key="ground",
        question="a rate per area",
        missing=tuple(missing),
        test="ask how deep was sampled"
        if "depth" in missing
        else "a tin of known volume pushed into the soil, its soil dried in the oven and weighed",
        effort=Effort.ASK if "depth" in missing else Effort.HOME,
        why="a gram per kilogram becomes a tonne per hectare by depth and bulk density",
        pressing=3,
    )


def _paste_water(report: Report) -> Gap | None:
    water = report.saturation_percentage
    needed = report.exchangeable_basis == EXTRACTABLE or (report.extract_basis or PASTE) != PASTE
    if not needed or (water is not None and water.exact):
        return None
    return Gap(
        key="paste_water",
        question="how much is dissolved, to better than the range of its texture",
        missing=("saturation_percentage",),
        test="stir water into a weighed dry sample until it glistens and just flows, and weigh the water",
        effort=Effort.HOME,
        why="the saturation percentage is estimated from texture"
        if water
        else "no texture, clay or paste water",
        pressing=2 if water is None else 4,
    )


_GAPS: Final[tuple[Callable[[Report], Gap | None], ...]] = (
    _drainage,
    number_bases,
    salts_in_cations,
    _sodium,
    _dispersion,
    _salinity,
    _paste_water,
    _rate,
    _ground,
    lime,
    gypsum,
    deeper,
    retest,
)
