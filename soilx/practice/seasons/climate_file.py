"""Climates from a table of months."""

import csv
import io
import re
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Final

from soilx.column.fields import close_to, listed
from soilx.errors import FileError, SoilxError
from soilx.practice.seasons.climate import MONTHS, Climate

COLUMNS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "name": "name of the climate",
        "month": "1 to 12",
        "rain_mm": "rain in mm a month",
        "reference_evapotranspiration_mm": "reference evapotranspiration in mm a month",
        "rains": "wettings that the month's rain comes in",
    }
)
_NUMBER: Final = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)")
LARGEST_FILE: Final = 1_000_000
"""A larger file is not a table of months [bytes]."""


class Climates(dict[str, Climate]):
    """Climates by name; a name that is not there is refused with the names that are."""

    def __init__(self, file: str) -> None:
        super().__init__()
        self.file = file

    def __missing__(self, name: str) -> Climate:
        raise FileError(
            f"{self.file}, climate {name}: is not there; the climates are {listed(self)}; write one of these "
            f"names{close_to(name, self)}."
        )


def read_climates(path: str | Path) -> Climates:
    """Climates of a CSV file, by name.

    Parameters
    ----------
    path : str or Path
        UTF-8, comma-separated, decimal points, one row a month, twelve a climate; the columns are those of
        data_demo/climate.csv.

    Raises
    ------
    FileError
        It names file, row, column, value, limit and remedy. Rows count from 1 with the header.
    """
    file = Path(path)
    rows = _rows(file)
    months: dict[str, dict[int, tuple[float, float, int]]] = {}
    for number, row in rows:
        where = f"{file.name}, row {number}"
        name = row["name"]
        if not name:
            raise FileError(f"{where}, column name: is empty; a climate is called by its name; give one.")
        month = _number(row, "month", where)
        if month not in range(1, 13):
            raise FileError(
                f"{where}, column month = {row['month']}: is not a month; a year has months 1 to 12; write "
                "its number."
            )
        year = months.setdefault(name, {})
        if int(month) in year:
            raise FileError(
                f"{where}, column month = {row['month']}: stands twice for climate {name}; a month has one "
                "row; delete one."
            )
        rains = _number(row, "rains", where)
        if rains != int(rains):
            raise FileError(
                f"{where}, column rains = {row['rains']}: is not a whole number; rain comes in whole "
                "wettings; round it."
            )
        year[int(month)] = (
            _number(row, "rain_mm", where),
            _number(row, "reference_evapotranspiration_mm", where),
            int(rains),
        )
    if not months:
        raise FileError(f"{file.name}, row 2: there is no climate in the file; a climate is 12 rows; add it.")
    found = Climates(file.name)
    for name, year in months.items():
        missing = [MONTHS[month - 1] for month in range(1, 13) if month not in year]
        if missing:
            raise FileError(
                f"{file.name}, climate {name}: lacks {', '.join(missing)}; a year has 12 months; add a row "
                "for each."
            )
        rain, reference, rains_of = zip(*(year[month] for month in range(1, 13)), strict=True)
        try:
            found[name] = Climate(
                name=name, rain=rain, reference_evapotranspiration=reference, rains=rains_of
            )
        except SoilxError as error:
            raise FileError(f"{file.name}: {error}") from error
    return found


def _rows(file: Path) -> list[tuple[int, dict[str, str]]]:
    """Rows by number and column, without blank ones."""
    try:
        if file.stat().st_size > LARGEST_FILE:
            raise FileError(
                f"{file.name}: is larger than {LARGEST_FILE} bytes; no table of months is; check the file."
            )
        text = file.read_bytes().decode("utf-8-sig")
        table = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    except OSError as error:
        raise FileError(
            f"{file}: cannot be read: {error.strerror or error}; the limit is the computer's; check the name "
            "and the folder."
        ) from error
    except (UnicodeDecodeError, csv.Error) as error:
        raise FileError(
            f"{file.name}: is not comma-separated UTF-8 text: {error}; the limit is the format's; save it "
            "again."
        ) from error
    header = [cell.strip() for cell in table[0]] if table else []
    if sorted(header) != sorted(COLUMNS):
        wrong = [column for column in header if column not in COLUMNS] or [
            column for column in COLUMNS if column not in header
        ]
        column = wrong[0] if wrong else "a column that stands twice"
        raise FileError(
            f"{file.name}, row 1, column {column or '(empty)'}: is unknown or missing; the columns are "
            f"{', '.join(COLUMNS)}; write the headers like this{close_to(column, COLUMNS)}."
        )
    rows = []
    for number, cells in enumerate(table[1:], start=2):
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) != len(header):
            raise FileError(
                f"{file.name}, row {number}: has {len(cells)} cells under {len(header)} headers; every row "
                "has one cell a column; check for a decimal comma."
            )
        rows.append((number, dict(zip(header, (cell.strip() for cell in cells), strict=True))))
    return rows


def _number(row: Mapping[str, str], column: str, where: str) -> float:
    cell = row[column]
    if not _NUMBER.fullmatch(cell):
        wrong = "is not a number" if cell else "is empty"
        raise FileError(
            f"{where}, column {column} = {cell}: {wrong}; it is {COLUMNS[column]}; write a plain number with "
            "a decimal point."
        )
    return float(cell)
