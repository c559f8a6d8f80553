"""Whether a reported composition is electrically neutral, and what is tolerated."""

from typing import Final

from soilx.chemistry.soil_solution import Solution
from soilx.column.fields import COMMON_PRACTICE
from soilx.errors import refuse

CHARGE_DIFFERENCE_LIMIT: Final = 0.10
"""Largest difference of cations and anions, over their sum, that is tolerated; half of it is good."""


def require_charge_balance(solution: Solution, *, what: str) -> None:
    """Raise where the charges of a reported solution differ too much.

    Parameters
    ----------
    solution : Solution
        As reported [mmol/L].
    what : str
        What was analysed, such as "the saturation extract".

    Raises
    ------
    LimitError
        If cations and anions differ by more than a tenth of their sum.
    """
    if abs(solution.charge_imbalance) > CHARGE_DIFFERENCE_LIMIT:
        refuse(
            f"charge imbalance of {what}",
            100 * abs(solution.charge_imbalance),
            "%",
            wrong=f"cations are {solution.cation_charge:.4g} and anions {solution.anion_charge:.4g} mmol_c/L",
            limit=f"the limit is {100 * CHARGE_DIFFERENCE_LIMIT:g} % of their sum ({COMMON_PRACTICE})",
            remedy="look for a slipped decimal, a missing ion (carbonate, sulfate), or mg/L written as "
            "mmol_c/L",
        )
