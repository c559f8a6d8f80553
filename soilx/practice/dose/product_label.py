"""What a product's label or certificate says, brought to one basis: purity, sulfur, moisture."""

from typing import Final

from soilx.chemistry.ions import GYPSUM_MOLAR_MASS
from soilx.column.fields import Given, listed
from soilx.errors import LimitError, UnitKindError, refuse, require
from soilx.practice.dose.amendment_formulas import ATOMIC_WEIGHTS
from soilx.units import Kind, read

GYPSUM_PER_SULFUR: Final = GYPSUM_MOLAR_MASS / ATOMIC_WEIGHTS["S"]
"""Mass of pure gypsum per mass of the sulfur in it: 5.37."""

WET: Final = "wet"
"""Moisture as water per mass of product as it comes: what a moisture content without a basis means here."""
DRY: Final = "dry"
"""Moisture as water per mass of dried product."""


def gypsum_share_of_sulfur(sulfur: float) -> float:
    """Share of gypsum in a dried product whose sulfur is all gypsum's: sulfur × 5.37.

    Parameters
    ----------
    sulfur : float
        Share of the dried product.

    Raises
    ------
    LimitError
        If there is more sulfur than pure gypsum holds (18.62 %): some of it is something else.
    """
    # Labels print pure gypsum's sulfur as 18.6 or 19 %, rounded.
    share = require(
        "sulfur",
        sulfur,
        "",
        low=0.0,
        low_open=True,
        high=0.19,
        whose="gypsum, which holds 18.62 %, printed as 19 % at most",
        remedy="more sulfur is not gypsum's (elemental sulfur, anhydrite): give the purity instead",
    )
    return min(1.0, share * GYPSUM_PER_SULFUR)


def purity_of(purity: Given | float | None, sulfur: Given | float | None, *, substance: str) -> float:
    """Share of the amendment in the dried product, from its purity or, for gypsum, its sulfur.

    Parameters
    ----------
    purity, sulfur : str, Quantity, float or None
        One of them.
    substance : str
        Key of the amendment.

    Raises
    ------
    SoilxError
        If neither or both are given, or sulfur is of another substance than gypsum.
    """
    if (purity is None) == (sulfur is None):
        refuse(
            "purity",
            "not given" if purity is None else "both given",
            "",
            wrong="is what turns pure gypsum into product",
            limit="one of purity and sulfur says it",
            remedy='give purity like "88 %", or the sulfur on the label like "16.4 %"',
        )
    if purity is not None:
        return read(purity, Kind.FRACTION, name="purity")
    if substance != "gypsum":
        raise UnitKindError(
            f"sulfur = {sulfur}: says the purity of gypsum alone; the limit is its formula; give the purity "
            f"of this {substance} instead."
        )
    return gypsum_share_of_sulfur(read(sulfur or 0.0, Kind.FRACTION, name="sulfur"))


def wet_basis(moisture: float, basis: str) -> float:
    """Moisture per mass of product as it comes, from either basis.

    Parameters
    ----------
    moisture : float
        On the given basis.
    basis : str
        "wet" or "dry".

    Raises
    ------
    LimitError
        If it is another basis.
    """
    if basis == WET:
        return moisture
    if basis == DRY:
        return moisture / (1.0 + moisture)
    raise LimitError(
        f"moisture_basis = {basis}: is not a basis; the bases are {listed((WET, DRY))}; ask the dealer what "
        "the water was weighed against."
    )
