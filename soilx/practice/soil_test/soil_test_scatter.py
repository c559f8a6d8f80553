"""How far two soil tests of the same ground differ by scatter alone."""

from typing import Final

from soilx.errors import require

SOIL_TEST_CV_PCT: Final = (9.0, 13.0)
"""Scatter of soil tests as coefficients of variation [%]; trade_texts."""


def scatter_of_difference(before: float, after: float, *, cv_pct: float = SOIL_TEST_CV_PCT[1]) -> float:
    """Difference between two soil tests that scatter alone brings in 1 of 20 cases [unit of the tests].

    Parameters
    ----------
    before, after : float
        Two results of the same test, such as ESP.
    cv_pct : float
        Coefficient of variation of one test [%]; the wider published one unless given.

    Notes
    -----
    Both results scatter by themselves: 1.96 √((cv·before)² + (cv·after)²). A smaller difference is no success
    and no failure: it cannot be told from scatter.

    References
    ----------
    trade_texts
    """
    cv = require(
        "coefficient of variation",
        cv_pct,
        "%",
        low=0.0,
        high=100.0,
        whose="a test that measures something",
        remedy="give it in %",
    )
    return 1.96 * cv / 100.0 * float((before**2 + after**2) ** 0.5)
