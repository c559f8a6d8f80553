"""What texture says where nothing was measured: paste water, bulk density, air-dry moisture, as ranges.

All of it is common practice without a published source: the ranges are wide on purpose, and go along with
every number that is made of them.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from soilx.errors import refuse, require
from soilx.practice.estimate import Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Texture:
    """What soils of one texture usually are †.

    Attributes
    ----------
    saturation_percentage : tuple of float
        Water of the saturated paste [%].
    bulk_density : tuple of float
        Oven-dry, of a soil neither loosened nor compacted [kg/L].
    air_dry_moisture : tuple of float
        Water left in air-dry soil, per oven-dry [%].
    """

    saturation_percentage: tuple[float, float]
    bulk_density: tuple[float, float]
    air_dry_moisture: tuple[float, float]


_SAND: Final = Texture(
    saturation_percentage=(20.0, 30.0), bulk_density=(1.45, 1.70), air_dry_moisture=(0.2, 1.0)
)
_SANDY_LOAM: Final = Texture(
    saturation_percentage=(25.0, 40.0), bulk_density=(1.35, 1.65), air_dry_moisture=(0.5, 2.0)
)
_LOAM: Final = Texture(
    saturation_percentage=(35.0, 45.0), bulk_density=(1.25, 1.55), air_dry_moisture=(1.0, 3.0)
)
_CLAY_LOAM: Final = Texture(
    saturation_percentage=(45.0, 60.0), bulk_density=(1.20, 1.50), air_dry_moisture=(2.0, 5.0)
)
_CLAY: Final = Texture(
    saturation_percentage=(60.0, 90.0), bulk_density=(1.05, 1.45), air_dry_moisture=(3.0, 8.0)
)

TEXTURES: Final[Mapping[str, Texture]] = MappingProxyType(
    {
        "sand": _SAND,
        "loamy sand": _SAND,
        # Between two classes with a range of their own: from the middle of one to the middle of the other.
        "sandy loam": _SANDY_LOAM,
        "loam": _LOAM,
        "silt loam": _LOAM,
        "silt": _LOAM,
        "sandy clay loam": _CLAY_LOAM,
        "clay loam": _CLAY_LOAM,
        "silty clay loam": _CLAY_LOAM,
        "sandy clay": _CLAY,
        "silty clay": _CLAY,
        "clay": _CLAY,
    }
)

# Clay content alone stands in for the class; 27 and 40 % are the usual borders of clay loam.
_BY_CLAY: Final = ((10.0, _SAND), (20.0, _SANDY_LOAM), (27.0, _LOAM), (40.0, _CLAY_LOAM), (100.0, _CLAY))


def texture_of(*, texture: str | None, clay_pct: float | None) -> tuple[Texture, str] | None:
    """What is usual of a texture class, or of a clay content where no class is told.

    Parameters
    ----------
    texture : str or None
        Key of `TEXTURES`; it goes before clay.
    clay_pct : float or None
        [%]

    Returns
    -------
    tuple of Texture and str, or None
        The ranges, and what they were told from; None where neither is known.

    Raises
    ------
    LimitError
        If the class is unknown, or the clay is not a percentage.
    """
    if texture is not None:
        if texture not in TEXTURES:
            refuse(
                "texture",
                texture,
                "",
                wrong="is not a class known here",
                limit=f"the classes are {', '.join(TEXTURES)}",
                remedy="write one of them, or give the clay content in %",
            )
        return TEXTURES[texture], f"texture, {texture}"
    if clay_pct is None:
        return None
    clay = require("clay", clay_pct, "%", low=0.0, high=100.0, whose="a percentage", remedy="give clay in %")
    return next(usual for most, usual in _BY_CLAY if clay <= most), f"texture, {clay:.3g} % clay"


def usual(span: tuple[float, float], unit: str, *, told_from: str) -> Estimate:
    """The middle of a usual range, with the range.

    Parameters
    ----------
    span : tuple of float
        Lower and upper end [unit].
    unit : str
        Their unit.
    told_from : str
        As `texture_of` returns it.
    """
    low, high = span
    return Estimate(
        value=0.5 * (low + high),
        low=low,
        high=high,
        unit=unit,
        origin=f"estimated from {told_from}",
        source="common_practice",
    )
