"""The pair of columns that a lecture shows, carried on by portions, and the views that show it."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final, Protocol

from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.sweep import sweep
from soilx.column.water import Water
from soilx.errors import refuse
from soilx.show.control import Control
from soilx.show.page import Shown
from soilx.show.sentences import RATE_UNIT
from soilx.show.stages import Stages
from soilx.units import quantity

if TYPE_CHECKING:
    from soilx.show.kept import KeptCurves
    from soilx.show.level_guess import LevelGuess

Pair = tuple[Run, Run]

MOST_WATER: Final = 10.0
"""Where the water slider ends [pore volumes]."""

REST_SECONDS: Final = 0.7
"""A setting that stood this long was looked at, and is what "before" means."""

_SEEN: Final = 1e-5


class View(Protocol):
    """What shows a pair."""

    def show(self, *, treated: Run, untreated: Run, before: Run | None = None) -> None:
        """Show a pair, and the treated column before the last change."""


class Columns:
    """Both columns as they stand, with gypsum and without: run anew, or carried on by a portion.

    Attributes
    ----------
    pair : tuple of Run or None
        The treated and the untreated column.
    """

    def __init__(self) -> None:
        self.pair: Pair | None = None
        self._asked = (0, 0)

    def runs(self, scenario: Scenario, *, asked: tuple[int, int], portion: float, water: Water) -> Pair:
        """The pair of a scenario; with a portion asked for, the pair carried on by it.

        Parameters
        ----------
        scenario : Scenario
            As the controls say.
        asked : tuple of int
            How often the next portion and a new start were asked for, up to now.
        portion : float
            Its size [pore volumes].
        water : Water
            Of which it is.

        Raises
        ------
        SoilxError
            If the scenario cannot be run, or not carried on. The pair stays what it was.
        """
        more, restarts = asked[0] - self._asked[0], asked[1] - self._asked[1]
        self._asked = asked
        if restarts > 0:
            self.pair = _run(scenario.with_(wettings=()))
        elif more > 0:
            pair = self.pair if self.pair and _same(self.pair[0].scenario, scenario) else _run(scenario)
            for _ in range(more):
                pair = _carried_on(pair, portion=portion, water=water)
            self.pair = pair
        else:
            self.pair = _run(scenario)
        return self.pair


class Views:
    """Views of the stages that are open; the others are shown when their stage opens.

    Parameters
    ----------
    stages : Stages
        How far the page is open.
    by_stage : mapping of int to sequence of View
        What belongs to each stage.
    guess : LevelGuess, optional
        What is asked before the first run: until it is answered both columns are shown before any water.
    kept : KeptCurves, optional
        Curves that stay on the charts.
    """

    def __init__(
        self,
        stages: Stages,
        by_stage: Mapping[int, Sequence[View]],
        *,
        guess: LevelGuess | None = None,
        kept: KeptCurves | None = None,
    ) -> None:
        self._stages = stages
        self._guess = guess
        self._by_stage = by_stage
        self._open = stages.value
        self._pair: Pair | None = None
        self._before: Run | None = None
        self._since = 0.0
        self._looks = self._look()
        stages.widget.observe(self._opened, names="stage")
        stages.widget.observe(self._stepped, names=["stage", "step", "plain"])
        if guess is not None:
            guess.widget.observe(lambda _: self.again(), names=["state", "level"])
        if kept is not None:
            kept.widget.observe(lambda _: self.again(), names="lines")

    def show(self, *, treated: Run, untreated: Run) -> None:
        """Show a pair in every open stage.

        Parameters
        ----------
        treated, untreated : Run
            The same soil and water with gypsum and without.
        """
        now = time.monotonic()
        if self._pair and now - self._since > REST_SECONDS:
            self._before = self._pair[0]
        self._since = now
        self._pair = (treated, untreated)
        self._draw(1, self._open)

    def again(self) -> None:
        """Show the same pair again, in other words or units."""
        self._draw(1, self._open)

    def _opened(self, change: Mapping[str, Any]) -> None:
        already, self._open = self._open, int(change["new"])
        self._draw(already + 1, self._open)

    def _look(self) -> tuple[bool, bool]:
        return self._stages.locked, self._stages.numbers

    def _stepped(self, _: Mapping[str, Any]) -> None:
        looks, self._looks = self._looks, self._look()
        if looks != self._looks:
            self._draw(1, 1)

    def _draw(self, first: int, last: int) -> None:
        if self._pair is None:
            return
        treated, untreated = self._pair
        before = self._before
        if self._guess is not None and self._stages.locked:
            self._guess.ask(treated=treated)
            treated, untreated = _run(_unwatered(treated.scenario))
            before = None
        elif self._guess is not None:
            self._guess.show(treated=treated, untreated=untreated)
        for stage in range(first, last + 1):
            for view in self._by_stage.get(stage, ()):
                view.show(treated=treated, untreated=untreated, before=before)


def setting_shown(columns: Columns, stages: Stages, gypsum: Shown) -> tuple[Scenario, str] | None:
    """Scenario of the treated column on screen and the unit its rate is read in; None before there is one.

    Parameters
    ----------
    columns : Columns
        As they stand.
    stages : Stages
        How far the page is open: nothing is given away while the end is still to be guessed.
    gypsum : Shown
        The slider of the rate, as the page places it.
    """
    if columns.pair is None or stages.locked or not columns.pair[0].scenario.volume:
        return None
    control = getattr(gypsum, "control", None)
    unit = control.unit_shown if isinstance(control, Control) else RATE_UNIT
    return columns.pair[0].scenario, unit


def follow(water: Shown, pair: Pair | None) -> None:
    """Put the water slider where the columns stand.

    Parameters
    ----------
    water : Shown
        As the page places it.
    pair : tuple of Run or None
        The columns; None where there is nothing to follow.
    """
    control = getattr(water, "control", None)
    if pair is None or control is None:
        return
    stands = min(MOST_WATER, float(pair[0].applied_pore_volumes[-1]))
    # A slider under the hand is not pushed by the last bits of its own number.
    if abs(stands - control.value) > _SEEN:
        control.move(round(stands, 6))


def _run(scenario: Scenario) -> Pair:
    treated, untreated = sweep([scenario, scenario.without_gypsum()])
    return treated, untreated


def _unwatered(scenario: Scenario) -> Scenario:
    """The columns before their first water, as moist as their soil drains to: there its shares are stated."""
    soil = scenario.soil
    return scenario.with_(soil=replace(soil, initial_water=soil.drained_water), wettings=())


def _carried_on(pair: Pair, *, portion: float, water: Water) -> Pair:
    total = float(pair[0].applied_pore_volumes[-1]) + portion
    if total > MOST_WATER + 1e-9:
        refuse(
            "water",
            round(total, 2),
            "pore volumes",
            wrong="is more than this page shows",
            limit=f"the water slider ends at {MOST_WATER:g} pore volumes",
            remedy="press “Start again”",
        )
    wetting = {"amount": quantity(portion, "pore_volume"), "water": water, "collect": 1}
    treated, untreated = (run.then(wetting) for run in pair)
    return treated, untreated


def _same(one: Scenario, other: Scenario) -> bool:
    """Whether two scenarios differ in nothing but how the same water is divided."""
    waters = [{wetting.water for wetting in scenario.wettings} for scenario in (one, other)]
    return (
        (one.soil, one.gypsum, one.placement) == (other.soil, other.gypsum, other.placement)
        and waters[0] == waters[1]
        and abs(one.volume - other.volume) < 1e-6
    )
