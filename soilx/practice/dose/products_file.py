"""Products of the trade from a table, each with the user's own price."""

import re
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from soilx.column.fields import close_to
from soilx.column.table_file import Named, refuse_ragged, rows_of
from soilx.errors import FileError, SoilxError
from soilx.practice.dose.amendment_table import AMENDMENTS
from soilx.practice.dose.product import Product

COLUMNS: Final[Mapping[str, tuple[str, str]]] = MappingProxyType(
    {
        "name": ("name", "name of the product"),
        "substance": ("substance", f"one of {', '.join(AMENDMENTS)}"),
        "purity_pct": ("purity", "amendment per dried product, or leave it empty and give the sulfur"),
        "sulfur_pct": ("sulfur", "sulfur of dried gypsum, where no purity is printed"),
        "moisture_pct": ("moisture", "water, on its basis"),
        "moisture_basis": ("moisture_basis", "wet, per product as it comes, or dry, per dried product"),
        "bag_kg": ("bag", "product in one bag; empty for bulk"),
        "price_per_t": ("price_per_t", "price of a tonne as it comes, your own"),
        "currency": ("currency", "your own word for the money"),
    }
)
"""Header, what it is for `Product.of`, and what it means."""

_UNITS: Final[Mapping[str, str]] = MappingProxyType(
    {"purity_pct": "%", "sulfur_pct": "%", "moisture_pct": "%", "bag_kg": "kg", "price_per_t": ""}
)
_NUMBER: Final = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)")


def read_products(path: str | Path) -> Named[Product]:
    """Products of a CSV file, by name.

    Parameters
    ----------
    path : str or Path
        UTF-8, comma-separated, decimal points; the columns are `COLUMNS`, all but `name` may be missing.

    Raises
    ------
    FileError
        It names file, row, column, value, limit and remedy. Rows count from 1 with the header.
    """
    file = Path(path)
    rows = rows_of(file)
    _, header = next(rows, (1, []))
    if header:
        _refuse_header(header, file.name)
    found: Named[Product] = Named(file.name, "product")
    for number, row in rows:
        product = _product(header, row, f"{file.name}, row {number}")
        if product.name in found:
            raise FileError(
                f"{file.name}, row {number}, column name = {product.name}: a product of this name is "
                "there already; names are unique; rename one."
            )
        found[product.name] = product
    if not found:
        raise FileError(
            f"{file.name}: there is no product in the file; the limit is a row of headers and one row a "
            "product; see data_demo/products.csv."
        )
    return found


def _refuse_header(header: list[str], file: str) -> None:
    for column in header:
        if column not in COLUMNS:
            raise FileError(
                f"{file}, row 1, column {column or '(empty)'}: is not a column of products; the columns are "
                f"{', '.join(COLUMNS)}; rename or delete it{close_to(column, COLUMNS)}."
            )
        if header.count(column) > 1:
            raise FileError(f"{file}, row 1, column {column}: stands twice; headers are unique; delete one.")
    if "name" not in header:
        raise FileError(f"{file}, row 1, column name: is missing; a product is called by its name; add it.")


def _product(header: list[str], row: list[str], where: str) -> Product:
    refuse_ragged(row, header, where)
    given: dict[str, Any] = {}
    for column, cell in zip(header, row, strict=True):
        if not cell:
            continue
        if column in _UNITS and not _NUMBER.fullmatch(cell):
            raise FileError(
                f"{where}, column {column} = {cell}: is not a number; the limit is a plain number with a "
                "decimal point; write it alone, or leave the cell empty."
            )
        unit = _UNITS.get(column, "")
        key = COLUMNS[column][0]
        given[key] = float(cell) if column == "price_per_t" else f"{cell} {unit}".strip()
    name = given.pop("name", "")
    if not name:
        raise FileError(f"{where}, column name: is empty; a product is called by its name; give one.")
    substance = given.get("substance", "gypsum")
    if substance not in AMENDMENTS:
        raise FileError(
            f"{where}, column substance = {substance}: is not an amendment known here; they are "
            f"{', '.join(AMENDMENTS)}; write one of them{close_to(substance, AMENDMENTS)}."
        )
    build: Callable[..., Product] = Product.of
    try:
        return build(name, **given)
    except SoilxError as error:
        raise FileError(f"{where} ({name}): {error}") from error
