"""Cards of a bench plan: every bench number with its field equivalent, labels, and what to buy."""

from typing import Final

from soilx.bench.plan import Plan
from soilx.bench.scale_card import CardRow, dose_to_field, rates_in_words, water_to_field
from soilx.units import GYPSUM_MOLAR_MASS

SPARE: Final = 1.1
"""Water and salt made for what is spilt; common practice, no source."""

PAPERS_PER_COLUMN: Final = 2


def field_card(plan: Plan) -> tuple[CardRow, ...]:
    """Every number of a plan beside its field equivalent, by soil mass.

    Parameters
    ----------
    plan : Plan
    """
    scale, gypsum = plan.scale, plan.gypsum
    rows = [
        CardRow(
            name="soil",
            bench=f"{1000 * scale.soil_mass:g} g oven-dry",
            field=f"{scale.field_share_cm2:.1f} cm² of field, {(scale.ground.depth or 0.0) / 10:g} cm deep",
        ),
        dose_to_field(scale, plan.product_g),
        CardRow(
            name="pure gypsum in it",
            bench=f"{gypsum * GYPSUM_MOLAR_MASS / 1000 * scale.soil_mass:.3f} g",
            field=rates_in_words(scale, gypsum),
        ),
        CardRow(
            name="dose by area (the mistake)",
            bench=f"{scale.product_by_area_g(gypsum):.2f} g",
            field=rates_in_words(scale, scale.gypsum_of(scale.product_by_area_g(gypsum)))
            + f": {scale.area_factor:.1f} times the rate",
        ),
        water_to_field(scale, plan.prewet_ml, name="pre-wetting"),
        water_to_field(scale, plan.portion_ml, name="one portion"),
        water_to_field(scale, plan.portion_ml * plan.portions, name=f"all {plan.portions} portions"),
        water_to_field(scale, plan.pore_volume_ml, name="one pore volume"),
    ]
    rows += [
        CardRow(
            name=f"{arm.name} water",
            bench=f"{arm.salt_g_per_l:.2f} g/L of {arm.salt}",
            field=f"irrigation water of {arm.water.electrical_conductivity:.1f} dS/m",
        )
        for arm in plan.arms
        if arm.salt
    ]
    return tuple(rows)


def labels(plan: Plan) -> tuple[str, ...]:
    """One label for each column, to be cut out.

    Parameters
    ----------
    plan : Plan
    """
    found = []
    for arm in plan.arms:
        for number in range(1, plan.replicates + 1):
            soil = "sand, no soil" if arm.scenario is None else f"{plan.soil.name}, {_mass(plan)}"
            dose = f", {plan.product_g:.2f} g of {plan.scale.product.name}" if arm.gypsum else ""
            found.append(f"{arm.name} · {number} · {soil}{dose} · {arm.water.name} · not drinking water")
    return tuple(found)


def shopping_list(plan: Plan) -> tuple[CardRow, ...]:
    """What is bought or borrowed, and how much of it.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    tuple of CardRow
        `bench` holds the amount, `field` what it is for.
    """
    columns = len(plan.arms) * plan.replicates
    soil = sum(1 for arm in plan.arms if arm.scenario is not None) * plan.replicates
    dosed = sum(1 for arm in plan.arms if arm.gypsum) * plan.replicates
    each = (plan.prewet_ml + plan.portion_ml * plan.portions) / 1000.0
    own = sum(1 for arm in plan.arms if plan.irrigation is not None and arm.water == plan.irrigation)
    rows = [
        ("containers with a hole", f"{columns}, {plan.scale.opening / 10:g} cm wide", "one a column"),
        ("filter papers", f"{PAPERS_PER_COLUMN * columns}", "under and over the soil"),
        ("cups with a mark", f"{columns * plan.portions}", "one a portion"),
        ("soil, oven-dry and sieved to 2 mm", f"{soil * plan.scale.soil_mass * SPARE:.2f} kg", "all columns"),
        (plan.scale.product.name, f"{dosed * plan.product_g * SPARE:.1f} g", "the gypsum columns"),
        (
            "deionised water",
            f"{(len(plan.arms) - own) * plan.replicates * each * SPARE:.1f} L",
            "all but the irrigation water's columns; rinsing comes on top",
        ),
    ]
    if own and plan.irrigation is not None:
        amount = own * plan.replicates * each * SPARE
        rows.append((plan.irrigation.name, f"{amount:.1f} L", "the irrigation water's columns"))
    for arm in plan.arms:
        if arm.salt:
            litres = plan.replicates * each * SPARE
            rows.append((arm.salt, f"{litres * arm.salt_g_per_l:.1f} g", f"{litres:.1f} L for {arm.name}"))
    rows += [
        ("balance", f"to {plan.resolution_g:g} g", "doses, and portions: 1 g is 1 mL"),
        ("conductivity pen with a thermometer", "1", "every portion"),
        ("sodium probe or strips, and standards", "1", "every portion, settled or filtered"),
        ("goggles, gloves and a dust mask", "one each", "everyone at the bench"),
    ]
    return tuple(CardRow(name=name, bench=amount, field=use) for name, amount, use in rows)


def _mass(plan: Plan) -> str:
    return f"{1000 * plan.scale.soil_mass:g} g"
