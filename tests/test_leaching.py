"""Whole columns: a plain column by nested brackets, published order and bands, resolution, irrigation."""

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from strategies import plain_soil

from soilx.chemistry.gypsum import gypsum_saturation_index, gypsum_solubility, saturated_with_gypsum
from soilx.chemistry.ions import ORDER
from soilx.chemistry.layer_reference import equilibrate_reference
from soilx.column.dispersion import layers_and_fraction_for
from soilx.column.files import demo_path, read_scenario
from soilx.column.leaching import leach, leach_together
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.column.sweep import sweep
from soilx.column.water import DEIONISED, Water
from soilx.errors import LimitError

Array = NDArray[np.float64]

CL, NA, SO4 = (ORDER.index(ion) for ion in ("Cl", "Na", "SO4"))
GYPSUM_WATER = Water(name="gypsum water", solution=saturated_with_gypsum(DEIONISED.solution))


class PlainColumn:
    """A column written out layer by layer, in floats and lists, each layer solved by nested brackets."""

    def __init__(self, scenario: Scenario) -> None:
        soil, count = scenario.soil, scenario.layers
        self.scenario, self.soil = scenario, soil
        names = ("calcium", "magnesium", "sodium", "potassium", "sulfate", "chloride", "bicarbonate")
        self.totals = [[getattr(soil, name) for name in names] for _ in range(count)]
        self.waiting = [float(dose) for dose in scenario.gypsum_by_layer()]
        self.rates = [float(rate) for rate in scenario.dissolution_rate_by_layer()]
        self.water = [soil.initial_water] * count
        self.wetted = [False] * count
        self.dissolved: list[Sequence[float]] = [()] * count
        self.exchanger: list[Sequence[float]] = [()] * count
        self.solid = [0.0] * count
        self.leachate: list[tuple[float, Sequence[float]]] = []
        for layer in range(count):
            self.settle(layer)

    def solved(self, layer: int, sulfate: float) -> tuple[Sequence[float], Sequence[float], float]:
        _, mg, na, k, _, cl, hco3 = self.totals[layer]
        chosen = self.soil.selectivity
        return equilibrate_reference(
            sodium=na, potassium=k, magnesium=mg, sulfate=sulfate, chloride=cl, bicarbonate=hco3,
            capacity=self.soil.cation_exchange_capacity, water=self.water[layer],
            sodium_selectivity=chosen.sodium, potassium_selectivity=chosen.potassium,
            magnesium_selectivity=chosen.magnesium,
        )  # fmt: skip

    def settle(self, layer: int) -> None:
        solution, exchanger, solid = self.solved(layer, self.totals[layer][4])
        self.dissolved[layer], self.exchanger[layer], self.solid[layer] = solution, exchanger, solid

    def release(self, layer: int, hours: float) -> None:
        given = self.waiting[layer]
        if given > 0 and math.isfinite(self.rates[layer]):
            saturated = self.solved(layer, self.totals[layer][4] + 500.0)[0][4] * self.water[layer]
            pace = self.rates[layer] * hours
            given = min(given, max(saturated - self.totals[layer][4], 0.0) * pace / (1 + pace))
        self.waiting[layer] -= given
        self.totals[layer][0] += given
        self.totals[layer][4] += given

    def step(self, volume: float, inflow: Sequence[float], hours: float) -> None:
        count, drained = self.scenario.layers, self.soil.drained_water
        bypass = self.scenario.bypass_fraction
        if not math.isfinite(self.rates[0]):
            for layer in range(count):
                if not self.wetted[layer] and self.water[layer] >= drained:
                    self.release(layer, hours)
                    self.settle(layer)
                    self.wetted[layer] = True
        entering, above = volume, list(inflow)
        for layer in range(count):
            leaving = entering - max(drained - self.water[layer], 0.0)
            leaving = leaving if leaving > 1e-12 else 0.0
            own = self.dissolved[layer]
            out = [(1 - bypass) * mine + bypass * theirs for mine, theirs in zip(own, above, strict=True)]
            for ion in range(7):
                self.totals[layer][ion] += entering * above[ion] - leaving * out[ion]
            self.water[layer] = min(self.water[layer] + entering - leaving, drained)
            if entering > 0:
                self.release(layer, hours)
                self.wetted[layer] = True
            entering, above = leaving, out
        self.leachate.append((entering / count, above))
        for layer in range(count):
            self.settle(layer)

    def dry(self, volume: float) -> None:
        available = [water - self.soil.driest_water for water in self.water]
        mean = sum(available) / len(available)
        self.water = [w - volume * a / mean for w, a in zip(self.water, available, strict=True)]
        for layer in range(len(self.water)):
            self.settle(layer)

    def run(self) -> "PlainColumn":
        size = self.scenario.displaced_fraction * self.soil.drained_water
        for wetting, inflow in zip(self.scenario.wettings, self.scenario.inflows, strict=True):
            whole = wetting.volume * self.scenario.layers
            while whole > 1e-9 * size:
                volume = min(size, whole)
                part = volume / self.scenario.layers / wetting.volume
                self.step(volume, inflow.as_array().tolist(), wetting.hours * part)
                whole -= volume
            if wetting.evapotranspiration > 0:
                self.dry(wetting.evapotranspiration)
                self.leachate.append((0.0, (1.0,) * 7))
        return self


def bed_7() -> Scenario:
    return read_scenario(demo_path("pair.toml"))


def block_c() -> Scenario:
    return read_scenario(demo_path("block_c.toml"))


WELL = Water.of(
    name="well", sodium="8.4 mmol_c/L", calcium="1.2 mmol_c/L", magnesium="0.9 mmol_c/L",
    potassium="0.1 mmol_c/L", bicarbonate="5.8 mmol_c/L", chloride="3.6 mmol_c/L", sulfate="1.2 mmol_c/L",
)  # fmt: skip
SEASON = [
    {"amount": "1.1 pore_volume", "water": WELL, "evapotranspiration": "0.06 L/kg"},
    {"amount": "0.7 pore_volume", "hours": "12 h"},
]
CASES = {
    "Bed 7, treated": bed_7().with_(layers=6),
    "Bed 7, untreated": bed_7().with_(layers=6, gypsum="0 g/kg"),
    "Block C, dry start, bypass": block_c().with_(
        layers=3, bypass_fraction=0.3, displaced_fraction=0.7, wettings=["2.5 pore_volume"]
    ),
    "Bed 7, slow gypsum on the surface": bed_7().with_(
        layers=3, placement="surface", dissolution="first_order", wettings=["1.5 pore_volume"]
    ),
    "Block C, slow gypsum in dry soil, two waters, drying": block_c().with_(
        layers=2, dissolution="first_order", dissolution_rate="0.05 1/h", wettings=SEASON
    ),
    "Bed 7, top third, drying in between": bed_7().with_(layers=3, placement="top 5 cm", wettings=SEASON),
}


@pytest.mark.parametrize("name", CASES)
def test_a_plain_column_of_nested_brackets_gives_the_same__analytic(name):
    scenario = CASES[name]
    run, plain = leach(scenario), PlainColumn(scenario).run()
    volumes = np.array([volume for volume, _ in plain.leachate])
    assert run.trace.out_volume == pytest.approx(volumes, rel=1e-9, abs=1e-12)
    inventory = np.maximum(run.start + run.added, 1e-3)
    leached = volumes @ np.array([ions for _, ions in plain.leachate])
    for row, symbol in enumerate(ORDER):
        assert abs(run.balance[symbol].leached - leached[row]) < 1e-9 * inventory[row], symbol
    dissolved, exchanger = run.concentrations[-1].T, run.exchanger[-1].T
    assert dissolved == pytest.approx(np.array(plain.dissolved), rel=1e-8, abs=1e-9)
    assert exchanger == pytest.approx(np.array(plain.exchanger), rel=1e-9, abs=1e-11)
    gypsum = np.array(plain.solid) + np.array(plain.waiting)
    assert run.gypsum[-1] == pytest.approx(gypsum, abs=1e-9 * max(scenario.gypsum, 1.0))
    assert run.water_content[-1] == pytest.approx(np.array(plain.water), rel=1e-12)


def pair(scenario: Scenario) -> tuple[Run, Run]:
    treated, untreated = sweep([scenario, scenario.without_gypsum()])
    return treated, untreated


def test_the_demo_pair_shows_its_four_figures__pinned():
    """282 and 658, 711 and 229 mg/kg; ESP 20.7 to 7.1: by a bracketed column, an invented soil."""
    treated, untreated = pair(bed_7())
    assert untreated.sodium_leached_mg_per_kg == pytest.approx(282, abs=0.5)
    assert untreated.sodium_left_mg_per_kg == pytest.approx(658, abs=0.5)
    assert treated.sodium_leached_mg_per_kg == pytest.approx(711, abs=0.5)
    assert treated.sodium_left_mg_per_kg == pytest.approx(229, abs=0.5)
    assert treated.initial_esp_pct == pytest.approx(20.7, abs=0.05)
    assert treated.final_esp_pct == pytest.approx(7.1, abs=0.05)


@pytest.mark.parametrize("initial", ["0.20 L/kg", "0.05 L/kg"])
def test_a_strongly_sodic_soil_leaves_and_keeps_what_practice_says__common_practice(initial):
    """About 300 of 1100 mg/kg leave and 800 stay; with a full rate over 70 % leave and about 270 stay.

    Bands, since "about" is no digit: 50 around the round hundreds and around 270. Moistened first, four times
    the moisture in all.
    """
    soil = plain_soil(
        cation_exchange_capacity="16 cmol_c/kg", bulk_density="1.4 kg/L", drained_water="0.20 L/kg",
        initial_water=initial, total_sodium="1100 mg/kg", other_anions="15 mmol_c/kg",
    )  # fmt: skip
    treated, untreated = pair(Scenario.of(soil, gypsum="3.5 g/kg", wettings=["4 pore_volume"]))
    assert untreated.sodium_initial_mg_per_kg == pytest.approx(1100, abs=0.5)
    assert untreated.sodium_leached_mg_per_kg == pytest.approx(300, abs=50)
    assert untreated.sodium_left_mg_per_kg == pytest.approx(800, abs=50)
    assert treated.sodium_leached_mg_per_kg / 1100 > 0.70
    assert treated.sodium_left_mg_per_kg == pytest.approx(270, abs=50)


@pytest.mark.parametrize(("scenario", "dispersivity"), [(bed_7(), 3.125), (block_c(), 3.125)])
def test_six_to_twenty_three_layers_agree_at_equal_dispersivity__analytic(scenario, dispersivity):
    """Bound: 0.35 points of ESP and 2 % of the sodium leached around 12 layers; untreated, 0.01 and 0.2 %.

    The treated column is the harder one: its gypsum gives out layer by layer. Seen: 7.47, 7.12, 6.99, 6.92
    for Bed 7 and 9.19, 8.97, 8.89, 8.85 for Block C, finer layers using gypsum a little better.
    """
    found: dict[int, tuple[Run, Run]] = {}
    for count in (6, 12, 18, 23):
        layers, fraction = layers_and_fraction_for(dispersivity, scenario.soil.depth, layers=count)
        cut = scenario.with_(layers=layers, displaced_fraction=fraction)
        assert cut.dispersivity == pytest.approx(dispersivity, rel=1e-12)
        found[count] = pair(cut)
    for treated, untreated in found.values():
        for run, middle, points, part in (
            (treated, found[12][0], 0.35, 0.02),
            (untreated, found[12][1], 0.01, 0.002),
        ):
            assert run.final_esp_pct == pytest.approx(middle.final_esp_pct, abs=points)
            assert run.sodium_leached_mg_per_kg == pytest.approx(middle.sodium_leached_mg_per_kg, rel=part)
    with pytest.raises(LimitError, match=r"dispersivity = 3\.125 mm"):
        layers_and_fraction_for(dispersivity, scenario.soil.depth, layers=24)  # N is at most L/2α


@pytest.mark.parametrize(("soil", "gypsum", "esp"), [("bed", "3 g/kg", 10.0), ("block", "12 t/ha", 9.0)])
def test_placements_need_water_in_the_published_order__frenkel1989(soil, gypsum, esp):
    """Mixed < top third mixed < saturated gypsum water < surface < water only."""
    given = {"bed": bed_7(), "block": block_c()}[soil].soil
    water = "30 pore_volume"
    mixed = Scenario.of(given, gypsum=gypsum, wettings=[water])
    order = (
        mixed,
        mixed.with_(placement="top 5 cm"),
        Scenario.of(given, wettings=[(water, GYPSUM_WATER)]),
        mixed.with_(placement="surface", dissolution="first_order"),
        mixed.without_gypsum(),
    )
    needed = []
    for run in sweep(order):
        reached = run.depth_average_esp_pct <= esp
        needed.append(float(run.applied_water[np.argmax(reached)]) if reached.any() else math.inf)
    assert needed == sorted(needed)
    assert len(set(needed)) == 5
    assert needed[3] < math.inf  # surface-laid gypsum gets there, water alone does not
    assert needed[4] == math.inf


@pytest.mark.parametrize("layers", [1, 3, 12, 24])
@pytest.mark.parametrize("fraction", [0.5, 1.0])
def test_water_below_surface_gypsum_carries_a_third_of_saturation__surface_gypsum(layers, fraction):
    """Whatever the number of layers: the rate was set to it once, on soil that exchanges next to nothing."""
    sand = plain_soil(
        cation_exchange_capacity="0.1 cmol_c/kg", total_sodium="1 mg/kg", total_potassium="0 mg/kg",
        magnesium_share="0 %", total_sulfate="0 mmol/kg", other_anions="0.1 mmol_c/kg",
    )  # fmt: skip
    laid = Scenario.of(
        sand, gypsum="40 g/kg", wettings=["6 pore_volume"], placement="surface", dissolution="first_order",
        layers=layers, displaced_fraction=fraction,
    )  # fmt: skip
    run = leach(laid)
    sulfate = run.concentrations[-1, SO4, -1] / gypsum_solubility(DEIONISED.solution)
    assert sulfate == pytest.approx(1 / 3, abs=0.005)
    # twice the contact time, more; at equilibrium, all of it
    slower = leach(laid.with_(wettings=[{"amount": "6 pore_volume", "hours": "288 h"}]))
    assert slower.concentrations[-1, SO4, -1] > 1.4 * run.concentrations[-1, SO4, -1]
    whole = leach(laid.with_(dissolution=None))
    saturated = whole.concentrations[-1, SO4, -1] / gypsum_solubility(DEIONISED.solution)
    assert saturated == pytest.approx(1, abs=0.01)


def test_a_bypass_keeps_more_salt__conservation():
    runs = sweep(
        bed_7().with_(wettings=["1.5 pore_volume"], bypass_fraction=bypass) for bypass in (0.0, 0.2, 0.4, 0.7)
    )
    kept = [run.balance["Cl"].left for run in runs]
    assert kept == sorted(kept)
    assert kept[3] > 3 * kept[0]


def test_gypsum_in_the_water_adds_up_and_equals_that_water__conservation():
    scenario = bed_7().with_(gypsum="1.5 g/kg", placement="water", wettings=["5 pore_volume"])
    dissolved = scenario.gypsum / scenario.volume
    floor = DEIONISED.solution
    same_ions = replace(floor, ca=floor.ca + dissolved, so4=floor.so4 + dissolved)
    water = Water(name="the same", solution=same_ions)
    same = Scenario.of(scenario.soil, wettings=[("5 pore_volume", water)])
    by_dose, by_water = leach(scenario), leach(same)
    assert by_dose.exchanger == pytest.approx(by_water.exchanger, rel=1e-9)
    assert by_dose.balance["SO4"].added == pytest.approx(scenario.gypsum, rel=1e-4)
    assert by_dose.gypsum.max() == 0


def test_gypsum_precipitates_in_drying_soil_and_dissolves_again__conservation():
    water = Water.of(name="hard", calcium="28 mmol_c/L", sulfate="28 mmol_c/L")
    dried = [{"amount": "6 pore_volume", "water": water, "evapotranspiration": "0.12 L/kg"}, "2 pore_volume"]
    run = leach(Scenario.of(bed_7().soil, wettings=dried))
    row = int(np.argmin(run.water_content.mean(axis=1)))
    assert run.gypsum[row - 1].max() == 0
    assert run.gypsum[row].mean() > 0.5
    assert run.gypsum[-1].max() == 0
    assert run.gypsum.min() >= 0
    sulfate = run.balance["SO4"]
    assert abs(sulfate.closing_error) < 1e-9
    assert sulfate.leached + sulfate.left == pytest.approx(sulfate.start + sulfate.added, rel=1e-9)


def test_waters_in_sequence_come_through_in_their_order__conservation():
    salty = Water.of(name="salty", calcium="40 mmol/L", chloride="80 mmol/L")
    run = leach(
        Scenario.of(
            bed_7().soil, wettings=[("4 pore_volume", salty), "4 pore_volume", ("4 pore_volume", salty)]
        )
    )
    chloride = run.leachate.concentrations[CL]
    assert chloride[3] == pytest.approx(80, rel=0.01)
    assert chloride[7] < 1
    assert chloride[11] == pytest.approx(80, rel=0.01)
    assert run.balance["Cl"].added == pytest.approx(8 * 0.22 * 80 + 4 * 0.22e-4, rel=1e-9)
    other = leach(Scenario.of(bed_7().soil, wettings=["4 pore_volume", ("8 pore_volume", salty)]))
    assert other.final_esp_pct != pytest.approx(run.final_esp_pct, rel=1e-3)


@pytest.mark.parametrize("start", ["10 mg/kg", "150 mg/kg"])
def test_irrigation_brings_any_soil_to_the_water_s_own_esp__analytic(start):
    """In the end ESP = 100 K SAR/(1 + K SAR), from below and from above, without potassium."""
    plain = Water.of(
        name="well", sodium="8.4 mmol_c/L", calcium="1.2 mmol_c/L", magnesium="0.9 mmol_c/L",
        chloride="10.5 mmol_c/L",
    )  # fmt: skip
    soil = plain_soil(
        cation_exchange_capacity="1 cmol_c/kg", total_sodium=start, total_potassium="0 mg/kg",
        total_sulfate="0.1 mmol/kg", other_anions="1 mmol_c/kg",
    )  # fmt: skip
    ratio = 0.01475 * plain.sodium_adsorption_ratio
    run = leach(Scenario.of(soil, wettings=[("40 pore_volume", plain)], layers=4))
    assert plain.sodium_adsorption_ratio == pytest.approx(8.4 / math.sqrt(1.05), rel=1e-9)
    assert run.final_esp_by_layer_pct == pytest.approx(100 * ratio / (1 + ratio), rel=1e-8)
    # with gypsum on top of it the end is the same once it is gone
    treated = leach(run.scenario.with_(gypsum="2 g/kg"))
    assert treated.gypsum[-1].max() == 0
    assert treated.final_esp_by_layer_pct == pytest.approx(100 * ratio / (1 + ratio), rel=1e-6)


def test_columns_of_other_lengths_are_not_stepped_as_one_array__conservation():
    with pytest.raises(LimitError, match=r"layers: differ .* use soilx\.sweep"):
        leach_together([bed_7(), bed_7().with_(layers=6)])


def test_a_column_before_its_first_water_is_the_soil_itself__conservation():
    run = leach(Scenario.of(bed_7().soil, gypsum="3 g/kg"))
    assert run.steps == 0
    assert run.final_esp_pct == pytest.approx(run.initial_esp_pct, rel=1e-9)
    assert run.sodium_leached_mg_per_kg == 0
    assert run.gypsum_left_g_per_kg == pytest.approx(3.0, rel=1e-12)
    assert run.exchange_efficiency is None
    assert run.leachate.volume.size == 0


def test_native_gypsum_reacts_and_counts_like_gypsum_given__conservation():
    """Sulfate of the soil beyond its solubility is solid gypsum from the start."""
    soil: Soil = plain_soil(total_sulfate="20 mmol/kg")
    run = leach(Scenario.of(soil, wettings=["1 pore_volume"]))
    assert run.gypsum[0].mean() > 5
    assert run.gypsum[-1].mean() < run.gypsum[0].mean()
    assert run.final_esp_pct < leach(Scenario.of(plain_soil(), wettings=["1 pore_volume"])).final_esp_pct


def test_gypsum_in_moist_soil_has_reacted_before_the_first_water_leaves__conservation():
    run = leach(bed_7().with_(gypsum="15 g/kg", wettings=["0.1 pore_volume"]))
    first = run.step_leachate.concentrations[:, 0]
    assert gypsum_saturation_index(first) == pytest.approx(0.0, abs=1e-9)


def test_gypsum_mixed_in_and_dissolving_slowly_is_the_same_beside_another_column__conservation():
    slow = bed_7().with_(
        gypsum="3 g/kg", layers=3, dissolution="first_order", dissolution_rate="0.05 1/h", wettings=["1 in"]
    )
    quick = slow.with_(dissolution_rate="0.2 1/h")
    for together, alone in zip(leach_together([slow, quick]), (leach(slow), leach(quick)), strict=True):
        assert together.gypsum == pytest.approx(alone.gypsum, rel=1e-9)
        assert abs(together.balance["SO4"].closing_error) < 1e-9
    assert leach(slow).gypsum[-1].mean() > leach(quick).gypsum[-1].mean() > 0


def test_slow_gypsum_goes_pace_over_one_and_pace_of_the_way_to_saturation__analytic():
    # one stirred layer, one step of 10 h: κt of 0.5 dissolves a third of what time without end would
    def dissolved(rate: float) -> float:
        run = leach(
            bed_7().with_(
                gypsum="30 g/kg",
                layers=1,
                displaced_fraction=1.0,
                dissolution="first_order",
                dissolution_rate=f"{rate!r} 1/h",
                wettings=[{"amount": "1 pore_volume", "hours": "10 h"}],
            )
        )
        return float(run.gypsum[0, 0] - run.gypsum[-1, 0])

    whole = dissolved(1e9)
    assert dissolved(0.05) == pytest.approx(whole / 3, rel=1e-6)
    assert dissolved(0.3) == pytest.approx(whole * 3 / 4, rel=1e-6)
