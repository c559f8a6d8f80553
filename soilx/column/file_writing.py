"""Files that are written whole or not at all: the one way in which soilx writes to a disk."""

import os
import secrets
import shutil
import sys
from pathlib import Path
from typing import Final

from soilx.errors import FileError

CHECK_FOLDER: Final = "check that the folder is there, may be written and has room"


def write_whole(path: Path, raw: bytes, *, remedy: str = CHECK_FOLDER) -> None:
    """Put bytes in place of a file at once: a reader sees the old file or the new one, never a part.

    Parameters
    ----------
    path : Path
        A link is followed, so that it stays one. What is no file, such as a pipe, is written to as it is.
    raw : bytes
    remedy : str
        What to do when it cannot be written, for the refusal.

    Raises
    ------
    FileError
        If the folder is not there, is full or cannot be written; the old file is then as it was.
    """
    try:
        target = path.resolve()
        if target.exists() and not target.is_file():
            # A pipe or a device has no old content to keep, and must not be replaced by a file.
            target.write_bytes(raw)
            return
        part = target.with_name(f"{part_prefix(target)}{secrets.token_hex(6)}{PART_SUFFIX}")
        # As open to others as any new file of its maker; it must not be there, nor lead elsewhere.
        handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    except (OSError, ValueError) as error:
        raise not_written(path, error, remedy=remedy) from error
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(raw)
            file.flush()
            # on the disk before the name is, so that a power cut leaves one of the two files
            os.fsync(file.fileno())
        if target.exists():
            shutil.copymode(target, part)
        part.replace(target)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise not_written(path, error, remedy=remedy) from error
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    _sync_folder(target.parent)


def write_text(path: Path, text: str, *, remedy: str = CHECK_FOLDER) -> None:
    """The same for a text, in UTF-8 and with its line ends as they are.

    Raises
    ------
    FileError
        As `write_whole`, and where a character has no place in UTF-8.
    """
    try:
        raw = text.encode("utf-8")
    except UnicodeEncodeError as error:
        raise FileError(
            f"{path}: holds half a character at {error.start}; the limit is the format's, UTF-8; nothing was "
            "changed: write that text anew."
        ) from error
    write_whole(path, raw, remedy=remedy)


PART_SUFFIX: Final = ".part"


def part_prefix(path: Path) -> str:
    """How the name begins that a file has while it is written: hidden, and short enough for any disk."""
    return f".{path.name[:60]}."


def sweep_parts(path: Path) -> None:
    """Take away what a writer of this file left that was killed; only whoever keeps others out may ask."""
    try:
        left = [
            file
            for file in path.parent.iterdir()
            if file.name.startswith(part_prefix(path)) and file.name.endswith(PART_SUFFIX)
        ]
        for file in left:
            file.unlink(missing_ok=True)
    except OSError:
        return


def not_written(path: Path, error: Exception, *, remedy: str = CHECK_FOLDER) -> FileError:
    """The refusal of a file that could not be written."""
    why = getattr(error, "strerror", None) or error
    return FileError(
        f"{path}: cannot be written: {why}; the limit is the computer's; nothing was changed: {remedy}."
    )


def _sync_folder(folder: Path) -> None:
    """The new name on the disk too; a file system without such a call has the file in place all the same."""
    if sys.platform == "win32":  # pragma: no cover
        return
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        return
    finally:
        os.close(handle)
