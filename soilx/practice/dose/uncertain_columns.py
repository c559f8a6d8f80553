"""Columns whose inputs were drawn: the same scenario as other soils and waters that it may be."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import inf

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.gypsum import gypsum_solubility
from soilx.column.placement import WATER
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.practice.dose.uncertain_inputs import (
    APPLIED,
    CAPACITY,
    DENSITY,
    DRAINED,
    MAGNESIUM_SELECTIVITY,
    SODIUM,
    SODIUM_SELECTIVITY,
)
from soilx.practice.soil_test.reported_sodium import reported_sodium

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnColumns:
    """One scenario as many columns.

    Attributes
    ----------
    scenarios : tuple of Scenario
        Without gypsum, one a draw; runs start from them, files do not: their text is the scenario's own.
    areal_soil : ndarray, shape (draws,)
        Soil under a square metre of the depth [kg/m²].
    sodium, capacity : ndarray, shape (draws,)
        Exchangeable sodium as a report would state it, and CEC [mmol_c/kg].
    """

    scenarios: tuple[Scenario, ...]
    areal_soil: Array
    sodium: Array
    capacity: Array

    def dosed(self, gypsum: Array, which: NDArray[np.intp]) -> list[Scenario]:
        """Some of the columns with a dose each.

        Parameters
        ----------
        gypsum : ndarray, shape (K,)
            [mmol/kg]
        which : ndarray of int, shape (K,)
            Their numbers.
        """
        return [
            replace(self.scenarios[number], gypsum=float(dose))
            for number, dose in zip(which, gypsum, strict=True)
        ]

    def most_gypsum(self, limit: float) -> Array:
        """The largest dose of each column, shape (draws,) [mmol/kg].

        Parameters
        ----------
        limit : float
            Whatever the column [mmol/kg].
        """
        first = self.scenarios[0]
        if first.placement != WATER:
            return np.full(len(self.scenarios), limit)
        soluble = min((float(gypsum_solubility(w.water.solution)) for w in first.wettings), default=inf)
        carried = np.array([scenario.volume for scenario in self.scenarios]) * soluble * (1 - 1e-9)
        return np.minimum(limit, carried)


def drawn_columns(scenario: Scenario, inputs: Mapping[str, Array]) -> DrawnColumns:
    """The scenario as many columns as there are draws.

    Parameters
    ----------
    scenario : Scenario
    inputs : mapping of str to ndarray, each shape (draws,)
        As `soilx.practice.dose.uncertain_inputs.draw_inputs` gives them; what is not there stays as it is.

    Raises
    ------
    LimitError
        If a draw is no possible soil: sodium, magnesium and potassium leave calcium no place.

    Notes
    -----
    Another CEC keeps the exchanger's magnesium and potassium fractions and the solution. Another exchangeable
    sodium, as reported, changes the column's by as much. Calcium yields. Water applied is a depth on the
    field: a denser soil gets less of it per kilogram. Drained water is drawn at the soil's own bulk density;
    a denser soil holds as much by volume. Initial and driest water move with it.
    """
    soil = scenario.soil
    draws = len(next(iter(inputs.values())))

    def drawn(key: str, value: float) -> Array:
        return inputs.get(key, np.full(draws, value))

    reported = reported_sodium(soil).exchangeable
    capacity = drawn(CAPACITY, soil.cation_exchange_capacity)
    sodium = drawn(SODIUM, reported)
    density = drawn(DENSITY, soil.bulk_density)
    # By volume a soil holds what it holds: a denser one less by mass, so that it still fits its pores.
    water = drawn(DRAINED, soil.drained_water) / soil.drained_water * soil.bulk_density / density
    areal = density * soil.depth
    applied = drawn(APPLIED, scenario.volume * soil.bulk_density * soil.depth) / areal
    clay = soil.state.exchanger
    more = capacity - soil.cation_exchange_capacity
    sodium_in_all = soil.sodium + sodium - reported
    potassium = soil.potassium + clay.k * more
    magnesium = soil.magnesium + 0.5 * clay.mg * more
    anions = soil.chloride + soil.bicarbonate + 2.0 * soil.sulfate
    calcium = 0.5 * (capacity + anions - sodium_in_all - potassium) - magnesium
    selective = {
        "sodium": drawn(SODIUM_SELECTIVITY, soil.selectivity.sodium),
        "magnesium": drawn(MAGNESIUM_SELECTIVITY, soil.selectivity.magnesium),
    }
    scenarios = []
    for number in range(draws):
        selectivity = replace(
            soil.selectivity, **{ion: float(values[number]) for ion, values in selective.items()}
        )
        drawn_soil: Soil = replace(
            soil,
            cation_exchange_capacity=float(capacity[number]),
            bulk_density=float(density[number]),
            drained_water=soil.drained_water * float(water[number]),
            initial_water=soil.initial_water * float(water[number]),
            driest_water=soil.driest_water * float(water[number]),
            selectivity=selectivity,
            calcium=float(calcium[number]),
            magnesium=float(magnesium[number]),
            sodium=float(sodium_in_all[number]),
            potassium=float(potassium[number]),
        )
        scenarios.append(_with(scenario, drawn_soil, float(applied[number] / scenario.volume)))
    return DrawnColumns(scenarios=tuple(scenarios), areal_soil=areal, sodium=sodium, capacity=capacity)


def _with(scenario: Scenario, soil: Soil, times: float) -> Scenario:
    """The scenario on another soil with all its water multiplied, without gypsum."""
    wettings = tuple(
        replace(
            wetting,
            volume=wetting.volume * times,
            portions=tuple(portion * times for portion in wetting.portions),
            evapotranspiration=wetting.evapotranspiration * times,
        )
        for wetting in scenario.wettings
    )
    return replace(scenario, soil=soil, wettings=wettings, gypsum=0.0)
