"""Records of what stays on a chart beside the live curves: curves that were kept, and a guess."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from soilx.show import stage_records
from soilx.show.marks import GUESS
from soilx.show.tables import Record

if TYPE_CHECKING:
    from soilx.show.kept import Kept

# Where along its curve a letter stands, away from the names of the live ones.
_PLACES: Final = {"A": 0.3, "B": 0.62, "C": 0.85}


def profiles(kept: Sequence[Kept]) -> list[Record]:
    """Exchangeable sodium by depth of every curve that was kept.

    Parameters
    ----------
    kept : sequence of Kept
        In the order of their letters.

    Returns
    -------
    list of dict
        ``letter``, ``middle_cm``, ``esp_pct``, ``label`` (the letter, on one row of each).
    """
    return [
        {**row, "letter": one.letter, "label": one.letter if at == _named(one, run_rows) else ""}
        for one in kept
        for run_rows in [stage_records.profile_before(one.run)]
        for at, row in enumerate(run_rows)
    ]


def curves(kept: Sequence[Kept], of: str) -> list[Record]:
    """A property of the leachate of every curve that was kept.

    Parameters
    ----------
    kept : sequence of Kept
        In the order of their letters.
    of : str
        One of `soilx.show.stage_records.PROPERTIES`.

    Returns
    -------
    list of dict
        ``letter``, ``x`` [pore volumes], ``y``, ``label`` (the letter, on one row of each).
    """
    return [
        {**row, "letter": one.letter, "label": one.letter if at == _named(one, run_rows) else ""}
        for one in kept
        for run_rows in [stage_records.curve_before(one.run, of)]
        for at, row in enumerate(run_rows)
    ]


def guess(level_pct: float | None) -> list[Record]:
    """A guessed level as one row, none where nothing was guessed.

    Parameters
    ----------
    level_pct : float or None
        Exchangeable sodium [%].
    """
    return [] if level_pct is None else [{"esp_pct": level_pct, "label": GUESS}]


def said(kept: Sequence[Kept], level_pct: float | None) -> list[str]:
    """What stays on the chart, in words with its numbers.

    Parameters
    ----------
    kept : sequence of Kept
        In the order of their letters.
    level_pct : float or None
        Exchangeable sodium guessed [%].
    """
    guessed = [] if level_pct is None else [f"Your guess: {level_pct:.1f}\N{NO-BREAK SPACE}%."]
    frozen = [f"{one.letter}: {one.run.final_esp_pct:.1f}\N{NO-BREAK SPACE}% on average." for one in kept]
    return [*guessed, *frozen]


def _named(one: Kept, rows: Sequence[Record]) -> int:
    """Which row carries the letter: each at another place along the curve, so that they stand apart."""
    return int(_PLACES[one.letter] * len(rows))
