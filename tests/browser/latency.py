"""Measures how long a slider's move takes to reach the eye: ``python tests/browser/latency.py``.

From the browser's own time of the input event to the first paint after the last of the page's charts has
drawn the new setting, on the first screen and with every view open.
Not a test: a busy machine would fail it for no fault of the code.
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

sys.path.insert(0, str(Path(__file__).parent))

from conftest import NOTEBOOKS, chromium, served

if TYPE_CHECKING:
    from playwright.sync_api import Page

MEDIAN_MS, P95_MS, REPAINTS_PER_S, ALL_VIEWS_MS = 80, 120, 15, 200
DRAG_SECONDS, MOVES_PER_S = 2.5, 60
SLIDERS = 2

# A frame callback runs before the paint; a message posted from it arrives just after.
WATCH = """() => {
  window.moved = []; window.painted = [];
  document.addEventListener('input', (event) => window.moved.push(event.timeStamp), true);
  document.addEventListener('soilx-drawn', (event) => requestAnimationFrame(() => {
    const after = new MessageChannel();
    after.port1.onmessage = () => window.painted.push([event.detail, performance.now()]);
    after.port2.postMessage(0);
  }));
}"""
READY = "(charts) => document.querySelectorAll('*').length > 0 && window.soilxDrawn >= charts"


def opened(page: Page, address: str, charts: int) -> None:
    """The page with every chart drawn once."""
    page.add_init_script(
        "window.soilxDrawn = 0; document.addEventListener('soilx-drawn', () => (window.soilxDrawn += 1));"
    )
    page.goto(address)
    asked = page.get_by_role("button", name="Show me without a guess").first
    page.locator(".soilx-figure[data-setting]").first.wait_for(timeout=30_000)
    page.wait_for_timeout(500)
    if asked.is_visible():
        asked.click()
    page.wait_for_function(READY, arg=charts, timeout=30_000)
    page.wait_for_timeout(1500)
    page.evaluate(WATCH)


def one_move(page: Page, key: str, charts: int) -> float:
    """Milliseconds from a key's input event to the paint of the last chart that shows it."""
    page.evaluate("() => { window.moved = []; window.painted = []; }")
    page.keyboard.press(key)
    page.wait_for_function("(charts) => window.painted.length >= charts", arg=charts, timeout=10_000)
    moved, painted = page.evaluate("() => [window.moved, window.painted]")
    page.wait_for_timeout(250)
    return painted[-1][1] - moved[0]


def drag(page: Page, charts: int) -> float:
    """Repaints of the charts in a second of continuous drag of the first slider."""
    box = page.get_by_role("slider").first.bounding_box()
    if box is None:
        raise RuntimeError("no slider is on the page")
    middle = box["y"] + box["height"] / 2
    page.mouse.move(box["x"] + box["width"] * 0.5, middle)
    page.mouse.down()
    page.evaluate("() => { window.painted = []; window.dragFrom = performance.now(); }")
    at, step, began = 0.5, 0.004, time.monotonic()
    while time.monotonic() < began + DRAG_SECONDS:
        time.sleep(1 / MOVES_PER_S)
        at += step
        if not 0.1 < at < 0.9:
            step = -step
        page.mouse.move(box["x"] + box["width"] * at, middle)
    page.mouse.up()
    painted, took = page.evaluate("() => [window.painted.length, performance.now() - window.dragFrom]")
    return painted / charts / (took / 1000)


def moves(page: Page, count: int, charts: int) -> list[float]:
    """Milliseconds of so many key presses, on one slider after the other."""
    sliders = page.get_by_role("slider")
    times = []
    for move in range(count):
        sliders.nth(move % SLIDERS).focus()
        times.append(one_move(page, "ArrowLeft" if move % 7 < 4 else "ArrowRight", charts))
    return times


def main() -> int:
    """Print the figures; exit 1 if one misses its aim."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("notebook", nargs="?", type=Path, default=NOTEBOOKS / "lecture.py")
    parser.add_argument("--moves", type=int, default=40)
    parser.add_argument("--charts", type=int, default=2)
    parser.add_argument("--all-charts", type=int, default=9, help="charts at the address with ?show=all")
    wanted = parser.parse_args()
    with served(wanted.notebook) as address, chromium() as browser:
        page = browser.new_page(viewport={"width": 1024, "height": 768})
        opened(page, address, wanted.charts)
        times = moves(page, wanted.moves, wanted.charts)
        repaints = drag(page, wanted.charts)
        everything = browser.new_page(viewport={"width": 1024, "height": 768})
        opened(everything, f"{address}/?show=all", wanted.all_charts)
        all_times = moves(everything, wanted.moves, wanted.all_charts)
    figures = {
        "median_ms": round(statistics.median(times), 1),
        "p95_ms": round(statistics.quantiles(times, n=20)[-1], 1),
        "drag_repaints_per_s": round(repaints, 1),
        "all_views_median_ms": round(statistics.median(all_times), 1),
        "all_views_slowest_ms": round(max(all_times), 1),
        "moves": wanted.moves,
    }
    sys.stdout.write(json.dumps(figures) + "\n")
    met = figures["median_ms"] <= MEDIAN_MS and figures["p95_ms"] <= P95_MS
    met = met and figures["all_views_slowest_ms"] <= ALL_VIEWS_MS
    return 0 if met and figures["drag_repaints_per_s"] >= REPAINTS_PER_S else 1


if __name__ == "__main__":
    raise SystemExit(main())
