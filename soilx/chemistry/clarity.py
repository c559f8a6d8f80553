"""Whether percolating water runs clear or cloudy: its electrolyte against what exchangeable sodium asks for.

Cloudy leachate is dispersed clay. Clay stays put where the water carries enough electrolyte for the
exchangeable sodium it meets; so a column can start clear on its own salts and cloud once they are gone, and
clear water is no proof of reclaimed soil.
"""

from enum import StrEnum
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from soilx.errors import refuse

Array = NDArray[np.float64]

# Electrolyte below which permeability fell, by ESP: Quirk & Schofield 1955, one illitic soil, recalled †.
_ESP_PCT: Final = (0.0, 5.8, 8.9, 21.0, 35.0)
_THRESHOLD: Final = (0.6, 2.3, 3.1, 9.5, 18.0)

HIGHEST_PUBLISHED_ESP_PCT: Final = _ESP_PCT[-1]
"""ESP beyond which thresholds are extended along the last published slope [%]."""

TURBIDITY_SHARE: Final = 0.25
"""Turbid water was met at roughly this part of the threshold † [1]."""


class Clarity(StrEnum):
    """How water leaves a layer; the value is the word on the screen."""

    CLEAR = "clear"
    MAY_CLOUD = "may cloud"
    CLOUDY = "cloudy"


def threshold_electrolyte_concentration(esp_pct: ArrayLike) -> Array:
    """Electrolyte that percolating water needs, so that the clay it meets does not disperse.

    Parameters
    ----------
    esp_pct : array_like, shape (...)
        Exchangeable sodium percentage, 0 to 100 [%].

    Returns
    -------
    ndarray, shape (...)
        Threshold concentration [mmol_c/L].

    Raises
    ------
    LimitError
        If an ESP lies outside 0 to 100.

    Notes
    -----
    Linear between the published points. **Beyond ESP 35 there is none**: the line goes on with the slope of
    the last pair of points (`beyond_published_thresholds` says where, `extension_note` says it in words).
    One illitic soil; other clays, organic matter and iron oxides move the threshold, which is why three
    states with a wide band between them are shown and no sharp border.

    References
    ----------
    quirk_schofield1955, recalled †
    """
    esp = _percentage(esp_pct)
    last_slope = (_THRESHOLD[-1] - _THRESHOLD[-2]) / (_ESP_PCT[-1] - _ESP_PCT[-2])
    beyond = np.maximum(esp - HIGHEST_PUBLISHED_ESP_PCT, 0.0)
    return np.asarray(np.interp(esp, _ESP_PCT, _THRESHOLD) + last_slope * beyond)


def turbidity_concentration(esp_pct: ArrayLike) -> Array:
    """Electrolyte below which water comes through turbid, a quarter of the threshold † [mmol_c/L].

    Parameters, shapes, errors and source are those of `threshold_electrolyte_concentration`.
    """
    return np.asarray(TURBIDITY_SHARE * threshold_electrolyte_concentration(esp_pct))


def clarity(esp_pct: ArrayLike, electrolyte_mmol_c_per_l: ArrayLike) -> NDArray[np.str_]:
    """Whether water runs clear, may cloud or runs cloudy.

    Parameters
    ----------
    esp_pct : array_like
        Exchangeable sodium percentage of the layer that the water leaves [%].
    electrolyte_mmol_c_per_l : array_like, of a shape that broadcasts
        Sum of the cations of the water [mmol_c/L].

    Returns
    -------
    ndarray of str
        `Clarity` values: "clear" at the threshold or above, "cloudy" below a quarter of it,
        "may cloud" between.

    Raises
    ------
    LimitError
        If an ESP lies outside 0 to 100, or an electrolyte concentration is negative or not finite.

    Notes
    -----
    Threshold and water must be of the same kind: thresholds published for 1:5 extracts do not belong here.

    References
    ----------
    quirk_schofield1955, recalled †
    """
    electrolyte = np.asarray(electrolyte_mmol_c_per_l, dtype=float)
    wrong = ~(np.isfinite(electrolyte) & (electrolyte >= 0))
    if np.any(wrong):
        refuse(
            "electrolyte",
            float(electrolyte[wrong].flat[0]),
            "mmol_c/L",
            wrong="is not a concentration",
            limit="nature's limit is 0 or more",
            remedy="give the sum of the dissolved cations",
        )
    threshold = threshold_electrolyte_concentration(esp_pct)
    between = np.where(
        electrolyte < TURBIDITY_SHARE * threshold, Clarity.CLOUDY.value, Clarity.MAY_CLOUD.value
    )
    return np.asarray(np.where(electrolyte >= threshold, Clarity.CLEAR.value, between))


def beyond_published_thresholds(esp_pct: ArrayLike) -> NDArray[np.bool_]:
    """Where a threshold is extended past the last published ESP, 35; shape of the input."""
    return np.asarray(_percentage(esp_pct) > HIGHEST_PUBLISHED_ESP_PCT)


def extension_note(esp_pct: ArrayLike) -> str:
    """The sentence to show beside clarity where an ESP lies beyond the published thresholds; else empty."""
    if not np.any(beyond_published_thresholds(esp_pct)):
        return ""
    return (
        f"ESP reaches {float(np.max(np.asarray(esp_pct, dtype=float))):.0f} %: clay thresholds are published "
        f"up to {HIGHEST_PUBLISHED_ESP_PCT:.0f} % and are extended here along their last slope."
    )


def _percentage(esp_pct: ArrayLike) -> Array:
    esp = np.asarray(esp_pct, dtype=float)
    wrong = ~((esp >= 0) & (esp <= 100))
    if np.any(wrong):
        refuse(
            "ESP",
            float(esp[wrong].flat[0]),
            "%",
            wrong="is not a percentage of the exchange capacity",
            limit="arithmetic's limits are 0 and 100",
            remedy="give exchangeable sodium over exchange capacity, in percent",
        )
    return esp
