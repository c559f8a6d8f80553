"""The two Newton systems of a layer: analytic slopes against differences, starts against closed forms."""

import numpy as np
import pytest
from strategies import rows_of, seeded_choices, seeded_layers, state_of_choices

from soilx.chemistry.layer_amounts import Layers, magnesium_dissolved
from soilx.chemistry.layer_charge import (
    bracket_without_solid,
    charge_residual,
    near_electroneutrality,
    prepare,
    solve_without_solid,
)
from soilx.chemistry.layer_equilibrium import equilibrate
from soilx.chemistry.layer_saturated import Saturated, saturated_system, saturation_terms, solve_with_solid
from soilx.chemistry.soil_solution import CONSTANTS


def saturated_layers() -> tuple[Layers, np.ndarray, np.ndarray]:
    """Layers with solid gypsum within the activity model, and where they stand."""
    layers = seeded_layers(21, 2000)
    found = equilibrate(layers)
    wet = np.flatnonzero(found.start.solid & (found.start.strength < 0.5))
    assert wet.size > 300
    return layers.take(wet), found.start.log_x[wet], found.start.strength[wet]


def test_slopes_of_the_charge_residual_equal_differences__analytic():
    layers = seeded_layers(20, 500)
    found = equilibrate(layers)
    # where next to nothing divalent is exchangeable, a difference spans too much
    inside = np.flatnonzero(found.exchanger[:2].sum(axis=0) > 0.05)
    assert inside.size > 300
    layers, log_x = layers.take(inside), found.start.log_x[inside] + 0.01
    prepared = prepare(layers)
    anions = prepared.anions + 2 * layers.sulfate / layers.water
    _, slope, _, d_root = charge_residual(layers, prepared, log_x, anions)
    step = 1e-6
    above = charge_residual(layers, prepared, log_x + step, anions)
    below = charge_residual(layers, prepared, log_x - step, anions)
    assert slope == pytest.approx((above[0] - below[0]) / (2 * step), rel=1e-5)
    assert d_root == pytest.approx((np.log(above[2]) - np.log(below[2])) / (2 * step) - 1, rel=1e-5)
    assert slope.max() < 0  # so that there is one root


def test_slopes_of_the_saturated_system_equal_differences__analytic():
    layers, log_x, strength = saturated_layers()
    begun = saturated_system(layers, prepare(layers), log_x, strength, saturation_terms(CONSTANTS))
    inside = np.flatnonzero((begun.exchanged > 0.05) & (begun.free_calcium > 0.05))
    assert inside.size > 200
    layers, log_x, strength = layers.take(inside), log_x[inside], strength[inside]

    def at(moved: float = 0.0, more: float = 0.0) -> Saturated:
        where = log_x + moved, strength + more
        return saturated_system(layers, prepare(layers), *where, saturation_terms(CONSTANTS))

    here, step, more = at(), 1e-6, 1e-7
    below, above, less, stronger = at(-step), at(step), at(0, -more), at(0, more)
    for before, after, size, slopes in (
        (
            below,
            above,
            step,
            {"residual": here.r_x, "strength_residual": here.s_x, "exchanged": here.d_exchanged},
        ),
        (less, stronger, more, {"residual": here.r_i, "strength_residual": here.s_i}),
    ):
        for name, slope in slopes.items():
            difference = (getattr(after, name) - getattr(before, name)) / (2 * size)
            assert slope == pytest.approx(difference, rel=1e-4, abs=1e-7), name
    calcium = (np.log(above.free_calcium) - np.log(below.free_calcium)) / (2 * step)
    assert here.pull == pytest.approx(calcium, rel=1e-4)
    assert here.d_root == pytest.approx(here.d_exchanged / here.exchanged - 1, rel=1e-12)


def test_a_known_exchanger_and_charge_give_the_start_that_is_the_answer__analytic():
    choices = {**seeded_choices(22, 500), "gypsum": np.zeros(500)}
    state = state_of_choices(choices)
    ca, mg, na, k, _ = state["concentrations"]
    e_ca, e_mg, _, _ = state["exchanger"]
    start = near_electroneutrality(
        ratio=(na + k) / np.sqrt(ca + mg), exchanged=e_ca + e_mg, charge=choices["charge"]
    )
    assert start == pytest.approx(np.log((e_ca + e_mg) / np.sqrt(ca + mg)), abs=1e-9)


def test_a_start_is_finite_where_sodium_is_all_there_is__analytic():
    """SAR 1e9 at 1 mmol_c/L: √(r² + 8c) − r would be nothing but rounding."""
    start = near_electroneutrality(ratio=np.array([1e9]), exchanged=np.array([1e-9]), charge=np.array([1.0]))
    # D = (c/r)², x = E_D/√D = E_D r/c
    assert start == pytest.approx([0.0], abs=1e-12)


def test_bracket_holds_the_root_of_charge_balance__analytic():
    layers = seeded_layers(23, 800)
    sulfate = layers.sulfate / layers.water
    near = bracket_without_solid(layers, sulfate)
    root, failed = solve_without_solid(layers, near, sulfate)
    assert failed is None
    assert np.abs(root - near).max() < 1e-6
    prepared = prepare(layers)
    residual, _, exchanged, _ = charge_residual(layers, prepared, root, prepared.anions + 2 * sulfate)
    assert np.abs(residual).max() < 1e-9
    assert exchanged.min() > 0


def test_dissolved_magnesium_balances_its_own_mass__conservation():
    layers = seeded_layers(24, 800)
    row = rows_of(layers)
    exchanged = np.linspace(0.001, 0.999, 800)
    divalent = np.geomspace(1e-6, 100, 800)[::-1]
    dissolved = magnesium_dissolved(layers, divalent, exchanged)
    preference = row["magnesium_selectivity"]
    held = exchanged * preference * dissolved / (divalent + (preference - 1) * dissolved)
    total = row["water"] * dissolved + 0.5 * row["capacity"] * held
    assert dissolved.min() >= 0
    assert total == pytest.approx(row["magnesium"], rel=1e-9, abs=1e-12)


def test_layers_that_have_not_settled_are_named__analytic():
    layers, log_x, strength = saturated_layers()
    _, _, failed = solve_with_solid(layers, log_x, strength, CONSTANTS, rounds=3)
    assert failed is None
    far = log_x.copy()
    far[:5] += 8.0  # calcium is then below its pair's: no logarithm of it
    _, _, failed = solve_with_solid(layers, far, strength, CONSTANTS, rounds=3)
    assert failed is not None
    assert failed[:5].all()
    assert not failed[5:].any()
    sulfate = layers.sulfate / layers.water
    _, failed = solve_without_solid(layers, far, sulfate, rounds=1)
    assert failed is not None
    assert failed.any()


def test_layers_keep_their_rows_when_some_are_taken__conservation():
    layers = seeded_layers(25, 9)
    some = layers.take(np.array([7, 2]))
    assert some.size == 2
    assert np.array_equal(some.table, layers.table[:, [7, 2]])
    some.table[:] = 0
    assert (layers.table[6] > 0).all()
