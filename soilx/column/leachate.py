"""Leachate, collected in portions: volume, composition, and whether it runs clear or cloudy."""

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.clarity import clarity
from soilx.chemistry.conductivity import electrical_conductivity
from soilx.chemistry.soil_solution import sodium_adsorption_ratio

if TYPE_CHECKING:
    from soilx.column.run import Trace
    from soilx.column.scenario import Scenario

Array = NDArray[np.float64]

NO_LEACHATE: Final = "no leachate"
"""What stands for clarity where nothing ran out: a result, not a failure."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Leachate:
    """What ran out of a column, by portion.

    Attributes
    ----------
    volume : ndarray, shape (portions,)
        [L/kg of the column's soil]
    cumulative_volume : ndarray, shape (portions,)
        Up to the end of each portion [L/kg].
    pore_volumes : ndarray, shape (portions,)
        The same in pore volumes.
    applied_pore_volumes : ndarray, shape (portions,)
        Water applied up to the end of each portion, in pore volumes.
    concentrations : ndarray, shape (7, portions)
        Mean of the portion; NaN where nothing ran out [mmol/L].
    electrical_conductivity : ndarray, shape (portions,)
        At 25 °C; NaN where nothing ran out [dS/m].
    sodium_adsorption_ratio : ndarray, shape (portions,)
        NaN where nothing ran out [(mmol/L)^½].
    electrolyte : ndarray, shape (portions,)
        Cation charge; NaN where nothing ran out [mmol_c/L].
    outlet_esp_pct : ndarray, shape (portions,)
        Mean ESP of the last layer while the portion left it; NaN where nothing ran out [%].
    clarity : ndarray of str, shape (portions,)
        "clear", "may cloud", "cloudy", or "no leachate".
    """

    volume: Array
    cumulative_volume: Array
    pore_volumes: Array
    applied_pore_volumes: Array
    concentrations: Array
    electrical_conductivity: Array
    sodium_adsorption_ratio: Array
    electrolyte: Array
    outlet_esp_pct: Array
    clarity: NDArray[np.str_]

    def __post_init__(self) -> None:
        for each in fields(self):
            getattr(self, each.name).setflags(write=False)

    def portions(self) -> list[dict[str, Any]]:
        """One mapping a portion, units in the names; None where nothing ran out."""

        def number(value: float) -> float | None:
            return float(value) if np.isfinite(value) else None

        return [
            {
                "volume_l_per_kg": float(self.volume[row]),
                "pore_volumes": float(self.pore_volumes[row]),
                "na_mmol_per_l": number(self.concentrations[2, row]),
                "ca_mmol_per_l": number(self.concentrations[0, row]),
                "ec_ds_per_m": number(self.electrical_conductivity[row]),
                "sar": number(self.sodium_adsorption_ratio[row]),
                "clarity": str(self.clarity[row]),
            }
            for row in range(self.volume.size)
        ]


def collect(scenario: "Scenario", trace: "Trace", *, opened: Array, closed: Array) -> Leachate:
    """Leachate of a trace in portions between amounts of applied water.

    Parameters
    ----------
    scenario : Scenario
    trace : Trace
    opened, closed : ndarray, shape (portions,)
        Applied water at which each portion's cup is put under and taken away [L/kg].

    Notes
    -----
    A step that an edge cuts gives each portion its part. Nothing caught is lost between portions.
    """
    drained = scenario.soil.drained_water
    before, after = trace.applied[:-1], trace.applied[1:]
    shared = np.minimum(closed[:, np.newaxis], after) - np.maximum(opened[:, np.newaxis], before)
    size = after - before
    share = np.clip(np.divide(shared, size, out=np.zeros_like(shared), where=size > 0), 0.0, 1.0)
    # an edge that meets a step's to rounding does not cut it
    part = np.where(share > 1e-12, share, 0.0) * trace.out_volume
    caught = part @ np.column_stack([np.ones(size.size), trace.outflow, trace.outlet_sodium])
    volume = caught[:, 0]
    some = volume > 0
    concentrations = np.full((7, volume.size), np.nan)
    conductivity, sar, electrolyte, outlet = (np.full(volume.size, np.nan) for _ in range(4))
    appearance = np.full(volume.size, NO_LEACHATE, dtype=object)
    if some.any():
        mean = caught[some, 1:] / volume[some, np.newaxis]
        ions = mean[:, :7].T
        concentrations[:, some] = ions
        conductivity[some] = electrical_conductivity(ions)
        sar[some] = sodium_adsorption_ratio(ions[2], ions[0], ions[1])
        electrolyte[some] = 2 * (ions[0] + ions[1]) + ions[2] + ions[3]
        outlet[some] = 100.0 * mean[:, 7]
        appearance[some] = clarity(outlet[some], electrolyte[some])
    cumulative = np.cumsum(volume)
    return Leachate(
        volume=volume,
        cumulative_volume=cumulative,
        pore_volumes=cumulative / drained,
        applied_pore_volumes=closed / drained,
        concentrations=concentrations,
        electrical_conductivity=conductivity,
        sodium_adsorption_ratio=sar,
        electrolyte=electrolyte,
        outlet_esp_pct=outlet,
        clarity=appearance.astype(str),
    )
