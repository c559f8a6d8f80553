"""A number beside its limits as a small drawing: fine, in between, trouble, and where this soil stands."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from soilx.handouts.page_text import text, verbatim
from soilx.handouts.reader_numbers import NOT_KNOWN, Deciding

WIDTH: Final = 216.0
HEIGHT: Final = 54.0
_ZONE: Final = 70.0
_LEFT: Final = 3.0
_TOP: Final = 15.0
_BAR: Final = 18.0
# Lightness alone tells the zones apart, so that grey paper loses nothing.
_SHADES: Final = (
    ("fine", "#ffffff", "#1a1a1a"),
    ("in between", "#d4d4d4", "#1a1a1a"),
    ("trouble", "#595959", "#ffffff"),
)


def numbers_table(numbers: Iterable[Deciding]) -> str:
    """The deciding numbers as a table, each with what is normal and a drawing.

    Parameters
    ----------
    numbers : iterable of Deciding
    """
    rows = "".join(
        f'<tr><th scope="row">{text(each.title)}</th>'
        f'<td class="value" data-label="Here">{text(each.value)}</td>'
        f'<td class="normal" data-label="What is normal">{text(each.normal)}</td>'
        f'<td class="gauge">{gauge(each)}</td></tr>'
        for each in numbers
    )
    return (
        '<table class="deciding"><thead><tr><th scope="col">Number</th><th scope="col">Here</th>'
        '<th scope="col">What is normal</th><th scope="col">Where that is</th></tr></thead>'
        f"<tbody>{rows}</tbody></table>"
    )


def gauge(number: Deciding) -> str:
    """Three zones of equal width, the limits under them, and a pointer at the number.

    Parameters
    ----------
    number : Deciding
    """
    zones = "".join(
        f'<rect x="{_LEFT + at * _ZONE:g}" y="{_TOP:g}" width="{_ZONE:g}" height="{_BAR:g}" fill="{shade}" '
        'stroke="#1a1a1a" stroke-width="1"/>'
        f'<text x="{_LEFT + (at + 0.5) * _ZONE:g}" y="{_TOP + 13.5:g}" fill="{ink}" font-size="12" '
        f'text-anchor="middle">{word}</text>'
        for at, (word, shade, ink) in enumerate(_SHADES)
    )
    limits = "".join(
        f'<text x="{_LEFT + at * _ZONE:g}" y="{HEIGHT - 5.5:g}" fill="#1a1a1a" font-size="12.5" '
        f'text-anchor="middle">{verbatim(words)}</text>'
        for at, words in ((1, number.low_words), (2, number.high_words))
    )
    pointer = ""
    if number.at is not None:
        across = _LEFT + _ZONE * _position(number)
        pointer = (
            f'<path d="M{across:.1f} {_TOP + 1:g} l-6 -13 h12 z" fill="#1a1a1a" stroke="#ffffff" '
            'stroke-width="0.8"/>'
        )
    said = f"{number.title}: {number.value}, {number.word}." if number.at is not None else NOT_KNOWN
    return (
        f'<svg role="img" aria-label="{verbatim(said)}" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" '
        f'width="{WIDTH:g}" height="{HEIGHT:g}">{zones}{limits}{pointer}</svg>'
    )


def _position(number: Deciding) -> float:
    """Across the zones, 0 to 3; in the last one twice the limit is at its middle and no number is off it."""
    value = float(number.at or 0.0)
    if value < number.low:
        return max(0.06, value / number.low)
    if value <= number.high:
        span = number.high - number.low
        return 1.5 if span == 0.0 else 1.0 + (value - number.low) / span
    over = (value - number.high) / number.high if number.high > 0 else 1.0
    return min(2.94, 2.0 + over / (1.0 + over))
