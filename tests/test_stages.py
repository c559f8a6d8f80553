"""The later stages' records and charts: they hold the run's own numbers and name both columns."""

import json

import pytest

import soilx
from soilx.show import stage_charts, stage_records, stages
from soilx.show.marks import TREATED, UNTREATED
from soilx.show.tables import arms_of


@pytest.fixture(scope="module")
def pair():
    soil = soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]
    treated = soilx.Scenario.of(soil=soil, gypsum="7.05 t/ha", wettings=["4 pore_volume"])
    return dict(zip(("treated", "untreated"), soilx.sweep([treated, treated.without_gypsum()]), strict=True))


def test_places_hold_all_the_sodium__conservation(pair):
    for run in pair.values():
        whole = sum(stage_records.place_amounts(run).values())
        brought = run.sodium_initial_mg_per_kg + run.sodium_added_mg_per_kg
        assert whole == pytest.approx(brought, rel=1e-9)


@pytest.mark.parametrize("chart", [stage_charts.places_of_sodium(), stage_charts.clear_or_cloudy()])
def test_each_bar_names_its_column__common_practice(chart):
    told = [layer["encoding"].get("text", {}).get("field") for layer in chart.to_dict()["layer"]]
    assert "arm" in told


@pytest.mark.parametrize("quantity", stage_records.QUANTITIES)
def test_a_quantitys_rows_are_the_runs_own_steps__analytic(pair, quantity):
    rows = stage_records.quantity_records(arms_of(**pair), quantity)
    for arm, run in ((TREATED, pair["treated"]), (UNTREATED, pair["untreated"])):
        values = [row["value"] for row in rows if row["arm"] == arm]
        assert values == pytest.approx(stage_records.leachate_values(run.step_leachate, quantity), abs=5.1e-6)


def test_portions_follow_the_run__analytic(pair):
    table = stage_records.portion_table(arms_of(**pair))
    looks = [row[-1] for row in table.rows if row[0].endswith(TREATED)]
    assert looks == [str(state) for state in pair["treated"].leachate.clarity]


def test_pouring_goes_on_from_where_the_columns_stand__analytic(pair):
    scenario = pair["treated"].scenario
    pouring = stages.Pouring()
    for count in range(3):
        treated, untreated = pouring.pour(scenario, 0.5, count)
    assert treated.applied_pore_volumes[-1] == pytest.approx(1.0)
    whole = soilx.leach(scenario.with_(wettings=["1 pore_volume"]))
    assert treated.final_esp_by_layer_pct == pytest.approx(whole.final_esp_by_layer_pct, abs=1e-9)
    assert untreated.scenario.gypsum == 0
    again, _ = pouring.pour(scenario, 0.5, 0)
    assert again.steps == 0


def test_what_travels_is_plain_json__analytic(pair):
    for chart in (
        stages.places_of_sodium(),
        stages.clear_or_cloudy(most_water=6),
        *(stages.leachate_quantity(quantity, most_water=6) for quantity in stage_records.QUANTITIES),
    ):
        chart.show(**pair)
        assert json.loads(chart.wire)["caption"] == chart.content["caption"]
