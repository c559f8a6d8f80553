"""The verdicts in words, the sentences around them, and the cautions that each one carries."""

from collections.abc import Iterable
from enum import StrEnum
from typing import Final

from soilx.practice.judgement.diagnosis import Diagnosis
from soilx.practice.judgement.water_judgement import WaterJudgement
from soilx.wording import (
    CAUTION_ACID,
    CAUTION_BYPRODUCT,
    CAUTION_DUST,
    CAUTION_LEACHATE,
    CAUTION_LIVESTOCK,
    CAUTION_NUTRIENTS,
    CAUTION_RATE,
    DRAINAGE_FIRST,
    LEACH_WITH_CALCIUM,
    TARGET_BELOW_FLOOR,
)


class Verdict(StrEnum):
    """What to do; the value is the words on the screen."""

    CANNOT_DECIDE = "cannot be decided yet"
    DRAINAGE_FIRST = "drainage first"
    NO_SODIUM_PROBLEM = "no gypsum: there is no sodium problem"
    LEACH = "no gypsum: drain and leach the salt"
    MAGNESIUM = "no gypsum for sodium: look at magnesium"
    AT_TARGET = "no gypsum: the target is met"
    FIX_THE_WATER = "no gypsum: fix the water"
    GYPSUM_THERE = "no more gypsum: leach with what is there, then test again"
    CARBONATE_FIRST = "no gypsum mixed in: deal with the soluble carbonate first"
    KEEP_THE_SALT = "no gypsum now: the clay holds together"
    GYPSUM = "gypsum"
    GYPSUM_AND_LEACHING = "gypsum and leaching together"


WITH_A_RATE: Final = frozenset({Verdict.GYPSUM, Verdict.GYPSUM_AND_LEACHING})
"""Verdicts with a rate to spread."""

NEEDS_DRAINAGE: Final = WITH_A_RATE | {Verdict.LEACH, Verdict.GYPSUM_THERE, Verdict.CARBONATE_FIRST}
"""Verdicts that are wrong where water cannot leave."""

_DRAINING: Final = NEEDS_DRAINAGE | {Verdict.DRAINAGE_FIRST}


def drainage_sentence(diagnosis: Diagnosis) -> str:
    """How fast water leaves, by the drain test; empty where it was not done."""
    found = diagnosis.drainage
    if found.estimate is None:
        return ""
    if found.estimate.value > found.band.high:
        return f"The test hole takes {found.number} to drain, over {found.band.high:g} h. {DRAINAGE_FIRST}"
    pace = "slowly" if found.estimate.value >= found.band.low else "well"
    return f"The test hole drains in {found.number}: water can leave, {pace}."


def drift_sentences(
    judged: WaterJudgement, target: float, floor: float, drift: tuple[tuple[float, float], ...]
) -> tuple[str, ...]:
    """What the water makes of a target in the long run.

    Parameters
    ----------
    judged : WaterJudgement
    target, floor : float
        [%]
    drift : tuple of (float, float)
        Pore volumes and ESP on the way back; may be empty.
    """
    name = judged.water.name
    floors = (
        f"ESP {judged.floor_esp_pct:.1f} as the water is, {judged.floor_concentrated_esp_pct:.1f} where the "
        f"root zone concentrates it {judged.concentration_factor:g} times"
    )
    if target >= floor:
        return (f"The target of ESP {target:.3g} can be kept with {name}: its floor is {floors}.",)
    back = f"Watered with {name} the soil drifts back towards its floor: {floors}"
    if drift:
        steps = ", ".join(f"{esp:.1f} after {volumes:g}" for volumes, esp in drift)
        back += f". From {target:.3g} it comes to ESP {steps} pore volumes"
    return (f"{back}.", f"The target is ESP {target:.3g}. {TARGET_BELOW_FLOOR}")


def without(missing: Iterable[str]) -> str:
    """The sentence that names the tests that are missing."""
    return f"Still wanted: {'; '.join(missing)}."


def joined(*sentences: str) -> str:
    """Sentences one after the other, empty ones left out."""
    return " ".join(sentence for sentence in sentences if sentence)


def cautions_of(verdict: Verdict, then: Verdict | None, water: WaterJudgement | None) -> tuple[str, ...]:
    """Cautions to print with a verdict and with what follows it.

    Parameters
    ----------
    verdict : Verdict
    then : Verdict or None
    water : WaterJudgement or None
    """
    both = {verdict, then}
    wanted = (
        (True, (CAUTION_RATE,)),
        (bool(both & WITH_A_RATE), (CAUTION_DUST, CAUTION_BYPRODUCT)),
        (Verdict.CARBONATE_FIRST in both or Verdict.FIX_THE_WATER in both, (CAUTION_ACID,)),
        (bool(both & _DRAINING), (CAUTION_LEACHATE, CAUTION_NUTRIENTS)),
        (bool(both & WITH_A_RATE), (CAUTION_LIVESTOCK,)),
        (Verdict.GYPSUM_AND_LEACHING in both, (LEACH_WITH_CALCIUM,)),
        (water is not None, () if water is None else water.warnings),
    )
    return tuple(caution for due, group in wanted if due for caution in group)
