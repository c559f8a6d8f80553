"""Quality checks of the exchanger: cations against CEC, ESP against SAR, paste water against texture."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from soilx.column.fields import read_field
from soilx.column.soil_report import LEAST_BASES_OVER_CAPACITY, MOST_BASES_OVER_CAPACITY
from soilx.practice.estimate import Estimate
from soilx.practice.soil_test.quality_check import Check, Verdict
from soilx.practice.soil_test.report_esp import LINE_HIGHEST_SAR, esp_from_sar
from soilx.practice.soil_test.report_fields import CATIONS, REPORT_FIELD, SUM_WITHOUT_SODIUM
from soilx.practice.soil_test.soluble_salts import naive_esp_pct
from soilx.practice.soil_test.texture import texture_of, usual

if TYPE_CHECKING:
    from soilx.practice.soil_test.report import Report

BASES_LIMITS: Final = (LEAST_BASES_OVER_CAPACITY, 1.10, MOST_BASES_OVER_CAPACITY)
"""Sum of exchangeable cations over CEC: least, most that is good, most that is tolerable."""
LINE_TOLERANCE_PCT: Final = 5.0
LINE_TOLERANCE: Final = 0.30
"""Measured ESP and that from SAR agree within 5 units or 30 % of the measured one."""
SAME_SUM: Final = 0.01
"""A CEC within 1 % of a sum is taken for that sum."""


def _typed(report: Report, key: str) -> float | None:
    told = dict(report.typed).get(key)
    return None if told is None else read_field(REPORT_FIELD[key], told)


def bases_over_capacity(report: Report) -> Check | None:
    """Sum of the cations, less what is dissolved, over a capacity that was not made of them."""
    capacity = report.cation_exchange_capacity
    held = report.exchangeable
    by_sum = report.cec_basis not in (None, "measured") or "cation_exchange_capacity" not in dict(
        report.typed
    )
    if capacity is None or by_sum or len(held) < len(CATIONS) or capacity.value <= 0:
        return None
    # Calcium by difference would always fit: what the extractant took is what is checked.
    extracted = {line.symbol: line.exchangeable for line in report.soluble_salt_correction}
    calcium = extracted.get("Ca") or report.reported["Ca"]
    bases = calcium.value + sum(held[symbol].value for symbol in ("Mg", "Na", "K"))
    ratio = bases / capacity.value
    least, good, most = BASES_LIMITS
    verdict, means = Verdict.GOOD, "the cations fill the exchanger"
    if ratio < least:
        verdict = Verdict.LOOK_AGAIN
        means = "too few: acidity is not listed (normal below pH 7), a cation is missing, or a unit is wrong"
    elif ratio > most:
        verdict = Verdict.LOOK_AGAIN
        means = (
            "too many: lime, gypsum or dissolved salts were extracted and counted as exchangeable, calcium "
            "above all; hold sodium against the CEC, not against this sum"
        )
    elif ratio > good:
        verdict, means = Verdict.TOLERABLE, "rather many: some lime or salts were probably extracted too"
    return Check(
        key="bases_over_capacity",
        title="exchangeable cations over CEC",
        value=ratio,
        unit="",
        limit=f"{least:g} to {good:g} good, above {most:g} lime, gypsum or salts",
        verdict=verdict,
        means=means,
        source="trade_texts",
    )


def capacity_is_no_sum_without_sodium(report: Report) -> Check | None:
    """A capacity, said to be measured or not, that is the sum of the cations without sodium."""
    typed = _typed(report, "cation_exchange_capacity")
    reported = report.reported
    if typed is None or report.cec_basis == SUM_WITHOUT_SODIUM or len(reported) < len(CATIONS):
        return None
    sodium = reported["Na"].value
    others = sum(reported[symbol].value for symbol in ("Ca", "Mg", "K"))
    alike = abs(typed - others) <= SAME_SUM * typed and sodium > 2.0 * SAME_SUM * typed
    right = 100.0 * sodium / (others + sodium) if others + sodium > 0 else 0.0
    return Check(
        key="sum_without_sodium",
        title="CEC against calcium, magnesium and potassium",
        value=typed / others if others > 0 else None,
        unit="",
        limit="a CEC has sodium in it",
        verdict=Verdict.LOOK_AGAIN if alike else Verdict.GOOD,
        means=f"the CEC is the sum of the others without sodium: ESP comes out too high (with sodium in it "
        f'{right:.3g} %); if so, write cec_basis "{SUM_WITHOUT_SODIUM}"'
        if alike
        else "it is not the sum of the other three",
        source="course_set",
    )


def salts_counted_as_exchangeable(report: Report) -> Check | None:
    """ESP with the dissolved sodium counted in, beside the corrected one."""
    if not report.soluble_salt_correction or len(report.reported) < len(CATIONS) or report.esp is None:
        return None
    naive = naive_esp_pct(report.reported)
    apart = abs(naive - report.esp.value)
    return Check(
        key="naive_esp",
        title="ESP with dissolved sodium counted in",
        value=naive,
        unit="%",
        limit=f"corrected: {report.esp}",
        verdict=Verdict.GOOD if apart <= 2.0 else Verdict.LOOK_AGAIN,
        means="the salts hardly change it"
        if apart <= 2.0
        else "the difference is dissolved sodium, which water alone carries off: a percentage printed by the "
        "laboratory over the sum of extractable cations is this wrong one",
    )


def esp_against_sar(report: Report) -> Check | None:
    """Measured ESP against what Handbook 60's line makes of the SAR."""
    if report.esp is None or report.paste_sar is None or not report.esp.is_measured:
        return None
    if report.paste_sar.high > LINE_HIGHEST_SAR:
        return None
    line = esp_from_sar(report.paste_sar).value
    apart = abs(report.esp.value - line)
    fits = apart <= LINE_TOLERANCE_PCT or apart <= LINE_TOLERANCE * report.esp.value
    return Check(
        key="esp_against_sar",
        title="ESP from SAR, beside the measured one",
        value=line,
        unit="%",
        limit=f"measured {report.esp}; within {LINE_TOLERANCE_PCT:g} units or {100 * LINE_TOLERANCE:g} %",
        verdict=Verdict.GOOD if fits else Verdict.LOOK_AGAIN,
        means="the exchanger and the extract tell of the same soil"
        if fits
        else "the measured ESP is higher: dissolved sodium counted in, or a CEC too low"
        if report.esp.value > line
        else "the measured ESP is lower: lime or gypsum counted in the CEC, or the SAR is of another extract "
        "or sample",
        source="nile_delta1977",
    )


def stated_esp(report: Report) -> Check | None:
    """The ESP a report prints against exchangeable sodium over CEC."""
    printed = _typed(report, "exchangeable_sodium_percentage")
    sodium, capacity = report.exchangeable.get("Na"), report.cation_exchange_capacity
    if printed is None or sodium is None or capacity is None or report.esp is None:
        return None
    printed *= 100.0
    apart = abs(printed - report.esp.value)
    fits = apart <= 0.5 or report.esp.low <= printed <= report.esp.high
    return Check(
        key="stated_esp",
        title="ESP as printed",
        value=printed,
        unit="%",
        limit=f"exchangeable sodium over CEC: {report.esp}; within 0.5",
        verdict=Verdict.GOOD if fits else Verdict.LOOK_AGAIN,
        means="it is exchangeable sodium over CEC"
        if fits
        else "it was made on another basis: over the sum of cations, with dissolved sodium, or without "
        "sodium in the CEC; the one computed here is used",
    )


def paste_water_against_texture(report: Report) -> Check | None:
    """A measured saturation percentage against what texture makes usual."""
    water = report.saturation_percentage
    found = texture_of(texture=report.texture, clay_pct=report.clay_pct)
    if water is None or found is None or not water.exact:
        return None
    span: Estimate = usual(found[0].saturation_percentage, "%", told_from=found[1])
    fits = span.low <= water.value <= span.high
    far = not 0.75 * span.low <= water.value <= 1.25 * span.high
    return Check(
        key="paste_water",
        title="saturation percentage",
        value=water.value,
        unit="%",
        limit=f"usual are {span.low:g} to {span.high:g} % ({found[1]}) †",
        verdict=Verdict.GOOD if fits else Verdict.LOOK_AGAIN if far else Verdict.TOLERABLE,
        means="it fits the texture"
        if fits
        else "it does not fit the texture: much organic matter or swelling clay, or a paste made too wet or "
        "dry; then what is dissolved per soil is wrong in proportion",
    )


def lime_in_the_extractant(report: Report) -> Check | None:
    """Lime or gypsum in a soil whose calcium was extracted."""
    lime, gypsum = report.calcium_carbonate_pct, report.gypsum_present
    if "Ca" not in report.reported or (lime is None and gypsum is None):
        return None
    over = "by 30 to 500 %" if gypsum else "by 3 to 20 %"
    dissolves = bool(gypsum) or (lime or 0.0) > 1.0
    by_sum = report.cec_basis is not None and report.cec_basis.startswith("sum")
    return Check(
        key="lime",
        title="lime or gypsum beside extracted calcium",
        value=lime,
        unit="%",
        limit="above 1 % lime, or any gypsum, exchangeable calcium is overstated",
        verdict=Verdict.GOOD
        if not dissolves
        else Verdict.LOOK_AGAIN
        if by_sum or gypsum
        else Verdict.TOLERABLE,
        means=f"the extractant dissolves some: calcium is over {over}"
        + (", and so is a CEC by sum, which makes ESP too low" if by_sum else "; hold sodium against the CEC")
        if dissolves
        else "too little to matter",
        source="trade_texts",
    )


EXCHANGER_CHECKS: Final[tuple[Callable[[Report], Check | None], ...]] = (
    bases_over_capacity,
    capacity_is_no_sum_without_sodium,
    salts_counted_as_exchangeable,
    esp_against_sar,
    stated_esp,
    paste_water_against_texture,
    lime_in_the_extractant,
)
