"""The words around a guess: what is asked before a run, and what is said of the guess after it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from soilx.column.run import Run

NEAR_PCT: Final = 1.0
"""Exchangeable sodium by which a guess may be off and is called near [points]."""


def guess_question(treated: Run) -> tuple[str, str]:
    """What is asked before the run, and what is known then.

    Parameters
    ----------
    treated : Run
        The column with gypsum.
    """
    water = f"{treated.applied_pore_volumes[-1]:.1f} pore volumes of water"
    return (
        f"After {water}: how much of the clay will sodium still hold in the column with gypsum?",
        f"Now it holds {_pct(treated.initial_esp_pct)} in both. Set a level.",
    )


def guess(level_pct: float, sure: str) -> str:
    """A guess as it was made.

    Parameters
    ----------
    level_pct : float
        Exchangeable sodium guessed [%].
    sure : str
        How sure, as it was picked.
    """
    return f"You guessed {_pct(level_pct)} ({sure})."


def guess_found(level_pct: float | None, *, found_pct: float, certain: bool) -> str:
    """What the column came to beside the guess.

    Parameters
    ----------
    level_pct : float or None
        Exchangeable sodium guessed [%]; None where nothing was.
    found_pct : float
        What the model comes to [%].
    certain : bool
        Whether the guess was called certain.
    """
    if level_pct is None:
        return ""
    off = found_pct - level_pct
    if abs(off) <= NEAR_PCT:
        return f"The model: {_pct(found_pct)}. Near."
    far = f"The model: {_pct(found_pct)}, {abs(off):.1f} points {'more' if off > 0 else 'less'}."
    return f"{far} Certain and off: here is most to learn." if certain else far


def _pct(value: float) -> str:
    return f"{value:.1f}\N{NO-BREAK SPACE}%"
