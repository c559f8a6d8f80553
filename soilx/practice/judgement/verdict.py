"""The verdict on a soil: whether gypsum is the answer, what comes first, and the number that decided it."""

from dataclasses import dataclass

from soilx.column.water import Water
from soilx.errors import SoilxError, require
from soilx.practice.dose.target import read_target
from soilx.practice.judgement.bands import Place
from soilx.practice.judgement.diagnosis import DRAIN_TEST_WANTED, Diagnosis, diagnose
from soilx.practice.judgement.floor_drift import drift_back
from soilx.practice.judgement.gypsum_reasons import Reason, gypsum_reasons
from soilx.practice.judgement.verdict_steps import Step, onward
from soilx.practice.judgement.verdict_words import (
    NEEDS_DRAINAGE,
    WITH_A_RATE,
    Verdict,
    cautions_of,
    drainage_sentence,
    drift_sentences,
    joined,
    without,
)
from soilx.practice.judgement.water_judgement import WaterJudgement, judge_water
from soilx.practice.soil_test.report import Report


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What to do on a soil, and why.

    Attributes
    ----------
    name : str
        Of the soil.
    verdict : Verdict
    then : Verdict or None
        What follows once water can leave; None where drainage does not come first.
    because : str
        The sentence with the number that decided it.
    missing : tuple of str
        Tests without which it, or what follows it, cannot be decided.
    reasons : tuple of Reason
        Everything for which gypsum may not help, whether it applies or not.
    diagnosis : Diagnosis
    water : WaterJudgement or None
    target_esp_pct : float
        Asked for, or the convention's own [%].
    floor_esp_pct : float or None
        Of the water at the concentration factor that was asked for [%].
    drift : tuple of (float, float)
        Pore volumes of the water and ESP [%] on the way back from the target; empty where no gypsum is due,
        or the report is too thin for a column.
    sentences : tuple of str
        Verdict, reason, drift and what is missing, as they are shown.
    cautions : tuple of str
        To be printed with it.
    """

    name: str
    verdict: Verdict
    then: Verdict | None
    because: str
    missing: tuple[str, ...]
    reasons: tuple[Reason, ...]
    diagnosis: Diagnosis
    water: WaterJudgement | None
    target_esp_pct: float
    floor_esp_pct: float | None
    drift: tuple[tuple[float, float], ...]
    sentences: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def rate_allowed(self) -> bool:
        """Whether a gypsum rate may be shown as something to spread now."""
        return self.verdict in WITH_A_RATE

    @property
    def target_below_floor(self) -> bool:
        """Whether the water brings the soil back above the target in the end."""
        return self.floor_esp_pct is not None and self.target_esp_pct < self.floor_esp_pct

    @property
    def applying(self) -> tuple[Reason, ...]:
        """The reasons that apply."""
        return tuple(reason for reason in self.reasons if reason.applies)

    @property
    def would_change(self) -> tuple[str, ...]:
        """What would change this answer."""
        return self.diagnosis.would_change


def decide(
    report: Report,
    *,
    water: Water | None = None,
    target_esp_pct: float | None = None,
    concentration_factor: float = 1.0,
    convention: str = "US",
) -> Decision:
    """Verdict on a soil: can water leave, is there a sodium problem, is it at its water's floor, else gypsum.

    Parameters
    ----------
    report : Report
        As much as there is of it: what is missing becomes part of the verdict.
    water : Water, optional
        What the ground is watered with.
    target_esp_pct : float, optional
        What is aimed for; the convention's own unless given [%].
    concentration_factor : float
        How many times the root zone concentrates the water, for its floor.
    convention : str
        "US" or "Australia".

    Raises
    ------
    SoilxError
        If the target, the factor or the convention is not one.

    Notes
    -----
    A test that is missing and could turn gypsum into no gypsum, or the other way, makes the verdict "cannot
    be decided yet" and is named. One that could only add to the verdict is named beside it.
    """
    diagnosis = diagnose(report, convention=convention)
    wanted = diagnosis.convention.target_esp_pct if target_esp_pct is None else target_esp_pct
    target = read_target(wanted)
    require(
        "concentration factor",
        concentration_factor,
        "",
        low=1.0,
        whose="roots that take up water and leave salt",
        remedy="1 is the water as it is",
    )
    judged = None
    if water is not None:
        judged = judge_water(water, concentration_factor=max(concentration_factor, 2.0))
    floor = _floor(judged, concentration_factor)
    step = onward(diagnosis, judged, floor=floor, target=target if target_esp_pct is not None else None)
    verdict, then, because, missing = _with_drainage(diagnosis, step)
    gypsum_due = (then or verdict) in WITH_A_RATE
    drift = _drift(report, water, target, floor) if gypsum_due else ()
    drifting = () if judged is None or floor is None else drift_sentences(judged, target, floor, drift)
    return Decision(
        name=report.name,
        verdict=verdict,
        then=then,
        because=because,
        missing=missing,
        reasons=gypsum_reasons(diagnosis, report, judged),
        diagnosis=diagnosis,
        water=judged,
        target_esp_pct=target,
        floor_esp_pct=floor,
        drift=drift,
        sentences=(
            f"{report.name}: {verdict.value}{'' if then is None else f'; then: {then.value}'}.",
            because,
            *((drifting) if gypsum_due else ()),
            *((without(missing),) if missing else ()),
        ),
        cautions=cautions_of(verdict, then, judged),
    )


def _with_drainage(diagnosis: Diagnosis, step: Step) -> tuple[Verdict, Verdict | None, str, tuple[str, ...]]:
    """Verdict, what follows it, its reason and what is missing, with drainage first."""
    drains = diagnosis.drainage.place
    if drains is Place.ABOVE:
        because = joined(drainage_sentence(diagnosis), step.because)
        return Verdict.DRAINAGE_FIRST, step.verdict, because, step.missing
    if drains is not None:
        tail = drainage_sentence(diagnosis) if step.verdict in NEEDS_DRAINAGE else ""
        return step.verdict, None, joined(step.because, tail), step.missing
    missing = (DRAIN_TEST_WANTED, *step.missing)
    if step.verdict in NEEDS_DRAINAGE:
        because = joined(
            f"Nobody knows whether water can leave. If it can, the answer is: {step.verdict.value}.",
            step.because,
        )
        return Verdict.CANNOT_DECIDE, None, because, missing
    return step.verdict, None, step.because, missing


def _floor(judged: WaterJudgement | None, concentration_factor: float) -> float | None:
    """Floor of the water at the factor that was asked for [%]."""
    if judged is None:
        return None
    if concentration_factor == judged.concentration_factor:
        return judged.floor_concentrated_esp_pct
    return (
        judged.floor_esp_pct
        if concentration_factor == 1.0
        else judge_water(judged.water, concentration_factor=concentration_factor).floor_concentrated_esp_pct
    )


def _drift(
    report: Report, water: Water | None, target: float, floor: float | None
) -> tuple[tuple[float, float], ...]:
    if water is None or floor is None or target >= floor:
        return ()
    try:
        return drift_back(report.soil(), water=water, start_esp_pct=target)
    except SoilxError:
        # the report is too thin for a column, or its ions contradict: the floor alone is said
        return ()
