"""A file that the reader takes away: made of a text in the browser, without asking anybody."""

from __future__ import annotations

from importlib.resources import files
from typing import Final

import anywidget
import traitlets

_STATIC: Final = files("soilx.show") / "static"


class Download(anywidget.AnyWidget):
    """A button that saves a text as a file; it rests while there is none.

    Parameters
    ----------
    label : str
        What is saved, as the audience reads it.
    waits : str
        What is said while there is nothing to save.
    """

    _esm = (_STATIC / "download.js").read_text(encoding="utf-8")
    _css = (_STATIC / "download.css").read_text(encoding="utf-8")
    label = traitlets.Unicode().tag(sync=True)
    waits = traitlets.Unicode().tag(sync=True)
    name = traitlets.Unicode().tag(sync=True)
    text = traitlets.Unicode().tag(sync=True)

    def __init__(self, label: str, *, waits: str = "") -> None:
        super().__init__(label=label, waits=waits)

    def put(self, name: str, text: str) -> None:
        """What is saved, and under which name.

        Parameters
        ----------
        name : str
            Of the file.
        text : str
            Empty for nothing to save.
        """
        self.name, self.text = name, text
