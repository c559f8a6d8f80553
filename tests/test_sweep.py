"""Many scenarios as arrays: each as if run alone, in the order given."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import plain_soil, scenarios

from soilx.column.files import demo_path, read_scenario
from soilx.column.leaching import leach
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.sweep import CHUNK, sweep
from soilx.errors import ModelRangeError

PAIR = read_scenario(demo_path("pair.toml"))
BLOCK_C = read_scenario(demo_path("block_c.toml"))
ROWS = ("concentrations", "exchanger", "gypsum", "water_content")


def same(one: Run, other: Run) -> None:
    """Equal in every step and layer to what the solver holds itself to."""
    assert one.scenario == other.scenario
    assert one.steps == other.steps
    charge = one.scenario.soil.cation_exchange_capacity
    assert one.concentrations == pytest.approx(other.concentrations, rel=1e-8, abs=1e-9 * charge)
    assert one.exchanger == pytest.approx(other.exchanger, rel=1e-8, abs=1e-9)
    assert one.gypsum == pytest.approx(other.gypsum, abs=1e-9 * max(one.scenario.gypsum, charge))
    assert one.water_content == pytest.approx(other.water_content, rel=1e-12)
    assert one.trace.out_volume == pytest.approx(other.trace.out_volume, rel=1e-12, abs=1e-15)
    ran = one.trace.out_volume > 0
    assert one.trace.outflow[ran] == pytest.approx(other.trace.outflow[ran], rel=1e-8, abs=1e-9 * charge)
    for symbol, account in one.balance.items():
        assert abs(account.closing_error) < 1e-9
        assert account.added == pytest.approx(other.balance[symbol].added, rel=1e-12)


MIXTURE = (
    PAIR,
    PAIR.with_(layers=6),
    BLOCK_C,
    PAIR.without_gypsum().with_(wettings=["0.5 pore_volume"]),
    PAIR.with_(layers=6, wettings=["7 pore_volume"], displaced_fraction=0.31),
    BLOCK_C.with_(placement="surface", dissolution="first_order"),
    PAIR.with_(bypass_fraction=0.4),
    PAIR.with_(gypsum="2 g/kg", placement="water", wettings=["6 pore_volume"]),
    Scenario.of(PAIR.soil, gypsum="3 g/kg"),
    PAIR.with_(wettings=[{"amount": "1 pore_volume", "evapotranspiration": "0.05 L/kg"}, "1 pore_volume"]),
)


def test_a_mixture_gives_each_run_alone_and_in_order__conservation():
    runs = sweep(MIXTURE)
    assert len(runs) == len(MIXTURE)
    for run, scenario in zip(runs, MIXTURE, strict=True):
        assert run.scenario is scenario
        same(run, leach(scenario))


@settings(max_examples=15, deadline=None)
@given(st.lists(scenarios(), min_size=2, max_size=5))
def test_any_scenarios_give_each_run_alone__conservation(drawn):
    for run, scenario in zip(sweep(drawn), drawn, strict=True):
        same(run, leach(scenario))


def test_more_columns_than_one_array_takes_keep_their_order__conservation():
    doses = np.linspace(0, 4, CHUNK + 7).tolist()
    order = np.random.default_rng(7).permutation(CHUNK + 7)
    base = PAIR.with_(layers=2, displaced_fraction=1.0)
    cases = [
        base.with_(gypsum=f"{doses[number]!r} g/kg", wettings=[f"{1 + number % 3} pore_volume"])
        for number in order.tolist()
    ]
    runs = sweep(iter(cases))
    assert [run.scenario for run in runs] == cases
    for number in (0, 5, CHUNK, CHUNK + 6):
        same(runs[number], leach(cases[number]))
    # more gypsum at equal water leaves less sodium on the clay
    longest = [run for run in runs if run.scenario.volume == pytest.approx(0.66)]
    ordered = sorted(longest, key=lambda run: run.scenario.gypsum)
    assert np.all(np.diff([run.final_esp_pct for run in ordered]) < 1e-9)


def test_without_the_steps_the_ends_and_the_leachate_are_the_same__conservation():
    whole = sweep(MIXTURE)
    for full, ends in zip(whole, sweep(MIXTURE, keep_steps=False), strict=True):
        for name in ROWS:
            # a column that waits for longer ones is solved again, to the same answer but for rounding
            kept = getattr(full, name)[[0, -1]]
            assert getattr(ends, name) == pytest.approx(kept, rel=1e-9, abs=1e-11), name
        assert ends.steps == full.steps
        assert ends.applied_water == pytest.approx(full.applied_water[[0, -1]])
        assert ends.leachate.portions() == full.leachate.portions()
        assert ends.balance == full.balance
        assert ends.final_esp_pct == pytest.approx(full.final_esp_pct, rel=1e-9)
    carried = sweep([PAIR], keep_steps=False)[0].then("1 pore_volume")
    assert carried.steps == 120
    assert carried.concentrations.shape[0] == 2 + 24
    same_end = leach(PAIR.with_(wettings=["5 pore_volume"]))
    assert carried.final_esp_pct == pytest.approx(same_end.final_esp_pct, rel=1e-12)


def test_runs_of_a_sweep_are_carried_on_apart__conservation():
    treated, untreated = sweep([PAIR, PAIR.without_gypsum()])
    alone = leach(PAIR.without_gypsum()).then("2 pore_volume")
    for run, wanted in ((treated, leach(PAIR)), (untreated, leach(PAIR.without_gypsum()))):
        same(run, wanted)
    longer = untreated.then("2 pore_volume")
    assert longer.exchanger == pytest.approx(alone.exchanger, rel=1e-9)
    assert treated.then("2 pore_volume").exchanger == pytest.approx(
        leach(PAIR).then("2 pore_volume").exchanger, rel=1e-9
    )
    assert treated.steps == 96
    assert treated.columns.water.shape == (1, 12)  # its own column and no other's


def test_a_sweep_of_nothing_is_nothing__conservation():
    assert sweep([]) == ()


def test_one_column_too_strong_is_refused_and_can_be_extrapolated__davies1962():
    salty = PAIR.with_(
        soil=plain_soil(other_anions="60 mmol_c/kg", driest_water="0.05 L/kg"),
        wettings=[{"amount": "0.1 pore_volume", "evapotranspiration": "0.15 L/kg"}],
    )
    with pytest.raises(ModelRangeError, match="too salty"):
        sweep([PAIR, salty])
    fresh, strong = sweep([PAIR, salty], extrapolate=True)
    same(fresh, leach(PAIR))
    assert strong.concentrations.min() >= 0
    assert abs(strong.balance["Na"].closing_error) < 1e-9
