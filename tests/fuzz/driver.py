"""Inputs drawn for a target and counted, in rounds small enough that memory stays where it is."""

from __future__ import annotations

import time
import traceback
from dataclasses import dataclass, field

from hypothesis import HealthCheck, Phase, given, seed, settings

from tests.fuzz.targets import Target

ROUND = 1000
"""Inputs of one round: a drawing engine that remembers them all would fill the memory."""


@dataclass(slots=True, kw_only=True)
class Count:
    """What became of a target's inputs."""

    name: str
    inputs: int = 0
    accepted: int = 0
    seconds: float = 0.0
    finds: list[str] = field(default_factory=list)


def fuzz(target: Target, *, inputs: int, start: int, most_finds: int = 5) -> Count:
    """Feed a target and count; a find ends its round and is told with the smallest input that shows it.

    Parameters
    ----------
    target : Target
    inputs : int
        How many, at least.
    start : int
        Seed: the same brings the same inputs.
    most_finds : int
        After so many finds the target is left.
    """
    count = Count(name=target.name)
    began = time.perf_counter()
    rounds = 0
    while count.inputs < inputs and len(count.finds) < most_finds:
        _round(target, count, min(ROUND, inputs - count.inputs), start + rounds)
        rounds += 1
        if rounds > 20 * (inputs // ROUND + 1):
            break
    count.seconds = time.perf_counter() - began
    return count


def _round(target: Target, count: Count, inputs: int, start: int) -> None:
    last: list[object] = []

    @seed(start)
    @settings(
        max_examples=inputs,
        database=None,
        deadline=None,
        phases=(Phase.generate, Phase.shrink),
        suppress_health_check=list(HealthCheck),
        print_blob=False,
        report_multiple_bugs=False,
    )
    @given(target.inputs)
    def feed(drawn: object) -> None:
        last[:] = [drawn]
        count.inputs += 1
        count.accepted += target.check(drawn)

    try:
        feed()
    except BaseException as find:
        if isinstance(find, KeyboardInterrupt | SystemExit):
            raise
        shown = repr(last[0]) if last else "?"
        count.finds.append(
            f"{type(find).__name__}: {str(find)[:300]}{_where(find)}\n    input: {shown[:1500]}"
        )


def _where(find: BaseException) -> str:
    """The last line of soilx, or else of a check, that it came through."""
    frames = traceback.extract_tb(find.__traceback__)
    ours = [frame for frame in frames if "/soilx/" in frame.filename] or frames[-1:]
    return f" ({ours[-1].filename.rpartition('/soilx/')[2]}, line {ours[-1].lineno})"
