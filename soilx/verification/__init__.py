"""Published checks as data rows, and what re-runs them; the tests and `soilx verify` share both.

*Gating* rows are values that were read in a text, computed with a general-purpose library or follow exactly,
and that the model claims to reproduce. *Context* rows stand beside them with the difference shown: recalled
values, rules of thumb, other people's soils. Nothing is ever tuned to a row.
"""

from collections.abc import Iterable
from typing import Final

from soilx.verification import (
    clarity,
    column,
    conductivity,
    exchange,
    gypsum,
    irrigation,
    rates,
    requirement,
    transport,
    units,
)
from soilx.verification.claim import Claim, Label, Verdict, examine

CLAIMS: Final[tuple[Claim, ...]] = (
    *units.CLAIMS,
    *rates.CLAIMS,
    *requirement.CLAIMS,
    *exchange.CLAIMS,
    *gypsum.CLAIMS,
    *conductivity.CLAIMS,
    *transport.CLAIMS,
    *column.CLAIMS,
    *clarity.CLAIMS,
    *irrigation.CLAIMS,
)

__all__ = ["CLAIMS", "Claim", "Label", "Verdict", "examine", "verify"]


def verify(claims: Iterable[Claim] = CLAIMS) -> list[Verdict]:
    """Verdicts of all outside checks, in the order of their topics.

    Parameters
    ----------
    claims : iterable of Claim
        What to check; every claim unless given.
    """
    return [examine(claim) for claim in claims]
