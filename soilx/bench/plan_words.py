"""What a bench plan says: the order of work, when to stop, what to show if nothing drips, and safety."""

from typing import Final

from soilx.bench.plan import Plan
from soilx.bench.plan_column import PREWET_L_PER_KG_H
from soilx.bench.plan_weighing import weighing_of
from soilx.wording import (
    CAUTION_BENCH,
    CAUTION_DUST,
    CAUTION_LEACHATE,
    CAUTION_RATE,
    CLEAR_IS_NOT_RECLAIMED,
    DEIONISED_IS_HARSH,
    MODEL_LEAVES_OUT,
    PORE_VOLUME_MEANS,
    SALT_RISES_FIRST,
)

FIRST_DRIPS_H: Final = (("saturated gypsum water", 1.8), ("half-saturated", 64.0), ("deionised water", 148.0))
"""Hours to the first drip from columns of ESP 43.3; zhang2023."""

LATEST_H: Final = 48.0
SLOW_L_PER_KG: Final = 0.1
SLOW_H: Final = 24.0
"""When an arm is stopped; common practice, no source."""

CAUTION_SALTS: Final = (
    "Calcium chloride gets hot when it meets water: add it to the water in small amounts. It irritates skin "
    "and eyes."
)

CAUTION_CLASSROOM: Final = (
    "No food or drink at the bench. Wipe up spills at once: wet soil is slippery. Wash your hands when you "
    "are done. Broken glass is for an adult."
)


def steps_of(plan: Plan) -> tuple[str, ...]:
    """The order of work, one sentence a step.

    Parameters
    ----------
    plan : Plan
    """
    wet = plan.prewet_ml
    hours = wet / 1000.0 / plan.scale.soil_mass / PREWET_L_PER_KG_H
    prewet = (
        f"Pre-wet each column slowly with {wet:.0f} mL, drop by drop over {hours:.1f} h, and let it stand "
        "overnight: air that is shut in makes channels."
        if wet > 0
        else "The soil is moist as it is: no pre-wetting."
    )
    return (
        "Write down your prediction first: which column runs clear, which gives more sodium, and why.",
        f"Weigh {1000 * plan.scale.soil_mass:g} g of oven-dry soil for each column, the same sieve and the "
        "same pack for all.",
        weighing_of(plan).sentence,
        "Mix the product through the soil. Stir the control as long.",
        "Lay filter paper under and over the soil. Label the columns and draw lots for their places.",
        prewet,
        f"Pour {plan.portions} portions of {plan.portion_ml:.0f} mL, each when the one before has sunk in. "
        "Do not stir the surface.",
        "Collect each portion in a cup of its own and weigh it: 1 g is 1 mL. Note when it first drips.",
        "Read conductivity with its temperature, and turbidity of the shaken cup. Let the cup settle or "
        "filter it before sodium is read.",
        "Afterwards send the soil of each column for exchangeable sodium. Its exchange capacity stays that "
        "of before.",
    )


def stop_rule(plan: Plan) -> str:
    """When an arm is over.

    Parameters
    ----------
    plan : Plan
    """
    return (
        f"Stop an arm when its {plan.portions} portions are through, or when less than "
        f"{1000 * SLOW_L_PER_KG * plan.scale.soil_mass:.0f} mL came in {SLOW_H:g} h, at the latest "
        f"{LATEST_H:g} h after the first water (common practice). Pour off the water that stands on top, and "
        "write down when you stopped."
    )


def timing(plan: Plan) -> tuple[str, ...]:
    """How long it takes, as far as that can be told.

    Parameters
    ----------
    plan : Plan
    """
    columns = len(plan.arms) * plan.replicates
    readings = columns * plan.portions
    return (
        f"Day 1: weigh, mix, pack and pre-wet {columns} columns, about {max(1.0, columns / 8):.0f} h of "
        f"work. Days 2 and 3: {readings} portions, about {readings * 5 / 60:.0f} h of reading at 5 minutes "
        "each (common practice).",
        "How fast a column drips is not predicted here. " + first_drips(),
    )


def first_drips() -> str:
    """What was seen elsewhere of the time to the first drip."""
    seen = ", ".join(f"{hours:g} h with {water}" for water, hours in FIRST_DRIPS_H)
    return (
        f"In one published test with a very sodic soil (ESP 43.3) the first drip came after {seen} (Zhang et "
        "al. 2023). Yours may be faster or slower."
    )


def if_it_never_drips() -> tuple[str, ...]:
    """What to show if the control does not drip: a result, not a failure."""
    return (
        "A control may never drip. That is a result, not a failure: its clay has swollen and come apart, and "
        "the pores are shut.",
        first_drips(),
        'Write "no leachate" for each of its portions, when you looked, and how much water stands on it.',
        "Show the two columns side by side: water on top of one, water in the cup of the other.",
        "Do not poke, heat or press it. To get its water after all, the sodium chloride arm shows what salt "
        "alone does.",
    )


def what_it_shows(plan: Plan) -> tuple[str, ...]:
    """What the arms tell, and what they do not.

    Parameters
    ----------
    plan : Plan
    """
    return (
        *(f"{arm.name}: {arm.purpose}" for arm in plan.arms),
        DEIONISED_IS_HARSH,
        SALT_RISES_FIRST,
        CLEAR_IS_NOT_RECLAIMED,
        PORE_VOLUME_MEANS,
        MODEL_LEAVES_OUT,
    )


def cautions(plan: Plan) -> tuple[str, ...]:
    """Safety at the bench.

    Parameters
    ----------
    plan : Plan
    """
    salts = (CAUTION_SALTS,) if any("calcium chloride" in arm.salt for arm in plan.arms) else ()
    return (CAUTION_BENCH, CAUTION_DUST, *salts, CAUTION_CLASSROOM, CAUTION_RATE, CAUTION_LEACHATE)
