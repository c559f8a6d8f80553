"""A handout on disk: the page that belongs to what it is made from, and a page made again from itself."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Final, NoReturn

from soilx.bench.record_reading import record_of_bytes
from soilx.column.file_writing import write_whole
from soilx.column.leaching import leach
from soilx.column.scenario_toml import scenario_from_toml
from soilx.column.table_file import text_of
from soilx.errors import FileError, quoted, refuse
from soilx.handouts.key_numbers import Change, changes, numbers_of_pair
from soilx.handouts.live_charts import METRIC
from soilx.handouts.moving import moving
from soilx.handouts.record_in_page import Number, PageRecord, read_page, version_now, with_record
from soilx.handouts.scenario_page import scenario_page
from soilx.practice.decision_file import decision_from_toml, is_decision

Progress = Callable[[float], None]

PAGE_SUFFIXES: Final = (".html", ".htm")

_KINDS: Final[Mapping[str, str]] = MappingProxyType({".csv": "bench record"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Again:
    """A page made again.

    Attributes
    ----------
    size : int
        Of the new page [bytes].
    version, made_on : str
        Of soilx that made the old one, and the day.
    now : str
        Version of soilx that made the new one.
    compared : int
        How many key figures were compared.
    changes : tuple of Change
        Those that are not what they were.
    """

    size: int
    version: str
    made_on: str
    now: str
    compared: int
    changes: tuple[Change, ...]


def write_handout(
    source: Path,
    page: Path,
    *,
    reader: str | None = None,
    units: str = METRIC,
    paper: str | None = None,
    progress: Progress | None = None,
    made_on: dt.date | None = None,
) -> int:
    """Make a page of a scenario, a decision, a bench record or a notebook; an older page is replaced.

    Parameters
    ----------
    source : Path
        A scenario or a decision (.toml), a bench record (.csv), or a notebook (.py), which is run.
    page : Path
        The file to write (.html).
    reader : str, optional
        "gardener", "turf", "grower" or "student": the short page for one of them; the whole record unless
        given.
    units : str
        "metric" or "us".
    paper : str, optional
        "a4" or "letter"; any unless given.
    progress : callable, optional
        Told how far the work is, from 0 to 1.
    made_on : date, optional
        As shown; today unless given.

    Returns
    -------
    int
        Its size [bytes].

    Raises
    ------
    SoilxError
        If the source cannot be read as what it should be, or the page cannot be written.
    """
    require_page(page)
    suffix = source.suffix.lower()
    if suffix == ".py":
        if reader is not None:
            _refuse_source(
                source,
                "is a notebook",
                "a page for a reader is of one scenario, one decision or one bench record",
                "leave --for out, or give one of these",
            )
        from soilx.handouts.notebook_page import notebook_page  # a scenario's page needs no notebook to run

        return _write(notebook_page(source, told=progress), page)
    if suffix not in (".toml", ".csv"):
        _refuse_source(
            source,
            "is neither a scenario nor a notebook",
            "a scenario or a decision ends in .toml, a bench record in .csv, a notebook in .py",
            "give one of these; a page is made again with --again",
        )
    text = text_of(source)
    record = PageRecord(
        kind=_KINDS.get(suffix) or ("decision" if is_decision(text) else "scenario"),
        name=source.name,
        text=text,
        options=MappingProxyType(
            {"units": units} | ({"reader": reader} if reader else {}) | ({"paper": paper} if paper else {})
        ),
    )
    made, _ = page_of(record, progress=progress, made_on=made_on)
    return _write(made, page)


def make_again(page: Path, new: Path, *, progress: Progress | None = None) -> Again:
    """Make a page again from what it carries, and tell which of its figures have changed.

    Parameters
    ----------
    page : Path
        As soilx made it once.
    new : Path
        The file to write, which may be the same.
    progress : callable, optional
        Told how far the work is, from 0 to 1.

    Raises
    ------
    SoilxError
        If the page carries no record, or a page cannot be made from it or written.
    """
    require_page(new)
    record = read_page(page)
    made, numbers = page_of(record, progress=progress)
    return Again(
        size=_write(made, new),
        version=record.version,
        made_on=record.made_on,
        now=version_now(),
        compared=len({*record.numbers, *numbers}),
        changes=changes(record.numbers, numbers),
    )


def page_of(
    record: PageRecord, *, progress: Progress | None = None, made_on: dt.date | None = None
) -> tuple[str, Mapping[str, Number]]:
    """The page of a record, with the record in it, and its key figures.

    Parameters
    ----------
    record : PageRecord
        What it is made from and how it is asked for; its own figures are not looked at.
    progress : callable, optional
        Told how far the work is, from 0 to 1.
    made_on : date, optional
        As shown; today unless given.

    Raises
    ------
    SoilxError
        If the text cannot be read, or what it says cannot be run.
    """
    day = made_on or dt.date.today()
    told = progress or _silent
    reader, units = record.options.get("reader"), record.options.get("units", METRIC)
    if reader is not None:
        from soilx.handouts.reader_source import reader_source_page

        page, numbers = reader_source_page(record, reader=reader, units=units, progress=told, made_on=day)
    elif record.kind == "scenario":
        scenario = scenario_from_toml(record.text, name=record.name)
        numbers = numbers_of_pair(leach(scenario), leach(scenario.without_gypsum()))
        page = scenario_page(scenario, live=moving(scenario, units=units, progress=told), made_on=day)
    elif record.kind == "decision":
        from soilx.handouts.decision_page import decision_page

        page, numbers = decision_page(
            decision_from_toml(record.text, name=record.name), units=units, progress=told, made_on=day
        )
    else:
        from soilx.handouts.bench_page import bench_page

        bench = record_of_bytes(record.text.encode("utf-8"), name=record.name)
        page, numbers = bench_page(bench, text=record.text, units=units, progress=told, made_on=day)
    told(1.0)
    whole = PageRecord(
        kind=record.kind, name=record.name, text=record.text, options=record.options, numbers=numbers
    )
    return with_record(page, whole, made_on=day), numbers


def require_page(page: Path) -> None:
    """Raise where a page cannot be put.

    Parameters
    ----------
    page : Path

    Raises
    ------
    FileError
        If it is a folder, in none, or not named as a web page.
    """
    if page.is_dir() or not page.parent.is_dir():
        _refuse_page(
            page,
            "is a folder" if page.is_dir() else "is in a folder that does not exist",
            "a handout is one file in a folder that is there",
            "give a file's name, or make the folder",
        )
    if page.suffix.lower() not in PAGE_SUFFIXES:
        _refuse_page(
            page,
            "is not named as a web page",
            f"a page ends in {' or '.join(PAGE_SUFFIXES)}, so that a browser opens it",
            f"write {quoted(page.with_suffix('.html').name)}",
        )


def _write(made: str, page: Path) -> int:
    whole = made.encode("utf-8")
    write_whole(page, whole, remedy="choose another place, or free this one")
    return len(whole)


def _refuse_page(page: Path, wrong: str, limit: str, remedy: str) -> NoReturn:
    refuse("page", quoted(str(page)), "", wrong=wrong, limit=limit, remedy=remedy, error=FileError)


def _refuse_source(source: Path, wrong: str, limit: str, remedy: str) -> NoReturn:
    refuse("source", quoted(str(source)), "", wrong=wrong, limit=limit, remedy=remedy, error=FileError)


def _silent(_: float) -> None:
    return None
