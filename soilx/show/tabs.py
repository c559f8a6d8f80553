"""A page of a few parts of which one is open: a row of tabs, each named by what a person does there."""

from __future__ import annotations

import html
from collections.abc import Sequence
from importlib.resources import files
from typing import Final

import anywidget
import marimo as mo
import traitlets

from soilx.errors import require
from soilx.show.page import Laid, Shown

_STATIC: Final = files("soilx.show") / "static"


class _TabsWidget(anywidget.AnyWidget):
    """The part in the browser: it marks the root element with the tab that is open, and the page follows."""

    _esm = (_STATIC / "tabs.js").read_text(encoding="utf-8")
    _css = (_STATIC / "tabs.css").read_text(encoding="utf-8")
    label = traitlets.Unicode().tag(sync=True)
    names = traitlets.List(traitlets.Unicode()).tag(sync=True)
    tab = traitlets.Int(1).tag(sync=True)

    @traitlets.validate("tab")
    def _exists(self, proposal: traitlets.Bunch) -> int:
        return int(
            require(
                "tab",
                int(proposal["value"]),
                "",
                low=0,
                high=len(self.names),
                whose=f"a page of {len(self.names)} tabs",
                remedy="give one of them, counted from 1, or 0 for all of them",
            )
        )


class Tabs(mo.ui.anywidget):
    """Which part of a page is open; ``value`` counts from 1, and 0 opens all of them.

    Parameters
    ----------
    label : str
        Accessible name of the row.
    names : sequence of str
        What a person does in each part.
    tab : int
        Where it starts; 0 for print.

    Raises
    ------
    LimitError
        If there is no such tab.
    """

    def __init__(self, label: str, names: Sequence[str], *, tab: int = 1) -> None:
        super().__init__(_TabsWidget(label=label, names=list(names), tab=tab))

    @property
    def shown(self) -> Shown:
        """What a page layout places."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; tabs have one number to give.
    @property  # type: ignore[misc]
    def value(self) -> int:  # type: ignore[override]
        """The tab that is open, counted from 1; 0 where all are."""
        return int(self.widget.tab)


def panel(*items: object, tab: int, label: str, look: str = "screen", stage: int = 0) -> Laid:
    """Items that are seen while their tab is open.

    Parameters
    ----------
    *items : object
        Whatever the notebook can show.
    tab : int
        Counted from 1.
    label : str
        Accessible name.
    look : str
        "screen" as wide as a screen, "prose" in lines short enough to read.
    stage : int
        Whose steps its items keep to, where the page has stages too; 0 for none.
    """
    steps = f" soilx-of-{stage}" if stage else ""
    inside = "".join(f"<div>{mo.as_html(item).text}</div>" for item in items if item is not None)
    return Laid(
        f'<section class="soilx-tab-{tab}{steps} soilx-{look}" aria-label="{html.escape(label, quote=True)}">'
        f"{inside}</section>",
        *items,
    )
