"""When gypsum will not help, or not alone: each reason computed, with the number that decides it."""

from dataclasses import dataclass
from typing import Final

from soilx.chemistry.clarity import Clarity
from soilx.practice.judgement.bands import Place
from soilx.practice.judgement.diagnosis import (
    DRAIN_TEST_WANTED,
    EC_WANTED,
    ESP_WANTED,
    MAGNESIUM_WANTED,
    PH_WANTED,
    SODIUM_WANTED,
    WATER_WANTED,
    Diagnosis,
    SodiumStatus,
)
from soilx.practice.judgement.thresholds import HABIT_DOSE, HABIT_DOSE_TOO_MUCH
from soilx.practice.judgement.water_judgement import WaterJudgement
from soilx.practice.soil_test.report import Report
from soilx.units import GYPSUM, Ground, Kind, read

CLAYEY_PCT: Final = 40.0
"""Clay from which a soil is heavy by its texture, common practice [%]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One reason for which gypsum may not help.

    Attributes
    ----------
    key : str
        "no_sodium", "saline_not_sodic", ...; stable, for tables.
    applies : bool or None
        None where it cannot be told.
    sentence : str
        With the number that decided, or what is wanting.
    """

    key: str
    applies: bool | None
    sentence: str


def gypsum_reasons(
    diagnosis: Diagnosis, report: Report, water: WaterJudgement | None = None
) -> tuple[Reason, ...]:
    """Every reason for which gypsum may not help, whether it applies or not, in the order of a decision.

    Parameters
    ----------
    diagnosis : Diagnosis
    report : Report
        The same soil's, for depth, density and exchangeable sodium.
    water : WaterJudgement, optional
        Of the irrigation water.
    """
    return (
        _drainage(diagnosis),
        _no_sodium(diagnosis),
        _saline(diagnosis),
        _magnesium(diagnosis),
        _floor(diagnosis, water),
        _gypsum_there(diagnosis),
        _carbonate(diagnosis),
        _flocculated(diagnosis, water),
        _sand(diagnosis, report),
        _compaction(diagnosis),
        _clayey(diagnosis),
    )


def sodium_numbers(diagnosis: Diagnosis) -> str:
    """ESP, SAR and jar of a soil in a few words; what is not known is left out."""
    parts = [
        f"{word} {found.number.removesuffix(' %')}"
        for word, found in (("ESP", diagnosis.esp), ("SAR", diagnosis.sar))
        if found.estimate is not None
    ]
    jar = [] if diagnosis.jar is None else [f"jar test “{diagnosis.jar.text}”"]
    return ", ".join(parts + jar) or "nothing known of its sodium"


def habit_dose_in_sodium(diagnosis: Diagnosis, report: Report) -> float | None:
    """Calcium of a habit dose over all exchangeable sodium of the sampled depth; None where not known."""
    depth, density = report.depth, report.bulk_density
    capacity, esp = report.cation_exchange_capacity, diagnosis.esp.estimate
    if depth is None or density is None or capacity is None or esp is None:
        return None
    ground = Ground(depth=depth, bulk_density=density.value)
    sodium = esp.value / 100.0 * capacity.value
    dose = read(HABIT_DOSE, Kind.GYPSUM_RATE, name="habit dose", ground=ground)
    return GYPSUM.charge * dose / sodium if sodium > 0.0 else None


def _cannot(key: str, wanted: str) -> Reason:
    return Reason(key=key, applies=None, sentence=f"Cannot be told without {wanted}.")


def _drainage(diagnosis: Diagnosis) -> Reason:
    found = diagnosis.drainage
    if found.place is None:
        return _cannot("water_cannot_leave", DRAIN_TEST_WANTED)
    verdict = {
        Place.BELOW: f"within {found.band.low:g} h is good",
        Place.BETWEEN: "slowly, but it drains",
        Place.ABOVE: f"over {found.band.high:g} h, water cannot leave, and sodium leaves with water only",
    }[found.place]
    return Reason(
        key="water_cannot_leave",
        applies=found.place is Place.ABOVE,
        sentence=f"The test hole drains in {found.number}: {verdict}.",
    )


def _no_sodium(diagnosis: Diagnosis) -> Reason:
    status = diagnosis.sodium_status
    if status is SodiumStatus.UNKNOWN:
        return _cannot("no_sodium", SODIUM_WANTED)
    limits = f"nobody worries below ESP {diagnosis.esp.band.low:g} and SAR {diagnosis.sar.band.low:g}"
    return Reason(
        key="no_sodium",
        applies=status is SodiumStatus.NONE,
        sentence=f"{sodium_numbers(diagnosis)}: {status.value} ({limits} with a clear jar).",
    )


def _saline(diagnosis: Diagnosis) -> Reason:
    # Either answer alone can rule it out.
    if diagnosis.saline is None and diagnosis.sodic is not True:
        return _cannot("saline_not_sodic", EC_WANTED)
    if diagnosis.sodic is None and diagnosis.saline is not False:
        return _cannot("saline_not_sodic", SODIUM_WANTED)
    limit = f"the limit is {diagnosis.salinity.band.high:g}"
    return Reason(
        key="saline_not_sodic",
        applies=diagnosis.saline is True and diagnosis.sodic is False,
        sentence=f"Conductivity of the saturation extract {diagnosis.salinity.number}, {limit}; "
        f"{sodium_numbers(diagnosis)}: {diagnosis.soil_class.value}. Salt without sodium wants drainage and "
        "water, no gypsum.",
    )


def _magnesium(diagnosis: Diagnosis) -> Reason:
    found = diagnosis.magnesium
    if found.place is None:
        return _cannot("high_magnesium", MAGNESIUM_WANTED)
    low_sodium = diagnosis.sodium_status in (SodiumStatus.NONE, SodiumStatus.DISPERSES_WITHOUT)
    return Reason(
        key="high_magnesium",
        applies=found.place is Place.ABOVE and low_sodium,
        sentence=f"Magnesium takes {found.number}, beside {sodium_numbers(diagnosis)} ({found.band.note}).",
    )


def _floor(diagnosis: Diagnosis, water: WaterJudgement | None) -> Reason:
    if water is None:
        return _cannot("water_brings_it_back", WATER_WANTED)
    if diagnosis.esp.estimate is None:
        return _cannot("water_brings_it_back", ESP_WANTED)
    esp, name = diagnosis.esp.estimate, water.water.name
    # A floor of 100 % stands for a water without any calcium; no soil lies above it.
    crosses = esp.low <= water.floor_esp_pct < esp.high
    return Reason(
        key="water_brings_it_back",
        applies=esp.value <= water.floor_esp_pct,
        sentence=f"ESP {esp.value:.3g} against {water.floor_esp_pct:.1f}, the floor of {name} as it is, and "
        f"{water.floor_concentrated_esp_pct:.1f} concentrated {water.concentration_factor:g} times"
        f"{'; the range of the ESP reaches to both sides' if crosses else ''}.",
    )


def _gypsum_there(diagnosis: Diagnosis) -> Reason:
    known = (diagnosis.gypsum_present, diagnosis.gypsum_recently_applied)
    there = True in known
    if not there and None in known:
        return _cannot("gypsum_there", "knowing whether gypsum is in the soil or was spread within 12 months")
    words = "is in the soil, or was spread within 12 months" if there else "is not in the soil yet"
    return Reason(key="gypsum_there", applies=there, sentence=f"Gypsum {words}, by the report.")


def _carbonate(diagnosis: Diagnosis) -> Reason:
    found = diagnosis.alkalinity
    if found.estimate is None:
        return _cannot("soluble_carbonate", PH_WANTED)
    over = found.place is Place.ABOVE
    what = (
        "soluble carbonate takes up the calcium of mixed-in gypsum"
        if over
        else "no sign of much soluble carbonate"
    )
    return Reason(
        key="soluble_carbonate",
        applies=over,
        sentence=f"pH {found.estimate.value:.3g}, the limit is {found.band.high:g}: {what}.",
    )


def _flocculated(diagnosis: Diagnosis, water: WaterJudgement | None) -> Reason:
    own, needed = diagnosis.electrolyte, diagnosis.threshold
    if needed is None:
        return _cannot("held_by_salt", ESP_WANTED)
    if own is None:
        return _cannot("held_by_salt", EC_WANTED)
    brought = "" if water is None else f", {water.water.name} brings {water.water.solution.cation_charge:.3g}"
    holds = diagnosis.own_clarity is Clarity.CLEAR
    sodium = diagnosis.sodium_status is not SodiumStatus.NONE
    return Reason(
        key="held_by_salt",
        applies=holds and sodium and (diagnosis.jar is None or diagnosis.jar.now == 0),
        sentence=f"Clay of ESP {diagnosis.esp.number.removesuffix(' %')} needs about {needed:.2g} meq/L to "
        f"stay put †; its own water holds {own.value:.3g}{brought}.",
    )


def _sand(diagnosis: Diagnosis, report: Report) -> Reason:
    times = habit_dose_in_sodium(diagnosis, report)
    if times is None or diagnosis.capacity.estimate is None:
        return _cannot("low_capacity_sand", "depth, bulk density, exchange capacity and ESP")
    small = diagnosis.capacity.place is Place.BELOW
    return Reason(
        key="low_capacity_sand",
        applies=small and times >= HABIT_DOSE_TOO_MUCH,
        sentence=f"Exchange capacity {diagnosis.capacity.number}: a habit dose of {HABIT_DOSE} carries "
        f"{times:.2g} times the calcium that all its exchangeable sodium asks for.",
    )


def _compaction(diagnosis: Diagnosis) -> Reason:
    found = diagnosis.density
    if found is None or found.estimate is None:
        return _cannot("compaction", "a measured bulk density and the clay content")
    return Reason(
        key="compaction",
        applies=found.place is Place.ABOVE,
        sentence=f"Bulk density {found.number}: {found.band.note}. Gypsum loosens no compaction.",
    )


def _clayey(diagnosis: Diagnosis) -> Reason:
    if diagnosis.clay_pct is None:
        return _cannot("heavy_clay", "the clay content")
    heavy = diagnosis.clay_pct > CLAYEY_PCT
    return Reason(
        key="heavy_clay",
        applies=heavy and diagnosis.sodium_status is SodiumStatus.NONE,
        sentence=f"Clay {diagnosis.clay_pct:.3g} %. Gypsum displaces sodium; a clay that is heavy without it "
        "stays heavy.",
    )
