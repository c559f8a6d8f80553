"""The lecture's two charts after a move: data swapped in charts that stand, or plain Altair drawn anew.

Both halves are timed: Python's, from a pair of runs to what is sent, and Chromium's, from what is sent to the
charts on the page. Used by ``python -m tests.benchmarks.table``; without Chromium its half is left out.
"""

from __future__ import annotations

import contextlib
import json
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from soilx.column.run import Run
from soilx.show import charts, live, tables
from soilx.show.drawing_library import with_library

if TYPE_CHECKING:
    import altair as alt
    from playwright.sync_api import Page

Pair = tuple[Run, Run]

ANEW = """async ([specs]) => {
  const began = performance.now();
  for (const [at, spec] of specs.entries()) {
    if (window.views[at]) window.views[at].finalize();
    const plot = document.getElementById(`plot${at}`);
    const options = { actions: false, renderer: "svg", logLevel: 1 };
    window.views[at] = (await window.embed(plot, spec, options)).view;
  }
  return performance.now() - began;
}"""
SWAPPED = """async ([changes]) => {
  const began = performance.now();
  for (const [at, change] of changes.entries()) {
    const view = window.views[at];
    for (const [name, value] of Object.entries(change.signals)) view.signal(name, value);
    for (const [name, rows] of Object.entries(change.records)) view.data(name, rows);
    await view.runAsync();
  }
  return performance.now() - began;
}"""
PAGE = '<div id="plot0" style="width: 480px"></div><div id="plot1" style="width: 480px"></div>'


@dataclass(frozen=True, slots=True, kw_only=True)
class Redraw:
    """Milliseconds of one move of both charts by Python and by the browser, and what is sent [bytes]."""

    python_ms: float
    browser_ms: float
    sent: int


@contextlib.contextmanager
def blank_page() -> Iterator[Page | None]:
    """A page with the drawing library and room for two charts; None where there is no Chromium."""
    # The browser's tests are no package: they find each other in their own folder.
    sys.path.append(str(Path(__file__).resolve().parents[1] / "browser"))
    from conftest import chromium, chromium_path

    if chromium_path() is None:
        yield None
        return
    with chromium() as browser:
        page = browser.new_page(viewport={"width": 1024, "height": 768})
        page.set_content(PAGE)
        page.add_script_tag(content=f"{with_library('window.embed = vegaEmbed; window.views = [];')};")
        yield page


class Charts:
    """Both charts, live and plain."""

    def __init__(self) -> None:
        self.live = [live.soil_columns(), live.exchangeable_sodium_by_depth()]

    def swapped(self, pair: Pair, page: Page | None) -> Redraw:
        """New data into charts that stand."""
        treated, untreated = pair
        began = time.process_time()
        for chart in self.live:
            chart.show(treated=treated, untreated=untreated)
        took = 1000 * (time.process_time() - began)
        changes = [{key: chart.content[key] for key in ("records", "signals")} for chart in self.live]
        sent = sum(len(chart.wire.encode()) for chart in self.live)
        drawn = float(page.evaluate(SWAPPED, [changes])) if page else 0.0
        return Redraw(python_ms=took, browser_ms=drawn, sent=sent)

    def anew(self, pair: Pair, page: Page | None) -> Redraw:
        """Charts built by Altair from the same records, and embedded anew."""
        treated, untreated = pair
        began = time.process_time()
        arms = tables.arms_of(treated=treated, untreated=untreated)
        layers = tables.layer_records(arms)
        made: list[alt.LayerChart] = [
            charts.soil_columns(layers, tables.column_records(arms)),
            charts.exchangeable_sodium_by_depth(layers, tables.start_records(arms)),
        ]
        written = [json.dumps(chart.to_dict()) for chart in made]
        took = 1000 * (time.process_time() - began)
        specs: list[dict[str, Any]] = [json.loads(each) for each in written]
        drawn = float(page.evaluate(ANEW, [specs])) if page else 0.0
        return Redraw(python_ms=took, browser_ms=drawn, sent=sum(len(each.encode()) for each in written))
