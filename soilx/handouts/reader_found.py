"""What was found on a soil, in one sentence that a gardener reads."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

from soilx.handouts.reader_facts import ReaderFacts
from soilx.handouts.reader_numbers import hours_in_words
from soilx.practice.judgement.verdict import Decision
from soilx.practice.judgement.verdict_words import Verdict

LABORATORY_WATER: Final = (
    "The column was run with deionised water. That is a laboratory’s water and no field gets it, so this "
    "run alone cannot decide about a field."
)


def found_sentence(facts: ReaderFacts) -> str:
    """The one sentence of a page.

    Parameters
    ----------
    facts : ReaderFacts
    """
    return _FOUND[facts.decision.verdict](facts)


def sodium_held(decision: Decision) -> str:
    """How much sodium there is, as a clause; what is not known is not said.

    Parameters
    ----------
    decision : Decision
    """
    esp, sar = decision.diagnosis.esp.estimate, decision.diagnosis.sar.estimate
    if esp is not None:
        return f"sodium holds {esp.value:.3g} of every 100 places on its clay"
    if sar is not None:
        return f"its water has a sodium ratio (SAR) of {sar.value:.3g}"
    return "its sodium is not known"


def water_name(facts: ReaderFacts) -> str:
    """Name of the water that the ground is watered with."""
    return "the water" if facts.water is None else facts.water.name


def drain_time(decision: Decision) -> str:
    """How long the test hole took; empty where nobody dug one."""
    found = decision.diagnosis.drainage.estimate
    return "" if found is None else hours_in_words(found.value)


def listed_tests(tests: tuple[str, ...]) -> str:
    """Tests one after the other, as a sentence names them."""
    return tests[0] if len(tests) == 1 else f"{'; '.join(tests[:-1])}; and {tests[-1]}"


def _gypsum(facts: ReaderFacts) -> str:
    decision = facts.decision
    held = f"Gypsum can help {facts.report.name}: {sodium_held(decision)}, and water can leave"
    if decision.target_below_floor:
        return f"{held}, but {water_name(facts)} will bring part of the sodium back."
    return f"{held}."


def _with_leaching(facts: ReaderFacts) -> str:
    return (
        f"{facts.report.name} is salty, and {sodium_held(facts.decision)}: it needs gypsum and water "
        "together, never water alone."
    )


def _drainage(facts: ReaderFacts) -> str:
    return (
        f"Fix the drainage of {facts.report.name} first: its test hole took {drain_time(facts.decision)} to "
        "drain, and sodium leaves a soil only with the water."
    )


def _no_sodium(facts: ReaderFacts) -> str:
    return f"{facts.report.name} has no sodium problem and needs no gypsum: {sodium_held(facts.decision)}."


def _leach(facts: ReaderFacts) -> str:
    return (
        f"{facts.report.name} is salty, but sodium is not its problem: it needs drains and water, and no "
        "gypsum."
    )


def _magnesium(facts: ReaderFacts) -> str:
    share = facts.decision.diagnosis.magnesium.estimate
    held = "" if share is None else f", with {share.value:.3g} of every 100 places on its clay,"
    return f"{facts.report.name} needs no gypsum for sodium: magnesium{held} is what to look at."


def _at_target(facts: ReaderFacts) -> str:
    decision = facts.decision
    return (
        f"{facts.report.name} needs no gypsum: {sodium_held(decision)}, and the target is "
        f"{decision.target_esp_pct:.3g}."
    )


def _fix_the_water(facts: ReaderFacts) -> str:
    decision = facts.decision
    floor = "" if decision.floor_esp_pct is None else f" {decision.floor_esp_pct:.1f}"
    return (
        f"{facts.report.name} needs no gypsum: {sodium_held(decision)}, and {water_name(facts)} brings any "
        f"soil to{floor}, so the water is what to fix."
    )


def _gypsum_there(facts: ReaderFacts) -> str:
    return (
        f"{facts.report.name} needs no more gypsum: by the report there is gypsum already, and what it lacks "
        "is water."
    )


def _carbonate(facts: ReaderFacts) -> str:
    found = facts.decision.diagnosis.alkalinity.estimate
    value = "this pH" if found is None else f"pH {found.value:.3g}"
    return f"Do not mix gypsum into {facts.report.name}: at {value} soda in the soil locks up its calcium."


def _keep(facts: ReaderFacts) -> str:
    return (
        f"{facts.report.name} needs no gypsum now: {sodium_held(facts.decision)}, yet the clay holds "
        "together."
    )


def _cannot(facts: ReaderFacts) -> str:
    return (
        f"Nobody can say yet whether {facts.report.name} needs gypsum: what is missing is "
        f"{listed_tests(facts.decision.missing)}."
    )


_FOUND: Final[Mapping[Verdict, Callable[[ReaderFacts], str]]] = MappingProxyType(
    {
        Verdict.CANNOT_DECIDE: _cannot,
        Verdict.DRAINAGE_FIRST: _drainage,
        Verdict.NO_SODIUM_PROBLEM: _no_sodium,
        Verdict.LEACH: _leach,
        Verdict.MAGNESIUM: _magnesium,
        Verdict.AT_TARGET: _at_target,
        Verdict.FIX_THE_WATER: _fix_the_water,
        Verdict.GYPSUM_THERE: _gypsum_there,
        Verdict.CARBONATE_FIRST: _carbonate,
        Verdict.KEEP_THE_SALT: _keep,
        Verdict.GYPSUM: _gypsum,
        Verdict.GYPSUM_AND_LEACHING: _with_leaching,
    }
)
