"""A solution as it is worked out, line by line, right or with a mistake made on purpose."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import floor, log10
from types import MappingProxyType
from typing import Final

from soilx.teaching.problem import Line, Solution, Value

_DECIDES: Final = 1e-9
"""Relative; far above a solver's tolerance and far below a printed digit."""


@dataclass(slots=True)
class Working:
    """Lines as they are worked out; knows which mistake is being made on purpose.

    Attributes
    ----------
    mistake : str
        Key of the mistake; empty for none.
    """

    mistake: str = ""
    lines: list[Line] = field(default_factory=list)
    values: dict[str, Value] = field(default_factory=dict)

    def made(self, *keys: str) -> bool:
        """Whether one of these mistakes is being made."""
        return self.mistake in keys

    def line(self, what: str, how: str, result: float, unit: str = "", *, answers: str = "") -> float:
        """The result of one line, which is written down with it; maybe an answer."""
        if answers:
            self.values[answers] = result
        result_text = with_unit(shown(result), unit)
        self.lines.append(Line(what=what, how=how, result=result_text, answers=answers))
        return result

    def choose(self, what: str, how: str, key: str, words: str, *, answers: str) -> str:
        """A line that ends in a choice."""
        self.values[answers] = key
        self.lines.append(Line(what=what, how=how, result=words, answers=answers, numeric=False))
        return key

    @property
    def solution(self) -> Solution:
        """What was worked out."""
        return Solution(values=MappingProxyType(dict(self.values)), lines=tuple(self.lines))


def printed(value: float, digits: int = 0) -> float:
    """A number as it is printed, to so many decimals; what ends in a five goes up.

    A drawn share of a drawn capacity often ends in a five, of which a solver's last bit would make now the
    one neighbour and now the other: a billionth decides before it.
    """
    return float(round(value * (1.0 + _DECIDES), digits))


def shown(value: float, digits: int = 4) -> str:
    """A number in so many significant digits, without an exponent and without idle zeros."""
    if value == 0:
        return "0"
    places = digits - 1 - floor(log10(abs(value)))
    rounded = printed(value, places)
    text = f"{rounded:.{max(places, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def with_unit(number: str, unit: str) -> str:
    """A number and its unit; a percent sign stands off like any other unit."""
    return f"{number} {unit}".rstrip()


def is_clear_of(value: float, *borders: float, by: float) -> bool:
    """Whether a value is away from every border by a share of it."""
    return all(abs(value - border) > by * abs(border) for border in borders)
