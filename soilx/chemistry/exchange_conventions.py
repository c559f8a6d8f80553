"""Other ways to write cation exchange: Handbook 60's line, Gaines–Thomas, Vanselow, with exact conversions.

The model is Gapon's equation (`soilx.chemistry.cation_exchange`); these are for comparison and teaching.
All of them are for the pair calcium and sodium, with E = E_Na, activity coefficients of 1, and the
standard state 1 mol/L, so that a Gapon selectivity enters in (mol/L)^-½.
"""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from soilx.errors import ModelRangeError, refuse

Array = NDArray[np.float64]

MMOL_PER_MOL: Final = 1000.0

# Regression of Handbook 60 on its own exchangeable sodium ratio, and where its data end.
USSL_INTERCEPT: Final = -0.0126
USSL_SLOPE: Final = 0.01475
USSL_HIGHEST_SAR: Final = 65.0
USSL_HIGHEST_ESP_PCT: Final = 50.0


def adsorption_ratio(value: ArrayLike, name: str = "sodium adsorption ratio") -> Array:
    """The adsorption ratios as an array, once known to be finite and not negative [(mmol/L)^½]."""
    ratio = np.asarray(value, dtype=float)
    wrong = ~(np.isfinite(ratio) & (ratio >= 0))
    if np.any(wrong):
        refuse(
            name,
            float(ratio[wrong].flat[0]),
            "(mmol/L)^½",
            wrong="is not an adsorption ratio",
            limit="nature's limit is 0 or more",
            remedy="compute it from dissolved sodium or potassium, calcium and magnesium",
        )
    return ratio


def sodium_fraction(
    value: ArrayLike, *, name: str = "exchangeable sodium fraction", scale: float = 1.0
) -> Array:
    """The charge fractions E_Na as an array, once known to lie in 0 ≤ E_Na < 1 [1].

    Parameters
    ----------
    value : array_like
        Fractions times `scale`.
    name : str
        What a refusal calls them.
    scale : float
        1 for fractions, 100 for percentages.
    """
    given = np.asarray(value, dtype=float)
    wrong = ~((given >= 0) & (given < scale))
    if np.any(wrong):
        refuse(
            name,
            float(given[wrong].flat[0]),
            "%" if scale == 100.0 else "of the exchange capacity",
            wrong="leaves no exchanger with calcium on it",
            limit=f"the binary exchange equations hold from 0 to less than {scale:g}",
            remedy="give sodium as its share of the exchange capacity",
        )
    return given / scale


def handbook_exchangeable_sodium_ratio(esp_pct: ArrayLike) -> Array:
    """Handbook 60's exchangeable sodium ratio, E_Na/(1 − E_Na): sodium over all that is not sodium.

    Parameters
    ----------
    esp_pct : array_like
        Exchangeable sodium percentage, 0 to less than 100 [%].

    References
    ----------
    ussl1954
    """
    sodium = sodium_fraction(esp_pct, name="ESP", scale=100.0)
    return np.asarray(sodium / (1.0 - sodium))


def ussl_line_esp(sar: ArrayLike, *, extrapolate: bool = False) -> Array:
    r"""ESP by the regression of Handbook 60: a published cross-check, not the model.

    .. math:: \frac{E_{Na}}{1-E_{Na}} = -0.0126 + 0.01475\,\mathrm{SAR}

    Parameters
    ----------
    sar : array_like
        Sodium adsorption ratio [(mmol/L)^½].
    extrapolate : bool
        Allow SAR above 65, where its data end.

    Returns
    -------
    ndarray
        ESP [%]; **negative below SAR 0.854**, where the line misses the origin. A soil without sodium has
        ESP 0, and so the model leaves the intercept out.

    Raises
    ------
    ModelRangeError
        If SAR is above 65 and `extrapolate` is not set.

    References
    ----------
    ussl1954, as quoted by secondary sources.
    """
    ratio = adsorption_ratio(sar)
    if not extrapolate:
        _within_ussl_data("sodium adsorption ratio", ratio, "(mmol/L)^½", USSL_HIGHEST_SAR)
    exchangeable = USSL_INTERCEPT + USSL_SLOPE * ratio
    return np.asarray(100.0 * exchangeable / (1.0 + exchangeable))


def ussl_line_sar(esp_pct: ArrayLike, *, extrapolate: bool = False) -> Array:
    """SAR at which the regression of Handbook 60 gives an ESP: the inverse of `ussl_line_esp` [(mmol/L)^½].

    Raises `ModelRangeError` above ESP 50, where its data end, unless `extrapolate` is set.
    """
    if not extrapolate:
        _within_ussl_data("ESP", np.asarray(esp_pct, dtype=float), "%", USSL_HIGHEST_ESP_PCT)
    return np.asarray((handbook_exchangeable_sodium_ratio(esp_pct) - USSL_INTERCEPT) / USSL_SLOPE)


def _within_ussl_data(name: str, values: Array, unit: str, highest: float) -> None:
    if np.any(values > highest):
        refuse(
            name,
            float(np.max(values)),
            unit,
            wrong="is beyond the data of the Handbook 60 regression",
            limit=f"they end at {highest:g}",
            remedy="use Gapon's equation, or pass extrapolate=True and treat the result as rough",
            error=ModelRangeError,
        )


def gaines_thomas_from_gapon(selectivity: ArrayLike, sodium: ArrayLike) -> Array:
    r"""Gaines–Thomas coefficient that puts the exchanger where Gapon's equation puts it.

    .. math:: K_{GT} = \frac{E_{Ca}\,Na^2}{E_{Na}^2\,Ca} = \frac{1}{(1-E)\,K_G^2}

    Parameters
    ----------
    selectivity : array_like
        Gapon selectivity K_G [(mmol/L)^-½].
    sodium : array_like
        Exchangeable sodium E, of the exchange capacity, 0 ≤ E < 1 [1].

    Returns
    -------
    ndarray
        K_GT [mol/L]. It depends on E: where one convention's coefficient is constant, another's is not.
    """
    per_root_mol = _positive(selectivity, "selectivity") * np.sqrt(MMOL_PER_MOL)
    return np.asarray(1.0 / ((1.0 - sodium_fraction(sodium)) * np.square(per_root_mol)))


def gapon_from_gaines_thomas(coefficient: ArrayLike, sodium: ArrayLike) -> Array:
    """Gapon selectivity [(mmol/L)^-½] from K_GT [mol/L]: the inverse of `gaines_thomas_from_gapon`."""
    per_mol = _positive(coefficient, "Gaines–Thomas coefficient") * (1.0 - sodium_fraction(sodium))
    return np.asarray(1.0 / np.sqrt(per_mol * MMOL_PER_MOL))


def vanselow_from_gapon(selectivity: ArrayLike, sodium: ArrayLike) -> Array:
    r"""Vanselow coefficient that puts the exchanger where Gapon's equation puts it.

    .. math:: K_V = \frac{N_{Ca}\,Na^2}{N_{Na}^2\,Ca} = \frac{1+E}{4\,(1-E)\,K_G^2}

    with N the mole fractions on the exchanger, N_Na = 2E/(1 + E).

    Parameters and shapes are those of `gaines_thomas_from_gapon`; returns K_V [mol/L].
    """
    return np.asarray(gaines_thomas_from_gapon(selectivity, sodium) * (1.0 + np.asarray(sodium)) / 4.0)


def gapon_from_vanselow(coefficient: ArrayLike, sodium: ArrayLike) -> Array:
    """Gapon selectivity [(mmol/L)^-½] from K_V [mol/L]: the inverse of `vanselow_from_gapon`."""
    fraction = sodium_fraction(sodium)
    return gapon_from_gaines_thomas(
        4.0 * _positive(coefficient, "Vanselow coefficient") / (1.0 + fraction), fraction
    )


def vanselow_isotherm(sar: ArrayLike, *, coefficient: float = 1.0) -> Array:
    r"""Exchangeable sodium E where the Vanselow coefficient is constant, of the exchange capacity [1].

    .. math:: E = \sqrt{\frac{A}{A + 4 K_V}}, \qquad A = Na^2/Ca = \mathrm{SAR}^2

    Parameters
    ----------
    sar : array_like
        Na/√Ca of a solution of calcium and sodium salts [(mmol/L)^½].
    coefficient : float
        K_V [mol/L]; 1 is the exchanger without preference.
    """
    ratio = adsorption_ratio(sar)
    scaled = 4.0 * MMOL_PER_MOL * _positive(coefficient, "Vanselow coefficient")
    return np.asarray(ratio / np.sqrt(np.square(ratio) + scaled))


def gaines_thomas_isotherm(sar: ArrayLike, *, coefficient: float) -> Array:
    r"""Exchangeable sodium E where the Gaines–Thomas coefficient is constant, of the exchange capacity [1].

    .. math:: E = \frac{2A}{A + \sqrt{A^2 + 4 K_{GT} A}}, \qquad A = \mathrm{SAR}^2

    Parameters are those of `vanselow_isotherm`, with K_GT [mol/L].
    """
    ratio = adsorption_ratio(sar)
    scaled = 4.0 * MMOL_PER_MOL * _positive(coefficient, "Gaines–Thomas coefficient")
    # One SAR is divided out of the fraction, so that it is 0 and not 0/0 in a solution without sodium.
    return np.asarray(2.0 * ratio / (ratio + np.sqrt(np.square(ratio) + scaled)))


def sodium_adsorption_ratio_at_normality(
    charge_concentration: ArrayLike, sodium_charge_fraction: ArrayLike
) -> Array:
    """Na/√Ca of a solution of calcium and sodium, from its strength and its share of sodium [(mmol/L)^½].

    Parameters
    ----------
    charge_concentration : array_like
        Total cations [mmol_c/L].
    sodium_charge_fraction : array_like
        Sodium's part of them, 0 to less than 1 [1].

    Notes
    -----
    At a given share of sodium the ratio goes with the root of the strength: the valence dilution
    effect, by which diluting a solution moves its calcium onto the exchanger.
    """
    share = sodium_fraction(sodium_charge_fraction, name="sodium's share of the dissolved cations")
    return np.asarray(share * np.sqrt(2.0 * _positive(charge_concentration, "total cations") / (1.0 - share)))


def _positive(value: ArrayLike, name: str) -> Array:
    given = np.asarray(value, dtype=float)
    wrong = ~(np.isfinite(given) & (given > 0))
    if np.any(wrong):
        refuse(
            name,
            float(given[wrong].flat[0]),
            "",
            wrong="gives no equilibrium",
            limit="the exchange equations need a finite number above 0",
            remedy="give a published or a measured value",
        )
    return given
