"""A notebook served on the loopback and a Chromium that looks at it; skipped aloud where there is none."""

from __future__ import annotations

import contextlib
import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from accessibility import Fault, faults

from tests.network_watch import asked_of, watched

if TYPE_CHECKING:
    from playwright.sync_api import Browser

CHECKOUT = Path(__file__).resolve().parents[2]
NOTEBOOKS = CHECKOUT / "notebooks"
START_SECONDS = 30.0

# Without these a browser asks its maker for updates and lists, and a test could not tell that from the page.
CHROMIUM_FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def chromium_path() -> str | None:
    """The system's Chromium, or the one named by SOILX_CHROMIUM."""
    named = os.environ.get("SOILX_CHROMIUM")
    found = (
        named or shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    )
    return found if found and Path(found).exists() else None


@contextlib.contextmanager
def served(notebook: Path, *arguments: str) -> Iterator[str]:
    """The address of a notebook that `marimo run` serves, given its arguments; it ends with the block."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    address = f"http://127.0.0.1:{port}"
    command = [sys.executable, "-m", "marimo", "run", str(notebook)]
    command += ["--headless", "--no-sandbox", "--host", "127.0.0.1", "--port", str(port)]
    command += ["--", *arguments] if arguments else []
    watch = Path(tempfile.mkdtemp(prefix="soilx-watch-"))
    server = subprocess.Popen(
        command,
        env=watched(watch, CHECKOUT),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        deadline = time.monotonic() + START_SECONDS
        while True:
            with contextlib.suppress(urllib.error.URLError, ConnectionError):
                urllib.request.urlopen(f"{address}/health", timeout=1).close()
                break
            if server.poll() is not None or time.monotonic() > deadline:
                raise RuntimeError(f"{notebook.name} was not served within {START_SECONDS:g} s")
            time.sleep(0.05)
        yield address
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(server.pid, signal.SIGTERM)
        server.wait(timeout=10)
        asked = asked_of(watch)
        shutil.rmtree(watch)
    # Whatever was done on the page: the server behind it asked nobody but this machine.
    assert asked == []


@contextlib.contextmanager
def chromium() -> Iterator[Browser]:
    """A headless Chromium."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=CHROMIUM_FLAGS)
        try:
            yield browser
        finally:
            browser.close()


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say at the end, without being asked, that pages were not looked at and why."""
    skipped = [report for report in terminalreporter.getreports("skipped") if "browser" in report.keywords]
    if skipped:
        terminalreporter.section(f"{len(skipped)} browser tests skipped")
        for reason in sorted({str(report.longrepr[2]) for report in skipped}):
            terminalreporter.write_line(reason)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    pytest.importorskip("playwright.sync_api", reason="no playwright: pages are not looked at")
    if chromium_path() is None:
        pytest.skip("no Chromium found (install it or name it in SOILX_CHROMIUM): pages are not looked at")
    with chromium() as running:
        yield running


@pytest.fixture(scope="session")
def axe() -> Callable[..., list[Fault]]:
    """``axe(page)``: what breaks WCAG 2.2 A or AA in our own markup; ``axe(page, "main")``: in a part."""
    pytest.importorskip("axe_playwright_python", reason="no axe-core: pages are not checked by rule")
    return faults


@pytest.fixture(scope="module")
def lecture_address() -> Iterator[str]:
    with served(NOTEBOOKS / "lecture.py") as address:
        yield address


@pytest.fixture(scope="module")
def exchange_address() -> Iterator[str]:
    with served(NOTEBOOKS / "exchange.py") as address:
        yield address


@pytest.fixture(scope="module")
def field_address() -> Iterator[str]:
    with served(NOTEBOOKS / "field.py") as address:
        yield address


@pytest.fixture(scope="module")
def homework_address() -> Iterator[str]:
    with served(NOTEBOOKS / "homework.py") as address:
        yield address
