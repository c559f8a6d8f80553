"""What to do, in order: drainage, amendment, water, wait; and what not to do."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from soilx.handouts.reader_facts import ReaderFacts
from soilx.handouts.reader_found import drain_time, listed_tests, water_name
from soilx.handouts.reader_plan import ReaderPlan
from soilx.handouts.reader_rate import rate_sentences, visits_table, water_sentences
from soilx.handouts.readers import US, Reader, ReaderUnits
from soilx.practice.judgement.bands import Place
from soilx.practice.judgement.thresholds import RESIDUAL_CARBONATE
from soilx.practice.judgement.verdict_words import WITH_A_RATE, Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of the work.

    Attributes
    ----------
    title : str
    sentences : tuple of str
    table : str
        Markup of a table that belongs to it; may be empty.
    """

    title: str
    sentences: tuple[str, ...]
    table: str = ""


_WAYS_TO_DRAIN: Final[Mapping[Reader, str]] = MappingProxyType(
    {
        Reader.GARDENER: "Ways to do it: a pipe or a ditch to a lower place, a raised bed, or a fork through "
        "the hard layer that holds the water.",
        Reader.TURF: "Ways to do it: drain lines to an outlet, slit drains filled with sand, or deep cores "
        "through the layer that holds the water.",
        Reader.GROWER: "Ways to do it: tile drains or ditches to an outlet, deep ripping where a pan holds "
        "the water, or a lower water table.",
        Reader.STUDENT: "Ways to do it: drains or ditches to an outlet, or a cut through the layer that "
        "holds the water.",
    }
)

_AMENDMENT: Final[Mapping[Verdict, tuple[str, ...]]] = MappingProxyType(
    {
        Verdict.NO_SODIUM_PROBLEM: (
            "None. Gypsum swaps sodium for calcium, and here there is next to no sodium to swap.",
            "It loosens neither packed soil nor heavy clay.",
        ),
        Verdict.LEACH: ("None. Salt without sodium goes with water alone.",),
        Verdict.MAGNESIUM: (
            "None for now. Ask your laboratory what helps soils that are rich in magnesium where you are.",
        ),
        Verdict.AT_TARGET: ("None. The sodium is where you want it.",),
        Verdict.FIX_THE_WATER: ("None on the ground. What gypsum takes off, this water brings back.",),
        Verdict.GYPSUM_THERE: ("No more. There is gypsum in the soil, and water has to dissolve it first.",),
        Verdict.CARBONATE_FIRST: (
            "Mix none in. Get qualified advice first: gypsum may be laid on top, or the soda leached out "
            "before.",
        ),
        Verdict.KEEP_THE_SALT: ("None now. The clay holds together, so you would see no change.",),
        Verdict.CANNOT_DECIDE: ("None yet. A rate would be a guess.",),
    }
)

_WATER: Final[Mapping[Verdict, tuple[str, ...]]] = MappingProxyType(
    {
        Verdict.NO_SODIUM_PROBLEM: ("Water as your plants need it.",),
        Verdict.LEACH: (
            "Give more water than the plants use, in portions, so that the salt goes down and out.",
            "Go on until a new test shows that the salt is low.",
        ),
        Verdict.MAGNESIUM: ("Water as your plants need it.",),
        Verdict.AT_TARGET: ("Water as your plants need it.",),
        Verdict.FIX_THE_WATER: (
            "Look for other water, or mix this one with better water or caught rain.",
            "Have the mix tested before you count on it.",
            "Water seldom and deep, so that the salt goes down below the roots.",
        ),
        Verdict.GYPSUM_THERE: (
            "Water in portions, with pauses. The water takes the gypsum down and the sodium out.",
        ),
        Verdict.CARBONATE_FIRST: ("Water as your plants need it until you have that advice.",),
        Verdict.KEEP_THE_SALT: (
            "Stay with the water you have. Purer water would take away the salt that holds the clay "
            "together.",
        ),
        Verdict.CANNOT_DECIDE: ("Water as your plants need it. Do not leach yet.",),
        Verdict.DRAINAGE_FIRST: (
            "Water only as much as the plants need. Water that cannot leave takes no salt with it.",
        ),
    }
)

_CARBONATE_WATER: Final = (
    "This water also holds far more bicarbonate than calcium. When it dries, lime comes down and the sodium "
    "stays. Treating the water is work for trained people with a licence."
)


def steps_of(
    facts: ReaderFacts, plan: ReaderPlan | None, reader: Reader, units: ReaderUnits, *, wait: str
) -> tuple[Step, ...]:
    """The steps of a page, drainage first whatever the verdict.

    Parameters
    ----------
    facts : ReaderFacts
    plan : ReaderPlan or None
        None where there is no rate.
    reader : Reader
    units : ReaderUnits
    wait : str
        When to test again.
    """
    decision = facts.decision
    if plan is not None and facts.hand is not None:
        amendment = Step(
            title="Gypsum",
            sentences=rate_sentences(facts, plan, reader, units),
            table=visits_table(facts, plan, units),
        )
        water = Step(title="Water", sentences=water_sentences(facts, plan, units))
    else:
        amendment = Step(title="Gypsum", sentences=_no_rate(facts))
        water = Step(title="Water", sentences=_water(facts))
    asked: tuple[Step, ...] = ()
    if decision.verdict is Verdict.CANNOT_DECIDE:
        asked = (
            Step(title="Ask", sentences=(f"Find out what is missing: {listed_tests(decision.missing)}.",)),
        )
    return (
        *asked,
        Step(title="Drainage", sentences=_drainage(facts, reader, units)),
        amendment,
        water,
        Step(title="Wait", sentences=(wait,)),
    )


def _no_rate(facts: ReaderFacts) -> tuple[str, ...]:
    decision = facts.decision
    if decision.verdict is Verdict.DRAINAGE_FIRST:
        if decision.then in WITH_A_RATE:
            return (
                "Not yet. Gypsum and water come when the test hole drains within a day.",
                "How much is worked out then, from a new soil test.",
            )
        if decision.then is Verdict.CANNOT_DECIDE:
            return ("Not yet. Whether gypsum comes later cannot be said without more tests.",)
        return _AMENDMENT.get(decision.then or Verdict.CANNOT_DECIDE, ())
    if decision.verdict in WITH_A_RATE:
        lacking = f": {listed_tests(facts.lacking)}" if facts.lacking else ""
        return (
            "Gypsum is due, but the report says too little for a rate and its water.",
            f"Ask your laboratory for what is missing{lacking}, and make this page again.",
        )
    return _AMENDMENT[decision.verdict]


def _water(facts: ReaderFacts) -> tuple[str, ...]:
    decision = facts.decision
    said = _WATER.get(decision.verdict, _WATER[Verdict.CANNOT_DECIDE])
    both = {decision.verdict, decision.then}
    judged = decision.water
    if (
        judged is not None
        and Verdict.FIX_THE_WATER in both
        and RESIDUAL_CARBONATE.over(judged.residual_carbonate)
    ):
        said = (*said, _CARBONATE_WATER)
    if decision.verdict is Verdict.AT_TARGET and decision.target_below_floor:
        floor = f"{decision.floor_esp_pct or 0.0:.1f}"
        said = (*said, f"But {water_name(facts)} brings any soil to {floor} in the end: watch it.")
    return said


def _drainage(facts: ReaderFacts, reader: Reader, units: ReaderUnits) -> tuple[str, ...]:
    decision = facts.decision
    place, time = decision.diagnosis.drainage.place, drain_time(decision)
    hole = "18 in" if units.system == US else "45 cm"
    if place is None:
        return (
            "Find out whether water can leave.",
            f"Dig a hole {hole} deep, fill it with water twice, and time the second filling.",
        )
    if place is Place.BELOW:
        return (f"Water can leave: your test hole drained in {time}.", "Keep it so: stay off wet ground.")
    if place is Place.BETWEEN:
        return (
            f"Water can leave, but slowly: your test hole drained in {time}.",
            "Keep drains and outlets open, and stay off wet ground.",
        )
    return (
        f"Your test hole took {time} to drain. Fix this before you spend money on anything else.",
        _WAYS_TO_DRAIN[reader],
        "Ask a local adviser which one fits, and where the water may go.",
        "Then dig a new test hole. It has to drain within a day.",
    )
