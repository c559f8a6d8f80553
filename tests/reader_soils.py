"""Soils for the pages of readers: the demonstration's three, and one soil for every verdict."""

import functools

from soilx import demo_path, read_waters
from soilx.handouts.reader_facts import ReaderFacts, facts_of
from soilx.practice.decision_record import DecisionRecord
from soilx.practice.judgement.verdict_words import Verdict
from soilx.practice.soil_test.report import read_reports

WELL = read_waters(demo_path("waters.csv"))["Well 3"]
REPORTS = read_reports(demo_path("soils.csv"))
PRODUCT = {
    "name": "Pit gypsum",
    "purity": "88 %",
    "moisture": "6 %",
    "price_per_t": "62",
    "currency": "farm dollars",
}
PLAN = {"first": "2027-03-15"}
"""Without a climate, whose years take a second a page: one test runs them."""

AIMS = {"Block C": {}, "Block F": {"target": "6 %"}, "Lawn 2": {"target": "3 %"}}
"""Three demonstration soils with three verdicts: gypsum, drainage first, no gypsum."""

DRAWS = 60
"""For a band whose ends are compared with those of the library's own draws."""


def record_of(name: str, **plan: str) -> DecisionRecord:
    """Decision on a demonstration soil."""
    return DecisionRecord.of(
        REPORTS[name], water=WELL, aim=AIMS[name], product=PRODUCT, plan={**PLAN, **plan}
    )


@functools.cache
def facts_on(name: str) -> ReaderFacts:
    """Facts of a decision on a demonstration soil."""
    return facts_of(record_of(name), draws=DRAWS)


def plot(
    *, esp: float | None = None, drain: str = "4 h", ec: str = "1.5 dS/m", **more: str
) -> dict[str, str]:
    """Texts of a report that misses nothing that a verdict asks for."""
    given = {"name": "plot", "ph": "8.0", "jar_test": "cloudy", "depth": "15 cm", "bulk_density": "1.4 kg/L"}
    given |= {"extract_basis": "saturation extract", "extract_conductivity": ec} if ec else {}
    given |= {"drain_test": drain} if drain else {}
    if esp is not None:
        given |= {
            "exchangeable_basis": "exchangeable",
            "cec_basis": "measured",
            "cation_exchange_capacity": "20 cmol_c/kg",
            "exchangeable_sodium": f"{0.2 * esp!r} cmol_c/kg",
        }
    return given | more


EVERY_VERDICT = {
    Verdict.CANNOT_DECIDE: (plot(esp=20, drain=""), {}),
    Verdict.DRAINAGE_FIRST: (plot(esp=2, drain="3 d", jar_test="clear"), {}),
    Verdict.NO_SODIUM_PROBLEM: (plot(esp=2, jar_test="clear"), {}),
    Verdict.LEACH: (plot(esp=2, ec="6 dS/m", jar_test="clear"), {}),
    Verdict.MAGNESIUM: (plot(esp=2, exchangeable_magnesium="10 cmol_c/kg"), {}),
    Verdict.AT_TARGET: (plot(esp=8), {"target": "10 %"}),
    Verdict.FIX_THE_WATER: (plot(esp=9), {}),
    Verdict.GYPSUM_THERE: (plot(esp=20, gypsum_recently_applied="yes"), {}),
    Verdict.CARBONATE_FIRST: (plot(esp=20, ph="9.4"), {}),
    Verdict.KEEP_THE_SALT: (plot(esp=12, jar_test="clear"), {}),
    Verdict.GYPSUM: (plot(esp=20), {}),
    Verdict.GYPSUM_AND_LEACHING: (plot(esp=20, ec="8 dS/m"), {}),
}
"""A report's texts and an aim that lead to each verdict."""


def record_with(verdict: Verdict) -> DecisionRecord:
    """Decision with a verdict."""
    soil, aim = EVERY_VERDICT[verdict]
    return DecisionRecord.of(soil, water=WELL, aim=aim, product=PRODUCT, plan=PLAN)
