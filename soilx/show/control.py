"""The one control: a slider and a typed number that are a single value, named with its quantity and unit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from importlib.resources import files
from typing import Final

import anywidget
import marimo as mo
import traitlets

from soilx.errors import refuse
from soilx.show.page import Shown

_STATIC: Final = files("soilx.show") / "static"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """Another unit in which the same value may be set and read.

    Attributes
    ----------
    unit : str
        As the audience reads it ("short ton/acre").
    factor : float
        This unit's number for a value of 1 in the control's own unit.
    step : float
        Grid of the slider [this unit].
    digits : int
        Decimals shown.
    """

    unit: str
    factor: float
    step: float
    digits: int


class _ControlWidget(anywidget.AnyWidget):
    """The part in the browser; its texts and limits stay, its value and the unit in use change."""

    _esm = (_STATIC / "control.js").read_text(encoding="utf-8")
    _css = (_STATIC / "control.css").read_text(encoding="utf-8")
    quantity = traitlets.Unicode().tag(sync=True)
    unit = traitlets.Unicode().tag(sync=True)
    low = traitlets.Float().tag(sync=True)
    high = traitlets.Float().tag(sync=True)
    step = traitlets.Float().tag(sync=True)
    digits = traitlets.Int().tag(sync=True)
    value = traitlets.Float().tag(sync=True)
    readings = traitlets.List(traitlets.Dict()).tag(sync=True)
    used = traitlets.Unicode().tag(sync=True)
    note = traitlets.Unicode().tag(sync=True)
    disabled = traitlets.Bool(False).tag(sync=True)

    @traitlets.validate("value")
    def _within(self, proposal: traitlets.Bunch) -> float:
        value = float(proposal["value"])
        if not (math.isfinite(value) and self.low <= value <= self.high):
            refuse(
                self.quantity,
                value,
                self.unit,
                wrong="outside this slider",
                limit=f"it goes from {self.low:g} to {self.high:g} {self.unit}",
                remedy="give a number in between",
            )
        return value


class Control(mo.ui.anywidget):
    """A slider with a typed number beside it; ``value`` is the number both show.

    Parameters
    ----------
    quantity : str
        What is set, as the audience reads it ("Gypsum rate").
    unit : str
        Its unit, part of the accessible name ("t/ha").
    low, high, step : float
        Range and grid of the slider [unit]; a typed number need not lie on the grid.
    value : float
        Where it starts [unit].
    digits : int
        Decimals shown.
    readings : sequence of Reading
        Other units it may be set in; the ones not in use are shown beside it.
    note : str
        A short line under the slider, such as a published range.

    Raises
    ------
    LimitError
        If ``value`` lies outside the range.
    """

    def __init__(
        self,
        quantity: str,
        unit: str,
        *,
        low: float,
        high: float,
        step: float,
        value: float,
        digits: int,
        readings: Sequence[Reading] = (),
        note: str = "",
    ) -> None:
        super().__init__(
            _ControlWidget(
                quantity=quantity,
                unit=unit,
                low=low,
                high=high,
                step=step,
                digits=digits,
                value=value,
                readings=[asdict(reading) for reading in readings],
                used=unit,
                note=note,
            )
        )

    @property
    def shown(self) -> Shown:
        """What a page layout places; a cell that reads only this is not run again when the value moves."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; a control has one number to give.
    @property  # type: ignore[misc]
    def value(self) -> float:  # type: ignore[override]
        """The number on the slider [unit], whatever unit it is shown in."""
        return float(self.widget.value)

    @property
    def unit_shown(self) -> str:
        """The unit it is read in now: its own, or that of one of its readings."""
        return str(self.widget.used)

    def move(self, value: float) -> None:
        """Put the slider elsewhere; it moves on screen, and no cell is run for it.

        Parameters
        ----------
        value : float
            Within the range [unit].
        """
        self.widget.value = value

    def span(self, low: float, high: float, *, step: float, value: float) -> None:
        """Give the slider another range, where what can be chosen belongs to the soil; no cell is run for it.

        Parameters
        ----------
        low, high, step : float
            Range and grid [unit].
        value : float
            Where it stands then, within the range [unit].
        """
        widget = self.widget
        # The value lies in the old range and in the new one while the ends move, so that nothing is refused.
        with widget.hold_sync():
            widget.low, widget.high = min(low, widget.low), max(high, widget.high)
            widget.value = value
            widget.low, widget.high, widget.step = low, high, step

    def read_in(self, unit: str, readings: Sequence[Reading] | None = None) -> None:
        """Show the slider in another of its units; the value stays.

        Parameters
        ----------
        unit : str
            Its own unit, or that of one of its readings.
        readings : sequence of Reading, optional
            Others than before, where a factor belongs to the soil.
        """
        if readings is not None:
            self.widget.readings = [asdict(reading) for reading in readings]
        offered = [self.widget.unit, *(reading["unit"] for reading in self.widget.readings)]
        if unit not in offered:
            refuse(
                "unit",
                unit,
                "",
                wrong=f"is not one that {self.widget.quantity} is read in",
                limit=f"it is read in {', '.join(offered)}",
                remedy="take one of them",
            )
        self.widget.used = unit

    def allow(self, moved: bool, *, note: str = "") -> None:
        """Let the slider be moved, or rest it and say why.

        Parameters
        ----------
        moved : bool
            Whether it may be moved.
        note : str
            The line under it.
        """
        self.widget.disabled = not moved
        self.widget.note = note
