"""A study of many scenarios, streamed: rate, peak memory early and late, and what a killed worker costs.

Run with ``python -m tests.benchmarks.sweep_stream here|threads|pool|dask [--count 100000] [--kill]``; `dask`
needs the extra "cluster". A digest of all rows is printed: it is the same wherever they were computed.
"""

import argparse
import contextlib
import hashlib
import os
import resource
import signal
import sys
import time
import warnings
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context

from soilx.column.scenario import Scenario
from soilx.column.sweep_stream import sweep_stream
from tests.benchmarks.pair import block_c

WORKERS = 2
KILL_AT = 0.3
"""Share of the study after which a worker is killed."""

Pids = Callable[[], list[int]]


def study(count: int) -> Iterator[Scenario]:
    """Block C from no gypsum to 39 mmol/kg, made one by one; 96 steps of 12 layers each."""
    base = block_c(gypsum="0 mmol/kg", moist=True)
    for number in range(count):
        yield base.with_(gypsum=f"{39.0 * number / count!r} mmol/kg")


@contextlib.contextmanager
def crew(where: str) -> Iterator[tuple[Executor | None, Pids]]:
    """An executor with its workers' process ids."""
    if where == "here":
        yield None, list
    elif where == "threads":
        with ThreadPoolExecutor(WORKERS) as threads:
            yield threads, list
    elif where == "pool":
        with ProcessPoolExecutor(WORKERS, mp_context=get_context("spawn")) as pool:
            # There is no public way to ask a pool for them.
            yield pool, lambda: list(pool._processes)
    else:
        from distributed import Client, LocalCluster

        with (
            LocalCluster(
                n_workers=WORKERS, threads_per_worker=1, host="127.0.0.1", dashboard_address=None
            ) as cluster,
            Client(cluster) as client,
        ):
            yield client.get_executor(), lambda: list(client.run(os.getpid).values())


def peak_mb() -> float:
    """Most memory that this process has held [MB]."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> None:
    """Print the figures of one place."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("where", choices=("here", "threads", "pool", "dask"))
    parser.add_argument("--count", type=int, default=100_000)
    parser.add_argument("--kill", action="store_true", help="kill a worker on the way")
    wanted = parser.parse_args()
    out = sys.stdout.write
    if wanted.kill and wanted.where not in ("pool", "dask"):
        parser.error(f"there is no worker to kill: {wanted.where}")
    digest, rows, early, killed = hashlib.sha256(), 0, 0.0, False
    warnings.simplefilter("always")
    with crew(wanted.where) as (executor, pids):
        begun = time.perf_counter()
        for row in sweep_stream(study(wanted.count), executor=executor):
            digest.update(repr(row).encode())
            rows += 1
            if rows == wanted.count // 10:
                early = peak_mb()
            if wanted.kill and not killed and rows >= KILL_AT * wanted.count:
                killed = True
                os.kill(pids()[0], signal.SIGKILL)
                out(f"after {rows} rows a worker was killed\n")
        took = time.perf_counter() - begun
    workers = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    equilibria = wanted.count * 96 * 12
    out(
        f"{wanted.where}: {rows} of {wanted.count} rows in {took:.1f} s, {rows / took:.0f} a second, "
        f"{equilibria / took / 1e6:.2f} million layer equilibria a second; peak memory {early:.0f} MB after "
        f"a tenth, {peak_mb():.0f} MB at the end"
        + (f"; largest worker {workers:.0f} MB" if wanted.where in ("pool", "dask") else "")
        + f"; digest {digest.hexdigest()[:12]}\n"
    )


if __name__ == "__main__":
    main()
