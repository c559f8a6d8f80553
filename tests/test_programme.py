"""Programmes: paths with their bands, against doing nothing, floors, monitoring and when to stop."""

import json
from dataclasses import replace
from datetime import date
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from soilx.column.files import demo_path, read_soils, read_waters
from soilx.errors import LimitError, ModelRangeError, SoilxError, UnitKindError
from soilx.practice.dose.uncertain_inputs import input_ranges
from soilx.practice.judgement.irrigation_water import floor_esp_pct
from soilx.practice.seasons.climate_file import read_climates
from soilx.practice.seasons.covers import COVERS
from soilx.practice.seasons.field_water import FieldWater
from soilx.practice.seasons.irrigation import Irrigation
from soilx.practice.seasons.monitoring_days import days_of_tests
from soilx.practice.seasons.programme import Programme
from soilx.practice.seasons.programme_columns import IN_WATER, NOTHING, TREATED, WATER_ONLY
from soilx.practice.seasons.programme_followup import kept_until, monitoring, when_to_stop
from soilx.practice.seasons.programme_table import (
    by_application,
    by_year,
    cautions_of,
    notes_of,
    outcome,
    summary,
)
from soilx.practice.seasons.season_draws import FIELD_RANGES, FieldRange, drawn_arms
from soilx.practice.seasons.visit_plans import incorporated, split
from soilx.practice.soil_test.soil_test_scatter import scatter_of_difference
from soilx.units import Kind, express
from soilx.wording import CAUTION_DUST, CAUTION_LEACHATE, CAUTION_LIVESTOCK, CAUTION_RATE

SOILS = read_soils(demo_path("soils.csv"))
SOIL, SAND = SOILS["Block C"], SOILS["Lawn 2"]
WATERS = read_waters(demo_path("waters.csv"))
DRY = read_climates(demo_path("climate.csv"))["Dry summers"]
BARE = COVERS["bare soil"]
LAWN = COVERS["tolerant lawn"]
WELL = WATERS["Well 3"]


def field(soil=SOIL, *, irrigated: bool = True, cover=LAWN) -> FieldWater:
    irrigation = Irrigation.to_meet(DRY, cover=cover, water=WELL, ground=soil.ground) if irrigated else None
    return FieldWater(climate=DRY, rain=WATERS["Rain"], cover=cover, irrigation=irrigation)


def programme(soil=SOIL, *, rate: str = "7 t/ha", worked_in: bool = False, **more) -> Programme:
    given = {"years": 3, "water": field(soil), "draws": 5, "layers": 4, "target_esp_pct": 8.0, **more}
    if worked_in:
        plan = incorporated(soil, gypsum=rate, day="2026-03-15")
    else:
        plan = split(soil, gypsum=rate, first="2026-03-15")
    return Programme.of(soil, plan=given.pop("plan", plan), **given)


@cache
def block_c() -> Programme:
    return programme()


@cache
def lawn() -> Programme:
    return programme(SAND, rate="0.26 t/ha", target_esp_pct=3.0)


@cache
def long() -> Programme:
    return programme(rate="13 t/ha", years=8, draws=0, worked_in=True)


def test_the_band_holds_the_path_of_both_columns_and_the_gain__analytic():
    for path in (block_c().path(TREATED), block_c().path(NOTHING), block_c().gain_pct):
        assert np.all(path.low_pct <= path.esp_pct)
        assert np.all(path.esp_pct <= path.high_pct)
        # it is a band: soil tests alone make it wide, but for the gain, which begins at nothing
        assert path.high_pct[-1] > path.low_pct[-1] + 0.1
    assert block_c().gain_pct.high_pct[0] == pytest.approx(0.0, abs=1e-9)
    for name in (WATER_ONLY, IN_WATER):
        assert block_c().path(name).low_pct is None


def test_all_of_the_plan_comes_onto_the_ground_in_every_draw__conservation():
    made = block_c()
    run, areal = made.run, SOIL.depth * SOIL.bulk_density
    assert np.abs(run.closing_error).max() < 1e-9
    for number, arm in enumerate(run.arms):
        spread = run.spread[4, number] * arm.areal_soil  # per area, whatever the density that was drawn
        wanted = made.plan.total * areal if arm.name.startswith(TREATED) else 0.0
        assert spread == pytest.approx(wanted, rel=1e-12)
    assert len(run.arms) == 4 + 2 * 5
    assert made.columns == (TREATED, NOTHING, WATER_ONLY, IN_WATER)


def test_gypsum_beats_the_same_water_and_water_beats_nothing__analytic():
    row = -1
    treated, nothing, watered, in_water = (block_c().path(name).esp_pct[row] for name in block_c().columns)
    assert treated < watered - 2
    assert watered < nothing
    assert in_water < nothing - 2


def test_a_target_below_the_waters_floor_is_reached_and_lost__analytic():
    made = long()
    floor = made.floor_esp_pct
    assert floor == pytest.approx(10.8, abs=0.05)
    assert floor == floor_esp_pct(WELL)
    reached, lost = kept_until(made)
    assert made.run.days[0] < reached < lost
    path = made.path(TREATED)
    assert path.esp_pct[made.run.row(reached)] <= 8.0 < path.esp_pct[made.run.row(lost)]
    assert outcome(made) == (
        f"the target of 8 is reached by {reached} and lost again by {lost}; below the water's floor of 10.8 "
        "it is not kept"
    )
    # both come to the floor from their own side; summers concentrate the water a little
    last = [made.path(name).esp_pct[-1] for name in (TREATED, NOTHING)]
    assert last == pytest.approx([floor] * 2, abs=1.2)
    assert made.concentrated_floor_esp_pct > floor > made.floor_with_gypsum_esp_pct
    # the alternative goes on every year and so keeps what it gained
    assert made.path(IN_WATER).esp_pct[-1] < floor - 1


def test_outcomes_in_a_sentence__analytic():
    kept = programme(years=1, draws=0, target_esp_pct=12.0, worked_in=True)
    assert "is reached by" in outcome(kept)
    assert "and kept to the end, 2027-03-01" in outcome(kept)
    never = programme(years=2, draws=0, target_esp_pct=2.0)
    assert outcome(never).startswith("the target of 2 is not reached in 2 years: ESP is lowest at ")
    assert kept_until(never) == (None, None)
    aimless = replace(kept, target_esp_pct=None)
    assert outcome(aimless).startswith("ESP goes from 18.3 to ")
    assert kept_until(aimless) == (None, None)


def test_records_by_application_follow_one_another__analytic():
    records = by_application(block_c())
    assert len(records) == len(block_c().plan.visits) == 4
    for before, after in pairwise(records):
        assert before["esp_after_pct"] == after["esp_before_pct"]
        assert before["read_on"] == after["date"]
    for record in records:
        assert record["low_pct"] <= record["esp_after_pct"] <= record["high_pct"]
        assert record["esp_after_pct"] < record["untreated_esp_pct"]
    assert records[-1]["read_on"] == "2028-01-01"
    assert sum(record["pure_t_per_ha"] for record in records) == pytest.approx(7.0, rel=1e-9)


def test_records_by_year_count_gypsum_and_water__conservation():
    records = by_year(block_c())
    assert [record["year"] for record in records] == [0, 1, 2, 3]
    assert [record["pure_t_per_ha"] for record in records] == pytest.approx([0.0, 3.5, 7.0, 7.0], rel=1e-9)
    assert [record["rain_mm"] for record in records] == pytest.approx([0, 410, 820, 1230], rel=1e-9)
    for record in records:
        assert record["gain_pct"] == pytest.approx(
            record["esp_pct"][NOTHING] - record["esp_pct"][TREATED], abs=1e-12
        )
        assert record["untreated_low_pct"] <= record["esp_pct"][NOTHING] <= record["untreated_high_pct"]


def test_the_soil_is_tested_before_after_a_third_and_every_year__common_practice():
    tests = monitoring(block_c())
    assert [test.day.isoformat() for test in tests] == [
        "2026-03-15", "2026-10-13", "2027-03-15", "2028-03-15",
    ]  # fmt: skip
    assert "after visit 2, with 50 % of the plan" in tests[1].why
    assert tests[0].shows is None
    for test in tests:
        assert "common practice, no published source" in test.label
        assert test.low_pct <= test.expected_esp_pct <= test.high_pct
        assert test.day in block_c().run.days
    for test in tests[1:]:
        change = tests[0].expected_esp_pct - test.expected_esp_pct
        noise = scatter_of_difference(tests[0].expected_esp_pct, test.expected_esp_pct)
        assert test.shows is (abs(change) > noise)
    assert tests[-1].shows is True


def test_a_single_visit_is_tested_four_weeks_later__common_practice():
    days = [test.day for test in monitoring(long())]
    assert days[:3] == [date(2026, 3, 15), date(2026, 4, 12), date(2027, 3, 15)]
    # nothing is planned beyond the seasons
    assert list(days_of_tests(long().plan, last=date(2026, 4, 1))) == days[:1]
    # visits on the heels of one another: the test comes before the next
    plan = split(SOIL, gypsum="7 t/ha", first="2026-03-15", cover="fine turf", days_between=10)
    made = programme(plan=plan, draws=0, years=2)
    assert plan.retest_after == 3
    assert monitoring(made)[1].day == plan.visits[3].day
    # a test that falls on the day of another is one test
    yearly = split(SOIL, gypsum="4 t/ha", first="2026-03-15", instalments_a_year=1, instalment="25 %")
    assert monitoring(programme(plan=yearly, draws=0, years=4))[1].day == date(2027, 3, 15)
    steady = split(
        SOIL, gypsum="3 t/ha", first="2026-03-15", instalments_a_year=12, instalment="3 %", days_between=28
    )
    both = monitoring(programme(plan=steady, draws=0, years=3))
    assert [test.why for test in both if test.day == date(2027, 3, 15)] == [
        "1 year later, in the same season; after visit 12, with 36 % of the plan on the ground"
    ]


def test_reasons_to_stop_come_with_their_day_and_number__analytic():
    stops = {stop.rule: stop for stop in when_to_stop(block_c())}
    assert list(stops) == sorted(stops, key=lambda rule: stops[rule].day)
    path = block_c().path(TREATED)
    for rule, values in (("target reached", path.esp_pct), ("target reached for certain", path.high_pct)):
        row = block_c().run.row(stops[rule].day)
        assert values[row] <= 8.0 < values[row - 1]
        assert stops[rule].number == pytest.approx(values[row])
    assert stops["target reached"].day <= stops["target reached for certain"].day
    near = stops["near the water's floor"]
    assert near.number == pytest.approx(10.79, abs=0.005)
    assert path.esp_pct[block_c().run.row(near.day)] <= near.number + 1.0
    assert stops["plan spent"].day == block_c().plan.visits[-1].day
    # a gain of some five points after the first third is just what two soil tests can differ by
    test = monitoring(block_c())[1]
    gain = test.untreated_esp_pct - test.expected_esp_pct
    assert stops["cannot tell"].number == pytest.approx(gain)
    assert gain < scatter_of_difference(test.untreated_esp_pct, test.expected_esp_pct)
    assert "cannot tell" not in {stop.rule for stop in when_to_stop(long())}


def test_a_gain_within_the_scatter_of_soil_tests_is_no_reason_to_go_on__trade_texts():
    # a habit dose on sand whose water brings the sodium back
    stops = {stop.rule: stop for stop in when_to_stop(lawn())}
    cannot = stops["cannot tell"]
    assert cannot.number < 2.0
    assert "differ by chance" in cannot.sentence
    assert "target reached" not in stops
    assert stops["near the water's floor"].day < cannot.day
    assert "is not reached" in outcome(lawn())


def test_without_irrigation_there_is_no_floor_and_no_gypsum_in_water__analytic():
    made = programme(water=field(irrigated=False), draws=0, target_esp_pct=None, years=2)
    assert made.floor_esp_pct is None
    assert made.concentrated_floor_esp_pct is None
    assert made.floor_with_gypsum_esp_pct is None
    assert made.gypsum_in_water_kg_per_ha == 0.0
    assert made.columns == (TREATED, NOTHING, WATER_ONLY)
    assert made.gain_pct.low_pct is None
    found = summary(made)
    assert found["gypsum_in_water"] is None
    assert any("no irrigation: gypsum cannot" in note for note in found["notes"])
    assert any("no band was drawn" in note for note in found["notes"])
    assert any("plants went short" in note for note in found["notes"])
    assert [stop["rule"] for stop in found["stop"]][-1] == "plan spent"
    with pytest.raises(LimitError, match=r"gypsum_in_water = 2 mmol_c/L: has no water to be in"):
        programme(water=field(irrigated=False), gypsum_in_water="2 mmol_c/L")


def test_gypsum_in_the_water_is_the_plans_unless_it_is_given__conservation():
    made = block_c()
    yearly = express(made.plan.total, Kind.GYPSUM_RATE, "kg/ha", ground=SOIL.ground) / 3
    assert made.gypsum_in_water_kg_per_ha == pytest.approx(yearly, rel=1e-4)
    given = programme(gypsum_in_water="2 mmol_c/L", draws=0, years=2)
    assert given.carried == pytest.approx(1.0)
    assert given.remarks == ()
    assert IN_WATER not in programme(gypsum_in_water="0 mmol_c/L", draws=0, years=2).columns
    # more than the water can carry is left out with its number, not made smaller
    much = programme(rate="60 t/ha", draws=0, years=1, worked_in=True)
    assert IN_WATER not in much.columns
    assert "gypsum in the water is left out" in much.remarks[0]
    with pytest.raises(LimitError, match="what Well 3 dissolves"):
        programme(gypsum_in_water="60 mmol_c/L", draws=0, years=2)
    with pytest.raises(UnitKindError):
        programme(gypsum_in_water="2", draws=0, years=1)


def test_a_summary_is_plain_json_with_labels_and_cautions__common_practice():
    found = json.loads(json.dumps(summary(block_c())))
    assert found["largest_closing_error"] < 1e-9
    assert found["pure_t_per_ha"] == pytest.approx(7.0, rel=1e-9)
    assert found["floor_esp_pct"] < found["concentrated_floor_esp_pct"]
    for row in found["practice"]:
        assert row["label"] == "common practice, no published source †"
    for caution in (CAUTION_RATE, CAUTION_DUST, CAUTION_LEACHATE):
        assert caution in found["cautions"]
    assert CAUTION_LIVESTOCK not in found["cautions"]
    assert any("in 4 of 6 cases" in note for note in found["notes"])
    assert any("every year alike" in note for note in found["notes"])


def test_stock_is_kept_off_a_pasture__common_practice():
    pasture = COVERS["pasture"]
    made = programme(water=field(cover=pasture), draws=0, years=2)
    assert CAUTION_LIVESTOCK in cautions_of(made)
    assert any("pasture: crop factor 0.8" in note for note in notes_of(made))


def test_draws_are_one_field_for_both_columns_and_the_same_each_time__analytic():
    treated, nothing = block_c().run.arms[:2]
    drawn = drawn_arms((treated, nothing), draws=3, seed=7)
    assert [arm.name for arm in drawn[:3]] == [f"treated, draw {number}" for number in (1, 2, 3)]
    for mine, other in zip(drawn[:3], drawn[3:], strict=True):
        assert mine.scenario.soil == other.scenario.soil
        assert (mine.rain, mine.irrigation, mine.evapotranspiration) == (
            other.rain, other.irrigation, other.evapotranspiration,
        )  # fmt: skip
        assert mine.plan is treated.plan
        assert other.plan is None
    again = drawn_arms((treated, nothing), draws=3, seed=7)
    assert [arm.rain for arm in again] == [arm.rain for arm in drawn]
    assert {arm.rain for arm in drawn_arms((treated,), draws=3, seed=8)} != {arm.rain for arm in drawn[:3]}
    many = drawn_arms((treated,), draws=200)
    for key in ("rain", "irrigation", "evapotranspiration"):
        values = np.array([getattr(arm, key) for arm in many])
        assert FIELD_RANGES[key].low <= values.min()
        assert values.max() <= FIELD_RANGES[key].high
        assert values.mean() == pytest.approx(1.0, abs=0.03)  # a triangle about 1, of 200 draws
    bypass = np.array([arm.scenario.bypass_fraction for arm in many])
    assert bypass.min() >= 0.0
    assert bypass.mean() == pytest.approx(0.1, abs=0.02)  # a triangle from 0 down to 0.3


def test_what_is_known_for_certain_is_not_drawn__analytic():
    treated = block_c().run.arms[0]
    fixed = [FieldRange(key=key, low=1.0, high=1.0) for key in ("rain", "irrigation", "evapotranspiration")]
    fixed.append(FieldRange(key="bypass_fraction", low=0.0, high=0.0))
    (arm,) = drawn_arms((treated,), draws=1, field=fixed)
    assert (arm.rain, arm.irrigation, arm.evapotranspiration, arm.scenario.bypass_fraction) == (1, 1, 1, 0)
    plain = treated.scenario.with_(wettings=["1 pore_volume"])
    known = [replace(each, low=each.value, high=each.value) for each in input_ranges(plain)]
    made = programme(years=2, known=known, ranges=fixed)
    for path in (made.path(TREATED), made.gain_pct):
        # nothing is unknown: the band is the path, but for the rounding of inputs turned over twice
        assert path.high_pct == pytest.approx(path.low_pct, abs=1e-6)
        assert path.high_pct == pytest.approx(path.esp_pct, abs=1e-6)


@pytest.mark.parametrize(
    ("make", "match"),
    [
        (lambda: FieldRange(key="wind", low=0.5, high=1.5), "range of wind: is not drawn for a field"),
        (lambda: FieldRange(key="rain", low=1.1, high=1.5), "is not a range about the field's own"),
        (lambda: FieldRange(key="rain", low=0.0, high=1.5), "is not a range about the field's own"),
        (lambda: FieldRange(key="bypass_fraction", low=0.0, high=1.0), "is not a range"),
        (lambda: programme(target_esp_pct=0.0), "target ESP = 0 %"),
        (lambda: programme(draws=-1), "draws = -1"),
        (lambda: programme(years=0), "years = 0"),
        (lambda: programme(years=2.5), "years = 2.5: is not a whole number"),
        (lambda: programme(years=1), "visit on 2027-03-15: lies outside the seasons"),
        (lambda: programme(layers="five", years=3), "layers"),
        (
            lambda: programme(colour="5 %", years=3),
            "colour: is not something said of the columns of a programme",
        ),
        (lambda: programme(placement="mixed"), "placement: is not something said of the columns"),
        (lambda: block_c().path("other"), "column other: is not in these seasons"),
    ],
)
def test_a_programme_that_cannot_be_is_refused__analytic(make, match):
    with pytest.raises(SoilxError, match=match):
        make()


@pytest.mark.parametrize("name", ["Block F", "Bed 7"])
def test_the_other_demo_soils_run_with_their_bands__conservation(name):
    soil = SOILS[name]
    made = programme(soil, rate="4 t/ha", worked_in=True, years=2, draws=19)
    assert np.abs(made.run.closing_error).max() < 1e-9
    assert np.all(made.path(TREATED).low_pct <= made.path(TREATED).high_pct)
    assert made.run.conductivity[-1, 0] < made.run.conductivity[0, 0]


def test_a_draw_too_salty_for_the_model_is_told_from_the_soil_itself__davies1962():
    parched = replace(SOILS["Block F"], driest_water=0.05)
    given = {"water": field(irrigated=False, cover=BARE), "worked_in": True, "years": 1}
    assert programme(parched, **given, draws=0).columns
    with pytest.raises(
        ModelRangeError, match=r"column “(treated|doing nothing), draw \d+” on .* \(draws=0\)"
    ):
        programme(parched, **given, draws=19)
    with pytest.raises(ModelRangeError) as caught:
        programme(replace(parched, driest_water=0.03), **given, draws=0)
    assert "draws=0" not in str(caught.value)


def test_progress_is_told_to_whom_waits__analytic():
    seen: list[float] = []
    programme(years=2, draws=0, progress=seen.append)
    assert seen[0] < 0.1
    assert seen[-1] == 1.0
    assert seen == sorted(seen)
