"""A table on disk: its text, its rows of cells, and what its rows stand for by name."""

import csv
import io
from collections.abc import Iterator
from pathlib import Path
from typing import Final, TypeVar

from soilx.column.fields import close_to, listed
from soilx.column.inert_cells import as_typed
from soilx.errors import FileError

T = TypeVar("T")

LARGEST_FILE: Final = 10_000_000
"""A larger file is not a table of this kind [bytes]."""

LONGEST_CELL: Final = 500
"""A longer cell is no name, number or remark of a table [characters]."""


class Named(dict[str, T]):
    """What a table holds by name; a name that is not there is refused with the names that are."""

    def __init__(self, file: str, what: str) -> None:
        super().__init__()
        self.file = file
        self.what = what

    def __missing__(self, name: str) -> T:
        raise FileError(
            f"{self.file}, {self.what} {name}: is not there; the {self.what}s are {listed(self)}; write one "
            f"of these names{close_to(name, self)}."
        )


def text_of(path: Path) -> str:
    """Text of a file, UTF-8 with or without a byte-order mark.

    Parameters
    ----------
    path : Path

    Raises
    ------
    FileError
        If it cannot be read, is not UTF-8, or is larger than any table of this kind.
    """
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise FileError(
                f"{path.name}: is larger than {LARGEST_FILE} bytes; no table of this kind is; check the file."
            )
        return path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise FileError(
            f"{path}: cannot be read: {error.strerror or error}; the limit is the computer's; check the name "
            "and the folder."
        ) from error
    except UnicodeDecodeError as error:
        raise FileError(
            f"{path.name}: is not UTF-8 text at byte {error.start}; the limit is the format's; save it again "
            "as UTF-8."
        ) from error
    except FileError:
        raise
    except ValueError as error:
        raise FileError(
            f"{path}: is not a file's name: {error}; the limit is the computer's; check the name."
        ) from error


def rows_of(path: Path) -> Iterator[tuple[int, list[str]]]:
    """Rows of a table with their numbers from 1, cells without the blanks around them, blank rows left out.

    Parameters
    ----------
    path : Path

    Yields
    ------
    tuple of int and list of str

    Raises
    ------
    FileError
        If the file cannot be read, or is not comma-separated text.
    """
    rows = csv.reader(io.StringIO(text_of(path), newline=""), strict=True)
    try:
        for number, row in enumerate(rows, start=1):
            cells = [as_typed(cell.strip()) for cell in row]
            long = max(map(len, cells), default=0)
            if long > LONGEST_CELL:
                raise FileError(
                    f"{path.name}, row {number}: has a cell of {long} characters; the limit is "
                    f"{LONGEST_CELL}, ours: no name or number is longer; look for a quotation mark that is "
                    "not closed."
                )
            if number == 1 or any(cells):
                yield number, cells
    except csv.Error as error:
        raise FileError(
            f"{path.name}: is not comma-separated text: {error}; the limit is the format's; save it again."
        ) from error


def refuse_ragged(row: list[str], header: list[str], where: str) -> None:
    """Raise where a row has not one cell under each header.

    Parameters
    ----------
    row, header : list of str
    where : str
        File and row, for the message.

    Raises
    ------
    FileError
    """
    if len(row) != len(header):
        raise FileError(
            f"{where}: has {len(row)} cells under {len(header)} headers; every row has one cell a column; "
            "check for a decimal comma, or a comma in a text without quotes."
        )
