"""A form of text boxes that take a number with its unit, and of lists of words; every one may stay empty."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from importlib.resources import files
from typing import Final

import anywidget
import marimo as mo
import traitlets

from soilx.show.page import Shown

_STATIC: Final = files("soilx.show") / "static"
_LONGEST_NAME: Final = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """One box of a form.

    Attributes
    ----------
    key : str
        By which `Form.value` gives its text.
    label : str
        Its name, as the audience reads it.
    hint : str
        How to write it, such as "like 4.32 cmol_c/kg".
    words : tuple of str
        What it may be, beside not stated; empty for a text box.
    """

    key: str
    label: str
    hint: str = ""
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Boxes under one heading.

    Attributes
    ----------
    title : str
    boxes : tuple of Box
    folded : bool
        Whether they stand behind a line that opens.
    """

    title: str
    boxes: tuple[Box, ...]
    folded: bool = False


class _FormWidget(anywidget.AnyWidget):
    """The part in the browser; boxes never change, texts and refusals do."""

    _esm = (_STATIC / "field_form.js").read_text(encoding="utf-8")
    _css = (_STATIC / "field_form.css").read_text(encoding="utf-8")
    label = traitlets.Unicode().tag(sync=True)
    groups = traitlets.List(traitlets.Dict()).tag(sync=True)
    texts = traitlets.Dict().tag(sync=True)
    refusals = traitlets.Dict().tag(sync=True)
    refusal = traitlets.Unicode().tag(sync=True)
    opened = traitlets.Bool(False).tag(sync=True)


class Form(mo.ui.anywidget):
    """Boxes to type in; ``value`` is what stands in those that are not empty.

    Parameters
    ----------
    label : str
        Name of the whole form.
    groups : sequence of Group
    texts : mapping of str to str
        What stands in the boxes at the start, by key.
    """

    def __init__(
        self, label: str, groups: Sequence[Group], *, texts: Mapping[str, str] | None = None
    ) -> None:
        drawn = [
            {
                "title": group.title,
                "folded": group.folded,
                "fields": [asdict(box) | {"words": list(box.words)} for box in group.boxes],
            }
            for group in groups
        ]
        super().__init__(_FormWidget(label=label, groups=drawn, texts=dict(texts or {})))
        self._labels = {box.key: box.label for group in groups for box in group.boxes}

    @property
    def shown(self) -> Shown:
        """What a page layout places; a cell that reads only this is not run again by what is typed."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; a form has its texts to give.
    @property  # type: ignore[misc]
    def value(self) -> dict[str, str]:
        """Texts by key, without the empty ones."""
        return {
            str(key): str(text).strip() for key, text in self.widget.texts.items() if str(text or "").strip()
        }

    def fill(self, texts: Mapping[str, str], *, opened: bool = False) -> None:
        """Put other texts into the boxes; the page shows them, and no cell is run for it.

        Parameters
        ----------
        texts : mapping of str to str
            Keys that are not in it become empty.
        opened : bool
            Whether the line that the form stands behind is opened, where somebody is to type.
        """
        self.widget.texts = dict(texts)
        self.widget.opened = opened
        self.refuse({})

    def refuse(self, refusals: Mapping[str, str], whole: str = "") -> None:
        """Say beside each box what is wrong with it; what is not named is right.

        Parameters
        ----------
        refusals : mapping of str to str
            Sentences by key; each begins with the box's label in place of the name in the library.
        whole : str
            What is wrong with all of it together.
        """
        self.widget.refusals = {key: self._said(key, text) for key, text in refusals.items()}
        self.widget.refusal = whole

    def _said(self, key: str, text: str) -> str:
        name, equals, rest = text.partition(" = ")
        known = equals and len(name) <= _LONGEST_NAME and key in self._labels
        return f"{self._labels[key]}{equals}{rest}" if known else text
