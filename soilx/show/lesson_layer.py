"""One stirred layer for the lesson: gypsum in it, pure water poured on, and as much drains off each time."""

from __future__ import annotations

import functools
from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from soilx.chemistry.layer_equilibrium import equilibrate_inventory
from soilx.column.files import demo_path, read_soils
from soilx.column.leaching import leach
from soilx.column.scenario import Scenario
from soilx.show.lesson_records import guess, line, now, table, words
from soilx.show.live import Drawn
from soilx.units import GYPSUM_MOLAR_MASS

if TYPE_CHECKING:
    from soilx.column.run import Run
    from soilx.column.soil import Soil

LAYER_SOIL: Final = "Block C"
LAYER_GYPSUM_T_PER_HA: Final = 7.05
MOST_WATER: Final = 8.0
"""Where the slider ends, and where the question asks [pore volumes]."""
_STEP: Final = 0.1
"""Poured and drained at a time, of a pore volume: the slider's step too."""


def layer(*, water: float, guessed_pct: float | None = None) -> Drawn:
    """Sodium left on the clay of one stirred layer against the pure water poured through it.

    Parameters
    ----------
    water : float
        Poured on and drained, 0 to 8 [pore volumes].
    guessed_pct : float, optional
        The guess for 8 pore volumes [%].
    """
    treated, untreated = layer_run(), layer_run(times=0.0)
    at = round(water / _STEP)
    here, beside = (float(run.depth_average_esp_pct[at]) for run in (treated, untreated))
    start = float(treated.depth_average_esp_pct[0])
    left = _gypsum_left(treated)[at]
    axis = treated.applied_pore_volumes
    listed = (0.0, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0)
    return Drawn(
        records={
            "curves": [
                *line("with gypsum", "first", axis, treated.depth_average_esp_pct),
                *line("without", "second", axis, untreated.depth_average_esp_pct),
            ],
            "names": [
                words(4.2, _esp(treated, 4.2), "with gypsum", dy=20),
                words(4.2, _esp(untreated, 4.2), "without", dy=-14),
            ],
            "now": [now(water, here, f"{here:.1f} %", middle=5.0)],
            "guess": guess(MOST_WATER, guessed_pct, align="right"),
        },
        signals={},
        caption=(
            f"Water poured through: {water:.1f} pore volumes. Sodium on the clay goes from {start:.1f} % to "
            f"{here:.1f} % with gypsum and to {beside:.1f} % without. Gypsum left: {left:.2f} g/kg."
        ),
        table=table(
            (
                "Water poured through, pore volumes",
                "Sodium on the clay with gypsum, %",
                "Without, %",
                "Gypsum left, g/kg",
            ),
            (
                (
                    f"{poured:g}",
                    f"{_esp(treated, poured):.1f}",
                    f"{_esp(untreated, poured):.1f}",
                    f"{_gypsum_left(treated)[round(poured / _STEP)]:.2f}",
                )
                for poured in listed
            ),
        ),
    )


def layer_start() -> float:
    """Sodium on the clay of the layer before anything is added [% of its charge]."""
    return float(layer_run().initial_esp_pct)


def layer_gypsum() -> float:
    """Gypsum mixed into the layer [g/kg]."""
    return float(_gypsum_left(layer_run())[0])


def layer_undrained() -> float:
    """Sodium on the clay of the layer with its gypsum stirred in and nothing drained [% of its charge]."""
    soil, gypsum = _wet_soil(), _scenario(1.0).gypsum
    state = equilibrate_inventory(
        sodium=soil.sodium,
        potassium=soil.potassium,
        magnesium=soil.magnesium,
        sulfate=soil.sulfate + gypsum,
        chloride=soil.chloride,
        bicarbonate=soil.bicarbonate,
        capacity=soil.cation_exchange_capacity,
        water=soil.drained_water,
        selectivity=soil.selectivity,
    )
    return state.exchangeable_sodium_percentage


def gypsum_lasts(*, times: float = 1.0) -> float:
    """Water after which no solid gypsum is left in the layer, to a tenth [pore volumes].

    Parameters
    ----------
    times : float
        Gypsum, times the lesson's.
    """
    run = layer_run(times=times)
    return float(run.applied_pore_volumes[int(np.argmax(_gypsum_left(run) <= 0.0))])


@functools.lru_cache(maxsize=4)
def layer_run(*, times: float = 1.0) -> Run:
    """The layer's run, as the column's own model has it with a single layer.

    Parameters
    ----------
    times : float
        Gypsum, times the lesson's.
    """
    return leach(_scenario(times))


def _scenario(times: float) -> Scenario:
    return Scenario.of(
        soil=_wet_soil(),
        gypsum=f"{LAYER_GYPSUM_T_PER_HA * times!r} t/ha",
        layers=1,
        displaced_fraction=_STEP,
        wettings=[f"{MOST_WATER!r} pore_volume"],
    )


@functools.cache
def _wet_soil() -> Soil:
    """The soil as wet as it stays when it has drained, so that each drop drains one."""
    soil = read_soils(demo_path("soils.csv"))[LAYER_SOIL]
    return replace(soil, initial_water=soil.drained_water)


def _esp(run: Run, water: float) -> float:
    return float(run.depth_average_esp_pct[round(water / _STEP)])


def _gypsum_left(run: Run) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Solid gypsum after each pouring [g/kg]."""
    left: np.ndarray[tuple[int], np.dtype[np.float64]] = run.gypsum[:, 0] * GYPSUM_MOLAR_MASS / 1000.0
    return left
