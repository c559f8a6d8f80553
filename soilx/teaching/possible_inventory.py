"""What a soil holds in all, from its exchanger's shares and the strength of its water, in closed form."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from soilx.chemistry.cation_exchange import DEFAULT_SELECTIVITY


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """Drawn properties of a soil and of its saturation extract.

    Attributes
    ----------
    capacity : float
        [cmol_c/kg]
    saturation_pct : float
        Water of the saturated paste [%].
    sodium_pct, potassium_pct : float
        Of the exchange capacity, in equilibrium with the saturation extract [%].
    charge : float
        Cations of the saturation extract [meq/L].
    calcium_to_magnesium : float
        By charge, in the extract.
    sulfate_pct, bicarbonate_pct : float
        Of the anions of the extract, by charge [%].
    """

    capacity: float
    saturation_pct: float
    sodium_pct: float
    potassium_pct: float
    charge: float
    calcium_to_magnesium: float
    sulfate_pct: float
    bicarbonate_pct: float


def totals_of(drawn: Drawn) -> dict[str, str]:
    r"""Totals of a soil as text for `soilx.Soil.of`.

    With the two adsorption ratios that Gapon's equation sets beside the shares of the exchanger, s for sodium
    and p for potassium, and divalent cations D, the charge of the extract C is

    .. math:: C = (s + p)\sqrt{D} + 2D

    which is a quadratic in the root of D.

    Parameters
    ----------
    drawn : Drawn
    """
    kinds = DEFAULT_SELECTIVITY
    capacity, water = 10.0 * drawn.capacity, drawn.saturation_pct / 100.0
    e_na, e_k = drawn.sodium_pct / 100.0, drawn.potassium_pct / 100.0
    e_divalent = 1.0 - e_na - e_k
    sar, par = e_na / (e_divalent * kinds.sodium), e_k / (e_divalent * kinds.potassium)
    both = sar + par
    root = 0.25 * (sqrt(both * both + 8.0 * drawn.charge) - both)
    magnesium = root * root / (1.0 + drawn.calcium_to_magnesium)
    e_magnesium = e_divalent * kinds.magnesium / (drawn.calcium_to_magnesium + kinds.magnesium)
    sulfate = drawn.sulfate_pct / 100.0 * drawn.charge
    others = drawn.charge - sulfate
    return {
        "origin": "totals",
        "total_sodium": f"{capacity * e_na + sar * root * water!r} mmol/kg",
        "total_potassium": f"{capacity * e_k + par * root * water!r} mmol/kg",
        "total_magnesium": f"{0.5 * capacity * e_magnesium + magnesium * water!r} mmol/kg",
        "total_sulfate": f"{0.5 * sulfate * water!r} mmol/kg",
        "other_anions": f"{others * water!r} mmol_c/kg",
        "bicarbonate_share": f"{drawn.bicarbonate_pct * drawn.charge / others!r} %",
    }
