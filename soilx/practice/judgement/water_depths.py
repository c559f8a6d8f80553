"""Three depths of water and the binding one: to dissolve the gypsum, carry sodium out, bring salts down."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np

from soilx.chemistry.conductivity import electrical_conductivity
from soilx.column.fields import Given, read_field
from soilx.column.leaching import leach
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.column.soil_fields import SOIL_FIELD
from soilx.column.soil_reading import DRAINED_OVER_SATURATION
from soilx.column.water import Water
from soilx.errors import require
from soilx.practice.dose.target import read_target
from soilx.practice.judgement.thresholds import US
from soilx.units import Kind, express

MOST_PORE_VOLUMES: Final = 40.0
"""Beyond this nobody leaches a field; the column stops there. Our own limit."""
BLOCK_PORE_VOLUMES: Final = 4.0
"""Water by which the column goes on before it looks again."""

TEST_HOLE: Final = 18 * 25.4
"""Depth of the hole of a drain test [mm]."""


class Purpose(StrEnum):
    """What a depth of water is for; the value is the words on the screen."""

    DISSOLVE = "to dissolve the gypsum"
    CARRY_OUT = "to carry the sodium out"
    BRING_DOWN = "to bring the salts down"


@dataclass(frozen=True, kw_only=True, eq=False)
class WaterDepths:
    """How much water each purpose takes on the column.

    Attributes
    ----------
    run : Run
        As far as the column was leached.
    target_esp_pct, ec_limit : float
        What counts as carried out [%], and as brought down, in the saturation extract [dS/m].
    depths : dict
        Water of each purpose [L/kg]; None where the column never got there.
    """

    run: Run
    target_esp_pct: float
    ec_limit: float
    depths: dict[Purpose, float | None]

    @property
    def binding(self) -> Purpose:
        """The purpose that takes most water; the first one that was never reached where there is one."""
        for purpose, depth in self.depths.items():
            if depth is None:
                return purpose
        return max(self.depths, key=lambda purpose: self.depths[purpose] or 0.0)

    @property
    def water(self) -> float | None:
        """Water of the binding purpose [L/kg]; None where it was never reached."""
        return self.depths[self.binding]

    def express(self, purpose: Purpose, unit: str) -> float | None:
        """Water of one purpose in a unit of the trade: "mm", "in", "pore_volume".

        Parameters
        ----------
        purpose : Purpose
        unit : str
            Any unit that an amount of water is read in.
        """
        depth = self.depths[purpose]
        return None if depth is None else express(depth, Kind.WATER, unit, ground=self.run.scenario.ground)

    @property
    def sentences(self) -> tuple[str, ...]:
        """Each depth in words, and which one binds."""
        tried = self.run.scenario.volume / self.run.scenario.soil.drained_water
        water = self.run.scenario.wettings[-1].water.name
        goals = {
            Purpose.DISSOLVE: "",
            Purpose.CARRY_OUT: f" (ESP {self.target_esp_pct:.3g})",
            Purpose.BRING_DOWN: f" ({self.ec_limit:.3g} dS/m in the saturation extract)",
        }
        said = []
        for purpose, goal in goals.items():
            depth = self.express(purpose, "mm")
            if depth is None:
                said.append(
                    f"No water was enough {purpose.value}{goal}: {tried:.3g} pore volumes of {water} were "
                    "tried."
                )
            else:
                said.append(f"{depth:.0f} mm ({self.express(purpose, 'in'):.1f} in) {purpose.value}{goal}.")
        return (*said, f"The one that binds: {self.binding.value}.")


def water_depths(
    soil: Soil,
    *,
    gypsum: Given,
    water: Water,
    target_esp: float | Given,
    ec_limit: float = US.ec.high,
    layers: int = 12,
) -> WaterDepths:
    """Water that a dose of mixed-in gypsum takes on the column, purpose by purpose.

    Parameters
    ----------
    soil : Soil
    gypsum : str or Quantity
        Pure gypsum, mixed in: "5.64 t/ha".
    water : Water
        What it is leached with.
    target_esp : float, str or Quantity
        Depth-averaged ESP at which sodium counts as carried out [%].
    ec_limit : float
        Conductivity at which salts count as brought down, in the saturation extract; 4 unless given [dS/m].
    layers : int
        Of the column.

    Returns
    -------
    WaterDepths

    Raises
    ------
    SoilxError
        If a dose, target or limit cannot be read.

    Notes
    -----
    One run, no rule of thumb. Salts are counted as what the column's water holds, thinned to the water of a
    saturated paste: gypsum that would still dissolve in the paste is left out. They rise before they fall, so
    that the water is counted up to the last time they are above the limit; sodium is counted to the first
    time it is at the target, since a poor water brings it back.
    """
    target = read_target(target_esp)
    limit = require(
        "salt limit",
        ec_limit,
        "dS/m",
        low=0.0,
        low_open=True,
        whose="a soil that is leached with real water",
        remedy=f"{US.ec.high:g} is usual",
    )
    block = f"{BLOCK_PORE_VOLUMES!r} pore_volume"
    run = leach(Scenario.of(soil, gypsum=gypsum, wettings=[(block, water)], layers=layers))
    depths = _depths(run, target=target, limit=limit)
    most = MOST_PORE_VOLUMES * soil.drained_water * (1.0 - 1e-9)
    while None in depths.values() and run.scenario.volume < most:
        run = run.then((block, water))
        depths = _depths(run, target=target, limit=limit)
    return WaterDepths(run=run, target_esp_pct=target, ec_limit=limit, depths=depths)


def saturation_extract_conductivity(run: Run) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Conductivity of the column's salts thinned to a saturated paste, shape (rows,) [dS/m].

    Parameters
    ----------
    run : Run
        Its soil's saturation percentage is used where it was given, else twice the drained water.
    """
    soil = run.scenario.soil
    typed = dict(soil.typed)
    paste = soil.drained_water / DRAINED_OVER_SATURATION
    if "saturation_percentage" in typed:
        paste = read_field(SOIL_FIELD["saturation_percentage"], typed["saturation_percentage"])
    held = (run.concentrations * run.water_content[:, np.newaxis, :]).mean(axis=2)
    return np.asarray(electrical_conductivity(held.T / paste))


def sprinkler_hours(depth: float, *, rate: float) -> float:
    """Hours that sprinklers run for a depth of water [h].

    Parameters
    ----------
    depth : float
        [mm]
    rate : float
        What they bring [mm/h].
    """
    return _water(depth) / require(
        "sprinkler rate",
        rate,
        "mm/h",
        low=0.0,
        low_open=True,
        whose="a sprinkler that runs",
        remedy="catch it in cups for an hour and measure",
    )


def drainage_hours(depth: float, *, drain_test: float) -> float:
    """Hours that the ground needs at least to let a depth of water through [h].

    Parameters
    ----------
    depth : float
        [mm]
    drain_test : float
        Time in which an 18 in hole drains [h].

    Notes
    -----
    As if the ground took the hole's water at the hole's pace: 18 in over the time of the test. A hole also
    drains sideways, so that the ground is slower; common practice, no published source.
    """
    hours = require(
        "drain test",
        drain_test,
        "h",
        low=0.0,
        low_open=True,
        whose="a hole that drains",
        remedy="fill an 18 in hole twice and time the second filling",
    )
    return _water(depth) * hours / TEST_HOLE


def _water(depth: float) -> float:
    return require("depth of water", depth, "mm", low=0.0, whose="water applied", remedy="give it in mm")


def _depths(run: Run, *, target: float, limit: float) -> dict[Purpose, float | None]:
    applied = run.applied_water
    solid = run.gypsum.max(axis=1) > 0.0
    sodic = run.depth_average_esp_pct > target
    salty = saturation_extract_conductivity(run) > limit
    # Solid gypsum and salts are done with after the last row that has them, sodium at the first that has not.
    until = {Purpose.DISSOLVE: solid, Purpose.BRING_DOWN: salty}
    found: dict[Purpose, float | None] = {}
    for purpose in Purpose:
        if purpose is Purpose.CARRY_OUT:
            found[purpose] = None if sodic.all() else float(applied[np.argmin(sodic)])
        elif until[purpose][-1]:
            found[purpose] = None
        else:
            rows = np.flatnonzero(until[purpose])
            found[purpose] = float(applied[rows[-1] + 1]) if rows.size else 0.0
    return found
