"""More scenarios than memory holds: run in chunks, and of each run only what is wanted is kept."""

import os
from collections.abc import Callable, Iterable, Iterator, Sequence, Sized
from concurrent.futures import Executor
from functools import partial
from itertools import islice
from typing import TypeVar

from soilx.chemistry.ions import GYPSUM_MOLAR_MASS
from soilx.column.chunks import Progress, counted, in_order, whole_number
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.sweep import CHUNK, sweep

Kept = TypeVar("Kept")


def figures(run: Run) -> dict[str, str | float | None]:
    """What a run was given and what came of it: one row of a table, units in the names.

    Parameters
    ----------
    run : Run
        With all of its steps or without.
    """
    scenario = run.scenario
    return {
        "soil": scenario.soil.name,
        "gypsum_g_per_kg": scenario.gypsum * GYPSUM_MOLAR_MASS / 1000.0,
        "water_pore_volumes": scenario.volume / scenario.soil.drained_water,
        "initial_esp_pct": run.initial_esp_pct,
        "final_esp_pct": run.final_esp_pct,
        "sodium_initial_mg_per_kg": run.sodium_initial_mg_per_kg,
        "sodium_leached_mg_per_kg": run.sodium_leached_mg_per_kg,
        "sodium_left_mg_per_kg": run.sodium_left_mg_per_kg,
        "gypsum_left_g_per_kg": run.gypsum_left_g_per_kg,
        "exchange_efficiency": run.exchange_efficiency,
        "largest_closing_error": max(abs(account.closing_error) for account in run.balance.values()),
    }


def sweep_stream(
    scenarios: Iterable[Scenario],
    *,
    keep: Callable[[Run], Kept] = figures,  # type: ignore[assignment]
    extrapolate: bool = False,
    keep_steps: bool = False,
    executor: Executor | None = None,
    chunk: int = CHUNK,
    in_flight: int | None = None,
    progress: Progress | None = None,
) -> Iterator[Kept]:
    """What is kept of each run, one after another in the order of the scenarios, in bounded memory.

    Parameters
    ----------
    scenarios : iterable of Scenario
        Any mixture, without end too: they are taken a chunk at a time.
    keep : callable
        From a run, what is wanted of it; it is called where the run is, so that only its answer travels. A
        row of `soilx.column.sweep_stream.figures` unless given. Another process has to find it by its name:
        a function of a module, no lambda. Arrays of a run are parts of its whole chunk's: copy what is kept.
    extrapolate : bool
        Allow soil solutions above an ionic strength of 0.5 mol/L, where activities are rough.
    keep_steps : bool
        Let `keep` see every step of every layer, not only the first and the last.
    executor : concurrent.futures.Executor, optional
        As in `soilx.sweep`.
    chunk : int
        Scenarios run together, and handed to a worker at a time.
    in_flight : int, optional
        Chunks under way at most; memory grows with it. Twice this machine's processors unless given: give
        twice the workers of a cluster.
    progress : callable, optional
        Called with the number of scenarios done and of all, after each chunk; the latter is None where
        `scenarios` has no length.

    Raises
    ------
    SoilxError
        As `soilx.leach` does for one of them, when its chunk's turn comes: what was before it has been given.

    Warns
    -----
    RuntimeWarning
        If the executor loses work, as in `soilx.sweep`; nothing is lost with it.

    Notes
    -----
    The same chunks are computed in the same way wherever that is: the answers are the same to the last bit
    with an executor and without.
    """
    size = whole_number("chunk", chunk)
    window = whole_number("in_flight", 2 * (os.cpu_count() or 1) if in_flight is None else in_flight)
    total = len(scenarios) if isinstance(scenarios, Sized) else None
    # Checked above, at the call; what follows runs when the first answer is asked for.
    return _kept(
        partial(_kept_of, keep=keep, extrapolate=extrapolate, keep_steps=keep_steps),
        _batches(scenarios, size),
        executor=executor,
        in_flight=window,
        tell=counted(progress, total=total),
    )


def _kept(
    work: Callable[[Sequence[Scenario]], list[Kept]],
    chunks: Iterable[Sequence[Scenario]],
    *,
    executor: Executor | None,
    in_flight: int,
    tell: Callable[[int], None],
) -> Iterator[Kept]:
    for answers in in_order(work, chunks, executor=executor, in_flight=in_flight):
        tell(len(answers))
        yield from answers


def _kept_of(
    scenarios: Sequence[Scenario], *, keep: Callable[[Run], Kept], extrapolate: bool, keep_steps: bool
) -> list[Kept]:
    """What is kept of one chunk; a function of the module, so that another process can find it."""
    runs = sweep(scenarios, extrapolate=extrapolate, keep_steps=keep_steps, chunk=len(scenarios))
    return [keep(run) for run in runs]


def _batches(scenarios: Iterable[Scenario], size: int) -> Iterator[tuple[Scenario, ...]]:
    rest = iter(scenarios)
    while batch := tuple(islice(rest, size)):
        yield batch
