"""How long a fit of the demonstration's bench run takes: ``python -m tests.benchmarks.bench_fit``."""

import statistics
import sys
import time

import soilx
from soilx.bench.fit import fit
from soilx.bench.observations import observe

TIMES = 5
WANTED_S = 3.0


def main() -> int:
    """Print the figures; exit 1 where the median misses what is wanted."""
    record = soilx.read_record(soilx.demo_path("bench_block_c.csv"))
    observations = observe(record, soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"])
    took = []
    for _ in range(TIMES):
        began = time.perf_counter()
        fit(observations)
        took.append(time.perf_counter() - began)
    median = statistics.median(took)
    sys.stdout.write(f"fit of four parameters: median {median:.2f} s (least {min(took):.2f})\n")
    return 0 if median <= WANTED_S else 1


if __name__ == "__main__":
    raise SystemExit(main())
