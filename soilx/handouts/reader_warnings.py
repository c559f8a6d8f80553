"""What not to do, by verdict and by reader."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from soilx.handouts.reader_facts import ReaderFacts
from soilx.handouts.reader_plan import ReaderPlan
from soilx.handouts.readers import Reader, ReaderUnits
from soilx.practice.decision_record import SPLIT
from soilx.practice.judgement.verdict_words import WITH_A_RATE, Verdict

NO_SAFETY_DOSE: Final = (
    "Do not spread gypsum to be on the safe side. It adds salt, costs money and takes magnesium and "
    "potassium out of the soil."
)
NOT_FOR_CLAY: Final = "Do not use gypsum to loosen packed soil or heavy clay. It does not."
NOT_WITHOUT_DRAINS: Final = (
    "Do not spread gypsum now. Where water cannot leave it only adds salt, and the sodium stays."
)
NO_FLOOD: Final = "Do not flood or leach the ground. The water has nowhere to go."
NOT_WHEN_WET: Final = "Do not dig or drive on it while it is wet."
NOT_BY_AREA: Final = (
    "Do not take a rate from a pot or a cup by the size of its opening. A pot holds less soil under each "
    "bit of its top than the field does."
)
NOT_SOFTENED: Final = "Do not use softened water. A softener takes out calcium and puts in sodium."
NO_MORE: Final = (
    "Do not spread more than this to be quicker. Water dissolves gypsum only so fast, and the rest just "
    "lies there."
)
NO_GUESS: Final = "Do not spread gypsum on a guess. On the wrong soil it does harm and no good."
NO_LEACHING_FIRST: Final = (
    "Do not leach first and spread gypsum later. When the salt has gone and the sodium has not, the clay "
    "seals."
)
NO_PURER_WATER: Final = "Do not leach it with rain water or other pure water."
NO_SAND_CHASE: Final = (
    "Do not chase the sodium share of a sand. A sand holds so little that a usual dose is many times too "
    "much."
)

_BY_VERDICT: Final[Mapping[Verdict, tuple[str, ...]]] = MappingProxyType(
    {
        Verdict.CANNOT_DECIDE: (NO_GUESS, NOT_BY_AREA),
        Verdict.DRAINAGE_FIRST: (NOT_WITHOUT_DRAINS, NO_FLOOD, NOT_WHEN_WET),
        Verdict.NO_SODIUM_PROBLEM: (NO_SAFETY_DOSE, NOT_FOR_CLAY),
        Verdict.LEACH: (NO_SAFETY_DOSE, NOT_FOR_CLAY),
        Verdict.MAGNESIUM: (NO_SAFETY_DOSE, NOT_FOR_CLAY),
        Verdict.AT_TARGET: (NO_SAFETY_DOSE, NOT_FOR_CLAY),
        Verdict.FIX_THE_WATER: (NO_SAFETY_DOSE, NOT_FOR_CLAY),
        Verdict.GYPSUM_THERE: (NO_SAFETY_DOSE,),
        Verdict.CARBONATE_FIRST: (
            "Do not mix gypsum in before you have advice. It would turn to lime and do nothing.",
        ),
        Verdict.KEEP_THE_SALT: (NO_SAFETY_DOSE, NO_PURER_WATER),
        Verdict.GYPSUM: (NO_MORE, NOT_BY_AREA),
        Verdict.GYPSUM_AND_LEACHING: (NO_LEACHING_FIRST, NO_MORE, NOT_BY_AREA),
    }
)


def not_to_do(
    facts: ReaderFacts, plan: ReaderPlan | None, reader: Reader, units: ReaderUnits
) -> tuple[str, ...]:
    """What not to do, the dearest mistake first.

    Parameters
    ----------
    facts : ReaderFacts
    plan : ReaderPlan or None
    reader : Reader
    units : ReaderUnits
    """
    decision = facts.decision
    said = list(_BY_VERDICT[decision.verdict])
    if plan is not None:
        depth = units.soil_depth(plan.visits.ground.depth or 0.0)
        if plan.way == SPLIT and len(plan.visits.visits) > 1:
            said.insert(
                1, "Do not put two visits into one. Salt on the leaves burns, and grass needs a pause."
            )
        elif plan.way != SPLIT:
            said.insert(1, f"Do not work it in deeper than {depth}. The rate is for that depth.")
        if decision.target_below_floor:
            said.append(
                f"Do not repeat it each year to hold {decision.target_esp_pct:.3g} %. With this water that "
                "cannot last: better the water."
            )
    if any(reason.key == "low_capacity_sand" for reason in decision.applying):
        said.insert(1, NO_SAND_CHASE)
    if decision.verdict is Verdict.DRAINAGE_FIRST and decision.then not in WITH_A_RATE:
        said[0] = NO_SAFETY_DOSE
    if reader is Reader.GARDENER or decision.water is None or not decision.water.softened:
        said.append(NOT_SOFTENED)
    return tuple(said)
