"""Where gypsum is put: mixed through, into the top part, on the surface, or dissolved in the water."""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.gypsum import gypsum_solubility
from soilx.column.fields import close_to, listed
from soilx.column.water import Water
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


def require_placement(placement: str, top_fraction: float) -> None:
    """Raise where a placement is not known, or treats no part of the depth or more than all.

    Raises
    ------
    LimitError
    """
    if placement not in PLACEMENTS:
        raise LimitError(
            f"placement = {placement}: is not known; the places are {listed(PLACEMENTS)}; take one of them."
        )
    require(
        "top_fraction",
        top_fraction,
        "",
        low=0.0,
        low_open=True,
        high=1.0,
        whose="a part of the depth",
        remedy="give a fraction such as 0.5",
    )


def refuse_undissolved(gypsum: float, *, volume: float, waters: Sequence[Water]) -> None:
    """Raise where waters are asked to carry more gypsum than they dissolve.

    Parameters
    ----------
    gypsum : float
        Dose, dissolved evenly in all water [mmol/kg].
    volume : float
        All water applied [L/kg].
    waters : sequence of Water
        Each of them has to dissolve it.

    Raises
    ------
    LimitError
        It says the most gypsum and the least water that would do.
    """
    if not waters:
        raise LimitError(
            "placement = water: there is no water; the limit is that something has to carry the gypsum; add "
            "a wetting."
        )
    dissolved = gypsum / volume
    for water in waters:
        soluble = gypsum_solubility(water.solution)
        if dissolved > soluble:
            raise LimitError(
                f"gypsum in water {water.name} = {dissolved:.4g} mmol/L: is more than it dissolves; the "
                "limit is "
                f"{soluble:.4g} mmol/L, the solubility of gypsum in it at 25 °C; with {volume:.4g} L/kg of "
                "water "
                f"give at most {soluble * volume:.4g} mmol/kg instead of {gypsum:.4g}, apply at least "
                f'{gypsum / soluble:.4g} L/kg, or choose the placement "mixed".'
            )
