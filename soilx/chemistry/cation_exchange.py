"""What the exchanger holds beside a solution: Gapon's equation, its selectivities, and other conventions.

Two exchangeable sodium ratios are in use. The model's is over the divalent cations,
E_Na/(E_Ca + E_Mg); Handbook 60's own is over everything that is not sodium, E_Na/(1 − E_Na). Without
exchangeable potassium they are one number; each function here says which it means.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from soilx.chemistry.exchange_conventions import (
    adsorption_ratio,
    gaines_thomas_from_gapon,
    gaines_thomas_isotherm,
    gapon_from_gaines_thomas,
    gapon_from_vanselow,
    handbook_exchangeable_sodium_ratio,
    sodium_adsorption_ratio_at_normality,
    ussl_line_esp,
    ussl_line_sar,
    vanselow_from_gapon,
    vanselow_isotherm,
)
from soilx.chemistry.exchange_selectivity import (
    DEFAULT_SELECTIVITY,
    SELECTIVITY_RANGES,
    PublishedRange,
    Selectivity,
    implied_selectivity,
    unusual_selectivities,
)
from soilx.chemistry.soil_solution import potassium_adsorption_ratio, sodium_adsorption_ratio
from soilx.errors import refuse

Array = NDArray[np.float64]

# One door to exchange: what the two modules above hold is reached from here as well.
__all__ = [
    "DEFAULT_SELECTIVITY",
    "SELECTIVITY_RANGES",
    "PublishedRange",
    "Selectivity",
    "exchangeable_composition",
    "exchangeable_sodium_percentage",
    "exchangeable_sodium_ratio",
    "gaines_thomas_from_gapon",
    "gaines_thomas_isotherm",
    "gapon_from_gaines_thomas",
    "gapon_from_vanselow",
    "handbook_exchangeable_sodium_ratio",
    "implied_selectivity",
    "sodium_adsorption_ratio_at_normality",
    "sodium_adsorption_ratio_beside",
    "unusual_selectivities",
    "ussl_line_esp",
    "ussl_line_sar",
    "vanselow_from_gapon",
    "vanselow_isotherm",
]


def exchangeable_sodium_ratio(sar: ArrayLike, *, selectivity: float = DEFAULT_SELECTIVITY.sodium) -> Array:
    r"""Exchangeable sodium over calcium and magnesium, in equilibrium with a solution.

    .. math:: \frac{E_{Na}}{E_{Ca}+E_{Mg}} = K_{Na}\,\mathrm{SAR}

    Parameters
    ----------
    sar : array_like, shape (...)
        Sodium adsorption ratio [(mmol/L)^½].
    selectivity : float
        Gapon selectivity of sodium, K_Na [(mmol/L)^-½].

    Returns
    -------
    ndarray, shape (...)
        The model's exchangeable sodium ratio, E_Na/(E_Ca + E_Mg); not Handbook 60's E_Na/(1 − E_Na)
        where the exchanger holds potassium.

    Raises
    ------
    LimitError
        If an adsorption ratio is negative or not finite.
    """
    return np.asarray(selectivity * adsorption_ratio(sar))


def exchangeable_sodium_percentage(
    sar: ArrayLike, *, par: ArrayLike = 0.0, selectivity: Selectivity = DEFAULT_SELECTIVITY
) -> Array:
    """Exchangeable sodium as percent of the exchange capacity, in equilibrium with a solution.

    Parameters
    ----------
    sar, par : array_like, shapes that broadcast
        Sodium and potassium adsorption ratio [(mmol/L)^½].
    selectivity : Selectivity
        Gapon selectivities.

    Returns
    -------
    ndarray
        ESP = 100 E_Na [%].
    """
    sodium = exchangeable_sodium_ratio(sar, selectivity=selectivity.sodium)
    potassium = selectivity.potassium * adsorption_ratio(par, "potassium adsorption ratio")
    return np.asarray(100.0 * sodium / (1.0 + sodium + potassium))


def sodium_adsorption_ratio_beside(
    esp_pct: ArrayLike, *, potassium_pct: ArrayLike = 0.0, selectivity: Selectivity = DEFAULT_SELECTIVITY
) -> Array:
    """Sodium adsorption ratio of the solution beside an exchanger of a given ESP: Gapon's equation inverted.

    Parameters
    ----------
    esp_pct, potassium_pct : array_like, shapes that broadcast
        Exchangeable sodium and potassium, of the exchange capacity [%].
    selectivity : Selectivity
        Gapon selectivities.

    Returns
    -------
    ndarray
        Sodium adsorption ratio [(mmol/L)^½].

    Raises
    ------
    LimitError
        If a percentage is negative, or both leave no room for calcium and magnesium.
    """
    sodium, potassium = np.broadcast_arrays(
        np.asarray(esp_pct, dtype=float) / 100, np.asarray(potassium_pct, dtype=float) / 100
    )
    divalent = 1.0 - sodium - potassium
    # In percent, as they were given: 1 - 0.95 - 0.05 leaves a crumb of rounding.
    whole = np.asarray(esp_pct, dtype=float) + np.asarray(potassium_pct, dtype=float)
    wrong = ~((sodium >= 0) & (potassium >= 0) & (divalent > 0) & (whole < 100))
    if np.any(wrong):
        refuse(
            "exchangeable sodium and potassium",
            f"{100 * sodium[wrong].flat[0]:.4g} and {100 * potassium[wrong].flat[0]:.4g}",
            "% of the exchange capacity",
            wrong="cannot stand beside calcium and magnesium",
            limit="Gapon's equation needs 0 or more of each and less than 100 together",
            remedy="give the percentages of the capacity",
        )
    return np.asarray(sodium / (divalent * selectivity.sodium))


def exchangeable_composition(
    ca: ArrayLike,
    mg: ArrayLike,
    na: ArrayLike,
    k: ArrayLike,
    selectivity: Selectivity = DEFAULT_SELECTIVITY,
) -> tuple[Array, Array, Array, Array]:
    """Charge fractions E_Ca, E_Mg, E_Na, E_K of the exchanger in equilibrium with a solution.

    Parameters
    ----------
    ca, mg, na, k : array_like, shapes that broadcast
        Total dissolved concentrations, free and paired [mmol/L]; in the axis order used everywhere.
    selectivity : Selectivity
        Gapon selectivities.

    Returns
    -------
    tuple of four ndarray
        Fractions of the exchange capacity, which sum to one.

    Raises
    ------
    LimitError
        If calcium plus magnesium is not above zero, or a concentration is negative.

    Notes
    -----
    On total concentrations, as the "practical" adsorption ratios of the trade: the published slopes
    were fitted that way. Ion pairs therefore do not enter exchange.
    """
    calcium, magnesium = np.asarray(ca, dtype=float), np.asarray(mg, dtype=float)
    if np.any(calcium < 0) or np.any(magnesium < 0):
        refuse(
            "calcium, magnesium",
            float(min(np.min(calcium), np.min(magnesium))),
            "mmol/L",
            wrong="is not a concentration",
            limit="nature's limit is 0 or more",
            remedy="give what is dissolved",
        )
    sodium = exchangeable_sodium_ratio(sodium_adsorption_ratio(na, ca, mg), selectivity=selectivity.sodium)
    potassium = selectivity.potassium * adsorption_ratio(
        potassium_adsorption_ratio(k, ca, mg), "potassium adsorption ratio"
    )
    divalent = 1.0 / (1.0 + sodium + potassium)
    affinity = calcium + selectivity.magnesium * magnesium
    return (
        np.asarray(divalent * calcium / affinity),
        np.asarray(divalent * selectivity.magnesium * magnesium / affinity),
        np.asarray(divalent * sodium),
        np.asarray(divalent * potassium),
    )
