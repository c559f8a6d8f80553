"""Many scenarios run as arrays, here or on any executor: all of the runs at once."""

from collections.abc import Iterable, Sequence
from concurrent.futures import Executor
from dataclasses import replace
from functools import partial
from typing import Final

from soilx.column.chunks import Progress, counted, in_order, whole_number
from soilx.column.leaching import leach_together
from soilx.column.run import Run
from soilx.column.scenario import Scenario

CHUNK: Final = 400
"""Columns stepped as one array: enough to hide numpy's calls, few enough to stay in the processor's cache."""


def sweep(
    scenarios: Iterable[Scenario],
    *,
    extrapolate: bool = False,
    keep_steps: bool = True,
    executor: Executor | None = None,
    chunk: int = CHUNK,
    progress: Progress | None = None,
) -> tuple[Run, ...]:
    """Runs of many scenarios, in their order.

    Parameters
    ----------
    scenarios : iterable of Scenario
        Any mixture; those with equally many layers are stepped together.
    extrapolate : bool
        Allow soil solutions above an ionic strength of 0.5 mol/L, where activities are rough.
    keep_steps : bool
        Keep every step of every layer; else only the first and the last, to save memory.
    executor : concurrent.futures.Executor, optional
        Where chunks are computed: a pool of processes, or what a cluster's client offers as an executor. In
        this process unless given.
    chunk : int
        Columns stepped as one array.
    progress : callable, optional
        Called with the number of scenarios done and of all, after each chunk.

    Raises
    ------
    SoilxError
        As `soilx.leach` does for one of them.

    Warns
    -----
    RuntimeWarning
        If the executor loses work, as a pool does whose worker is killed: what was finished is kept, and the
        rest is computed in this process.

    Notes
    -----
    The same chunks are computed in the same way wherever that is, so that the runs are the same to the last
    bit. Another `chunk` moves them by what the solver leaves open, far below 1e-9 of a layer's inventory.
    All runs are held at once: for more than memory holds there is `soilx.sweep_stream`.
    """
    every = tuple(scenarios)
    chunks = list(_alike(every, size=whole_number("chunk", chunk)))
    work = partial(_runs_of, extrapolate=extrapolate, keep_steps=keep_steps)
    tell = counted(progress, total=len(every))
    found: dict[int, Run] = {}
    todo = ([every[number] for number in numbers] for numbers in chunks)
    done = in_order(work, todo, executor=executor, in_flight=len(chunks))
    for numbers, runs in zip(chunks, done, strict=True):
        for number, run in zip(numbers, runs, strict=True):
            found[number] = _with_own(run, every[number])
        tell(len(numbers))
    return tuple(found[number] for number in range(len(every)))


def _alike(scenarios: Sequence[Scenario], *, size: int) -> Iterable[list[int]]:
    """Numbers of scenarios that are stepped as one array: equally many layers, and about as much water."""
    for layers in sorted({scenario.layers for scenario in scenarios}):
        # columns of like length together, so that few wait for the longest
        numbers = sorted(
            (number for number, scenario in enumerate(scenarios) if scenario.layers == layers),
            key=lambda number: scenarios[number].volume / scenarios[number].soil.drained_water,
        )
        for first in range(0, len(numbers), size):
            yield numbers[first : first + size]


def _with_own(run: Run, scenario: Scenario) -> Run:
    """The run with the very scenario that was given; another process sends a copy of it back."""
    return run if run.scenario is scenario else replace(run, scenario=scenario)


def _runs_of(scenarios: Sequence[Scenario], *, extrapolate: bool, keep_steps: bool) -> tuple[Run, ...]:
    """Runs of one chunk; a function of the module, so that another process can find it."""
    return leach_together(scenarios, extrapolate=extrapolate, keep_steps=keep_steps)
