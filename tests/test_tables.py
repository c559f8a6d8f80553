"""Records say what the run says, in the units and the order a reader expects."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

import soilx
from soilx.show import stage_records, tables
from soilx.show.marks import START, TREATED, UNTREATED


@pytest.fixture(scope="module")
def arms():
    soil = soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]
    treated = soilx.Scenario.of(soil=soil, gypsum="7.05 t/ha", wettings=["4 pore_volume"])
    return tables.arms_of(treated=soilx.leach(treated), untreated=soilx.leach(treated.without_gypsum()))


def of_arm(records, arm):
    return [record for record in records if record["arm"] == arm]


def test_layers_fill_the_column_without_gap__analytic(arms):
    for arm in arms:
        rows = of_arm(tables.layer_records(arms), arm)
        assert rows[0]["top_cm"] == 0
        assert rows[-1]["bottom_cm"] == 15
        assert [row["top_cm"] for row in rows[1:]] == [row["bottom_cm"] for row in rows[:-1]]
        assert all(row["top_cm"] < row["middle_cm"] < row["bottom_cm"] for row in rows)


def test_layer_records_average_to_the_runs_own_average__conservation(arms):
    for arm, run in arms.items():
        values = [row["esp_pct"] for row in of_arm(tables.layer_records(arms), arm)]
        # Records keep three decimals of a percentage.
        assert sum(values) / len(values) == pytest.approx(run.final_esp_pct, abs=5e-4)


def test_leachate_starts_when_the_column_is_wet_and_ends_with_the_water__analytic(arms):
    soil = arms[TREATED].scenario.soil
    deficit = (soil.drained_water - soil.initial_water) / soil.drained_water
    rows = of_arm(stage_records.curve_records(arms, "Na"), TREATED)
    steps = [0.0, *arms[TREATED].applied_pore_volumes]
    longest = max(after - before for before, after in itertools.pairwise(steps))
    assert deficit < rows[0]["x"] <= deficit + longest + 1e-4
    assert rows[-1]["x"] == pytest.approx(4)


def test_water_that_only_wets_the_soil_gives_no_leachate_record__analytic():
    soil = soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]
    run = soilx.leach(soilx.Scenario.of(soil=soil, gypsum="7.05 t/ha", wettings=["0.3 pore_volume"]))
    arms = tables.arms_of(treated=run, untreated=run)
    assert stage_records.curve_records(arms, "Na") == []
    assert all(set(row[1:]) == {"–"} for row in stage_records.curve_table(arms, "Na").rows)


def test_each_line_carries_its_name_once__analytic(arms):
    for records in (tables.layer_records(arms), stage_records.curve_records(arms, "Na")):
        assert [record["label"] for record in records if record["label"]] == [TREATED, UNTREATED]
    assert [record["label"] for record in tables.start_records(arms)] == [START, ""]


def test_tables_print_what_the_records_hold__analytic(arms):
    table = tables.layer_table(arms)
    assert table.titles == ("Depth, cm", TREATED, UNTREATED)
    assert table.caption == "Exchangeable sodium, %"
    assert len(table.rows) == arms[TREATED].layers
    for at, row in enumerate(table.rows):
        for arm, text in zip((TREATED, UNTREATED), row[1:], strict=True):
            assert float(text) == pytest.approx(arms[arm].final_esp_by_layer_pct[at], abs=5.1e-3)
    ends = {title: texts for title, *texts in tables.column_table(arms).rows}
    assert [float(text) for text in ends["Sodium washed out, mg/kg"]] == [
        round(run.sodium_leached_mg_per_kg) for run in arms.values()
    ]


@given(st.floats(min_value=1e-6, max_value=1e6))
def test_an_axis_holds_its_value_and_wastes_at_most_half__analytic(value):
    top = tables.axis_top(value)
    assert value <= top <= 2 * value


@given(st.floats(min_value=1e-6, max_value=1e6), st.floats(min_value=1.0, max_value=3.0))
def test_a_larger_value_never_gets_a_shorter_axis__analytic(value, factor):
    assert tables.axis_top(value * factor) >= tables.axis_top(value)
