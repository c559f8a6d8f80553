"""What a lecturer has at hand beside the page: keys, light, large type; and a box to explain in."""

from __future__ import annotations

from collections.abc import Sequence
from importlib.resources import files
from typing import Final

import anywidget
import traitlets

_STATIC: Final = files("soilx.show") / "static"

KEYS: Final = (
    ("n", "next", "next"),
    ("b", "back", "back"),
    ("h", "answer", "hide the answer, or show it"),
    ("r", "restore", "put everything back"),
    ("k", "keep", "keep this curve"),
    ("p", "portion", "next portion of water"),
    ("l", "size", "large type, or usual"),
    ("d", "room", "dark room, or bright"),
)
"""Key, what it is called on the page, and what it does in words."""


class Desk(anywidget.AnyWidget):
    """Keys of the page with their list and a switch that turns them off, the room's light, the type's size.

    Parameters
    ----------
    soils : sequence of str
        What the digits pick, in order: presets of the page.
    """

    _esm = (_STATIC / "desk.js").read_text(encoding="utf-8")
    _css = (_STATIC / "desk.css").read_text(encoding="utf-8")
    bindings = traitlets.List(traitlets.List(traitlets.Unicode())).tag(sync=True)

    def __init__(self, soils: Sequence[str] = ()) -> None:
        digits = [[str(at), f"soil:{at}", soil] for at, soil in enumerate(soils, start=1)]
        super().__init__(bindings=[*map(list, KEYS), *digits])


class Explain(anywidget.AnyWidget):
    """A box to write in: what is typed stays in the browser, and nobody receives it.

    Parameters
    ----------
    prompt : str
        What to write.
    """

    _esm = (_STATIC / "explain.js").read_text(encoding="utf-8")
    _css = (_STATIC / "explain.css").read_text(encoding="utf-8")
    prompt = traitlets.Unicode().tag(sync=True)
    stays = traitlets.Unicode(
        "It stays on this screen, and on a page you save here; nobody receives it."
    ).tag(sync=True)

    def __init__(self, prompt: str) -> None:
        super().__init__(prompt=prompt)
