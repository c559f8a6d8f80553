"""Water a portion at a time: the buttons, and what the last portion brought out of both columns."""

from __future__ import annotations

import json
from dataclasses import asdict
from importlib.resources import files
from typing import TYPE_CHECKING, Final

import anywidget
import marimo as mo
import traitlets

from soilx.errors import require
from soilx.show import sentences, stage_records
from soilx.show.page import Shown
from soilx.show.tables import arms_of

if TYPE_CHECKING:
    from soilx.column.run import Run

_STATIC: Final = files("soilx.show") / "static"

SIZES: Final = (0.25, 0.5, 1.0)
"""Portions on offer [pore volumes]."""


class _PortionsWidget(anywidget.AnyWidget):
    """The part in the browser: two buttons, a size, and a table of the last portion."""

    _esm = (_STATIC / "portions.js").read_text(encoding="utf-8")
    _css = (_STATIC / "portions.css").read_text(encoding="utf-8")
    sizes = traitlets.List(traitlets.Float(), list(SIZES)).tag(sync=True)
    size = traitlets.Float(0.5).tag(sync=True)
    nexts = traitlets.Int(0).tag(sync=True)
    restarts = traitlets.Int(0).tag(sync=True)
    wire = traitlets.Unicode().tag(sync=True)

    @traitlets.validate("size")
    def _offered(self, proposal: traitlets.Bunch) -> float:
        return require(
            "portion",
            float(proposal["value"]),
            "pore volumes",
            low=min(SIZES),
            high=max(SIZES),
            whose="a cup under the column",
            remedy="take one of the list",
        )


class Portions(mo.ui.anywidget):
    """Buttons that give both columns one more portion of water, or start again without any.

    Parameters
    ----------
    size : float
        Of a portion, at the start [pore volumes].
    """

    def __init__(self, *, size: float = 0.5) -> None:
        super().__init__(_PortionsWidget(size=size))

    @property
    def shown(self) -> Shown:
        """What a page layout places."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; here one number is set.
    @property  # type: ignore[misc]
    def value(self) -> float:  # type: ignore[override]
        """Size of a portion [pore volumes]."""
        return float(self.widget.size)

    @property
    def asked(self) -> tuple[int, int]:
        """How often the next portion was asked for, and how often a new start."""
        return int(self.widget.nexts), int(self.widget.restarts)

    def show(self, *, treated: Run, untreated: Run, before: Run | None = None) -> None:  # noqa: ARG002
        """Show the last portion of a pair of runs.

        Parameters
        ----------
        treated, untreated : Run
            The same soil and water with gypsum and without.
        before : Run, optional
            Not shown.
        """
        arms = arms_of(treated=treated, untreated=untreated)
        self.widget.wire = json.dumps(
            {"said": sentences.portion(arms), "table": asdict(stage_records.portion_table(arms))},
            separators=(",", ":"),
        )
