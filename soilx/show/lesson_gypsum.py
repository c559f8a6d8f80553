"""Gypsum for the lesson: the plateau, and why the root of Ksp is a third of it, by soilx.chemistry.gypsum."""

from __future__ import annotations

import functools
from typing import Final

from soilx.chemistry.gypsum import gypsum_solubility, naive_gypsum_solubility
from soilx.chemistry.soil_solution import CONSTANTS, AqueousConstants, Solution
from soilx.show.lesson_records import guess, line, now, table, words
from soilx.show.live import Drawn
from soilx.show.tables import Record
from soilx.units import GYPSUM, Kind, express

MOST_GYPSUM_G_PER_L: Final = 10.0
ASKED_GYPSUM_G_PER_L: Final = 10.0
MOST_SALT: Final = 200.0
"""Sodium chloride in the water at most, well inside the Davies equation [mmol/L]."""

STEPS: Final = ("√Ksp alone", "and ions shield each other", "and some ions pair up")

_NO_PAIR: Final = -30.0
"""log K of a pair that is not there."""
WITHOUT_PAIRS: Final = AqueousConstants(
    calcium_sulfate=_NO_PAIR, magnesium_sulfate=_NO_PAIR, sodium_sulfate=_NO_PAIR, potassium_sulfate=_NO_PAIR
)


def plateau(*, added_g_per_l: float, guessed_g_per_l: float | None = None) -> Drawn:
    """Gypsum that a litre of pure water dissolves against what is stirred in.

    Parameters
    ----------
    added_g_per_l : float
        Where the slider stands [g/L].
    guessed_g_per_l : float, optional
        The guess for 10 g/L [g/L].
    """
    most, naive = dissolved_at_most(), _in_grams(naive_gypsum_solubility())
    # All of it, or what the water can hold, whichever is less: the curve has one corner.
    dissolved = min(added_g_per_l, most)
    listed = (0.5, 1.0, 2.0, 3.0, 5.0, 10.0)
    return Drawn(
        records={
            "curves": [
                *line("dissolved", "plain", (0.0, most, MOST_GYPSUM_G_PER_L), (0.0, most, most)),
                *line("√Ksp", "reference", (0.0, naive, MOST_GYPSUM_G_PER_L), (0.0, naive, naive)),
                *line("all", "reference", (most, MOST_GYPSUM_G_PER_L), (most, MOST_GYPSUM_G_PER_L)),
            ],
            "names": [
                words(MOST_GYPSUM_G_PER_L, naive, "√Ksp says", align="right", dy=-12),
                words(6.6, 6.6, "if all dissolved", align="right", dy=-4),
                words(MOST_GYPSUM_G_PER_L, most, "dissolved", align="right", dy=16),
            ],
            "now": [now(added_g_per_l, dissolved, f"{dissolved:.2f} g", middle=6, kind="plain")],
            "guess": guess(ASKED_GYPSUM_G_PER_L, guessed_g_per_l, align="right"),
        },
        signals={},
        caption=(
            f"Stirred in: {added_g_per_l:g} g in a litre. Dissolved: {dissolved:.2f} g. "
            f"Left on the bottom: {added_g_per_l - dissolved:.2f} g. The most that dissolves is {most:.2f} g "
            f"({solubility():.1f} mmol/L)."
        ),
        table=table(
            ("Gypsum stirred in, g/L", "Dissolved, g/L", "Left solid, g/L"),
            ((f"{at:g}", f"{min(at, most):.2f}", f"{at - min(at, most):.2f}") for at in listed),
        ),
    )


def steps(*, salt_mmol_per_l: float) -> Drawn:
    """Solubility of gypsum by its solubility product alone, with activities, and with ion pairs too.

    Parameters
    ----------
    salt_mmol_per_l : float
        Sodium chloride in the water [mmol/L].
    """
    water = _salty(sodium=salt_mmol_per_l, chloride=salt_mmol_per_l)
    values = (
        naive_gypsum_solubility(),
        gypsum_solubility(water, constants=WITHOUT_PAIRS),
        gypsum_solubility(water),
    )
    bars: list[Record] = [
        {"name": name, "value": round(value, 4), "text": f"{value:.1f}"}
        for name, value in zip(STEPS, values, strict=True)
    ]
    return Drawn(
        records={"bars": bars},
        signals={},
        caption=(
            f"Sodium chloride in the water: {salt_mmol_per_l:g} mmol/L. "
            f"√Ksp alone gives {values[0]:.1f} mmol/L; "
            f"with shielding {values[1]:.1f}; with shielding and pairs {values[2]:.1f}, "
            f"{values[2] / values[0]:.1f} times √Ksp."
        ),
        table=table(
            ("Counted", "Gypsum dissolved, mmol/L", "Gypsum dissolved, g/L"),
            (
                (name, f"{value:.2f}", f"{_in_grams(value):.2f}")
                for name, value in zip(STEPS, values, strict=True)
            ),
        ),
    )


def solubility(*, sodium_sulfate: float = 0.0) -> float:
    """Gypsum that pure water dissolves, or water with sodium sulfate [mmol/L].

    Parameters
    ----------
    sodium_sulfate : float
        In the water before any gypsum [mmol/L].
    """
    return _solubility(sodium_sulfate)


@functools.lru_cache(maxsize=8)
def _solubility(sodium_sulfate: float) -> float:
    return gypsum_solubility(_salty(sodium=2 * sodium_sulfate, sulfate=sodium_sulfate))


def dissolved_at_most() -> float:
    """Gypsum that a litre of pure water dissolves [g/L]."""
    return _in_grams(solubility())


def solubility_by_root() -> float:
    """Gypsum that the root of its solubility product says will dissolve [mmol/L]."""
    return naive_gypsum_solubility()


def solubility_product() -> float:
    """Ksp of gypsum as chemistry texts print it [(mol/L)²]."""
    return CONSTANTS.gypsum_ksp * 1e-6  # from (mmol/L)²


def _in_grams(mmol_per_l: float) -> float:
    return float(express(mmol_per_l, Kind.CONCENTRATION, "g/L", ion=GYPSUM))


def _salty(*, sodium: float, chloride: float = 0.0, sulfate: float = 0.0) -> Solution:
    return Solution(ca=0.0, mg=0.0, na=sodium, k=0.0, so4=sulfate, cl=chloride, hco3=0.0)
