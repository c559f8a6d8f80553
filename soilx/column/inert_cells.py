"""Cells of a table that no spreadsheet takes for a formula, and the way back."""

import re
from collections.abc import Iterable
from typing import Final

_NUMBER: Final = re.compile(r"[+\-−]?([0-9]+[.,]?[0-9]*|[.,][0-9]+)([eE][+\-]?[0-9]{1,4})?")
# A spreadsheet runs what begins like this, and whoever opens the file has not written it.
_BEGINS: Final = re.compile(r"'*[=+\-@＝＋－＠\t\r]")


def inert(cell: str) -> str:
    """A cell as it is written: with an apostrophe before what a spreadsheet would run.

    Parameters
    ----------
    cell : str
        As it was typed. Numbers stay as they are, negative ones too.
    """
    return f"'{cell}" if _BEGINS.match(cell) and not _NUMBER.fullmatch(cell) else cell


def as_typed(cell: str) -> str:
    """A cell as it was typed: `inert` the other way round; other cells are themselves."""
    return cell[1:] if cell[:1] == "'" and _BEGINS.match(cell) else cell


def inert_row(cells: Iterable[str]) -> list[str]:
    """Every cell of a row by `inert`."""
    return [inert(cell) for cell in cells]
