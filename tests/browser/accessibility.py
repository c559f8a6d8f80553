"""What axe-core finds on a page as readable faults, and the list of what is the notebook framework's own."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
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


# Words of a drawing have no background of their own that axe could find; ``drawn_faults`` judges them.
ONLY_PROSE = "() => axe.configure({ rules: [{ id: 'color-contrast', selector: ':not(text)' }] })"

# axe judges contrast only where the page can be seen without scrolling: the window is made as high as it.
CONTENT_PX = """() => Math.max(...[document.documentElement, document.getElementById('App')]
  .filter(Boolean).map((one) => one.scrollHeight))"""
HIGHEST_PX = 16_000


@contextlib.contextmanager
def whole(page: Page) -> Iterator[None]:
    """A window as high as the page, until the block ends."""
    size = page.viewport_size
    assert size is not None
    page.set_viewport_size({**size, "height": min(page.evaluate(CONTENT_PX) + 200, HIGHEST_PX)})
    try:
        yield
    finally:
        page.set_viewport_size(size)


def run_axe(page: Page, within: str | None = None) -> dict[str, Any]:
    """Everything that axe-core says of a page, or of a part of it."""
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(script())
        page.evaluate(ONLY_PROSE)
    options = {
        "runOnly": {"type": "tag", "values": TAGS},
        # The one rule of 2.2 is off unless it is asked for.
        "rules": {"target-size": {"enabled": True}},
        "resultTypes": ["violations", "incomplete"],
    }
    with whole(page):
        return page.evaluate(
            "([within, options]) => axe.run(within ?? document, options)",
            [within, options],
        )


def _listed(results: list[dict[str, Any]]) -> list[Fault]:
    return [
        Fault(
            rule["id"],
            _selector(node["target"]),
            " ".join(node["html"].split())[:200],
            "; ".join(check["message"] for kind in ("any", "all", "none") for check in node[kind]),
        )
        for rule in results
        for node in rule["nodes"]
    ]


def faults(page: Page, within: str | None = None, *, of_framework: bool = False) -> list[Fault]:
    """What breaks WCAG 2.2 A or AA in our own markup, or all that does.

    What axe leaves to the eye counts as broken too, but for the contrast of text that lies over a drawing:
    ``drawn_faults`` measures that.
    """
    said = run_axe(page, within)
    unsure = [rule for rule in said["incomplete"] if rule["id"] != "color-contrast"]
    found = _listed([*said["violations"], *unsure])
    if of_framework:
        return found
    listed = {(one.rule, one.selector) for one in FRAMEWORK}
    return [fault for fault in found if (fault.rule, fault.selector) not in listed]


# Text of a drawing against what is painted under its middle: the nearest shape that is filled, or the page.
DRAWN = r"""() => {
  const light = (part) => (part /= 255) <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  const luminance = ([r, g, b]) => 0.2126 * light(r) + 0.7152 * light(g) + 0.0722 * light(b);
  const canvas = document.createElement('canvas').getContext('2d', { willReadFrequently: true });
  const over = (layers) => {
    canvas.clearRect(0, 0, 1, 1);
    for (const [colour, opacity] of layers) {
      canvas.globalAlpha = opacity;
      canvas.fillStyle = colour;
      canvas.fillRect(0, 0, 1, 1);
    }
    return [...canvas.getImageData(0, 0, 1, 1).data].slice(0, 3);
  };
  const opacity = (style) => Number(style.opacity) * Number(style.fillOpacity);
  const painted = (style) => !['none', 'rgba(0, 0, 0, 0)'].includes(style.fill) && opacity(style) > 0;
  const found = [];
  const visit = (node) => {
    if (node.matches?.('svg')) judge(node);
    if (node.shadowRoot) visit(node.shadowRoot);
    for (const child of node.children) visit(child);
  };
  const judge = (svg) => {
    const page = getComputedStyle(document.body).backgroundColor;
    const sheet = getComputedStyle(document.documentElement).backgroundColor;
    const shapes = [...svg.querySelectorAll('path, rect')].filter((one) => painted(getComputedStyle(one)));
    for (const text of svg.querySelectorAll('text')) {
      const box = text.getBoundingClientRect();
      const style = getComputedStyle(text);
      if (!box.width || !text.textContent.trim()) continue;
      if (style.visibility === 'hidden' || !opacity(style)) continue;
      const [x, y] = [box.left + box.width / 2, box.top + box.height / 2];
      const under = shapes.filter((shape) => {
        if (shape.compareDocumentPosition(text) & Node.DOCUMENT_POSITION_PRECEDING) return false;
        const point = svg.createSVGPoint();
        [point.x, point.y] = [x, y];
        return shape.isPointInFill(point.matrixTransform(shape.getScreenCTM().inverse()));
      });
      const ground = [['Canvas', 1], [sheet, 1], [page, 1]];
      for (const { fill, opacity, fillOpacity } of under.map((one) => getComputedStyle(one)))
        ground.push([fill, opacity * fillOpacity]);
      // A halo around the letters is the ground they stand on.
      if (style.stroke !== 'none' && parseFloat(style.strokeWidth) > 2) continue;
      const [back, front] = [over(ground), over([...ground, [style.fill, opacity(style)]])].map(luminance);
      const ratio = (Math.max(back, front) + 0.05) / (Math.min(back, front) + 0.05);
      const size = parseFloat(style.fontSize);
      const needed = size >= 24 || (size >= 18.66 && style.fontWeight >= 700) ? 3 : 4.5;
      if (ratio < needed) found.push([text.textContent, style.fill, under.length, ratio.toFixed(2)]);
    }
  };
  visit(document.documentElement);
  return found;
}"""


def drawn_faults(page: Page) -> list[Fault]:
    """Words of a drawing that stand out too little from what is painted under them."""
    return [
        Fault("drawn-contrast", "svg text", text, f"{fill} over {shapes} shapes: {ratio} to 1")
        for text, fill, shapes, ratio in page.evaluate(DRAWN)
    ]
