"""Where gypsum is put: mixed through, into the top part, on the surface, or dissolved in the water."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.column.fields import close_to, listed
from soilx.errors import LimitError, refuse, require
from soilx.units import Kind, read

MIXED: Final = "mixed"
TOP: Final = "top"
SURFACE: Final = "surface"
WATER: Final = "water"
PLACEMENTS: Final = (MIXED, TOP, SURFACE, WATER)


def read_placement(text: str, *, depth: float) -> tuple[str, float]:
    """Placement and the treated fraction of the depth.

    Parameters
    ----------
    text : str
        "mixed", "top 5 cm", "surface" or "water".
    depth : float
        Depth of the column [mm].

    Returns
    -------
    tuple of str and float
        One of `PLACEMENTS`, and the fraction of the depth into which gypsum is mixed: 1 but for "top".

    Raises
    ------
    LimitError
        If it is none of these, or the top part is deeper than the column.
    """
    word, _, rest = text.strip().partition(" ")
    if word == TOP and rest.strip():
        part = read(rest, Kind.DEPTH, name="placement top")
        require(
            "placement top",
            part,
            "mm",
            low=0.0,
            low_open=True,
            high=depth,
            whose=f"the column, {depth:g} mm deep",
            remedy='give the depth of mixing, or "surface" or "mixed"',
        )
        return TOP, part / depth
    if word == TOP or rest or word not in PLACEMENTS:
        refuse(
            "placement",
            text,
            "",
            wrong="is not a place for gypsum",
            limit=f"the places are {listed((MIXED, 'top 5 cm', SURFACE, WATER))}",
            remedy=f"write one of them, with your own depth{close_to(word, PLACEMENTS)}",
        )
    return word, 1.0


def gypsum_by_layer(
    gypsum: float, *, placement: str, top_fraction: float, layers: int
) -> NDArray[np.float64]:
    """Solid gypsum put into each layer, shape (layers,) [mmol/kg of that layer].

    Parameters
    ----------
    gypsum : float
        Dose over the whole column [mmol/kg]; the mean of what is returned, unless it is in the water.
    placement : str
        One of `PLACEMENTS`.
    top_fraction : float
        Treated fraction of the depth, for "top".
    layers : int
        Number of layers. A layer that the treated depth cuts gets its part.
    """
    if placement == WATER:
        return np.zeros(layers)
    if placement == SURFACE:
        dose = np.zeros(layers)
        dose[0] = gypsum * layers
        return dose
    if placement == MIXED:
        return np.full(layers, gypsum)
    treated = np.clip(top_fraction * layers - np.arange(layers), 0.0, 1.0)
    return np.asarray(gypsum * layers * treated / treated.sum())


def refuse_above_saturation(
    *, dissolved: float, soluble: float, water: str, volume: float, gypsum: float
) -> None:
    """Raise where a water is asked to carry more gypsum than it dissolves.

    Parameters
    ----------
    dissolved, soluble : float
        Asked, and dissolved at saturation [mmol/L].
    water : str
        Name of the water.
    volume : float
        All water applied [L/kg].
    gypsum : float
        Dose [mmol/kg].
    """
    if dissolved > soluble:
        raise LimitError(
            f"gypsum in water {water} = {dissolved:.4g} mmol/L: is more than it dissolves; the limit is "
            f"{soluble:.4g} "
            f"mmol/L, the solubility of gypsum in it at 25 °C; with {volume:.4g} L/kg of water give at most "
            f"{soluble * volume:.4g} mmol/kg instead of {gypsum:.4g}, apply at least {gypsum / soluble:.4g} "
            "L/kg, or "
            'choose the placement "mixed".'
        )
