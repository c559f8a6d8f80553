"""Pieces of a page that is one file: text made inert, tables, figures, equations, and the frame around them."""

from __future__ import annotations

import html
import re
from collections.abc import Iterable, Sequence
from importlib.resources import files
from typing import Final

from latex2mathml.converter import convert

from soilx.show.handout_drawing import Drawing
from soilx.show.tables import NumberTable

_STATIC: Final = files("soilx.show") / "static"

#: A table of more rows than this is set as several short ones side by side, so that it fills paper in both
#: directions.
ROWS_IN_A_BLOCK: Final = 32

#: Rows of a chart's table at most; of a longer one every second, third, … row is shown, and it says so.
MOST_ROWS: Final = 240

# What would turn the text around it: overrides, embeddings, isolates and marks of direction; and what no page
# may hold.
_TURNING: Final = re.compile(
    "[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]"
)
_RIGHT_TO_LEFT: Final = "\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc\U00010800-\U00010fff\U0001e800-\U0001efff"
_RIGHT_TO_LEFT_RUN: Final = re.compile(f"[{_RIGHT_TO_LEFT}]+(?:[\\s.,'\"()-]+[{_RIGHT_TO_LEFT}]+)*")
_FIGURE: Final = re.compile(r"[−+-]?<?\d[\d.]*(e[+-]?\d+)?")


def plain(value: object) -> str:
    """Text without characters that no page may hold or that turn the direction of what follows them.

    Parameters
    ----------
    value : object
        Shown as its text; each character taken out leaves U+FFFD in its place, so that nobody wonders.
    """
    return _TURNING.sub("\N{REPLACEMENT CHARACTER}", str(value))


def text(value: object) -> str:
    """Text as a page can hold it whoever typed it: no markup, and right-to-left script in a place of its own.

    Parameters
    ----------
    value : object
        Shown as its text.
    """
    escaped = html.escape(plain(value), quote=True)
    return _RIGHT_TO_LEFT_RUN.sub(lambda run: f"<bdi>{run[0]}</bdi>", escaped)


def attribute(value: object) -> str:
    """Text for between the double quotes of an attribute."""
    return html.escape(plain(value), quote=True)


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


def table(numbers: NumberTable, *, caption: str) -> str:
    """A table with its caption; a long one in blocks that stand side by side where there is room.

    Parameters
    ----------
    numbers : NumberTable
        Titles and rows as printed; the first column names the row.
    caption : str
        What the table shows; of a table longer than `MOST_ROWS`, which rows are shown is added.
    """
    rows = numbers.rows
    if len(rows) > MOST_ROWS:
        every = -(-len(rows) // MOST_ROWS)
        caption = f"{caption}; row {every}, {2 * every}, … of {len(rows)}"
        rows = rows[every - 1 :: every]
    figures = [all(_FIGURE.fullmatch(cell) or not cell for cell in column) for column in zip(*rows, strict=True)]
    blocks = [rows[at : at + ROWS_IN_A_BLOCK] for at in range(0, len(rows), ROWS_IN_A_BLOCK)]
    drawn = "".join(
        _block(
            numbers.titles,
            block,
            figures=figures,
            caption=caption if len(blocks) == 1 else f"{caption} (part {number} of {len(blocks)})",
        )
        for number, block in enumerate(blocks, start=1)
    )
    # The keyboard has to be able to scroll what does not fit.
    return f'<div class="numbers" role="region" aria-label="{attribute(caption)}" tabindex="0">{drawn}</div>'


def _block(titles: Sequence[str], rows: Sequence[Sequence[str]], *, figures: Sequence[bool], caption: str) -> str:
    looks = [' class="figure"' if figure else "" for figure in figures] or [""] * len(titles)
    head = "".join(
        f'<th scope="col"{look}>{text(title)}</th>' for title, look in zip(titles, looks, strict=True)
    )
    body = "".join(
        "<tr>"
        + f'<th scope="row"{looks[0]}>{text(first)}</th>'
        + "".join(f"<td{look}>{text(cell)}</td>" for cell, look in zip(cells, looks[1:], strict=True))
        + "</tr>"
        for first, *cells in rows
    )
    return (
        f"<table><caption>{text(caption)}</caption><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
    )


def figure(heading: str, drawing: Drawing, *, caption: str, numbers: NumberTable, level: int = 3) -> str:
    """A chart under its heading, with its text summary, and the table of its numbers after it.

    Parameters
    ----------
    heading : str
        What is shown, with its unit.
    drawing : Drawing
        The chart, for wide and for narrow places.
    caption : str
        The chart in words, with its numbers; what a reader hears in place of the drawing begins with it.
    numbers : NumberTable
        What is drawn.
    level : int
        Of the heading.
    """
    name = attribute(f"Chart: {heading}. {caption}")
    drawn = "".join(
        f'<svg class="{look}" role="img" aria-label="{name}" viewBox="0 0 {width} {height}" '
        f'width="{width}" height="{height}">{marks}</svg>'
        for look, (width, height, marks) in (("wide", drawing.wide), ("narrow", drawing.narrow))
    )
    return (
        f"<section><h{level}>{text(heading)}</h{level}>"
        f"<figure>{drawn}<figcaption>{text(caption)}</figcaption></figure>"
        f"{table(numbers, caption=f'The numbers of this chart: {heading}')}</section>"
    )


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
        return str(convert(plain(tex).strip(), display="block" if block else "inline"))
    except Exception:  # the converter raises many kinds, and its own base class does not cover them
        return f"<code>{text(tex)}</code>"


def document(title: str, *parts: str) -> str:
    """A whole page: no script, nothing loaded from anywhere, light paper.

    Parameters
    ----------
    title : str
        Inert text, also the first heading.
    *parts : str
        Markup.
    """
    style = (_STATIC / "handout.css").read_text(encoding="utf-8")
    # The policy forbids what the page does not do anyway: run a script, or ask any address for anything.
    policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="referrer" content="no-referrer">\n'
        f"<title>{html.escape(plain(title))}</title>\n<style>\n{style}</style>\n</head>\n"
        f"<body>\n<main>\n<h1>{text(title)}</h1>\n{chr(10).join(parts)}\n</main>\n</body>\n</html>\n"
    )


def _class(look: str) -> str:
    return f' class="{attribute(look)}"' if look else ""
