"""A bench record read from its file: whatever can be read is used, whatever cannot is kept and named."""

import csv
import hashlib
import io
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from soilx.bench.record import ArmRecord, Record
from soilx.bench.record_columns import COLUMN, COLUMN_FIELDS, MOST_ROWS
from soilx.bench.record_lines import instruments_of, read_lines, volume_error_of
from soilx.bench.record_problem import Problem
from soilx.bench.record_rows import Rows, in_order, take_row
from soilx.column.fields import Field, close_to
from soilx.column.inert_cells import as_typed
from soilx.errors import FileError

LARGEST_FILE: Final = 10_000_000
"""A larger file is not a bench record [bytes]."""

_NEEDED: Final = ("arm", "portion")


def read_record(path: str | Path) -> Record:
    """Record of one bench run.

    Parameters
    ----------
    path : str or Path
        Comma-separated text with a header such as that of data_demo/bench_block_c.csv, one row a portion.
        A file of a spreadsheet set to decimal commas (semicolons between columns) is read too.

    Returns
    -------
    Record
        Its `problems` name what could not be used, its `rows` hold every cell. The file is not touched.

    Raises
    ------
    FileError
        Only where nothing can be told: no file, no table in it, or no columns for arm, portion and volume.
    """
    file = Path(path)
    try:
        raw = file.read_bytes()
    except OSError as error:
        raise FileError(
            f"{file}: cannot be read: {error.strerror or error}; the limit is the computer's; check the name "
            "and the folder."
        ) from error
    return record_of_bytes(raw, name=file.name)


def record_of_bytes(raw: bytes, *, name: str) -> Record:
    """The same from the bytes of a file, as an upload brings them."""
    if len(raw) > LARGEST_FILE:
        raise FileError(f"{name}: is larger than {LARGEST_FILE} bytes; no bench record is; check the file.")
    text, encoding = decoded(raw)
    notes = [] if encoding.startswith("utf-8") else [f"{name} is not UTF-8 text; it was read as {encoding}."]
    rows, delimiter = split_rows(text, name)
    lines = [(number, row) for number, row in enumerate(rows, start=1) if is_line(row)]
    table = [(number, row) for number, row in enumerate(rows, start=1) if any(row) and not is_line(row)]
    if not table:
        raise FileError(
            f"{name}, row 1: the file is empty of portions and headers; a record is a row of headers and a "
            "row for each portion; see data_demo/bench_block_c.csv."
        )
    known = read_lines(name, lines, decimal_commas=delimiter != ",")
    (header_row, header), *portions = table
    columns, problems = _columns(name, header_row, header)
    reading = Rows(
        file=name,
        instruments=instruments_of(known),
        ec_is_at_25=known.words.get("ec_at_25") == "yes",
        decimal_commas=delimiter != ",",
    )
    if delimiter == ";":
        notes.append(
            f"{name} has semicolons between its columns; its decimal commas were read as decimal points."
        )
    _take(reading, name, header, columns, portions)
    volume_error = volume_error_of(known)
    arms = {arm: ArmRecord(name=arm, replicates=replicates) for arm, replicates in in_order(reading).items()}
    return Record(
        name=name,
        arms=arms,
        words=known.words,
        values=known.values,
        instruments=reading.instruments,
        volume_error_ml=volume_error,
        problems=(*known.problems, *problems, *reading.problems),
        notes=(*notes, *known.notes, *reading.notes),
        rows=tuple(rows),
        digest=hashlib.sha256(raw).hexdigest(),
    )


def decoded(raw: bytes) -> tuple[str, str]:
    """Text of a file and the encoding it is in: UTF-8, UTF-16 with its mark, or else Windows' Latin."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        return raw.decode("utf-16", errors="replace"), "utf-16"
    try:
        return raw.decode("utf-8-sig"), "utf-8-sig" if raw.startswith(b"\xef\xbb\xbf") else "utf-8"
    except UnicodeDecodeError:
        # every byte means something in Latin-1; cp1252 leaves five of them open
        return raw.decode("cp1252", errors="replace"), "cp1252"


def split_rows(text: str, name: str) -> tuple[list[tuple[str, ...]], str]:
    """Cells of every row without blanks around them, and what stands between them."""
    if "\0" in text:
        raise FileError(
            f"{name}: holds bytes that are not text; the limit is the format's, comma-separated text; save "
            "the table from the spreadsheet as CSV."
        )
    first = next(
        (line for line in text.splitlines() if line.strip() and not line.startswith(("#", '"#'))), ""
    )
    delimiter = max(",;\t", key=first.count)
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))
    except csv.Error as error:
        raise FileError(
            f"{name}: is not comma-separated text: {error}; the limit is the format's; look for a quotation "
            "mark that is opened and not closed."
        ) from error
    return [tuple(as_typed(cell.strip()) for cell in row) for row in rows], delimiter


def is_line(row: Sequence[str]) -> bool:
    """True for a line above or below the table, which starts with #."""
    return bool(row) and row[0].startswith("#")


def column_key(text: str) -> str:
    """A header as it is looked up."""
    return "_".join(text.lower().split())


def _columns(name: str, row: int, header: Sequence[str]) -> tuple[list[str], list[Problem]]:
    """Key of each column, empty where it is not read, and why."""
    keys: list[str] = []
    problems: list[Problem] = []
    for text in header:
        column = column_key(text)
        field = COLUMN.get(column)
        if field is not None and field.key not in keys:
            keys.append(field.key)
            continue
        keys.append("")
        if not text:
            continue
        wrong, remedy = (
            "is not a column known here",
            f"rename it if it should be read{close_to(column, COLUMN)}",
        )
        meant = _meant(column)
        if field is not None:
            wrong, remedy = "stands twice", "delete one of the two columns"
        elif meant is not None:
            wrong = "has the wrong unit in its header"
            remedy = f"convert the numbers to {meant.unit or 'NTU'} and write {meant.column}"
        problems.append(
            Problem(
                file=name,
                row=row,
                column=text,
                text="",
                wrong=wrong,
                limit="the column is kept and not read",
                remedy=remedy,
            )
        )
    found = [key for key in (*_NEEDED, "volume or mass") if not set(key.split(" or ")) & set(keys)]
    if found:
        needed = "arm, portion and volume_ml (or mass_g)"
        near = next((problem for problem in problems if problem.wrong.startswith("has the wrong unit")), None)
        raise FileError(
            f"{name}, row {row}: has no column for {', '.join(found)}; a record has at least {needed}; "
            + (
                f"{near.column}: {near.remedy}."
                if near
                else "name the columns in the first row of the table."
            )
        )
    return keys, problems


def _meant(column: str) -> Field | None:
    """The column that was meant with another unit, by the start of its header."""
    for field in COLUMN_FIELDS:
        stem = field.column.split("_")[0]
        if field.is_number and "_" in field.column and column.split("_")[0] == stem:
            return field
    return None


def _take(
    rows: Rows,
    name: str,
    named: Sequence[str],
    columns: list[str],
    portions: list[tuple[int, tuple[str, ...]]],
) -> None:
    for number, cells in portions[:MOST_ROWS]:
        texts = {key: cell for key, cell in zip(columns, cells, strict=False) if key and cell}
        if any(cells[len(columns) :]):
            rows.problems.append(
                Problem(
                    file=name,
                    row=number,
                    column="",
                    text="",
                    wrong="has more cells than there are headers",
                    limit=f"{len(cells)} cells under {len(columns)} headers; the row is kept and not read",
                    remedy="look for a decimal comma, or put a text with commas in quotes",
                )
            )
            continue
        homeless = [cell for key, cell in zip(named, cells, strict=False) if cell and not key]
        if homeless:
            rows.problems.append(
                Problem(
                    file=name,
                    row=number,
                    column="",
                    text=homeless[0],
                    wrong="stands in a column without a header",
                    limit="every column is known by its header; the cell is kept and not read",
                    remedy="name the column",
                )
            )
        take_row(rows, number, texts)
    if len(portions) > MOST_ROWS:
        rows.problems.append(
            Problem(
                file=name,
                row=portions[MOST_ROWS][0],
                column="",
                text="",
                wrong=f"from here on rows are kept and not read: there are {len(portions)}",
                limit=f"a bench record has at most {MOST_ROWS} portions",
                remedy="check that it is the right file, or split it by arm",
            )
        )
