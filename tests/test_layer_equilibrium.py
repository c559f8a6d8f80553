"""One layer at equilibrium: the fast solver against the nested brackets, closed forms and balances."""

import math
from collections.abc import Mapping

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from strategies import (
    allowed,
    amounts,
    amounts_of,
    balance_errors,
    given_to_reference,
    inventory,
    layer_choices,
    layers_of,
    reference_amounts,
    reference_given,
    rows_of,
    seeded_choices,
    seeded_layers,
    state_of_choices,
    total_charge,
)

from soilx.chemistry.cation_exchange import Selectivity
from soilx.chemistry.layer_amounts import Equilibrium, Layers, Start
from soilx.chemistry.layer_equilibrium import equilibrate, equilibrate_inventory, saturate
from soilx.chemistry.layer_gypsum import ROUGH, rough_saturation
from soilx.chemistry.layer_reference import equilibrate_reference, saturation_index_reference
from soilx.chemistry.soil_solution import CONSTANTS, DAVIES_LIMIT, speciate
from soilx.errors import ConvergenceError, LimitError, ModelRangeError

Array = NDArray[np.float64]


def ionic_strength(layers: Layers, found: Equilibrium) -> Array:
    others = layers.other_anions / layers.water
    solution = np.concatenate([found.concentrations, others[np.newaxis], np.zeros((1, layers.size))])
    return speciate(solution, extrapolate=True).ionic_strength


def checked(layers: Layers, start: Start | None = None) -> Equilibrium:
    """The equilibrium, after its balances and signs have been held to what every one has to be."""
    found = equilibrate(layers, start)
    held = amounts_of(layers, found)
    assert np.isfinite(held).all()
    assert held.min() >= 0
    assert balance_errors(layers, held).max() < 1
    return found


def excess(layers: Layers, found: Equilibrium, wanted: Array) -> float:
    """Largest difference, in units of what is allowed."""
    return float((np.abs(amounts_of(layers, found) - wanted) / allowed(layers)).max())


def within_the_activity_model(given_: Mapping[str, float]) -> Layers:
    layers = layers_of(given_)
    assume(ionic_strength(layers, equilibrate(layers))[0] <= DAVIES_LIMIT)
    return layers


@settings(max_examples=80, deadline=None)
@given(layer_choices)
def test_fast_solver_equals_the_nested_brackets__analytic(choices):
    given_ = given_to_reference(choices)
    layers = within_the_activity_model(given_)
    found = checked(layers)
    assert excess(layers, found, reference_amounts(given_)) < 1


def test_a_seeded_grid_equals_the_nested_brackets__analytic():
    """As many as the brackets' time allows; the next test takes the rest."""
    layers = seeded_layers(11, 600)
    found = checked(layers)
    within = np.flatnonzero(ionic_strength(layers, found) <= DAVIES_LIMIT)
    solid = found.gypsum[within] > 0
    assert within.size > 500
    assert 100 < solid.sum() < 400  # both kinds of layers are there
    wanted = np.concatenate([reference_amounts(reference_given(layers, n)) for n in within], axis=1)
    difference = np.abs(amounts_of(layers, found)[:, within] - wanted)
    assert (difference / allowed(layers.take(within))).max() < 1
    assert np.array_equal(wanted[9] > 0, solid)


def test_a_seeded_grid_of_twenty_thousand_satisfies_every_equation__analytic():
    """What makes an equilibrium: three exchange equations, and saturation where gypsum is solid, or less."""
    layers = seeded_layers(10, 20_000)
    found = checked(layers)
    others = layers.other_anions / layers.water
    solution = np.concatenate([found.concentrations, others[np.newaxis], np.zeros((1, layers.size))])
    speciation = speciate(solution, extrapolate=True)
    within = speciation.ionic_strength <= DAVIES_LIMIT
    solid = found.gypsum > 0
    assert within.sum() > 18_000
    assert 4_000 < (solid & within).sum() < 14_000
    index = speciation.gypsum_saturation_index
    assert np.abs(index[solid & within]).max() < 1e-9
    assert index[~solid & within].max() < 1e-9

    row = rows_of(layers)
    ca, mg, na, k, _ = found.concentrations
    e_ca, e_mg, e_na, e_k = found.exchanger
    root, e_d = np.sqrt(ca + mg), e_ca + e_mg
    assert e_na * root == pytest.approx(row["sodium_selectivity"] * na * e_d, rel=1e-9, abs=1e-12)
    assert e_k * root == pytest.approx(row["potassium_selectivity"] * k * e_d, rel=1e-9, abs=1e-12)
    assert e_mg * ca == pytest.approx(row["magnesium_selectivity"] * mg * e_ca, rel=1e-9, abs=1e-12)


@settings(max_examples=60, deadline=None)
@given(layer_choices)
def test_a_solution_beside_its_exchanger_is_found_again__analytic(choices):
    """Gapon and electroneutrality give a state in closed form; without gypsum its totals lead back to it."""
    choices = {**choices, "gypsum": 0.0}
    state = state_of_choices(choices)
    layers = within_the_activity_model(given_to_reference(choices))
    found = checked(layers)
    assume(found.gypsum[0] == 0)
    row = rows_of(layers)
    wanted = amounts(
        state["concentrations"][:, np.newaxis],
        state["exchanger"][:, np.newaxis],
        np.zeros(1),
        capacity=row["capacity"],
        water=row["water"],
    )
    assert excess(layers, found, wanted) < 1


@settings(max_examples=60, deadline=None)
@given(
    layer_choices,
    st.floats(-14.0, -1.0).map(lambda power: 10.0**power),
    st.sampled_from((-1.0, 0.0, 1.0)),
)
def test_gypsum_just_exhausted_switches_off_exactly__analytic(choices, by, side):
    """Beside gypsum to spare the dissolved sulfate is that of saturation: with just so much, none is left."""
    layers = layers_of(given_to_reference({**choices, "gypsum": choices["gypsum"] + 50.0}))
    plenty = checked(layers)
    assume(plenty.gypsum[0] > 0)
    assume(ionic_strength(layers, plenty)[0] <= DAVIES_LIMIT)
    edge = layers.take(np.array([0]))
    edge.table[3] = layers.water * plenty.concentrations[4] * (1 + side * by)
    assume(inventory(edge)[0, 0] > 0)
    cold, warm = checked(edge), checked(edge, plenty.start)
    offset = side * by * layers.water[0] * plenty.concentrations[4, 0]
    margin = allowed(edge)[9, 0]
    for found in (cold, warm):
        assert found.gypsum[0] == pytest.approx(max(offset, 0.0), abs=margin)
        if abs(offset) > margin:  # nearer than that, rounding decides
            assert (found.gypsum[0] > 0) == (side > 0)
    assert excess(edge, warm, amounts_of(edge, cold)) < 1


def test_rounding_at_the_edge_of_saturation_leaves_no_negative_gypsum__conservation():
    """Thousands of layers with just the sulfate that saturates them, give or take the last digit."""
    layers = seeded_layers(27, 3000)
    layers.table[3] += 300.0
    plenty = checked(layers)
    edge = layers.take(np.arange(layers.size))
    for last_digit in (-1e-15, 0.0, 1e-15):
        edge.table[3] = layers.water * plenty.concentrations[4] * (1 + last_digit)
        possible = np.flatnonzero(inventory(edge)[0] > 0)
        part = edge.take(possible)
        for start in (None, plenty.start.take(possible)):
            found = checked(part, start)
            within = ionic_strength(part, found) <= DAVIES_LIMIT
            assert (found.gypsum <= allowed(part)[9])[within].all()


def test_wrong_starts_lead_to_the_same_equilibrium__analytic():
    layers = seeded_layers(12, 3000)
    cold = checked(layers)
    within = np.flatnonzero(ionic_strength(layers, cold) <= DAVIES_LIMIT)
    layers, start = layers.take(within), cold.start.take(within)
    wanted = amounts_of(layers, cold_part := equilibrate(layers))
    rng = np.random.default_rng(3)
    others = rng.permutation(layers.size)
    flat = np.full(layers.size, 0.05)
    wrong = {
        "its own": start,
        "of other layers": start.take(others),
        "as if all were saturated": Start(
            log_x=start.log_x, strength=flat, solid=np.ones(layers.size, dtype=bool)
        ),
        "as if none were": Start(
            log_x=start.log_x, strength=start.strength, solid=np.zeros(layers.size, dtype=bool)
        ),
        "the other way round": Start(log_x=start.log_x, strength=flat, solid=~cold_part.start.solid),
        "nonsense": Start(
            log_x=rng.uniform(-20, 20, layers.size),
            strength=rng.uniform(1e-6, 2, layers.size),
            solid=rng.random(layers.size) < 0.5,
        ),
    }
    for name, begun in wrong.items():
        before = begun.log_x.copy(), begun.strength.copy(), begun.solid.copy()
        found = checked(layers, begun)
        assert excess(layers, found, wanted) < 1, name
        kept = (begun.log_x, begun.strength, begun.solid)
        assert all(np.array_equal(a, b) for a, b in zip(before, kept, strict=True)), name


def test_layers_do_not_see_each_other__conservation():
    layers = seeded_layers(13, 400)
    together = checked(layers)
    within = ionic_strength(layers, together) <= DAVIES_LIMIT
    order = np.random.default_rng(4).permutation(layers.size)
    shuffled = equilibrate(layers.take(order))
    whole = amounts_of(layers, together)
    tolerance = allowed(layers)
    apart = np.concatenate(
        [
            amounts_of(one, equilibrate(one))
            for one in (layers.take(np.array([number])) for number in range(layers.size))
        ],
        axis=1,
    )
    back = np.empty_like(whole)
    back[:, order] = amounts_of(layers.take(order), shuffled)
    for other in (apart, back):
        assert (np.abs(other - whole) / tolerance)[:, within].max() < 1


@pytest.mark.parametrize(
    "nothing",
    [
        {"potassium_share": 0.0},
        {"magnesium_share": 0.0},
        {"sulfate_share": 0.0, "gypsum": 0.0},
        {"sulfate_share": 0.0, "chloride_share": 0.0},
        {"sulfate_share": 1.0},
        {"sodium_share": 0.0},
        {"sodium_share": 0.0, "potassium_share": 0.0, "magnesium_share": 0.0},
        {"potassium_share": 0.0, "magnesium_share": 0.0, "sulfate_share": 1.0, "gypsum": 30.0},
        {"magnesium_selectivity": 1.0},
    ],
    ids=lambda nothing: " ".join(f"{key}={value:g}" for key, value in nothing.items()),
)
def test_layers_without_an_ion_equal_the_nested_brackets__analytic(nothing):
    count = 12
    choices = {**seeded_choices(14, count), **{key: np.full(count, value) for key, value in nothing.items()}}
    for number in range(count):
        given_ = given_to_reference({key: float(value[number]) for key, value in choices.items()})
        layers = layers_of(given_)
        found = checked(layers)
        if ionic_strength(layers, found)[0] <= DAVIES_LIMIT:
            assert excess(layers, found, reference_amounts(given_)) < 1
        for name, amount in (("sodium", found.exchanger[2, 0]), ("potassium", found.exchanger[3, 0])):
            assert (amount == 0) == (given_[name] == 0)


def test_selectivity_of_magnesium_of_one_continues_its_neighbours__analytic():
    """K_Mg = 1 makes a quadratic a line; beside it the quadratic has to give the same."""
    choices = seeded_choices(15, 300)
    found = []
    for selectivity in (1 - 1e-10, 1.0, 1 + 1e-10):
        choices["magnesium_selectivity"] = np.full(300, selectivity)
        layers = layers_of(
            {**choices, **state_of_choices({**choices, "magnesium_selectivity": np.ones(300)})}
        )
        found.append(amounts_of(layers, checked(layers)))
    scale = allowed(layers)
    assert (np.abs(found[0] - found[1]) / scale).max() < 1
    assert (np.abs(found[2] - found[1]) / scale).max() < 1


def test_rough_saturation_index_has_the_right_sign_beyond_its_margin__analytic():
    """Solutions with the sulfate that saturates them, to rounding: the rough index there is its error."""
    rng = np.random.default_rng(16)
    count = 8_000
    ranges = np.log([(0.05, 200.0), (1e-3, 700.0), (1e-3, 500.0), (1e-3, 400.0)])
    cations = np.exp(rng.uniform(ranges[:, :1], ranges[:, 1:], (4, count)))
    # the corner where the pairs are most of the sulfate, and the rough index is worst
    cations[:, 0] = 7.63, 339.0, 0.01, 0.01
    charge = 2 * cations[0] + 2 * cations[1] + cations[2] + cations[3]

    def index(sulfate: Array) -> Array:
        rest = np.maximum(charge - 2 * sulfate, 0.0)
        return speciate(
            np.stack([*cations, sulfate, rest, 0 * rest]), extrapolate=True
        ).gypsum_saturation_index

    low, high = np.full(count, 1e-9), charge / 2
    reached = index(high) > 0
    for _ in range(45):
        middle = 0.5 * (low + high)
        over = index(middle) > 0
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    rest = np.maximum(charge - 2 * high, 0.0)
    found = speciate(np.stack([*cations, high, rest, 0 * rest]), extrapolate=True)
    used = reached & (found.ionic_strength <= DAVIES_LIMIT)
    assert used[0]
    assert used.sum() > 1000
    assert np.abs(found.gypsum_saturation_index[used]).max() < 1e-9
    for rounds, margin in ROUGH:
        rough, _ = rough_saturation(cations, high, rest, CONSTANTS, rounds=rounds)
        assert np.abs(rough[used]).max() < margin
        # and the margin is not so wide that the rough index decides nothing
        assert np.abs(rough[used]).max() > margin / 10


def test_saturate_finds_what_gypsum_without_end_would_dissolve__analytic():
    layers = seeded_layers(17, 1500)
    rich = layers.take(np.arange(layers.size))
    rich.table[3] += 300.0 + rows_of(layers)["capacity"]
    wanted = checked(rich)
    within = (ionic_strength(rich, wanted) <= DAVIES_LIMIT) & (wanted.gypsum > 0)
    assert within.sum() > 1000
    flat = np.full(layers.size, 0.05)
    start = Start(
        log_x=equilibrate(layers).start.log_x, strength=flat, solid=np.zeros(layers.size, dtype=bool)
    )
    cold, near = saturate(layers, start)
    warm, _ = saturate(layers, near)
    wrong, _ = saturate(layers, near.take(np.random.default_rng(5).permutation(layers.size)))
    for found in (cold, warm, wrong):
        assert found[within] == pytest.approx(wanted.concentrations[4, within], rel=1e-9)


PLAIN = {
    "sodium": 40.0,
    "potassium": 5.0,
    "magnesium": 15.0,
    "sulfate": 1.0,
    "chloride": 10.0,
    "bicarbonate": 4.0,
    "capacity": 140.0,
    "water": 0.22,
}


BED = {
    "capacity": 140.0,
    "sodium_share": 0.2,
    "potassium_share": 0.03,
    "magnesium_share": 0.3,
    "sodium_selectivity": 0.01475,
    "potassium_selectivity": 0.1051,
    "magnesium_selectivity": 1.0,
    "charge": 20.0,
    "sulfate_share": 0.1,
    "chloride_share": 1.0,
}


def test_state_of_an_inventory_is_the_same_equilibrium__conservation():
    state = equilibrate_inventory(**PLAIN, selectivity=Selectivity())
    given_ = PLAIN | {
        "sodium_selectivity": 0.01475,
        "potassium_selectivity": 0.1051,
        "magnesium_selectivity": 1.0,
    }
    wanted = reference_amounts(given_)[:, 0]
    solution, exchanger = state.solution, state.exchanger
    assert solution.as_array()[:5] * 0.22 == pytest.approx(wanted[:5], rel=1e-9)
    assert (solution.cl, solution.hco3) == (pytest.approx(10 / 0.22), pytest.approx(4 / 0.22))
    fractions = (exchanger.ca, exchanger.mg, exchanger.na, exchanger.k)
    assert sum(fractions) == pytest.approx(1, abs=1e-12)
    assert 140 * np.array(fractions) / (2, 2, 1, 1) == pytest.approx(wanted[5:9], rel=1e-9)
    assert state.exchangeable_sodium_percentage == 100 * exchanger.na
    assert abs(solution.charge_imbalance) < 1e-12


@pytest.mark.parametrize(
    ("changes", "error", "says"),
    [
        ({"sodium": 200.0}, LimitError, "calcium = -.* mmol/kg: charge balance leaves none"),
        ({"magnesium": 56.0}, LimitError, "calcium"),
        ({"sulfate": 0.0, "chloride": 0.0, "bicarbonate": 0.0}, LimitError, "anions = 0 mmol_c/kg"),
        ({"chloride": 400.0}, ModelRangeError, "ionic strength = .* mol/L: the soil solution is too salty"),
    ],
)
def test_impossible_inventories_are_refused__conservation(changes, error, says):
    with pytest.raises(error, match=says):
        equilibrate_inventory(**(PLAIN | changes), selectivity=Selectivity())


@pytest.mark.parametrize("more", [600.0, 3000.0, 6000.0])
@pytest.mark.parametrize("water", [0.02, 0.22])
def test_layers_full_of_gypsum_are_solved_although_all_of_it_never_dissolves__analytic(more, water):
    """Half the soil's mass; dissolved it would be 300 mol/L, where activities overflow, as in the brackets.

    Beside solid gypsum the solution does not know how much of it there is: the brackets solve it with little.
    """
    given_ = given_to_reference(BED | {"water": water, "gypsum": 60.0})
    wanted = reference_amounts(given_)
    wanted[9] += more
    layers = layers_of(given_ | {"sulfate": given_["sulfate"] + more})
    assert excess(layers, checked(layers), wanted) < 1


@pytest.mark.parametrize(
    "changes",
    [
        {"sulfate": 3000.0, "chloride": 200.0},
        {"sulfate": 500.0, "chloride": 3000.0, "water": 0.02},
        {"sulfate": 3000.0, "magnesium": 900.0, "water": 0.02},
        {"chloride": 1000.0, "sodium": 900.0},
        {"sulfate": 400.0, "magnesium": 400.0, "water": 0.02},
    ],
    ids=str,
)
def test_brines_are_refused_as_too_strong_and_never_overflow__davies1962(changes):
    with pytest.raises(ModelRangeError, match=r"ionic strength = [0-9.e+]+ mol/L: the solution|the soil"):
        equilibrate_inventory(**(PLAIN | changes), selectivity=Selectivity())


def test_a_layer_that_cannot_be_is_refused_and_not_returned__conservation():
    layers = seeded_layers(18, 3)
    layers.table[0, 1] = 2 * total_charge(layers)[1]  # more sodium than exchanger and anions can hold
    with pytest.raises(ConvergenceError, match="layers = 1: charge balance did not settle"):
        equilibrate(layers)


def test_comparisons_of_these_tests_can_fail__analytic():
    layers = seeded_layers(19, 50)
    found = equilibrate(layers)
    held = amounts_of(layers, found)
    for row in range(10):
        moved = held.copy()
        moved[row] += 3 * allowed(layers)[row]
        assert excess(layers, found, moved) > 1
    moved = held.copy()
    moved[7] *= 1 + 1e-6
    assert balance_errors(layers, moved).max() > 1


def test_saturation_index_of_the_reference_equals_the_vectorised_one__analytic():
    layers = seeded_layers(26, 150)
    found = equilibrate(layers)
    others = layers.other_anions / layers.water
    solutions = np.concatenate([found.concentrations, others[np.newaxis], np.zeros((1, layers.size))])
    speciation = speciate(solutions, extrapolate=True)
    compared = 0
    for number in np.flatnonzero(speciation.ionic_strength <= DAVIES_LIMIT):
        solution = tuple(float(value) for value in solutions[:, number])
        index, strength = saturation_index_reference(solution)
        assert strength == pytest.approx(speciation.ionic_strength[number], rel=1e-12)
        wanted = speciation.gypsum_saturation_index[number]
        assert index == wanted or index == pytest.approx(wanted, abs=1e-11)
        compared += math.isfinite(index)
    assert compared > 80
    # without calcium, without sulfate, and without either
    assert saturation_index_reference((0.0, 0.0, 10.0, 0.0, 5.0, 0.0, 0.0))[0] == -math.inf
    assert saturation_index_reference((5.0, 0.0, 0.0, 0.0, 0.0, 10.0, 0.0))[0] == -math.inf
    assert saturation_index_reference((0.0, 0.0, 0.0, 0.0, 5.0, 0.0, 0.0))[0] == -math.inf


def test_the_reference_refuses_a_layer_that_cannot_be__conservation():
    impossible = given_to_reference(BED | {"water": 0.22, "gypsum": 0.0})
    impossible["magnesium"] = 500.0
    with pytest.raises(ConvergenceError, match="does not hold a root"):
        equilibrate_reference(**impossible)


def test_rough_saturation_goes_to_the_exact_one_whatever_is_paired__analytic():
    """One cation at a time and all together, so that no small pair hides behind a large one."""
    cations = np.array(
        [[5.0, 5.0, 5.0, 8.0], [0.01, 30.0, 0.01, 9.0], [100.0, 0.01, 0.01, 60.0], [0.01, 0.01, 150.0, 70.0]]
    )
    charge = 2 * cations[0] + 2 * cations[1] + cations[2] + cations[3]
    sulfate = 0.3 * charge
    rest = charge - 2 * sulfate
    exact = speciate(np.stack([*cations, sulfate, rest, 0 * rest]))
    index, strength = rough_saturation(cations, sulfate, rest, CONSTANTS, rounds=80)
    assert index == pytest.approx(exact.gypsum_saturation_index, abs=1e-9)
    assert strength == pytest.approx(exact.ionic_strength, rel=1e-9)
