"""How long ten years of seasons take: two applications and forty wettings a year, twelve layers.

Run with ``python -m tests.benchmarks.seasons``. Times are of this machine; nothing is asserted.
"""

import sys
from datetime import date

from soilx.column.files import demo_path, read_soils, read_waters
from soilx.column.scenario import Scenario
from soilx.practice.seasons.climate_file import read_climates
from soilx.practice.seasons.covers import COVERS
from soilx.practice.seasons.field_water import FieldWater
from soilx.practice.seasons.irrigation import Irrigation
from soilx.practice.seasons.programme import Programme
from soilx.practice.seasons.season import run_seasons
from soilx.practice.seasons.season_arms import SeasonArm
from soilx.practice.seasons.visit_plans import split
from tests.benchmarks.pair import median_ms

RUNS = 5
YEARS = 10
WETTINGS = 40
WANTED_S = 2.0


def field() -> FieldWater:
    """Block C under a lawn: twenty rains and twenty irrigations a year."""
    climate = read_climates(demo_path("climate.csv"))["Dry summers"]
    waters = read_waters(demo_path("waters.csv"))
    soil = read_soils(demo_path("soils.csv"))["Block C"]
    irrigation = Irrigation.every(
        9, depth="32 mm", water=waters["Well 3"], ground=soil.ground, first="04-15", last="10-03"
    )
    water = FieldWater(
        climate=climate, rain=waters["Rain"], cover=COVERS["tolerant lawn"], irrigation=irrigation
    )
    count = sum(climate.rains) + len(irrigation.days)
    if count != WETTINGS:
        raise SystemExit(f"{count} wettings a year instead of {WETTINGS}")
    return water


def main() -> None:
    """Print the table."""
    soil = read_soils(demo_path("soils.csv"))["Block C"]
    water = field()
    plan = split(soil, gypsum="14 t/ha", first="2026-03-15", instalment="5 %")
    arms = [
        SeasonArm(
            name="treated",
            scenario=Scenario.of(soil, placement="surface", dissolution="first_order"),
            plan=plan,
        ),
        SeasonArm(name="doing nothing", scenario=Scenario.of(soil)),
    ]
    out = sys.stdout.write
    first = date(2026, 3, 1)
    run = run_seasons(arms, water=water, first=first, years=YEARS)
    out(
        f"{YEARS} years, {WETTINGS} wettings and {len(plan.visits) / YEARS:g} applications a year, 12 "
        f"layers; largest closing error {abs(run.closing_error).max():.1e}; wanted at most {WANTED_S:g} s\n"
    )
    for name, work in (
        ("treated and doing nothing", lambda: run_seasons(arms, water=water, first=first, years=YEARS)),
        (
            "programme without a band",
            lambda: Programme.of(soil, plan=plan, water=water, years=YEARS, draws=0),
        ),
        ("programme with its band", lambda: Programme.of(soil, plan=plan, water=water, years=YEARS)),
    ):
        least, median, most = median_ms(work, RUNS)
        out(f"{name:28s} {median / 1000:6.2f} s (least {least / 1000:.2f}, most {most / 1000:.2f})\n")


if __name__ == "__main__":
    main()
