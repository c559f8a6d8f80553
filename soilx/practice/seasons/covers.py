"""What grows on the ground: how much water it takes, from how deep, and how much gypsum it bears at once."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from soilx.column.fields import COMMON_PRACTICE, close_to, listed
from soilx.errors import LimitError, require

UPTAKE_BY_QUARTER: Final = (0.4, 0.3, 0.2, 0.1)
"""Share of the water that roots take from each quarter of their depth, from the top †."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """One kind of cover, with averages over the season that anyone may change.

    Attributes
    ----------
    name : str
    crop_factor, crop_factor_low, crop_factor_high : float
        Evapotranspiration over the reference's.
    rooting_depth : float
        Depth that water is taken from [mm].
    cap_low, cap_high : float or None
        Product that it bears in one visit, cautious and bold [lb/1000 ft²]; None where gypsum is worked in.
    label : str
        How well the figures are known.
    """

    name: str
    crop_factor: float
    crop_factor_low: float
    crop_factor_high: float
    rooting_depth: float
    cap_low: float | None = None
    cap_high: float | None = None
    label: str = f"{COMMON_PRACTICE} †"

    @property
    def is_established(self) -> bool:
        """Whether gypsum can only be laid on top of it."""
        return self.cap_high is not None


COVERS: Final[Mapping[str, Cover]] = MappingProxyType(
    {
        name: Cover(
            name=name,
            crop_factor=factor,
            crop_factor_low=low,
            crop_factor_high=high,
            rooting_depth=depth,
            cap_low=cautious,
            cap_high=bold,
        )
        for name, factor, low, high, depth, cautious, bold in (
            ("bare soil", 0.3, 0.15, 0.5, 150.0, None, None),
            ("vegetables", 0.9, 0.6, 1.1, 500.0, None, None),
            ("field crop", 0.8, 0.4, 1.15, 900.0, None, None),
            ("pasture", 0.8, 0.6, 1.0, 700.0, 40.0, 50.0),
            ("fine turf", 0.8, 0.7, 0.95, 300.0, 10.0, 25.0),
            ("tolerant lawn", 0.6, 0.5, 0.8, 500.0, 40.0, 50.0),
            ("shrubs", 0.5, 0.3, 0.7, 700.0, 40.0, 50.0),
        )
    }
)
"""Common practice, no published source †; stage, mowing and season move them more than the climate does."""


def cover_of(name: str) -> Cover:
    """Cover of a name.

    Raises
    ------
    LimitError
        If it is not in `COVERS`; the message lists those that are.
    """
    if name not in COVERS:
        raise LimitError(
            f"cover = {name}: is not known; the covers are {listed(COVERS)}; write one of them, or make your "
            f"own with soilx.practice.seasons.covers.Cover{close_to(name, COVERS)}."
        )
    return COVERS[name]


def uptake_share(depth: float, *, rooting_depth: float) -> float:
    """Share of a cover's evapotranspiration that comes from the top of its rooting depth.

    Parameters
    ----------
    depth : float
        Of the column [mm].
    rooting_depth : float
        Depth that the cover takes water from [mm].

    Returns
    -------
    float
        Four tenths come from the top quarter, then three, two and one, evenly within each; 1 where the column
        is as deep as the roots.

    Raises
    ------
    LimitError
        If a depth is not above 0.

    References
    ----------
    ayers_westcot1985, the pattern recalled †.
    """
    for name, value in (("depth of the column", depth), ("rooting depth", rooting_depth)):
        require(
            name, value, "mm", low=0.0, low_open=True, whose="ground with roots", remedy="give it in mm or in"
        )
    quarters = 4.0 * min(1.0, depth / rooting_depth)
    return sum(
        share * min(1.0, max(0.0, quarters - number)) for number, share in enumerate(UPTAKE_BY_QUARTER)
    )
