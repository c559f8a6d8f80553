"""Which amendment: how much of each equals the rate, which may be used here, and what its sodium costs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from soilx.errors import SoilxError, refuse
from soilx.practice.dose.amendments import Choice, Handling, amendment_choices
from soilx.practice.dose.product import Product
from soilx.show.field_answer import Answer
from soilx.show.field_choices import demo_products
from soilx.show.field_form import Box, Form, Group
from soilx.show.field_rate_words import amount, not_now
from soilx.show.word_sheet import Sheet, folded, grid, line, points
from soilx.wording import CAUTION_RATE

HANDLING = {
    Handling.ANYONE.value: "anyone",
    Handling.TRAINED.value: "people trained for it",
    Handling.LICENSED.value: "trained and licensed people",
}
"""Who spreads it, as it is picked."""

MONEY = "money"


def price_groups() -> list[Group]:
    """Boxes for what a tonne of each product costs."""
    boxes = tuple(
        Box(key=name, label=f"{name}, a tonne", hint="a plain number; empty if not offered")
        for name in demo_products()
    )
    money = Box(key=MONEY, label="Your money", hint="your own word for it")
    return [Group(title="Your prices, a tonne as it comes", boxes=(*boxes, money))]


def price_texts() -> dict[str, str]:
    """What stands in those boxes at the start; invented."""
    products = demo_products()
    prices = {
        name: f"{product.price_per_t:g}"
        for name, product in products.items()
        if product.price_per_t is not None
    }
    return prices | {MONEY: next(iter(products.values())).currency}


def priced(texts: Mapping[str, str], form: object, *, own: Product) -> list[Product]:
    """Products with the prices typed; a price that is none is said beside its box and left out.

    Parameters
    ----------
    texts : mapping of str to str
        By name of the product.
    form : object
        `Form.shown`.
    own : Product
        The gypsum that is spread; takes the place of one of the same name.
    """
    refusals, found = {}, []
    money = texts.get(MONEY, "")
    for name, product in demo_products().items():
        known = own if own.name == name else product
        try:
            price = _price(name, texts[name]) if name in texts else None
            found.append(replace(known, price_per_t=price, currency=money))
        except SoilxError as refused:
            refusals[name] = str(refused)
            found.append(replace(known, price_per_t=None, currency=money))
    control = getattr(form, "control", None)
    if isinstance(control, Form):
        control.refuse(refusals)
    return found if own.name in demo_products() else [own, *found]


def show_amendments(sheet: Sheet, answer: Answer, products: Iterable[Product], *, handling: str) -> None:
    """Put on a sheet every amendment that equals the rate; what may not be used is greyed, with the reason.

    Parameters
    ----------
    sheet : Sheet
    answer : Answer
    products : iterable of Product
        With the user's own prices.
    handling : str
        Key of `HANDLING`.
    """
    if answer.hand is None:
        sheet.put(line(f"No amendment can be compared. {answer.why['hand']}"))
        return
    if answer.hand.gypsum == 0:
        sheet.put(line("There is no sodium above the target, so there is nothing to amend."))
        return
    choices = amendment_choices(answer.hand, products=products, handling=handling)
    money = next((choice.product.currency for choice in choices if choice.product is not None), "")
    # Where nothing is to be spread, no rate is shown in a product to spread.
    columns = [column for column in _columns(money) if answer.rate_allowed or not column.per_area]
    cautions = [
        f"{choice.amendment.name}: {' '.join(choice.cautions)}" for choice in choices if choice.cautions
    ]
    sheet.put(
        *not_now(answer),
        grid(
            [column.title for column in columns],
            [[column.cell(choice) for column in columns] for choice in choices],
            caption="Equal by charge to the formula's rate with its factor; the cheapest sodium first",
            dim=[number for number, choice in enumerate(choices) if not choice.eligible],
        ),
        line(CAUTION_RATE, "caution"),
        folded("What goes with each of them", points(dict.fromkeys(cautions))),
    )


@dataclass(frozen=True, slots=True)
class _Column:
    """One column of the table, and whether it is a rate per area."""

    title: str
    cell: Callable[[Choice], str]
    per_area: bool = False


def _columns(money: str) -> list[_Column]:
    return [
        _Column("Amendment", lambda choice: choice.amendment.name),
        _Column(
            "May it be used here?",
            lambda choice: "yes" if choice.eligible else f"no: {' '.join(choice.reasons)}",
        ),
        _Column("Mass for 1 of gypsum", lambda choice: f"{choice.per_gypsum:.3g}"),
        _Column("Pure, t/ha", lambda choice: amount(choice.rate_t_per_ha), per_area=True),
        _Column("Product", lambda choice: "–" if choice.product is None else choice.product.name),
        _Column("Product, t/ha", lambda choice: _known(choice.product_t_per_ha), per_area=True),
        _Column(
            f"Price a hectare, {money}".rstrip(", "),
            lambda choice: _known(choice.price_per_ha),
            per_area=True,
        ),
        _Column(
            f"Price per kg of sodium, {money}".rstrip(", "),
            lambda choice: _known(choice.price_per_kg_sodium),
        ),
    ]


def _known(value: float | None) -> str:
    return "–" if value is None else amount(value)


def _price(name: str, text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not 0 < value < float("inf"):
        refuse(
            name,
            text,
            "",
            wrong="is not a price",
            limit="a plain number above 0, for a tonne as it comes",
            remedy="write the number alone, or leave it empty",
        )
    return value
