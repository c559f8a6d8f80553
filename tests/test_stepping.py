"""The stack of stirred layers: tracers against closed forms, the exchange front, what no step may break."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from numpy.typing import NDArray
from scipy import special, stats
from strategies import plain_soil, scenarios

from soilx.chemistry.ions import ORDER
from soilx.column import stepping
from soilx.column.leaching import leach
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.stepping import DAVIES_LIMIT
from soilx.column.water import Water
from soilx.errors import LimitError, ModelRangeError

Array = NDArray[np.float64]

CL = ORDER.index("Cl")
NA = ORDER.index("Na")
SPIKE = Water.of(name="spike", sodium="10 mmol/L", calcium="10 mmol/L", chloride="30 mmol/L")


def tracer(*, layers: int, fraction: float, steps: int, **more: object) -> Run:
    """A sand given water with another chloride than its own, step by step."""
    sand = plain_soil(
        cation_exchange_capacity="1 cmol_c/kg", total_sodium="50 mg/kg", total_sulfate="0 mmol/kg",
        other_anions="2.2 mmol_c/kg", total_potassium="0 mg/kg",
    )  # fmt: skip
    return leach(
        Scenario.of(
            sand,
            wettings=[(f"{steps * fraction / layers!r} pore_volume", SPIKE)],
            layers=layers,
            displaced_fraction=fraction,
            **more,
        )
    )


def share(chloride: Array, run: Run) -> Array:
    """Of the inflow's chloride over the soil's own."""
    own = run.concentrations[0, CL, 0]
    return (chloride - own) / (30.0 - own)


def first_type(peclet: float, volumes: float) -> float:
    """Ogata and Banks at the end of a column held at the inflow's concentration."""
    width = 2 * math.sqrt(volumes / peclet)
    ahead, behind = (1 - volumes) / width, (1 + volumes) / width
    return 0.5 * (special.erfc(ahead) + math.exp(-(ahead**2)) * special.erfcx(behind))


def third_type(peclet: float) -> float:
    """Resident concentration after one pore volume where the inflow's flux is held."""
    root = math.sqrt(peclet)
    return 0.5 + root / math.sqrt(math.pi) - 0.5 * (1 + 2 * peclet) * special.erfcx(root)


@pytest.mark.parametrize(
    ("layers", "fraction", "steps"),
    [(1, 0.3, 20), (5, 0.5, 25), (12, 0.5, 60), (23, 0.05, 400), (7, 1.0, 12)],
)
def test_a_tracer_breaks_through_by_the_binomial__analytic(layers, fraction, steps):
    run = tracer(layers=layers, fraction=fraction, steps=steps)
    taken = np.arange(steps + 1)
    assert run.steps == steps
    for layer in range(layers):
        wanted = stats.binom.sf(layer, taken, fraction)  # P(Bin(m, f) ≥ layer + 1)
        assert share(run.concentrations[:, CL, layer], run) == pytest.approx(wanted, abs=1e-12)
    # what leaves in step m is the last layer as it was after m − 1
    leachate = run.step_leachate.concentrations[CL]
    assert share(leachate, run) == pytest.approx(stats.binom.sf(layers - 1, taken[:-1], fraction), abs=1e-12)


# Checks table of the stirred cascade: P(N, N·T), exact to its six digits
CASCADE = {
    1: (0.393469, 0.550671, 0.632121, 0.776870, 0.864665),
    5: (0.108822, 0.371163, 0.559507, 0.867938, 0.970747),
    10: (0.031828, 0.283376, 0.542070, 0.930146, 0.995005),
    20: (0.003454, 0.187751, 0.529743, 0.978127, 0.999824),
}
VOLUMES = (0.5, 0.8, 1.0, 1.5, 2.0)


@pytest.mark.parametrize("layers", CASCADE)
def test_small_displacements_tend_to_the_cascade_of_stirred_tanks__analytic(layers):
    exact = special.gammainc(layers, layers * np.array(VOLUMES))
    assert exact == pytest.approx(CASCADE[layers], abs=5e-7)
    errors, curves = [], []
    for fraction in (0.1, 0.05, 0.025):
        run = tracer(layers=layers, fraction=fraction, steps=round(2 * layers / fraction))
        rows = [round(volumes * layers / fraction) for volumes in VOLUMES]
        curves.append(share(run.concentrations[rows, CL, -1], run))
        errors.append(np.abs(curves[-1] - exact).max())
    # first order in f: halving it halves the error, and twice the finer less the coarser is nearly exact
    assert errors[0] / errors[1] == pytest.approx(2, abs=0.25)
    assert errors[1] / errors[2] == pytest.approx(2, abs=0.12)
    assert 2 * curves[2] - curves[1] == pytest.approx(CASCADE[layers], abs=1e-3)


def test_one_pore_volume_lies_between_the_two_inlets_of_the_closed_form__ogata_banks1961():
    """At T = 1 and Pe = 2N, between the third and the first type, within 0.03 of the first."""
    assert first_type(20, 1.0) == pytest.approx(0.561607, abs=5e-7)
    assert first_type(20, 0.5) == pytest.approx(0.017453, abs=5e-7)
    assert first_type(100, 1.0) == pytest.approx(0.528070, abs=5e-7)
    for layers in (10, 25, 50):
        run = tracer(layers=layers, fraction=0.05, steps=20 * layers)
        arrived = share(run.concentrations[-1, CL, -1], run)
        assert third_type(2 * layers) < arrived < first_type(2 * layers, 1.0)
        assert arrived == pytest.approx(first_type(2 * layers, 1.0), abs=0.03)


def test_a_bypass_carries_its_power_of_the_inflow_straight_through__analytic():
    """In the first step a layer passes on (1 − β) of its own water, and β of what comes from above."""
    run = tracer(layers=4, fraction=0.5, steps=6, bypass_fraction=0.3)
    first = share(run.step_leachate.concentrations[CL], run)[0]
    assert first == pytest.approx(0.3**4, abs=1e-12)
    # an even cascade of "mix, or pass": the whole curve from its own recurrence
    layers = np.zeros(4)
    for step in range(6):
        out = np.empty(4)
        above = 1.0
        for number in range(4):
            out[number] = 0.7 * layers[number] + 0.3 * above
            layers[number] += 0.5 * (above - out[number])
            above = out[number]
        assert share(run.concentrations[step + 1, CL], run) == pytest.approx(layers, abs=1e-12)
        assert share(run.step_leachate.concentrations[CL], run)[step] == pytest.approx(above, abs=1e-12)


@pytest.mark.parametrize("layers", [20, 50])
def test_the_exchange_front_arrives_after_7_163_pore_volumes__analytic(layers):
    """R = 1 + (ρ_b/θ)(ΔQ/ΔC), ΔC the sodium of the equilibrium solution, not the total charge."""
    density, porosity, capacity, charge = 1.3, 0.45, 200.0, 30.0
    water = porosity / density
    # E/(1 − E) = K Na/√Ca and Na + 2 Ca = 30: a quadratic in √Ca
    ratio = 0.30 / 0.70 / 0.01475
    root = (math.sqrt(ratio**2 + 8 * charge) - ratio) / 4
    sodium = ratio * root
    assert (sodium, root**2) == (pytest.approx(28.126, abs=5e-4), pytest.approx(0.937, abs=5e-4))
    retardation = 1 + density / porosity * (0.30 * capacity) / sodium
    assert retardation == pytest.approx(7.163, abs=5e-4)
    soil = plain_soil(
        bulk_density=f"{density} kg/L", cation_exchange_capacity=f"{capacity} mmol_c/kg",
        drained_water=f"{water!r} L/kg", total_sodium=f"{0.3 * capacity + water * sodium!r} mmol/kg",
        total_potassium="0 mg/kg", magnesium_share="0 %", total_sulfate="0 mmol/kg",
        other_anions=f"{water * charge!r} mmol_c/kg",
    )  # fmt: skip
    chloride = Water.of(name="CaCl2", calcium="30 mmol_c/L", chloride="30 mmol_c/L")
    run = leach(
        Scenario.of(soil, wettings=[("10 pore_volume", chloride)], layers=layers, displaced_fraction=1.0)
    )
    assert run.initial_esp_pct == pytest.approx(30.0, abs=1e-6)
    leachate = run.step_leachate.concentrations[NA]
    middle = (np.arange(run.steps) + 0.5) / layers  # of what has left before and after each step
    assert leachate[0] == pytest.approx(sodium, rel=1e-9)
    after = int(np.argmax(leachate < sodium / 2))
    part = (leachate[after - 1] - sodium / 2) / (leachate[after - 1] - leachate[after])
    arrival = middle[after - 1] + part / layers
    assert arrival == pytest.approx(7.163, rel=0.01)
    # as if the solution were all sodium, the front would come after 6.778: that is not what is found
    assert abs(arrival - 7.163) < abs(arrival - 6.778) / 5


@settings(max_examples=60, deadline=None)
@given(scenarios())
def test_no_column_breaks_a_balance_or_turns_negative__conservation(scenario):
    run = leach(scenario)
    for amounts in (run.concentrations, run.exchanger, run.gypsum, run.water_content):
        assert np.isfinite(amounts).all()
        assert amounts.min() >= 0
    for account in run.balance.values():
        assert abs(account.closing_error) < 1e-9
    assert run.exchanger.sum(axis=1) == pytest.approx(1, abs=1e-9)
    cations = np.einsum("i,sil->sl", np.array([2.0, 2, 1, 1]), run.concentrations[:, :4])
    anions = 2 * run.concentrations[:, 4] + run.concentrations[:, 5] + run.concentrations[:, 6]
    assert cations == pytest.approx(anions, rel=1e-9)
    # water in, water out, water kept
    wet = run.water_content.mean(axis=1)
    dried = sum(wetting.evapotranspiration for wetting in scenario.wettings)
    assert wet[0] + scenario.volume == pytest.approx(wet[-1] + run.trace.out_volume.sum() + dried, rel=1e-12)
    assert wet.max() <= scenario.soil.drained_water * (1 + 1e-12)


def test_the_first_water_fills_dry_layers_from_above__conservation():
    soil = plain_soil(drained_water="0.2 L/kg", initial_water="0.05 L/kg", bulk_density="1.4 kg/L")
    run = leach(Scenario.of(soil, wettings=["1.5 pore_volume"], layers=4, displaced_fraction=0.5))
    water = run.water_content
    assert water[0] == pytest.approx(np.full(4, 0.05))
    # a step brings 0.1 L per kg of one layer, a layer lacks 0.15
    assert water[1] == pytest.approx([0.15, 0.05, 0.05, 0.05])
    assert water[2] == pytest.approx([0.20, 0.10, 0.05, 0.05])
    assert water[3] == pytest.approx([0.20, 0.20, 0.05, 0.05])
    assert water[6] == pytest.approx(np.full(4, 0.20))
    assert (run.trace.out_volume[:6] == 0).all()
    assert run.trace.out_volume[6:] == pytest.approx(0.1 / 4)
    # nothing of the soil's own chloride is lost to filling
    held = (water[:7] * run.concentrations[:7, CL]).mean(axis=1)
    assert held == pytest.approx(held[0], rel=1e-3)


def test_a_dry_soil_keeps_back_what_fills_it_and_loses_the_same_salt__conservation():
    soils = (plain_soil(), plain_soil(initial_water="0.08 L/kg"))
    moist, dry = (leach(Scenario.of(soil, gypsum="3 g/kg", wettings=["5 pore_volume"])) for soil in soils)
    assert moist.trace.out_volume.sum() - dry.trace.out_volume.sum() == pytest.approx(0.14, rel=1e-9)
    for run in (moist, dry):
        assert run.balance["Cl"].leached == pytest.approx(run.balance["Cl"].start, rel=1e-4)
        assert run.water_content[-1] == pytest.approx(np.full(12, 0.22), rel=1e-12)


def test_a_column_just_filled_does_not_drip__conservation():
    soil = plain_soil(initial_water="0.07 L/kg")
    scenario = Scenario.of(soil, wettings=["0.15 L/kg", "0.1 L/kg"], layers=7, displaced_fraction=0.3)
    run = leach(scenario)
    assert run.leachate.clarity[0] == "no leachate"
    assert run.leachate.volume[0] == 0
    assert np.isnan(run.leachate.electrical_conductivity[0])
    assert run.leachate.volume[1] == pytest.approx(0.1, rel=1e-9)


def test_evapotranspiration_takes_water_and_leaves_salt__conservation():
    soil = plain_soil(driest_water="0.05 L/kg")
    run = leach(
        Scenario.of(
            soil,
            wettings=[{"amount": "0.5 pore_volume", "evapotranspiration": "0.1 L/kg"}, "0.2 pore_volume"],
        )
    )
    dry = int(np.argmin(run.water_content.mean(axis=1)))
    assert run.water_content[dry] == pytest.approx(np.full(12, 0.12))
    assert run.trace.out_volume[dry - 1] == 0
    for ion in ("Cl", "Na", "Mg", "K", "SO4"):
        row = ORDER.index(ion)
        held = run.water_content[dry - 1 : dry + 1] * run.concentrations[dry - 1 : dry + 1, row]
        if row < 4:
            charge = 2 if ion == "Mg" else 1
            held = held + 140 * run.exchanger[dry - 1 : dry + 1, row] / charge
        assert held[1] == pytest.approx(held[0], rel=1e-9)
    before, after = run.concentrations[dry - 1, CL], run.concentrations[dry, CL]
    assert after == pytest.approx(before * 0.22 / 0.12, rel=1e-9)
    # valence dilution the other way round: the stronger the solution, the more sodium goes to the clay
    assert (run.exchangeable_sodium_percentage[dry] > run.exchangeable_sodium_percentage[dry - 1]).all()


def test_too_much_evapotranspiration_is_refused_with_what_there_is__conservation():
    soil = plain_soil(driest_water="0.10 L/kg")
    twice = [{"amount": "0.01 pore_volume", "evapotranspiration": "0.1 L/kg"}] * 2
    with pytest.raises(LimitError, match=r"evapotranspiration = 0\.1 L/kg: .* the 0\.0222 L/kg"):
        leach(Scenario.of(soil, wettings=twice))
    with pytest.raises(LimitError, match=r"evapotranspiration = 0\.13 L/kg"):
        Scenario.of(soil, wettings=[{"amount": "1 pore_volume", "evapotranspiration": "0.13 L/kg"}])


def test_a_solution_too_strong_for_the_activity_model_is_refused__davies1962():
    salty = plain_soil(other_anions="60 mmol_c/kg", driest_water="0.05 L/kg")
    drying = [{"amount": "0.1 pore_volume", "evapotranspiration": "0.15 L/kg"}]
    scenario = Scenario.of(salty, wettings=drying)
    with pytest.raises(ModelRangeError, match=r"ionic strength = .* a layer is too salty"):
        leach(scenario)
    run = leach(scenario, extrapolate=True)
    assert np.isfinite(run.concentrations).all()
    assert run.gypsum.min() >= 0
    weights = np.array([4, 4, 1, 1, 4, 1, 1]) / 2000
    assert np.einsum("i,sil->sl", weights, run.concentrations).max() > DAVIES_LIMIT


def test_an_air_dry_layer_is_judged_once_water_reaches_it__davies1962():
    """0.7 mol/L of salt in what an air-dry soil holds: nothing happens there yet that activities decide."""
    soil = plain_soil(initial_water="0.02 L/kg")
    step = 0.5 / 12
    run = leach(Scenario.of(soil, wettings=[f"{step!r} pore_volume"]))
    assert run.water_content[-1] == pytest.approx([0.13] + [0.02] * 11)
    assert run.concentrations[-1, CL, 0] < 150
    assert run.concentrations[-1, CL, 1] > 600
    with pytest.raises(ModelRangeError, match="start from a wetter soil"):
        leach(Scenario.of(soil, wettings=[f"{2 * step!r} pore_volume"]))  # wets a second layer by a little


def test_what_is_displaced_whole_leaves_nothing_negative__conservation():
    sand = plain_soil(total_sulfate="0 mmol/kg", total_potassium="0 mg/kg", magnesium_share="0 %")
    pure = Water.of(name="CaCl2", calcium="1 mmol_c/L", chloride="1 mmol_c/L")
    run = leach(
        Scenario.of(
            sand,
            wettings=[{"amount": "1 pore_volume", "evapotranspiration": "0.1 L/kg"}, ("4 pore_volume", pure)],
            layers=3,
            displaced_fraction=1.0,
        )
    )
    assert run.concentrations.min() >= 0
    assert run.exchanger.min() >= 0


def test_layers_are_judged_by_the_ionic_strength_without_pairs__analytic():
    concentrations = np.array([1.0, 2.0, 30.0, 4.0, 5.0, 20.0, 6.0])
    # (4·1 + 4·2 + 30 + 4 + 4·5 + 20 + 6)/2000
    assert stepping._STRENGTH_WEIGHTS @ concentrations == pytest.approx(0.046, rel=1e-12)
