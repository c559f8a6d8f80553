"""What of a notebook's page is in sight: its open tab, its open stages, and the step of the last of them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final

from soilx.handouts.notebook_markup import Element
from soilx.show.stages import ASKED, CURVE, NUMBERS, WHY

_PLACE: Final = re.compile(r"soilx-(stage|of|tab)-(\d+)")
_STEPS: Final = {"soilx-at-curve": CURVE, "soilx-at-numbers": NUMBERS, "soilx-at-why": WHY}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sight:
    """How far a page is open.

    Attributes
    ----------
    stage : int
        The last stage that is open, counted from 1; 0 where the page has none.
    step : int
        Of that stage, from `soilx.show.stages.ASKED` to `WHY`.
    plain : bool
        Whether nothing is asked and each stage opens whole.
    tab : int
        The one that is open, counted from 1; 0 where all are.
    """

    stage: int = 0
    step: int = WHY
    plain: bool = True
    tab: int = 0

    @classmethod
    def of(cls, widgets: Iterable[Any]) -> Sight:
        """How far the page of some widgets is open, which its stages and its tabs say.

        Parameters
        ----------
        widgets : iterable of widget
            All that are on the page.
        """
        found: dict[str, Any] = {}
        for widget in widgets:
            if widget.has_trait("names") and widget.has_trait("plain"):
                found |= {"stage": widget.stage, "step": widget.step, "plain": widget.plain}
            elif widget.has_trait("names") and widget.has_trait("tab"):
                found["tab"] = widget.tab
        return cls(**found)

    def asks(self, stage: int) -> bool:
        """Whether a stage's question is still to be answered, or its answer is hidden again.

        Parameters
        ----------
        stage : int
            Counted from 1.
        """
        return not self.plain and stage == self.stage and self.step == ASKED

    def tells_why(self, stage: int) -> bool:
        """Whether a stage has come to its reasons.

        Parameters
        ----------
        stage : int
            Counted from 1; 0 for what belongs to none.
        """
        return self.plain or stage != self.stage or self.step == WHY

    def seen(self, root: Element) -> Element:
        """A tree of markup without what is out of sight; the same tree, cut.

        Parameters
        ----------
        root : Element
            Of an output.
        """
        self._cut(root, of=0)
        return root

    def _cut(self, element: Element, *, of: int) -> None:
        kept: list[Element | str] = []
        for child in element.children:
            if isinstance(child, Element):
                looks = child.attributes.get("class", "")
                places = {kind: int(number) for kind, number in _PLACE.findall(looks)}
                inside = places.get("of", of)
                if self._hides(looks.split(), places, of=inside):
                    continue
                self._cut(child, of=inside)
            kept.append(child)
        element.children = kept

    def _hides(self, looks: list[str], places: dict[str, int], *, of: int) -> bool:
        if self.tab and places.get("tab", self.tab) != self.tab:
            return True
        if not self.stage:
            return False
        stage = places.get("stage", 0)
        if stage > self.stage or ("soilx-kept" in looks and self.asks(stage)):
            return True
        if "soilx-at-ask" in looks:
            return self.plain
        if self.plain or of != self.stage:
            return False
        if "soilx-at-sentence" in looks:
            return self.step == CURVE
        return any(self.step < step for look, step in _STEPS.items() if look in looks)
