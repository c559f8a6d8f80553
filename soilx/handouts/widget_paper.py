"""Widgets of a notebook as they stand on paper: each kind is told by its traits, charts are counted."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from soilx.handouts.bench_paper import record_on_paper, ticked_on_paper
from soilx.handouts.control_paper import cups, goal, picked, refused, said_of_work, setting, slider
from soilx.handouts.field_paper import form_on_paper, sheet_on_paper
from soilx.handouts.homework_paper import answers_on_paper, problem_picked, problems_on_paper
from soilx.handouts.on_screen import Sight
from soilx.handouts.page_parts import bullets, figure, paragraph
from soilx.handouts.page_text import text
from soilx.handouts.question_paper import (
    contrast_as_picked,
    contrasts_on_paper,
    explained,
    level_as_guessed,
    open_level,
    open_question,
    question_as_answered,
)


class PaperWidgets:
    """The widgets of one page, made ready for paper one by one.

    Parameters
    ----------
    widgets : mapping of str to widget
        By the address that the markup knows them by.
    sight : Sight, optional
        How far the page is open; everything unless given.

    Attributes
    ----------
    answers : list of str
        Markup of what comes at the end of the page: what lies behind the questions up to now.
    figures : int
        Charts up to now.
    """

    def __init__(self, widgets: Mapping[str, Any], sight: Sight | None) -> None:
        self.answers: list[str] = []
        self.figures = 0
        self._widgets = widgets
        self._sight = sight
        self._placed: set[str] = set()
        self._level = 2

    def forgotten(self, *, level: int) -> str:
        """Markup of the charts that no output placed.

        Parameters
        ----------
        level : int
            Rank of their headings.

        Notes
        -----
        What a page does not show is not missing from it, where that page is what was asked for.
        """
        self._level = level
        left = (widget for address, widget in self._widgets.items() if address not in self._placed)
        charts = (widget for widget in left if _has(widget, "spec", "content") and _is_drawn(widget))
        return "" if self._sight is not None else "".join(map(self._chart, charts))

    def shown(self, address: str, *, level: int) -> str:
        """Markup of the widget at an address.

        Parameters
        ----------
        address : str
            By which the markup of the notebook knows it.
        level : int
            Rank of the headings in it.
        """
        self._level = level
        widget = self._widgets.get(address)
        if widget is None:
            return paragraph("[A part that moves is left out here.]", look="small")
        self._placed.add(address)
        for traits, look in self._looks():
            if _has(widget, *traits):
                return look(widget)
        return paragraph(f"[A part that moves is left out here: {type(widget).__name__}.]", look="small")

    def drawn(self, spec: Mapping[str, Any], *, level: int) -> str:
        """Markup of a chart that is no widget.

        Parameters
        ----------
        spec : mapping
            Its specification.
        level : int
            Rank of its heading.
        """
        self.figures += 1
        caption = str(spec.get("description") or "")
        return figure("Chart", spec, {"caption": caption}, number=self.figures, level=level)

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
            (("label", "hint", "text"), lambda widget: setting(widget.label, widget.text) + refused(widget)),
            (("names", "tab"), lambda _: ""),
            (("label", "waits", "text"), lambda _: ""),
            (("presses", "share", "said"), said_of_work),
            # What is only pressed has nothing to say on paper.
            (("names", "stage"), lambda _: ""),
            (("presses",), lambda _: ""),
            (("bindings",), lambda _: ""),
            (("label", "note"), lambda _: ""),
            (("keeps", "lines"), lambda widget: bullets(" ".join(line) for line in widget.lines)),
            (("question", "bands"), self._level_guess),
            (("label", "release"), lambda _: ""),
            (("goal", "done"), self._goal),
            (("contrasts", "picked"), self._contrasts),
            (("prompt", "stays"), explained),
            (("text",), lambda widget: refused(widget) or paragraph(widget.text, look="finding")),
        )

    def _chart(self, widget: Any) -> str:
        if not widget.content:
            return ""
        if not _is_drawn(widget):
            # An empty frame says nothing; why it is empty does.
            caption = widget.content.get("caption")
            heading = f"<h{self._level}>{text(widget.heading)}</h{self._level}>"
            return f"{heading}{paragraph(caption)}" if caption else ""
        self.figures += 1
        told = widget.content.get("table", {}).get("rows")
        content = {key: part for key, part in widget.content.items() if key != "table" or told}
        return figure(widget.heading, widget.spec, content, number=self.figures, level=self._level)

    def _sheet(self, widget: Any) -> str:
        return sheet_on_paper(widget, level=self._level, unfolded=self._sight is None)

    def _problems(self, widget: Any) -> str:
        if self._sight is not None:
            return problem_picked(widget)
        return problems_on_paper(widget, level=self._level)

    def _list(self, widget: Any) -> str:
        return f"<h{self._level}>{text(widget.heading)}</h{self._level}>{bullets(widget.lines)}"

    def _question(self, widget: Any) -> str:
        """A question with its choices here, and what lies behind each choice at the end of the page."""
        if self._sight is not None:
            return question_as_answered(widget, told=self._sight.tells_why(widget.stage))
        here, answer = open_question(widget, len(self.answers) + 1)
        self.answers.append(answer)
        return here

    def _level_guess(self, widget: Any) -> str:
        if self._sight is None:
            return open_level(widget)
        return level_as_guessed(widget, asks=self._sight.asks(widget.stage))

    def _goal(self, widget: Any) -> str:
        sliders = () if self._sight is None else self._widgets.values()
        return goal(widget, sliders)

    def _contrasts(self, widget: Any) -> str:
        """Every contrast, or the one on the screen, with its rule at the end of the page."""
        if self._sight is not None:
            shown, rules = contrast_as_picked(widget, level=self._level)
        else:
            shown, rules = contrasts_on_paper(widget.chart.spec, level=self._level, first=self.figures + 1)
            self.figures += len(rules)
        self.answers.extend(rules)
        return shown


def _has(widget: Any, *traits: str) -> bool:
    return all(widget.has_trait(trait) for trait in traits)


def _is_drawn(widget: Any) -> bool:
    """Whether a chart has anything to draw."""
    return bool(widget.content) and any(len(rows) > 0 for rows in widget.content.get("records", {}).values())
