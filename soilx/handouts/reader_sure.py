"""How sure an answer is: how far a second sample may read, the band of the rate, and the other reckoning."""

from __future__ import annotations

from typing import Final

from soilx.handouts.reader_facts import ReaderFacts
from soilx.handouts.reader_found import drain_time, listed_tests, water_name
from soilx.handouts.readers import ReaderUnits, figure, rough
from soilx.practice.dose.drawn_bands import Band
from soilx.practice.judgement.verdict_words import Verdict
from soilx.practice.soil_test.soil_test_scatter import SOIL_TEST_CV_PCT

IN_NINETEEN_OF_TWENTY: Final = 2.0
"""Coefficients of variation within which a repeat lies."""

_INPUTS: Final = {
    "exchangeable_sodium": "the sodium on the clay",
    "cation_exchange_capacity": "the exchange capacity",
    "bulk_density": "how dense the soil is",
    "drained_water": "how much water it holds",
    "water_applied": "how much water is given",
    "sodium_selectivity": "how tightly the clay holds sodium",
    "magnesium_selectivity": "how tightly the clay holds magnesium",
}


def how_sure(facts: ReaderFacts, units: ReaderUnits) -> tuple[str, ...]:
    """How sure the answer is.

    Parameters
    ----------
    facts : ReaderFacts
    units : ReaderUnits
    """
    return (*_scatter(facts), *_band(facts, units), *_column(facts, units), *_wanted(facts))


def scatter_of(value: float) -> tuple[float, float]:
    """Between what a second sample reads in nineteen of twenty cases [unit of the value]."""
    off = IN_NINETEEN_OF_TWENTY * SOIL_TEST_CV_PCT[1] / 100.0 * value
    return value - off, value + off


def product_rate(facts: ReaderFacts, units: ReaderUnits, *, pure_t_per_ha: float) -> float:
    """A rate of pure gypsum as product in the reader's unit; the facts have a rate."""
    if facts.hand is None:
        return 0.0
    rates = facts.hand.in_units["pure_with_factor"]
    return facts.product.product_mass(pure_t_per_ha) * units.rate_number(rates) / rates["t_per_ha"]


def _scatter(facts: ReaderFacts) -> list[str]:
    decision = facts.decision
    esp, floor = decision.diagnosis.esp.estimate, decision.floor_esp_pct
    said = []
    if decision.verdict is Verdict.DRAINAGE_FIRST:
        high = decision.diagnosis.drainage.band.high
        said.append(
            f"The test hole decides: {drain_time(decision)}, where {high:g} h is the limit. One hole is a "
            "rough test. Dig a second one in another spot."
        )
    if esp is None:
        return said
    low, up = scatter_of(esp.value)
    said.append(
        f"Soil tests scatter. A second sample of this ground may well read from {rough(low)} to "
        f"{rough(up)} % sodium."
    )
    if floor is None:
        return said
    if decision.verdict is Verdict.FIX_THE_WATER and up > floor:
        said.append(
            f"Over {floor:.1f} % the answer could turn to gypsum. Take two more samples before you spend "
            "much."
        )
    elif facts.hand is not None:
        said.append(
            f"Under {floor:.1f} % the answer would be: no gypsum, fix the water. This test is "
            f"{'not ' if low <= floor else ''}clear of that."
        )
    return said


def _band(facts: ReaderFacts, units: ReaderUnits) -> list[str]:
    if facts.band is None or facts.hand is None:
        return []
    factor = facts.hand.factor
    low, high = _ends(facts.band.hand, facts, units, factor=factor)
    said = [
        f"The rate has a band: nine in ten soils like this one need from {low} to {high} {units.rate_words} "
        f"of {facts.product.name}."
    ]
    if facts.band.influences:
        first = facts.band.influences[0].key
        said.append(f"What moves the answer most is {_INPUTS.get(first, first.replace('_', ' '))}.")
    return said


def _column(facts: ReaderFacts, units: ReaderUnits) -> list[str]:
    """The column's own answer, which has its losses in it: no factor belongs to it."""
    hand, water = facts.hand, water_name(facts)
    if hand is None or hand.gypsum == 0 or facts.soil is None or facts.water is None:
        return []
    target = facts.decision.target_esp_pct
    if facts.column is None:
        return [
            f"A computer column fed with {water} does not come down to {target:.3g} % at any rate: the water "
            "brings sodium of its own."
        ]
    pure = facts.column.in_units["pure"]["t_per_ha"]
    rate = figure(product_rate(facts, units, pure_t_per_ha=pure))
    more = pure > hand.in_units["pure_with_factor"]["t_per_ha"]
    said = (
        f"The rate is by the usual formula. A computer model of this soil, watered with {water}, asks for "
        f"{'more' if more else 'less'}: {rate} {units.rate_words} to reach {target:.3g} % in one go"
    )
    if not more:
        return [f"{said}."]
    return [
        f"{said}, since some calcium leaves unused and this water brings sodium of its own.",
        "Start with the rate above, test the soil, and then decide. Do not add the two.",
    ]


def _wanted(facts: ReaderFacts) -> list[str]:
    decision = facts.decision
    if not decision.missing:
        return []
    if decision.verdict is Verdict.CANNOT_DECIDE:
        return ["Without these tests any answer is a guess."]
    return [f"A test that is still wanted: {listed_tests(decision.missing)}."]


def _ends(band: Band, facts: ReaderFacts, units: ReaderUnits, *, factor: float) -> tuple[str, str]:
    def end(value: float | None) -> str:
        if value is None:
            return "more than any dose"
        return figure(product_rate(facts, units, pure_t_per_ha=factor * value))

    return end(band.low), end(band.high)
