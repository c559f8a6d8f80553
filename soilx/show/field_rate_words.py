"""How much gypsum, in words: formula and column side by side, why they differ, every unit, how much water."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from soilx.errors import SoilxError
from soilx.practice.dose.product import PURE, Product
from soilx.practice.dose.rate_units import SHOWN, product_rate_in_units, pure_rate_in_units
from soilx.practice.dose.requirement_container import dose_for_container
from soilx.practice.soil_test.report import Report
from soilx.show.field_answer import PORE_VOLUMES, Answer, in_product
from soilx.show.field_further_words import brine_block, layers_blocks
from soilx.show.word_sheet import Block, Sheet, folded, grid, line, points
from soilx.wording import CAUTION_RATE, DRAINAGE_FIRST

_TIMES: Final = {"": "", "×": "×", "÷": "÷"}


def amount(value: float) -> str:
    """A number with three figures, never as a power of ten.

    Parameters
    ----------
    value : float
    """
    return f"{value:.0f}" if abs(value) >= 1000 else f"{value:.3g}"


def why_no_rate(answer: Answer) -> str:
    """Why no rate is shown as something to spread; empty where one is.

    Parameters
    ----------
    answer : Answer
    """
    decision = answer.decision
    if answer.rate_allowed:
        return ""
    said = f"No rate to spread: {decision.verdict}."
    if answer.rate_later:
        return f"{said} {DRAINAGE_FIRST} The arithmetic below is for when water can leave."
    if decision.missing:
        return f"{said} Wanted first: {'; '.join(decision.missing)}."
    return f"{said} The arithmetic below is for learning, not for spreading."


def not_now(answer: Answer) -> list[Block]:
    """One short line where nothing of this is to be done now; nothing where it may be.

    Parameters
    ----------
    answer : Answer
    """
    return [] if answer.rate_allowed else [line(f"Not to be done now: {answer.decision.verdict}.", "stop")]


def show_rate(
    sheet: Sheet, answer: Answer, product: Product, *, table: Mapping[str, Report] = MappingProxyType({})
) -> None:
    """Put on a sheet how much gypsum, by the formula and by the column.

    Parameters
    ----------
    sheet : Sheet
    answer : Answer
    product : Product
        What is spread.
    table : mapping of str to Report
        What was loaded, in which other samples of the same profile may be.
    """
    blocked = why_no_rate(answer)
    hand = in_product(answer, product)
    if hand is None:
        sheet.put(
            *((line(blocked, "stop"),) if blocked else ()),
            line(f"No rate can be reckoned. {answer.why['hand']}"),
        )
        return
    head = (
        [line(blocked, "stop")]
        if blocked
        else [
            line(
                f"By the formula: {amount(hand.in_units['pure']['t_per_ha'])} t/ha of pure gypsum"
                + (
                    f", × {hand.factor:g} and as {product.name} "
                    if product != PURE
                    else f", × {hand.factor:g}: "
                )
                + f"{amount(hand.in_units['product']['t_per_ha'])} t/ha "
                f"({amount(hand.in_units['product']['lb_per_1000_ft2'])} lb/1000 ft²).",
                "strong",
            )
        ]
    )
    chain = grid(
        ("", "Multiplier", "Number", "Unit", "Makes", "In", "Why"),
        [
            (
                _TIMES.get(each.operation, each.operation),
                each.name,
                f"{each.value:.5g}",
                each.unit,
                f"{each.result:.4g}",
                each.result_unit,
                each.why,
            )
            for each in hand.chain
        ],
        caption="The hand formula, each multiplier once",
    )
    sheet.put(
        *head,
        line(CAUTION_RATE, "caution"),
        *_column(answer),
        *_differences(answer),
        folded("The hand formula, line by line", chain, points(hand.notes)),
        *((_units(answer, product),) if not blocked else ()),
        *layers_blocks(table, answer),
        brine_block(answer),
    )


def _column(answer: Answer) -> list[Block]:
    column, aim = answer.column, answer.aim
    water = "" if answer.water is None else f"{PORE_VOLUMES:g} pore volumes of {answer.water.name}"
    if column is None:
        return [line(f"The column gives no rate. {answer.why.get('column', '')}")]
    if column.gypsum == 0:
        return [line(f"The column needs no gypsum for ESP {aim.target_esp_pct:.3g} with {water}.")]
    efficiency = column.exchange_efficiency
    spent = (
        ""
        if efficiency is None
        else f" Of the calcium that dissolved, {100 * efficiency:.0f} % took sodium's places; the "
        "rest took others' or "
        "left with the water."
    )
    pure = column.in_units["pure"]["t_per_ha"]
    most = (
        ""
        if answer.surface is None or pure <= answer.surface.gypsum_t_per_ha[-1]
        else (" That is more than anybody spreads: with this water the target is out of reach in practice.")
    )
    return [
        line(
            f"By the column, with {water} ({column.water_mm:.0f} mm): {amount(pure)} t/ha of pure "
            "gypsum for ESP "
            f"{column.reached_esp_pct:.3g}. The same water alone ends at {column.untreated_esp_pct:.3g}."
            f"{spent}{most}"
        )
    ]


def _differences(answer: Answer) -> list[Block]:
    found = answer.comparison
    if found is None:
        return []
    account = found.records()
    rows = [
        (
            str(row["name"]).capitalize(),
            amount(float(row["t_per_ha"])) if row in (account[0], account[-1]) else _signed(row["t_per_ha"]),
            str(row["why"]),
        )
        for row in account
    ]
    ended = [said for said in found.sentences if said.startswith(("With the hand", "The water itself"))]
    return [
        points(ended),
        folded(
            "Why the formula and the column differ",
            grid(("", "t/ha, pure", "Why"), rows, caption="From the formula's gypsum to the column's"),
            line(
                "Nothing is tuned to make the two agree. The column's answer has its losses in it: "
                "no factor belongs to it.",
                "note",
            ),
        ),
    ]


def _units(answer: Answer, product: Product) -> Block:
    hand, column = in_product(answer, product), answer.column
    sides: dict[str, Mapping[str, float]] = {}
    if hand is not None:
        sides["Formula, pure"] = hand.in_units["pure"]
        sides[f"Formula × {hand.factor:g}, as {product.name}"] = hand.in_units["product"]
    if column is not None and column.gypsum > 0:
        bought = column.with_product(product).in_units
        sides["Column, pure"] = bought["pure"]
        sides[f"Column, as {product.name}"] = bought["product"]
    return folded(
        "In every unit of the trade, bags, and for a pot",
        grid(("Unit", *sides), _rows(sides), caption="The same rates in every unit"),
        *_pot(answer, product),
    )


def _rows(sides: Mapping[str, Mapping[str, float]]) -> list[tuple[str, ...]]:
    keys = [key for key in SHOWN if any(key in side for side in sides.values())]
    return [
        (
            SHOWN[key].replace("ft^2", "ft²").replace("m^2", "m²").replace("short_ton", "short ton"),
            *(amount(side[key]) if key in side else "–" for side in sides.values()),
        )
        for key in keys
    ]


def _pot(answer: Answer, product: Product) -> list[Block]:
    hand = in_product(answer, product)
    if hand is None or answer.aim.pot is None:
        return []
    try:
        dose = dose_for_container(hand, soil_mass=answer.aim.pot)
    except SoilxError as refused:
        return [line(str(refused))]
    return [
        line(
            f"A pot with {1000 * dose.soil_mass:.4g} g of oven-dry soil: {dose.product_g:.3g} g of "
            f"{dose.product} "
            f"({dose.pure_with_factor_g:.3g} g of pure gypsum). By mass of soil, never by the pot's opening."
        )
    ]


def chosen_units(answer: Answer, t_per_ha: float, product: Product) -> Block:
    """A chosen rate in every unit of the trade.

    Parameters
    ----------
    answer : Answer
        With a soil.
    t_per_ha : float
        Pure gypsum.
    product : Product
    """
    if answer.soil is None:
        return line(answer.why.get("soil", ""))
    ground = answer.soil.ground
    gypsum = t_per_ha / pure_rate_in_units(1.0, ground=ground)["t_per_ha"]
    sides = {
        "Pure": pure_rate_in_units(gypsum, ground=ground),
        f"As {product.name}": product_rate_in_units(gypsum, product=product, ground=ground),
    }
    return grid(("Unit", *sides), _rows(sides), caption="The rate chosen on the sliders")


def _signed(value: str | float) -> str:
    """A line of an account, with its sign; what is less than a kilogram a hectare is nothing."""
    number = float(value)
    return "0" if abs(number) < 1e-3 else f"{number:+.3g}"
