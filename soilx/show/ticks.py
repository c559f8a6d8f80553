"""Some of a few: native tick boxes under one heading."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from importlib.resources import files
from typing import Final

import anywidget
import marimo as mo
import traitlets

from soilx.errors import refuse
from soilx.show.page import Shown

_STATIC: Final = files("soilx.show") / "static"


class _TicksWidget(anywidget.AnyWidget):
    """The part in the browser; its options never change, what is ticked does."""

    _esm = (_STATIC / "ticks.js").read_text(encoding="utf-8")
    _css = (_STATIC / "ticks.css").read_text(encoding="utf-8")
    label = traitlets.Unicode().tag(sync=True)
    options = traitlets.List(traitlets.Unicode()).tag(sync=True)
    texts = traitlets.List(traitlets.Unicode()).tag(sync=True)
    ticked = traitlets.List(traitlets.Unicode()).tag(sync=True)

    @traitlets.validate("ticked")
    def _offered(self, proposal: traitlets.Bunch) -> list[str]:
        ticked = [str(one) for one in proposal["value"]]
        for one in ticked:
            if one not in self.options:
                refuse(
                    self.label,
                    one,
                    "",
                    wrong="is not in the list",
                    limit=f"the list holds {', '.join(self.options)}",
                    remedy="take some of them",
                )
        return [option for option in self.options if option in ticked]


class Ticks(mo.ui.anywidget):
    """Tick boxes; ``value`` is what is ticked, in the order of the list.

    Parameters
    ----------
    label : str
        What is chosen, as the audience reads it.
    options : mapping of str to str
        What the audience reads, by what ``value`` gives.
    value : iterable of str
        What is ticked at the start.

    Raises
    ------
    LimitError
        If something ticked is not among the options.
    """

    def __init__(self, label: str, options: Mapping[str, str], *, value: Iterable[str]) -> None:
        super().__init__(
            _TicksWidget(label=label, options=list(options), texts=list(options.values()), ticked=list(value))
        )

    @property
    def shown(self) -> Shown:
        """What a page layout places; a cell that reads only this is not run again by a tick."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; boxes have one choice to give.
    @property  # type: ignore[misc]
    def value(self) -> tuple[str, ...]:  # type: ignore[override]
        """What is ticked, in the order of the list."""
        return tuple(self.widget.ticked)
