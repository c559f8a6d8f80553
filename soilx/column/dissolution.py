"""How fast gypsum dissolves: at once to equilibrium, or by first order in contact time."""

from collections.abc import Mapping
from math import inf, isinf
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.column.fields import listed
from soilx.column.wetting import HOURS_PER_PORE_VOLUME
from soilx.errors import LimitError, refuse
from soilx.units import Kind, read

EQUILIBRIUM: Final = "equilibrium"
FIRST_ORDER: Final = "first_order"
DISSOLUTIONS: Final = (EQUILIBRIUM, FIRST_ORDER)

DEFAULT_DISSOLUTION_RATE: Final = 0.5 / HOURS_PER_PORE_VOLUME
"""κ with κT = ½, T the time of one pore volume: stirred water then leaves surface-laid gypsum at κT/(1 + κT),
a third of saturation, as was seen of surface-laid gypsum [1/h]."""


def read_dissolution(texts: Mapping[str, str]) -> tuple[str, float]:
    """Way of dissolution and its rate constant [1/h], infinite at equilibrium.

    Parameters
    ----------
    texts : mapping of str to str
        Maybe `dissolution` and `dissolution_rate`, as typed.
    """
    dissolution = texts.get("dissolution", EQUILIBRIUM)
    rate = DEFAULT_DISSOLUTION_RATE if dissolution == FIRST_ORDER else inf
    if "dissolution_rate" in texts:
        rate = read(texts["dissolution_rate"], Kind.RATE_CONSTANT, name="dissolution_rate")
    return dissolution, rate


def require_dissolution(dissolution: str, rate: float) -> None:
    """Raise where the way is not known, or the rate does not go with it.

    Raises
    ------
    LimitError
    """
    if dissolution not in DISSOLUTIONS:
        raise LimitError(
            f"dissolution = {dissolution}: is not known; the words are {listed(DISSOLUTIONS)}; take one of "
            "them."
        )
    if isinf(rate) != (dissolution == EQUILIBRIUM) or not rate > 0:
        refuse(
            "dissolution_rate",
            rate,
            "1/h",
            wrong=f'does not go with dissolution "{dissolution}"',
            limit="a finite rate above 0 belongs to first_order, and none to equilibrium",
            remedy='write dissolution "first_order" with a rate, or leave the rate out',
        )


def rate_by_layer(rate: float, share: NDArray[np.float64]) -> NDArray[np.float64]:
    """First-order rate constant of each layer's gypsum, shape (layers,) [1/h]; infinite at equilibrium.

    Parameters
    ----------
    rate : float
        Of the whole dose [1/h].
    share : ndarray, shape (layers,)
        Dose of each layer over the mean dose.

    Notes
    -----
    The rate belongs to the dose: put into a part of the column, it works on that part's water alone, so
    that its constant there is larger by as much as the part is smaller, and what comes off surface-laid
    gypsum does not depend on the number of layers. Gypsum elsewhere, native or come down again, has the
    plain constant.
    """
    return np.asarray(rate * np.where(share > 0, share, 1.0))
