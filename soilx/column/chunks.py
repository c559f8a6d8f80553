"""Chunks of work done in their order, here or on any executor, with a bounded number under way.

An executor may lose work: a worker is killed, a cluster goes away, something cannot be sent. Nothing is lost
with it: what was finished is kept, the rest is computed here, and a warning says so. What the model itself
refuses is no such loss; it is raised as it would be here.
"""

import warnings
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import BrokenExecutor, Executor, Future
from typing import Generic, TypeVar

from soilx.errors import SoilxError, refuse

Given = TypeVar("Given")
Found = TypeVar("Found")

Progress = Callable[[int, int | None], object]
"""Called with how many are done, and of how many; None where nobody knows how many there will be."""


def in_order(
    work: Callable[[Given], Found], chunks: Iterable[Given], *, executor: Executor | None, in_flight: int
) -> Iterator[Found]:
    """Results of the chunks, in their order.

    Parameters
    ----------
    work : callable
        Of one chunk; a function that another process can find, where the executor has processes.
    chunks : iterable
        Taken one by one, when there is room for the next.
    executor : concurrent.futures.Executor, optional
        Where the work is done; here unless given. It is left open.
    in_flight : int
        Chunks handed to the executor and not yet collected, at most.

    Notes
    -----
    If the results are not all asked for, what has not begun is taken back.
    """
    if executor is None:
        yield from map(work, chunks)
        return
    crew = _Crew(work, executor)
    waiting: deque[tuple[Given, Future[Found] | None]] = deque()
    try:
        for chunk in chunks:
            waiting.append((chunk, crew.hand_over(chunk)))
            if len(waiting) >= in_flight:
                yield crew.collect(*waiting.popleft())
        while waiting:
            yield crew.collect(*waiting.popleft())
    finally:
        for _, future in waiting:
            if future is not None:
                future.cancel()


class _Crew(Generic[Given, Found]):
    """An executor at one kind of work, and this process for what the executor does not bring back."""

    def __init__(self, work: Callable[[Given], Found], executor: Executor) -> None:
        self._work = work
        self._executor: Executor | None = executor
        self._told = False

    def hand_over(self, chunk: Given) -> Future[Found] | None:
        """The promise of a result, or nothing where the executor takes no more work."""
        if self._executor is None:
            return None
        try:
            return self._executor.submit(self._work, chunk)
        except RuntimeError as failure:  # broken, or shut down
            self._give_up(failure)
            return None

    def collect(self, chunk: Given, future: Future[Found] | None) -> Found:
        """The result of a chunk, computed here if the executor lost it."""
        if future is not None:
            try:
                return future.result()
            except SoilxError:
                raise
            except BrokenExecutor as failure:
                self._give_up(failure)
            except Exception as failure:
                # Executors have errors of their own for what they lose. Should the fault be in the work
                # itself, it is raised below, where it can be seen.
                self._tell(failure)
        return self._work(chunk)

    def _give_up(self, failure: Exception) -> None:
        self._executor = None
        self._tell(failure)

    def _tell(self, failure: Exception) -> None:
        if self._told:
            return
        self._told = True
        warnings.warn(
            f"executor: lost work ({type(failure).__name__}: {' '.join(str(failure).split())}); the limit is "
            "the executor's; what it had finished is kept, what it did not do is computed in this process.",
            RuntimeWarning,
            stacklevel=2,
        )


def counted(progress: Progress | None, *, total: int | None) -> Callable[[int], None]:
    """A function that adds up what is done and hands it to `progress`."""
    done = 0

    def add(more: int) -> None:
        nonlocal done
        done += more
        if progress is not None:
            progress(done, total)

    return add


def whole_number(name: str, value: object) -> int:
    """The value if it is a whole number of at least one.

    Raises
    ------
    LimitError
        If it is not.
    """
    if isinstance(value, bool) or not isinstance(value, int) or value < 1:
        refuse(
            name,
            value,
            "",
            wrong="is no number of things to do at a time",
            limit="the limit is arithmetic's, a whole number of 1 or more",
            remedy="give one, or leave it out",
        )
    return value
