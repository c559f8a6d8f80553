"""A sheet of sentences, lists, tables and folds that changes in place; what was typed stays plain text."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Sequence
from importlib.resources import files
from typing import Any, Final, TypeAlias

import anywidget
import traitlets

_STATIC: Final = files("soilx.show") / "static"

Block: TypeAlias = dict[str, Any]
"""One thing on a sheet; made by the functions below."""


class Sheet(anywidget.AnyWidget):
    """Text and tables of one section of a page.

    Folds that a reader opened stay open when the numbers in them change.
    """

    _esm = (_STATIC / "word_sheet.js").read_text(encoding="utf-8")
    _css = (_STATIC / "word_sheet.css").read_text(encoding="utf-8")
    wire = traitlets.Unicode("[]").tag(sync=True)
    spoken = traitlets.Unicode().tag(sync=True)

    def put(self, *blocks: Block, spoken: str = "") -> None:
        """Put blocks on the sheet in place of those there.

        Parameters
        ----------
        *blocks : Block
        spoken : str
            What a screen reader hears of it once it rests; silent unless given.
        """
        self.wire = json.dumps(blocks, ensure_ascii=False, separators=(",", ":"))
        self.spoken = spoken

    @property
    def blocks(self) -> list[Block]:
        """What is on the sheet now."""
        found: list[Block] = json.loads(self.wire)
        return found

    @property
    def text(self) -> str:
        """All words on the sheet, folds included, a line each."""
        return "\n".join(_words(self.blocks))


def line(text: str, look: str = "") -> Block:
    """One paragraph.

    Parameters
    ----------
    text : str
    look : str
        "verdict", "strong", "note", "caution", "stop" or "title"; plain unless given.
    """
    return {"kind": "line", "text": text, "look": look}


def points(texts: Iterable[str], *, ordered: bool = False) -> Block:
    """A list of sentences.

    Parameters
    ----------
    texts : iterable of str
    ordered : bool
        Whether their order matters.
    """
    return {"kind": "points", "texts": list(texts), "ordered": ordered}


def grid(
    titles: Sequence[str], rows: Iterable[Sequence[str]], *, caption: str = "", dim: Collection[int] = ()
) -> Block:
    """A table whose first column names the row.

    Parameters
    ----------
    titles : sequence of str
    rows : iterable of sequence of str
        As printed.
    caption : str
    dim : collection of int
        Numbers of rows that are greyed; they say in words why.
    """
    return {
        "kind": "grid",
        "titles": list(titles),
        "rows": [list(row) for row in rows],
        "caption": caption,
        "dim": sorted(dim),
    }


def folded(title: str, *blocks: Block) -> Block:
    """Blocks behind one line that opens.

    Parameters
    ----------
    title : str
        Unlike that of any other fold on the sheet.
    *blocks : Block
    """
    return {"kind": "fold", "title": title, "blocks": list(blocks)}


def _words(blocks: Iterable[Block]) -> Iterable[str]:
    for block in blocks:
        if block["kind"] == "line":
            yield block["text"]
        elif block["kind"] == "points":
            yield from block["texts"]
        elif block["kind"] == "grid":
            yield block["caption"]
            yield " | ".join(block["titles"])
            yield from (" | ".join(row) for row in block["rows"])
        else:
            yield block["title"]
            yield from _words(block["blocks"])
