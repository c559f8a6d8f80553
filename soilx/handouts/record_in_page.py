"""What a page carries of itself: the file it was made from, how it was asked for, and its key numbers.

It stands in the page as text of a kind that no browser runs, and is read as text: a page is never executed,
and what somebody has changed in it is refused or shows in the numbers.
"""

from __future__ import annotations

import datetime as dt
import json
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from html.parser import HTMLParser
from importlib import metadata
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final, NoReturn

from soilx.errors import FileError, quoted, refuse

KINDS: Final = ("scenario", "decision", "bench record")
"""What a page is made from and may be made from again."""

_MARK: Final = "soilx-record"
_MOST_BYTES: Final = 12_000_000
_MOST_TEXT: Final = 1_000_000
_MOST_NUMBERS: Final = 500
_LONGEST_NAME: Final = 200

Number = float | str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PageRecord:
    """From what, how and with what outcome a page was made.

    Attributes
    ----------
    kind : str
        One of `KINDS`.
    name : str
        Of the file it was made from.
    text : str
        That file.
    options : mapping of str to str
        "reader", "units" and "paper", where they were given.
    numbers : mapping of str to float, str or None
        Key figures, by what they are with their unit.
    version : str
        Of soilx.
    made_on : str
        Year, month and day.
    """

    kind: str
    name: str
    text: str
    options: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    numbers: Mapping[str, Number] = field(default_factory=lambda: MappingProxyType({}))
    version: str = ""
    made_on: str = ""


def version_now() -> str:
    """Version of soilx that runs."""
    try:
        return metadata.version("soilx")
    except metadata.PackageNotFoundError:
        return "of a checkout"


def with_record(page: str, record: PageRecord, *, made_on: dt.date | None = None) -> str:
    """A page with its record in it.

    Parameters
    ----------
    page : str
        As `soilx.handouts.page_parts.document` makes it.
    record : PageRecord
        Version and date are put in.
    made_on : date, optional
        Today unless given.
    """
    written = json.dumps(
        {
            "kind": record.kind,
            "name": record.name,
            "text": record.text,
            "options": dict(record.options),
            "numbers": dict(record.numbers),
            "version": version_now(),
            "made_on": (made_on or dt.date.today()).isoformat(),
        },
        allow_nan=False,
        separators=(",", ":"),
    ).replace("<", "\\u003c")
    # Nothing within the quotes can end the element, since no "<" is left.
    before, found, after = page.rpartition("</body>")
    return f'{before}<script type="application/json" id="{_MARK}">{written}</script>\n{found}{after}'


def read_page(path: Path) -> PageRecord:
    """The record of a page on disk.

    Parameters
    ----------
    path : Path

    Raises
    ------
    FileError
        If it cannot be read, is too large, or carries no record, several, or one that is not whole.
    """
    try:
        size = path.stat().st_size
        raw = path.read_bytes() if size <= _MOST_BYTES else b""
    except OSError as failure:
        _refuse(path, f"cannot be read ({failure.strerror})", "a page is a file that is there", "name one")
    if size > _MOST_BYTES:
        _refuse(
            path,
            f"has {size / 1e6:.0f} MB",
            f"no page of soilx is larger than {_MOST_BYTES / 1e6:g} MB",
            "give the page as it was saved",
        )
    try:
        return page_record(raw.decode("utf-8"), path)
    except UnicodeDecodeError:
        _refuse(path, "is not text", "a page is UTF-8", "give the page as it was saved")


def page_record(page: str, path: Path) -> PageRecord:
    """The record in a page's markup.

    Parameters
    ----------
    page : str
    path : Path
        As refusals name it.

    Raises
    ------
    FileError
        As `read_page`.
    """
    seeker = _Seeker()
    try:
        seeker.feed(page)
        seeker.close()
    except (AssertionError, ValueError, RecursionError):
        _refuse(path, "is not a web page", "a page is HTML", "give the page as it was saved")
    if len(seeker.found) != 1:
        wrong = "carries several records" if seeker.found else "carries no record of what it was made from"
        limit = "a page that soilx makes from a scenario, a decision or a bench record carries one"
        _refuse(path, wrong, limit, "give such a page as it was saved, or the file it was made from")
    text = seeker.found[0]
    if len(text) > 2 * _MOST_TEXT:
        _refuse_edited(path, "is too long")
    try:
        held = json.loads(text, parse_constant=_no_number)
    except (ValueError, RecursionError):
        _refuse_edited(path, "is not whole")
    return _checked(held, path)


class _Seeker(HTMLParser):
    """Takes what stands in the elements of a record, and nothing else."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[str] = []
        self._inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "script" and dict(attrs).get("id") == _MARK:
            self._inside = True
            self.found.append("")

    def handle_endtag(self, tag: str) -> None:
        self._inside = self._inside and tag != "script"

    def handle_data(self, data: str) -> None:
        if self._inside:
            self.found[-1] += data


def _checked(held: Any, path: Path) -> PageRecord:
    """A record of which every part is what it should be."""
    texts = ("kind", "name", "text", "version", "made_on")
    if not isinstance(held, dict) or set(held) != {*texts, "options", "numbers"}:
        _refuse_edited(path, "has other parts than it was made with")
    if not all(isinstance(held[key], str) for key in texts):
        _refuse_edited(path, "holds something that is no text")
    if held["kind"] not in KINDS:
        _refuse_edited(path, f"is of a {quoted(held['kind'][:_LONGEST_NAME])}, which is nothing soilx makes")
    if (
        len(held["text"]) > _MOST_TEXT
        or max(len(held[key]) for key in texts if key != "text") > 4 * _LONGEST_NAME
    ):
        _refuse_edited(path, "is too long")
    options, numbers = held["options"], held["numbers"]
    if not isinstance(options, dict) or not set(options) <= {"reader", "units", "paper"}:
        _refuse_edited(path, "asks for what is not known")
    if not all(isinstance(value, str) and len(value) <= _LONGEST_NAME for value in options.values()):
        _refuse_edited(path, "asks for what is not known")
    if not isinstance(numbers, dict) or len(numbers) > _MOST_NUMBERS:
        _refuse_edited(path, "holds too many numbers")
    for name, value in numbers.items():
        if isinstance(value, bool) or not isinstance(value, float | int | str | None):
            _refuse_edited(path, "holds a number that is none")
        if isinstance(value, float | int) and not (abs(value) < 1e300 and math.isfinite(value)):
            _refuse_edited(path, "holds a number that is none")
        if len(name) > _LONGEST_NAME or (isinstance(value, str) and len(value) > _LONGEST_NAME):
            _refuse_edited(path, "is too long")
    return PageRecord(
        **{key: held[key] for key in texts},
        options=MappingProxyType(options),
        numbers=MappingProxyType(numbers),
    )


def _no_number(text: str) -> NoReturn:
    raise ValueError(text)


def _refuse_edited(path: Path, wrong: str) -> NoReturn:
    _refuse(
        path,
        f"carries a record that {wrong}",
        "it is read as soilx wrote it, and was changed since",
        "give the page as it was saved, or the file it was made from",
    )


def _refuse(path: Path, wrong: str, limit: str, remedy: str) -> NoReturn:
    refuse("page", quoted(str(path)), "", wrong=wrong, limit=limit, remedy=remedy, error=FileError)
