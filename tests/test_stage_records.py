"""The later stages' records hold the runs' own numbers; presets, portions and views keep their promises."""

import pytest

import soilx
from soilx.errors import LimitError
from soilx.show import lecture, pair, stage_records, stage_views
from soilx.show.marks import TREATED, UNTREATED
from soilx.show.tables import arms_of


def scenario(**changes):
    given = {"gypsum": "7.05 t/ha", "wettings": lecture.wettings(4.0, of=soilx.DEIONISED, portion=0.5)}
    soil = lecture.presets()["Block C"].soil
    return soilx.Scenario.of(soil=soil, **{**given, **changes})


@pytest.fixture(scope="module")
def arms():
    treated, untreated = soilx.sweep([scenario(), scenario().without_gypsum()])
    return arms_of(treated=treated, untreated=untreated)


def test_places_of_sodium_add_up_to_all_there_was__conservation(arms):
    for arm, run in arms.items():
        ends = [
            record["to_mg_per_kg"] for record in stage_records.place_records(arms) if record["arm"] == arm
        ]
        # Records keep two decimals of a milligram.
        assert ends[-1] == pytest.approx(run.sodium_initial_mg_per_kg + run.sodium_added_mg_per_kg, abs=0.011)


@pytest.mark.parametrize("of", stage_records.PROPERTIES)
def test_a_thinned_curve_holds_the_runs_own_values_and_its_last__analytic(arms, of):
    records = stage_records.curve_records(arms, of)
    for arm, run in arms.items():
        rows = [record for record in records if record["arm"] == arm]
        values = stage_records.PROPERTIES[of].values(run.step_leachate)
        own = dict(zip(run.step_leachate.applied_pore_volumes.round(3).tolist(), values, strict=True))
        assert len(rows) <= stage_records.POINTS + 1
        assert rows[-1]["x"] == pytest.approx(4)
        assert all(row["y"] == pytest.approx(own[row["x"]], abs=5.1e-4) for row in rows)
        assert [row["label"] for row in rows if row["label"]] == [arm]


def test_clarity_is_the_runs_portion_by_portion__analytic(arms):
    records = stage_records.clarity_records(arms)
    for arm, run in arms.items():
        assert [row["clarity"] for row in records if row["arm"] == arm] == run.leachate.clarity.tolist()


def test_portions_one_by_one_come_to_what_one_go_does__conservation():
    columns = lecture.Columns()
    dry = scenario(wettings=[])
    columns.runs(dry, asked=(0, 0), portion=0.5, water=soilx.DEIONISED)
    for number in range(1, 9):
        now = scenario(wettings=lecture.wettings(0.5 * (number - 1), of=soilx.DEIONISED, portion=0.5))
        runs = columns.runs(now, asked=(number, 0), portion=0.5, water=soilx.DEIONISED)
    for run, whole in zip(runs, soilx.sweep([scenario(), scenario().without_gypsum()]), strict=True):
        assert run.final_esp_pct == pytest.approx(whole.final_esp_pct, rel=1e-9)
        assert run.leachate.clarity.tolist() == whole.leachate.clarity.tolist()
        assert max(abs(account.closing_error) for account in run.balance.values()) < 1e-9
    again = columns.runs(now, asked=(8, 1), portion=0.5, water=soilx.DEIONISED)
    assert again[0].applied_pore_volumes[-1] == 0


def test_portions_end_where_the_slider_ends__analytic():
    columns = lecture.Columns()
    most = scenario(wettings=lecture.wettings(pair.MOST_WATER, of=soilx.DEIONISED, portion=1.0))
    columns.runs(most, asked=(0, 0), portion=1.0, water=soilx.DEIONISED)
    before = columns.pair
    with pytest.raises(LimitError, match="ends at 10 pore volumes"):
        columns.runs(most, asked=(1, 0), portion=1.0, water=soilx.DEIONISED)
    assert columns.pair is before


@pytest.mark.parametrize("name", lecture.presets())
def test_a_preset_not_moved_is_the_soil_as_it_came__analytic(name):
    preset = lecture.presets()[name]
    soil = lecture.changed_soil(
        preset,
        capacity_cmol_c_per_kg=preset.capacity_cmol_c_per_kg,
        esp_pct=preset.soil.exchangeable_sodium_percentage,
        ec_ds_per_m=preset.soil.electrical_conductivity,
        sodium_selectivity=preset.soil.selectivity.sodium,
    )
    assert soil == preset.soil


@pytest.mark.parametrize("name", lecture.presets())
def test_a_moved_soil_is_what_its_sliders_say__analytic(name):
    preset = lecture.presets()[name]
    soil = lecture.changed_soil(
        preset, capacity_cmol_c_per_kg=10.0, esp_pct=12.0, ec_ds_per_m=3.0, sodium_selectivity=0.012
    )
    assert soil.exchangeable_sodium_percentage == pytest.approx(12.0, abs=1e-6)
    assert soil.cation_exchange_capacity == pytest.approx(100.0)
    assert soil.selectivity.sodium == 0.012


def test_units_of_a_rate_are_those_of_the_trade__exact():
    factors = {reading.unit: reading.factor for reading in lecture.rate_readings()}
    # 1 t/ha = 0.44609 short ton/acre = 20.482 lb/1000 ft²
    assert factors["short ton/acre"] == pytest.approx(0.446090, abs=5e-7)
    assert factors["lb/1000 ft²"] == pytest.approx(20.4816, abs=5e-5)


class Seen:
    """A view that remembers what it was shown."""

    def __init__(self):
        self.shown = []

    def show(self, *, treated, untreated, before=None):
        assert treated.scenario.soil == untreated.scenario.soil
        self.shown.append(before)


def test_a_view_is_shown_from_its_stage_on_and_knows_what_was_before__analytic(arms, monkeypatch):
    stages = lecture.Stages(["a", "b"])
    first, second = Seen(), Seen()
    views = lecture.Views(stages, {1: [first], 2: [second]})
    clock = iter((0.0, 0.1, 5.0))
    monkeypatch.setattr(pair.time, "monotonic", lambda: next(clock))
    both = {"treated": arms[TREATED], "untreated": arms[UNTREATED]}
    views.show(**both)
    views.show(**both)
    assert first.shown == [None, None]
    assert second.shown == []
    stages.widget.stage = 2
    assert second.shown == [None]
    views.show(**both)
    assert first.shown[-1] is second.shown[-1] is arms[TREATED]


def test_a_live_chart_keeps_room_before_it_is_drawn__common_practice():
    made = [stage_views.leachate_curve("Na"), stage_views.sodium_places(), stage_views.clarity_by_portion()]
    assert all(chart.kept > 100 for chart in made)
    assert all(chart.wire == "" for chart in made)
