"""One beaker for the exchange lesson: soil stirred with a calcium salt until nothing changes."""

from __future__ import annotations

import functools
from typing import Final

import numpy as np

from soilx.chemistry.cation_exchange import DEFAULT_SELECTIVITY
from soilx.chemistry.layer_equilibrium import equilibrate_inventory
from soilx.show.lesson_records import guess, line, now, table, words
from soilx.show.live import Drawn

BEAKER_CAPACITY: Final = 240.0
"""Of the clay in the beaker: 24 cmol_c/kg [mmol_c/kg]."""
BEAKER_WATER: Final = 1.0
"""100 mL of water to 100 g of soil [L/kg]."""
BEAKER_SODIUM: Final = 97.0
"""On the clay and in the water together, which begins at ESP 40 [mmol/kg]."""
BEAKER_SALT: Final = 1.0
"""Chloride before any calcium is added [mmol/kg]."""
ASKED_CALCIUM_PCT: Final = 100.0
MOST_CALCIUM_PCT: Final = 300.0


def beaker(*, calcium_pct: float, guessed_pct: float | None = None) -> Drawn:
    """Sodium left on clay that is stirred once with a calcium salt.

    Parameters
    ----------
    calcium_pct : float
        Calcium charge added, of the charge of the beaker's sodium, 0 to 300 [%].
    guessed_pct : float, optional
        The guess for as much calcium as sodium [%].
    """
    added, left = _beaker_curve()
    start, here = float(left[0]), _left_in_beaker(calcium_pct)
    # Counting charge alone, the clay's own sodium is gone here; a little of the beaker's was never on it.
    gone = start * BEAKER_CAPACITY / BEAKER_SODIUM
    return Drawn(
        records={
            "curves": [
                *line("one beaker", "first", added, left),
                *line("if all went", "reference", (0.0, gone, MOST_CALCIUM_PCT), (start, 0.0, 0.0)),
            ],
            "names": [
                words(200, _left_in_beaker(200.0), "what stays", dy=-16),
                words(gone * (1 - 6 / start), 6, "if all left"),
            ],
            "now": [now(calcium_pct, here, f"{here:.1f} %", middle=200)],
            "guess": guess(ASKED_CALCIUM_PCT, guessed_pct, align="right"),
        },
        signals={},
        caption=(
            f"Calcium added: {calcium_pct:g} % of the sodium's charge. "
            f"Sodium on the clay goes from {start:.1f} % to {here:.1f} %."
        ),
        table=table(
            ("Calcium added, % of the sodium's charge", "Sodium on the clay, % of the charge"),
            ((f"{share:g}", f"{_left_in_beaker(share):.2f}") for share in (0, 25, 50, 100, 150, 200, 300)),
        ),
    )


def rinsed(*, calcium_pct: float, rinses: int) -> float:
    """Sodium left on clay whose calcium comes in equal parts, water poured off between [% of its charge].

    Parameters
    ----------
    calcium_pct : float
        Calcium charge added in all, of the charge of the beaker's sodium [%].
    rinses : int
        Parts it comes in.
    """
    sodium, salt = BEAKER_SODIUM, BEAKER_SALT
    for _ in range(rinses):
        chloride = salt + BEAKER_SODIUM * calcium_pct / 100 / rinses
        left = _beaker(sodium=sodium, chloride=chloride)
        sodium, salt = left / 100 * BEAKER_CAPACITY, 0.0
    return left


def _left_in_beaker(calcium_pct: float) -> float:
    return _beaker(sodium=BEAKER_SODIUM, chloride=BEAKER_SALT + BEAKER_SODIUM * calcium_pct / 100)


def _beaker(*, sodium: float, chloride: float) -> float:
    state = equilibrate_inventory(
        sodium=sodium,
        potassium=0.0,
        magnesium=0.0,
        sulfate=0.0,
        chloride=chloride,
        bicarbonate=0.0,
        capacity=BEAKER_CAPACITY,
        water=BEAKER_WATER,
        selectivity=DEFAULT_SELECTIVITY,
    )
    return state.exchangeable_sodium_percentage


@functools.cache
def _beaker_curve() -> tuple[tuple[float, ...], tuple[float, ...]]:
    added = tuple(float(at) for at in np.linspace(0.0, MOST_CALCIUM_PCT, 61))
    return added, tuple(_left_in_beaker(at) for at in added)
