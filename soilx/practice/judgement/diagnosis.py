"""What a soil test says is wrong: class with its reasons, dispersion beside ESP, and what would change it."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from soilx.chemistry.clarity import Clarity, clarity, threshold_electrolyte_concentration
from soilx.practice.estimate import Estimate
from soilx.practice.judgement.diagnosis_numbers import (
    capacity_of,
    electrolyte_of,
    magnesium_share_of,
    measured,
    plain,
    salinity_of,
    without_soluble_carbonate,
)
from soilx.practice.judgement.finding import Finding
from soilx.practice.judgement.soil_class import SoilClass, class_of
from soilx.practice.judgement.thresholds import (
    ALKALINITY,
    DRAIN_TEST,
    EXCHANGE_CAPACITY,
    MAGNESIUM_SHARE,
    Convention,
    bulk_density_band,
    convention_of,
)
from soilx.practice.judgement.would_change import would_change
from soilx.practice.soil_test.jar_test import JarScore, read_jar_test
from soilx.practice.soil_test.report import Report


class SodiumStatus(StrEnum):
    """Whether there is a sodium problem; the value is the words on the screen."""

    NONE = "no sodium problem"
    PERHAPS = "perhaps a sodium problem"
    SODIC = "a sodium problem"
    DISPERSES_WITHOUT = "disperses, though it holds little sodium"
    UNKNOWN = "cannot be told"


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagnosis:
    """A soil test beside the limits of one convention.

    Attributes
    ----------
    name : str
        Of the soil.
    convention : Convention
    esp, sar, salinity : Finding
        Exchangeable sodium percentage, and SAR and conductivity of the saturation extract.
    magnesium, capacity, alkalinity, drainage : Finding
    density : Finding or None
        Bulk density by clay content; None where either was not measured.
    jar : JarScore or None
    electrolyte : Estimate or None
        Cations of the saturation extract [mmol_c/L].
    no_soluble_carbonate : bool
        The extract has no more carbonate than calcium and magnesium; False also where that is not known.
    clay_pct : float or None
        [%]
    gypsum_present, gypsum_recently_applied : bool or None
    """

    name: str
    convention: Convention
    esp: Finding
    sar: Finding
    salinity: Finding
    magnesium: Finding
    capacity: Finding
    alkalinity: Finding
    drainage: Finding
    density: Finding | None
    jar: JarScore | None
    electrolyte: Estimate | None
    no_soluble_carbonate: bool
    clay_pct: float | None
    gypsum_present: bool | None
    gypsum_recently_applied: bool | None

    @property
    def saline(self) -> bool | None:
        """Whether the soil is saline; None where it cannot be told."""
        return self.salinity.over_limit

    @property
    def sodic(self) -> bool | None:
        """Whether the soil is sodic, by ESP or by SAR; None where it cannot be told."""
        answers = [found.over_limit for found in (self.esp, self.sar) if found.estimate is not None]
        if True in answers:
            return True
        return None if not answers or None in answers else False

    @property
    def soil_class(self) -> SoilClass:
        """Saline, sodic, both, neither, or what cannot be told."""
        return class_of(saline=self.saline, sodic=self.sodic)

    @property
    def sodium_status(self) -> SodiumStatus:
        """Whether there is a sodium problem: ESP and SAR first, the jar where they leave room."""
        known = [found for found in (self.esp, self.sar) if found.estimate is not None]
        if not known:
            return SodiumStatus.UNKNOWN
        if any(found.surely_above for found in known):
            return SodiumStatus.SODIC
        low = all(found.surely_below for found in known)
        if self.jar is None:
            return SodiumStatus.NONE if low else SodiumStatus.PERHAPS
        if low and not self.jar.stays_clear:
            return SodiumStatus.DISPERSES_WITHOUT
        below = all(found.place == "below" for found in known)
        return SodiumStatus.NONE if below and self.jar.stays_clear else SodiumStatus.PERHAPS

    @property
    def threshold(self) -> float | None:
        """Electrolyte that clay of this ESP needs so that it stays put † [mmol_c/L]."""
        if self.esp.estimate is None:
            return None
        return float(threshold_electrolyte_concentration(min(max(self.esp.estimate.value, 0.0), 100.0)))

    def clarity_in(self, electrolyte: float) -> Clarity | None:
        """Whether this soil's clay stays put in water of so much electrolyte †; None without an ESP.

        Parameters
        ----------
        electrolyte : float
            Cations of the water [mmol_c/L].
        """
        if self.esp.estimate is None:
            return None
        return Clarity(str(clarity(min(max(self.esp.estimate.value, 0.0), 100.0), electrolyte)))

    @property
    def own_clarity(self) -> Clarity | None:
        """Whether the clay stays put in the soil's own salt †; None without an ESP and an extract."""
        return None if self.electrolyte is None else self.clarity_in(self.electrolyte.value)

    @property
    def would_change(self) -> tuple[str, ...]:
        """What would change this diagnosis, as sentences."""
        return would_change(self)

    @property
    def missing(self) -> tuple[str, ...]:
        """Tests without which something above cannot be told, cheapest first."""
        lacks = (
            (self.drainage.estimate is None, DRAIN_TEST_WANTED),
            (self.jar is None, JAR_TEST_WANTED),
            (self.alkalinity.estimate is None, PH_WANTED),
            (self.salinity.estimate is None, EC_WANTED),
            (self.esp.estimate is None and self.sar.estimate is None, SODIUM_WANTED),
            (self.magnesium.estimate is None, MAGNESIUM_WANTED),
        )
        return tuple(test for lacking, test in lacks if lacking)


DRAIN_TEST_WANTED: Final = "a drain test (fill an 18 in hole twice, time the second filling)"
JAR_TEST_WANTED: Final = "a jar test (a crumb of soil in rain water)"
PH_WANTED: Final = "the pH of the saturated paste"
EC_WANTED: Final = "the conductivity of a saturation extract"
ESP_WANTED: Final = "the ESP (exchangeable sodium and CEC)"
SODIUM_WANTED: Final = "the ESP (exchangeable sodium and CEC), or the SAR of a saturation extract"
MAGNESIUM_WANTED: Final = "exchangeable magnesium and CEC"
WATER_WANTED: Final = "an analysis of the irrigation water (conductivity, Na, Ca, Mg, HCO3, Cl, SO4)"


def diagnose(report: Report, *, convention: str = "US") -> Diagnosis:
    """What a soil test says is wrong, by the limits of a convention.

    Parameters
    ----------
    report : Report
        As much as there is of it: nothing is needed.
    convention : str
        "US" or "Australia".

    Raises
    ------
    LimitError
        If the convention is none of ours.
    """
    limits = convention_of(convention)
    density = report.bulk_density
    return Diagnosis(
        name=report.name,
        convention=limits,
        esp=Finding(band=limits.esp, estimate=report.esp),
        sar=Finding(band=limits.sar, estimate=report.paste_sar),
        salinity=Finding(band=limits.ec, estimate=salinity_of(report)),
        magnesium=Finding(band=MAGNESIUM_SHARE, estimate=magnesium_share_of(report)),
        capacity=Finding(band=EXCHANGE_CAPACITY, estimate=capacity_of(report)),
        alkalinity=Finding(band=ALKALINITY, estimate=plain(report.ph, "")),
        drainage=Finding(band=DRAIN_TEST, estimate=plain(report.drain_test_h, "h")),
        density=None
        if report.clay_pct is None or density is None or not measured(density)
        else Finding(band=bulk_density_band(report.clay_pct), estimate=density),
        jar=read_jar_test(report.jar_test),
        electrolyte=electrolyte_of(report),
        no_soluble_carbonate=without_soluble_carbonate(report),
        clay_pct=report.clay_pct,
        gypsum_present=report.gypsum_present,
        gypsum_recently_applied=report.gypsum_recently_applied,
    )
