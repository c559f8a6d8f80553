"""Everything a laboratory's report may say of a soil: the column's own table of fields, nothing obligatory.

A report may lack anything but its name, and says more than a column needs: on which basis its numbers stand,
which extract and extractant were used, when and where, and what was seen of lime and gypsum.
"""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Final

from soilx.column.fields import Field, by_key
from soilx.column.soil_fields import ORIGINS, SOIL_FIELDS
from soilx.practice.soil_test.texture import TEXTURES
from soilx.units import Kind

EXTRACTABLE: Final = "extractable"
EXCHANGEABLE: Final = "exchangeable"
OVEN_DRY: Final = "oven-dry"
AIR_DRY: Final = "air-dry"

PASTE: Final = "saturation extract"
ONE_TO_ONE: Final = "1:1 extract"
ONE_TO_FIVE: Final = "1:5 extract"
EXTRACT_WATER_PCT: Final[Mapping[str, float]] = MappingProxyType({ONE_TO_ONE: 100.0, ONE_TO_FIVE: 500.0})
"""Water of an extract at a fixed ratio, per oven-dry soil [%]."""

MEASURED_CAPACITY: Final = "measured"
SUM_WITH_SODIUM: Final = "sum with sodium"
SUM_WITHOUT_SODIUM: Final = "sum without sodium"
CAPACITY_BASES: Final = (MEASURED_CAPACITY, SUM_WITH_SODIUM, SUM_WITHOUT_SODIUM)

YES: Final = "yes"
NO: Final = "no"

_ORIGINS: Final = frozenset(ORIGINS)
_PERCENT: Final = ("%", Kind.FRACTION)

_WORDS: Final[Mapping[str, tuple[str, ...]]] = {
    "soil_basis": (OVEN_DRY, AIR_DRY),
    "extract_basis": (PASTE, ONE_TO_ONE, ONE_TO_FIVE),
}
"""Words a report may say where a column takes one word only."""


def _share(symbol: str, name: str) -> Field:
    return Field(
        key=f"base_saturation_{name}",
        column=f"base_saturation_{symbol}_pct",
        title=f"{name}'s share of the exchange capacity",
        unit="%",
        kind=Kind.FRACTION,
        low=0.0,
        high=100.0,
        allowed_in=_ORIGINS,
    )


def _told(key: str, title: str, *words: str) -> Field:
    return Field(key=key, column=key, title=title, words=words, allowed_in=_ORIGINS)


def _of_a_report(field: Field) -> Field:
    """A field of the column, obligatory only where it is the name."""
    return replace(
        field,
        needed_by=field.needed_by if field.key == "name" else frozenset(),
        allowed_in=_ORIGINS,
        words=_WORDS.get(field.key, field.words),
    )


# fmt: off
REPORT_FIELDS: Final[tuple[Field, ...]] = (
    *(_of_a_report(field) for field in SOIL_FIELDS),
    _told("site", "what several samples of one profile have in common"),
    Field(key="depth_from", column="depth_from_cm", title="top of the sampled layer", unit="cm",
          kind=Kind.DEPTH, low=0.0, high=500.0, allowed_in=_ORIGINS),
    _told("date", "day of sampling, as 2024-03-31"),
    _told("laboratory", "who analysed the sample"),
    _told("extractant", "what the cations were extracted with"),
    _told("texture", "texture class", *TEXTURES),
    Field(key="air_dry_moisture", column="air_dry_moisture_pct",
          title="water of the air-dry soil, per oven-dry", unit="%", kind=Kind.FRACTION,
          low=0.0, high=25.0, allowed_in=_ORIGINS),
    _told("cec_basis", "how the exchange capacity was come by", *CAPACITY_BASES),
    _share("ca", "calcium"), _share("mg", "magnesium"), _share("k", "potassium"), _share("na", "sodium"),
    Field(key="extract_adsorption_ratio", column="extract_sar",
          title="sodium adsorption ratio of the extract",
          kind=Kind.ADSORPTION_RATIO, low=0.0, high=500.0, allowed_in=_ORIGINS),
    _told("gypsum_present", "whether solid gypsum is in the soil", YES, NO),
    _told("gypsum_recently_applied", "whether gypsum was spread in the twelve months before", YES, NO),
)
# fmt: on

REPORT_FIELD: Final[Mapping[str, Field]] = MappingProxyType(dict(by_key(REPORT_FIELDS)))

CATIONS: Final[Mapping[str, str]] = MappingProxyType(
    {"Ca": "calcium", "Mg": "magnesium", "Na": "sodium", "K": "potassium"}
)
ANIONS: Final[Mapping[str, str]] = MappingProxyType(
    {"HCO3": "bicarbonate", "CO3": "carbonate", "Cl": "chloride", "SO4": "sulfate"}
)
PER_SOIL: Final = tuple(
    field.key
    for field in REPORT_FIELDS
    if field.kind in (Kind.SOIL_CONTENT, Kind.EXCHANGE_CAPACITY, Kind.GYPSUM_RATE)
)
"""What is counted per kilogram of soil, and so depends on whether that kilogram was oven-dry."""
