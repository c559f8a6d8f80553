"""The folder that bench records are saved in: who may have one, and which names its files have."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from soilx.errors import FileError, quoted

FILE_NAME: Final = re.compile(r"[^\W_][\w .,()+-]{0,80}\.csv", flags=re.IGNORECASE)
"""Names that a record's file may have: no folder, nothing hidden."""

_LOOPBACK: Final = ("127.0.0.1", "localhost", "::1")


def file_name(typed: str) -> str:
    """Name of a record's file as typed, with its ending.

    Raises
    ------
    FileError
        If it is not the plain name of a file.
    """
    name = " ".join(typed.split())
    name = name if name.lower().endswith(".csv") else f"{name}.csv"
    if not FILE_NAME.fullmatch(name):
        raise FileError(
            f"name = {quoted(typed)}: is not a file's name here; the limit is ours: letters, figures, blanks "
            "and - _ . , ( ) +, at most 80; write one such as bench_run.csv."
        )
    return name


def inside(folder: Path, name: str) -> Path:
    """Where a record of a folder lies.

    Parameters
    ----------
    folder : Path
    name : str
        Of the file, as `file_name` gives it.

    Raises
    ------
    FileError
        If it leads out of the folder, as a link can.
    """
    if not is_inside(folder, name):
        raise FileError(
            f"{name}: leads out of the folder; the limit is ours: nothing is read or written elsewhere; copy "
            "the record into the folder, or take another name."
        )
    return folder / name


def is_inside(folder: Path, name: str) -> bool:
    """Whether a name of a folder leads to a file of that folder, and not by a link to another place."""
    try:
        return (folder / name).resolve().parent == folder.resolve()
    except (OSError, RuntimeError, ValueError):
        return False


def folder_of(named: object, *, host: str | None) -> tuple[Path | None, str]:
    """The folder that records are saved in, or None and why not.

    Parameters
    ----------
    named : object
        As the command was given it; None where it was not.
    host : str or None
        By which name the browser reached the page; None where there is no browser.

    Returns
    -------
    folder, sentence
        The sentence is empty where all is as asked.

    Notes
    -----
    Only whoever sits at the computer that serves the page may write there: reached by any other name than the
    loopback's, the page goes on by download and upload.
    """
    if not isinstance(named, str) or not named:
        return None, ""
    if host is not None and host not in _LOOPBACK:
        return None, (
            "This page is served to other computers, so that nothing is written in the folder it was given: "
            "download the record and load it again."
        )
    folder = Path(named).expanduser()
    if not folder.is_dir():
        return None, (
            f"folder = {named}: is not there; records are saved in a folder that is; make it and open this "
            "page again. Until then nothing is saved: download the record."
        )
    return folder.resolve(), ""


def bytes_of(file: Path) -> bytes:
    """Content of a file.

    Raises
    ------
    FileError
        If it cannot be read.
    """
    try:
        return file.read_bytes()
    except OSError as error:
        raise FileError(
            f"{file}: cannot be read: {error.strerror or error}; the limit is the computer's; check the "
            "folder."
        ) from error


def host_of(request: object) -> str | None:
    """By which name a browser reached the page; None where there is no browser.

    Parameters
    ----------
    request : object
        What the notebook was asked with, its address under "url".
    """
    if request is None:
        return None
    url = getattr(request, "url", None)
    hostname = url.get("hostname") if isinstance(url, Mapping) else None
    return str(hostname or "")
