"""One writer at a time for a file, and files that are written whole or not at all."""

import contextlib
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from soilx.errors import FileError

PATIENCE_S: Final = 10.0
"""How long a writer waits for another one: a portion is written in milliseconds [s]."""

_LOOK_AGAIN_S: Final = 0.01


@contextmanager
def only_writer(path: Path, *, patience_s: float = PATIENCE_S) -> Iterator[None]:
    """Nobody else writes a file while the block runs.

    Parameters
    ----------
    path : Path
        The file; the lock is a hidden file beside it that is gone afterwards.
    patience_s : float
        How long to wait for another writer [s].

    Raises
    ------
    FileError
        If another program keeps the file, or the folder cannot be written.

    Notes
    -----
    The operating system holds the lock and lets go of it when a program ends, however it ends: a crash never
    leaves a record that nobody can write.
    """
    lock = path.with_name(f".{path.name}.lock")
    until = time.monotonic() + patience_s
    while True:
        try:
            handle = os.open(lock, os.O_RDWR | os.O_CREAT, 0o666)
        except OSError as error:
            raise _refused(path, error) from error
        # a lock file that was taken away between opening and locking guards nothing
        if _locked(handle) and _is_still(handle, lock):
            break
        os.close(handle)
        if time.monotonic() >= until:
            raise FileError(
                f"{path.name}: another program has been writing it for {patience_s:g} s; one writer at a "
                "time, so that no row is lost; nothing was written: close the other program, or try again."
            )
        time.sleep(_LOOK_AGAIN_S)
    try:
        yield
    finally:
        with contextlib.suppress(OSError):
            lock.unlink()
        os.close(handle)


def write_whole(path: Path, raw: bytes) -> None:
    """Put bytes in place of a file at once: a reader sees the old file or the new one, never a part.

    Parameters
    ----------
    path : Path
        A link is followed, so that it stays one.
    raw : bytes

    Raises
    ------
    FileError
        If the folder is not there or cannot be written; the old file is then as it was.
    """
    target = path.resolve()
    try:
        handle, name = tempfile.mkstemp(prefix=f".{target.name}.", suffix=".part", dir=target.parent)
    except OSError as error:
        raise _refused(path, error) from error
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(raw)
            file.flush()
            # on the disk before the name is, so that a power cut leaves one of the two files
            os.fsync(file.fileno())
        if target.exists():
            shutil.copymode(target, part)
        else:
            part.chmod(0o644)
        part.replace(target)
        _sync_folder(target.parent)
    except OSError as error:
        raise _refused(path, error) from error
    finally:
        part.unlink(missing_ok=True)


def _refused(path: Path, error: OSError) -> FileError:
    return FileError(
        f"{path}: cannot be written: {error.strerror or error}; the limit is the computer's; nothing was "
        "changed: check that the folder is there and may be written, or download the record instead."
    )


if sys.platform == "win32":  # pragma: no cover
    import msvcrt

    def _locked(handle: int) -> bool:
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

    def _sync_folder(folder: Path) -> None:
        """Windows has no such call for a folder."""

else:
    import fcntl

    def _locked(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True

    def _sync_folder(folder: Path) -> None:
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _is_still(handle: int, lock: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(handle), lock.stat())
    except OSError:
        return False
