"""Where a column ends for every rate of gypsum and every amount of water: a map to choose on."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.column.fields import Given
from soilx.column.placement import WATER
from soilx.column.scenario import Scenario
from soilx.column.sweep import sweep
from soilx.errors import LimitError, require
from soilx.practice.dose.dose_search import dosed, watered
from soilx.practice.dose.target import read_target
from soilx.units import Kind, express, read

Array = NDArray[np.float64]

SIZE: Final = 20
MOST_SIZE: Final = 100

DEFAULT_WATER_PORE_VOLUMES: Final = 5.0
DEFAULT_GYPSUM_OVER_SODIUM: Final = 3.0
"""Largest dose of a map, by charge over all the exchangeable sodium; what few soils need. Our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionMap:
    """Final ESP over gypsum and water.

    Attributes
    ----------
    scenario : Scenario
        What is the same everywhere; its own dose and water are the chosen point.
    gypsum : ndarray, shape (G,)
        Pure gypsum, from none upward [mmol/kg].
    water : ndarray, shape (W,)
        Water applied in all [L/kg].
    final_esp_pct : ndarray, shape (G, W)
        Depth average where the water ends [%].
    chosen_esp_pct : float or None
        The same for the scenario's own dose and water; None where that point lies off the map [%].
    """

    scenario: Scenario
    gypsum: Array
    water: Array
    final_esp_pct: Array
    chosen_esp_pct: float | None

    def __post_init__(self) -> None:
        for array in (self.gypsum, self.water, self.final_esp_pct):
            array.setflags(write=False)

    @property
    def gypsum_t_per_ha(self) -> Array:
        """Rates over the column's depth, shape (G,) [t/ha]."""
        per_unit = express(1.0, Kind.GYPSUM_RATE, "t/ha", ground=self.scenario.soil.ground)
        return np.asarray(self.gypsum * per_unit)

    @property
    def water_pore_volumes(self) -> Array:
        """Waters in pore volumes, shape (W,)."""
        return np.asarray(self.water / self.scenario.soil.drained_water)

    @property
    def water_mm(self) -> Array:
        """Waters as a depth on the field, shape (W,) [mm]."""
        per_unit = express(1.0, Kind.WATER, "mm", ground=self.scenario.soil.ground)
        return np.asarray(self.water * per_unit)

    @property
    def chosen(self) -> dict[str, float | str] | None:
        """The scenario's own dose and water as a record; None where it lies off the map."""
        if self.chosen_esp_pct is None:
            return None
        return self._record(self.scenario.gypsum, self.scenario.volume, self.chosen_esp_pct)

    def at(self, *, gypsum: float, water: float) -> float:
        """Final ESP at a point of the map, straight between its columns [%].

        Parameters
        ----------
        gypsum : float
            [mmol/kg]
        water : float
            [L/kg]

        Raises
        ------
        LimitError
            If the point lies off the map.
        """
        for name, value, axis, unit in (
            ("gypsum", gypsum, self.gypsum, "mmol/kg"),
            ("water", water, self.water, "L/kg"),
        ):
            require(
                name,
                value,
                unit,
                low=float(axis[0]),
                high=float(axis[-1]),
                whose="this map",
                remedy="draw a larger map",
            )
        by_gypsum = [np.interp(water, self.water, row) for row in self.final_esp_pct]
        return float(np.interp(gypsum, self.gypsum, by_gypsum))

    def reaching(self, target_esp_pct: float | Given) -> list[dict[str, float | str]]:
        """Least gypsum for a target at each of the map's waters, straight between its columns.

        Parameters
        ----------
        target_esp_pct : float, str or Quantity

        Returns
        -------
        list of dict
            Records as `records` gives them; waters with which no dose of the map reaches it are left out.
        """
        target = read_target(target_esp_pct)
        found = []
        for column, water in enumerate(self.water):
            esp = self.final_esp_pct[:, column]
            reached = np.flatnonzero(esp <= target)
            if not reached.size:
                continue
            first = int(reached[0])
            dose = float(self.gypsum[first])
            if first:
                part = (esp[first - 1] - target) / (esp[first - 1] - esp[first])
                dose = float(self.gypsum[first - 1] + part * (self.gypsum[first] - self.gypsum[first - 1]))
            found.append(self._record(dose, float(water), min(target, float(esp[0]))))
        return found

    def records(self) -> list[dict[str, float | str]]:
        """Every point of the map as a plain row: rate, water, final ESP."""
        return [
            self._record(float(gypsum), float(water), float(self.final_esp_pct[row, column]))
            for row, gypsum in enumerate(self.gypsum)
            for column, water in enumerate(self.water)
        ]

    def _record(self, gypsum: float, water: float, esp: float) -> dict[str, float | str]:
        ground = self.scenario.soil.ground
        return {
            "soil": self.scenario.soil.name,
            "gypsum_t_per_ha": express(gypsum, Kind.GYPSUM_RATE, "t/ha", ground=ground),
            "gypsum_g_per_kg": express(gypsum, Kind.GYPSUM_RATE, "g/kg"),
            "water_pore_volumes": water / self.scenario.soil.drained_water,
            "water_mm": express(water, Kind.WATER, "mm", ground=ground),
            "final_esp_pct": esp,
        }


def decision_map(
    scenario: Scenario,
    *,
    gypsum_to: Given | None = None,
    water_to: Given | None = None,
    size: int = SIZE,
    progress: Callable[[float], None] | None = None,
) -> DecisionMap:
    """Final ESP of a column over gypsum rate and water, as a grid.

    Parameters
    ----------
    scenario : Scenario
        Soil, waters, placement and stack; its own dose and water are the chosen point.
    gypsum_to : str or Quantity, optional
        Largest rate; unless given, three times all exchangeable sodium by charge, or the scenario's own.
    water_to : str or Quantity, optional
        Most water; unless given, 5 pore volumes, or the scenario's own. Beyond the scenario's waters its last
        one goes on.
    size : int
        Rates, and amounts of water.
    progress : callable, optional
        Told the finished share, from 0 to 1.

    Raises
    ------
    SoilxError
        If there is no water, the gypsum is dissolved in it, or a limit is no amount.

    Notes
    -----
    Each rate is one column, run once to the most water and read along its way: what a column is after so much
    water does not depend on the water that comes later. Between two steps the reading is a straight line.
    """
    if not scenario.wettings:
        raise LimitError(
            "wettings: there are none; the limit is the map's, whose one axis is water; add a wetting such "
            'as "4 pore_volume".'
        )
    if scenario.placement == WATER and scenario.gypsum > 0:
        raise LimitError(
            "placement = water: the dose is spread over all the water, so that no column can be read along "
            'its way; the limit is ours; choose the placement "mixed", "top 5 cm" or "surface".'
        )
    count = int(
        require("size", size, "", low=2, high=MOST_SIZE, whose="a map", remedy="20 rates and waters do")
    )
    ground = scenario.ground
    soil = scenario.soil
    sodium = soil.cation_exchange_capacity * soil.exchangeable_sodium_percentage / 100.0
    most = max(DEFAULT_GYPSUM_OVER_SODIUM * sodium / 2.0, scenario.gypsum)
    if gypsum_to is not None:
        most = read(gypsum_to, Kind.GYPSUM_RATE, name="gypsum_to", ground=ground)
    wettest = max(DEFAULT_WATER_PORE_VOLUMES * soil.drained_water, scenario.volume)
    if water_to is not None:
        wettest = read(water_to, Kind.WATER, name="water_to", ground=ground)
    for name, value, unit in (("gypsum_to", most, "mmol/kg"), ("water_to", wettest, "L/kg")):
        require(name, value, unit, low=0.0, low_open=True, whose="an axis", remedy="give a positive amount")
    doses = np.linspace(0.0, most, count)
    waters = np.linspace(wettest / count, wettest, count)
    longest = watered(scenario, wettest)
    on_map = scenario.gypsum <= most and waters[0] <= scenario.volume <= wettest
    # The chosen point is a column of its own, so that it shows what `leach` shows.
    columns = [*doses, scenario.gypsum] if on_map else list(doses)
    esp = np.empty((count, count))
    chosen = None
    for first in range(0, len(columns), _TOGETHER):
        runs = sweep([dosed(longest, float(dose)) for dose in columns[first : first + _TOGETHER]])
        for row, run in enumerate(runs, start=first):
            along = run.applied_water, run.depth_average_esp_pct
            if row < count:
                esp[row] = _read_along(*along, waters)
            else:
                chosen = float(_read_along(*along, np.array([scenario.volume]))[0])
        if progress is not None:
            progress(min(1.0, (first + _TOGETHER) / len(columns)))
    return DecisionMap(
        scenario=scenario, gypsum=doses, water=waters, final_esp_pct=esp, chosen_esp_pct=chosen
    )


_TOGETHER: Final = 25
"""Columns a sweep: more save little time, and fewer would tell of progress more often at a higher price."""


def _read_along(applied: Array, esp: Array, waters: Array) -> Array:
    """Depth average at amounts of water; where drying changed it without water, as it was after."""
    row = np.clip(np.searchsorted(applied, waters, side="right") - 1, 0, applied.size - 1)
    following = np.minimum(row + 1, applied.size - 1)
    span = applied[following] - applied[row]
    part = np.divide(waters - applied[row], span, out=np.zeros_like(waters), where=span > 0)
    return np.asarray(esp[row] + part * (esp[following] - esp[row]))
