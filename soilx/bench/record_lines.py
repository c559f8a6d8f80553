"""The lines above a bench record's table: soil, dose, water and instruments, each with its error."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Final

from soilx.bench.measured import Instrument, Measured
from soilx.bench.record import QUANTITIES
from soilx.bench.record_columns import (
    FIRST_LINE,
    KIT_ERRORS,
    LABORATORY_ERRORS,
    LINE,
    VOLUME_ERRORS_ML,
)
from soilx.bench.record_problem import Problem
from soilx.column.fields import Field, close_to, listed
from soilx.errors import SoilxError, quoted
from soilx.units import Kind, express, read

_HEADER: Final = "key"
_COUNT: Final = re.compile(r"[0-9]{1,4}")
_PER_CENT_KINDS: Final = (Kind.FRACTION, Kind.WATER_CONTENT)


@dataclass(slots=True, kw_only=True)
class Lines:
    """What the lines of one record say, while it is read."""

    file: str
    words: dict[str, str] = field(default_factory=dict)
    values: dict[tuple[str, str, int], Measured] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def read_lines(
    file: str, lines: Iterable[tuple[int, tuple[str, ...]]], *, decimal_commas: bool = False
) -> Lines:
    """What is known of soil, dose, water and instruments.

    Parameters
    ----------
    file : str
        Name of the file, for problems.
    lines : iterable of (int, tuple of str)
        Row number and cells `# key`, value, error, arm, replicate, note; cells at the end may be missing.
    decimal_commas : bool
        Whether the file was written where a comma is the decimal sign.
    """
    found = Lines(file=file)
    for row, cells in lines:
        key, value, error, arm, replicate, *_ = (*(cell.strip() for cell in cells), "", "", "", "", "")
        key = "_".join(key.lstrip("#").lower().split())
        if decimal_commas and key in LINE and LINE[key].is_number:
            value, error = (text.replace(",", ".") for text in (value, error))
        # a line without a value is a remark
        if key == _HEADER or not value or key == "_".join(FIRST_LINE.lstrip("# ").split()):
            continue
        problem = _one_line(found, key, value, error, " ".join(arm.lower().split()), replicate)
        if problem:
            wrong, limit, remedy = problem
            found.problems.append(
                Problem(file=file, row=row, column=key, text=value, wrong=wrong, limit=limit, remedy=remedy)
            )
    return found


def _one_line(
    found: Lines, key: str, value: str, error: str, arm: str, replicate: str
) -> tuple[str, str, str] | None:
    """Take one line in, or say what is wrong with it."""
    if key not in LINE:
        near = close_to(key, LINE)
        # what resembles nothing is a remark with a comma in it
        return ("is not a line known here", "it is kept and not used", f"rename it{near}") if near else None
    field_ = LINE[key]
    if replicate and not _COUNT.fullmatch(replicate):
        return (
            f"has no number as its replicate ({quoted(replicate)})",
            "replicates count from 1",
            "write a number or leave it empty",
        )
    which = (key, arm, int(replicate or 0))
    if key in found.words or which in found.values:
        return "stands twice", "the first is used and this one kept", "delete one of the two"
    if field_.kind is None:
        if field_.words and value.lower() not in field_.words:
            return (
                "is not a word known here",
                f"{field_.title}: {listed(field_.words)}",
                f"write one of them{close_to(value, field_.words)}",
            )
        found.words[key] = value.lower() if field_.words else value
        return None
    try:
        number = read(value, field_.kind, name=key, ion=field_.ion)
        spread = _error(field_, field_.kind, number, value, error)
        shown = express(number, field_.kind, field_.unit, ion=field_.ion)
    except SoilxError as refused:
        return (
            "cannot be read: " + str(refused).rstrip(".").partition(": ")[2].partition(";")[0],
            f"it is {field_.title}" + (f" in a unit such as {field_.unit}" if field_.unit else ""),
            f'write it like "# {key},{_example(field_)}"',
        )
    if not (field_.low or 0.0) <= shown <= (field_.high or shown) * (1 + 1e-12):
        return (
            "is negative" if shown < 0 else "is outside what can be",
            f"{field_.title} is {field_.low:g} to {field_.high:g} {field_.unit}".rstrip(),
            "look at the notes of the day; the line is kept",
        )
    found.values[which] = Measured(
        value=number, error=spread, text=f"{value} ± {error}" if error else value, stated=bool(error)
    )
    return None


def _error(field_: Field, kind: Kind, number: float, value: str, error: str) -> float:
    """Standard error in the internal unit; in % of the value, unless the value itself is in %."""
    if not error:
        return 0.0
    text = error.lstrip("±+- ").strip()
    if text.endswith("%") and not (value.endswith("%") and kind in _PER_CENT_KINDS):
        return abs(number) * read(text, Kind.FRACTION, name=f"error of {field_.key}")
    return abs(read(text, kind, name=f"error of {field_.key}", ion=field_.ion))


def _example(field_: Field) -> str:
    low = field_.low or 0.0
    return f"{(low + (field_.high or low)) / 2:.3g} {field_.unit}".rstrip()


def instruments_of(lines: Lines) -> Mapping[str, Instrument]:
    """Errors of every instrument; what was not typed is taken from common practice and noted."""
    usual = LABORATORY_ERRORS if lines.words.get("measured_with") == "laboratory" else KIT_ERRORS
    found = {}
    for quantity in QUANTITIES:
        reading, calibration = (
            lines.values.get((f"{quantity}_{part}_error", "", 0)) for part in ("reading", "calibration")
        )
        low, high = (lines.values.get((f"{quantity}_{end}", "", 0)) for end in ("lowest", "highest"))
        found[quantity] = Instrument(
            quantity=quantity,
            reading_error=usual[quantity][0] if reading is None else reading.value,
            calibration_error=usual[quantity][1] if calibration is None else calibration.value,
            lowest=None if low is None else _in_mg_per_l(quantity, low.value),
            highest=None if high is None else _in_mg_per_l(quantity, high.value),
            typed=reading is not None and calibration is not None,
        )
    return found


def _in_mg_per_l(quantity: str, value: float) -> float:
    line = LINE[f"{quantity}_highest"]
    return express(value, Kind.MASS_CONCENTRATION, "mg/L", ion=line.ion)


def volume_error_of(lines: Lines) -> float:
    """Standard error of each volume [mL]; by how they were taken where it was not typed."""
    typed = lines.values.get(("volume_error", "", 0))
    if typed is not None:
        return express(typed.value, Kind.VOLUME, "mL")
    how = lines.words.get("volumes_by", "cylinder")
    if how == "eye":
        lines.notes.append(
            "volumes were judged by eye: each is taken as ± 5 mL; weigh the cups instead, 1 g is 1 mL "
            "(common practice)"
        )
    return VOLUME_ERRORS_ML[how]
