"""Water on a field: irrigation, rain, and what plants and air take back from the column."""

from dataclasses import dataclass
from datetime import date

from soilx.column.water import Water
from soilx.errors import require
from soilx.practice.seasons.climate import Climate
from soilx.practice.seasons.covers import Cover, uptake_share
from soilx.practice.seasons.irrigation import Irrigation


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldWater:
    """Everything that wets and dries a field, the same every year.

    Attributes
    ----------
    climate : Climate
    rain : Water
        What falls.
    cover : Cover
    irrigation : Irrigation or None
        None where only rain waters it.
    visit_water : Water or None
        What waters gypsum in and leaches after it; the irrigation water unless given, or rain that was
        collected where there is no irrigation.

    Raises
    ------
    LimitError
        If the cover's crop factor or rooting depth cannot be.
    """

    climate: Climate
    rain: Water
    cover: Cover
    irrigation: Irrigation | None = None
    visit_water: Water | None = None

    def __post_init__(self) -> None:
        require(
            f"crop factor of {self.cover.name}",
            self.cover.crop_factor,
            "",
            low=0.0,
            high=2.0,
            whose="any cover",
            remedy="give evapotranspiration over the reference's",
        )
        uptake_share(1.0, rooting_depth=self.cover.rooting_depth)

    @property
    def watering(self) -> Water:
        """What waters gypsum in and leaches after it."""
        if self.visit_water is not None:
            return self.visit_water
        return self.irrigation.water if self.irrigation is not None else self.rain

    def share_from(self, depth: float) -> float:
        """Part of the cover's evapotranspiration that comes from a column.

        Parameters
        ----------
        depth : float
            Of the column [mm].
        """
        return uptake_share(depth, rooting_depth=self.cover.rooting_depth)

    def demand(self, first: date, last: date, *, depth: float) -> float:
        """Evapotranspiration that a column is asked for from one day to another [mm].

        Parameters
        ----------
        first, last : date
            In order; the last day itself is not counted.
        depth : float
            Of the column [mm].
        """
        taken = self.climate.reference_between(first, last) * self.cover.crop_factor
        return taken * self.share_from(depth)

    @property
    def notes(self) -> tuple[str, ...]:
        """Sentences to show beside any season run with it."""
        water = (
            f"irrigation with {self.irrigation.water.name}: {self.irrigation.basis}, "
            f"{self.irrigation.annual_depth:.4g} mm a year"
            if self.irrigation is not None
            else "no irrigation"
        )
        return (
            f"climate {self.climate.name}: {self.climate.annual_rain:.4g} mm of rain and "
            f"{self.climate.annual_reference_evapotranspiration:.4g} mm of reference evapotranspiration in "
            "an average year, every year alike",
            water,
            f"{self.cover.name}: crop factor {self.cover.crop_factor:g}, water taken down to "
            f"{self.cover.rooting_depth:g} mm ({self.cover.label})",
            f"gypsum is watered in and leached with {self.watering.name}",
        )
