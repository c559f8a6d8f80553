"""The columns of soils.csv and waters.csv: one table of fields, read by us and described for everyone else.

The description is a Frictionless Data Package whose resources carry a Table Schema. What a schema cannot say,
that a column is needed by one origin only, stands beside it in `neededBy`.
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from soilx.column.fields import Field, close_to
from soilx.column.soil_fields import SOIL_FIELDS
from soilx.column.water import WATER_FIELDS
from soilx.errors import FileError

_SUFFIX: Final[Mapping[str, str]] = {
    "cm": "_cm",
    "kg/L": "_kg_per_l",
    "cmol_c/kg": "_cmol_c_per_kg",
    "mmol_c/kg": "_mmol_c_per_kg",
    "mmol/kg": "_mmol_per_kg",
    "mg/kg": "_mg_per_kg",
    "g/kg": "_g_per_kg",
    "mmol_c/L": "_mmol_c_per_l",
    "L/kg": "_l_per_kg",
    "dS/m": "_ds_per_m",
    "%": "_pct",
    "h": "_h",
    "(mmol/L)^-0.5": "_per_root_mmol_per_l",
    "": "",
}
"""How a unit is written at the end of a header."""


def stem_of(field: Field) -> str:
    """A column's header without its unit."""
    return field.column.removesuffix(_SUFFIX[field.unit])


def refuse_header(header: Sequence[str], fields: Sequence[Field], *, file: str) -> None:
    """Raise where a header is unknown or stands twice, or a column that all rows need is missing.

    Parameters
    ----------
    header : sequence of str
        First row of the file.
    fields : sequence of Field
        What the columns may be.
    file : str
        Name of the file.

    Raises
    ------
    FileError
        It names file, row 1, column, what is wrong and what to write.
    """
    known = {field.column: field for field in fields}
    for number, column in enumerate(header, start=1):
        where = f"{file}, row 1, column {number}"
        if not column:
            raise FileError(
                f"{where}: has no header; every column is known by its header; name it or delete it."
            )
        if list(header).count(column) > 1:
            raise FileError(
                f"{where}, {column}: stands twice; headers are unique; delete one of the columns."
            )
        if column in known:
            continue
        meant = [
            field
            for field in fields
            if field.unit and (column == stem_of(field) or column.startswith(stem_of(field) + "_"))
        ]
        if meant:
            field = max(meant, key=lambda one: len(stem_of(one)))
            unit = column.removeprefix(stem_of(field)).removeprefix("_") or "no unit"
            raise FileError(
                f"{where}, {column}: has the wrong unit in its header ({unit}); the limit is this layout, "
                f"which takes {field.title} in {field.unit}; convert the numbers and write {field.column}."
            )
        raise FileError(
            f"{where}, {column}: is not a column of this table; the columns are those of datapackage.json; "
            f"rename or delete it{close_to(column, known)}."
        )
    always = frozenset.intersection(*(field.needed_by for field in fields if field.key == "name"))
    for field in fields:
        if field.needed_by == always and field.column not in header:
            raise FileError(
                f"{file}, row 1, column {field.column}: is missing; every row needs "
                f"{field.title}{' in ' + field.unit if field.unit else ''}; add the "
                f"column{close_to(field.column, header)}."
            )


def descriptor(resources: Iterable[tuple[str, str, Sequence[str]]]) -> dict[str, object]:
    """Data package that describes the demo tables.

    Parameters
    ----------
    resources : iterable of (name, path, header)
        `name` is "soils" or "waters"; the header says which of the known columns the file has.

    Returns
    -------
    dict
        Ready for JSON.
    """
    return {
        "profile": "tabular-data-package",
        "name": "soilx-demo",
        "title": "Invented soils and waters of a teaching farm",
        "description": "All values are invented; see README.md. Units stand in the headers and in `unit`.",
        "licenses": [{"name": "BSD-3-Clause", "title": "BSD 3-Clause License"}],
        "resources": [_resource(name, path, header) for name, path, header in resources],
    }


def descriptor_text(resources: Iterable[tuple[str, str, Sequence[str]]]) -> str:
    """The same as the text of datapackage.json."""
    return json.dumps(descriptor(resources), indent=2, ensure_ascii=False) + "\n"


TABLES: Final[Mapping[str, tuple[Field, ...]]] = {"soils": SOIL_FIELDS, "waters": WATER_FIELDS}


def _resource(name: str, path: str, header: Sequence[str]) -> dict[str, object]:
    by_column = {field.column: field for field in TABLES[name]}
    return {
        "name": name,
        "path": path,
        "profile": "tabular-data-resource",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "schema": {
            "fields": [_described(by_column[column]) for column in header],
            "primaryKey": "name",
            "missingValues": [""],
        },
    }


def _described(field: Field) -> dict[str, object]:
    """One field of a Table Schema."""
    constraints: dict[str, object] = {}
    if field.key == "name":
        constraints |= {"required": True, "unique": True}
    elif field.needed_by and field.needed_by == field.allowed_in and len(field.needed_by) == _origins(field):
        constraints["required"] = True
    if field.low is not None and field.high is not None:
        constraints |= {"minimum": field.low, "maximum": field.high}
    if field.words:
        constraints["enum"] = list(field.words)
    described: dict[str, object] = {
        "name": field.column,
        "type": "number" if field.is_number else "string",
        "title": field.title,
    }
    if field.is_number:
        described["unit"] = field.unit or "1"
    if field.needed_by:
        described["neededBy"] = sorted(field.needed_by)
    if constraints:
        described["constraints"] = constraints
    return described


def _origins(field: Field) -> int:
    """How many origins there are in the field's table."""
    return 1 if field in WATER_FIELDS else 3
