"""Ratios for the lesson: why SAR has a root, why it is not ESP, and three conventions for one clay."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from soilx.chemistry.cation_exchange import (
    DEFAULT_SELECTIVITY,
    SELECTIVITY_RANGES,
    Selectivity,
    exchangeable_sodium_percentage,
    gaines_thomas_from_gapon,
    gaines_thomas_isotherm,
    sodium_adsorption_ratio_beside,
    ussl_line_esp,
    vanselow_from_gapon,
    vanselow_isotherm,
)
from soilx.chemistry.exchange_conventions import USSL_HIGHEST_SAR
from soilx.chemistry.soil_solution import sodium_adsorption_ratio
from soilx.show.lesson_records import band, guess, line, now, table, words
from soilx.show.live import Drawn

Array = NDArray[np.float64]

BASE_SODIUM, BASE_CALCIUM = 10.0, 1.0
"""The water whose sodium is multiplied [mmol/L]."""
ASKED_TIMES: Final = 2.0
MOST_TIMES: Final = 4.0

ASKED_SAR: Final = 60.0
HIGHEST_SAR: Final = 100.0

_LEAST, _MOST = (
    functools.partial(exchangeable_sodium_percentage, selectivity=Selectivity(sodium=end))
    for end in (SELECTIVITY_RANGES["sodium"].low, SELECTIVITY_RANGES["sodium"].high)
)


def root(*, times: float, guessed_calcium_times: float | None = None) -> Drawn:
    """Sodium on the clay as a water's sodium is multiplied, beside three ways to multiply its calcium.

    Parameters
    ----------
    times : float
        Sodium, times that of the first water, 1 to 4 [1].
    guessed_calcium_times : float, optional
        Calcium guessed to keep the clay as it was when sodium doubles, times that of the first water [1].
    """
    grid = np.linspace(1.0, MOST_TIMES, 61)
    named = {"calcium × 1": 0, "calcium × n": 1, "calcium × n²": 2}
    kinds = ("first", "second", "third")
    here = {name: float(_beside_multiple(times, times**power)) for name, power in named.items()}
    ghost = (
        None if guessed_calcium_times is None else float(_beside_multiple(ASKED_TIMES, guessed_calcium_times))
    )
    listed = (1.0, 1.5, 2.0, 3.0, 4.0)
    return Drawn(
        records={
            "curves": [
                row
                for (name, power), kind in zip(named.items(), kinds, strict=True)
                for row in line(name, kind, grid, _beside_multiple(grid, grid**power))
            ],
            "names": [
                words(
                    MOST_TIMES, _beside_multiple(MOST_TIMES, MOST_TIMES**power), name, align="right", dy=-15
                )
                for name, power in named.items()
            ],
            "now": [
                now(times, here[name], f"{here[name]:.1f} %", middle=2.2, kind=kind, dy=dy)
                for name, kind, dy in zip(named, kinds, (-14, 15, 15), strict=True)
            ],
            "guess": guess(ASKED_TIMES, ghost, align="right"),
        },
        signals={},
        caption=(
            f"n = {times:g}: sodium times {times:g}. "
            f"On the clay: {here['calcium × 1']:.1f} % with calcium kept, "
            f"{here['calcium × n']:.1f} % with calcium times {times:g}, "
            f"{here['calcium × n²']:.1f} % with calcium times {times**2:.4g}."
        ),
        table=table(
            ("n: sodium, times", *(f"Sodium on the clay, %: {name}" for name in named)),
            (
                (f"{by:g}", *(f"{float(_beside_multiple(by, by**power)):.2f}" for power in named.values()))
                for by in listed
            ),
        ),
    )


def ratio(*, sar: float, guessed_pct: float | None = None) -> Drawn:
    """Exchangeable sodium against the sodium adsorption ratio, and how far published clays differ.

    Parameters
    ----------
    sar : float
        Where the slider stands [(mmol/L)^½].
    guessed_pct : float, optional
        The guess for a ratio of 60 [%].
    """
    grid = np.linspace(0.0, HIGHEST_SAR, 101)
    held = float(exchangeable_sodium_percentage(sar))
    least, most = published(sar=sar)
    listed = (5.0, 10.0, 13.0, 20.0, 40.0, 60.0, 80.0, 100.0)
    return Drawn(
        records={
            "band": band(grid, _LEAST(grid), _MOST(grid)),
            "curves": [
                *line("the clay", "first", grid, exchangeable_sodium_percentage(grid)),
                *line("one number", "reference", (0.0, HIGHEST_SAR), (0.0, HIGHEST_SAR)),
            ],
            "names": [
                words(72, 72.0, "if both were one number", align="right", dy=-6),
                words(HIGHEST_SAR, _LEAST(HIGHEST_SAR), "published clays", align="right", dy=14),
            ],
            "now": [now(sar, held, f"ESP {held:.1f} %", middle=65)],
            "guess": guess(ASKED_SAR, guessed_pct, align="right"),
        },
        signals={},
        caption=(
            f"Beside a water of SAR {sar:g} this clay comes to ESP {held:.1f} %; "
            f"published clays to {least:.1f}–{most:.1f} %."
        ),
        table=table(
            (
                "SAR of the water, √(mmol/L)",
                "ESP, %",
                "Lowest published, %",
                "Highest published, %",
                "Handbook 60 line, %",
            ),
            (
                (
                    f"{at:g}",
                    f"{float(exchangeable_sodium_percentage(at)):.2f}",
                    f"{float(_LEAST(at)):.2f}",
                    f"{float(_MOST(at)):.2f}",
                    f"{float(ussl_line_esp(at)):.2f}" if at <= USSL_HIGHEST_SAR else "beyond its data",
                )
                for at in listed
            ),
        ),
    )


def conventions(*, agree_at_esp_pct: float) -> Drawn:
    """One clay by three conventions whose coefficients agree at one exchangeable sodium.

    Parameters
    ----------
    agree_at_esp_pct : float
        Where they are made to agree, 0 to less than 100 [%].
    """
    grid = np.linspace(0.0, HIGHEST_SAR, 101)
    meeting = float(sodium_adsorption_ratio_beside(agree_at_esp_pct))
    gaines_thomas, vanselow = coefficients(agree_at_esp_pct=agree_at_esp_pct)
    by_name: dict[str, Callable[[ArrayLike], Array]] = {
        "Gapon": exchangeable_sodium_percentage,
        "Vanselow": lambda sar: 100 * vanselow_isotherm(sar, coefficient=vanselow),
        "Gaines–Thomas": lambda sar: 100 * gaines_thomas_isotherm(sar, coefficient=gaines_thomas),
    }
    kinds = ("first", "second", "third")
    far = {name: float(by_name[name](ASKED_SAR)) for name in by_name}
    listed = (5.0, 10.0, 20.0, 40.0, 60.0, 80.0, 100.0)
    return Drawn(
        records={
            "curves": [
                row
                for (name, esp), kind in zip(by_name.items(), kinds, strict=True)
                for row in line(name, kind, grid, esp(grid))
            ],
            "names": [
                words(0.98 * HIGHEST_SAR, by_name[name](0.98 * HIGHEST_SAR), name, align="right", dy=dy)
                for name, dy in (("Vanselow", -15), ("Gaines–Thomas", 1), ("Gapon", 16))
            ],
            "now": [now(meeting, agree_at_esp_pct, "agree here", middle=101, dy=16)],
        },
        signals={},
        caption=(
            f"Made to agree at ESP {agree_at_esp_pct:g} %: Gapon's constant is "
            f"{DEFAULT_SELECTIVITY.sodium:g} per √(mmol/L), Vanselow's {vanselow:.2f} and "
            f"Gaines–Thomas's {gaines_thomas:.2f} mol/L. At SAR {ASKED_SAR:g} they say "
            f"{far['Gapon']:.1f}, {far['Vanselow']:.1f} and {far['Gaines–Thomas']:.1f} %."
        ),
        table=table(
            ("SAR of the water, √(mmol/L)", *(f"ESP, %: {name}" for name in by_name)),
            ((f"{at:g}", *(f"{float(esp(at)):.2f}" for esp in by_name.values())) for at in listed),
        ),
    )


def published(*, sar: float) -> tuple[float, float]:
    """Lowest and highest exchangeable sodium percentage of published clays beside a water [%].

    Parameters
    ----------
    sar : float
        Sodium adsorption ratio [(mmol/L)^½].
    """
    return float(_LEAST(sar)), float(_MOST(sar))


def coefficients(*, agree_at_esp_pct: float) -> tuple[float, float]:
    """Gaines–Thomas and Vanselow coefficients that meet Gapon's equation at one exchangeable sodium [mol/L].

    Parameters
    ----------
    agree_at_esp_pct : float
        Exchangeable sodium percentage, 0 to less than 100 [%].
    """
    sodium = agree_at_esp_pct / 100
    return (
        float(gaines_thomas_from_gapon(DEFAULT_SELECTIVITY.sodium, sodium)),
        float(vanselow_from_gapon(DEFAULT_SELECTIVITY.sodium, sodium)),
    )


def _beside_multiple(sodium_times: Array | float, calcium_times: Array | float) -> Array:
    return exchangeable_sodium_percentage(
        sodium_adsorption_ratio(
            BASE_SODIUM * np.asarray(sodium_times), BASE_CALCIUM * np.asarray(calcium_times), 0.0
        )
    )
