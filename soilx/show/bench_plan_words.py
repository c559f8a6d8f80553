"""What the bench page says of a plan: dose and field beside each other, the order of work, what to buy."""

from __future__ import annotations

from typing import TYPE_CHECKING

from soilx.bench.plan_cards import field_card, labels, shopping_list
from soilx.bench.plan_weighing import weighing_of
from soilx.bench.plan_words import (
    SLOW_L_PER_KG,
    cautions,
    first_drips,
    if_it_never_drips,
    steps_of,
    stop_rule,
    timing,
    what_it_shows,
)
from soilx.show.word_sheet import Block, Sheet, folded, grid, line, points
from soilx.wording import CAUTION_RATE

if TYPE_CHECKING:
    from collections.abc import Iterable

    from soilx.bench.plan import Plan
    from soilx.bench.scale_card import CardRow

_BESIDE = ("", "on the bench", "on the field")


def show_dose(sheet: Sheet, plan: Plan) -> None:
    """Put the dose on a sheet: by soil mass, by area, and on the field.

    Parameters
    ----------
    sheet : Sheet
    plan : Plan
    """
    scale = plan.scale
    product = scale.product
    dose, wrong = plan.product_g, scale.product_by_area_g(plan.gypsum)
    by_mass = f"{dose:.2f} g of {product.name} in each {1000 * scale.soil_mass:g} g column."
    t_per_ha = scale.product_rate(dose, "t/ha")
    pure = scale.pure_rate(plan.gypsum, "t/ha")
    sheet.put(
        line(by_mass, "verdict"),
        line(
            f"On the field that is {t_per_ha:.2f} t/ha of the product, {pure:.2f} t/ha of pure gypsum "
            f"({100 * product.purity:.3g} % gypsum when dry, {100 * product.moisture:.2g} % water).",
            "strong",
        ),
        line(f"Not {wrong:.2f} g, which is that rate on the opening. {scale.why_not_by_area}"),
        line(weighing_of(plan).sentence),
        _cards(field_card(plan), "Every number of the plan, on the bench and on the field"),
        line(CAUTION_RATE, "caution"),
        spoken=f"{by_mass} On the field {t_per_ha:.2f} t/ha of the product.",
    )


def say_refusal(sheet: Sheet, why: str) -> None:
    """Put on a sheet why there is no new plan, where that is about none of the fields.

    Parameters
    ----------
    sheet : Sheet
    why : str
        Empty where there is nothing to say.
    """
    sheet.put(*([line(f"{why} The plan below is the one before.", "stop")] if why else []), spoken=why)


def show_arms(sheet: Sheet, plan: Plan) -> None:
    """Put the arms on a sheet, and how many columns of each it takes.

    Parameters
    ----------
    sheet : Sheet
    plan : Plan
    """
    columns = len(plan.arms) * plan.replicates
    assumed = plan.treated.notes
    notes = [note for note in plan.notes if note != plan.scale.why_not_by_area and note not in assumed]
    sheet.put(
        line(
            f"{len(plan.arms)} arms with {plan.replicates} columns each: {columns} columns, "
            f"{columns * plan.portions} cups.",
            "strong",
        ),
        grid(
            ("arm", "what it tells", "water", "gypsum in it"),
            [(arm.name, arm.purpose, _water(arm), "yes" if arm.gypsum else "no") for arm in plan.arms],
        ),
        line("How many columns show the difference", "title"),
        points(seen.sentence for seen in plan.seen),
        line(
            "Read with a laboratory's instruments."
            if plan.measured_with == "laboratory"
            else "Read with field kits and pens.",
            "note",
        ),
        points(notes),
        folded("What was taken for granted of the soil", points(assumed)),
    )


def show_work(sheet: Sheet, plan: Plan) -> None:
    """Put the order of work on a sheet, with when to stop and what to do if nothing drips.

    Parameters
    ----------
    sheet : Sheet
    plan : Plan
    """
    scale = plan.scale
    little = 1000 * SLOW_L_PER_KG * scale.soil_mass
    waters = ", ".join(
        f"{what} {ml:.0f} mL = {scale.water(ml, 'mm'):.0f} mm"
        for what, ml in (
            ("pre-wetting", plan.prewet_ml),
            ("a portion", plan.portion_ml),
            ("the stop rule's", little),
        )
    )
    never = if_it_never_drips()
    sheet.put(
        points(steps_of(plan), ordered=True),
        line(f"On the field: {waters} of water.", "note"),
        line("When to stop", "title"),
        line(stop_rule(plan)),
        line("A control may never drip", "title"),
        line(first_drips()),
        points(text for text in never if text != first_drips()),
        line("Safety at the bench", "title"),
        points(cautions(plan)),
        folded("How long it takes", points(timing(plan))),
        folded(f"Labels to cut out ({len(labels(plan))})", points(labels(plan))),
        folded(
            "Shopping list",
            _cards(shopping_list(plan), "What is bought or borrowed", ("", "how much", "what for")),
        ),
        folded("What the run shows, and what it does not", points(what_it_shows(plan))),
    )


def _cards(rows: Iterable[CardRow], caption: str, titles: tuple[str, str, str] = _BESIDE) -> Block:
    return grid(titles, [(row.name, row.bench, row.field) for row in rows], caption=caption)


def _water(arm: object) -> str:
    salt, water = getattr(arm, "salt", ""), getattr(arm, "water", None)
    if salt:
        return f"deionised, with {getattr(arm, 'salt_g_per_l', 0.0):.2f} g/L of {salt}"
    return str(getattr(water, "name", ""))
