"""What cannot be decided for want of a basis, or of something nobody measured but somebody knows."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from soilx.practice.soil_test.report_fields import EXTRACTABLE
from soilx.practice.soil_test.report_gap import Effort, Gap

if TYPE_CHECKING:
    from soilx.practice.soil_test.report import Report


def number_bases(report: Report) -> Gap | None:
    """Bases that only the laboratory knows: one question answers all."""
    typed = dict(report.typed)
    missing = []
    if report.exchangeable_basis is None and report.reported:
        missing.append("exchangeable_basis")
    if report.extract_basis is None and (
        report.extract or report.extract_ec is not None or report.extract_sar is not None
    ):
        missing.append("extract_basis")
    if report.cec_basis is None and "cation_exchange_capacity" in typed:
        missing.append("cec_basis")
    if report.soil_basis is None and (report.reported or "cation_exchange_capacity" in typed):
        missing.append("soil_basis")
    if not missing:
        return None
    return Gap(
        key="bases",
        question="on which basis the numbers stand",
        missing=tuple(missing),
        test="ask the laboratory: " + "; ".join(_BASIS_QUESTIONS[key] for key in missing),
        effort=Effort.ASK,
        why="the same soil reads ESP 22 or 33 with its salts counted or not, EC 1 or 9 by its extract",
        pressing=1,
    )


_BASIS_QUESTIONS: Final = {
    "exchangeable_basis": "were dissolved salts taken off the cations?",
    "extract_basis": "which extract was made, saturation, 1:1 or 1:5?",
    "cec_basis": "is the CEC measured, or by sum, and then is sodium in it?",
    "soil_basis": "is a kilogram of soil oven-dry or air-dry?",
}


def salts_in_cations(report: Report) -> Gap | None:
    """Cations that still hold what is dissolved, with no extract to take it off."""
    left_out = [symbol for symbol in report.reported if symbol not in report.exchangeable]
    if report.exchangeable_basis != EXTRACTABLE or not left_out:
        return None
    return Gap(
        key="soluble_salts",
        question="how much of the extractable cations is exchangeable",
        missing=("extract_sodium", "extract_calcium", "extract_magnesium", "extract_potassium"),
        test="a saturation extract with its cations",
        effort=Effort.SIMPLE_LAB,
        why="dissolved sodium counted as exchangeable raises ESP by half in a saline soil",
        pressing=1,
    )


def lime(report: Report) -> Gap | None:
    """Whether there is lime."""
    if report.calcium_carbonate_pct is not None:
        return None
    return Gap(
        key="lime",
        question="whether there is lime: whether acid or sulfur would do, and calcium is overstated",
        missing=("lime",),
        test="a drop of vinegar on dry soil: does it fizz?",
        effort=Effort.HOME,
        why="extractants dissolve lime (exchangeable calcium over by 3 to 20 %); acid without lime harms",
        pressing=4,
    )


def gypsum(report: Report) -> Gap | None:
    """Whether gypsum is in the soil already, from nature or from a spreader."""
    missing = []
    if report.gypsum_recently_applied is None:
        missing.append("gypsum_recently_applied")
    if report.gypsum_present is None:
        missing.append("gypsum_present")
    if not missing:
        return None
    ask = "gypsum_recently_applied" in missing
    return Gap(
        key="gypsum",
        question="whether gypsum is in the soil already",
        missing=tuple(missing),
        test="ask what was spread in the last twelve months"
        if ask
        else "sulfate and calcium of a saturation extract, or a laboratory's test for gypsum",
        effort=Effort.ASK if ask else Effort.SIMPLE_LAB,
        why="gypsum counts as exchangeable calcium (over by 30 to 500 %) and forbids conversion of extracts",
        pressing=4,
    )


def deeper(report: Report) -> Gap | None:
    """What lies below the sampled layer."""
    if report.depth is None or report.site is not None:
        return None
    return Gap(
        key="deeper",
        question=f"the soil below {((report.top or 0.0) + report.depth) / 10.0:.4g} cm",
        missing=("site", "depth_from"),
        test="a sample of the next layer, given as a report of the same site",
        effort=Effort.FULL_LAB,
        why="one ESP does not hold for the whole profile, and sodium often rises with depth",
        pressing=5,
    )


def retest(report: Report) -> Gap | None:
    """What a later report will need to compare with this one."""
    missing = tuple(
        key for key, told in (("date", report.date), ("laboratory", report.laboratory)) if told is None
    )
    if not missing:
        return None
    return Gap(
        key="retest",
        question="next season's change",
        missing=missing,
        test="note the day of sampling and the laboratory",
        effort=Effort.ASK,
        why="before and after compare only with season, depth, laboratory and method the same",
        pressing=5,
    )
