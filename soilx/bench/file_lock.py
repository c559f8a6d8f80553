"""One writer at a time for a file: a lock that the operating system lets go of however a program ends."""

import contextlib
import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from soilx.column.file_writing import not_written, sweep_parts
from soilx.errors import FileError

PATIENCE_S: Final = 10.0
"""How long a writer waits for another one: a portion is written in milliseconds [s]."""

DOWNLOAD: Final = (
    "check that the folder is there, may be written and has room, or download the record instead"
)
"""What to do when a record cannot be written."""

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
            # A link of this name could lead out of the folder: it is not followed.
            handle = os.open(lock, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o666)
        except (OSError, ValueError) as error:
            raise not_written(path, error, remedy=DOWNLOAD) from error
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
        sweep_parts(path)
        yield
    finally:
        with contextlib.suppress(OSError):
            lock.unlink()
        os.close(handle)


if sys.platform == "win32":  # pragma: no cover
    import msvcrt

    def _locked(handle: int) -> bool:
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _locked(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True


def _is_still(handle: int, lock: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(handle), lock.stat())
    except OSError:
        return False
