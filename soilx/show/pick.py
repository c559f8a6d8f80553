"""One of a few: a native list whose name is read with it."""

from __future__ import annotations

from collections.abc import Mapping
from importlib.resources import files
from typing import Final

import anywidget
import marimo as mo
import traitlets

from soilx.errors import refuse
from soilx.show.page import Shown

_STATIC: Final = files("soilx.show") / "static"


class _PickWidget(anywidget.AnyWidget):
    """The part in the browser; its options never change, what is picked does."""

    _esm = (_STATIC / "pick.js").read_text(encoding="utf-8")
    _css = (_STATIC / "pick.css").read_text(encoding="utf-8")
    label = traitlets.Unicode().tag(sync=True)
    options = traitlets.List(traitlets.Unicode()).tag(sync=True)
    texts = traitlets.List(traitlets.Unicode()).tag(sync=True)
    picked = traitlets.Unicode().tag(sync=True)
    # Whether it changes what is shown, and not only how it is read.
    thing = traitlets.Bool(False).tag(sync=True)
    # The name under which keys of the page pick its first, second, ... option.
    key = traitlets.Unicode().tag(sync=True)

    @traitlets.validate("picked")
    def _offered(self, proposal: traitlets.Bunch) -> str:
        picked = str(proposal["value"])
        if picked not in self.options:
            refuse(
                self.label,
                picked,
                "",
                wrong="is not in the list",
                limit=f"the list holds {', '.join(self.options)}",
                remedy="take one of them",
            )
        return picked


class Pick(mo.ui.anywidget):
    """A list of which one is picked; ``value`` is that one.

    Parameters
    ----------
    label : str
        What is picked, as the audience reads it.
    options : mapping of str to str
        What the audience reads, by what ``value`` gives.
    value : str
        What is picked at the start.
    key : str
        The name under which keys of the page pick from it, such as "soil"; none unless given.
    thing : bool
        Whether it counts as something that is changed, where a page changes one thing at a time.

    Raises
    ------
    LimitError
        If ``value`` is not among the options.
    """

    def __init__(
        self, label: str, options: Mapping[str, str], *, value: str, key: str = "", thing: bool = False
    ) -> None:
        super().__init__(
            _PickWidget(
                label=label,
                options=list(options),
                texts=list(options.values()),
                picked=value,
                key=key,
                thing=thing,
            )
        )

    @property
    def shown(self) -> Shown:
        """What a page layout places; a cell that reads only this is not run again by a pick."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; a list has one pick to give.
    @property  # type: ignore[misc]
    def value(self) -> str:  # type: ignore[override]
        """What is picked."""
        return str(self.widget.picked)

    def move(self, value: str) -> None:
        """Pick something else; the list shows it, and no cell is run for it.

        Parameters
        ----------
        value : str
            One of the options.
        """
        self.widget.picked = value
