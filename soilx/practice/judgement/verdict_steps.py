"""Steps of a verdict once water can leave: sodium, the water's floor, and what stands in gypsum's way."""

from dataclasses import dataclass
from typing import Final

from soilx.chemistry.clarity import Clarity
from soilx.practice.judgement.bands import Place
from soilx.practice.judgement.diagnosis import (
    EC_WANTED,
    ESP_WANTED,
    JAR_TEST_WANTED,
    MAGNESIUM_WANTED,
    PH_WANTED,
    SODIUM_WANTED,
    WATER_WANTED,
    Diagnosis,
    SodiumStatus,
)
from soilx.practice.judgement.gypsum_reasons import sodium_numbers
from soilx.practice.judgement.verdict_words import Verdict
from soilx.practice.judgement.water_judgement import WaterJudgement, gypsum_in_water_advice

ROUNDING: Final = 1e-9
"""An ESP worked out of two typed numbers misses a target by a last bit; that is still the target."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A verdict with its reason.

    Attributes
    ----------
    verdict : Verdict
    because : str
        With the number that decided it.
    missing : tuple of str
        Tests that it, or what follows it, waits for.
    """

    verdict: Verdict
    because: str
    missing: tuple[str, ...] = ()


def onward(
    diagnosis: Diagnosis, water: WaterJudgement | None, *, floor: float | None, target: float | None
) -> Step:
    """Verdict where water can leave.

    Parameters
    ----------
    diagnosis : Diagnosis
    water : WaterJudgement or None
    floor : float or None
        Of the water, at the concentration factor that was asked for [%].
    target : float or None
        None where nobody asked for one [%].
    """
    status = diagnosis.sodium_status
    if status is SodiumStatus.UNKNOWN:
        return Step(
            verdict=Verdict.CANNOT_DECIDE,
            because="Nobody measured the sodium.",
            missing=(SODIUM_WANTED,),
        )
    if status is SodiumStatus.NONE:
        return _without_sodium(diagnosis)
    if status is SodiumStatus.DISPERSES_WITHOUT:
        return _disperses_without_sodium(diagnosis)
    return _with_sodium(diagnosis, water, floor, target)


def _without_sodium(diagnosis: Diagnosis) -> Step:
    numbers = sodium_numbers(diagnosis)
    band = diagnosis.esp.band
    if diagnosis.saline:
        return Step(
            verdict=Verdict.LEACH,
            because=f"Salt without sodium: {diagnosis.salinity.number} in the saturation extract, over "
            f"{diagnosis.salinity.band.high:g}, and {numbers}. Water carries the salt off by itself.",
        )
    salt = () if diagnosis.saline is False else (EC_WANTED,)
    if diagnosis.magnesium.place is Place.ABOVE and diagnosis.jar is None:
        return Step(
            verdict=Verdict.MAGNESIUM,
            because=f"Magnesium takes {diagnosis.magnesium.number}, and sodium little: {numbers}.",
            missing=(JAR_TEST_WANTED, *salt),
        )
    return Step(
        verdict=Verdict.NO_SODIUM_PROBLEM,
        because=f"{numbers}: nobody worries below ESP {band.low:g} and SAR {diagnosis.sar.band.low:g}. "
        "Gypsum cures neither compaction nor heavy clay.",
        missing=salt,
    )


def _disperses_without_sodium(diagnosis: Diagnosis) -> Step:
    numbers = sodium_numbers(diagnosis)
    if diagnosis.magnesium.place is Place.ABOVE:
        return Step(
            verdict=Verdict.MAGNESIUM,
            because=f"The soil disperses with little sodium ({numbers}), and magnesium takes "
            f"{diagnosis.magnesium.number}, over {diagnosis.magnesium.band.high:g}.",
        )
    wanted = (MAGNESIUM_WANTED,) if diagnosis.magnesium.place is None else ()
    return Step(
        verdict=Verdict.CANNOT_DECIDE,
        because=f"Jar and laboratory contradict each other: {numbers}.",
        missing=("a second jar test and a second sample for the ESP", *wanted),
    )


def _with_sodium(
    diagnosis: Diagnosis, water: WaterJudgement | None, floor: float | None, target: float | None
) -> Step:
    numbers = sodium_numbers(diagnosis)
    esp = diagnosis.esp.estimate
    if esp is None:
        return Step(verdict=Verdict.CANNOT_DECIDE, because=f"{numbers}.", missing=(ESP_WANTED,))
    if target is not None and esp.value <= target * (1.0 + ROUNDING):
        return Step(
            verdict=Verdict.AT_TARGET,
            because=f"ESP {esp.value:.3g} is at the target of {target:.3g} or below it.",
        )
    if water is None or floor is None:
        return Step(
            verdict=Verdict.CANNOT_DECIDE,
            because=f"{numbers}: {diagnosis.sodium_status.value}. Whether gypsum lasts depends on the water. "
            f"If its floor is at ESP {esp.value:.3g} or above, fix the water. If it is lower, gypsum may "
            "help.",
            missing=(WATER_WANTED,),
        )
    if esp.value <= floor * (1.0 + ROUNDING):
        unsure = " The range of the ESP reaches above it." if esp.high > floor else ""
        wanted = target or diagnosis.convention.target_esp_pct
        advice = gypsum_in_water_advice(water.water, esp_pct=wanted)
        return Step(
            verdict=Verdict.FIX_THE_WATER,
            because=f"ESP {esp.value:.3g} is at or below {floor:.1f}, the floor of {water.water.name}: the "
            f"water brings back what gypsum takes off.{unsure} {advice}",
        )
    return _above_the_floor(diagnosis, water, floor=floor)


def _above_the_floor(diagnosis: Diagnosis, water: WaterJudgement, *, floor: float) -> Step:
    numbers = sodium_numbers(diagnosis)
    if diagnosis.gypsum_present or diagnosis.gypsum_recently_applied:
        when = "is in the soil" if diagnosis.gypsum_present else "was spread within 12 months"
        return Step(
            verdict=Verdict.GYPSUM_THERE,
            because=f"{numbers}, and gypsum {when} by the report. What it lacks is water, not more gypsum.",
        )
    alkalinity = diagnosis.alkalinity
    if alkalinity.estimate is None and not diagnosis.no_soluble_carbonate:
        return Step(
            verdict=Verdict.CANNOT_DECIDE,
            because=f"{numbers}. At a pH of {alkalinity.band.high:g} or less gypsum may be the answer; "
            "above it, soluble carbonate takes up the calcium of gypsum that is mixed in.",
            missing=(PH_WANTED,),
        )
    if alkalinity.estimate is not None and alkalinity.place is Place.ABOVE:
        return Step(
            verdict=Verdict.CARBONATE_FIRST,
            because=f"pH {alkalinity.estimate.value:.3g} is over {alkalinity.band.high:g}: soluble carbonate "
            "takes up the calcium of gypsum that is mixed in. Lay it on the surface or leach first, with "
            "qualified advice.",
        )
    jar, sure = diagnosis.jar, diagnosis.sodium_status is SodiumStatus.SODIC
    if diagnosis.saline:
        return _saline(diagnosis, water, sure=sure)
    salt = () if diagnosis.saline is False else (EC_WANTED,)
    # Where nobody looked, a clear jar is tried: only what holds with it too is a verdict.
    held = _staying_clear(diagnosis, water) if jar is None or jar.stays_clear else None
    if held is not None and jar is None:
        return Step(
            verdict=Verdict.CANNOT_DECIDE,
            because=f"{numbers}: some soils disperse at this, some do not ({diagnosis.esp.band.note}).",
            missing=(JAR_TEST_WANTED, *salt),
        )
    return held or Step(
        verdict=Verdict.GYPSUM,
        because=f"{numbers}: {diagnosis.sodium_status.value}, and above {floor:.1f}, the floor of "
        f"{water.water.name}.",
        missing=salt,
    )


def _saline(diagnosis: Diagnosis, water: WaterJudgement, *, sure: bool) -> Step:
    """Verdict of a saline soil with sodium: whether the clay stays put once the salt has gone."""
    carried = water.water.solution.cation_charge
    needed = diagnosis.threshold or 0.0
    clay = (
        f"{sodium_numbers(diagnosis)}, {diagnosis.salinity.number} in the saturation extract. Clay of this "
        f"ESP needs about {needed:.2g} meq/L to stay put †, and {water.water.name} brings {carried:.3g}"
    )
    jar = diagnosis.jar
    if not sure and jar is None:
        return Step(verdict=Verdict.CANNOT_DECIDE, because=f"{clay}.", missing=(JAR_TEST_WANTED,))
    if not sure and jar is not None and jar.stays_clear and diagnosis.clarity_in(carried) is Clarity.CLEAR:
        return Step(verdict=Verdict.LEACH, because=f"{clay}: it can be leached with this water.")
    return Step(
        verdict=Verdict.GYPSUM_AND_LEACHING,
        because=f"{clay}. Leached without calcium it loses its salt sooner than its sodium.",
    )


def _staying_clear(diagnosis: Diagnosis, water: WaterJudgement) -> Step | None:
    """Verdict of a soil that stays clear in the jar; None where gypsum is due all the same."""
    numbers = sodium_numbers(diagnosis)
    if diagnosis.saline is None or diagnosis.electrolyte is None:
        return Step(
            verdict=Verdict.CANNOT_DECIDE,
            because=f"{numbers}: it holds sodium and stays clear. Only its salt can tell for how long.",
            missing=(EC_WANTED,),
        )
    if diagnosis.sodic is False:
        return Step(
            verdict=Verdict.KEEP_THE_SALT,
            because=f"{numbers}: it does not disperse, even in rain water. Gypsum would change nothing that "
            "can be seen. Test again next season.",
        )
    carried = water.water.solution.cation_charge
    salt = (
        f"{numbers}: its clay needs about {diagnosis.threshold:.2g} meq/L to stay put †, its own water holds "
        f"{diagnosis.electrolyte.value:.3g} and {water.water.name} brings {carried:.3g}"
    )
    if diagnosis.own_clarity is Clarity.CLEAR and diagnosis.clarity_in(carried) is Clarity.CLEAR:
        return Step(verdict=Verdict.KEEP_THE_SALT, because=f"{salt}. Do not leach it with purer water.")
    if diagnosis.sodic is None:
        return Step(
            verdict=Verdict.CANNOT_DECIDE,
            because=f"{salt}. Measured, the ESP would say whether it is sodic.",
            missing=(ESP_WANTED,),
        )
    return None
