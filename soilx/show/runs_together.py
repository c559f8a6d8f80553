"""Columns that several people move at once, stepped as one array: a class waits for one sweep, not thirty.

Every session of a served notebook is a thread of one process, and one processor steps their columns. One
after the other, a column for each of thirty students costs thirty times one; as one array some seven times.
Whoever has the turn takes all that wait along; a page that is alone waits for nobody.
"""

from __future__ import annotations

import threading
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.sweep import sweep

MOST_COLUMNS: Final = 32
"""Columns of one turn: more would let everybody wait for the last."""


@dataclass(slots=True, eq=False)
class _Asked:
    """What one session asks for, and what it gets."""

    scenarios: tuple[Scenario, ...]
    called: threading.Event = field(default_factory=threading.Event)
    runs: tuple[Run, ...] | None = None
    failure: BaseException | None = None


class Turns:
    """Sessions take turns; whoever has the turn steps the columns of all who wait."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._waiting: list[_Asked] = []
        self._at_work = False

    def run(self, scenarios: Sequence[Scenario]) -> tuple[Run, ...]:
        """Runs of scenarios, in their order, maybe stepped with those of others.

        Parameters
        ----------
        scenarios : sequence of Scenario
            Few: a pair of columns.

        Raises
        ------
        SoilxError
            As `soilx.sweep`, and only for one's own scenarios.
        """
        asked = _Asked(tuple(scenarios))
        with self._lock:
            self._waiting.append(asked)
            waits = self._at_work
            self._at_work = True
        if waits:
            asked.called.wait()
        if asked.runs is None and asked.failure is None:
            self._take_turn()
        if asked.failure is not None:
            raise asked.failure
        return asked.runs or ()

    def _take_turn(self) -> None:
        """Step what waits, oldest first, and call the one whose turn is next."""
        with self._lock:
            taken: list[_Asked] = []
            while self._waiting and sum(len(one.scenarios) for one in taken) < MOST_COLUMNS:
                taken.append(self._waiting.pop(0))
        try:
            _step(taken)
        except BaseException as stop:
            # Whoever stops this thread must not leave the others waiting.
            for one in taken:
                one.failure = one.failure or (None if one.runs else stop)
            raise
        finally:
            with self._lock:
                self._at_work = bool(self._waiting)
                following = self._waiting[0] if self._waiting else None
            for one in taken:
                one.called.set()
            if following is not None:
                following.called.set()


def _step(taken: Sequence[_Asked]) -> None:
    try:
        runs = sweep([scenario for one in taken for scenario in one.scenarios])
    except Exception:
        # What one column is refused for is nobody else's: each is run by itself, and hears of its own.
        for one in taken:
            try:
                one.runs = sweep(one.scenarios)
            except Exception as failure:
                one.failure = failure
        return
    first = 0
    for one in taken:
        one.runs = runs[first : first + len(one.scenarios)]
        first += len(one.scenarios)


TURNS: Final = Turns()
"""Of this process. It keeps nothing of anybody: what was asked for is handed over and forgotten."""
