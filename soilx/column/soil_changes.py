"""A soil with one property moved: what stays, what scales, and the inventory that follows."""

from collections.abc import Callable
from math import sqrt
from typing import Final

from soilx.chemistry.cation_exchange import Selectivity
from soilx.chemistry.layer_equilibrium import LayerState
from soilx.column.inventory import Inventory
from soilx.errors import refuse

ESP_TOLERANCE: Final = 1e-10
"""Distance from the wanted exchangeable sodium fraction at which the search stops."""


def inventory_of_state(state: LayerState, *, capacity: float, water: float) -> Inventory:
    """What a soil holds whose exchanger, solution and solid gypsum are known.

    Parameters
    ----------
    state : LayerState
        Exchanger as charge fractions, solution [mmol/L], gypsum [mmol/kg].
    capacity : float
        Cation exchange capacity [mmol_c/kg].
    water : float
        Water content [L/kg].

    Notes
    -----
    With the capacity a soil had, it is the inventory the soil had; with another one, the exchanger is
    scaled, and fractions and solution, which do not depend on capacity, stay in equilibrium.
    """
    on, dissolved = state.exchanger, state.solution
    return Inventory(
        calcium=0.5 * capacity * on.ca + dissolved.ca * water + state.gypsum,
        magnesium=0.5 * capacity * on.mg + dissolved.mg * water,
        sodium=capacity * on.na + dissolved.na * water,
        potassium=capacity * on.k + dissolved.k * water,
        sulfate=dissolved.so4 * water + state.gypsum,
        chloride=dissolved.cl * water,
        bicarbonate=dissolved.hco3 * water,
    )


def inventory_at_sodium(
    state: LayerState,
    fraction: float,
    *,
    capacity: float,
    water: float,
    selectivity: Selectivity,
    equilibrium: Callable[[Inventory], LayerState],
) -> Inventory:
    r"""What a soil holds once sodium has another share of its exchanger.

    Sodium swaps charge for calcium and magnesium, in the proportion these have on the exchanger; potassium's
    share and the dissolved anions stay, and the solution's cations come to equilibrium with the new
    exchanger:

    .. math:: \sqrt{D} = \frac{2A}{s + \sqrt{s^2 + 8A}}, \qquad s = \frac{E_{Na}/K_{Na} + E_K/K_K}{E_D}

    with D dissolved calcium and magnesium [mmol/L] and A the anion charge [mmol_c/L]; the positive root of
    :math:`2D + s\sqrt{D} = A`.

    Parameters
    ----------
    state : LayerState
        At drained water.
    fraction : float
        Wanted exchangeable sodium fraction.
    capacity, water : float
        [mmol_c/kg], [L/kg]
    selectivity : Selectivity
    equilibrium : callable
        State of an inventory; where solid gypsum is held or comes down, the exchanger is searched with it.

    Raises
    ------
    LimitError
        If potassium and sodium together leave nothing for calcium, or solid gypsum gives too much of it.
    """
    most = 1 - state.exchanger.k
    if not 0 <= fraction < most:
        refuse(
            "exchangeable_sodium_percentage",
            100 * fraction,
            "%",
            wrong="leaves no place for calcium and magnesium",
            limit=f"sodium's share is 0 to less than {100 * most:.4g} %, what potassium leaves",
            remedy="choose a lower percentage",
        )

    def swapped(share: float) -> Inventory:
        return _swapped(state, share, capacity=capacity, water=water, selectivity=selectivity)

    def off(share: float) -> float:
        return equilibrium(swapped(share)).exchanger.na - fraction

    # Without solid gypsum the closed form is the answer. With it, calcium that dissolves or comes down moves
    # the exchanger on, and the share that makes up for it is bracketed.
    at = off(fraction)
    if abs(at) <= ESP_TOLERANCE:
        return swapped(fraction)
    low, off_low, high, off_high = 0.0, -fraction, fraction, at
    while off_high < 0 and most - high > 1e-6:
        low, off_low, high = high, off_high, 0.5 * (high + most)
        off_high = off(high)
    if not off_high > 0:
        refuse(
            "exchangeable_sodium_percentage",
            100 * fraction,
            "%",
            wrong="is not reached beside this soil's solid gypsum",
            limit=f"gypsum gives calcium, and it rises to {100 * (fraction + off_high):.3g} % there",
            remedy="choose a lower percentage, or a soil without native_gypsum",
        )
    share = _root(off, low, off_low, high, off_high)
    return swapped(share)


def _root(off: Callable[[float], float], low: float, off_low: float, high: float, off_high: float) -> float:
    """Share between two of opposite sign at which `off` is nil; Illinois steps."""
    share, at = high, off_high
    while abs(at) > ESP_TOLERANCE and high - low > 1e-15:
        share = (low * off_high - high * off_low) / (off_high - off_low)
        at = off(share)
        if at < 0:
            low, off_low, off_high = share, at, 0.5 * off_high
        else:
            high, off_high, off_low = share, at, 0.5 * off_low
    return share


def _swapped(
    state: LayerState, share: float, *, capacity: float, water: float, selectivity: Selectivity
) -> Inventory:
    on, dissolved = state.exchanger, state.solution
    divalent = 1 - on.k - share
    magnesium = divalent * on.mg / (on.ca + on.mg)
    anions = dissolved.anion_charge
    s = (share / selectivity.sodium + on.k / selectivity.potassium) / divalent
    root = 2 * anions / (s + sqrt(s * s + 8 * anions))
    mg_dissolved = root * root * dissolved.mg / (dissolved.ca + dissolved.mg)
    return Inventory(
        calcium=0.5 * capacity * (divalent - magnesium) + (root * root - mg_dissolved) * water + state.gypsum,
        magnesium=0.5 * capacity * magnesium + mg_dissolved * water,
        sodium=capacity * share + share / selectivity.sodium * root / divalent * water,
        potassium=capacity * on.k + on.k / selectivity.potassium * root / divalent * water,
        sulfate=dissolved.so4 * water + state.gypsum,
        chloride=dissolved.cl * water,
        bicarbonate=dissolved.hco3 * water,
    )
