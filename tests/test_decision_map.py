"""The decision map: every point of it is a column's, and the chosen one is shown as it runs."""

import numpy as np
import pytest

import soilx
from soilx import LimitError, Scenario, SoilxError
from soilx.practice.dose.decision_map import decision_map
from soilx.practice.dose.dose_search import dosed, watered
from soilx.practice.dose.requirement_column import least_gypsum

SOILS = soilx.read_soils(soilx.demo_path("soils.csv"))
SCENARIO = Scenario.of(SOILS["Block C"], gypsum="7.05 t/ha", wettings=["4 pore_volume"])


@pytest.fixture(scope="module")
def drawn():
    return decision_map(SCENARIO)


def test_every_point_is_where_a_column_of_its_own_ends__conservation(drawn):
    # Read along one run a rate against runs of their own, at corners and within.
    for row in (0, 7, 19):
        for column in (0, 9, 19):
            own = watered(dosed(SCENARIO, float(drawn.gypsum[row])), float(drawn.water[column]))
            assert drawn.final_esp_pct[row, column] == pytest.approx(soilx.leach(own).final_esp_pct, abs=1e-9)


def test_the_map_falls_with_gypsum_and_is_flat_where_water_is_enough__analytic(drawn):
    assert drawn.final_esp_pct.shape == (20, 20)
    assert np.all(np.diff(drawn.final_esp_pct, axis=0) <= 1e-9)
    # Deionised water never brings sodium back.
    assert np.all(np.diff(drawn.final_esp_pct, axis=1) <= 1e-9)
    with pytest.raises(ValueError, match="read-only"):
        drawn.final_esp_pct[0, 0] = 1.0


def test_the_chosen_point_is_the_scenario_s_own_run__analytic(drawn):
    chosen = drawn.chosen
    assert chosen["gypsum_t_per_ha"] == pytest.approx(7.05)
    assert chosen["water_pore_volumes"] == pytest.approx(4)
    assert chosen["water_mm"] == pytest.approx(4 * 0.26 * 1.4 * 150)
    assert chosen["final_esp_pct"] == pytest.approx(soilx.leach(SCENARIO).final_esp_pct, abs=1e-9)
    assert decision_map(SCENARIO, gypsum_to="3 t/ha", size=3).chosen is None
    assert decision_map(SCENARIO, water_to="3 pore_volume", size=3).chosen is None


def test_records_are_tidy_and_complete__analytic(drawn):
    records = drawn.records()
    assert len(records) == 400
    assert {record["soil"] for record in records} == {"Block C"}
    assert records[-1]["gypsum_t_per_ha"] == pytest.approx(drawn.gypsum_t_per_ha[-1])
    assert records[-1]["water_pore_volumes"] == pytest.approx(drawn.water_pore_volumes[-1]) == 5.0
    assert records[-1]["water_mm"] == pytest.approx(drawn.water_mm[-1])


def test_the_line_of_a_target_is_the_least_gypsum__analytic(drawn):
    line = drawn.reaching(5)
    by_water = {round(point["water_pore_volumes"], 2): point["gypsum_t_per_ha"] for point in line}
    # With two pore volumes no dose does it, and the line is not drawn there.
    assert min(by_water) > 2.5
    exact = least_gypsum(SCENARIO, target_esp_pct=5).in_units["pure"]["t_per_ha"]
    # Straight between rates that lie 1.7 t/ha apart, where the curve bends a little.
    assert by_water[4.0] == pytest.approx(exact, rel=0.01)
    everywhere = drawn.reaching(30)
    assert len(everywhere) == 20
    assert {point["gypsum_t_per_ha"] for point in everywhere} == {0.0}


def test_between_its_columns_the_map_is_read_along_lines__analytic(drawn):
    assert drawn.at(gypsum=float(drawn.gypsum[4]), water=float(drawn.water[6])) == pytest.approx(
        drawn.final_esp_pct[4, 6]
    )
    with pytest.raises(LimitError, match="this map"):
        drawn.at(gypsum=1e3, water=1.0)
    with pytest.raises(LimitError, match="this map"):
        drawn.at(gypsum=1.0, water=0.0)


def test_a_season_with_drying_is_read_after_its_drying__conservation():
    season = soilx.read_scenario(soilx.demo_path("block_c_season.toml"))
    first = season.wettings[0]
    assert first.evapotranspiration > 0
    grid = decision_map(season.with_(layers=4), size=4)
    own = season.with_(layers=4, wettings=season.wettings)
    assert grid.chosen["final_esp_pct"] == pytest.approx(soilx.leach(own).final_esp_pct, abs=1e-9)


def test_progress_is_told_to_its_end__analytic():
    told = []
    decision_map(SCENARIO, size=30, progress=told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0
    assert len(told) > 1


@pytest.mark.parametrize(
    ("change", "given", "match"),
    [
        ({"wettings": []}, {}, "wettings: there are none"),
        ({"gypsum": "1 t/ha", "placement": "water"}, {}, "placement = water"),
        ({}, {"size": 1}, "size"),
        ({}, {"size": 1000}, "size"),
        ({}, {"gypsum_to": "0 t/ha"}, "gypsum_to"),
        ({}, {"water_to": "-1 pore_volume"}, "water_to"),
        ({}, {"water_to": "5 kg"}, "water_to"),
    ],
)
def test_what_cannot_be_drawn_is_refused__analytic(change, given, match):
    with pytest.raises(SoilxError, match=match):
        decision_map(SCENARIO.with_(**change), **given)
