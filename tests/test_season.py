"""Seasons on the column: balances, floors, rain, drying, and agreement with the column stepped by itself."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from soilx.chemistry.cation_exchange import exchangeable_composition
from soilx.column.files import demo_path, read_soils, read_waters
from soilx.column.leaching import leach
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.column.water import Water
from soilx.errors import LimitError, ModelRangeError
from soilx.practice.judgement.irrigation_water import floor_esp_pct
from soilx.practice.seasons.climate import Climate
from soilx.practice.seasons.climate_file import read_climates
from soilx.practice.seasons.covers import COVERS, Cover
from soilx.practice.seasons.field_water import FieldWater
from soilx.practice.seasons.irrigation import Irrigation
from soilx.practice.seasons.season import run_seasons
from soilx.practice.seasons.season_arms import SeasonArm
from soilx.practice.seasons.season_run import SeasonRun
from soilx.practice.seasons.visit_plans import incorporated, split
from soilx.practice.seasons.visits import VisitPlan

SOILS = read_soils(demo_path("soils.csv"))
SOIL = SOILS["Block C"]
SAND = SOILS["Lawn 2"]
WATERS = read_waters(demo_path("waters.csv"))
WELL, RAIN = WATERS["Well 3"], WATERS["Rain"]
DRY = read_climates(demo_path("climate.csv"))["Dry summers"]
STILL = Climate(name="Still air", rain=(0.0,) * 12, reference_evapotranspiration=(0.0,) * 12, rains=(0,) * 12)
LAWN = COVERS["tolerant lawn"]
FIRST = date(2026, 3, 1)
# roots no deeper than any column: all of the evapotranspiration comes from it
SHALLOW = Cover(name="mat", crop_factor=1.0, crop_factor_low=1.0, crop_factor_high=1.0, rooting_depth=50.0)
FRESH = replace(SOIL, initial_water=SOIL.drained_water)


def column(soil: Soil = SOIL, **more: object) -> Scenario:
    return Scenario.of(soil, layers=4, **more)


def field(climate: Climate = DRY, *, cover: Cover = LAWN, **more: object) -> FieldWater:
    return FieldWater(climate=climate, rain=RAIN, cover=cover, **more)


def weekly(depth: str, water: Water = WELL, soil: Soil = SOIL, days: int = 7) -> Irrigation:
    return Irrigation.every(days, depth=depth, water=water, ground=soil.ground, first="01-01", last="12-31")


def with_potassium(water: Water) -> float:
    """ESP that a water brings a soil to, its potassium counted [%]."""
    own = water.solution
    return 100.0 * float(
        exchangeable_composition(own.ca, own.mg, own.na, own.k, selectivity=SAND.selectivity)[2]
    )


def alone(scenario: Scenario, water: FieldWater, years: int, plan: VisitPlan | None = None) -> SeasonRun:
    arm = SeasonArm(name="alone", scenario=scenario, plan=plan)
    return run_seasons([arm], water=water, first=FIRST, years=years)


@settings(max_examples=12, deadline=None)
@given(
    rain=st.sampled_from([0.0, 25.0, 90.0]),
    dried=st.floats(0.0, 0.6),
    depth=st.floats(10.0, 40.0),
    rate=st.floats(0.1, 8.0),
    placement=st.sampled_from(["mixed", "top 5 cm", "surface"]),
    bypass=st.floats(0.0, 0.4),
)
def test_every_element_and_the_water_are_accounted_for__conservation(
    rain, dried, depth, rate, placement, bypass
):
    irrigation = weekly(f"{depth!r} mm", days=28)
    # a part of what comes is dried again: with more than comes, salt would grow beyond the model
    air = dried * (rain + irrigation.annual_depth / 12)
    climate = replace(
        STILL, rain=(rain,) * 12, rains=(2 if rain else 0,) * 12, reference_evapotranspiration=(air,) * 12
    )
    water = field(climate, cover=SHALLOW, irrigation=irrigation)
    if placement == "surface":
        plan = split(
            SOIL, gypsum=f"{rate!r} t/ha", first=FIRST, cap="60 lb/1000 ft^2", instalment="50 %",
            days_between=14,
        )  # fmt: skip
        more = {"dissolution": "first_order", "placement": "surface"}
    else:
        plan = incorporated(SOIL, gypsum=f"{rate!r} t/ha", day=FIRST, placement=placement)
        more = {"placement": placement}
    run = run_seasons(
        [
            SeasonArm(name="treated", scenario=column(bypass_fraction=bypass, **more), plan=plan),
            SeasonArm(name="nothing", scenario=column()),
            SeasonArm(name="watered", scenario=column(), plan=plan, spreads=False, carried=1.0),
        ],
        water=water,
        first=FIRST,
        years=2,
    )
    assert np.abs(run.closing_error).max() < 1e-9
    assert np.abs(run.water_error).max() < 1e-7  # of some thousand mm
    # all that the plan holds was spread, and nothing where only its water was
    assert run.spread[[0, 4], 0] == pytest.approx([plan.total] * 2, rel=1e-12)
    assert not run.spread[:, 1:].any()
    assert run.ledger["visit"][-1] == pytest.approx(np.array([1, 0, 1]) * plan.water * 210.0, rel=1e-12)
    # what evaporates was asked for, and what was not given is counted
    asked = water.demand(FIRST, run.days[-1], depth=SOIL.depth)
    assert run.ledger["evapotranspiration"][-1] + run.unmet == pytest.approx([asked] * 3, abs=1e-6)


def test_seasons_step_the_column_as_leach_does__analytic():
    # three irrigations of whole steps, drying in between, no rain: the same by either door
    step = 0.5 * SOIL.drained_water / 4
    days = ((3, 11), (3, 21), (3, 31))
    depth = 6 * step * 210.0
    irrigation = Irrigation(water=WELL, days=days, depths=(depth,) * 3)
    air = replace(STILL, reference_evapotranspiration=(31.0,) * 12)  # 1 mm a day in March
    plan = incorporated(SOIL, gypsum="5 t/ha", day=FIRST, water="0 mm", leach="0 mm")
    run = alone(column(), field(air, cover=SHALLOW, irrigation=irrigation), 1, plan)
    wetting = {"amount": f"{6 * step!r} L/kg", "water": WELL, "evapotranspiration": "10 mm"}
    known = leach(Scenario.of(SOIL, layers=4, gypsum="5 t/ha", wettings=[wetting, wetting, wetting]))
    # the field dries by 1 mm on the last day of March alone before the record of 1 April
    drained = run.ledger["drained"][run.row(date(2026, 4, 1)), 0] / 210.0
    assert drained == pytest.approx(known.trace.out_volume.sum(), rel=1e-12)
    # and at the end no water has come since, so that what is held is the same
    assert run.leached[:, 0] == pytest.approx(known.trace.out_volume @ known.trace.outflow, rel=1e-9)
    assert run.left[:, 0] == pytest.approx([account.left for account in known.balance.values()], rel=1e-9)


def test_without_drying_a_soil_comes_to_its_waters_floor__analytic():
    run = alone(column(SAND), field(STILL, irrigation=weekly("25 mm", soil=SAND)), 4)
    assert floor_esp_pct(WELL, selectivity=SAND.selectivity) == pytest.approx(10.8, abs=0.05)
    assert run.esp_by_layer_pct[-1, 0] == pytest.approx([with_potassium(WELL)] * 4, abs=1e-6)
    # the well's potassium takes a tenth of a point, which the floor leaves out
    assert with_potassium(WELL) == pytest.approx(floor_esp_pct(WELL), abs=0.11)
    assert run.concentration_factor("alone") == pytest.approx(1.0, abs=1e-9)


def test_from_above_and_below_the_floor_is_the_same__analytic():
    arms = [
        SeasonArm(name=name, scenario=column(SAND.with_exchangeable_sodium_percentage(esp)))
        for name, esp in (("above", "30 %"), ("below", "1 %"))
    ]
    water = field(STILL, irrigation=weekly("25 mm", soil=SAND))
    run = run_seasons(arms, water=water, first=FIRST, years=4)
    assert run.esp_pct[0] == pytest.approx([30.0, 1.0], abs=1e-6)
    assert run.esp_pct[-1] == pytest.approx([with_potassium(WELL)] * 2, abs=1e-6)


@pytest.mark.parametrize("share", [0.25, 0.5])
def test_drying_brings_a_soil_towards_the_concentrated_floor__analytic(share):
    # each week 30 mm come and a share of it dries: the bottom passes on 1/(1 − share) of the water's salt
    daily = 30.0 * share / 7.0
    air = replace(
        STILL,
        reference_evapotranspiration=tuple(
            daily * n for n in (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
        ),
    )
    soil = replace(SAND, driest_water=0.01, initial_water=SAND.drained_water)
    water = field(air, cover=SHALLOW, irrigation=weekly("30 mm", soil=SAND))
    run = alone(column(soil), water, 6)
    factor = run.concentration_factor("alone")
    # 53 irrigations a year; over a year the water held is the same to a fraction of one
    assert factor == pytest.approx(53 * 30.0 / (53 * 30.0 - 365 * daily), rel=0.01)
    assert not run.unmet.any()
    plain, concentrated = (floor_esp_pct(WELL, concentration_factor=times) for times in (1.0, factor))
    top, *_, bottom = run.esp_by_layer_pct[-1, 0]
    # deeper layers hold more concentrated water; the bottom one what drains, as it is at drained water
    assert plain < top < bottom
    assert bottom == pytest.approx(concentrated, abs=0.06 * concentrated)


def test_rain_alone_lowers_salt_and_never_raises_it__analytic():
    climate = replace(STILL, rain=(80.0,) * 12, rains=(2,) * 12)
    run = alone(column(FRESH), field(climate), 2)
    falling = run.conductivity[:, 0]
    # rain that meets the last exchangeable sodium comes out as salty as it went in, to the last digits shown
    assert np.all(np.diff(falling) < 1e-6)
    assert falling[-1] < 0.02 * falling[0]
    # its sodium is leached too, though slowly: rain is no treatment of a sodic soil
    assert run.leached[2, 0] > run.added[2, 0]
    assert run.esp_pct[-1, 0] > 10.0


def test_gypsum_lowers_esp_beyond_its_water_and_keeps_nothing_for_ever__analytic():
    plan = incorporated(SOIL, gypsum="7 t/ha", day=FIRST)
    water = field(irrigation=weekly("20 mm"))
    arms = [
        SeasonArm(name="treated", scenario=column(), plan=plan),
        SeasonArm(name="watered", scenario=column(), plan=plan, spreads=False),
        SeasonArm(name="nothing", scenario=column()),
    ]
    run = run_seasons(arms, water=water, first=FIRST, years=6)
    treated, watered, nothing = run.esp_pct[[run.row(date(2026, 9, 1)), -1]].T
    assert treated[0] < watered[0] - 3 < nothing[0]
    # years later the water has had its way with all of them, and the treated one has risen again
    assert treated[1] == pytest.approx(nothing[1], abs=0.7)
    assert treated[1] > run.esp_pct[:, 0].min() + 0.3
    assert run.gypsum[-1, 0] == 0.0


def test_gypsum_waits_for_water_and_surface_gypsum_dissolves_slowly__analytic():
    plan = incorporated(SOIL, gypsum="7 t/ha", day=date(2026, 4, 10), water="0 mm", leach="0 mm")
    irrigation = Irrigation(water=WELL, days=((6, 10),), depths=(100.0,))
    arms = [
        SeasonArm(name="mixed", scenario=column(), plan=plan),
        SeasonArm(name="surface", scenario=column(placement="surface", dissolution="first_order"), plan=plan),
    ]
    run = run_seasons(arms, water=field(STILL, irrigation=irrigation), first=FIRST, years=1)
    lying = {day: run.gypsum[run.row(day)] for day in (date(2026, 4, 10), date(2026, 5, 1), date(2026, 7, 1))}
    assert not lying[date(2026, 4, 10)].any()  # the record is taken before it is spread
    assert lying[date(2026, 5, 1)] == pytest.approx([plan.total] * 2, rel=1e-12)
    mixed, surface = lying[date(2026, 7, 1)]
    assert mixed < surface < plan.total


def test_gypsum_in_the_water_lowers_the_floor__analytic():
    arms = [
        SeasonArm(name="plain", scenario=column(SAND)),
        SeasonArm(name="carrying", scenario=column(SAND), carried=2.0),
    ]
    run = run_seasons(arms, water=field(STILL, irrigation=weekly("25 mm", soil=SAND)), first=FIRST, years=4)
    own = WELL.solution
    richer = Water(name="richer", solution=replace(own, ca=own.ca + 2.0, so4=own.so4 + 2.0))
    assert floor_esp_pct(richer) < floor_esp_pct(WELL) - 3
    assert run.esp_pct[-1] == pytest.approx([with_potassium(WELL), with_potassium(richer)], abs=1e-6)
    # the irrigation of the field itself may carry it as well: the same column
    irrigation = replace(weekly("25 mm", soil=SAND), gypsum=2.0)
    same = alone(column(SAND), field(STILL, irrigation=irrigation), 4)
    assert same.esp_pct[-1, 0] == pytest.approx(run.esp_pct[-1, 1], rel=1e-12)


def test_columns_side_by_side_are_the_columns_alone__analytic():
    plan = split(SOIL, gypsum="5 t/ha", first=FIRST)
    scenario = column(placement="surface", dissolution="first_order")
    water = field(irrigation=weekly("20 mm", days=14))
    arms = [
        SeasonArm(name="a", scenario=scenario, plan=plan),
        SeasonArm(name="b", scenario=column(bypass_fraction=0.2)),
    ]
    both = run_seasons(arms, water=water, first=FIRST, years=2)
    for number, arm in enumerate(arms):
        single = run_seasons([arm], water=water, first=FIRST, years=2)
        days = [both.row(day) for day in single.days]
        assert both.esp_pct[days, number] == pytest.approx(single.esp_pct[:, 0], abs=1e-7)


def test_what_a_dry_soil_cannot_give_is_counted_and_not_taken__conservation():
    run = alone(column(), field(DRY, cover=SHALLOW), 2)
    assert run.unmet[0] > 500.0
    assert run.ledger["evapotranspiration"][-1, 0] + run.unmet[0] == pytest.approx(2 * 1302.0, abs=1e-6)
    assert abs(run.water_error[0]) < 1e-8
    assert run.left_water[0] >= SOIL.driest_water * 210.0 * (1 - 1e-12)


def test_a_solution_beyond_the_activity_model_names_column_and_day__davies1962():
    brine = Water.of(name="brine", sodium="60 mmol/L", chloride="60 mmol/L")
    # drier than any root makes it, with water that leaves hardly anything to drain
    soil = replace(SOIL, driest_water=0.05)
    arms = [
        SeasonArm(name="leached", scenario=column(soil), evapotranspiration=0.0),
        SeasonArm(name="parched", scenario=column(soil)),
    ]
    water = field(DRY, cover=SHALLOW, irrigation=weekly("10 mm", brine))
    with pytest.raises(ModelRangeError) as caught:
        run_seasons(arms, water=water, first=FIRST, years=3)
    message = str(caught.value)
    assert message.startswith("soil solution of column “parched” on 2026-")
    assert "the limit of the Davies equation is 0.5 mol/L" in message
    assert "higher driest_water than 0.05 L/kg" in message
    # and with the stated driest water that the message asks for it can be run
    mild = [replace(arm, scenario=column(replace(SOIL, driest_water=0.2))) for arm in arms[:1]]
    assert np.isfinite(run_seasons(mild, water=water, first=FIRST, years=1).esp_pct).all()


def test_records_are_taken_monthly_before_visits_and_when_asked__analytic():
    plan = split(SOIL, gypsum="5 t/ha", first=date(2026, 3, 15))
    arm = SeasonArm(name="a", scenario=column(), plan=plan)
    seen: list[float] = []
    run = run_seasons(
        [arm],
        water=field(STILL),
        first=FIRST,
        years=2,
        looks=[date(2026, 5, 5), date(2040, 1, 1)],
        progress=seen.append,
    )
    assert len(run.days) == 25 + 4 + 1
    assert date(2026, 5, 5) in run.days
    assert {visit.day for visit in plan.visits} <= set(run.days)
    assert run.year_rows() == (0, run.row(date(2027, 3, 1)), len(run.days) - 1)
    assert run.years == 2
    assert seen[-1] == 1.0
    assert seen == sorted(seen)
    assert run.concentration_factor("a") is None
    with pytest.raises(LimitError, match="after the seasons; they end on 2028-03-01"):
        run.row(date(2028, 3, 2))
    with pytest.raises(LimitError, match="column b: is not in these seasons; the columns are a"):
        run.column("b")


def arm_of(**more: object) -> SeasonArm:
    return SeasonArm(**{"name": "a", "scenario": column(), **more})


LATE = incorporated(SOIL, gypsum="5 t/ha", day="2030-01-01")


@pytest.mark.parametrize(
    ("run", "match"),
    [
        (lambda: run_seasons([], water=field(), first=FIRST, years=1), "columns: there is none"),
        (lambda: both(arm_of(name="b", scenario=Scenario.of(SOIL, layers=5))), "their layers differ, 4, 5"),
        (lambda: both(arm_of(name="b", scenario=column(SAND))), "their depths differ, 100, 150"),
        (lambda: both(arm_of()), "column a: stands twice"),
        (lambda: arm_of(scenario=column(gypsum="1 t/ha")), "has gypsum or water before its seasons"),
        (lambda: arm_of(scenario=column(wettings=["1 pore_volume"])), "has gypsum or water before"),
        (lambda: arm_of(rain=-0.1), "rain of a = -0.1"),
        (lambda: alone(column(), field(), 0), "years = 0"),
        (lambda: alone(column(), field(), 101), "years = 101"),
        (lambda: alone(column(), field(), 1, LATE), "visit on 2030-01-01: lies outside the seasons"),
        (
            lambda: both(arm_of(name="b", carried=1.0)),
            "gypsum in the irrigation water: there is no irrigation",
        ),
        (lambda: both(arm_of(name="b", carried=40.0), weekly("9 mm")), "what Well 3 dissolves at 25 °C"),
    ],
)
def test_seasons_that_cannot_be_are_refused__analytic(run, match):
    with pytest.raises(LimitError, match=match):
        run()


def both(arm: SeasonArm, irrigation: Irrigation | None = None) -> SeasonRun:
    return run_seasons([arm_of(), arm], water=field(irrigation=irrigation), first=FIRST, years=1)


def test_the_first_record_is_the_soil_as_it_was_tested__analytic():
    run = alone(column(SAND), field(), 1)
    assert run.esp_by_layer_pct[0, 0] == pytest.approx([SAND.exchangeable_sodium_percentage] * 4, abs=1e-6)
    assert run.conductivity[0, 0] == pytest.approx(SAND.electrical_conductivity, rel=1e-6)
