"""Answers to what the exchange lesson asks at the end of each part, read off the same curves."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from soilx.chemistry.cation_exchange import gaines_thomas_from_gapon
from soilx.show.lesson_beaker import rinsed
from soilx.show.lesson_counting import SITES, mass_per_charge
from soilx.show.lesson_exchange import (
    HIGHEST_SHARE_PCT,
    MOST_THINNED,
    beside_share,
    beside_thinned,
)
from soilx.show.lesson_gypsum import dissolved_at_most
from soilx.show.lesson_layer import gypsum_lasts
from soilx.show.lesson_ratio import published

PRINTED_GAPON: Final = 0.015
"""A selectivity as a paper may print it [(mmol/L)^-½]."""


def answers() -> tuple[str, ...]:
    """One answer for each question, in the order of the lesson."""
    share = where(lambda at: beside_share(sodium_share_pct=at), 15.0, 0.0, HIGHEST_SHARE_PCT)
    whole = beside_thinned(thinned=1)
    halving = where(lambda at: beside_thinned(thinned=at), whole / 2, 1.0, MOST_THINNED)
    once, thrice = (rinsed(calcium_pct=100, rinses=rinses) for rinses in (1, 3))
    low, high = published(sar=13)
    sodium = 100 / mass_per_charge("Ca") * mass_per_charge("Na")
    coefficient = float(gaines_thomas_from_gapon(PRINTED_GAPON, 0.0))
    litres = 10 / dissolved_at_most()
    lasts, longer = (gypsum_lasts(times=times) for times in (1.0, 2.0))
    return (
        f"1a. {SITES // 2}: each takes two sites.",
        f"1b. About {sodium:.0f} mg/L. It is 100 divided by {mass_per_charge('Ca'):.1f} and multiplied by "
        f"{mass_per_charge('Na'):.1f}.",
        f"2a. From about {share:.0f} %.",
        f"2b. Three rinses. With as much calcium as sodium they leave {thrice:.0f} % on the clay, "
        f"one stirring leaves {once:.0f} %. Each rinse takes away sodium that would push back.",
        f"3. About {halving:.1f} times.",
        "4a. Nine times as much: three times three.",
        f"4b. No. Published clays come to ESP {low:.0f} to {high:.0f} beside it.",
        f"5a. About {litres:.1f} litres.",
        "5b. It brings sulfate, which is half of what gypsum dissolves into. That outweighs the shielding.",
        f"6. No, for longer. The lesson's gypsum is gone after {lasts:.1f} pore volumes, twice as much after "
        f"{longer:.1f}. The less sodium the clay holds, the less calcium it takes out of the "
        "water, and the less gypsum dissolves after it.",
        f"7. One is Gapon's, {PRINTED_GAPON:g} per √(mmol/L). The other is that of Gaines and Thomas, "
        f"{coefficient:.1f} mol/L. Where sodium is scarce they say the same.",
    )


def where(curve: Callable[[float], float], height: float, low: float, high: float) -> float:
    """Where a curve that only rises or only falls has a height, to a hundred-thousandth of its range.

    Parameters
    ----------
    curve : callable
        From a place on the axis to a height.
    height : float
        In the unit of the curve.
    low, high : float
        Ends of the axis, in its unit.
    """
    rising = curve(high) > curve(low)
    left, right = low, high
    while right - left > 1e-5 * (high - low):
        middle = float(np.mean((left, right)))
        below = curve(middle) < height
        left, right = (middle, right) if below == rising else (left, middle)
    return left
