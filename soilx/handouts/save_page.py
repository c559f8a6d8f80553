"""A button that saves what a notebook shows now as one page, made in the session it is pressed in."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from importlib.resources import files
from typing import Any, Final

import anywidget
import marimo as mo
import traitlets

from soilx.errors import SoilxError
from soilx.handouts.notebook_page import Setting, screen_page
from soilx.show.page import widgets_in

_STATIC: Final = files("soilx.handouts") / "static"
_STEP: Final = 0.02

NOTE: Final = "One file with what is on screen now. It opens without a network, and it prints."


class SavePage(anywidget.AnyWidget):
    """A button that saves a page of what its notebook shows when it is pressed.

    Parameters
    ----------
    name : str
        Of the notebook; the file is called by it and the day.
    title : str
        Of the page.

    Notes
    -----
    It knows what was handed to it and nothing else, so that sessions of one process cannot be mixed up. The
    page travels once to the browser that asked, and is kept nowhere.
    """

    _esm = (_STATIC / "save_page.js").read_text(encoding="utf-8")
    _css = (_STATIC / "save_page.css").read_text(encoding="utf-8")
    label = traitlets.Unicode("Save this page").tag(sync=True)
    hint = traitlets.Unicode(NOTE).tag(sync=True)
    presses = traitlets.Int(0).tag(sync=True)
    busy = traitlets.Bool(False).tag(sync=True)
    share = traitlets.Float(0.0).tag(sync=True)
    said = traitlets.Unicode().tag(sync=True)

    def __init__(self, name: str, title: str) -> None:
        super().__init__()
        self._name = name
        self._title = title
        self.outputs: tuple[object, ...] = ()
        self._setting: Callable[[], Setting | None] = _none
        self.observe(self._pressed, names="presses")

    def holds(self, *outputs: object, setting: Callable[[], Setting | None] | None = None) -> SavePage:
        """Hand over what the notebook shows, in the order of the page; what was handed before is let go.

        Parameters
        ----------
        *outputs : object
            Of its cells; what is nothing is left out.
        setting : callable, optional
            Gives the scenario on screen, whose sliders the page keeps alive, and the unit that its rate is
            read in; None where there is none.

        Returns
        -------
        SavePage
            Itself, to be shown.
        """
        self.outputs = tuple(output for output in outputs if output is not None)
        self._setting = setting or _none
        return self

    @property
    def setting(self) -> Setting | None:
        """The scenario on screen and the unit its rate is read in; None where there is none."""
        return self._setting()

    def page(self, *, told: Callable[[float], None] | None = None, day: dt.date | None = None) -> str:
        """The page of what is on screen now.

        Parameters
        ----------
        told : callable, optional
            Is told how far the work is, from 0 to 1.
        day : date, optional
            As printed; today unless given.
        """
        return screen_page(
            [mo.as_html(output).text for output in self.outputs],
            {widget.model_id: widget for widget in widgets_in(*self.outputs)},
            title=self._title,
            name=self._name,
            setting=self.setting,
            told=told,
            day=day,
        )

    def file_name(self, day: dt.date) -> str:
        """What a page saved on a day is called.

        Parameters
        ----------
        day : date
            When it is saved.
        """
        return f"soilx-{self._name}-{day.isoformat()}.html"

    def _tell(self, share: float) -> None:
        # Not more often than the eye sees: every message costs the work some of its time.
        if share >= 1.0 or share - self.share >= _STEP:
            self.share = min(1.0, float(share))

    def _pressed(self, _: Any) -> None:
        day = dt.date.today()
        self.share = 0.0
        self.busy = True
        self.said = ""
        try:
            page = self.page(told=self._tell, day=day)
        except SoilxError as refused:
            self.said = str(refused)
        else:
            name = self.file_name(day)
            self.send({"name": name, "page": page})
            self.said = f"Saved as {name}."
        finally:
            self.busy = False


def _none() -> None:
    return None
