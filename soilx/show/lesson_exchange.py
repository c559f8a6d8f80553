"""Curves of cation exchange for the lesson: what the clay holds beside a water, by soilx.chemistry."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.cation_exchange import (
    exchangeable_sodium_percentage,
    sodium_adsorption_ratio_at_normality,
)
from soilx.chemistry.soil_solution import sodium_adsorption_ratio
from soilx.show.lesson_records import guess, line, now, table, words
from soilx.show.live import Drawn

Array = NDArray[np.float64]

WATER_CHARGE: Final = 50.0
"""Calcium and sodium of the first water together [mmol_c/L]."""
ASKED_SHARE_PCT: Final = 50.0
HIGHEST_SHARE_PCT: Final = 99.0

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


def _thinned_ratio(thinned: Array) -> Array:
    return sodium_adsorption_ratio(STRONG_SODIUM / thinned, STRONG_CALCIUM / thinned, 0.0)


def _beside_thinned(thinned: Array) -> Array:
    return exchangeable_sodium_percentage(_thinned_ratio(thinned))
