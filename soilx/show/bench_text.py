"""A bench record changed as text, where no file is written: a portion added or changed, a line put in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from soilx.bench.record_columns import LINE
from soilx.bench.record_reading import decoded, is_line, record_of_bytes, split_rows
from soilx.bench.record_text import (
    as_bytes,
    cells_of,
    header_of,
    numbered_portions,
    portion_key,
    row_spans,
    written,
)
from soilx.errors import FileError


def with_portion(raw: bytes, row: Mapping[str, str], *, name: str) -> bytes:
    """The record with one portion more, in UTF-8.

    Parameters
    ----------
    raw : bytes
        As the record was.
    row : mapping of str to str
        Texts by column.
    name : str
        Of the record, for refusals.

    Raises
    ------
    FileError
        If the portion is there already, or a text has no column.
    """
    text, rows, delimiter = _opened(raw, name)
    arm, replicate, portion = key = portion_key(row)
    if key in numbered_portions(rows):
        raise FileError(
            f"{name}, portion {portion} of arm {arm}, replicate {replicate}: is there already; a portion is "
            "written down once; nothing was changed: change it, or give this one another number."
        )
    gap = "" if not text or text.endswith(("\n", "\r")) else "\n"
    return _whole(text + gap + written(cells_of(header_of(rows), row), delimiter), name)


def with_change(raw: bytes, row: Mapping[str, str], was: Mapping[str, str], *, name: str) -> bytes:
    """The record with one portion's cells changed, in UTF-8; every other line stays as it is.

    Parameters
    ----------
    raw : bytes
        As the record was.
    row : mapping of str to str
        The portion as it shall stand, by column.
    was : mapping of str to str
        As it was, to find it.
    name : str
        Of the record, for refusals.

    Raises
    ------
    FileError
        If the portion is not there, or would take the number of another one.
    """
    text, rows, delimiter = _opened(raw, name)
    numbered, key, wanted = numbered_portions(rows), portion_key(was), portion_key({**was, **row})
    where = f"{name}, portion {key[2]} of arm {key[0]}, replicate {key[1]}"
    if key not in numbered:
        raise FileError(f"{where}: is not in the record any more; nothing was changed: read it again.")
    if wanted != key and wanted in numbered:
        raise FileError(
            f"{where}: would take the number of another portion; a portion is written down once; nothing was "
            "changed: give it a free number."
        )
    header, cells = header_of(rows), rows[numbered[key]]
    now = [*cells, *[""] * (len(header) - len(cells))]
    for at, (column, cell) in enumerate(zip(header, cells_of(header, row), strict=True)):
        if column in row:
            now[at] = cell
    return _whole(_replaced(text, delimiter, numbered[key], now), name)


def with_line(raw: bytes, line: Sequence[str], *, name: str) -> bytes:
    """The record with one line about soil, dose or instruments changed, or put in above its table.

    Parameters
    ----------
    raw : bytes
        As the record was.
    line : sequence of str
        Key, value, error, arm, replicate, note; the last may miss.
    name : str
        Of the record, for refusals.

    Raises
    ------
    FileError
        If no such line is known.
    """
    text, rows, delimiter = _opened(raw, name)
    key, *rest = (*line, "", "", "", "", "")[:6]
    if key not in LINE:
        raise FileError(f"{name}, line {key}: is not known here; nothing was changed; take one of the list.")
    cells = [f"# {key}", *rest]
    wanted = line_key(cells)
    for at, row in enumerate(rows):
        if is_line(row) and line_key(row) == wanted:
            return _whole(_replaced(text, delimiter, at, cells), name)
    table = next(at for at, row in enumerate(rows) if any(row) and not is_line(row))
    start, _ = row_spans(text, delimiter)[table]
    return _whole(text[:start] + written(cells, delimiter) + text[start:], name)


def line_key(row: Sequence[str]) -> tuple[str, str, str]:
    """Key, arm and replicate of a line, as the same line is told again."""
    key, _, _, arm, replicate = (*row, "", "", "", "", "")[:5]
    return "_".join(key.lstrip("#").lower().split()), " ".join(arm.lower().split()), replicate.strip()


def _replaced(text: str, delimiter: str, at: int, cells: Sequence[str]) -> str:
    start, end = row_spans(text, delimiter)[at]
    line = text[start:end]
    ending = line[len(line.rstrip("\r\n")) :]
    return text[:start] + written(cells, delimiter, ending="") + ending + text[end:]


def _whole(text: str, name: str) -> bytes:
    """The text in UTF-8, once it can be read again as a record."""
    raw = as_bytes(text, "utf-8", name=name)
    record_of_bytes(raw, name=name)
    return raw


def _opened(raw: bytes, name: str) -> tuple[str, list[tuple[str, ...]], str]:
    text, _ = decoded(raw)
    rows, delimiter = split_rows(text, name)
    return text, rows, delimiter
