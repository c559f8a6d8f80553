"""How many layers, and how much of their water each step displaces, for a wanted dispersivity."""

import re
from collections.abc import Mapping
from math import floor
from typing import Final

from soilx.errors import LimitError, refuse, require
from soilx.units import Kind, read

DEFAULT_LAYERS: Final = 12
DEFAULT_DISPLACED_FRACTION: Final = 0.5
MOST_LAYERS: Final = 200

# Not str.isdigit: it takes "²" too, which is no number.
_COUNT: Final = re.compile(r"[0-9]{1,9}")

MOST_GYPSUM: Final = 600.0
"""About 100 g/kg, or 200 t/ha in a plough layer; a dose above it is a slipped unit [mmol/kg]."""


def require_possible_column(
    *, gypsum: float, layers: int, displaced_fraction: float, bypass_fraction: float
) -> None:
    """Raise where a stack of stirred layers cannot be of these numbers.

    Parameters
    ----------
    gypsum : float
        Dose over the whole column [mmol/kg].
    layers : int
        Number of layers.
    displaced_fraction, bypass_fraction : float
        Share of each layer's water that a step displaces, and share of that which passes unmixed.

    Raises
    ------
    LimitError
    """
    whose, remedy = "a stack of stirred layers", "give a fraction such as 0.5"
    require(
        "gypsum",
        gypsum,
        "mmol/kg",
        low=0.0,
        high=MOST_GYPSUM,
        whose="a dose over the whole column",
        remedy="give the rate of pure gypsum; check whether its unit is per soil or per area",
    )
    require("layers", layers, "", low=1, high=MOST_LAYERS, whose=whose, remedy="6 to 23 are usual")
    require(
        "displaced_fraction",
        displaced_fraction,
        "",
        low=0.0,
        low_open=True,
        high=1.0,
        whose=whose,
        remedy=remedy,
    )
    require("bypass_fraction", bypass_fraction, "", low=0.0, high=0.95, whose=whose, remedy=remedy)


def dispersivity_of(*, layers: int, displaced_fraction: float, depth: float) -> float:
    r"""Longitudinal dispersivity of a stack of stirred layers [mm].

    .. math:: \alpha = \tfrac12\,\Delta x\,(1 - f), \qquad \Delta x = L/N

    Parameters
    ----------
    layers : int
        Number of layers N.
    displaced_fraction : float
        Share f of each layer's water that one step displaces.
    depth : float
        Depth of the column L [mm].

    Notes
    -----
    f towards 0 is the cascade of stirred tanks, f = 1 displaces whole layers without dispersion.
    """
    return 0.5 * depth / layers * (1 - displaced_fraction)


def layers_and_fraction_for(
    dispersivity: float, depth: float, *, layers: int | None = None
) -> tuple[int, float]:
    """Layers and displaced fraction that have exactly a wanted dispersivity.

    Parameters
    ----------
    dispersivity : float
        Wanted [mm].
    depth : float
        Depth of the column [mm].
    layers : int, optional
        Their number; unless given, 12 or as many as leave a displaced fraction of a half or more.

    Returns
    -------
    tuple of int and float
        Number of layers, displaced fraction.

    Raises
    ------
    LimitError
        If so many layers disperse less than is wanted even as a cascade: there N is below L/2α.
    """
    alpha = require(
        "dispersivity",
        dispersivity,
        "mm",
        low=0.0,
        whose="a length",
        remedy="give the dispersivity of the column, about a tenth of its depth or less",
    )
    require(
        "depth", depth, "mm", low=0.0, low_open=True, whose="a column", remedy="give the depth of the soil"
    )
    if layers is None:
        fine = 4 * alpha * DEFAULT_LAYERS <= depth
        layers = DEFAULT_LAYERS if fine else max(1, floor(depth / (4 * alpha)))
    fraction = 1 - 2 * alpha * layers / depth
    if not fraction > 0:
        refuse(
            "dispersivity",
            alpha,
            "mm",
            wrong=f"is more than {layers} layer(s) of a {depth:g} mm column have",
            limit=f"a stack of N stirred layers disperses less than L/2N, here {depth / (2 * layers):.4g} mm",
            remedy="take fewer layers, or less dispersivity",
        )
    return layers, fraction


def fraction_of(texts: Mapping[str, str], key: str, *, default: float) -> float:
    """A fraction as typed, or its default."""
    return read(texts[key], Kind.FRACTION, name=key) if key in texts else default


def read_stack(texts: Mapping[str, str], *, depth: float) -> tuple[int, float]:
    """Layers and displaced fraction as typed, or as a typed dispersivity asks."""
    layers: int | None = None
    if "layers" in texts:
        if not _COUNT.fullmatch(texts["layers"]):
            refuse(
                "layers",
                texts["layers"],
                "",
                wrong="is not a whole number",
                limit=f"a column has 1 to {MOST_LAYERS} layers",
                remedy="write a number such as 12",
            )
        layers = int(texts["layers"])
        require("layers", layers, "", low=1, high=MOST_LAYERS, whose="a column", remedy="6 to 23 are usual")
    if "dispersivity" not in texts:
        fraction = fraction_of(texts, "displaced_fraction", default=DEFAULT_DISPLACED_FRACTION)
        return DEFAULT_LAYERS if layers is None else layers, fraction
    if "displaced_fraction" in texts:
        raise LimitError(
            "displaced_fraction and dispersivity: are both given; the limit is that one follows from the "
            "other and the layers; drop one of them."
        )
    alpha = read(texts["dispersivity"], Kind.DEPTH, name="dispersivity")
    return layers_and_fraction_for(alpha, depth, layers=layers)
