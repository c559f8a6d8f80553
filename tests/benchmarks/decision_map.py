"""How long a decision map of 20 rates by 20 waters takes: once cold, then warm.

Run with ``python -m tests.benchmarks.decision_map``. Times are of this machine; nothing is asserted.
"""

import os
import sys
import time

from soilx.column.files import demo_path, read_scenario, read_soils, read_waters
from soilx.column.scenario import Scenario
from soilx.practice.dose.decision_map import decision_map
from soilx.practice.dose.requirement_column import least_gypsum, least_water
from tests.benchmarks.pair import median_ms

RUNS = 9


def main() -> None:
    """Print the map's time for a bench water, a well water and a season, and that of the two searches."""
    out = sys.stdout.write
    if hasattr(os, "sched_setaffinity"):  # one core, whatever threads numpy has
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    soil = read_soils(demo_path("soils.csv"))["Block C"]
    well = read_waters(demo_path("waters.csv"))["Well 3"]
    bench = Scenario.of(soil, gypsum="7.05 t/ha", wettings=["4 pore_volume"])
    begun = time.perf_counter()
    decision_map(bench)
    out(f"the first map of a process: {1000 * (time.perf_counter() - begun):.0f} ms\n")
    for name, scenario in (
        ("deionised, to 5 pore volumes", bench),
        ("well water, to 5 pore volumes", bench.with_(wettings=[("4 pore_volume", well)])),
        ("season with drying", read_scenario(demo_path("block_c_season.toml"))),
    ):
        least, median, most = median_ms(lambda scenario=scenario: decision_map(scenario), RUNS)
        out(f"{name:30s}: median {median:.0f} ms ({least:.0f} to {most:.0f})\n")
    for name, search in (("least gypsum", least_gypsum), ("least water", least_water)):
        dosed = bench.with_(gypsum="12 t/ha")
        least, median, most = median_ms(
            lambda search=search, dosed=dosed: search(dosed, target_esp_pct=5), RUNS
        )
        out(f"{name:30s}: median {median:.0f} ms ({least:.0f} to {most:.0f})\n")


if __name__ == "__main__":
    main()
