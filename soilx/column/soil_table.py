"""Soils written as the table they are read from."""

import csv
import io
from collections.abc import Iterable

from soilx.column.fields import read_field
from soilx.column.inert_cells import inert_row
from soilx.column.soil import Soil
from soilx.column.soil_fields import SOIL_FIELDS
from soilx.units import express


def soils_to_csv(soils: Iterable[Soil]) -> str:
    """Text of a table of soils that `read_soils` reads back, units in the headers.

    Parameters
    ----------
    soils : iterable of Soil
        Each is written by what it was made from; a changed soil as it was before the change.

    Returns
    -------
    str
        Comma-separated; columns that no soil fills are left out.

    Raises
    ------
    SoilxError
        If something a soil was made from cannot be read any more.
    """
    rows = [dict(soil.typed) for soil in soils]
    fields = [field for field in SOIL_FIELDS if any(field.key in row for row in rows)]
    written = io.StringIO(newline="")
    table = csv.writer(written)
    table.writerow([field.column for field in fields])
    for row in rows:
        cells = []
        for field in fields:
            text = row.get(field.key, "")
            if text and field.kind is not None:
                text = repr(express(read_field(field, text), field.kind, field.unit, ion=field.ion))
            cells.append(text)
        table.writerow(inert_row(cells))
    return written.getvalue()
