"""A rate in a reader's own words: mass, bags, dates, visits, price, and the water that goes with it."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping

from soilx.handouts.page_table import table
from soilx.handouts.reader_facts import ReaderFacts
from soilx.handouts.reader_plan import ReaderPlan
from soilx.handouts.readers import FT2, KG_PER_LB, US, Reader, ReaderUnits, figure
from soilx.practice.decision_record import SPLIT
from soilx.practice.dose.product import PURE, Product
from soilx.practice.dose.rate_units import product_rate_in_units
from soilx.practice.judgement.water_depths import Purpose
from soilx.show.tables import NumberTable
from soilx.units import Kind, express, read

MOST_VISITS_SHOWN = 12


def day_in_words(day: dt.date) -> str:
    """A day as nobody can misread it: 15 March 2027."""
    return f"{day.day} {day:%B %Y}"


def product_rates(facts: ReaderFacts, plan: ReaderPlan) -> Mapping[str, float]:
    """The whole rate of a plan in product as it comes, in every unit of the trade."""
    return product_rate_in_units(plan.visits.total, product=facts.product, ground=plan.visits.ground)


def rate_sentences(
    facts: ReaderFacts, plan: ReaderPlan, reader: Reader, units: ReaderUnits
) -> tuple[str, ...]:
    """How much to spread, how, when, in how many bags and at what price.

    Parameters
    ----------
    facts : ReaderFacts
        With a rate.
    plan : ReaderPlan
    reader : Reader
    units : ReaderUnits
    """
    product, rates = facts.product, product_rates(facts, plan)
    first = day_in_words(plan.visits.visits[0].day)
    depth = units.soil_depth(plan.visits.ground.depth or 0.0)
    said = []
    if plan.way == SPLIT:
        said += _visits(plan, units, total=units.rate(rates), name=product.name, first=first, depth=depth)
    else:
        work = "dig it" if reader is Reader.GARDENER else "work it"
        said.append(
            f"Spread {product.name} evenly at {units.rate(rates)}, and {work} into the top {depth}. Do this "
            f"on {first}, or on the next dry day."
        )
    said += _chosen(facts, units)
    said += _bags(product, rates, reader, units)
    said += _whole_ground(facts, rates, units)
    said += _price(product, rates, units)
    if product == PURE:
        said.append(
            "This is pure gypsum. What you buy is not pure: divide the rate by the share of gypsum on its "
            "label."
        )
    else:
        said.append(
            f"The rate is for {product.name} as it comes: {100 * product.purity:.3g} % gypsum when dry, and "
            f"{100 * product.moisture:.3g} % water."
        )
    return tuple(said)


def visits_table(facts: ReaderFacts, plan: ReaderPlan, units: ReaderUnits) -> str:
    """The visits of a split rate as a table; empty where it is spread at once."""
    visits = plan.visits.visits
    if plan.way != SPLIT:
        return ""
    rows = []
    for number, visit in enumerate(visits[:MOST_VISITS_SHOWN], start=1):
        rates = product_rate_in_units(visit.gypsum, product=facts.product, ground=plan.visits.ground)
        rows.append(
            (
                str(number),
                day_in_words(visit.day),
                figure(units.rate_number(rates)),
                units.water(visit.water, ground=plan.visits.ground),
                units.water(visit.leach, ground=plan.visits.ground) if visit.leach else "–",
            )
        )
    caption = f"Visits: {facts.product.name}, {units.rate_words}, and the water that follows"
    if len(visits) > MOST_VISITS_SHOWN:
        caption += (
            f"; the first {MOST_VISITS_SHOWN} of {len(visits)}, the last on {day_in_words(visits[-1].day)}"
        )
    titles = ("Visit", "Day", units.rate_words, "Water it in", "Then leach")
    return table(NumberTable(titles=titles, rows=tuple(rows)), caption=caption)


def water_sentences(facts: ReaderFacts, plan: ReaderPlan, units: ReaderUnits) -> tuple[str, ...]:
    """How much water goes with the rate, and how it is given.

    Parameters
    ----------
    facts : ReaderFacts
    plan : ReaderPlan
    units : ReaderUnits
    """
    ground, visits = plan.visits.ground, plan.visits.visits
    water, leach = units.water(visits[0].water, ground=ground), units.water(visits[-1].leach, ground=ground)
    leached = visits[-1].leach > 0
    if plan.way == SPLIT:
        said = [f"Water each visit in with {water} on the same day."]
        said += [f"Leach with {leach} when the table says so."] if leached else []
    else:
        more = f", then leach with {leach} more" if leached else ""
        said = [f"Water it in with {water} on the same day{more}."]
    if facts.depths is not None:
        dissolved = facts.depths.express(Purpose.DISSOLVE, "mm")
        if dissolved is not None:
            said.append(
                f"In all, the gypsum takes about {units.depth(dissolved)} of water to dissolve. Rain and "
                "your usual watering count."
            )
        # Where the water's floor is above the target, that is said with what not to do.
        unsaid = not facts.decision.target_below_floor
        if unsaid and facts.depths.depths[Purpose.CARRY_OUT] is None:
            said.append(
                f"With this water the sodium cannot stay as low as {facts.decision.target_esp_pct:.3g} %, "
                "however much you give."
            )
    said.append("Give it in portions, with pauses: that moves more salt than a pond on top.")
    return tuple(said)


def _visits(
    plan: ReaderPlan, units: ReaderUnits, *, total: str, name: str, first: str, depth: str
) -> list[str]:
    visits, cap = plan.visits.visits, plan.visits.cap
    count = len(visits)
    said = [
        f"Spread {name} on top of the {plan.cover} in {count} visits: {total} in all. The first visit is on "
        f"{first}."
        if count > 1
        else f"Spread {name} on top of the {plan.cover} at {total}, on {first}."
    ]
    if cap is not None:
        unit = {"g_per_m2": "g/m^2", "t_per_ha": "t/ha", "short_ton_per_acre": "short_ton/acre"}
        most = express(
            cap, Kind.PRODUCT_RATE, unit.get(units.rate_key, "lb/1000 ft^2"), ground=plan.visits.ground
        )
        said.append(
            f"Never put more than {figure(most * units.rate_scale)} {units.rate_words} on it in one visit. "
            f"The total is for the top {depth} of soil: never pass it."
        )
    return said


def _chosen(facts: ReaderFacts, units: ReaderUnits) -> list[str]:
    """A rate that was chosen stands beside the formula's."""
    if "gypsum" not in dict(facts.record.plan) or facts.hand is None:
        return []
    asked = units.rate(facts.hand.in_units["product"])
    return [f"This rate was chosen by hand. The formula asks for {asked}."]


def _bags(product: Product, rates: Mapping[str, float], reader: Reader, units: ReaderUnits) -> list[str]:
    """Bags where the product has them, and for a gardener in any case."""
    if product.bag is None and reader not in (Reader.GARDENER, Reader.TURF):
        return []
    bag, words = product.bag or units.bag, units.bag_words
    if product.bag is not None:
        words = f"{bag / KG_PER_LB:.3g} lb" if units.system == US else f"{bag:.3g} kg"
    per_m2 = rates["g_per_m2"] / 1000.0
    covers = bag / per_m2 / (FT2 if units.system == US else 1.0)
    count = per_m2 * units.bag_area / bag
    area = "ft²" if units.system == US else "m²"
    said = (
        f"One bag of {words} covers {figure(covers)} {area}, so {units.bag_area_words} takes {count:.2g} "
        "bags."
    )
    return [said if product.bag is not None else f"If you buy it in bags: {said[0].lower()}{said[1:]}"]


def _whole_ground(facts: ReaderFacts, rates: Mapping[str, float], units: ReaderUnits) -> list[str]:
    text = dict(facts.record.plan).get("area")
    if text is None:
        return []
    kilograms = rates["g_per_m2"] / 1000.0 * read(text, Kind.AREA, name="area")
    said = f"For your {text} that is {figure(kilograms / units.mass)} {units.mass_words} in all"
    if facts.product.bag is not None:
        said += f", or {math.ceil(facts.product.bags(kilograms) - 1e-9)} bags"
    return [f"{said}."]


def _price(product: Product, rates: Mapping[str, float], units: ReaderUnits) -> list[str]:
    if product.price_per_t is None:
        return []
    price = product.price(rates["g_per_m2"] / 1000.0 * units.price_area)
    money = product.currency or "of your money"
    return [
        f"At {product.price_per_t:g} {money} a tonne it costs {figure(price)} {money} for "
        f"{'one ' if units.price_words in ('acre', 'hectare') else ''}{units.price_words}, without the "
        "spreading."
    ]
