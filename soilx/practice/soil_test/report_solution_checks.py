"""Quality checks of the water side of a report: charges, conductivity, SAR, pH, gypsum."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Final

import numpy as np

from soilx.chemistry.gypsum import gypsum_saturation_index
from soilx.chemistry.ions import IONS, ORDER
from soilx.chemistry.soil_solution import Solution
from soilx.column.fields import read_field
from soilx.column.soil_report import CHARGE_PER_CONDUCTIVITY
from soilx.errors import ModelRangeError
from soilx.practice.estimate import Estimate
from soilx.practice.soil_test.quality_check import Check, Verdict
from soilx.practice.soil_test.report_fields import REPORT_FIELD

if TYPE_CHECKING:
    from soilx.practice.soil_test.report import Report

USUAL_CHARGE_PER_CONDUCTIVITY: Final = 12.0
"""Above it only water near saturation with gypsum is usual [mmol_c/L per dS/m]."""
NEAR_SATURATION: Final = -0.3
"""Saturation index from which on water counts as near saturation with gypsum: half its ion product."""


def _solution(ions: Mapping[str, Estimate]) -> Solution | None:
    """An extract as a solution [mmol/L]; None unless every ion but carbonate was told."""
    if not set(ORDER) <= set(ions):
        return None
    amounts = {symbol: ions[symbol].value / abs(IONS[symbol].charge) for symbol in ORDER}
    # Carbonate is counted with bicarbonate, by its charge.
    amounts["HCO3"] += ions["CO3"].value if "CO3" in ions else 0.0
    return Solution.from_array(np.array([amounts[symbol] for symbol in ORDER]))


def _cations(report: Report) -> float | None:
    """Cations of the extract that was analysed, potassium or not [mmol_c/L]."""
    ions = report.extract
    if not {"Ca", "Mg", "Na"} <= set(ions):
        return None
    return sum(ions[symbol].value for symbol in ("Ca", "Mg", "Na", "K") if symbol in ions)


def _saturation(report: Report) -> float | None:
    solution = _solution(report.paste)
    if solution is None or solution.ca <= 0 or solution.so4 <= 0:
        return None
    try:
        return float(gypsum_saturation_index(solution.as_array()))
    except ModelRangeError:
        return None


def charge_balance(report: Report) -> Check | None:
    """Cations against anions of the extract that was analysed."""
    solution = _solution(report.extract)
    if solution is None or solution.cation_charge + solution.anion_charge == 0:
        return None
    percent = 100.0 * abs(solution.charge_imbalance)
    verdict = Verdict.GOOD if percent <= 5 else Verdict.TOLERABLE if percent <= 10 else Verdict.LOOK_AGAIN
    side = "cations" if solution.charge_imbalance > 0 else "anions"
    return Check(
        key="charge_balance",
        title="charges of the extract",
        value=percent,
        unit="%",
        limit="difference over sum: 5 % good, 10 % tolerable",
        verdict=verdict,
        means="water is neutral, and so is this analysis"
        if verdict is Verdict.GOOD
        else f"the {side} are in excess: a slipped decimal, an ion not analysed (carbonate, nitrate, "
        "sulfate), or mg/L printed where meq/L is meant",
    )


def cations_over_conductivity(report: Report) -> Check | None:
    """Cations of the extract over its conductivity."""
    cations = _cations(report)
    if cations is None or report.extract_ec is None or report.extract_ec.value <= 0:
        return None
    ratio = cations / report.extract_ec.value
    low, high = CHARGE_PER_CONDUCTIVITY
    saturation = _saturation(report)
    near = saturation is not None and saturation >= NEAR_SATURATION
    verdict, means = Verdict.GOOD, "ions and conductivity tell of the same water"
    if ratio < low:
        verdict = Verdict.LOOK_AGAIN
        means = (
            "too few cations for the conductivity: one was not analysed or slipped, or EC is in other units"
        )
    elif ratio > high:
        verdict = Verdict.LOOK_AGAIN
        means = (
            "too many cations for the conductivity: mg/L printed where meq/L is meant, an EC of another "
            "extract, or one not taken to 25 °C"
        )
    elif ratio > USUAL_CHARGE_PER_CONDUCTIVITY and not near:
        verdict = Verdict.TOLERABLE
        means = "usual only near saturation with gypsum, which these ions are not known to be near: check EC"
    elif ratio > USUAL_CHARGE_PER_CONDUCTIVITY:
        means = "high, as water near saturation with gypsum is: its ions pair and conduct less"
    return Check(
        key="cations_over_conductivity",
        title="cations of the extract over its conductivity",
        value=ratio,
        unit="mmol_c/L per dS/m",
        limit=f"usual are {low:g} to {USUAL_CHARGE_PER_CONDUCTIVITY:g}, to {high:g} near saturated gypsum",
        verdict=verdict,
        means=means,
        source="conductivity_rules",
    )


def conductivity_is_of_the_paste(report: Report) -> Check | None:
    """Whether the conductivity may be held against limits of the saturation extract."""
    if report.extract_ec is None:
        return None
    basis = report.extract_basis
    if basis is None:
        verdict, means = (
            Verdict.LOOK_AGAIN,
            "it is not stated which extract this is: it is judged by no limit",
        )
    elif report.paste_ec is None:
        verdict, means = (
            Verdict.LOOK_AGAIN,
            f"a {basis} could not be converted here: it is judged by no limit",
        )
    elif report.paste_ec == report.extract_ec:
        verdict, means = Verdict.GOOD, "of the saturation extract, as the limits are"
    else:
        verdict = Verdict.TOLERABLE
        means = (
            f"of a {basis}, which reads lower; what is judged is {report.paste_ec}, {report.paste_ec.origin}"
        )
    return Check(
        key="conductivity_basis",
        title="conductivity as reported",
        value=report.extract_ec.value,
        unit="dS/m",
        limit="4 dS/m and other limits are of the saturation extract",
        verdict=verdict,
        means=means,
        source="kstate_classes",
    )


def adsorption_ratio_as_reported(report: Report) -> Check | None:
    """The SAR a report prints against the one its ions make."""
    told = dict(report.typed).get("extract_adsorption_ratio")
    ions = report.extract
    if told is None or report.extract_sar is None or not {"Na", "Ca", "Mg"} <= set(ions):
        return None
    printed = read_field(REPORT_FIELD["extract_adsorption_ratio"], told)
    found = report.extract_sar.value
    sodium, divalent = ions["Na"].value, ions["Ca"].value + ions["Mg"].value
    wrong = sodium * 2.0 / divalent**0.5 if divalent > 0 else 0.0
    without = sodium / divalent**0.5 if divalent > 0 else 0.0
    verdict, means = (
        Verdict.LOOK_AGAIN,
        "the ions make another SAR: check their units, and which extract they are of",
    )
    if abs(printed - found) <= 0.05 * found + 0.1:
        verdict, means = Verdict.GOOD, "the ions make the printed SAR"
    elif abs(printed - wrong) <= 0.02 * wrong:
        means = (
            "the printed SAR has the root taken before the halving: divide calcium and magnesium by two first"
        )
    elif abs(printed - without) <= 0.02 * without:
        means = "the printed SAR leaves out the halving of calcium and magnesium, which meq/L ask for"
    return Check(
        key="adsorption_ratio",
        title="SAR as printed",
        value=printed,
        unit="",
        limit=f"the ions make {found:.4g}; within 5 %",
        verdict=verdict,
        means=means,
        source="arithmetic",
    )


def alkalinity_fits_sodium(report: Report) -> Check | None:
    """A pH above 8.5 beside hardly any sodium."""
    if report.ph is None or report.paste_sar is None:
        return None
    odd = report.ph > 8.5 and report.paste_sar.value < 5
    return Check(
        key="alkalinity",
        title="pH beside SAR",
        value=report.ph,
        unit="",
        limit="above 8.5 only with a SAR of 5 or more",
        verdict=Verdict.LOOK_AGAIN if odd else Verdict.GOOD,
        means=f"pH {report.ph:g} with SAR {report.paste_sar.value:.3g} is odd: pH in more water than a "
        "paste, a drifting electrode, or a slipped decimal in sodium"
        if odd
        else "pH and sodium fit",
    )


def gypsum_in_the_extract(report: Report) -> Check | None:
    """Whether the paste is as good as saturated with gypsum, whatever the report says of it."""
    index = _saturation(report)
    if index is None:
        return None
    near = index >= NEAR_SATURATION
    told = {True: "is told to be present", False: "is told to be absent", None: "is not told of"}
    verdict = Verdict.GOOD
    if near and report.gypsum_present is not True:
        verdict = Verdict.LOOK_AGAIN
    return Check(
        key="gypsum_saturation",
        title="gypsum saturation index of the extract",
        value=index,
        unit="",
        limit=f"from {NEAR_SATURATION:g} on, solid gypsum is likely",
        verdict=verdict,
        means=f"solid gypsum {told[report.gypsum_present]}, and the extract is near its saturation: calcium, "
        "EC and sulfate hold gypsum, extractable calcium is not exchangeable"
        if near
        else f"the extract is not saturated with gypsum, which {told[report.gypsum_present]}",
        source="bennett_adams1972",
    )


def gypsum_spread_lately(report: Report) -> Check | None:
    """Gypsum of the last twelve months in the numbers."""
    if report.gypsum_recently_applied is None:
        return None
    lately = report.gypsum_recently_applied
    return Check(
        key="gypsum_lately",
        title="gypsum spread in the last twelve months",
        value=None,
        unit="",
        limit="none, for calcium, EC and sulfate to be the soil's own",
        verdict=Verdict.LOOK_AGAIN if lately else Verdict.GOOD,
        means="gypsum not yet dissolved inflates calcium, EC and sulfur: hold sodium against the CEC of "
        "before, not against a sum of cations"
        if lately
        else "none was spread",
    )


SOLUTION_CHECKS: Final[tuple[Callable[[Report], Check | None], ...]] = (
    charge_balance,
    cations_over_conductivity,
    conductivity_is_of_the_paste,
    adsorption_ratio_as_reported,
    alkalinity_fits_sodium,
    gypsum_in_the_extract,
    gypsum_spread_lately,
)
