"""The outputs of a notebook, component by component, as what can be read when nothing moves."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from typing import Any, Final

from soilx.handouts.bench_paper import record_on_paper, ticked_on_paper
from soilx.handouts.control_paper import cups, level, picked, setting, slider
from soilx.handouts.field_paper import form_on_paper, sheet_on_paper
from soilx.handouts.homework_paper import answers_on_paper, problems_on_paper
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
from soilx.handouts.page_parts import bullets, equation, figure, paragraph
from soilx.handouts.page_table import table
from soilx.handouts.page_text import text
from soilx.show.contrast_view import numbers
from soilx.show.contrasts import CONTRASTS, contrast_runs

_TEX_MARKS: Final = ((INLINE_TEX, "||)", False), ("||[", "||]", True))
_RIGHT: Final = "<strong>right.</strong> "
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

    Attributes
    ----------
    title : str
        Of the page.
    body : str
        Markup, without scripts and without anything that loads.
    appendices : list of (str, str)
        Heading and markup of what comes last: answers, and charts that no output placed.
    """

    def __init__(self, outputs: Iterable[str], widgets: Mapping[str, Any], *, title: str = "") -> None:
        roots = [tree(output) for output in outputs]
        self.title = title
        self._widgets = widgets
        self._placed: set[str] = set()
        self._figures = 0
        self._answers: list[str] = []
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
        found: list[tuple[str, str]] = []
        self._level = 2
        forgotten = [
            widget
            for address, widget in self._widgets.items()
            if address not in self._placed and _has(widget, "spec", "content") and widget.content
        ]
        if forgotten:
            found.append(("Further charts", "".join(self._chart(widget) for widget in forgotten)))
        if self._answers:
            found.append(("Answers", "".join(self._answers)))
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
            return f"<p><strong>{self._inside(element)}</strong></p>"
        if tag == "details":
            return f'<div class="note">{self._inside(element)}</div>'
        if element.is_paragraph():
            tag = "p"
        if tag in {"p", "span"} and element.holds_blocks():
            tag = "div"
        inside = self._inside(element)
        if tag not in BLOCKS | PHRASES or (tag in {"div", "span", "p"} and not inside.strip()):
            return inside
        return f"{opening(element, tag)}{inside}</{tag}>"

    def _heading(self, element: Element) -> str:
        # No rank is left out, whatever the notebook does: a reader jumps from heading to heading.
        self._level = min(max(2, int(element.tag[1]) + self._ranks), self._level + 1)
        return f"<h{self._level}>{self._inside(element)}</h{self._level}>"

    def _component(self, element: Element) -> str:
        kind = element.tag.removeprefix("marimo-")
        if kind == "tex":
            return _formula(element.words())
        if kind == "anywidget":
            return self._widget(str(element.data("model-id") or ""))
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

    def _widget(self, address: str) -> str:
        widget = self._widgets.get(address)
        if widget is None:
            return paragraph("[A part that moves is left out here.]", look="small")
        self._placed.add(address)
        for traits, look in self._looks():
            if _has(widget, *traits):
                return look(widget)
        return paragraph(f"[A part that moves is left out here: {type(widget).__name__}.]", look="small")

    def _looks(self) -> tuple[tuple[tuple[str, ...], Callable[[Any], str]], ...]:
        """How each kind of widget stands on paper, told by its traits: a new kind is one more line."""
        return (
            (("spec", "content"), self._chart),
            (("quantity", "unit", "value", "digits"), slider),
            (("question", "texts", "replies"), self._question),
            (("heading", "lines"), self._list),
            (("label", "texts", "picked"), picked),
            (("groups", "marks", "picked"), self._problems),
            (("board", "sent"), answers_on_paper),
            (("sizes", "wire"), cups),
            (("wire", "spoken"), self._sheet),
            (("groups", "texts", "refusals"), form_on_paper),
            (("accept", "file"), lambda _: ""),
            (("wire", "sent"), record_on_paper),
            (("label", "options", "ticked"), ticked_on_paper),
            (("label", "hint", "text"), lambda widget: setting(widget.label, widget.text)),
            (("names", "tab"), lambda _: ""),
            (("label", "waits", "text"), lambda _: ""),
            # What is only pressed has nothing to say on paper.
            (("names", "stage"), lambda _: ""),
            (("presses",), lambda _: ""),
            (("bindings",), lambda _: ""),
            (("label", "note"), lambda _: ""),
            (("keeps", "lines"), lambda widget: bullets(" ".join(line) for line in widget.lines)),
            (("question", "bands"), level),
            (("label", "release"), lambda _: ""),
            (("goal", "done"), lambda widget: paragraph(f"Goal: {widget.goal}", look="question")),
            (("contrasts", "picked"), self._contrasts),
            (("prompt", "stays"), lambda widget: paragraph(widget.prompt, look="question")),
            (("text",), lambda widget: paragraph(widget.text, look="finding")),
        )

    def _chart(self, widget: Any) -> str:
        if not widget.content:
            return ""
        self._figures += 1
        level = min(6, self._level + 1)
        return figure(widget.heading, widget.spec, widget.content, number=self._figures, level=level)

    def _sheet(self, widget: Any) -> str:
        return sheet_on_paper(widget, level=min(6, self._level + 1))

    def _problems(self, widget: Any) -> str:
        return problems_on_paper(widget, level=min(6, self._level + 1))

    def _list(self, widget: Any) -> str:
        level = min(6, self._level + 1)
        return f"<h{level}>{text(widget.heading)}</h{level}>{bullets(widget.lines)}"

    def _question(self, widget: Any) -> str:
        """A question with its choices here, and what lies behind each choice at the end of the page."""
        replies = "".join(
            f"<li>{text(choice)}: {_RIGHT if at == widget.right else ''}{text(reply)}</li>"
            for at, (choice, reply) in enumerate(zip(widget.texts, widget.replies, strict=True))
        )
        number = len(self._answers) + 1
        self._answers.append(
            f"<h3>{text(f'Question {number}')}</h3>{paragraph(widget.question)}<ol>{replies}</ol>"
        )
        choices = "".join(f"<li>{text(choice)}</li>" for choice in widget.texts)
        return (
            f'<div class="question"><p><strong>Question {number}.</strong> {text(widget.question)}</p>'
            f"<ol>{choices}</ol></div>"
        )

    def _contrasts(self, _: Any) -> str:
        """Every contrast with its question and its numbers here, its rule at the end of the page."""
        level = min(6, self._level + 1)
        parts = []
        for at, one in enumerate(CONTRASTS):
            shown = table(numbers(contrast_runs(at)), caption=one.name)
            asked = f"{paragraph(one.question, look='question')}{paragraph(one.same)}"
            parts.append(f"<h{level}>{text(one.name)}</h{level}>{asked}{shown}")
            self._answers.append(f"<h3>{text(one.name)}</h3>{paragraph(one.rule)}")
        return "".join(parts)

    def _bundle(self, bundle: Any) -> str:
        """The first form of an output, of those it comes in, that paper can carry."""
        if not isinstance(bundle, Mapping):
            return paragraph(bundle) if bundle else ""
        for kind, form in bundle.items():
            if kind.startswith("application/vnd.jupyter.widget-view"):
                return self._widget(str(form.get("model_id", "")))
            if kind.startswith("application/vnd.vegalite"):
                return self._plain_chart(form if isinstance(form, Mapping) else json.loads(form))
        for kind in ("text/html", "text/markdown", "text/plain"):
            if kind in bundle:
                return self._markup(bundle[kind]) if kind == "text/html" else paragraph(bundle[kind])
        return ""

    def _plain_chart(self, spec: Mapping[str, Any]) -> str:
        self._figures += 1
        caption = str(spec.get("description") or "")
        level = min(6, self._level + 1)
        return figure("Chart", spec, {"caption": caption}, number=self._figures, level=level)

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


def _has(widget: Any, *traits: str) -> bool:
    return all(widget.has_trait(trait) for trait in traits)


def _formula(written: str) -> str:
    for start, end, block in _TEX_MARKS:
        if written.startswith(start) and written.endswith(end):
            return equation(written[len(start) : -len(end)], block=block)
    return f"<code>{text(written)}</code>"
