"""What a student typed, read: a number in the unit that is asked for, or one calm sentence."""

from __future__ import annotations

import re
from typing import Final

from soilx.errors import SoilxError, UnitKindError, quoted, refuse
from soilx.teaching.problem import Asked
from soilx.units import Kind, express, read

LONGEST_REPLY: Final = 200
_NAME: Final = "answer"
_AMOUNTS: Final = {
    Kind.GYPSUM_RATE: (Kind.MASS, "is a mass, not a rate"),
    Kind.PRODUCT_RATE: (Kind.MASS, "is a mass, not a rate"),
    Kind.SOIL_CONTENT: (Kind.MASS, "is a mass, not a mass per soil"),
    Kind.WATER: (Kind.VOLUME, "is a volume, not an amount of water per soil"),
}
_BARE_NUMBER: Final = re.compile(r"\s*[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,4})?\s*", re.ASCII)


def readings(asked: Asked, reply: str) -> tuple[float, ...]:
    """What a reply can mean, in the unit that is asked for.

    Parameters
    ----------
    asked : Asked
        A number.
    reply : str
        A number and its unit; a percentage, a ratio or a count may come without one.

    Returns
    -------
    tuple of float
        One value; two for a bare number from 0 to 1 that can be a percentage or a fraction.

    Raises
    ------
    SoilxError
        If it is not one number of the kind that is asked for.
    """
    kind = asked.kind or Kind.RATIO
    _refuse_amounts(asked, reply)

    def value(text: str) -> float:
        internal = read(text, kind, name=_NAME, ion=asked.ion, ground=asked.ground)
        return express(internal, kind, asked.unit, ion=asked.ion, ground=asked.ground)

    if kind is Kind.FRACTION and len(reply) <= LONGEST_REPLY and _BARE_NUMBER.fullmatch(reply):
        # An ESP is commonly told as a bare number of percent.
        percent = value(f"{reply.strip()} %")
        return (percent, 100.0 * percent) if 0.0 <= percent <= 1.0 else (percent,)
    return (value(reply),)


def _refuse_amounts(asked: Asked, reply: str) -> None:
    """Raise where a mass or a volume stands for a rate: it would ask for the soil that it belongs to."""
    other, words = _AMOUNTS.get(asked.kind or Kind.RATIO, (None, ""))
    if other is None or (asked.ground is not None and asked.ground.soil_mass is not None):
        return
    try:
        read(reply, other, name=_NAME)
    except SoilxError:
        return
    refuse(
        _NAME, reply, "", wrong=words, limit="", remedy=f'write it like "{(asked.kind or other).example}"',
        error=UnitKindError,
    )  # fmt: skip


def near(value: float, wanted: object, tolerance: float) -> bool:
    """Whether a value is a wanted one within a relative tolerance; a word is near to no value."""
    if not isinstance(wanted, float):
        return False
    return abs(value - wanted) <= tolerance * abs(wanted) + 1e-9 * max(1.0, abs(wanted))


def repeats(asked: Asked, reply: str) -> bool:
    """Whether a reply is the mass per soil that the question states already."""
    if asked.given is None:
        return False
    try:
        mass = 1000.0 * read(reply, Kind.PRODUCT_RATE, name=_NAME)
    except SoilxError:
        return False
    return near(mass, asked.given, asked.tolerance)


def calm(refusal: SoilxError, reply: str) -> str:
    """A refusal as one sentence that does not repeat what was typed."""
    said = str(refusal).removeprefix(f"{_NAME} = {quoted(reply)}").lstrip(": ")
    if said == str(refusal):
        said = 'is not one number with its unit; write it like "4.35 t/ha" or "24 cmol_c/kg".'
    verb = re.match(r"(is|has|says|does|divides|needs|cannot|lies)\b", said)
    return f"That {said}" if verb else said[:1].upper() + said[1:]
