"""An irrigation water judged for the soil it goes on, with a sentence for everything that was found."""

import math
from dataclasses import dataclass
from typing import Final

from soilx.chemistry.cation_exchange import DEFAULT_SELECTIVITY, Selectivity
from soilx.chemistry.gypsum import gypsum_solubility
from soilx.column.fields import read_field
from soilx.column.water import WATER_FIELD, Water
from soilx.practice.judgement.bands import Place
from soilx.practice.judgement.irrigation_water import (
    HIGHEST_SAR,
    INFILTRATION,
    Restriction,
    calcium_for_floor,
    floor_esp_pct,
    gypsum_for_water,
    infiltration_restriction,
    ratio_of_water,
    residual_sodium_carbonate,
)
from soilx.practice.judgement.thresholds import RESIDUAL_CARBONATE
from soilx.wording import PURE_WATER_SEALS, SOFTENED_WATER_NEVER

PURE_EC: Final = INFILTRATION[0].severe_below
"""Below this conductivity even a water without sodium is severely restricted [dS/m]."""

SOFTENED_HARDNESS_SHARE: Final = 0.05
SOFTENED_SODIUM_SHARE: Final = 0.80
SOFTENED_LEAST_CHARGE: Final = 1.0
"""A softened water: at most so little of its cation charge is Ca and Mg, at least so much is Na, and there is
at least so much in all [mmol_c/L]; common practice, no published source."""

MEASURED: Final = "measured"
COMPUTED: Final = "computed from its ions"


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterJudgement:
    """What an irrigation water does in the long run.

    Attributes
    ----------
    water : Water
    sar : float
        Infinite where there is sodium and nothing divalent [(mmol/L)^½].
    ec : float
        At 25 °C [dS/m].
    ec_origin : str
        "measured", or "computed from its ions".
    restriction : Restriction
        Of infiltration; severe beyond the end of the published table.
    residual_carbonate : float
        [mmol_c/L]
    concentration_factor : float
        How many times the root zone is taken to concentrate the water.
    floor_esp_pct, floor_concentrated_esp_pct : float
        ESP to which the water brings any soil: as it is, and concentrated [%].
    softened, pure : bool
        Whether it looks softened, or carries next to no salt.
    sentences : tuple of str
        What was found, with its numbers; warnings first.
    """

    water: Water
    sar: float
    ec: float
    ec_origin: str
    restriction: Restriction
    residual_carbonate: float
    concentration_factor: float
    floor_esp_pct: float
    floor_concentrated_esp_pct: float
    softened: bool
    pure: bool
    sentences: tuple[str, ...]

    @property
    def warnings(self) -> tuple[str, ...]:
        """Warnings of softened and of very pure water."""
        return (*((SOFTENED_WATER_NEVER,) * self.softened), *((PURE_WATER_SEALS,) * self.pure))


def judge_water(
    water: Water, *, concentration_factor: float = 2.0, selectivity: Selectivity = DEFAULT_SELECTIVITY
) -> WaterJudgement:
    """An irrigation water with its classes, its floor and its warnings.

    Parameters
    ----------
    water : Water
    concentration_factor : float
        How many times the root zone concentrates it, 1 to 20; 2 is usual (common practice).
    selectivity : Selectivity
        Of the soil's exchanger.

    Raises
    ------
    LimitError
        If the concentration factor is out of its range.
    """
    sar = ratio_of_water(water)
    ec, origin = _conductivity(water)
    beyond = sar > HIGHEST_SAR
    restriction = Restriction.SEVERE if beyond else infiltration_restriction(sar, ec)
    carbonate = residual_sodium_carbonate(water)
    floor = floor_esp_pct(water, selectivity=selectivity)
    concentrated = floor_esp_pct(water, concentration_factor=concentration_factor, selectivity=selectivity)
    softened, pure = _softened(water), ec < PURE_EC
    name = water.name
    ratio = "without end (no calcium, no magnesium)" if math.isinf(sar) else f"{sar:.1f}"
    table = f"beyond the table, which ends at SAR {HIGHEST_SAR:g}" if beyond else "by the FAO 29 table"
    sentences = (
        *((SOFTENED_WATER_NEVER,) * softened),
        *((PURE_WATER_SEALS,) * pure),
        f"{name}: SAR {ratio} at {ec:.3g} dS/m ({origin}) restricts infiltration: {restriction.value} "
        f"({table}).",
        _carbonate_sentence(name, carbonate),
        f"The floor of {name} is ESP {floor:.1f}: watered with it, any soil ends there. If the root zone "
        f"concentrates it {concentration_factor:g} times, the floor is {concentrated:.1f}.",
    )
    return WaterJudgement(
        water=water,
        sar=sar,
        ec=ec,
        ec_origin=origin,
        restriction=restriction,
        residual_carbonate=carbonate,
        concentration_factor=concentration_factor,
        floor_esp_pct=floor,
        floor_concentrated_esp_pct=concentrated,
        softened=softened,
        pure=pure,
        sentences=sentences,
    )


def gypsum_in_water_advice(
    water: Water,
    *,
    esp_pct: float,
    concentration_factor: float = 1.0,
    selectivity: Selectivity = DEFAULT_SELECTIVITY,
) -> str:
    """The sentence that says how much gypsum in a water brings its floor down to an ESP.

    Parameters
    ----------
    water : Water
    esp_pct : float
        Wanted floor, above 0 [%].
    concentration_factor, selectivity
        As for `floor_esp_pct`.
    """
    calcium = calcium_for_floor(
        water, esp_pct=esp_pct, concentration_factor=concentration_factor, selectivity=selectivity
    )
    if calcium == 0.0:
        return f"The floor of {water.name} is at ESP {esp_pct:.3g} or below it without any gypsum."
    most = 2.0 * float(gypsum_solubility(water.solution))
    dose = gypsum_for_water(f"{calcium!r} mmol_c/L").magnitude
    grams = gypsum_for_water(f"{calcium!r} mmol_c/L", unit="g/L").magnitude
    wanted = (
        f"To bring the floor of {water.name} down to ESP {esp_pct:.3g} takes {calcium:.3g} meq/L more "
        f"calcium: {grams:.2g} g of pure gypsum a litre, {dose:.0f} lb per acre-foot"
    )
    if calcium > most:
        return f"{wanted}. That is more than it dissolves, {most:.3g} meq/L: it has to be mixed or changed."
    return f"{wanted}, dissolved in the water, not spread."


def _conductivity(water: Water) -> tuple[float, str]:
    """Conductivity [dS/m], measured where the analysis has it, and where it comes from."""
    typed = dict(water.typed)
    if "conductivity" in typed:
        return read_field(WATER_FIELD["conductivity"], typed["conductivity"]), MEASURED
    return water.electrical_conductivity, COMPUTED


def _softened(water: Water) -> bool:
    solution = water.solution
    charge = solution.cation_charge
    return (
        charge >= SOFTENED_LEAST_CHARGE
        and 2.0 * (solution.ca + solution.mg) <= SOFTENED_HARDNESS_SHARE * charge
        and solution.na >= SOFTENED_SODIUM_SHARE * charge
    )


def _carbonate_sentence(name: str, carbonate: float) -> str:
    band = RESIDUAL_CARBONATE
    place = band.place(carbonate)
    said = {
        Place.BELOW: f"fine, below {band.low:g} †",
        Place.BETWEEN: f"doubtful, between {band.low:g} and {band.high:g} †",
        Place.ABOVE: f"above {band.high:g} †: not to be used untreated",
    }[place]
    lime = (
        " Its calcium comes down as lime when it dries, so that the real floor is higher than the one here."
        if carbonate > 0
        else ""
    )
    return f"Residual sodium carbonate of {name}: {carbonate:z.1f} meq/L, {said}.{lime}"
