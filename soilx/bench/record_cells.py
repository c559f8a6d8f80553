"""One cell of a bench record: its number, a limit such as "> 1000", or what is wrong with it."""

import re
from dataclasses import dataclass
from typing import Final

from soilx.bench.record import ABOVE_RANGE, BELOW_RANGE, FLAGS, QUANTITIES
from soilx.column.fields import Field, close_to, listed
from soilx.errors import SoilxError, quoted
from soilx.units import Kind, express, read

_NUMBER: Final = re.compile(r"[+\-−]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,3})?")
_COMMA: Final = re.compile(r"[+\-−]?\d*,\d+")
_LIMIT: Final = re.compile(r"([<>≤≥])\s*(.+)")
_WITH_UNIT: Final = re.compile(r"([+\-−]?[\d.,]+(?:[eE][+-]?\d{1,3})?)\s*([^\d\s.,].*)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """What one cell says.

    Attributes
    ----------
    value : float or None
        In the unit of its column; None where it cannot be used.
    side : str
        "above range" or "below range" where the value is only a limit, else empty.
    wrong, limit, remedy : str
        Where it cannot be used.
    note : str
        Where it was read, but not as a plain number.
    """

    value: float | None = None
    side: str = ""
    wrong: str = ""
    limit: str = ""
    remedy: str = ""
    note: str = ""


def read_cell(field: Field, text: str, *, decimal_commas: bool = False) -> Cell:
    """Number of one cell, or what is wrong with it.

    Parameters
    ----------
    field : Field
        The column.
    text : str
        As typed, without blanks around it.
    decimal_commas : bool
        Whether the file was written where a comma is the decimal sign.

    Returns
    -------
    Cell
        In the column's unit. A unit typed into the cell is converted where it is of the column's kind.
    """
    limit = _LIMIT.fullmatch(text)
    # One sign alone: a row of them would be read one inside the other.
    if limit and not _LIMIT.fullmatch(limit[2]):
        cell = read_cell(field, limit[2].strip(), decimal_commas=decimal_commas)
        side = BELOW_RANGE if limit[1] in "<≤" else ABOVE_RANGE
        return cell if cell.wrong else Cell(value=cell.value, side=side, note=cell.note)
    unit = field.unit or "no unit"
    number = text.replace("−", "-")
    if decimal_commas and _COMMA.fullmatch(number):
        number = number.replace(",", ".")
    if _NUMBER.fullmatch(number):
        return _in_range(field, float(number))
    if _COMMA.fullmatch(number):
        return Cell(
            wrong="has a decimal comma",
            limit=f"the limit is a plain number in {unit} with a decimal point",
            remedy=f"write {text.replace(',', '.')}",
        )
    with_unit = _WITH_UNIT.fullmatch(number)
    if with_unit and field.unit and field.kind is not None:
        return _converted(field, with_unit[1], with_unit[2], field.kind, decimal_commas=decimal_commas)
    return Cell(
        wrong="is not a number",
        limit=f"{field.title} is a plain number in {unit}",
        remedy="write the number alone and the words in the note, or leave the cell empty",
    )


def _converted(field: Field, number: str, unit: str, kind: Kind, *, decimal_commas: bool) -> Cell:
    figure = number.replace(",", ".") if decimal_commas or _COMMA.fullmatch(number) else number
    try:
        internal = read(f"{figure} {unit}", kind, name=field.column, ion=field.ion)
        value = express(internal, kind, field.unit, ion=field.ion)
    except SoilxError:
        return Cell(
            wrong=f"has the wrong unit ({quoted(unit)})",
            limit=f"{field.title} is read in {field.unit}",
            remedy=f"convert it to {field.unit} and write the number alone",
        )
    cell = _in_range(field, value)
    if cell.wrong:
        return cell
    return Cell(value=value, note=f"{number} {unit} was read as {value:.6g} {field.unit}")


def _in_range(field: Field, value: float) -> Cell:
    low, high = field.low, field.high
    if low is None or high is None or low <= value <= high:
        return Cell(value=value)
    wrong = "is negative" if value < 0 else "is outside what can be"
    limit = f"{field.title} is {low:g} to {high:g} {field.unit}".rstrip()
    remedy = "look at the notes of the day and write what was read, or leave the cell empty"
    if field.kind is Kind.CONDUCTIVITY and value > high:
        wrong = "has the wrong unit, by its size"
        remedy = f"{value:g} µS/cm would be {value / 1000:g} dS/m: write that if the pen showed µS/cm"
    return Cell(wrong=wrong, limit=limit, remedy=remedy)


def read_flags(text: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Flags of a cell, and what in it is not a flag.

    Parameters
    ----------
    text : str
        With semicolons between them. "above range" alone is taken of every reading.
    """
    known: list[str] = []
    unknown: list[str] = []
    for part in text.split(";"):
        flag = " ".join(part.lower().split())
        if flag in (BELOW_RANGE, ABOVE_RANGE):
            known += [f"{quantity} {flag}" for quantity in QUANTITIES]
        elif flag in FLAGS:
            known.append(flag)
        elif flag:
            unknown.append(part.strip())
    return tuple(dict.fromkeys(known)), tuple(unknown)


def unknown_flag(flag: str) -> Cell:
    """What is wrong with a flag that is none."""
    return Cell(
        wrong="is not a flag",
        limit=f"the flags are {listed(FLAGS)}",
        remedy=f"write one of them, or put it in the note{close_to(flag, FLAGS)}",
    )
