"""A guess before a bench run: the sodium of the first cup with gypsum, in times of that without."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from soilx.show.bench_records import STRENGTHS
from soilx.show.level_guess import OPEN, NumberGuess
from soilx.show.marks import GUESS
from soilx.show.tables import Record as Row

if TYPE_CHECKING:
    from soilx.bench.plan import Plan
    from soilx.bench.record import ArmRecord, Record

BANDS: Final = (0.0, 0.8, 1.2, 2.0, 3.0)
"""Lower ends of what a room is asked to raise hands for [times the cup without gypsum]."""
_BAND_WORDS: Final = (
    "less: below 0.8 times",
    "about the same: 0.8 to 1.2 times",
    "more: 1.2 to 2 times",
    "2 to 3 times",
    "3 times and more",
)
_HIGHEST: Final = 6.0
NEAR_TIMES: Final = 0.3
"""By which a guess may be off and is called near; our own [times]."""
_SODIUM: Final = STRENGTHS["sodium"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstCups:
    """Sodium in the first cup of either column.

    Attributes
    ----------
    control, gypsum : float
        [mg/L], that of the control above nothing.
    """

    control: float
    gypsum: float

    @property
    def times(self) -> float:
        """That with gypsum over that without."""
        return self.gypsum / self.control

    @property
    def words(self) -> str:
        """With its numbers."""
        return f"{self.times:.1f} times, {self.gypsum:.0f} and {self.control:.0f}\N{NO-BREAK SPACE}mg/L"


def cups_of_plan(plan: Plan) -> FirstCups | None:
    """What the model expects of the first cups; None where a column does not drip.

    Parameters
    ----------
    plan : Plan
    """
    found = []
    for arm in ("control", "gypsum"):
        leachate = plan.runs[arm].leachate
        values = zip(leachate.volume, _SODIUM.predicted(leachate), strict=True)
        found.append(next((float(value) for volume, value in values if volume > 0), math.nan))
    return _cups(*found)


def cups_of_record(record: Record) -> FirstCups | None:
    """What was read of the first cups; None where it was not, or only as a limit of the instrument.

    Parameters
    ----------
    record : Record
    """
    arms = [record.arms.get(arm) for arm in ("control", "gypsum")]
    return _cups(*(math.nan if arm is None else _first_read(arm) for arm in arms))


def _first_read(arm: ArmRecord) -> float:
    firsts = [
        next((portion for portion in portions if portion.volume_ml > 0), None)
        for portions in arm.replicates.values()
    ]
    read = [
        value
        for portion in firsts
        if portion is not None
        and not portion.is_above_range("sodium")
        and not portion.is_below_range("sodium")
        and (value := _SODIUM.read(portion)) is not None
    ]
    return sum(read) / len(read) if read else math.nan


def _cups(control: float, gypsum: float) -> FirstCups | None:
    known = math.isfinite(control) and math.isfinite(gypsum) and control > 0
    return FirstCups(control=control, gypsum=gypsum) if known else None


class CupGuess(NumberGuess):
    """A question for the sodium of the first cups, answered before anything of a run is shown.

    Parameters
    ----------
    stage : int
        Of the page, which opens with the answer.
    """

    def __init__(self, *, stage: int = 1) -> None:
        self._by_model: FirstCups | None = None
        self._by_reading: FirstCups | None = None
        super().__init__(
            "Your guess: sodium in the first cup with gypsum",
            "times",
            high=_HIGHEST,
            step=0.1,
            bands=_BAND_WORDS,
            stage=stage,
        )

    def show(self, plan: Plan, record: Record | None = None) -> None:
        """Ask about a plan while nothing was guessed, and afterwards say how far the guess was off.

        Parameters
        ----------
        plan : Plan
        record : Record, optional
            Whose readings count before the model's numbers.
        """
        self._by_model = cups_of_plan(plan)
        self._by_reading = None if record is None else cups_of_record(record)
        widget = self.widget
        if widget.state == OPEN:
            widget.question, widget.hint = question(self._by_model)
        truth = self._by_reading or self._by_model
        widget.band = -1 if truth is None else max(at for at, low in enumerate(BANDS) if low <= truth.times)
        self._say({})

    def ghost(self, cups: FirstCups | None) -> list[Row]:
        """The guess as a level on a chart of sodium, a row; none where nothing was guessed.

        Parameters
        ----------
        cups : FirstCups or None
            What the cup without gypsum holds there.
        """
        level = self.value
        return [] if level is None or cups is None else [{"y": level * cups.control, "label": GUESS}]

    @property
    def by_model(self) -> FirstCups | None:
        """What the model expects of the plan that is asked about."""
        return self._by_model

    @property
    def by_reading(self) -> FirstCups | None:
        """What was read of it."""
        return self._by_reading

    def _say(self, _: Any) -> None:
        widget, level = self.widget, self.value
        widget.guess = "" if level is None else f"You guessed {level:.1f} times ({self.sure})."
        widget.found = found(level, self._by_model, self._by_reading, certain=self.certain)


def question(expected: FirstCups | None) -> tuple[str, str]:
    """What is asked before the run, and what is known then.

    Parameters
    ----------
    expected : FirstCups or None
        By the model.
    """
    known = (
        ""
        if expected is None
        else f"The model expects {expected.control:.0f} mg/L without gypsum. 1 means as much with gypsum, "
        "0.5 half of it, 2 twice as much."
    )
    return (
        "Both columns get the same water. How many times as much sodium is in the first cup from the column "
        "with gypsum as in that from the column without?",
        known,
    )


def found(
    level: float | None, by_model: FirstCups | None, by_reading: FirstCups | None, *, certain: bool
) -> str:
    """What the cups came to beside the guess.

    Parameters
    ----------
    level : float or None
        Guessed [times]; None where nothing was.
    by_model, by_reading : FirstCups or None
    certain : bool
        Whether the guess was called certain.
    """
    truth = by_reading or by_model
    if level is None or truth is None:
        return ""
    said = [f"Read in the record: {by_reading.words}."] if by_reading else []
    said += [f"The model expected {by_model.words}."] if by_model else []
    off = truth.times - level
    if abs(off) <= NEAR_TIMES:
        return " ".join((*said, "Near."))
    said.append(f"Your guess was {abs(off):.1f} too {'low' if off > 0 else 'high'}.")
    return " ".join((*said, "Certain and off: here is most to learn.") if certain else said)
