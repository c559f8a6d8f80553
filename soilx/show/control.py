"""The one control: a slider and a typed number that are a single value, named with its quantity and unit."""

from __future__ import annotations

import math
from importlib.resources import files
from typing import Final

import anywidget
import marimo as mo
import traitlets

from soilx.errors import refuse

_STATIC: Final = files("soilx.show") / "static"


class _ControlWidget(anywidget.AnyWidget):
    """The part in the browser; its texts and limits never change, its value does."""

    _esm = (_STATIC / "control.js").read_text(encoding="utf-8")
    _css = (_STATIC / "control.css").read_text(encoding="utf-8")
    quantity = traitlets.Unicode().tag(sync=True)
    unit = traitlets.Unicode().tag(sync=True)
    low = traitlets.Float().tag(sync=True)
    high = traitlets.Float().tag(sync=True)
    step = traitlets.Float().tag(sync=True)
    digits = traitlets.Int().tag(sync=True)
    value = traitlets.Float().tag(sync=True)

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

    Raises
    ------
    LimitError
        If ``value`` lies outside the range.
    """

    def __init__(
        self, quantity: str, unit: str, *, low: float, high: float, step: float, value: float, digits: int
    ) -> None:
        super().__init__(
            _ControlWidget(
                quantity=quantity, unit=unit, low=low, high=high, step=step, digits=digits, value=value
            )
        )

    @property
    def shown(self) -> mo.Html:
        """What a page layout places; a cell that reads only this is not run again when the value moves."""
        return mo.Html(self.text)

    # The base class gives every trait of its widget as a dictionary; a control has one number to give.
    @property  # type: ignore[misc]
    def value(self) -> float:  # type: ignore[override]
        """The number on the slider [unit]."""
        return float(self.widget.value)
