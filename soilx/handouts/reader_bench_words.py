"""What a bench run showed, and what it cannot say about a field, in plain words."""

from __future__ import annotations

from typing import Final

from soilx import wording
from soilx.bench.budget import Closing, ColumnBudget
from soilx.bench.budget_pair import FEW
from soilx.handouts.reader_bench_facts import CONTROL, TREATED, BenchFacts
from soilx.handouts.reader_found import listed_tests
from soilx.handouts.reader_steps import Step
from soilx.handouts.readers import US, ReaderUnits, figure, rough

NO_RATE: Final = (
    "No rate yet. A bench run shows what gypsum does to this soil. It does not say how much a field needs."
)
NOT_A_RATE: Final = "Bench dose by area is not a field rate."


def bench_found(facts: BenchFacts) -> str:
    """The one sentence of a bench page.

    Parameters
    ----------
    facts : BenchFacts
    """
    column = facts.first(TREATED)
    if column is not None and column.esp_before_pct is not None and column.esp_after_pct is not None:
        before, after = column.esp_before_pct.value, column.esp_after_pct.value
        said = (
            f"On the bench, gypsum and water took the sodium of {facts.soil} from {before:.3g} to "
            f"{after:.3g} of "
            "every 100 places on the clay"
        )
        return f"{said}{_without(facts)}."
    treated, control = facts.sodium_mg(TREATED), facts.sodium_mg(CONTROL)
    if treated is not None and control is not None:
        return (
            f"On the bench, {figure(treated[0])} mg of sodium came out of a column of {facts.soil} with "
            "gypsum, "
            f"and {figure(control[0])} mg without."
        )
    return (
        f"This bench run on {facts.soil} cannot tell what gypsum did: a column with or without it is missing."
    )


def bench_numbers(facts: BenchFacts) -> list[tuple[str, str, str, str]]:
    """Three numbers of the run: name, with gypsum, without, and what is normal.

    Parameters
    ----------
    facts : BenchFacts
    """
    rows = []
    treated, control = facts.sodium_mg(TREATED), facts.sodium_mg(CONTROL)
    rows.append(
        (
            f"Sodium that came out of {1000 * facts.record.soil_mass:g} g of soil",
            _milligrams(treated),
            _milligrams(control),
            "A difference counts where it is larger than both errors together.",
        )
    )
    with_gypsum, without = facts.first(TREATED), facts.first(CONTROL)
    before = None if with_gypsum is None else with_gypsum.esp_before_pct
    start = "" if before is None else f" It was {before.value:.1f} % before."
    rows.append(
        (
            "Sodium’s share of the places on the clay, after",
            _share(with_gypsum),
            _share(without),
            f"Under 5 % is fine. Over 15 % most clays suffer.{start}",
        )
    )
    water = (
        ("not run", "not run") if facts.pair is None else tuple(f"{ml:.0f} mL" for ml in facts.pair.water_ml)
    )
    rows.append(
        (
            "Water that came through",
            water[0],
            water[1],
            "A soil that seals lets little through: that is a result.",
        )
    )
    return rows


def bench_steps(facts: BenchFacts, units: ReaderUnits) -> tuple[Step, ...]:
    """What to do before anything goes on a field.

    Parameters
    ----------
    facts : BenchFacts
    units : ReaderUnits
    """
    hole = "18 in" if units.system == US else "45 cm"
    missing = facts.decision.missing
    ask = (
        ()
        if not missing
        else (Step(title="Ask", sentences=(f"For a verdict on the field get {listed_tests(missing)}.",)),)
    )
    water = facts.record.words.get("water", "").lower()
    return (
        *ask,
        Step(
            title="Drainage",
            sentences=(
                "The bench cannot tell whether water can leave your ground.",
                f"Dig a hole {hole} deep, fill it with water twice, and time the second filling.",
            ),
        ),
        Step(title="Gypsum", sentences=(NO_RATE,)),
        Step(
            title="Water",
            sentences=(
                "Have the water tested that the ground will get.",
                *((wording.DEIONISED_IS_HARSH,) if water == "deionised" else ()),
            ),
        ),
        Step(
            title="Wait",
            sentences=(
                "Make the page for the field when you have these tests. It gives a rate if one is due.",
            ),
        ),
    )


def bench_warnings(facts: BenchFacts) -> tuple[str, ...]:
    """What not to do with a bench run.

    Parameters
    ----------
    facts : BenchFacts
    """
    by_area = (
        f"{NOT_A_RATE} A pot holds less soil under each bit of its top than a field does, so that a dose "
        "taken "
        "by area is far off."
    )
    if facts.scale is not None:
        factor = facts.scale.area_factor
        off = (
            f"{figure(factor)} times too much" if factor > 1 else f"only {factor:.2g} of what the soil needs"
        )
        by_area = (
            f"{NOT_A_RATE} By the size of its opening this container would get {off}. Dose a pot by the "
            "mass of "
            "its soil."
        )
    return (by_area, wording.CLEAR_IS_NOT_RECLAIMED, "Do not spread gypsum because a cup ran clear.")


def bench_sure(facts: BenchFacts) -> tuple[str, ...]:
    """How far the run can be trusted.

    Parameters
    ----------
    facts : BenchFacts
    """
    said = []
    if facts.difference_seen is not None:
        said.append(
            "The difference between gypsum and no gypsum is larger than the errors of the instruments."
            if facts.difference_seen
            else "The difference between gypsum and no gypsum is lost in the errors of the instruments."
        )
    column = facts.first(TREATED)
    if column is not None and column.closure is not None:
        low, high = (100 * end for end in column.band)
        found = 100.0 * column.closure.value
        word = {
            Closing.CLOSES: "That adds up.",
            Closing.OPEN: "That does not add up: look for a lost portion or a wrong unit.",
            Closing.CANNOT_TELL: "Whether that adds up cannot be told.",
        }[column.closing]
        said.append(
            f"In the column with gypsum {found:.0f} ± {100 * column.closure.half_width:.0f} % of the "
            "sodium was "
            f"found again, where {low:.0f} to {high:.0f} % is good for such instruments. {word}"
        )
    elif column is not None:
        said.append("Whether all the sodium was found again cannot be told: a part was not measured.")
    if facts.pair is not None and facts.pair.replicates < FEW:
        count = facts.pair.replicates
        said.append(
            f"There {'was' if count == 1 else 'were'} {count} column{'' if count == 1 else 's'} of each "
            "kind. Two "
            f"columns of one soil differ by themselves: run {FEW} or more."
        )
    return tuple(said)


def bench_again(facts: BenchFacts) -> tuple[str, ...]:
    """How to run it again, and what success looks like.

    Parameters
    ----------
    facts : BenchFacts
    """
    column = facts.first(TREATED)
    noise = 0.0 if column is None or column.esp_after_pct is None else column.esp_after_pct.half_width
    beyond = f" by more than {rough(2.0 * noise)} points" if noise > 0 else ""
    return (
        f"Run it again with {FEW} columns of each kind, and with the water that the ground will get.",
        "Send the soil of every column to the same laboratory, with the same method.",
        f"Success is a sodium share that is lower with gypsum than without{beyond}.",
        "Stop a column when next to nothing drips for a day. Write that down: it is a result.",
    )


def _without(facts: BenchFacts) -> str:
    if facts.pair is None:
        return ""
    treated, control = facts.pair.water_ml
    if control < 0.5 * treated:
        return (
            f", and without gypsum hardly any water came through ({control:.0f} mL against {treated:.0f} mL)"
        )
    return f"; {control:.0f} mL of water came through without gypsum and {treated:.0f} mL with it"


def _milligrams(found: tuple[float, float] | None) -> str:
    return "cannot be told" if found is None else f"{figure(found[0])} ± {rough(found[1])} mg"


def _share(column: ColumnBudget | None) -> str:
    after = None if column is None else column.esp_after_pct
    return "not measured" if after is None else f"{after.value:.1f} ± {after.half_width:.1f} %"
