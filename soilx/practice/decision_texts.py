"""Texts of a decision read one by one: plain numbers, a target, amounts with their units."""

from collections.abc import Mapping
from typing import Final

from soilx.column.fields import Given, Typed, refuse_unknown, typed_text
from soilx.errors import refuse
from soilx.practice.dose.target import read_target
from soilx.units import Ground, Kind, read

_PLAIN_GROUND: Final = Ground(depth=150.0, bulk_density=1.4, drained_water=0.25)
"""Some ground or other: whether a text is a rate or a depth of water at all does not depend on it."""

AMOUNTS: Final[Mapping[str, Kind]] = {
    "pot": Kind.MASS,
    "cap": Kind.PRODUCT_RATE,
    "annual_limit": Kind.PRODUCT_RATE,
    "water": Kind.WATER,
    "leach": Kind.WATER,
    "gypsum": Kind.GYPSUM_RATE,
    "area": Kind.AREA,
}
"""What is typed with a unit, by its key."""


def ordered(given: Mapping[str, Given] | None, keys: tuple[str, ...], what: str) -> Typed:
    """Texts of the keys that were given, in the order of the keys; empty ones are left out.

    Parameters
    ----------
    given : mapping or None
    keys : tuple of str
    what : str
        What the keys belong to.

    Raises
    ------
    SoilxError
        If a key is unknown, or a value no text.
    """
    texts = {key: typed_text(text, name=key, plain=True) for key, text in (given or {}).items()}
    refuse_unknown(texts, keys, what=what)
    return tuple((key, texts[key]) for key in keys if texts.get(key))


def require_amounts(texts: Mapping[str, str]) -> None:
    """Raise where a text that wants a unit has none, or one of another kind."""
    for key, kind in AMOUNTS.items():
        if key in texts:
            read(texts[key], kind, name=key, ground=_PLAIN_GROUND)


def target_of(text: str) -> float:
    """A target from a plain number of per cent or from text with its unit [%]."""
    try:
        number = float(text)
    except ValueError:
        return read_target(text)
    return read_target(number)


def plain_number(text: str, name: str, *, low: float = 0.0, high: float = float("inf")) -> float:
    """A number without a unit, within its limits.

    Raises
    ------
    LimitError
        If it is none.
    """
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not low <= value <= high or value == float("inf"):
        refuse(
            name,
            text,
            "",
            wrong="is not such a number",
            limit=f"it is a plain number from {low:g}" + ("" if high == float("inf") else f" to {high:g}"),
            remedy="write the number alone",
        )
    return value
