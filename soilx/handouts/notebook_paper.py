"""The outputs of a notebook, component by component, as what can be read when nothing moves."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any, Final

from soilx.handouts.control_paper import setting
from soilx.handouts.notebook_markup import (
    BLOCKS,
    HEADINGS,
    INLINE_TEX,
    LEFT_OUT,
    PHRASES,
    Element,
    opening,
    picture,
    tree,
)
from soilx.handouts.on_screen import Sight
from soilx.handouts.page_parts import bullets, equation, paragraph
from soilx.handouts.page_text import text
from soilx.handouts.widget_paper import PaperWidgets

_TEX_MARKS: Final = ((INLINE_TEX, "||)", False), ("||[", "||]", True))
_PRESSED: Final = frozenset({"button", "run-button", "file", "download", "refresh", "code-editor"})


class Paper:
    """What a notebook shows, made ready for paper.

    Parameters
    ----------
    outputs : iterable of str
        Markup of each output.
    widgets : mapping of str to widget
        By the address that the markup knows them by.
    title : str
        Of the app; the first heading of the first rank is taken where there is none.
    sight : Sight, optional
        How far the page is open: what is out of sight is left out, and a question stands as it was answered.
        Everything unless given, with every question open and its answers at the end.

    Attributes
    ----------
    title : str
        Of the page.
    body : str
        Markup, without scripts and without anything that loads.
    appendices : list of (str, str)
        Heading and markup of what comes last: answers, and charts that no output placed.
    """

    def __init__(
        self,
        outputs: Iterable[str],
        widgets: Mapping[str, Any],
        *,
        title: str = "",
        sight: Sight | None = None,
    ) -> None:
        roots = [tree(output) if sight is None else sight.seen(tree(output)) for output in outputs]
        self.title = title
        self._shown = PaperWidgets(widgets, sight)
        # Of a page as it stood, a fold is left to whoever reads it; paper opens it.
        self._unfolded = sight is None
        self._level = 1
        self._ranks = self._take_title(roots)
        parts = [self._inside(root) for root in roots]
        self.body = "\n".join(part for part in parts if part.strip())
        self.appendices = self._appendices()

    def _take_title(self, roots: Iterable[Element]) -> int:
        """Take the page's title out of the outputs; how many ranks the other headings are to be lowered."""
        headings = [inside for root in roots for inside in root.walk() if inside.tag in HEADINGS]
        first = headings[0] if headings else None
        if first and first.tag == "h1" and (not self.title or first.words() == self.title):
            self.title = first.words()
            first.tag, first.children = "span", []
            headings = headings[1:]
        highest = min((int(heading.tag[1]) for heading in headings), default=2)
        return 2 - highest

    def _appendices(self) -> list[tuple[str, str]]:
        charts = self._shown.forgotten(level=3)
        found = [("Further charts", charts)] if charts else []
        if self._shown.answers:
            found.append(("Answers", "".join(self._shown.answers)))
        return found

    def _inside(self, element: Element) -> str:
        return "".join(
            text(child) if isinstance(child, str) else self._element(child) for child in element.children
        )

    def _element(self, element: Element) -> str:
        tag = element.tag
        if tag in LEFT_OUT:
            return ""
        if tag.startswith("marimo-"):
            return self._component(element)
        if tag in HEADINGS:
            return self._heading(element)
        if tag == "img":
            return picture(element)
        if tag in {"br", "hr"}:
            return f"<{tag}>"
        if tag == "summary":
            title = self._inside(element)
            return f"<p><strong>{title}</strong></p>" if self._unfolded else f"<summary>{title}</summary>"
        if tag == "details":
            return self._fold(element)
        if element.is_paragraph():
            tag = "p"
        if tag in {"p", "span"} and element.holds_blocks():
            tag = "div"
        inside = self._inside(element)
        if tag not in BLOCKS | PHRASES or (tag in {"div", "span", "p"} and not inside.strip()):
            return inside
        return f"{opening(element, tag)}{inside}</{tag}>"

    def _fold(self, element: Element) -> str:
        if "soilx-unsaved" in element.attributes.get("class", "").split():
            return ""
        inside = self._inside(element)
        titles = [
            child for child in element.children if isinstance(child, Element) and child.tag == "summary"
        ]
        # A title with nothing behind it is not worth its line.
        blank = bool(titles) and inside.strip() == "".join(map(self._element, titles)).strip()
        if blank:
            return ""
        return f'<div class="note">{inside}</div>' if self._unfolded else f"<details>{inside}</details>"

    def _heading(self, element: Element) -> str:
        # No rank is left out, whatever the notebook does: a reader jumps from heading to heading.
        self._level = min(max(2, int(element.tag[1]) + self._ranks), self._level + 1)
        return f"<h{self._level}>{self._inside(element)}</h{self._level}>"

    @property
    def _below(self) -> int:
        """Rank of what stands under the heading before."""
        return min(6, self._level + 1)

    def _component(self, element: Element) -> str:
        kind = element.tag.removeprefix("marimo-")
        if kind == "tex":
            return _formula(element.words())
        if kind == "anywidget":
            return self._shown.shown(str(element.data("model-id") or ""), level=self._below)
        if kind == "mime-renderer":
            return self._bundle(element.data("data"))
        if kind in _PRESSED:
            return ""
        if kind in {"accordion", "tabs"}:
            return self._folded(element, element.data("labels") or element.data("tabs") or [])
        if kind == "callout-output":
            return f'<div class="note">{self._markup(element.data("html"))}</div>'
        if kind == "stat":
            return setting(self._words(element.data("label")), element.data("value"))
        if "data-initial-value" in element.attributes and not element.children:
            return self._control(element)
        # What only holds other things says nothing itself.
        return self._inside(element)

    def _bundle(self, bundle: Any) -> str:
        """The first form of an output, of those it comes in, that paper can carry."""
        if not isinstance(bundle, Mapping):
            return paragraph(bundle) if bundle else ""
        for kind, form in bundle.items():
            if kind.startswith("application/vnd.jupyter.widget-view"):
                return self._shown.shown(str(form.get("model_id", "")), level=self._below)
            if kind.startswith("application/vnd.vegalite"):
                spec = form if isinstance(form, Mapping) else json.loads(form)
                return self._shown.drawn(spec, level=self._below)
        for kind in ("text/html", "text/markdown", "text/plain"):
            if kind in bundle:
                return self._markup(bundle[kind]) if kind == "text/html" else paragraph(bundle[kind])
        return ""

    def _folded(self, element: Element, labels: Iterable[str]) -> str:
        parts = [child for child in element.children if isinstance(child, Element)]
        return "".join(
            f'<div class="note"><p><strong>{text(self._words(label))}</strong></p>{self._inside(part)}</div>'
            for label, part in zip(labels, parts, strict=False)
        )

    def _control(self, element: Element) -> str:
        value, options = element.data("initial-value"), element.data("options")
        label = self._words(element.data("label"))
        chosen = ", ".join(map(str, value)) if isinstance(value, list) else value
        named = isinstance(options, list) and value in (None, "", [])
        return (paragraph(label) + bullets(options)) if named else setting(label, chosen)

    def _markup(self, markup: Any) -> str:
        return self._inside(tree(str(markup or "")))

    def _words(self, markup: Any) -> str:
        return tree(str(markup or "")).words()


def _formula(written: str) -> str:
    for start, end, block in _TEX_MARKS:
        if written.startswith(start) and written.endswith(end):
            return equation(written[len(start) : -len(end)], block=block)
    return f"<code>{text(written)}</code>"
