"""A thousand columns in one sweep: layer equilibria a second on one core, and memory by column.

Run with ``python -m tests.benchmarks.sweep``. Figures are of this machine; nothing is asserted.
"""

import os
import statistics
import sys
import time
import tracemalloc

from soilx.column.scenario import Scenario
from soilx.column.sweep import sweep
from tests.benchmarks.pair import block_c

RUNS = 5


def columns(count: int) -> list[Scenario]:
    """Block C from no gypsum to 39 mmol/kg, half as much as it can use to twice."""
    base = block_c(gypsum="0 mmol/kg", moist=True)
    return [base.with_(gypsum=f"{39.0 * number / count!r} mmol/kg") for number in range(count)]


def main() -> None:
    """Print equilibria a second, and memory for 250, 500 and 1000 columns."""
    out = sys.stdout.write
    if hasattr(os, "sched_setaffinity"):  # one core, whatever threads numpy has
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    thousand = columns(1000)
    for keep_steps in (True, False):
        times = []
        for _ in range(RUNS):
            begun = time.perf_counter()
            runs = sweep(thousand, keep_steps=keep_steps)
            times.append(time.perf_counter() - begun)
        equilibria = sum(run.steps * run.layers for run in runs)
        median = statistics.median(times)
        out(
            f"1000 columns, {'every step' if keep_steps else 'ends only':10s}: median {median:.3f} s "
            f"(least {min(times):.3f}), {equilibria / median / 1e6:.2f} million layer equilibria a second "
            f"(best {equilibria / min(times) / 1e6:.2f})\n"
        )
        del runs
    for keep_steps in (True, False):
        for count in (250, 500, 1000):
            tracemalloc.start()
            runs = sweep(thousand[:count], keep_steps=keep_steps)
            left, most = tracemalloc.get_traced_memory()
            tracemalloc.stop()
            out(
                f"{count:5d} columns, {'every step' if keep_steps else 'ends only':10s}: "
                f"{left / count / 1024:.1f} KiB a column kept, {most / count / 1024:.1f} at most\n"
            )
            del runs


if __name__ == "__main__":
    main()
