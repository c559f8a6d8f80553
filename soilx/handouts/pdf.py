"""A page printed to PDF, through a Chromium that is there already."""

from __future__ import annotations

import contextlib
import os
import re
import shutil
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Final

from soilx.column.file_writing import write_whole
from soilx.errors import FileError, SoilxError, refuse

PAPERS: Final = {"a4": "A4", "letter": "Letter"}
"""Sheets that a page is printed on, and what a browser calls them."""

# Without these a browser asks its maker for updates and lists, which nobody asked for.
_FLAGS: Final = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
_BROWSERS: Final = ("chromium", "chromium-browser", "google-chrome")
_PATIENCE_MS: Final = 120_000
_SHEET: Final = re.compile(rb"/Type\s*/Page\b")


class PrintingError(SoilxError):
    """A page cannot be printed here, because something that prints is missing or gives up."""


def print_page(page: Path, pdf: Path, *, paper: str = "a4") -> int:
    """Number of sheets in the PDF that is made of a page; an older one of that name is replaced.

    Parameters
    ----------
    page : Path
        A page that is one file (.html).
    pdf : Path
        The file to write (.pdf). It is there whole, or as it was before.
    paper : str
        One of `PAPERS`.

    Raises
    ------
    FileError
        If the page cannot be read, or the PDF cannot be written.
    LimitError
        If there is no such paper.
    PrintingError
        If playwright or a Chromium is missing, or the browser gives up.

    Notes
    -----
    The page is opened from disk without a script and without a network: what is printed is what it holds.
    """
    _check(page, pdf, paper)
    # A browser is driven from a thread of its own, for whoever asks may be in the middle of other turns.
    with ThreadPoolExecutor(1) as aside:
        printed = aside.submit(_printed, page, PAPERS[paper]).result()
    write_whole(pdf, printed, remedy="choose another place, or free this one")
    return len(_SHEET.findall(printed))


def _check(page: Path, pdf: Path, paper: str) -> None:
    if paper not in PAPERS:
        refuse(
            "paper",
            paper,
            "",
            wrong="is not known here",
            limit=f"a page is printed on {' or '.join(PAPERS)}",
            remedy="name one of them",
        )
    if not page.is_file():
        _refuse_file("page", page, "is not there", "only a page that is a file is printed", "make it first")
    if pdf.suffix.lower() != ".pdf":
        wrong, remedy = "is not named as a PDF", f"write {pdf.with_suffix('.pdf').name}"
        _refuse_file("pdf", pdf, wrong, "its name ends in .pdf, so that a reader opens it", remedy)
    if pdf.is_dir() or not pdf.parent.is_dir():
        wrong = "is a folder" if pdf.is_dir() else "is in a folder that does not exist"
        limit, remedy = (
            "a PDF is one file in a folder that is there",
            "give a file's name, or make the folder",
        )
        _refuse_file("pdf", pdf, wrong, limit, remedy)


def _refuse_file(name: str, path: Path, wrong: str, limit: str, remedy: str) -> None:
    refuse(name, str(path), "", wrong=wrong, limit=limit, remedy=remedy, error=FileError)


def _printed(page: Path, sheet: str) -> bytes:
    try:
        from playwright.sync_api import Error, sync_playwright
    except ImportError as missing:
        raise PrintingError(
            "pdf: playwright is not installed; a PDF is printed by a browser that it drives; run "
            "pip install 'soilx[pdf]', or open the page in any browser and print it there."
        ) from missing
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(
                executable_path=_chromium(playwright.chromium.executable_path), args=list(_FLAGS)
            )
            with contextlib.closing(browser):
                # Nothing but the page itself is ever asked for, and nothing in it runs.
                context = browser.new_context(offline=True, java_script_enabled=False)
                context.set_default_timeout(_PATIENCE_MS)
                context.route(re.compile("^(?!file:)"), lambda route: route.abort())
                shown = context.new_page()
                shown.goto(page.resolve().as_uri())
                shown.emulate_media(media="print", color_scheme="light")
                return shown.pdf(format=sheet, print_background=True, prefer_css_page_size=False)
    except Error as failure:
        why = " ".join(str(failure).split())[:200]
        raise PrintingError(
            f"pdf: the browser gave up ({why}); a PDF is printed by a Chromium on this machine; open the "
            "page in any browser and print it there."
        ) from failure


def _chromium(own: str) -> str:
    """The Chromium to print with: one that is named, the system's, or playwright's own."""
    named = os.environ.get("SOILX_CHROMIUM")
    found = named or next(filter(None, map(shutil.which, _BROWSERS)), None) or own
    if not Path(found).exists():
        raise PrintingError(
            "pdf: no Chromium was found; a PDF is printed by one; install your system's chromium, name one "
            "in SOILX_CHROMIUM, or open the page in any browser and print it there."
        )
    return found
