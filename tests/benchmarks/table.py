"""The table of measured ratios that stands in DEVELOPERS.md: ``python -m tests.benchmarks.table``.

What is compared is timed turn by turn in one process, and each ratio taken within its turn; medians are
printed. Python is timed by its processor time, which other work on the machine moves little, Chromium by the
clock. The milliseconds are of this machine.
"""

import statistics
import sys
import time
from collections.abc import Callable

import numpy as np

from soilx.column.leaching import leach
from soilx.column.sweep import sweep
from tests.benchmarks.pair import GYPSUM, block_c, reference_ms
from tests.benchmarks.redraw import Charts, blank_page
from tests.benchmarks.stiff import METHODS, continuous, stepped

TURNS = 9
STIFF_TURNS = 3
MOVES = 24
SAMPLE = 24
RTOL = 1e-4

Row = tuple[str, float, float, float]


def timed(work: Callable[[], object]) -> float:
    """Milliseconds of processor time of some work."""
    begun = time.process_time()
    work()
    return 1000 * (time.process_time() - begun)


def row(name: str, ours: list[float], others: list[float]) -> Row:
    """Medians of both, and of the ratios of each turn."""
    ratios = [other / own for own, other in zip(ours, others, strict=True)]
    return name, statistics.median(ours), statistics.median(others), statistics.median(ratios)


def beside_brackets() -> Row:
    """The live pair, and the same equilibria by nested brackets (a sample of them, times their number)."""
    treated = block_c(gypsum=GYPSUM, moist=True)
    pair = (treated, treated.without_gypsum())
    runs = sweep(pair)
    reference_ms(runs[0], 1)  # the first call loads scipy.optimize
    ours, others = [], []
    for _ in range(TURNS):
        ours.append(timed(lambda: sweep(pair)))
        others.append(
            sum(
                run.steps * run.layers / SAMPLE * timed(lambda run=run: reference_ms(run, SAMPLE))
                for run in runs
            )
        )
    return row("nested brackets, every equilibrium of the pair", ours, others)


def beside_scipy() -> list[Row]:
    """The treated column in 96 steps, and in continuous flow by scipy's stiff solvers."""
    treated = block_c(gypsum=GYPSUM, moist=True)
    leach(treated)
    found = []
    for method in METHODS:
        ours, others = [], []
        for _ in range(STIFF_TURNS):
            ours.append(timed(lambda: leach(treated)))
            others.append(timed(lambda method=method: continuous(treated, method, rtol=RTOL)))
        found.append(row(f"scipy {method}, rtol {RTOL:g}", ours, others))
    return found


def beside_altair() -> list[Row]:
    """A move of the lecture's two charts, and the same drawn anew; what is sent is a row of its own [kB]."""
    base = block_c(gypsum=GYPSUM, moist=True)
    pairs = []
    for number in range(MOVES):
        treated = base.with_(gypsum=f"{6 + number} mmol/kg")
        pairs.append(tuple(sweep((treated, treated.without_gypsum()))))
    both = Charts()
    with blank_page() as page:
        both.anew(pairs[0], page)
        # A view that stands, then one that is thrown away and made again.
        turns = [(both.swapped(pair, page), both.anew(pair, page)) for pair in pairs]
    ours, others = zip(*turns, strict=True)
    found = [
        row(
            "plain Altair, Python's half", [one.python_ms for one in ours], [one.python_ms for one in others]
        ),
        row(
            "plain Altair, sent (kB)", [one.sent / 1000 for one in ours], [one.sent / 1000 for one in others]
        ),
    ]
    if page is not None:
        found.insert(
            1,
            row(
                "plain Altair, Chromium's half",
                [one.browser_ms for one in ours],
                [one.browser_ms for one in others],
            ),
        )
    return found


def agreement() -> str:
    """How far stepped layers are from continuous flow as their fraction is halved, in words."""
    treated = block_c(gypsum=GYPSUM, moist=True)
    limit = continuous(treated, "Radau", rtol=1e-8).esp_pct
    apart = [np.abs(stepped(treated, fraction) - limit).max() for fraction in (0.5, 0.25, 0.125, 0.0625)]
    return "; ".join(
        f"{off:.1e} at f = {fraction}"
        for fraction, off in zip(("1/2", "1/4", "1/8", "1/16"), apart, strict=True)
    )


def main() -> None:
    """Print the table."""
    out = sys.stdout.write
    rows = [beside_brackets(), *beside_scipy(), *beside_altair()]
    out("| against | soilx, ms | other, ms | other / soilx |\n| --- | --- | --- | --- |\n")
    for name, ours, others, ratio in rows:
        out(f"| {name} | {ours:.3g} | {others:.3g} | {ratio:.3g} |\n")
    out(f"\nStepped from continuous flow, largest difference of a layer's ESP, % of CEC: {agreement()}.\n")


if __name__ == "__main__":
    main()
