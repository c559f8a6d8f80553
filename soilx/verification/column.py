"""Outside checks of the column: tracers, exchange fronts, closed forms, and other people's columns as context."""

from collections.abc import Mapping
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.ions import ORDER
from soilx.column.leaching import leach
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.column.water import Water
from soilx.verification.claim import Claim, Label

Array = NDArray[np.float64]

_CL: Final = ORDER.index("Cl")
_NA: Final = ORDER.index("Na")


def tracer_run(*, layers: int, displaced_fraction: float, pore_volumes: float) -> Run:
    """A column that is given water with another chloride than its own; chloride is the tracer."""
    soil = Soil.of(
        name="tracer column",
        depth="12 cm",
        bulk_density="1.4 kg/L",
        cation_exchange_capacity="1 cmol_c/kg",
        drained_water="0.3 L/kg",
        initial_water="0.3 L/kg",
        total_sodium="50 mg/kg",
        total_potassium="0 mg/kg",
        magnesium_share="0 %",
        total_sulfate="0 mmol/kg",
        other_anions="3 mmol_c/kg",
        bicarbonate_share="0 %",
    )
    water = Water.of(name="tracer", sodium="10 mmol/L", calcium="10 mmol/L", chloride="30 mmol/L")
    return leach(
        Scenario.of(
            soil,
            wettings=[(f"{pore_volumes!r} pore_volume", water)],
            layers=layers,
            displaced_fraction=displaced_fraction,
        )
    )


def last_layer(run: Run) -> Array:
    """Share of the inflow's tracer in the last layer after every step, the start included."""
    chloride = run.concentrations[:, _CL, -1]
    inflow = run.scenario.wettings[0].water.solution.cl
    return np.asarray((chloride - chloride[0]) / (inflow - chloride[0]))


def after_steps(layers: int, displaced_fraction: float, steps: tuple[int, ...]) -> Mapping[str, float]:
    """Tracer in the last layer after so many steps, as a share of the inflow's."""
    volumes = max(steps) * displaced_fraction / layers
    share = last_layer(tracer_run(layers=layers, displaced_fraction=displaced_fraction, pore_volumes=volumes))
    return {f"step {step}": float(share[step]) for step in steps}


def to_zero(fractions: tuple[float, ...], values: list[Array]) -> Array:
    """Values at a displaced fraction of 0, by the polynomial through those at a few fractions (Neville's scheme)."""
    table = list(values)
    for order in range(1, len(fractions)):
        for at in range(len(fractions) - order):
            near, far = fractions[at + order], fractions[at]
            table[at] = (far * table[at + 1] - near * table[at]) / (far - near)
    return table[0]


def as_cascade(layers: tuple[int, ...], pore_volumes: tuple[float, ...], fractions: tuple[float, ...]) -> Mapping[str, float]:
    """Tracer in the last layer as the displaced fraction goes to 0, by layers and pore volumes."""
    table = {}
    for count in layers:
        curves = []
        for fraction in fractions:
            run = tracer_run(layers=count, displaced_fraction=fraction, pore_volumes=max(pore_volumes))
            share = last_layer(run)
            curves.append(np.array([share[round(volumes * count / fraction)] for volumes in pore_volumes]))
        for volumes, share_at in zip(pore_volumes, to_zero(fractions, curves), strict=True):
            table[f"N {count}, T {volumes:g}"] = float(share_at)
    return table


def dispersivity_by_moments(layers: int, displaced_fraction: float) -> float:
    """Dispersivity [mm] from mean and variance of a tracer's arrival: L σ²/(2 μ²)."""
    run = tracer_run(layers=layers, displaced_fraction=displaced_fraction, pore_volumes=6.0)
    waiting = 1.0 - last_layer(run)
    steps = np.arange(waiting.size)
    mean = waiting.sum()
    # E[M²] = Σ (2m + 1) P(M > m)
    variance = ((2 * steps + 1) * waiting).sum() - mean**2
    return float(run.scenario.soil.depth * variance / (2 * mean**2))


@lru_cache(maxsize=8)
def front_run(layers: int) -> Run:
    """Calcium chloride displacing sodium at 30 mmol_c/L from a soil of CEC 20 cmol_c/kg and ESP 30, piston flow."""
    density, porosity, capacity, esp, charge = 1.3, 0.45, 200.0, 0.30, 30.0
    water = porosity / density
    # What the printed equilibrium solution and exchanger hold together.
    sodium = capacity * esp + water * 28.126
    soil = Soil.of(
        name="front",
        depth="20 cm",
        bulk_density=f"{density} kg/L",
        cation_exchange_capacity=f"{capacity} mmol_c/kg",
        drained_water=f"{water!r} L/kg",
        initial_water=f"{water!r} L/kg",
        total_sodium=f"{sodium!r} mmol/kg",
        total_potassium="0 mg/kg",
        magnesium_share="0 %",
        total_sulfate="0 mmol/kg",
        other_anions=f"{water * charge!r} mmol_c/kg",
        bicarbonate_share="0 %",
    )
    calcium_chloride = Water.of(name="calcium chloride", calcium="30 mmol_c/L", chloride="30 mmol_c/L")
    return leach(
        Scenario.of(soil, wettings=[("12 pore_volume", calcium_chloride)], layers=layers, displaced_fraction=1.0)
    )


def front_start() -> Mapping[str, float]:
    """Dissolved sodium and calcium before the front [mmol/L]."""
    before = front_run(20).concentrations[0, :, -1]
    return {"Na": float(before[_NA]), "Ca": float(before[ORDER.index("Ca")])}


def front_arrival(layers: tuple[int, ...]) -> Mapping[str, float]:
    """Pore volumes applied when dissolved sodium has fallen half way in the leachate."""
    table = {}
    for count in layers:
        run = front_run(count)
        sodium = run.concentrations[:, _NA, -1]
        half = sodium[0] / 2
        after = int(np.argmax(sodium < half))
        high, low = sodium[after - 1], sodium[after]
        share = (high - half) / (high - low)
        volumes = run.applied_pore_volumes
        # Water that leaves in a step is what the last layer held before it: half a step more, on average.
        step = volumes[after] - volumes[after - 1]
        table[f"{count} layers"] = float(volumes[after - 1] + share * step + step / 2)
    return table
