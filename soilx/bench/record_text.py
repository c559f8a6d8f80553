"""A bench record as text: its rows, where they stand, and how one of them is written."""

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from soilx.bench.record_columns import COLUMN, FIRST_LINE, HEADER
from soilx.bench.record_reading import column_key, is_line
from soilx.column.fields import close_to, listed
from soilx.column.inert_cells import inert_row
from soilx.errors import FileError, quoted

_KEYS: Final = ("arm", "replicate", "portion")


def record_text(lines: Iterable[Sequence[str]], rows: Iterable[Mapping[str, str]] = ()) -> str:
    """Text of a record that is begun.

    Parameters
    ----------
    lines : iterable of sequence of str
        What is known before the first portion: key, value, error, arm, replicate, note; the last may miss.
    rows : iterable of mapping of str to str
        Portions, if any, by column.

    Returns
    -------
    str
        As a spreadsheet opens it; `soilx.bench.record_reading.read_record` reads it back.
    """
    return "".join(
        [
            written((FIRST_LINE, "1")),
            written(("# key", "value", "error", "arm", "replicate", "note")),
            *(written((f"# {key}", *rest)) for key, *rest in lines),
            written(HEADER),
            *(written(cells_of(HEADER, row)) for row in rows),
        ]
    )


def appended_encoding(encoding: str, raw: bytes) -> str:
    """Encoding of what is put behind a text that has its mark already."""
    if encoding == "utf-16":
        return "utf-16-le" if raw.startswith(b"\xff\xfe") else "utf-16-be"
    return "utf-8" if encoding == "utf-8-sig" else encoding


def as_bytes(text: str, encoding: str, *, name: str) -> bytes:
    """A text in the encoding of its file.

    Raises
    ------
    FileError
        If a character has no place in it; nothing is replaced by a question mark.
    """
    try:
        return text.encode(encoding)
    except UnicodeEncodeError as error:
        raise FileError(
            f"{name}, text = {quoted(text[max(0, error.start - 20) : error.end])}: holds a character that "
            f"cannot stand in a file in {encoding}; nothing was written: save the file as UTF-8 first, or "
            "write it otherwise."
        ) from error


def header_of(rows: Sequence[Sequence[str]]) -> list[str]:
    """Headers of the table, as they are looked up."""
    header = next((row for row in rows if any(row) and not is_line(row)), ())
    return [column_key(cell) for cell in header]


def portion_key(row: Mapping[str, str]) -> tuple[str, str, str]:
    """Arm, replicate and portion of a row, as the same portion is told again."""
    arm, replicate, portion = (row.get(column, "").strip() for column in _KEYS)
    return " ".join(arm.lower().split()), replicate or "1", portion


def numbered_portions(rows: Sequence[Sequence[str]]) -> dict[tuple[str, str, str], int]:
    """Where each portion stands among the rows; the first of two alike."""
    header = header_of(rows)
    found: dict[tuple[str, str, str], int] = {}
    table = [index for index, row in enumerate(rows) if any(row) and not is_line(row)]
    for index in table[1:]:
        found.setdefault(portion_key(dict(zip(header, rows[index], strict=False))), index)
    return found


def cells_of(header: Sequence[str], row: Mapping[str, str]) -> list[str]:
    """Cells of a row in the order of a header; what has no column there is refused, not dropped."""
    homeless = [column for column, cell in row.items() if column not in header and cell.strip()]
    if homeless:
        raise FileError(
            f"{homeless[0]} = {quoted(row[homeless[0]])}: has no column in the record; its columns are "
            f"{listed(header)}; nothing was written: add it to the header{close_to(homeless[0], COLUMN)}."
        )
    if row.get("arm", "").strip().startswith("#"):
        raise FileError(
            f"arm = {quoted(row['arm'])}: would be read as a remark; a row that starts with # is one; "
            "nothing was written: name the arm otherwise."
        )
    return [row.get(column, "").strip() for column in header]


def written(cells: Sequence[str], delimiter: str = ",", *, ending: str = "\n") -> str:
    """One row as comma-separated text in which no cell is a spreadsheet's formula."""
    out = io.StringIO()
    # The writer quotes the line ends that it writes itself: both are named to it, whatever stands at the end.
    csv.writer(out, delimiter=delimiter, lineterminator="\r\n").writerow(inert_row(cells))
    return out.getvalue().removesuffix("\r\n") + ending


def row_spans(text: str, delimiter: str) -> list[tuple[int, int]]:
    """Where each row begins and ends in the text; a quoted cell may hold line ends."""
    kept = list(io.StringIO(text, newline=""))
    starts = [0]
    for line in kept:
        starts.append(starts[-1] + len(line))
    reader = csv.reader(iter(kept), delimiter=delimiter, strict=True)
    spans, before = [], 0
    for _ in reader:
        spans.append((starts[before], starts[reader.line_num]))
        before = reader.line_num
    return spans
