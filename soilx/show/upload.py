"""A file that the reader brings: its name and bytes, read in the browser and never stored by the page."""

from __future__ import annotations

import base64
import binascii
from importlib.resources import files
from typing import Final

import anywidget
import marimo as mo
import traitlets

from soilx.show.page import Shown

_STATIC: Final = files("soilx.show") / "static"

MOST_BYTES: Final = 1_000_000
"""Larger files are refused in the browser, before they travel."""


class _UploadWidget(anywidget.AnyWidget):
    """The part in the browser; the bytes travel as one text."""

    _esm = (_STATIC / "upload.js").read_text(encoding="utf-8")
    _css = (_STATIC / "upload.css").read_text(encoding="utf-8")
    label = traitlets.Unicode().tag(sync=True)
    accept = traitlets.Unicode().tag(sync=True)
    most = traitlets.Int(MOST_BYTES).tag(sync=True)
    file = traitlets.Dict().tag(sync=True)
    said = traitlets.Unicode().tag(sync=True)


class Upload(mo.ui.anywidget):
    """A button that takes a file; ``value`` is its name and bytes, or None before there is one.

    Parameters
    ----------
    label : str
        What it takes, as the audience reads it.
    accept : str
        Ends of file names that a browser offers first (".toml").
    most : int
        Largest file [bytes].
    """

    def __init__(self, label: str, *, accept: str, most: int = MOST_BYTES) -> None:
        super().__init__(_UploadWidget(label=label, accept=accept, most=most))

    @property
    def shown(self) -> Shown:
        """What a page layout places."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; here it is one file.
    @property  # type: ignore[misc]
    def value(self) -> tuple[str, bytes] | None:  # type: ignore[override]
        """Name and bytes of the file; None before there is one."""
        return file_of(self.widget.file)

    def say(self, text: str) -> None:
        """Say beside the button what came of the file.

        Parameters
        ----------
        text : str
            One sentence.
        """
        self.widget.said = text


def file_of(sent: object) -> tuple[str, bytes] | None:
    """Name and bytes of a file as a browser sent it; None where it is not one.

    Parameters
    ----------
    sent : object
        Mapping with "name" and "data", the bytes in base 64.
    """
    if not isinstance(sent, dict) or not isinstance(sent.get("data"), str) or "name" not in sent:
        return None
    # A name is a name, wherever it was: no folder comes with it.
    name = str(sent["name"]).replace("\\", "/").rpartition("/")[2][:200] or "file"
    try:
        return name, base64.b64decode(sent["data"], validate=True)
    except binascii.Error:
        return None
