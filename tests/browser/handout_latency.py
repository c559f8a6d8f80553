"""Measures how long a page's slider takes to reach the eye: ``python -m tests.browser.handout_latency``.

A page is made and opened from disk with the network cut. From the browser's own time of the input event to
the first paint that shows the new setting, and to the paint after the last chart in sight has drawn it, as
the processor is and six times slower.
Not a test: a busy machine would fail it for no fault of the code.
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parent))

from conftest import CHECKOUT, chromium

if TYPE_CHECKING:
    from playwright.sync_api import Page

MEDIAN_MS, SLOW_MEDIAN_MS, BYTES, SECONDS = 20, 40, 3_000_000, 20
SIZES = {"desk": (1024, 768), "phone": (390, 844)}
SLOWER = 6

# A frame callback runs before the paint; a message posted from it arrives just after.
WATCH = """() => {
  window.moved = []; window.painted = []; window.finished = [];
  document.addEventListener('input', (event) => {
    window.moved.push(event.timeStamp);
    requestAnimationFrame(() => {
      const after = new MessageChannel();
      after.port1.onmessage = () => {
        window.painted.push(performance.now());
        const section = document.querySelector('section.live');
        const inSight = [...section.querySelectorAll('.live-chart')].filter((chart) => {
          const box = chart.querySelector('.live-plot').getBoundingClientRect();
          return box.top < innerHeight && box.bottom > 0;
        });
        const done = () => inSight.every((chart) => chart.dataset.setting === section.dataset.setting);
        const next = () => requestAnimationFrame(() => setTimeout(wait));
        const wait = () => (done() ? window.finished.push(performance.now()) : next());
        wait();
      };
      after.port2.postMessage(0);
    });
  });
}"""


def opened(page: Page, path: Path) -> None:
    """The page with every chart drawn, its sliders and first charts in sight."""
    page.goto(path.as_uri())
    page.wait_for_function("document.documentElement.dataset.live === 'ready'", timeout=60_000)
    page.locator(".live-top").evaluate("(top) => top.scrollIntoView()")
    page.wait_for_timeout(800)
    page.evaluate(WATCH)


def moves(page: Page, count: int) -> tuple[list[float], list[float]]:
    """Milliseconds of so many key presses, one slider after the other: to the first paint and the last."""
    sliders = page.get_by_role("slider")
    first, last = [], []
    for move in range(count):
        sliders.nth(move % sliders.count()).focus()
        page.evaluate("() => { window.moved = []; window.painted = []; window.finished = []; }")
        page.keyboard.press("ArrowLeft" if move % 12 < 6 else "ArrowRight")
        page.wait_for_function("() => window.finished.length > 0", timeout=10_000)
        moved, painted, finished = page.evaluate("() => [window.moved, window.painted, window.finished]")
        first.append(painted[0] - moved[0])
        last.append(finished[0] - moved[0])
        # What is out of sight follows now, and is not in the way of the next move.
        page.wait_for_timeout(300)
    return first, last


def main() -> int:
    """Print the figures; exit 1 if one misses its aim."""
    from soilx.handouts.write import write_handout

    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("source", nargs="?", type=Path, default=CHECKOUT / "data_demo" / "block_c.toml")
    parser.add_argument("--moves", type=int, default=40)
    wanted = parser.parse_args()
    figures: dict[str, float]
    with tempfile.TemporaryDirectory() as folder, chromium() as browser:
        path = Path(folder) / "page.html"
        began = time.monotonic()
        write_handout(wanted.source, path)
        figures = {"built_s": round(time.monotonic() - began, 1), "bytes": path.stat().st_size}
        for size, (width, height) in SIZES.items():
            for name, rate in (("", 1), (f"_{SLOWER}x_slower", SLOWER)):
                context = browser.new_context(viewport={"width": width, "height": height}, offline=True)
                page = context.new_page()
                opened(page, path)
                context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": rate})
                times, finished = moves(page, wanted.moves)
                figures[f"{size}{name}_median_ms"] = round(statistics.median(times), 1)
                figures[f"{size}{name}_p95_ms"] = round(statistics.quantiles(times, n=20)[-1], 1)
                figures[f"{size}{name}_all_in_sight_ms"] = round(statistics.median(finished), 1)
                context.close()
    sys.stdout.write(json.dumps(figures) + "\n")
    met = figures["bytes"] <= BYTES and figures["built_s"] <= SECONDS
    return (
        0
        if met
        and all(
            value <= (SLOW_MEDIAN_MS if "slower" in name else MEDIAN_MS)
            for name, value in figures.items()
            if name.endswith("_median_ms")
        )
        else 1
    )


if __name__ == "__main__":
    raise SystemExit(main())
