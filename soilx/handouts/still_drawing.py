"""Charts as drawings that stand still: one for wide places and paper, one for a phone."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final
from xml.etree import ElementTree as ET

import vl_convert

from soilx.handouts.page_text import plain

WIDE: Final = 640
NARROW: Final = 350
"""Widths [px]; type keeps its size on a phone because it gets a drawing of its own."""

# A page of paper is light whatever the room, and says so itself.
PAPER: Final = "#ffffff"
INK: Final = "#1a1a1a"
COLOURS: Final = (("var(--background, Canvas)", PAPER), ("currentColor", INK))

# What a drawing is made of; nothing else goes through, whatever the chart asked for.
_SHAPES: Final = frozenset(
    {"g", "path", "line", "rect", "circle", "ellipse", "polygon", "polyline", "text", "tspan", "use"}
    | {"defs", "clipPath", "linearGradient", "radialGradient", "stop"}
)
# The figure has one name that says it all; names of axes and marks would be read in its place.
_SPOKEN: Final = re.compile(r"role|class|tabindex|pointer-events|cursor|aria-.*|on.*")
_ELSEWHERE: Final = re.compile(r"url\((?!#)", re.IGNORECASE)

Sized = tuple[float, float, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """One chart drawn twice.

    Attributes
    ----------
    wide, narrow : tuple of (float, float, str)
        Width and height [px], and what stands inside an svg element of that size.
    """

    wide: Sized
    narrow: Sized


def drawing(spec: Mapping[str, Any], content: Mapping[str, Any], *, number: int) -> Drawing:
    """A chart with its records and axis ends, drawn without a browser.

    Parameters
    ----------
    spec : mapping
        A Vega-Lite specification; its data sources and parameters are named where they change.
    content : mapping
        ``records`` by data source, ``signals`` by parameter; empty for a chart that holds its data.
    number : int
        Of the chart on its page, so that no two drawings share a name.
    """
    filled = _filled(spec, content.get("records", {}), content.get("signals", {}))
    return Drawing(
        wide=_drawn(filled, width=WIDE, prefix=f"wide{number}-"),
        narrow=_drawn(filled, width=NARROW, prefix=f"narrow{number}-"),
    )


def _filled(spec: Mapping[str, Any], records: Mapping[str, Any], signals: Mapping[str, Any]) -> Any:
    """The specification with what a page otherwise puts into it, in the colours of paper."""

    def visit(part: Any) -> Any:
        if isinstance(part, Mapping):
            data = part.get("data")
            if isinstance(data, Mapping) and data.get("name") in records:
                part = {**part, "data": {**data, "values": list(records[data["name"]])}}
            return {name: visit(inner) for name, inner in part.items()}
        if isinstance(part, list | tuple):
            return [visit(inner) for inner in part]
        if isinstance(part, str):
            part = plain(part)
            for from_page, on_paper in COLOURS:
                part = part.replace(from_page, on_paper)
        return part

    whole = visit(spec)
    for param in whole.get("params", []):
        if param.get("name") in signals:
            param["value"] = signals[param["name"]]
    return whole


def _drawn(spec: Mapping[str, Any], *, width: int, prefix: str) -> Sized:
    sized = {**spec, "width": width} if spec.get("width") == "container" else dict(spec)
    drawn = ET.fromstring(vl_convert.vegalite_to_svg(json.dumps(sized), allowed_base_urls=[]))
    inside = "".join(ET.tostring(part, encoding="unicode") for part in _still(drawn, prefix))
    return float(drawn.attrib["width"]), float(drawn.attrib["height"]), inside


def _still(whole: ET.Element, prefix: str) -> Iterator[ET.Element]:
    """The shapes within an element, copied, with names that are this drawing's own."""
    for part in whole:
        shape = _local(part.tag)
        if shape == "a":
            yield from _still(part, prefix)
        if shape not in _SHAPES or part.get("display") == "none":
            continue
        copy = ET.Element(shape)
        copy.text, copy.tail = part.text, part.tail
        for key, value in part.attrib.items():
            name = _local(key)
            if name == "id":
                copy.set(name, prefix + value)
            elif name == "href" and value.startswith("#"):
                copy.set(name, f"#{prefix}{value[1:]}")
            elif not (name == "href" or _SPOKEN.fullmatch(name) or _ELSEWHERE.search(value)):
                copy.set(name, value.replace("url(#", f"url(#{prefix}"))
        copy.extend(_still(part, prefix))
        yield copy


def _local(name: str) -> str:
    """A name without its namespace: inside a page, svg has the one it needs."""
    return name.rpartition("}")[2]
