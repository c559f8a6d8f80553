"""How long a treated/untreated pair of Block C takes, live, and what nested brackets would take.

Run with ``python -m tests.benchmarks.pair``. Times are of this machine; nothing is asserted.
"""

import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from soilx.chemistry.layer_reference import equilibrate_reference
from soilx.column.files import demo_path, read_scenario
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.sweep import sweep

RUNS = 31
GYPSUM = "19.5 mmol/kg"


def median_ms(work: Callable[[], object], runs: int = RUNS) -> tuple[float, float, float]:
    """Least, median and largest time of some runs, after one to warm up [ms]."""
    work()
    times = []
    for _ in range(runs):
        begun = time.perf_counter()
        work()
        times.append(1000 * (time.perf_counter() - begun))
    return min(times), statistics.median(times), max(times)


def block_c(*, gypsum: str, moist: bool) -> Scenario:
    """Block C, 12 layers, half displaced a step, 4 pore volumes of deionised water: 96 steps."""
    given = read_scenario(demo_path("block_c.toml"))
    soil = given.soil
    if moist:
        soil = replace(soil, initial_water=soil.drained_water)
    scenario = Scenario.of(soil, gypsum=gypsum, wettings=["4 pore_volume"], layers=12, displaced_fraction=0.5)
    # the soil's state is asked for once, so that runs are timed and not it
    _ = soil.state
    return scenario


def reference_ms(run: Run, count: int = 60) -> float:
    """Mean time of the nested brackets on layers of a run, spread over steps and depth [ms]."""
    soil = run.scenario.soil
    rows = np.linspace(1, run.steps, count).astype(int)
    layers = np.arange(count) % run.layers
    begun = time.perf_counter()
    for row, layer in zip(rows, layers, strict=True):
        _, mg, na, k, so4, cl, hco3 = run.concentrations[row, :, layer]
        _, e_mg, e_na, e_k = run.exchanger[row, :, layer]
        water, capacity = run.water_content[row, layer], soil.cation_exchange_capacity
        equilibrate_reference(
            sodium=float(water * na + capacity * e_na),
            potassium=float(water * k + capacity * e_k),
            magnesium=float(water * mg + 0.5 * capacity * e_mg),
            sulfate=float(water * so4 + run.gypsum[row, layer]),
            chloride=float(water * cl),
            bicarbonate=float(water * hco3),
            capacity=capacity,
            water=float(water),
            sodium_selectivity=soil.selectivity.sodium,
            potassium_selectivity=soil.selectivity.potassium,
            magnesium_selectivity=soil.selectivity.magnesium,
        )
    return 1000 * (time.perf_counter() - begun) / count


def main() -> None:
    """Print the table."""
    cases = {
        f"moist start, gypsum {GYPSUM}": (GYPSUM, True),
        f"dry start, gypsum {GYPSUM}": (GYPSUM, False),
        "moist start, gypsum lasting throughout": ("150 mmol/kg", True),
        "moist start, no gypsum": ("0 mmol/kg", True),
    }
    out = sys.stdout.write
    out(f"pair of Block C, 12 layers, 4 pore volumes, median of {RUNS} runs\n")
    for name, (gypsum, moist) in cases.items():
        treated = block_c(gypsum=gypsum, moist=moist)
        pair = (treated, treated.without_gypsum())
        least, median, most = median_ms(lambda pair=pair: sweep(pair))
        runs = sweep(pair)
        reference_ms(runs[0], 1)  # the first call loads scipy.optimize
        equilibria = sum(run.steps * run.layers for run in runs)
        brackets = sum(run.steps * run.layers * reference_ms(run) for run in runs)
        left = runs[0].gypsum[-1].mean()
        out(
            f"{name:40s} {median:7.2f} ms (least {least:.2f}, most {most:.2f}); {runs[0].steps} steps, "
            f"gypsum left {left:.3g} mmol/kg; {equilibria / median:.0f} equilibria/ms; nested brackets "
            f"{brackets:.0f} ms, {brackets / median:.0f} times as long\n"
        )


if __name__ == "__main__":
    main()
