"""A few lines with their names beside their ends, as one small drawing that stays readable in grey."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from soilx.handouts.page_text import text, verbatim
from soilx.show.tables import axis_top

WIDTH: Final = 600.0
HEIGHT: Final = 170.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 44.0, 128.0, 12.0, 40.0
_APART: Final = 14.0
_MOST_TICKS: Final = 5.001


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the drawing.

    Attributes
    ----------
    name : str
        Written beside its end.
    across, up : tuple of float
    dash : str
        As in SVG; empty for an unbroken line.
    """

    name: str
    across: Sequence[float]
    up: Sequence[float]
    dash: str = ""


def line_figure(
    lines: Sequence[Line], rules: Sequence[tuple[str, float]], *, across: str, up: str, said: str
) -> str:
    """Lines and level rules in one drawing, with the same in words under it.

    Parameters
    ----------
    lines : sequence of Line
    rules : sequence of (str, float)
        Name and height of each dotted level.
    across, up : str
        What the axes count, with the unit.
    said : str
        The drawing in words, with its numbers.
    """
    most = axis_top(max(*(max(line.up) for line in lines), *(value for _, value in rules)))
    widest = max(line.across[-1] for line in lines)

    def x(value: float) -> float:
        return _LEFT + (WIDTH - _LEFT - _RIGHT) * value / widest

    def y(value: float) -> float:
        return _TOP + (HEIGHT - _TOP - _BOTTOM) * (1.0 - value / most)

    marks = [_axes(most, widest, across, up, x=x, y=y)]
    labels: list[tuple[str, float]] = []
    for name, value in rules:
        marks.append(
            f'<path d="M{_LEFT:g} {y(value):.1f} H{WIDTH - _RIGHT:g}" fill="none" stroke="#595959" '
            'stroke-width="1.2" stroke-dasharray="2 4"/>'
        )
        labels.append((name, y(value)))
    for line in lines:
        points = " ".join(f"{x(a):.1f},{y(b):.1f}" for a, b in zip(line.across, line.up, strict=True))
        dash = f' stroke-dasharray="{line.dash}"' if line.dash else ""
        marks.append(
            f'<polyline points="{points}" fill="none" stroke="#1a1a1a" stroke-width="2.2"{dash} '
            'stroke-linejoin="round"/>'
        )
        labels.append((line.name, y(line.up[-1])))
    marks += [_text(WIDTH - _RIGHT + 6.0, at + 4.0, name, anchor="start") for name, at in _spread(labels)]
    return (
        f'<figure class="path"><svg role="img" aria-label="{verbatim(said)}" '
        f'viewBox="0 0 {WIDTH:g} {HEIGHT:g}" width="{WIDTH:g}" height="{HEIGHT:g}">{"".join(marks)}</svg>'
        f"<figcaption>{text(said)}</figcaption></figure>"
    )


def _axes(
    most: float,
    widest: float,
    across: str,
    up: str,
    *,
    x: Callable[[float], float],
    y: Callable[[float], float],
) -> str:
    frame = (
        f'<path d="M{_LEFT:g} {_TOP:g} V{HEIGHT - _BOTTOM:g} H{WIDTH - _RIGHT:g}" fill="none" '
        'stroke="#1a1a1a" stroke-width="1"/>'
    )
    marks = [frame, _text(_LEFT, HEIGHT - 4.0, f"{across}; up: {up}", anchor="start")]
    marks += [_text(_LEFT - 6.0, y(value) + 4.0, f"{value:g}", anchor="end") for value in _ticks(most)]
    marks += [
        _text(x(value), HEIGHT - _BOTTOM + 15.0, f"{value:g}", anchor="middle") for value in _ticks(widest)
    ]
    return "".join(marks)


def _ticks(most: float) -> list[float]:
    """Round numbers from nothing to the end of an axis, at most six."""
    decade = 10.0 ** math.floor(math.log10(most))
    step = next(step for step in (0.1, 0.2, 0.5, 1.0, 2.0) if most / (step * decade) <= _MOST_TICKS) * decade
    return [round(step * number, 6) for number in range(math.floor(most / step + 1e-9) + 1)]


def _text(x: float, y: float, words: str, *, anchor: str) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="12.5" fill="#1a1a1a" '
        f'text-anchor="{anchor}">{verbatim(words)}</text>'
    )


def _spread(labels: Sequence[tuple[str, float]]) -> list[tuple[str, float]]:
    """Labels moved apart where they would lie on each other, and up where they would leave the drawing."""
    placed: list[tuple[str, float]] = []
    for name, at in sorted(labels, key=lambda label: label[1]):
        placed.append((name, max(at, placed[-1][1] + _APART) if placed else at))
    over = max(0.0, placed[-1][1] - (HEIGHT - _BOTTOM)) if placed else 0.0
    return [(name, at - over) for name, at in placed]
