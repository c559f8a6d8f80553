"""A bench record written to its file: rows added and changed one at a time, and nothing ever lost."""

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from soilx.bench.file_lock import DOWNLOAD, only_writer
from soilx.bench.record import Record
from soilx.bench.record_reading import decoded, record_of_bytes, split_rows
from soilx.bench.record_text import (
    appended_encoding,
    as_bytes,
    cells_of,
    header_of,
    numbered_portions,
    portion_key,
    row_spans,
    written,
)
from soilx.column.file_writing import write_whole
from soilx.errors import FileError, quoted


def begin_record(path: str | Path, text: str) -> Record:
    """Record begun in a new file.

    Parameters
    ----------
    path : str or Path
    text : str
        As `soilx.bench.record_text.record_text` makes it.

    Raises
    ------
    FileError
        If there is a file of this name already: it is left as it is.
    """
    file = Path(path)
    raw = as_bytes(text, "utf-8", name=file.name)
    record = record_of_bytes(raw, name=file.name)
    with only_writer(file):
        if file.exists():
            raise FileError(
                f"{file.name}: is there already; a record that was begun is never overwritten; open it, or "
                "give the new one another name."
            )
        write_whole(file, raw, remedy=DOWNLOAD)
    return record


def add_portions(path: str | Path, rows: Iterable[Mapping[str, str]]) -> Record:
    """Record with portions added to the end of its file; what was in it stays, byte for byte.

    Parameters
    ----------
    path : str or Path
    rows : iterable of mapping of str to str
        Texts by column, as they were typed.

    Returns
    -------
    Record
        As the file is now, with whatever others have added meanwhile.

    Raises
    ------
    FileError
        If a portion is there already, a column is unknown, or the file cannot be written; nothing is written.
    """
    file = Path(path)
    with only_writer(file):
        raw, text, encoding, every, delimiter = _opened(file)
        header, taken = header_of(every), set(numbered_portions(every))
        added = []
        for row in rows:
            key = portion_key(row)
            if key in taken:
                arm, replicate, portion = key
                raise FileError(
                    f"{file.name}, portion {portion} of arm {arm}, replicate {replicate}: is there already; "
                    "a portion is written down once; nothing was written: change it, or give this one "
                    "another number."
                )
            taken.add(key)
            added.append(written(cells_of(header, row), delimiter))
        gap = "" if not text or text.endswith(("\n", "\r")) else "\n"
        whole = raw + as_bytes(gap + "".join(added), appended_encoding(encoding, raw), name=file.name)
        # Read before it is written: a file that could not be opened again would be as good as lost.
        record = record_of_bytes(whole, name=file.name)
        write_whole(file, whole, remedy=DOWNLOAD)
    return record


def change_portion(path: str | Path, row: Mapping[str, str], *, was: Mapping[str, str]) -> Record:
    """Record with one portion's cells changed; every other line stays as it is.

    Parameters
    ----------
    path : str or Path
    row : mapping of str to str
        The portion as it shall stand, by column; columns that are not named keep their cell.
    was : mapping of str to str
        As it was when it was read, to tell whether somebody else has changed it since.

    Raises
    ------
    FileError
        If the portion is not there or was changed meanwhile, or the file cannot be written; nothing is.
    """
    file = Path(path)
    with only_writer(file):
        _, text, encoding, every, delimiter = _opened(file)
        header, numbered = header_of(every), numbered_portions(every)
        key = portion_key(was)
        where = f"{file.name}, portion {key[2]} of arm {key[0]}, replicate {key[1]}"
        if key not in numbered:
            raise FileError(
                f"{where}: is not in the file any more; somebody has renumbered or deleted it; nothing was "
                "written: read the record again."
            )
        if portion_key({**was, **row}) != key and portion_key({**was, **row}) in numbered:
            raise FileError(
                f"{where}: would take the number of another portion; a portion is written down once; nothing "
                "was written: give it a free number."
            )
        index = numbered[key]
        now = dict(zip(header, every[index], strict=False))
        for column, cell in was.items():
            if now.get(column, "") != cell.strip():
                raise FileError(
                    f"{where}, column {column} = {quoted(now.get(column, ''))}: was changed by somebody else "
                    f"(it was {quoted(cell)}); the last look is too old; nothing was written: read the "
                    "record again."
                )
        start, end = row_spans(text, delimiter)[index]
        changed = written(_changed(header, every[index], row), delimiter, ending="")
        line = text[start:end]
        ending = line[len(line.rstrip("\r\n")) :]
        whole = as_bytes(text[:start] + changed + ending + text[end:], encoding, name=file.name)
        record = record_of_bytes(whole, name=file.name)
        write_whole(file, whole, remedy=DOWNLOAD)
    return record


def save_copy(record: Record, raw: bytes, path: str | Path) -> Record:
    """Record as a whole in place of the file it was read from.

    Parameters
    ----------
    record : Record
        As it was when it was read: its digest tells whether the file is still the same.
    raw : bytes
        What shall stand there.
    path : str or Path

    Raises
    ------
    FileError
        If the file was changed since; it is left as it is.
    """
    file = Path(path)
    replaced = record_of_bytes(raw, name=file.name)
    with only_writer(file):
        if file.exists() and hashlib.sha256(file.read_bytes()).hexdigest() != record.digest:
            raise FileError(
                f"{file.name}: was changed by somebody else since it was read; their rows would be lost; "
                "nothing was written: read it again and add yours, or save under another name."
            )
        write_whole(file, raw, remedy=DOWNLOAD)
    return replaced


def _opened(file: Path) -> tuple[bytes, str, str, list[tuple[str, ...]], str]:
    try:
        raw = file.read_bytes()
    except OSError as error:
        raise FileError(
            f"{file}: cannot be read: {error.strerror or error}; the limit is the computer's; begin the "
            "record first."
        ) from error
    text, encoding = decoded(raw)
    if text.encode(encoding, errors="replace") != raw:
        raise FileError(
            f"{file.name}: holds bytes that are not {encoding} text; they would be lost if it were written; "
            "nothing was written: save it as UTF-8 first."
        )
    rows, delimiter = split_rows(text, file.name)
    return raw, text, encoding, rows, delimiter


def _changed(header: Sequence[str], cells: Sequence[str], row: Mapping[str, str]) -> list[str]:
    """Cells of a row with some of them changed; what stands beyond the headers stays there."""
    now = [*cells, *[""] * (len(header) - len(cells))]
    for column, cell in zip(header, cells_of(header, row), strict=True):
        if column in row:
            now[header.index(column)] = cell
    return now
