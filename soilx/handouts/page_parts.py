"""Pieces of a page that is one file: texts, tables, figures, equations, and the frame around them."""

from __future__ import annotations

import base64
import datetime as dt
import hashlib
import html
import re
from collections.abc import Iterable, Mapping
from importlib import metadata
from importlib.resources import files
from typing import Any, Final
from xml.etree import ElementTree as ET

from latex2mathml.converter import convert

from soilx.handouts.live_charts import LivePart
from soilx.handouts.page_table import table
from soilx.handouts.page_text import plain, text, verbatim
from soilx.handouts.still_drawing import drawing
from soilx.show.tables import NumberTable

_STATIC: Final = files("soilx.handouts") / "static"

#: An equation of more signs may be wider than a phone.
SIGNS_IN_SIGHT: Final = 16

_MATHML: Final = frozenset(
    {
        "math",
        "mrow",
        "mi",
        "mn",
        "mo",
        "ms",
        "mtext",
        "mspace",
        "mfrac",
        "msqrt",
        "mroot",
        "mstyle",
        "mphantom",
    }
    | {
        "msub",
        "msup",
        "msubsup",
        "munder",
        "mover",
        "munderover",
        "mtable",
        "mtr",
        "mtd",
        "mpadded",
        "menclose",
    }
)
_MATHML_ATTRIBUTES: Final = frozenset(
    {"display", "mathvariant", "stretchy", "fence", "form", "linethickness", "accent", "movablelimits"}
    | {"displaystyle", "scriptlevel", "width", "height", "depth", "lspace", "rspace", "minsize", "maxsize"}
    | {"columnalign", "rowspacing", "columnspacing", "columnlines", "rowlines", "separator", "notation"}
)
#: Says, before the page is drawn, that scripts run.
_STARTED: Final = 'document.documentElement.classList.add("js")'
_NOT_DRAWN: Final = re.compile(r"\\(text|frac|left|right|quad|[,;!])|[\s{}_^\\]")


def paragraph(value: object, *, look: str = "") -> str:
    """A paragraph of inert text.

    Parameters
    ----------
    value : object
        Shown as its text.
    look : str
        Class of the page's style sheet.
    """
    return f"<p{_class(look)}>{text(value)}</p>"


def bullets(values: Iterable[object], *, look: str = "") -> str:
    """A list of inert texts, nothing where there is none.

    Parameters
    ----------
    values : iterable
        Each shown as its text.
    look : str
        Class of the page's style sheet.
    """
    items = "".join(f"<li>{text(value)}</li>" for value in values)
    return f"<ul{_class(look)}>{items}</ul>" if items else ""


def section(heading: str, *parts: str, level: int = 2) -> str:
    """A heading with what belongs to it.

    Parameters
    ----------
    heading : str
        Inert text.
    *parts : str
        Markup.
    level : int
        Of the heading.
    """
    return f"<section><h{level}>{text(heading)}</h{level}>{''.join(parts)}</section>"


def figure(
    heading: str,
    spec: Mapping[str, Any],
    content: Mapping[str, Any],
    *,
    number: int,
    level: int,
    moves: bool = False,
) -> str:
    """A chart under its heading, with its text summary, and the table of its numbers after it.

    Parameters
    ----------
    heading : str
        What is shown, with its unit.
    spec : mapping
        Its specification.
    content : mapping
        What a live chart on a screen holds: ``records``, ``signals``, ``caption`` (the chart in words, with
        its numbers; who does not see the drawing hears it in its place), ``table`` (fields of a NumberTable,
        or left out).
    number : int
        Of the chart on its page.
    level : int
        Of the heading.
    moves : bool
        A live part of the page shows the same: on a screen where scripts run this one is left out.
    """
    drawn = drawing(spec, content, number=number)
    caption = str(content.get("caption", ""))
    name = verbatim(f"Chart: {heading}. {caption}".strip())
    svg = "".join(
        f'<svg class="{look}" role="img" aria-label="{name}" viewBox="0 0 {width:g} {height:g}" '
        f'width="{width:g}" height="{height:g}">{marks}</svg>'
        for look, (width, height, marks) in (("wide", drawn.wide), ("narrow", drawn.narrow))
    )
    told = f"<figcaption>{text(caption)}</figcaption>" if caption else ""
    below = ""
    if "table" in content:
        numbers = NumberTable(**content["table"])
        # What the titles leave out, unless the heading says it already.
        unsaid = numbers.caption if numbers.caption.startswith(heading) else f"{heading}: {numbers.caption}"
        below = table(numbers, caption=f"The numbers of this chart: {unsaid if numbers.caption else heading}")
    look = _class("still" if moves else "")
    return f"<section{look}><h{level}>{text(heading)}</h{level}><figure>{svg}{told}</figure>{below}</section>"


def equation(tex: str, *, block: bool = True) -> str:
    """An equation as MathML, which browsers set and read aloud without help.

    Parameters
    ----------
    tex : str
        LaTeX of the formula alone.
    block : bool
        On a line of its own.

    Notes
    -----
    What the converter does not know is shown as it was typed.
    """
    try:
        written = _mathml(str(convert(plain(tex).strip(), display="block" if block else "inline")))
    except Exception:  # the converter raises many kinds, and its own base class does not cover them
        return f"<code>{text(tex)}</code>"
    if not block:
        return written
    # A long one is scrolled on a phone, by the keyboard too.
    long = len(_NOT_DRAWN.sub("", tex)) > SIGNS_IN_SIGHT
    reached = ' role="group" aria-label="Equation" tabindex="0"' if long else ""
    return f'<div class="formula"{reached}>{written}</div>'


def _mathml(written: str) -> str:
    """The converter's equation, written anew: it passes on what stands in a formula's text as it finds it."""

    def copied(part: ET.Element) -> ET.Element:
        name = part.tag.rpartition("}")[2]
        if name not in _MATHML or not part.attrib.keys() <= _MATHML_ATTRIBUTES:
            raise ValueError(f"{name} is no part of an equation")
        copy = ET.Element(name, part.attrib)
        copy.text, copy.tail = part.text, part.tail
        copy.extend(map(copied, part))
        return copy

    return ET.tostring(copied(ET.fromstring(written)), encoding="unicode")


def carried_file(content: str, name: str, *, suffix: str, kind: str, what: str) -> str:
    """A file that travels inside the page, to be saved from it, and to be read there as text.

    Parameters
    ----------
    content : str
        Of the file.
    name : str
        From which the file is named.
    suffix, kind : str
        How its name ends, and what a browser calls it.
    what : str
        What the file is, in a word.
    """
    coded = base64.b64encode(content.encode("utf-8")).decode("ascii")
    file = f"{re.sub(r'[^a-z0-9]+', '_', name.lower()).strip('_')[:40] or what}.{suffix}"
    return (
        f'<p class="download"><a download="{file}" href="data:{kind};charset=utf-8;base64,{coded}">'
        f"Save the {text(what)} as {file}</a></p>"
        f"<details><summary>The {text(what)} as text</summary><pre>{verbatim(content)}</pre></details>"
    )


def made_line(made_on: dt.date | None = None) -> str:
    """When a page was made and with what.

    Parameters
    ----------
    made_on : date, optional
        Today unless given.
    """
    day = made_on or dt.date.today()
    try:
        version = metadata.version("soilx")
    except metadata.PackageNotFoundError:
        version = "from a checkout that is not installed"
    return f"Made on {day.day} {day:%B %Y} with soilx {version}."


def document(title: str, *parts: str, live: Iterable[LivePart] = (), style: str = "") -> str:
    """A whole page on light paper: nothing is loaded from anywhere, and no script but its own runs.

    Parameters
    ----------
    title : str
        Inert text, also the first heading.
    *parts : str
        Markup, that of its live parts among it.
    live : iterable of LivePart
        Whose script and style the page holds, each once.
    style : str
        What this page adds to the style sheet of every page.
    """
    moving = tuple(live)
    sheets = ("page.css", *(("live.css",) if moving else ()))
    style = "".join((_STATIC / name).read_text(encoding="utf-8") for name in sheets) + style
    # The class comes before anything is drawn, so that nothing jumps when the script takes over.
    first = _STARTED if moving else ""
    scripts = tuple(dict.fromkeys(part.script for part in moving))
    allowed = " ".join(f"'sha256-{_digest(script)}'" for script in (first, *scripts) if script)
    # A script of whoever else is not among these, so that a browser runs none of it.
    policy = (
        "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"
        + (f"; script-src {allowed}" if allowed else "")
    )
    head = f"<script>{first}</script>\n" if first else ""
    foot = "".join(f"<script>{script}</script>\n" for script in scripts)
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="referrer" content="no-referrer">\n'
        f"<title>{html.escape(plain(title))}</title>\n<style>\n{style}</style>\n{head}</head>\n"
        f"<body>\n<main>\n<h1>{text(title)}</h1>\n{chr(10).join(parts)}\n</main>\n{foot}</body>\n</html>\n"
    )


def _digest(script: str) -> str:
    return base64.b64encode(hashlib.sha256(script.encode("utf-8")).digest()).decode("ascii")


def _class(look: str) -> str:
    return f' class="{verbatim(look)}"' if look else ""
