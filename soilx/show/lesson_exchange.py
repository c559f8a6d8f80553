"""Curves of cation exchange for the lesson: what the clay holds beside a water, by soilx.chemistry."""

from __future__ import annotations

import functools
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.cation_exchange import (
    DEFAULT_SELECTIVITY,
    exchangeable_sodium_percentage,
    sodium_adsorption_ratio_at_normality,
)
from soilx.chemistry.layer_equilibrium import equilibrate_inventory
from soilx.chemistry.soil_solution import sodium_adsorption_ratio
from soilx.show.lesson_records import guess, line, now, table, words
from soilx.show.live import Drawn

Array = NDArray[np.float64]

WATER_CHARGE: Final = 50.0
"""Calcium and sodium of the first water together [mmol_c/L]."""
ASKED_SHARE_PCT: Final = 50.0
HIGHEST_SHARE_PCT: Final = 99.0

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

STRONG_SODIUM, STRONG_CALCIUM = 80.0, 10.0
"""The water that is thinned [mmol/L]."""
ASKED_THINNED: Final = 10.0
MOST_THINNED: Final = 50.0


def isotherm(*, sodium_share_pct: float, guessed_pct: float | None = None) -> Drawn:
    """Sodium on the clay against sodium's share of the dissolved charge.

    Parameters
    ----------
    sodium_share_pct : float
        Where the slider stands, 0 to less than 100 [%].
    guessed_pct : float, optional
        The guess for a share of 50 % [%].
    """
    shares = np.concatenate([np.arange(0.0, 90.0, 2.0), np.arange(90.0, HIGHEST_SHARE_PCT + 0.1, 0.25)])
    held = beside_share(sodium_share_pct=sodium_share_pct)
    listed = np.array([0.0, 10.0, 25.0, 50.0, 75.0, 90.0, 95.0, 98.0, 99.0])
    return Drawn(
        records={
            "curves": [
                *line("the clay", "first", shares, _beside_share(shares)),
                *line("the water", "reference", (0.0, 100.0), (0.0, 100.0)),
            ],
            "names": [
                words(78, _beside_share(np.array([78.0]))[0], "on the clay", align="right", dy=-14),
                words(76, 76.0, "same as in the water", align="right", dy=-6),
            ],
            "now": [now(sodium_share_pct, held, f"{held:.1f} %", middle=60)],
            "guess": guess(ASKED_SHARE_PCT, guessed_pct, align="right"),
        },
        signals={},
        caption=(
            f"Sodium is {sodium_share_pct:g} % of the dissolved charge. "
            f"It holds {held:.1f} % of the clay's charge. Calcium holds the rest."
        ),
        table=table(
            ("Sodium in the water, % of the charge", "Sodium on the clay, % of the charge"),
            ((f"{share:g}", f"{esp:.2f}") for share, esp in zip(listed, _beside_share(listed), strict=True)),
        ),
    )


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


def dilution(*, thinned: float, guessed_pct: float | None = None) -> Drawn:
    """Sodium on the clay beside one water, thinned with pure water.

    Parameters
    ----------
    thinned : float
        How many times, 1 or more [1].
    guessed_pct : float, optional
        The guess for ten times [%].
    """
    times = np.linspace(1.0, MOST_THINNED, 99)
    held, whole = beside_thinned(thinned=thinned), beside_thinned(thinned=1.0)
    listed = np.array([1.0, 2.0, 5.0, 10.0, 20.0, 50.0])
    sodium, calcium = STRONG_SODIUM / thinned, STRONG_CALCIUM / thinned
    share = 100 * sodium / (sodium + 2 * calcium)
    return Drawn(
        records={
            "curves": [
                *line("the clay", "first", times, _beside_thinned(times)),
                *line("before", "reference", (1.0, MOST_THINNED), (whole, whole)),
            ],
            "names": [
                words(MOST_THINNED, whole, "before thinning", align="right", dy=-12),
                words(
                    MOST_THINNED,
                    _beside_thinned(np.array([MOST_THINNED]))[0],
                    "on the clay",
                    align="right",
                    dy=-16,
                ),
            ],
            "now": [now(thinned, held, f"{held:.1f} %", middle=30)],
            "guess": guess(ASKED_THINNED, guessed_pct),
        },
        signals={},
        caption=(
            f"Thinned {thinned:g} times: sodium {sodium:.2f} and calcium {calcium:.2f} mmol/L. "
            f"In the water sodium is still {share:.0f} % of the charge. "
            f"On the clay it goes from {whole:.1f} % to {held:.1f} %."
        ),
        table=table(
            (
                "Thinned, times",
                "Sodium, mmol/L",
                "Calcium, mmol/L",
                "SAR, √(mmol/L)",
                "Sodium on the clay, %",
            ),
            (
                (
                    f"{by:g}",
                    f"{STRONG_SODIUM / by:.2f}",
                    f"{STRONG_CALCIUM / by:.2f}",
                    f"{sar:.2f}",
                    f"{esp:.2f}",
                )
                for by, sar, esp in zip(listed, _thinned_ratio(listed), _beside_thinned(listed), strict=True)
            ),
        ),
    )


def _beside_share(share_pct: Array) -> Array:
    return exchangeable_sodium_percentage(sodium_adsorption_ratio_at_normality(WATER_CHARGE, share_pct / 100))


def beside_thinned(*, thinned: float) -> float:
    """Sodium on the clay beside the water of `dilution`, so many times thinner [% of the charge].

    Parameters
    ----------
    thinned : float
        How many times, 1 or more [1].
    """
    return float(_beside_thinned(np.array([thinned]))[0])


def beside_share(*, sodium_share_pct: float) -> float:
    """Sodium on the clay beside the water of `isotherm` [% of the charge].

    Parameters
    ----------
    sodium_share_pct : float
        Sodium's share of the dissolved charge, 0 to less than 100 [%].
    """
    return float(_beside_share(np.array([sodium_share_pct]))[0])


def rinsed(*, calcium_pct: float, rinses: int) -> float:
    """Sodium left on the beaker's clay when its calcium comes in equal parts, the water poured off between [%].

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


def _thinned_ratio(thinned: Array) -> Array:
    return sodium_adsorption_ratio(STRONG_SODIUM / thinned, STRONG_CALCIUM / thinned, 0.0)


def _beside_thinned(thinned: Array) -> Array:
    return exchangeable_sodium_percentage(_thinned_ratio(thinned))
