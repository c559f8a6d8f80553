"""`python -m tests.fuzz`: 100 000 inputs over all that reads; the count by target, and what was found."""

from __future__ import annotations

import argparse
import sys
import time

from tests.fuzz.driver import fuzz
from tests.fuzz.targets import TARGETS

INPUTS = 100_000


def main() -> int:
    """Exit code: 1 where anything was found."""
    options = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    options.add_argument("--inputs", type=int, default=INPUTS, help="in all; each target has its share")
    options.add_argument("--seed", type=int, help="of an earlier run; a new one unless given")
    options.add_argument("--target", action="append", choices=[target.name for target in TARGETS])
    options.add_argument("--guided", action="store_true", help="readers guided by coverage instead (atheris)")
    asked = options.parse_args()
    start = asked.seed if asked.seed is not None else time.time_ns() % 2**31
    _say(f"seed {start}")
    return _guided(asked.inputs, start) if asked.guided else _drawn(asked.inputs, start, asked.target)


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _drawn(inputs: int, start: int, names: list[str] | None) -> int:
    counts = []
    for target in TARGETS:
        if names and target.name not in names:
            continue
        wanted = inputs if names else round(inputs * target.share)
        count = fuzz(target, inputs=wanted, start=start)
        counts.append(count)
        _say(
            f"{count.name:18} {count.inputs:7} inputs, {count.accepted:6} accepted, {len(count.finds)} "
            f"finds, {count.seconds:6.1f} s"
        )
        for find in count.finds:
            _say(f"  FOUND {find}")
    finds = sum(len(count.finds) for count in counts)
    _say(f"{sum(count.inputs for count in counts)} inputs, {finds} finds, seed {start}")
    return 1 if finds else 0


def _guided(runs: int, start: int) -> int:
    from tests.fuzz.guided import CHECKS, run_one

    total, finds = 0, 0
    for name in CHECKS:
        began = time.perf_counter()
        tried, find = run_one(name, runs=runs // len(CHECKS), start=start % 2**31 or 1)
        total, finds = total + tried, finds + bool(find)
        _say(f"{name:18} {tried:7} inputs, {int(bool(find))} finds, {time.perf_counter() - began:6.1f} s")
        if find:
            _say(f"  FOUND {find}")
    _say(f"{total} inputs guided by coverage, {finds} finds, seed {start}")
    return 1 if finds else 0


if __name__ == "__main__":
    sys.exit(main())
