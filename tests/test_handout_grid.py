"""A page's grid: stops that print well, real runs at each of them, no digit lost, no refusal dropped."""

import json
import math
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import soilx
from soilx.handouts.grid_reading import DIGITS, read_run
from soilx.handouts.grid_text import LESS, NIL, NOTHING, SIGNS, codes, places, text_of
from soilx.handouts.live_charts import live_part
from soilx.handouts.settings_axes import Axis, nice_step, stops_with, water_stops
from soilx.handouts.settings_grid import grid_of
from soilx.show import sentences

BLOCK_C = soilx.read_scenario(soilx.demo_path("block_c.toml"))
# A stack of few layers and little water: the same code, a tenth of the work.
SHORT = BLOCK_C.with_(wettings=["1 pore_volume"], layers=4, displaced_fraction=0.5)


@pytest.fixture(scope="module")
def grid():
    return grid_of(SHORT)


def axis(values, own, *, key="gypsum", unit="t/ha", digits=2):
    return Axis(key=key, unit=unit, values=values, digits=digits, own=own)


@given(st.floats(0.001, 1e4), st.floats(1.05, 40.0), st.integers(3, 25))
def test_stops_are_whole_steps_and_hold_the_value_itself__analytic(own, reach, stops):
    step = nice_step(own * reach / (stops - 1))
    values, at = stops_with(own, low=0.0, high=own * reach, step=step)
    assert values[at] == own
    assert values[0] == 0.0
    assert list(values) == sorted(set(values))
    for value in values:
        assert value == own or value / step == pytest.approx(round(value / step), abs=1e-6)
    # Neighbours are told apart by eye and by hand.
    assert min(np.diff(values), default=step) >= min(0.39 * step, own)


@given(st.floats(1e-6, 1e6))
def test_a_step_prints_in_two_figures_at_most_and_is_near_what_is_wanted__analytic(wanted):
    step = nice_step(wanted)
    assert f"{step:.2g}" == f"{step:.12g}" or float(f"{step:.2g}") == pytest.approx(step, rel=1e-12)
    assert 0.6 <= step / wanted <= 1.7


def test_water_is_read_on_whole_steps_and_at_rows_that_are_kept__analytic():
    applied = [row / 24 for row in range(145)]
    stops = water_stops(applied, {96}, stops=25)
    assert [applied[row] for row in stops] == pytest.approx([number / 4 for number in range(25)])
    # Water taken back leaves what was applied: the state after it is what is read.
    drying = [0.0, 0.5, 1.0, 1.0, 1.5, 2.0]
    assert 3 in water_stops(drying, {5}, stops=3)
    assert 2 not in water_stops(drying, {5}, stops=3)


@given(st.floats(0.0, 1e5) | st.just(math.nan), st.integers(0, 3))
def test_a_number_is_carried_as_it_is_printed__analytic(value, digits):
    code = int(codes(value, digits))
    if math.isnan(value):
        assert code == NOTHING
    elif value == 0:
        assert code == NIL
    elif float(f"{value:.{digits}f}") == 0:
        assert code == LESS
    else:
        assert f"{(code - LESS) / 10**digits:.{digits}f}" == f"{value:.{digits}f}"


@pytest.mark.parametrize(
    ("value", "digits"), [(0.125, 2), (2.675, 2), (1.005, 2), (0.5, 0), (1.5, 0), (2.5, 0)]
)
def test_ties_are_rounded_as_they_are_printed__analytic(value, digits):
    code = int(codes(value, digits))
    printed = f"{value:.{digits}f}"
    assert (code == LESS) if float(printed) == 0 else f"{(code - LESS) / 10**digits:.{digits}f}" == printed


@settings(max_examples=30)
@given(st.lists(st.floats(0.0, 9e4), min_size=1, max_size=9), st.integers(0, 2))
def test_texts_of_numbers_read_back__analytic(values, digits):
    numbers = {"one": np.array(values), "other": np.array(values[:1])}
    where = places([numbers], {"one": digits, "other": 2})
    text = text_of(numbers, where)
    assert not set(text) - set(SIGNS)
    assert not set(SIGNS) & set("\"&'<>\\` ")
    place = where["one"]
    for at, value in enumerate(values):
        signs = text[place.start + at * place.width :][: place.width]
        code = 0
        for sign in signs:
            code = code * len(SIGNS) + SIGNS.index(sign)
        assert code == int(codes(value, digits))
    assert len(text) == sum(place.width * place.count for place in where.values())


def test_the_scenarios_own_setting_is_one_of_the_stops__analytic(grid):
    own = (grid.gypsum.own, grid.capacity.own, grid.sodium.own)
    made = grid.scenario_at(own)
    assert (made.gypsum, made.soil) == (SHORT.gypsum, SHORT.soil)
    assert grid.gypsum.texts[grid.gypsum.own] == "7.05"
    assert grid.water.values[grid.water.own] == pytest.approx(1.0)
    run = soilx.leach(SHORT)
    numbers = grid.numbers[own]
    assert numbers["esp_mean"][grid.water.own] == pytest.approx(run.final_esp_pct, rel=1e-9)
    assert numbers["leached"][grid.water.own] == pytest.approx(run.sodium_leached_mg_per_kg, rel=1e-9)
    assert numbers["esp_layers"][grid.water.own] == pytest.approx(run.final_esp_by_layer_pct, rel=1e-9)


def test_every_stop_is_there_and_is_a_run_of_what_it_says__analytic(grid):
    nodes = list(grid.nodes)
    assert set(grid.numbers) | set(grid.refusals) == set(nodes)
    assert not grid.refusals
    generator = np.random.default_rng(7)
    for number in generator.choice(len(nodes), 12, replace=False):
        gypsum, capacity, sodium = node = nodes[number]
        scenario = grid.scenario_at(node)
        soil = scenario.soil
        assert soil.exchangeable_sodium_percentage == pytest.approx(grid.sodium.values[sodium], rel=1e-6)
        assert soil.cation_exchange_capacity == pytest.approx(10 * grid.capacity.values[capacity])
        assert sentences.rate_text(scenario, "t/ha") == f"{grid.gypsum.texts[gypsum]} t/ha"
        fresh = read_run(soilx.leach(scenario), grid.rows)
        for name, digits in DIGITS.items():
            assert np.array_equal(codes(fresh[name], digits), codes(grid.numbers[node][name], digits)), name


def test_water_read_along_a_run_is_the_run_with_that_water__conservation(grid):
    node = (3, 1, 1)
    scenario = grid.scenario_at(node)
    for at in range(1, len(grid.water.values)):
        water = f"{grid.water.values[at]:.12g} pore_volume"
        run = soilx.leach(scenario.with_(wettings=[water]))
        numbers = grid.numbers[node]
        assert numbers["esp_mean"][at] == pytest.approx(run.final_esp_pct, rel=1e-9)
        assert numbers["leached"][at] == pytest.approx(run.sodium_leached_mg_per_kg, abs=1e-9)
        assert numbers["gypsum_left"][at] == pytest.approx(run.gypsum_left_g_per_kg, abs=1e-9)
        whole = numbers["on_clay"][at] + numbers["in_water"][at] + numbers["leached"][at]
        assert whole == pytest.approx(numbers["sodium_start"] + grid.brought[at], rel=1e-6)


@pytest.mark.parametrize("unit", ["t/ha", "short ton/acre", "lb/1000 ft²", "g/kg", "g/m²"])
def test_rates_print_well_in_each_unit__analytic(unit):
    grid = grid_of(SHORT, gypsum_unit=unit, few=True)
    assert len(grid.capacity.values) == len(grid.sodium.values) == 1
    assert 8 <= len(grid.gypsum.values) <= 20
    for at, (value, printed) in enumerate(zip(grid.gypsum.values, grid.gypsum.texts, strict=True)):
        assert at == grid.gypsum.own or float(printed) == pytest.approx(value, rel=1e-9)
        assert len(printed.lstrip("0.")) <= 5
    assert grid.gypsum.values[grid.gypsum.own] > 0


def test_a_stop_without_a_run_is_kept_with_its_reason__common_practice():
    thin = SHORT.with_(gypsum="0.2 g/kg", placement="water")
    grid = grid_of(thin, few=True)
    # What the water cannot dissolve is refused by name; nothing is left out.
    assert set(grid.numbers) | set(grid.refusals) == set(grid.nodes)
    assert grid.water.own == len(grid.water.values) - 1
    strong = SHORT.with_(gypsum="0.6 g/kg", placement="water")
    refused = grid_of(strong, few=True).refusals
    assert refused
    assert all("is more than it dissolves" in reason for reason in refused.values())
    data = data_of(live_part(grid_of(strong, few=True)))
    assert len(data["reasons"]) == len(set(refused.values()))
    assert sum(isinstance(run, int) for run in data["runs"]) == len(refused)


def test_a_run_that_fails_among_others_is_found_and_holds_up_none__analytic(monkeypatch):
    from soilx.handouts import settings_grid

    plain = settings_grid.sweep

    def failing(scenarios):
        if any(abs(scenario.gypsum - SHORT.gypsum) < 1e-9 for scenario in scenarios):
            raise soilx.ModelRangeError("ionic strength = 0.6 mol/L: is too strong; ours; dilute it.")
        return plain(scenarios)

    monkeypatch.setattr(settings_grid, "sweep", failing)
    grid = grid_of(SHORT, few=True)
    assert list(grid.refusals) == [(grid.gypsum.own, 0, 0)]
    assert len(grid.numbers) == len(grid.gypsum.values) - 1


def test_progress_goes_to_its_end__analytic():
    told = []
    grid = grid_of(SHORT, progress=lambda done, total: told.append((done, total)))
    assert told[-1] == (len(grid.numbers), len(grid.numbers))
    assert len(told) > 1
    assert told == sorted(told)


def data_of(part):
    (found,) = re.findall(r'<script type="application/json">(.*?)</script>', part.markup, re.DOTALL)
    return json.loads(found)


def test_the_part_carries_every_run_and_no_markup__common_practice(grid):
    part = live_part(grid)
    data = data_of(part)
    assert len(data["runs"]) == len(list(grid.nodes))
    assert len({len(run) for run in data["runs"]}) == 1
    assert [len(each["texts"]) for each in data["axes"]] == [
        len(grid.gypsum.values),
        len(grid.capacity.values),
        len(grid.sodium.values),
        len(grid.water.values),
    ]
    assert part.markup.count('type="range"') == 4
    assert "</script" not in part.script
    assert live_part(grid).script is part.script
    short = live_part(grid_of(SHORT, few=True), few=True)
    assert short.markup.count('type="range"') == 2
    assert len(short.markup.encode()) < 60_000
    with pytest.raises(ValueError, match=r"t/ha; make it with"):
        live_part(grid, gypsum_unit="lb/1000 ft²")
