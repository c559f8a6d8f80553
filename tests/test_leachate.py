"""Leachate in portions: nothing lost between cups, and clear or cloudy at equal water."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import plain_soil, scenarios

from soilx.chemistry.clarity import Clarity, clarity
from soilx.chemistry.conductivity import electrical_conductivity
from soilx.chemistry.ions import ORDER
from soilx.column.files import demo_path, read_scenario
from soilx.column.leachate import NO_LEACHATE, Leachate
from soilx.column.leaching import leach
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.sweep import sweep
from soilx.column.water import Water

PAIR = read_scenario(demo_path("pair.toml"))
BLOCK_C = read_scenario(demo_path("block_c.toml"))
SALTY = Water.of(name="salty", sodium="20 mmol/L", calcium="5 mmol/L", chloride="30 mmol/L")


def carried(leachate: Leachate) -> np.ndarray:
    """Ions in all portions, shape (7,) [mmol/kg]."""
    ran = leachate.volume > 0
    return leachate.concentrations[:, ran] @ leachate.volume[ran]


def of_steps(run: Run) -> np.ndarray:
    return run.trace.out_volume @ run.trace.outflow


@pytest.mark.parametrize("collect", [1, 3, 7, 8, 50, 333, "0.05 L/kg", "0.3 L/kg"])
@pytest.mark.parametrize("scenario", [PAIR, BLOCK_C], ids=lambda scenario: scenario.soil.name)
def test_portions_add_up_to_what_left_the_column__conservation(scenario, collect):
    run = leach(scenario.with_(collect=collect))
    leachate = run.leachate
    assert leachate.volume.sum() == pytest.approx(run.trace.out_volume.sum(), rel=1e-12)
    assert leachate.cumulative_volume == pytest.approx(np.cumsum(leachate.volume), rel=1e-12)
    assert leachate.pore_volumes[-1] == pytest.approx(leachate.volume.sum() / scenario.soil.drained_water)
    assert leachate.applied_pore_volumes[-1] == pytest.approx(4.0, rel=1e-12)
    assert carried(leachate) == pytest.approx(of_steps(run), rel=1e-9)
    assert carried(leachate) == pytest.approx([run.balance[ion].leached for ion in ORDER], rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(scenarios(), st.integers(1, 40))
def test_no_way_of_collecting_loses_anything__conservation(scenario, count):
    run = leach(scenario.with_(collect=count))
    assert run.leachate.volume.size == count * len(scenario.wettings)
    assert run.leachate.volume.sum() == pytest.approx(run.trace.out_volume.sum(), rel=1e-12, abs=1e-15)
    assert carried(run.leachate) == pytest.approx(of_steps(run), rel=1e-9, abs=1e-12)


def test_a_portion_that_ends_within_a_step_gets_its_part_of_it__analytic():
    """4 layers, all displaced: steps of a quarter pore volume, cut into portions of three tenths."""
    run = leach(PAIR.with_(layers=4, displaced_fraction=1.0, wettings=["1.5 pore_volume"], collect=5))
    step, portion = 0.25 * 0.22, 0.30 * 0.22
    assert run.trace.out_volume == pytest.approx(np.full(6, step))
    assert run.leachate.volume == pytest.approx(np.full(5, portion))
    na = ORDER.index("Na")
    steps = run.trace.outflow[:, na]
    portions = run.leachate.concentrations[na]
    assert portions[0] == pytest.approx((0.25 * steps[0] + 0.05 * steps[1]) / 0.30, rel=1e-12)
    assert portions[1] == pytest.approx((0.20 * steps[1] + 0.10 * steps[2]) / 0.30, rel=1e-12)
    assert portions[4] == pytest.approx((0.05 * steps[4] + 0.25 * steps[5]) / 0.30, rel=1e-12)
    # the outlet's sodium too is that of the layer as the water left it
    outlet = run.exchangeable_sodium_percentage[:-1, -1]
    assert run.leachate.outlet_esp_pct[0] == pytest.approx((0.25 * outlet[0] + 0.05 * outlet[1]) / 0.30)


def test_figures_of_a_portion_follow_from_its_mean_composition__analytic():
    leachate = leach(PAIR).leachate
    ca, mg, na, k = leachate.concentrations[:4]
    assert leachate.electrolyte == pytest.approx(2 * ca + 2 * mg + na + k, rel=1e-12)
    assert leachate.sodium_adsorption_ratio == pytest.approx(na / np.sqrt(ca + mg), rel=1e-12)
    assert leachate.electrical_conductivity == pytest.approx(
        electrical_conductivity(leachate.concentrations), rel=1e-12
    )
    assert list(leachate.clarity) == list(clarity(leachate.outlet_esp_pct, leachate.electrolyte))
    first = leachate.portions()[0]
    assert first["ec_ds_per_m"] == leachate.electrical_conductivity[0]
    assert first["clarity"] == "clear"


def test_a_portion_without_leachate_is_a_result_and_not_a_number__conservation():
    """Block C starts at 0.10 of 0.26 L/kg: the first 0.16 L/kg stay in it."""
    run = leach(BLOCK_C.with_(collect=26))
    leachate = run.leachate
    dry = leachate.volume == 0
    # portions of 0.04 L/kg; the fourth shares the step in which the first drop falls
    assert list(np.flatnonzero(dry)) == [0, 1, 2]
    assert (leachate.clarity[dry] == NO_LEACHATE).all()
    assert (leachate.clarity[~dry] != NO_LEACHATE).all()
    for values in (leachate.electrical_conductivity, leachate.sodium_adsorption_ratio, leachate.electrolyte):
        assert np.isnan(values[dry]).all()
        assert np.isfinite(values[~dry]).all()
    first = leachate.portions()[0]
    assert first["volume_l_per_kg"] == 0
    assert first["na_mmol_per_l"] is None
    assert first["clarity"] == "no leachate"
    # step by step, steps without leachate are left out
    assert run.step_leachate.volume.size == (run.trace.out_volume > 0).sum()
    assert run.step_leachate.volume.sum() == pytest.approx(leachate.volume.sum(), rel=1e-12)
    assert carried(run.step_leachate) == pytest.approx(carried(leachate), rel=1e-9)


def test_water_lost_between_wettings_moves_no_cup__conservation():
    season = [
        {"amount": "1 pore_volume", "collect": 2, "evapotranspiration": "0.05 L/kg"},
        {"amount": "2 pore_volume", "collect": 4, "water": SALTY},
    ]
    run = leach(PAIR.with_(wettings=season))
    assert run.leachate.volume.size == 6
    assert run.leachate.applied_pore_volumes == pytest.approx([0.5, 1, 1.5, 2, 2.5, 3])
    # what was lost is refilled before the next leachate runs
    assert run.leachate.volume == pytest.approx([0.11, 0.11, 0.06, 0.11, 0.11, 0.11])
    assert carried(run.leachate) == pytest.approx(of_steps(run), rel=1e-9)


@pytest.mark.parametrize("start", ["0.22 L/kg", "0.10 L/kg"])
def test_at_equal_water_gypsum_keeps_the_leachate_clear__common_practice(start):
    """Untreated, it clouds once the soil's own salts are gone; treated, not while gypsum is left."""
    scenario = PAIR.with_(soil=plain_soil(initial_water=start), wettings=["4 pore_volume"], collect=32)
    treated, untreated = sweep([scenario.with_(gypsum="15 g/kg"), scenario.without_gypsum()])
    assert treated.leachate.volume == pytest.approx(untreated.leachate.volume, rel=1e-12)  # equal water
    ran = treated.leachate.volume > 0
    assert treated.gypsum_left_g_per_kg > 0
    assert set(treated.leachate.clarity[ran]) == {Clarity.CLEAR}
    plain = untreated.leachate.clarity[ran]
    assert plain[0] == Clarity.CLEAR
    assert plain[-1] == Clarity.CLOUDY
    clouded = int(np.argmax(plain != Clarity.CLEAR))
    assert (plain[:clouded] == Clarity.CLEAR).all()
    assert (plain[clouded:] != Clarity.CLEAR).all()  # once clouded, it does not clear by itself
    chloride = untreated.leachate.concentrations[ORDER.index("Cl")][ran]
    assert chloride[clouded] < 0.5 * chloride[0]
    # clear is not the same as reclaimed
    assert untreated.leachate.outlet_esp_pct[ran][0] > 20


def test_treated_leachate_clouds_once_its_gypsum_is_gone_and_the_clay_still_sodic__common_practice():
    scenario = PAIR.with_(gypsum="0.8 g/kg", wettings=["6 pore_volume"], collect=24)
    run = leach(scenario)
    left = run.gypsum.mean(axis=1)
    gone = run.applied_pore_volumes[np.argmax(left <= 0)]
    seen = run.leachate.clarity
    assert seen[0] == Clarity.CLEAR
    assert seen[-1] == Clarity.CLOUDY
    first_cloud = run.leachate.applied_pore_volumes[np.argmax(seen != Clarity.CLEAR)]
    assert first_cloud > gone


def test_saline_water_keeps_a_sodic_soil_clear_without_reclaiming_it__analytic():
    run = leach(Scenario.of(PAIR.soil, wettings=[("4 pore_volume", SALTY)]))
    assert set(run.leachate.clarity) == {Clarity.CLEAR}
    assert run.final_esp_pct > 10


def test_portions_name_each_ion_by_its_own_number__conservation():
    run = leach(read_scenario(demo_path("pair.toml")))
    row = run.leachate.portions()[0]
    assert row["na_mmol_per_l"] == run.leachate.concentrations[2, 0]
    assert row["ca_mmol_per_l"] == run.leachate.concentrations[0, 0]
    assert row["sar"] == pytest.approx(
        row["na_mmol_per_l"] / (run.leachate.concentrations[:2, 0].sum()) ** 0.5, rel=1e-12
    )
