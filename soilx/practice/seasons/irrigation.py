"""A year's irrigation: days and depths of one water, the same every year."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from typing import Final, Self

from soilx.chemistry.gypsum import gypsum_solubility
from soilx.column.fields import Given
from soilx.column.water import Water
from soilx.errors import LimitError, refuse, require
from soilx.practice.seasons.climate import (
    MONTHS,
    PLAIN_YEAR,
    Climate,
    day_of_year,
    days_of,
    even_days,
    first_of_next_month,
)
from soilx.practice.seasons.covers import Cover
from soilx.units import GYPSUM, Ground, Kind, express, read

DEPTH_PER_IRRIGATION: Final = "20 mm"
LEACHING_FRACTION: Final = "15 %"
"""Share of the irrigation meant to pass below the roots; common practice, no published source †."""

MOST_IRRIGATIONS: Final = 366


@dataclass(frozen=True, slots=True, kw_only=True)
class Irrigation:
    """What is irrigated in a year.

    Attributes
    ----------
    water : Water
    days : tuple of (int, int)
        Month and day of each irrigation, in order.
    depths : tuple of float
        Of each [mm].
    gypsum : float
        Dissolved in it on top [mmol/L].
    basis : str
        How the schedule was come by, in words.

    Raises
    ------
    LimitError
        If days are out of order, a depth is not above 0, or the water cannot dissolve the gypsum.
    """

    water: Water
    days: tuple[tuple[int, int], ...]
    depths: tuple[float, ...]
    gypsum: float = 0.0
    basis: str = "given day by day"

    def __post_init__(self) -> None:
        if list(self.days) != sorted(set(self.days)) or len(self.days) != len(self.depths):
            raise LimitError(
                f"irrigation with {self.water.name}: days are out of order, or are not as many as depths; a "
                "day has one depth; sort them, and give one depth a day."
            )
        for month, day in self.days:
            if not (1 <= month <= 12 and 1 <= day <= days_of(date(PLAIN_YEAR, month, 1))):
                refuse(
                    "day of irrigation",
                    f"{month:02d}-{day:02d}",
                    "",
                    wrong="is not in every year",
                    limit="a month and a day of it",
                    remedy='write month and day, like "06-15"',
                )
        for depth in self.depths:
            require(
                "depth of an irrigation",
                depth,
                "mm",
                low=0.0,
                low_open=True,
                high=1000.0,
                whose="one irrigation",
                remedy="leave the irrigation out, or check its unit",
            )
        require(
            "gypsum in the irrigation water",
            self.gypsum,
            "mmol/L",
            low=0.0,
            high=gypsum_solubility(self.water.solution) if self.gypsum > 0 else None,
            whose=f"what {self.water.name} dissolves at 25 °C",
            remedy="dissolve less in more water",
        )

    @classmethod
    def every(
        cls,
        days: int,
        *,
        depth: Given,
        water: Water,
        ground: Ground,
        first: str = "04-15",
        last: str = "10-15",
    ) -> Self:
        """The same depth every so many days of a span of the year.

        Parameters
        ----------
        days : int
            From one irrigation to the next.
        depth : str or Quantity
            Of each: "25 mm", "1 in".
        water : Water
        ground : Ground
            For pore volumes, or a volume per soil.
        first, last : str
            Month and day, "04-15"; included.

        Raises
        ------
        SoilxError
            If a unit or a day is wrong, or the span is none.
        """
        require(
            "days between irrigations", days, "", low=1, high=366, whose="a year", remedy="give whole days"
        )
        opened, closed = day_of_year(first, name="first"), day_of_year(last, name="last")
        if closed < opened:
            refuse(
                "last",
                last,
                "",
                wrong=f"is before the first day, {first}",
                limit="a season lies within one calendar year here",
                remedy="give irrigation across the new year day by day, as Irrigation(days=...)",
            )
        found = [
            opened + timedelta(days=number) for number in range(0, (closed - opened).days + 1, int(days))
        ]
        each = express(
            read(depth, Kind.WATER, name="depth of an irrigation", ground=ground),
            Kind.WATER,
            "mm",
            ground=ground,
        )
        return cls(
            water=water,
            days=tuple((day.month, day.day) for day in found),
            depths=(each,) * len(found),
            basis=f"{depth} every {days} days from {first} to {last}",
        )

    @classmethod
    def to_meet(
        cls,
        climate: Climate,
        *,
        cover: Cover,
        water: Water,
        ground: Ground,
        depth: Given = DEPTH_PER_IRRIGATION,
        leaching_fraction: Given | float = LEACHING_FRACTION,
    ) -> Self:
        """What the cover's evapotranspiration leaves short of rain, month by month, and some to leach.

        Parameters
        ----------
        climate : Climate
        cover : Cover
            Its crop factor times the reference is what it takes, from all its roots.
        water : Water
        ground : Ground
        depth : str or Quantity
            Of one irrigation at most; a month's need is cut into equal ones.
        leaching_fraction : str, Quantity or float
            Share of the irrigation that is to pass below the roots.

        Raises
        ------
        SoilxError
            If a unit is wrong, or nothing needs to be irrigated.
        """
        each = express(
            read(depth, Kind.WATER, name="depth of an irrigation", ground=ground),
            Kind.WATER,
            "mm",
            ground=ground,
        )
        require("depth of an irrigation", each, "mm", low=1.0, whose="one irrigation", remedy="give more")
        share = require(
            "leaching_fraction",
            read(leaching_fraction, Kind.FRACTION, name="leaching_fraction"),
            "",
            low=0.0,
            high=0.9,
            whose="an irrigation that also waters plants",
            remedy='write a share, like "15 %"',
        )
        days: list[tuple[int, int]] = []
        depths: list[float] = []
        months = zip(climate.reference_evapotranspiration, climate.rain, strict=True)
        for month, (reference, rain) in enumerate(months, start=1):
            need = (cover.crop_factor * reference - rain) / (1.0 - share)
            if need <= 0:
                continue
            first = date(PLAIN_YEAR, month, 1)
            count = min(ceil(need / each), days_of(first))
            days += [(day.month, day.day) for day in even_days(first, first_of_next_month(first), count)]
            depths += [need / count] * count
        if not days:
            raise LimitError(
                f"irrigation with {water.name}: none is needed; the limit is the climate's rain, which "
                f"covers what {cover.name} takes in every month; leave irrigation out, or give it day by day."
            )
        return cls(
            water=water,
            days=tuple(days),
            depths=tuple(depths),
            basis=f"to meet {cover.crop_factor:g} of the reference evapotranspiration of {climate.name} "
            f"beyond rain, {100 * share:g} % on top to leach",
        )

    @property
    def annual_depth(self) -> float:
        """Of the year [mm]."""
        return sum(self.depths)

    @property
    def annual_gypsum_kg_per_ha(self) -> float:
        """Pure gypsum dissolved in a year's water."""
        litres = self.annual_depth * 1e4
        return express(self.gypsum, Kind.CONCENTRATION, "mg/L", ion=GYPSUM) * litres * 1e-6

    def of_year(self, year: int) -> list[tuple[date, float]]:
        """Days and depths of one year [mm]."""
        return [
            (date(year, month, day), depth)
            for (month, day), depth in zip(self.days, self.depths, strict=True)
        ]

    def by_month(self) -> Mapping[str, float]:
        """Depth by month [mm]."""
        return {
            name: sum(depth for (of, _), depth in zip(self.days, self.depths, strict=True) if of == month)
            for month, name in enumerate(MONTHS, start=1)
        }
