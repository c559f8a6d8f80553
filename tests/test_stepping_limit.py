"""Stepped layers against scipy's stiff solvers: as the displaced fraction goes to 0 they are one column."""

import numpy as np
import pytest

from tests.benchmarks.pair import block_c
from tests.benchmarks.stiff import METHODS, continuous, in_the_limit, stepped

# Gypsum is used up in the first layers and still there in the last: both ways of solving a layer are met.
COLUMN = block_c(gypsum="40 mmol/kg", moist=True).with_(layers=4, wettings=["1.5 pore_volume"])


@pytest.fixture(scope="module")
def limit():
    return continuous(COLUMN, "LSODA", rtol=1e-8)


def test_halving_the_displaced_fraction_halves_the_way_to_continuous_flow__scipy(limit):
    apart = [np.abs(stepped(COLUMN, 0.5**power) - limit.esp_pct).max() for power in (3, 4, 5)]
    # First order: a little off where a layer's gypsum ends within a step.
    assert np.array(apart[:-1]) / apart[1:] == pytest.approx(2.0, abs=0.1)
    assert apart[-1] < 0.05


def test_carried_to_no_fraction_the_layers_are_scipy_s__scipy(limit):
    found = in_the_limit(COLUMN, (1 / 8, 1 / 16, 1 / 32))
    # % of CEC; what an extrapolation leaves that crosses the end of gypsum in two layers.
    assert found == pytest.approx(limit.esp_pct, abs=2e-3)
    assert limit.gypsum.min() == 0.0
    assert limit.gypsum.max() > 1.0


@pytest.mark.parametrize("method", METHODS)
def test_every_stiff_solver_comes_to_the_same__scipy(method, limit):
    found = continuous(COLUMN, method, rtol=1e-5)
    assert found.esp_pct == pytest.approx(limit.esp_pct, abs=1e-3)
    assert found.gypsum == pytest.approx(limit.gypsum, abs=1e-3)
