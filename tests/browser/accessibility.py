"""What axe-core finds on a page as readable faults, and the list of what is the notebook framework's own."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from playwright.sync_api import Page

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


@dataclass(frozen=True, slots=True)
class Fault:
    """One rule broken at one place; its text is all that is needed to find it."""

    rule: str
    selector: str
    markup: str
    why: str

    def __repr__(self) -> str:
        return f"{self.rule} at {self.selector}\n    {self.markup}\n    {self.why}"


@dataclass(frozen=True, slots=True)
class OfTheFramework:
    """A fault of the markup that marimo puts around ours, and why it stays."""

    rule: str
    selector: str
    reason: str


FRAMEWORK: tuple[OfTheFramework, ...] = ()


@cache
def script() -> str:
    """axe-core itself, as its package carries it."""
    import axe_playwright_python

    folder = Path(axe_playwright_python.__file__).parent
    return (folder / "axe.min.js").read_text(encoding="utf-8")


def _selector(target: list[Any]) -> str:
    """A path of selectors, one for each shadow that is entered."""
    return " >> ".join(">".join(part) if isinstance(part, list) else part for part in target)


def run_axe(page: Page, within: str | None = None) -> dict[str, Any]:
    """Everything that axe-core says of a page, or of a part of it."""
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(script())
    options = {"runOnly": {"type": "tag", "values": TAGS}, "resultTypes": ["violations", "incomplete"]}
    return page.evaluate(
        "([within, options]) => axe.run(within ?? document, options)",
        [within, options],
    )


def faults(page: Page, within: str | None = None, *, of_framework: bool = False) -> list[Fault]:
    """What breaks WCAG 2.2 A or AA in our own markup, or all that does."""
    found = [
        Fault(
            rule["id"],
            _selector(node["target"]),
            " ".join(node["html"].split())[:200],
            "; ".join(check["message"] for kind in ("any", "all", "none") for check in node[kind]),
        )
        for rule in run_axe(page, within)["violations"]
        for node in rule["nodes"]
    ]
    if of_framework:
        return found
    listed = {(one.rule, one.selector) for one in FRAMEWORK}
    return [fault for fault in found if (fault.rule, fault.selector) not in listed]
