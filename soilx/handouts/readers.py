"""Who a page is for: a gardener, a turf manager, a grower or a student, each with the units they use."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from soilx.column.fields import listed
from soilx.errors import LimitError
from soilx.units import Ground, Kind, express


class Reader(StrEnum):
    """Four readers; the value is the word on the command line."""

    GARDENER = "gardener"
    TURF = "turf"
    GROWER = "grower"
    STUDENT = "student"


TITLES: Final[Mapping[Reader, str]] = MappingProxyType(
    {
        Reader.GARDENER: "For the gardener",
        Reader.TURF: "For the turf manager",
        Reader.GROWER: "For the grower",
        Reader.STUDENT: "For the student",
    }
)

METRIC: Final = "metric"
US: Final = "us"
SYSTEMS: Final = (METRIC, US)
PAPERS: Final[Mapping[str, str]] = MappingProxyType({"a4": "A4", "letter": "letter"})


@dataclass(frozen=True, slots=True, kw_only=True)
class ReaderUnits:
    """The units of one reader.

    Attributes
    ----------
    system : str
        "metric" or "us".
    rate_key, rate_scale, rate_words : str, float, str
        Key of `soilx.practice.dose.rate_units`, by what it is multiplied, and how a page writes it.
    bag_area, bag_area_words : float, str
        Area for which bags are counted [m²].
    bag, bag_words : float, str
        A bag of the trade where the product has none of its own [kg].
    mass, mass_words : float, str
        Mass in which a whole ground's product is told [kg].
    price_area, price_words : float, str
        Area for which a price is told [m²].
    """

    system: str
    rate_key: str
    rate_scale: float
    rate_words: str
    bag_area: float
    bag_area_words: str
    bag: float
    bag_words: str
    mass: float
    mass_words: str
    price_area: float
    price_words: str

    def rate(self, rates: Mapping[str, float]) -> str:
        """A rate as this reader spreads it.

        Parameters
        ----------
        rates : mapping of str to float
            From `soilx.practice.dose.rate_units`.
        """
        return f"{figure(self.rate_number(rates))} {self.rate_words}"

    def rate_number(self, rates: Mapping[str, float]) -> float:
        """The same as a number."""
        return rates[self.rate_key] * self.rate_scale

    def water(self, water: float, *, ground: Ground) -> str:
        """An amount of water [L/kg] as a depth on the ground."""
        return self.depth(express(water, Kind.WATER, "mm", ground=ground))

    def depth(self, millimetres: float) -> str:
        """A depth of water [mm]."""
        if self.system == US:
            return f"{millimetres / MM_PER_INCH:.2g} in"
        return f"{millimetres:.0f} mm"

    def soil_depth(self, millimetres: float) -> str:
        """A depth of soil [mm]; in inches to the half where that is as good as true."""
        if self.system == US:
            inches = millimetres / MM_PER_INCH
            half = round(2.0 * inches) / 2.0
            return f"{half if abs(half - inches) <= SAME_DEPTH * inches else inches:.3g} in"
        return f"{millimetres / 10:.3g} cm"


MM_PER_INCH: Final = 25.4
SAME_DEPTH: Final = 0.025
"""Nobody digs truer than this."""
KG_PER_LB: Final = 0.45359237
FT2: Final = 0.09290304
# A tonne a hectare is 100 g/m², which is 1 kg for 10 m².
_UNITS: Final[Mapping[tuple[Reader, str], ReaderUnits]] = MappingProxyType(
    {
        (Reader.GARDENER, METRIC): ReaderUnits(
            system=METRIC, rate_key="t_per_ha", rate_scale=1.0, rate_words="kg per 10 m²",
            bag_area=100.0, bag_area_words="100 m²", price_area=100.0, price_words="100 m²",
            bag=25.0, bag_words="25 kg", mass=1.0, mass_words="kg",
        ),
        (Reader.GARDENER, US): ReaderUnits(
            system=US, rate_key="lb_per_1000_ft2", rate_scale=1.0, rate_words="lb per 1000 ft²",
            bag_area=1000 * FT2, bag_area_words="1000 ft²", price_area=1000 * FT2, price_words="1000 ft²",
            bag=50 * KG_PER_LB, bag_words="50 lb", mass=KG_PER_LB, mass_words="lb",
        ),
        (Reader.TURF, METRIC): ReaderUnits(
            system=METRIC, rate_key="g_per_m2", rate_scale=1.0, rate_words="g/m²",
            bag_area=1000.0, bag_area_words="1000 m²", price_area=1000.0, price_words="1000 m²",
            bag=25.0, bag_words="25 kg", mass=1.0, mass_words="kg",
        ),
        (Reader.TURF, US): ReaderUnits(
            system=US, rate_key="lb_per_1000_ft2", rate_scale=1.0, rate_words="lb/1000 ft²",
            bag_area=1000 * FT2, bag_area_words="1000 ft²", price_area=1000 * FT2, price_words="1000 ft²",
            bag=50 * KG_PER_LB, bag_words="50 lb", mass=KG_PER_LB, mass_words="lb",
        ),
        (Reader.GROWER, METRIC): ReaderUnits(
            system=METRIC, rate_key="t_per_ha", rate_scale=1.0, rate_words="t/ha",
            bag_area=10_000.0, bag_area_words="hectare", price_area=10_000.0, price_words="hectare",
            bag=25.0, bag_words="25 kg", mass=1000.0, mass_words="t",
        ),
        (Reader.GROWER, US): ReaderUnits(
            system=US, rate_key="short_ton_per_acre", rate_scale=1.0, rate_words="short ton/acre",
            bag_area=43_560 * FT2, bag_area_words="acre", price_area=43_560 * FT2, price_words="acre",
            bag=50 * KG_PER_LB, bag_words="50 lb", mass=2000 * KG_PER_LB, mass_words="short ton",
        ),
    }
)  # fmt: skip


def reader_of(name: str) -> Reader:
    """Reader of a name.

    Raises
    ------
    LimitError
        If it is none of the four; the message lists them.
    """
    return Reader(_one_of(name, tuple(Reader), "reader"))


def units_of(reader: Reader, system: str) -> ReaderUnits:
    """Units of a reader in a system; a student's rates are a grower's.

    Parameters
    ----------
    reader : Reader
    system : str
        "metric" or "us".

    Raises
    ------
    LimitError
        If there is no such system.
    """
    whose = Reader.GROWER if reader is Reader.STUDENT else reader
    return _UNITS[whose, _one_of(system, SYSTEMS, "units")]


def paper_of(name: str | None) -> str | None:
    """Size of the paper as a style sheet names it; None where any will do.

    Raises
    ------
    LimitError
        If it is neither.
    """
    return None if name is None else PAPERS[_one_of(name, tuple(PAPERS), "paper")]


def rough(value: float) -> str:
    """A number that nobody knows better than to two digits."""
    return f"{value:.0f}" if abs(value) >= 10 else f"{value:.2g}"


def figure(value: float) -> str:
    """A number with as many digits as anybody can weigh: three, and whole from a hundred on."""
    return f"{value:.0f}" if abs(value) >= 100 else f"{value:.3g}"


def _one_of(name: str, known: tuple[str, ...], what: str) -> str:
    if name not in known:
        raise LimitError(
            f"{what} = {name}: is not one of ours; the words are {listed(known)}; write one of them."
        )
    return name
