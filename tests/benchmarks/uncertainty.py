"""How long bands of 2000 draws take, and how near each draw's dose ends its own column to the target.

Run with ``python -m tests.benchmarks.uncertainty``. Figures are of this machine; nothing is asserted.
"""

import os
import sys
import time

import numpy as np

from soilx.column.files import demo_path, read_soils, read_waters
from soilx.column.scenario import Scenario
from soilx.practice.dose.drawn_doses import ends
from soilx.practice.dose.uncertain_columns import drawn_columns
from soilx.practice.dose.uncertain_inputs import draw_inputs
from soilx.practice.dose.uncertainty import DRAWS, RequirementBand, outcome_band, requirement_band
from soilx.units import GYPSUM_MOLAR_MASS

RUNS = 3
CHECKED = 400


def gaps(scenario: Scenario, band: RequirementBand) -> np.ndarray:
    """How far the first draws' doses end their own columns from the target [% of CEC]."""
    columns = drawn_columns(scenario, draw_inputs(band.ranges, draws=band.draws, seed=band.seed))
    dose = band.column_t_per_ha / columns.areal_soil / GYPSUM_MOLAR_MASS * 1e5
    reached = np.flatnonzero(np.isfinite(dose) & (dose > 0))[:CHECKED]
    return np.abs(ends(columns, dose[reached], reached) - band.target_esp_pct)


def main() -> None:
    """Print times, columns run, and the gaps to the target."""
    out = sys.stdout.write
    if hasattr(os, "sched_setaffinity"):  # one core, whatever threads numpy has
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    soils, waters = read_soils(demo_path("soils.csv")), read_waters(demo_path("waters.csv"))
    for name, target, amount, water in (
        ("Block C", 5.0, "4 pore_volume", "deionised"),
        ("Block F", 6.0, "4 pore_volume", "Well 3"),
        ("Block C", 5.0, "3 pore_volume", "deionised"),
    ):
        scenario = Scenario.of(soils[name], gypsum="12 t/ha", wettings=[(amount, waters[water])])
        for title, make in (("requirement", requirement_band), ("outcome", outcome_band)):
            times = []
            for _ in range(RUNS):
                begun = time.perf_counter()
                made = make(scenario, target_esp_pct=target)
                times.append(time.perf_counter() - begun)
            out(f"{name}, {amount} of {water}, {title} of {DRAWS} draws: least {min(times):.2f} s\n")
            if isinstance(made, RequirementBand):
                off = gaps(scenario, made)
                out(
                    f"  {made.column.low:.3g} to {made.column.high or float('inf'):.3g} t/ha, "
                    f"{100 * made.unreachable_share:.1f} % not reached; ends off by {np.median(off):.3f} "
                    f"(median), {np.quantile(off, 0.99):.3f} (99 %), {off.max():.3f} (most) % of CEC\n"
                )


if __name__ == "__main__":
    main()
