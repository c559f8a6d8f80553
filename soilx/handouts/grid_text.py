"""A grid's numbers as short texts that a page carries: each is the printed number itself."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

#: Signs that stand in a script of a page, within quotes, as they are.
SIGNS: Final = "".join(sign for sign in map(chr, range(33, 127)) if sign not in "\"&'<>\\`")

NOTHING, NIL, LESS = 0, 1, 2
"""Codes of what is no number: not there; nil; more than nil but printed as nil. A number n is n + 2."""

_TIE: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a number stands in a run's text.

    Attributes
    ----------
    digits : int
        Decimals.
    width : int
        Signs of one number.
    start : int
        First sign.
    count : int
        How many numbers there are.
    """

    digits: int
    width: int
    start: int
    count: int


def codes(values: ArrayLike, digits: int) -> NDArray[np.int64]:
    """Numbers as whole numbers of their last printed digit.

    Parameters
    ----------
    values : array_like, shape (...)
        Not below nil; NaN where there is none.
    digits : int
        Decimals printed.

    Returns
    -------
    ndarray, shape (...)
        `NOTHING`, `NIL`, `LESS`, or the number in units of its last digit, plus 2.
    """
    given = np.asarray(values, dtype=float)
    there = np.isfinite(given)
    scaled = np.array(np.where(there, given, 0.0) * 10.0**digits)
    whole = np.array(np.rint(scaled))
    # Near a tie the scaling itself may decide: there the number is rounded as it is when it is printed.
    for at in np.argwhere(np.abs(np.abs(scaled - np.floor(scaled)) - 0.5) < _TIE):
        place = tuple(at)
        whole[place] = round(float(f"{given[place]:.{digits}f}") * 10**digits)
    found = np.where(whole > 0, whole + LESS, np.where(given > 0, LESS, NIL))
    return np.where(there, found, NOTHING).astype(np.int64)


def places(runs: Iterable[Mapping[str, NDArray[Any]]], digits: Mapping[str, int]) -> dict[str, Place]:
    """Where each number stands in every run's text.

    Parameters
    ----------
    runs : iterable of mapping of str to ndarray
        Numbers by name, equally many in each run.
    digits : mapping of str to int
        Decimals by name.
    """
    most: dict[str, int] = dict.fromkeys(digits, LESS)
    counts: dict[str, int] = dict.fromkeys(digits, 0)
    for numbers in runs:
        for name in digits:
            most[name] = max(most[name], int(codes(numbers[name], digits[name]).max()))
            counts[name] = numbers[name].size
    found: dict[str, Place] = {}
    start = 0
    for name in digits:
        width = 1
        while len(SIGNS) ** width <= most[name]:
            width += 1
        found[name] = Place(digits=digits[name], width=width, start=start, count=counts[name])
        start += width * counts[name]
    return found


def text_of(numbers: Mapping[str, NDArray[Any]], where: Mapping[str, Place]) -> str:
    """A run's numbers as one text.

    Parameters
    ----------
    numbers : mapping of str to ndarray
        By name.
    where : mapping of str to Place
        As `places` found it.
    """
    signs = np.frombuffer(SIGNS.encode("ascii"), dtype=np.uint8)
    parts = []
    for name, place in where.items():
        code = codes(numbers[name], place.digits).ravel()
        powers = len(SIGNS) ** np.arange(place.width - 1, -1, -1)
        parts.append(signs[(code[:, np.newaxis] // powers) % len(SIGNS)].ravel())
    return np.concatenate(parts).tobytes().decode("ascii")
