"""Climates from a table of months."""

import re
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Final

from soilx.column.fields import close_to
from soilx.column.table_file import Named, refuse_ragged, rows_of
from soilx.errors import FileError, SoilxError, require
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


def read_climates(path: str | Path) -> Named[Climate]:
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
    found: Named[Climate] = Named(file.name, "climate")
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
    table = rows_of(file)
    _, header = next(table, (1, []))
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
    for number, cells in table:
        refuse_ragged(cells, header, f"{file.name}, row {number}")
        rows.append((number, dict(zip(header, cells, strict=True))))
    return rows


def _number(row: Mapping[str, str], column: str, where: str) -> float:
    cell = row[column]
    if not _NUMBER.fullmatch(cell):
        wrong = "is not a number" if cell else "is empty"
        raise FileError(
            f"{where}, column {column} = {cell}: {wrong}; it is {COLUMNS[column]}; write a plain number with "
            "a decimal point."
        )
    return require(
        f"{where}, column {column}", float(cell), "", whose=COLUMNS[column], remedy="check its digits"
    )
