"""A notebook's outputs as a tree of markup, and the part of it that is fit for paper."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any, Final

from soilx.handouts.page_text import text, verbatim


def _names(listed: str) -> frozenset[str]:
    return frozenset(listed.split())


_VOID: Final = _names("area base br col embed hr img input link meta source track wbr")
BLOCKS: Final = _names(
    "p div ul ol li dl dt dd h1 h2 h3 h4 h5 h6 table caption thead tbody tr th td blockquote pre hr figure "
    "figcaption section"
)
PHRASES: Final = _names("strong b em i sub sup del s small mark kbd abbr q cite code span br a bdi")
#: Nothing of these is read on paper: programs, styles, things to press, and what would load something.
LEFT_OUT: Final = _names(
    "script style template noscript iframe object embed link meta base title head canvas video audio svg "
    "math button input select textarea"
)
INLINE_TEX: Final = "||("
HEADINGS: Final = ("h1", "h2", "h3", "h4", "h5", "h6")

_OWN_CLASS: Final = re.compile(r"soilx-[a-z-]+")
_LINK: Final = re.compile(r"(https?://|mailto:)", re.IGNORECASE)
_PICTURE: Final = re.compile(r"data:image/(png|jpeg|gif|webp);base64,[A-Za-z0-9+/=\s]+")
_ROLES: Final = frozenset({"note", "group"})


@dataclass(slots=True)
class Element:
    """One element with what is in it.

    Attributes
    ----------
    tag : str
        In small letters.
    attributes : dict of str to str
        As written, entities resolved.
    children : list of Element or str
        In the order of the page.
    """

    tag: str
    attributes: dict[str, str] = field(default_factory=dict)
    children: list[Element | str] = field(default_factory=list)

    def walk(self) -> Iterator[Element]:
        """Every element inside, in the order of the page."""
        for child in self.children:
            if isinstance(child, Element):
                yield child
                yield from child.walk()

    def words(self) -> str:
        """The text inside, without markup."""
        parts = (child if isinstance(child, str) else child.words() for child in self.children)
        return " ".join("".join(parts).split())

    def data(self, name: str) -> Any:
        """What a component of the notebook was given under a name, None where it was not."""
        written = self.attributes.get(f"data-{name}")
        try:
            return None if written is None else json.loads(written)
        except ValueError:
            return written

    def holds_blocks(self) -> bool:
        """Whether something inside needs lines of its own."""
        return any(
            inside.tag in BLOCKS
            or inside.is_paragraph()
            or (inside.tag.startswith("marimo-") and not inside.words().startswith(INLINE_TEX))
            for inside in self.walk()
        )

    def is_paragraph(self) -> bool:
        """Whether it is what a notebook makes of a paragraph of prose."""
        return self.tag == "span" and "paragraph" in self.attributes.get("class", "").split()


class _Reader(HTMLParser):
    """Builds the tree; an element that is not closed ends with the one around it."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = Element("")
        self.open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Begin an element."""
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.open[-1].children.append(element)
        if tag not in _VOID:
            self.open.append(element)

    def handle_endtag(self, tag: str) -> None:
        """End the innermost element of that name, if one is open."""
        for place in range(len(self.open) - 1, 0, -1):
            if self.open[place].tag == tag:
                del self.open[place:]
                return

    def handle_data(self, data: str) -> None:
        """Take text."""
        self.open[-1].children.append(data)


def tree(markup: str) -> Element:
    """Markup as a tree under a nameless element.

    Parameters
    ----------
    markup : str
        Whatever a notebook shows.
    """
    reader = _Reader()
    reader.feed(markup)
    reader.close()
    return reader.root


def opening(element: Element, tag: str) -> str:
    """The start of an element with those of its attributes that do nothing but describe.

    Parameters
    ----------
    element : Element
        Of the notebook.
    tag : str
        What it becomes.
    """
    written = element.attributes
    looks = _OWN_CLASS.findall(written.get("class", ""))
    if tag in {"td", "th"} and "right" in written.get("style", ""):
        looks.append("figure")
    kept: dict[str, str] = {"class": " ".join(looks)}
    if tag == "a" and _LINK.match(written.get("href", "").strip()):
        kept |= {"href": written["href"].strip(), "rel": "noreferrer"}
    if tag in {"td", "th"}:
        kept |= {name: written[name] for name in ("colspan", "rowspan") if written.get(name, "").isdigit()}
    if tag == "th":
        kept["scope"] = "row" if written.get("scope") == "row" else "col"
    if tag == "ol" and written.get("start", "").isdigit():
        kept["start"] = written["start"]
    if written.get("role") in _ROLES:
        kept |= {"role": written["role"], "aria-label": written.get("aria-label", "")}
    described = "".join(f' {name}="{verbatim(value)}"' for name, value in kept.items() if value)
    return f"<{tag}{described}>"


def picture(element: Element) -> str:
    """A picture that the page carries itself; of any other, its description.

    Parameters
    ----------
    element : Element
        An img.
    """
    described = element.attributes.get("alt", "")
    carried = element.attributes.get("src", "")
    if _PICTURE.fullmatch(carried):
        return f'<img src="{"".join(carried.split())}" alt="{verbatim(described)}">'
    return f"<p>{text(f'[{described}]')}</p>" if described else ""
