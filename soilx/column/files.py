"""Soils and waters from CSV, scenarios from and to TOML, and where the demo data is."""

import re
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final, TypeVar

from soilx.column.fields import Field, close_to, read_field, read_word
from soilx.column.file_writing import write_text
from soilx.column.scenario import Scenario
from soilx.column.scenario_toml import scenario_from_toml, scenario_to_toml
from soilx.column.soil import Soil
from soilx.column.soil_fields import SOIL_FIELDS
from soilx.column.table_file import Named, refuse_ragged, rows_of, text_of
from soilx.column.table_schema import refuse_header
from soilx.column.water import WATER_FIELDS, Water
from soilx.errors import FileError, SoilxError

__all__ = [
    "demo_path",
    "read_scenario",
    "read_soils",
    "read_table",
    "read_waters",
    "scenario_from_toml",
    "scenario_to_toml",
    "write_scenario",
]

T = TypeVar("T")

_NUMBER: Final = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,3})?")
_DECIMAL_COMMA: Final = re.compile(r"[+-]?\d*,\d+")

# What a refusal of a whole row is about, by the head of its message.
_COLUMNS_BEHIND: Final = (
    ("charge imbalance of the saturation extract", ("extract_",)),
    ("charge imbalance of water", ("_mmol_c_per_l",)),
    ("exchangeable cations in all", ("exchangeable_", "cec_")),
    ("extractable", ("exchangeable_", "extract_", "saturation_")),
    ("calcium", ("cec_", "exchangeable_", "total_", "extract_", "other_anions")),
    ("drained_water", ("drained_water", "bulk_density", "saturation_")),
    ("initial_water", ("initial_water", "drained_water", "saturation_")),
    ("driest_water", ("driest_water", "drained_water")),
    ("chloride of water", ("_mmol_c_per_l",)),
)


def read_soils(path: str | Path) -> Named[Soil]:
    """Soils of a CSV file, by name.

    Parameters
    ----------
    path : str or Path
        UTF-8, comma-separated, units in the headers; the columns are described in data_demo/datapackage.json
        and all of them in `soilx.column.soil_fields`. A row is read by its `origin`.

    Returns
    -------
    dict of str to Soil
        A name that is not there is refused with the names that are.

    Raises
    ------
    FileError
        It names file, row, column, value, limit and remedy. Rows count from 1 with the header, as a
        spreadsheet shows them.
    """
    return read_table(path, SOIL_FIELDS, "soil", lambda texts: Soil.of(changes=(), **texts))


def read_waters(path: str | Path) -> Named[Water]:
    """Waters of a CSV file, by name; parameters and refusals as for `read_soils`."""
    return read_table(path, WATER_FIELDS, "water", lambda texts: Water.of(**texts))


def read_scenario(path: str | Path) -> Scenario:
    """Scenario of a TOML file.

    Raises
    ------
    FileError
        It names file, table, key, value, limit and remedy.
    """
    return scenario_from_toml(text_of(Path(path)), name=Path(path).name)


def write_scenario(scenario: Scenario, path: str | Path) -> None:
    """Write a scenario as TOML that reads back as an equal one, the same bytes each time."""
    write_text(Path(path), scenario_to_toml(scenario))


def demo_path(name: str) -> Path:
    """Where a file of the demo data is, in a checkout and in an installed package.

    Parameters
    ----------
    name : str
        Such as "soils.csv".

    Raises
    ------
    FileError
        If there is no such file; the message lists those there are.
    """
    package = Path(__file__).resolve().parents[1]
    for folder in (package / "data_demo", package.parent / "data_demo"):
        if folder.is_dir():
            names = sorted(file.name for file in folder.iterdir() if file.is_file())
            if name in names:
                return folder / name
            raise FileError(
                f"{name}: is not among the demo data; the files are {', '.join(names)}; write one of "
                f"them{close_to(name, names)}."
            )
    raise FileError(f"{name}: the demo data is not there; it comes with the package; install soilx again.")


def read_table(
    path: str | Path, fields: Sequence[Field], what: str, build: Callable[[dict[str, str]], T]
) -> Named[T]:
    """Things from a table of one row each, by name.

    Parameters
    ----------
    path : str or Path
        A CSV file.
    fields : sequence of Field
        Its columns.
    what : str
        What a row is, for messages.
    build : callable
        From a row's texts by key to the thing.

    Returns
    -------
    Named
        A name that is not there is refused with the names that are.

    Raises
    ------
    FileError
        It names file, row, column, value, limit and remedy.
    """
    file = Path(path)
    rows = rows_of(file)
    _, header = next(rows, (1, []))
    if not any(header):
        raise FileError(
            f"{file.name}, row 1: the file is empty; it needs a row of headers; see data_demo/{what}s.csv."
        )
    if len(header) == 1 and re.search(r"[;\t|]", header[0]):
        raise FileError(
            f"{file.name}, row 1: has no commas between its columns; the limit is comma-separated text with "
            "decimal points; save it again as comma-separated UTF-8."
        )
    refuse_header(header, fields, file=file.name)
    by_column = {field.column: field for field in fields}
    found: Named[T] = Named(file.name, what)
    for number, cells in rows:
        refuse_ragged(cells, header, f"{file.name}, row {number}")
        texts = {
            by_column[column].key: _cell(
                by_column[column], cell, f"{file.name}, row {number}, column {column}"
            )
            for column, cell in zip(header, cells, strict=True)
            if cell
        }
        where = f"{file.name}, row {number}"
        name = texts.get("name", "")
        if not name:
            raise FileError(f"{where}, column name: is empty; a {what} is called by its name; give one.")
        if name in found:
            raise FileError(
                f"{where}, column name = {name}: a {what} of this name is there already; names are unique; "
                "rename one."
            )
        _refuse_missing(fields, texts, header, where, name)
        try:
            found[name] = build(texts)
        except SoilxError as error:
            raise FileError(f"{where} ({name}){_columns_behind(str(error), header)}: {error}") from error
    if not found:
        raise FileError(
            f"{file.name}, row 2: there is no {what} in the file; a row is a {what}; add one below the "
            "headers."
        )
    return found


def _cell(field: Field, cell: str, where: str) -> str:
    """Text of one cell with the unit of its column, once it can be read."""
    try:
        if field.kind is None:
            return read_word(field, cell)
        if not _NUMBER.fullmatch(cell):
            wrong, remedy = "is not a number", "write the number alone, or leave the cell empty"
            if _DECIMAL_COMMA.fullmatch(cell):
                wrong, remedy = "has a decimal comma", f"write {cell.replace(',', '.')}"
            raise FileError(
                f"{where} = {cell}: {wrong}; the limit is a plain number in {field.unit or 'no unit'} with a "
                f"decimal point; {remedy}."
            )
        text = f"{cell} {field.unit}".strip()
        read_field(field, text)
    except FileError:
        raise
    except SoilxError as error:
        raise FileError(f"{where}: {error}") from error
    return text


def _refuse_missing(
    fields: Sequence[Field], texts: dict[str, str], header: Sequence[str], where: str, name: str
) -> None:
    """Raise where a row lacks what its origin needs, telling a missing column from an empty cell."""
    origin = texts.get("origin", "water")
    for field in fields:
        if (
            origin in field.needed_by or (field.key == "origin" and field.needed_by)
        ) and field.key not in texts:
            state = "is empty" if field.column in header else "is missing"
            raise FileError(
                f"{where} ({name}), column {field.column}: {state}; {origin} needs "
                f"{field.title}{' in ' + field.unit if field.unit else ''}; fill it in, or state the row by "
                "another origin."
            )


def _columns_behind(message: str, header: Sequence[str]) -> str:
    for head, parts in _COLUMNS_BEHIND:
        if message.startswith(head):
            columns = [column for column in header if any(part in column for part in parts)]
            return f", columns {', '.join(columns)}" if columns else ""
    return ""
