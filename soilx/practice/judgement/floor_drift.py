"""How a reclaimed soil goes back towards its water's floor, run on the column."""

from typing import Final

import numpy as np

from soilx.column.leaching import leach
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.column.water import Water

PORE_VOLUMES: Final = (2.0, 5.0, 10.0, 20.0)
"""Water at which the way back is shown."""
LAYERS: Final = 6
"""Enough for a depth average."""


def drift_back(
    soil: Soil, *, water: Water, start_esp_pct: float, pore_volumes: tuple[float, ...] = PORE_VOLUMES
) -> tuple[tuple[float, float], ...]:
    """Depth-averaged ESP on the way from a target back to the floor of a water.

    Parameters
    ----------
    soil : Soil
        The one that was reclaimed.
    water : Water
        What it is watered with from then on.
    start_esp_pct : float
        ESP that was reached [%].
    pore_volumes : tuple of float
        Water that has passed, at which ESP is read, rising.

    Returns
    -------
    tuple of (float, float)
        Pore volumes, and ESP after them [%].

    Raises
    ------
    SoilxError
        If the soil cannot be brought to the ESP at which it is to start.

    Notes
    -----
    As if it drained freely and nothing dried: a root zone that concentrates its water ends higher.
    """
    reclaimed = soil.with_exchangeable_sodium_percentage(f"{start_esp_pct!r} %")
    amount = f"{max(pore_volumes)!r} pore_volume"
    run = leach(Scenario.of(reclaimed, wettings=[(amount, water)], layers=LAYERS))
    applied = run.applied_pore_volumes
    # before its first water the soil takes some to be moist again: counted from then on
    esp = np.interp(pore_volumes, applied, run.depth_average_esp_pct)
    return tuple((volumes, float(one)) for volumes, one in zip(pore_volumes, esp, strict=True))
