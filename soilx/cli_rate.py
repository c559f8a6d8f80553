"""`soilx rate`: the hand formula's requirement in every unit of the trade, with its chain of multipliers."""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

import click

from soilx.column.files import read_waters
from soilx.practice.dose.product import PURE, Product
from soilx.practice.dose.product_label import DRY, WET
from soilx.practice.dose.rate_units import SHOWN
from soilx.practice.dose.requirement import Requirement, hand_requirement
from soilx.practice.dose.requirement_container import dose_for_container
from soilx.practice.dose.target import read_target
from soilx.practice.judgement.verdict import Decision, decide
from soilx.practice.soil_test.report import read_reports
from soilx.show.text import table

_SIDES: Final[Mapping[str, str]] = {
    "pure": "pure gypsum",
    "pure_with_factor": "pure, with factor",
    "product": "product",
}


@click.command("rate")
@click.argument("soils", metavar="SOILS.csv", type=click.Path(path_type=Path))
@click.option("--soil", "name", required=True, help="Name of the soil, as in the table.")
@click.option(
    "--target-esp", required=True, help="Exchangeable sodium percentage that is wanted: 5 or “5 %”."
)
@click.option("--depth", help="Depth that is treated, “15 cm”; the sampled one unless given.")
@click.option("--factor", type=float, default=1.0, help="For calcium that misses sodium; 1 unless given.")
@click.option("--purity", help="Gypsum per dried product, 0.88 or “88 %”.")
@click.option("--moisture", help="Water in the product, 0.06 or “6 %”.")
@click.option(
    "--moisture-basis",
    type=click.Choice((WET, DRY)),
    default=WET,
    help="Water per product as it comes, or per dried product; wet unless given.",
)
@click.option("--bag", help="Product in one bag, “50 lb”.")
@click.option("--pot", help="Oven-dry soil of a pot or bench container, “100 g”.")
@click.option("--waters", type=click.Path(path_type=Path), help="Table of waters, for the verdict.")
@click.option("--water", help="Name of the water that the ground is watered with, as in that table.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object for programs.")
def rate(
    soils: Path,
    name: str,
    target_esp: str,
    depth: str | None,
    factor: float,
    purity: str | None,
    moisture: str | None,
    moisture_basis: str,
    bag: str | None,
    pot: str | None,
    waters: Path | None,
    water: str | None,
    as_json: bool,
) -> int:
    """Print the gypsum that a soil asks for, and how it is reckoned."""
    report = read_reports(soils)[name]
    target = read_target(_number(target_esp))
    requirement = hand_requirement(
        report,
        target_esp=target,
        depth=depth,
        factor=factor,
        product=_product(purity, moisture, moisture_basis, bag),
    )
    if (waters is None) != (water is None):
        raise click.UsageError("--waters and --water belong together: a table of waters, and a name in it.")
    given = read_waters(waters)[water] if waters is not None and water is not None else None
    decision = decide(report, water=given, target_esp_pct=target)
    if as_json:
        value = as_plain(requirement, decision, pot=pot)
        click.echo(json.dumps(value, allow_nan=False, ensure_ascii=False, indent=2))
    else:
        click.echo(as_text(requirement, decision, pot=pot))
    return 0


def _number(text: str) -> float | str:
    """A bare number as one; anything else as it stands, for the reader of quantities."""
    try:
        return float(text)
    except ValueError:
        return text


def _product(purity: str | None, moisture: str | None, basis: str, bag: str | None) -> Product:
    if purity is None and moisture is None and bag is None:
        return PURE
    return Product.of(
        "the product",
        purity="1" if purity is None else purity,
        moisture="0" if moisture is None else moisture,
        moisture_basis=basis,
        bag=bag,
    )


def as_plain(requirement: Requirement, decision: Decision, *, pot: str | None) -> dict[str, Any]:
    """The requirement as plain values; keys name their units.

    Parameters
    ----------
    requirement : Requirement
    decision : Decision
        Of the same soil.
    pot : str or None
        Oven-dry soil of a container.
    """
    ground, product = requirement.ground, requirement.product
    plain: dict[str, Any] = {
        "soil": requirement.name,
        "target_esp_pct": requirement.target_esp_pct,
        "initial_esp_pct": requirement.sodium.esp_pct,
        "initial_esp_basis": requirement.sodium.basis,
        "depth_cm": (ground.depth or 0.0) / 10.0,
        "bulk_density_kg_per_l": ground.bulk_density,
        "factor": requirement.factor,
        "purity_pct": 100.0 * product.purity,
        "moisture_pct": 100.0 * product.moisture,
        "chain": [line.as_row() for line in requirement.chain],
        **requirement.in_units,
        "verdict": str(decision.verdict),
        "verdict_because": decision.because,
        "rate_allowed": decision.rate_allowed,
        "notes": list(requirement.notes),
        "cautions": list(requirement.cautions),
    }
    if pot is not None:
        dose = dose_for_container(requirement, soil_mass=pot)
        plain["pot"] = {
            "soil_g": 1000.0 * dose.soil_mass,
            "pure_g": dose.pure_g,
            "pure_with_factor_g": dose.pure_with_factor_g,
            "product_g": dose.product_g,
        }
    return plain


def as_text(requirement: Requirement, decision: Decision, *, pot: str | None) -> str:
    """The requirement as it is read on a screen; parameters as for `as_plain`."""
    sodium = requirement.sodium
    parts = [
        f"{requirement.name}: ESP {sodium.esp_pct:.4g} to {requirement.target_esp_pct:.4g} % "
        f"({sodium.basis})",
        f"Verdict: {decision.verdict}. {decision.because}",
        table(
            ("", "multiplier", "value", "unit", "gives", "in"),
            [
                (
                    line.operation,
                    line.name,
                    f"{line.value:.5g}",
                    line.unit,
                    f"{line.result:.4g}",
                    line.result_unit,
                )
                for line in requirement.chain
            ],
        ),
        _rates(requirement),
    ]
    if pot is not None:
        parts.append("\n".join(dose_for_container(requirement, soil_mass=pot).sentences))
    parts += ["\n".join(requirement.notes), "\n".join(requirement.cautions)]
    return "\n\n".join(parts)


def _rates(requirement: Requirement) -> str:
    units = requirement.in_units
    sides = [
        side
        for side in _SIDES
        if side == "pure"
        or (side == "pure_with_factor" and requirement.factor != 1.0)
        or (side == "product" and requirement.product != PURE)
    ]
    # The product has rows of its own, its bags.
    keys = [key for key in SHOWN if any(key in units[side] for side in sides)]
    return table(
        ("unit", *(_SIDES[side] for side in sides)),
        [
            (SHOWN[key], *(f"{units[side][key]:.4g}" if key in units[side] else "–" for side in sides))
            for key in keys
        ],
    )
