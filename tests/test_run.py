"""A run: continued as if never stopped, unchangeable, and its figures counted up another way."""

import json
from dataclasses import FrozenInstanceError, fields

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import plain_soil, scenarios, waters

from soilx.chemistry.ions import GYPSUM_MOLAR_MASS, ORDER, SODIUM
from soilx.column.files import demo_path, read_scenario
from soilx.column.leaching import leach
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.water import Water
from soilx.errors import LimitError, UnitKindError

PAIR = read_scenario(demo_path("pair.toml"))
SALTY = Water.of(name="salty", sodium="20 mmol/L", calcium="5 mmol/L", chloride="30 mmol/L")
ROWS = ("concentrations", "exchanger", "gypsum", "water_content")


def continued(scenario: Scenario, parts: list[object]) -> Run:
    """A scenario's wettings given one by one."""
    run = leach(scenario.with_(wettings=parts[:1]))
    for part in parts[1:]:
        run = run.then(part)
    return run


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"gypsum": "0 g/kg"},
        {"placement": "surface", "dissolution": "first_order"},
        {"placement": "top 4 cm", "bypass_fraction": 0.25},
        {"layers": 5, "displaced_fraction": 0.25, "gypsum": "20 g/kg"},
    ],
    ids=str,
)
@pytest.mark.parametrize("initial", ["0.22 L/kg", "0.10 L/kg"])
def test_a_run_carried_on_is_the_run_never_stopped__conservation(changes, initial):
    scenario = PAIR.with_(soil=plain_soil(initial_water=initial), **changes)
    whole = leach(scenario.with_(wettings=["4 pore_volume"]))
    parts = continued(scenario, ["1 pore_volume"] * 4)
    assert parts.steps == whole.steps
    for name in ROWS:  # bit for bit: the solver stands where it stood
        assert np.array_equal(getattr(parts, name), getattr(whole, name)), name
    assert parts.applied_water == pytest.approx(whole.applied_water, abs=1e-15)
    for symbol, account in parts.balance.items():
        assert abs(account.closing_error) < 1e-9
        assert account.leached == pytest.approx(whole.balance[symbol].leached, rel=1e-12)
    assert parts.leachate.volume.size == 4
    caught = leach(scenario.with_(wettings=["4 pore_volume"], collect=4)).leachate.concentrations
    assert parts.leachate.concentrations == pytest.approx(caught, rel=1e-9, nan_ok=True)


def test_a_run_carried_on_twice_takes_each_water_in_turn__conservation():
    parts = [
        "1 pore_volume",
        {"amount": "0.6 pore_volume", "water": SALTY, "hours": "5 h"},
        "1.7 pore_volume",
    ]
    carried, whole = continued(PAIR, parts), leach(PAIR.with_(wettings=parts))
    for name in ROWS:
        assert np.array_equal(getattr(carried, name), getattr(whole, name)), name
    assert carried.scenario == whole.scenario


@settings(max_examples=30, deadline=None)
@given(scenarios(), waters(), st.floats(0.2, 1.5))
def test_any_run_can_be_carried_on_by_any_water__conservation(scenario, water, amount):
    assume(scenario.placement != "water")
    given_ = {"amount": f"{amount!r} pore_volume", "water": water}
    run = leach(scenario)
    before = {name: getattr(run, name).copy() for name in ROWS}
    longer = run.then(given_)
    whole = leach(scenario.with_(wettings=(*scenario.wettings, given_)))
    for name in ROWS:
        assert np.array_equal(getattr(run, name), before[name]), "a run that is carried on stays as it is"
        assert np.array_equal(getattr(longer, name), getattr(whole, name)), name
        assert getattr(longer, name).min() >= 0
    assert max(abs(account.closing_error) for account in longer.balance.values()) < 1e-9


def test_two_ways_on_from_one_run_do_not_disturb_each_other__conservation():
    run = leach(PAIR.with_(wettings=["1 pore_volume"]))
    first, second = run.then("1 pore_volume"), run.then(("1 pore_volume", SALTY))
    again = run.then("1 pore_volume")
    assert np.array_equal(first.concentrations, again.concentrations)
    assert not np.array_equal(first.concentrations, second.concentrations)
    assert second.balance["Na"].added == pytest.approx(0.22 * 20 + 0.22e-4, rel=1e-9)
    assert [wetting.water.name for wetting in second.scenario.wettings] == ["deionised", "salty"]


def test_a_run_with_gypsum_in_its_water_is_not_carried_on__conservation():
    run = leach(PAIR.with_(gypsum="0.5 g/kg", placement="water"))
    with pytest.raises(LimitError, match="placement = water: a run cannot be continued"):
        run.then("1 pore_volume")
    # without a dose there is nothing to spread
    assert leach(PAIR.with_(gypsum="0 g/kg", placement="water")).then("1 pore_volume").steps == 120


def test_what_a_run_is_carried_on_by_has_to_be_an_amount__conservation():
    run = leach(PAIR)
    with pytest.raises(UnitKindError):
        run.then(1.0)
    with pytest.raises(LimitError):
        run.then({"amount": "1 pore_volume", "speed": "fast"})


def test_a_run_cannot_be_changed__conservation():
    run = leach(PAIR)
    with pytest.raises(FrozenInstanceError):
        run.scenario = PAIR.without_gypsum()
    for each in fields(run.trace):
        array = getattr(run.trace, each.name)
        with pytest.raises(ValueError, match="read-only"):
            array[...] = 0.0
    for each in fields(run.leachate):
        with pytest.raises(ValueError, match="read-only"):
            getattr(run.leachate, each.name)[...] = 0
    with pytest.raises(TypeError):
        run.balance["Na"] = None
    with pytest.raises(FrozenInstanceError):
        run.balance["Na"].left = 0.0
    for array in (run.concentrations, run.exchanger, run.gypsum, run.water_content, run.start, run.added):
        assert not array.flags.writeable


def test_a_run_equals_itself_alone_and_can_be_a_key__conservation():
    """Arrays have no one truth value: two runs are compared by their arrays, not by ==."""
    run, again = leach(PAIR), leach(PAIR)
    assert run == run
    assert run != again
    assert run.leachate != again.leachate
    assert {run: "kept"}[run] == "kept"


def test_figures_of_a_run_are_counted_up_from_its_arrays__conservation():
    run = leach(PAIR)
    mass, capacity = SODIUM.molar_mass, 140.0
    na = ORDER.index("Na")
    assert (run.layers, run.steps) == (12, 96)
    assert run.concentrations.shape == (97, 7, 12)
    assert run.exchanger.shape == (97, 4, 12)
    assert run.exchangeable_sodium_percentage.shape == (97, 12)
    assert run.applied_pore_volumes[-1] == pytest.approx(4.0)
    assert run.layer_depths == pytest.approx(150 / 24 + 12.5 * np.arange(12))
    clay = float(run.exchanger[-1, 2].mean()) * capacity * mass
    water = float((run.water_content[-1] * run.concentrations[-1, na]).mean()) * mass
    assert run.sodium_on_clay_mg_per_kg == pytest.approx(clay, rel=1e-12)
    assert run.sodium_in_water_mg_per_kg == pytest.approx(water, rel=1e-12)
    assert run.sodium_left_mg_per_kg == pytest.approx(clay + water, rel=1e-12)
    assert run.sodium_initial_mg_per_kg == pytest.approx(940, rel=1e-12)
    total = run.sodium_initial_mg_per_kg + run.sodium_added_mg_per_kg
    assert run.sodium_leached_mg_per_kg + run.sodium_left_mg_per_kg == pytest.approx(total, rel=1e-9)
    leached = run.leachate.volume @ run.leachate.concentrations[na] * mass
    assert run.sodium_leached_mg_per_kg == pytest.approx(leached, rel=1e-9)
    assert run.depth_average_esp_pct[-1] == run.final_esp_pct
    assert run.final_esp_by_layer_pct.mean() == pytest.approx(run.final_esp_pct, rel=1e-12)
    assert run.initial_esp_pct == PAIR.soil.exchangeable_sodium_percentage
    start = run.balance["SO4"].start
    assert start == pytest.approx(1.0 + 3000 / GYPSUM_MOLAR_MASS, rel=1e-12)


def test_exchange_efficiency_is_sodium_displaced_over_calcium_dissolved__conservation():
    run = leach(PAIR)
    fall = (run.initial_esp_pct - run.final_esp_pct) / 100 * 140.0
    assert run.gypsum_left_g_per_kg == 0
    assert run.exchange_efficiency == pytest.approx(fall / (2 * 3000 / GYPSUM_MOLAR_MASS), rel=1e-12)
    assert 0.5 < run.exchange_efficiency < 0.6
    # over-dosed, part of it stays solid and is not counted as given
    rich = leach(PAIR.with_(gypsum="15 g/kg"))
    assert rich.gypsum_left_g_per_kg == pytest.approx(rich.gypsum[-1].mean() * GYPSUM_MOLAR_MASS / 1000)
    assert rich.gypsum_left_g_per_kg > 2
    dissolved = 15 - rich.gypsum_left_g_per_kg
    displaced = (rich.initial_esp_pct - rich.final_esp_pct) / 100 * 140.0
    assert rich.exchange_efficiency == pytest.approx(
        displaced / (2 * dissolved * 1000 / GYPSUM_MOLAR_MASS), rel=1e-9
    )
    assert leach(PAIR.without_gypsum()).exchange_efficiency is None


def test_exchange_efficiency_counts_gypsum_wherever_it_was__conservation():
    in_water = leach(PAIR.with_(gypsum="2 g/kg", placement="water", wettings=["6 pore_volume"]))
    fall = (in_water.initial_esp_pct - in_water.final_esp_pct) / 100 * 140.0
    assert in_water.exchange_efficiency == pytest.approx(fall / (4000 / GYPSUM_MOLAR_MASS), rel=1e-9)
    # the soil's own solid gypsum dissolves beside what was given
    native = leach(PAIR.with_(soil=plain_soil(total_sulfate="20 mmol/kg"), wettings=["1 pore_volume"]))
    gone = native.gypsum[0].mean() - native.gypsum[-1].mean()
    fall = (native.initial_esp_pct - native.final_esp_pct) / 100 * 140.0
    assert native.exchange_efficiency == pytest.approx(fall / (2 * gone), rel=1e-9)


def test_balance_closes_for_every_element_and_sees_a_loss__conservation():
    run = leach(PAIR.with_(wettings=[("2 pore_volume", SALTY), "1 pore_volume"]))
    assert tuple(run.balance) == ORDER
    for account in run.balance.values():
        assert abs(account.closing_error) < 1e-12
        total = account.start + account.added
        assert account.leached + account.left == pytest.approx(total, rel=1e-9, abs=1e-9)
    # a balance that cannot be wrong would be none: half a layer's water lost is seen
    damaged = Run(
        scenario=run.scenario,
        trace=run.trace,
        start=run.start,
        added=run.added,
        batch=run.columns.select(0),
    )
    damaged.columns.concentrations[:, 0, 0] *= 0.5
    assert max(abs(account.closing_error) for account in damaged.balance.values()) > 1e-9


def test_a_balance_misses_what_was_lost_over_all_charge__conservation():
    run = leach(PAIR.with_(wettings=[("2 pore_volume", SALTY)]))
    layer = run.columns.select(0)
    lost = layer.water[0, 0] * layer.concentrations[2, 0, 0] / 12
    layer.concentrations[2, 0, 0] = 0.0
    damaged = Run(scenario=run.scenario, trace=run.trace, start=run.start, added=run.added, batch=layer)
    charges = [2, 2, 1, 1, 2, 1, 1]
    charge = sum(z * (a.start + a.added) for z, a in zip(charges, run.balance.values(), strict=True))
    assert damaged.balance["Na"].closing_error == pytest.approx(lost / charge, rel=1e-6)


def test_a_run_that_ends_dry_keeps_its_sodium_in_less_water__conservation():
    run = leach(PAIR.with_(wettings=[{"amount": "1 pore_volume", "evapotranspiration": "0.05 L/kg"}]))
    assert run.water_content[-1].mean() == pytest.approx(0.17, rel=1e-9)
    found = run.sodium_in_water_mg_per_kg + run.sodium_on_clay_mg_per_kg
    assert found == pytest.approx(run.sodium_left_mg_per_kg, rel=1e-9)


def test_summary_is_plain_data_with_the_agreed_names__conservation():
    run = leach(PAIR)
    summary = run.summary()
    assert set(summary) == {
        "initial_esp_pct",
        "final_esp_pct",
        "final_esp_by_layer_pct",
        "sodium_initial_mg_per_kg",
        "sodium_added_mg_per_kg",
        "sodium_leached_mg_per_kg",
        "sodium_left_mg_per_kg",
        "gypsum_left_g_per_kg",
        "exchange_efficiency",
        "portions",
        "closing_error",
        "defaults",
    }
    again = json.loads(json.dumps(summary, allow_nan=False))
    assert again["final_esp_by_layer_pct"] == run.final_esp_by_layer_pct.tolist()
    assert len(again["portions"]) == 8
    assert set(again["portions"][0]) == {
        "volume_l_per_kg",
        "pore_volumes",
        "na_mmol_per_l",
        "ca_mmol_per_l",
        "ec_ds_per_m",
        "sar",
        "clarity",
    }
    assert set(again["closing_error"]) == set(ORDER)


def test_rows_begin_with_the_soil_before_gypsum_reacts__conservation():
    treated, untreated = leach(PAIR), leach(PAIR.without_gypsum())
    assert np.array_equal(treated.concentrations[0], untreated.concentrations[0])
    assert treated.gypsum[0] == pytest.approx(np.full(12, 3000 / GYPSUM_MOLAR_MASS))
    assert treated.depth_average_esp_pct[0] == pytest.approx(treated.initial_esp_pct, rel=1e-9)
