"""Bench plans: dose by soil mass, arms, portions, words, and what the model and the instruments can show."""

import math
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from soilx import demo_path, leach, read_scenario, read_soils, read_waters
from soilx.bench.budget import Closing, Displaced, budget_of
from soilx.bench.plan import LEAST_PORTION_ML, Plan
from soilx.bench.plan_arms import gypsum_water, salt_of_equal_conductivity
from soilx.bench.plan_cards import field_card, labels, shopping_list
from soilx.bench.plan_power import differences_seen, replicates_needed
from soilx.bench.plan_record import PREDICTED_COLUMNS, predicted_curves, record_begun, rehearsal
from soilx.bench.plan_scale import Scale
from soilx.bench.plan_weighing import weighing_of
from soilx.bench.plan_words import (
    FIRST_DRIPS_H,
    cautions,
    if_it_never_drips,
    steps_of,
    stop_rule,
    timing,
    what_it_shows,
)
from soilx.bench.record_columns import ARMS
from soilx.bench.record_reading import record_of_bytes
from soilx.bench.scale_card import dose_to_bench, dose_to_field, water_to_bench, water_to_field
from soilx.errors import LimitError, SoilxError, UnitKindError
from soilx.practice.dose.product import PURE, Product
from soilx.units import Ground, Kind, express
from soilx.wording import CAUTION_BENCH, CAUTION_DUST, CAUTION_RATE, DEIONISED_IS_HARSH

SOILS, WATERS = read_soils(demo_path("soils.csv")), read_waters(demo_path("waters.csv"))
BAG = Product.of("white bag", purity="88 %", moisture="6 %")
BED = Plan.of(SOILS["Bed 7"], gypsum="3.0 g/kg", irrigation=WATERS["Well 3"], product=BAG)
BLOCK = Plan.of(SOILS["Block C"], target_esp="5 %", water="360 mL", portions=6, product=BAG, replicates=1)


def scale(soil_g=100.0, opening_mm=90.0, depth_mm=150.0, density=1.40, product=PURE):
    ground = Ground(depth=depth_mm, bulk_density=density, drained_water=0.26, soil_mass=soil_g / 1000)
    return Scale(ground=ground, opening=opening_mm, product=product)


def test_dose_by_area_is_thirteen_times_the_dose_by_mass__common_practice():
    # E1: 100 g under a 9 cm opening, 15 cm of field
    assert BLOCK.scale.area_factor == pytest.approx(13, abs=0.5)
    assert BED.scale.area_factor == pytest.approx(13, abs=0.5)
    by_area = BLOCK.scale.product_by_area_g(BLOCK.gypsum)
    assert by_area / BLOCK.product_g == pytest.approx(BLOCK.scale.area_factor)
    assert "Dose by soil mass" in BLOCK.notes[0]
    assert "13.4 times too much" in BLOCK.notes[0]


def test_a_container_as_deep_as_the_field_is_dosed_alike_by_area__analytic():
    deep = scale(soil_g=1000 * math.pi * 0.045**2 * 150 * 1.40)
    assert deep.area_factor == pytest.approx(1.0)
    twice = deep.of_soil_mass(2 * deep.soil_mass)
    assert "only 0.50 of what the soil needs" in twice.why_not_by_area


def test_the_dose_is_the_hand_formula_s_through_purity_and_moisture__arithmetic():
    # practice.md's own row: 2.69 g/kg of pure gypsum, so 0.269 g on 100 g
    pure = BLOCK.gypsum * 172.1712 / 1000
    assert pure == pytest.approx(2.69, abs=0.005)
    assert BLOCK.product_g == pytest.approx(0.1 * pure / 0.88 / 0.94)
    assert BED.product_g == pytest.approx(0.3 / 0.88 / 0.94)


@given(
    soil_g=st.floats(10, 5000),
    opening=st.floats(20, 500),
    depth=st.floats(50, 600),
    density=st.floats(0.8, 1.9),
    gypsum=st.floats(0.01, 300),
)
def test_bench_and_field_are_the_same_both_ways__conservation(soil_g, opening, depth, density, gypsum):
    both = scale(soil_g, opening, depth, density, BAG)
    grams = both.product_g(gypsum)
    assert both.gypsum_of(grams) == pytest.approx(gypsum)
    # product on the field holds the pure rate
    assert BAG.pure_mass(both.product_rate(grams, "t/ha")) == pytest.approx(both.pure_rate(gypsum, "t/ha"))
    # g/kg × ρ_b × depth(cm) × 0.1 = t/ha
    assert both.pure_rate(gypsum, "t/ha") == pytest.approx(
        gypsum * 172.1712 / 1000 * density * depth / 10 * 0.1
    )
    millilitres = 3.3 * soil_g
    assert both.millilitres(millilitres / soil_g) == pytest.approx(millilitres)
    # mL/g × ρ_b × depth(cm) = cm
    assert both.water(millilitres, "cm") == pytest.approx(3.3 * density * depth / 10)
    assert both.product_by_area_g(gypsum) == pytest.approx(grams * both.area_factor)
    assert both.of_soil_mass(2 * both.soil_mass).area_factor == pytest.approx(both.area_factor / 2)


def test_cards_go_both_ways_with_the_same_words__analytic():
    there = dose_to_field(BLOCK.scale, BLOCK.product_g)
    back = dose_to_bench(BLOCK.scale, BLOCK.gypsum)
    assert there.bench.startswith(back.bench)
    assert back.field == "5.64 t/ha, 116 lb/1000 ft², pure"
    poured = water_to_field(BLOCK.scale, 360.0)
    assert poured == water_to_bench(BLOCK.scale, 3.6)
    assert poured.field == "756 mm, 29.8 in"


def test_every_bench_number_has_its_field_equivalent__analytic():
    rows = {row.name: row for row in field_card(BED)}
    assert all(row.bench and row.field for row in rows.values())
    assert rows["all 8 portions"].bench == "88 mL, 4.00 pore volumes"
    assert rows["all 8 portions"].field == "182 mm, 7.2 in"
    assert rows["pure gypsum in it"].field.startswith("6.21 t/ha")
    assert "13.2 times the rate" in rows["dose by area (the mistake)"].field
    assert rows["sodium chloride water"].field == "irrigation water of 2.2 dS/m"


def test_arms_are_those_of_the_trade_and_of_the_record__common_practice():
    names = [arm.name for arm in BED.arms]
    assert set(names) == set(ARMS)
    assert names[:2] == ["control", "gypsum"]
    without = Plan.of(SOILS["Bed 7"], gypsum="3.0 g/kg")
    assert not [arm for arm in without.arms if "irrigation" in arm.name]
    assert any("No irrigation water" in note for note in without.notes)
    two = Plan.of(SOILS["Bed 7"], gypsum="3.0 g/kg", arms=("control", "gypsum"))
    assert [arm.name for arm in two.arms] == ["control", "gypsum"]
    assert two.arm("blank").scenario is None
    # E13: the pair is run with deionised water, never with what comes from a tap
    assert {two.arm(name).water.name for name in ("control", "gypsum", "blank")} == {"deionised"}


def test_sodium_chloride_is_as_salty_as_gypsum_water__analytic():
    salty, gypsum = BED.arm("sodium chloride"), gypsum_water()
    assert salty.water.electrical_conductivity == pytest.approx(gypsum.electrical_conductivity, rel=1e-9)
    assert salty.salt_g_per_l == pytest.approx(58.44 * salty.water.solution.na / 1000, rel=1e-3)
    assert salt_of_equal_conductivity(1.193) == pytest.approx(10.0, rel=0.02)  # the model's own 0.8 %


def test_calcium_chloride_brings_as_much_calcium_as_the_gypsum__conservation():
    arm = BED.arm("calcium chloride")
    assert arm.water.solution.ca * BED.treated.volume == pytest.approx(BED.gypsum)
    assert arm.water.solution.cl == pytest.approx(2 * arm.water.solution.ca)
    assert arm.salt_g_per_l == pytest.approx(147.01 * arm.water.solution.ca / 1000, rel=1e-3)


def test_portions_are_equal_and_follow_a_slow_pre_wetting__analytic():
    assert BLOCK.pore_volume_ml == pytest.approx(26)
    assert BLOCK.prewet_ml == pytest.approx(16)
    assert BLOCK.portion_ml == pytest.approx(60)
    wet, poured = BLOCK.treated.wettings
    assert wet.hours == pytest.approx(1.6)
    assert len(poured.portions) == 6
    run = BLOCK.runs["gypsum"]
    assert run.leachate.volume[0] == pytest.approx(0, abs=1e-12)
    assert run.leachate.volume[1:] == pytest.approx(0.6)
    assert len(BED.treated.wettings) == 1
    assert any("11 mL is little" in note for note in BED.notes)
    assert not any(f"{LEAST_PORTION_ML:g} mL" in note for note in BLOCK.notes)


def test_the_planned_pair_is_the_demo_pair__pinned():
    pair = read_scenario(demo_path("pair.toml"))
    for name, scenario in (("gypsum", pair), ("control", pair.without_gypsum())):
        planned, known = BED.runs[name], leach(scenario)
        assert planned.sodium_leached_mg_per_kg == pytest.approx(known.sodium_leached_mg_per_kg, rel=1e-9)
        assert planned.leachate.volume == pytest.approx(known.leachate.volume)
        for account in planned.balance.values():
            assert abs(account.closing_error) < 1e-9
    assert BED.runs["gypsum"].sodium_leached_mg_per_kg == pytest.approx(711, abs=0.5)
    assert BED.runs["control"].sodium_leached_mg_per_kg == pytest.approx(282, abs=0.5)


def test_the_planned_pair_is_rehearsed_and_its_budget_closes__conservation():
    record = record_of_bytes(rehearsal(BED).encode(), name="rehearsal.csv")
    assert not record.problems
    budget = budget_of(record)
    for arm in ("gypsum", "control"):
        column = budget.columns[arm, 1]
        # pore water is taken halfway between the water poured and the last leachate: 2 mg/kg at most here
        assert column.closure.value == pytest.approx(1.0, abs=1e-4)
        assert column.closing is Closing.CLOSES
        run = BED.runs[arm]
        assert column.amounts.leached.value * 22.98977 == pytest.approx(
            run.sodium_leached_mg_per_kg, rel=1e-9
        )
        assert column.esp_after_pct.value == pytest.approx(run.final_esp_pct, rel=1e-9)
        assert column.esp_before_pct.value == pytest.approx(20.7, abs=0.05)
        sulfate = budget.others["sulfate", arm, 1]
        assert sulfate.closure.value == pytest.approx(1.0, abs=1e-4)
    assert budget.columns["gypsum", 1].displacement is Displaced.YES
    assert budget.columns["control", 1].displacement is Displaced.NOTHING
    assert record.words["by"] == "the model, a rehearsal"


def test_a_plan_begins_a_record_that_knows_the_soil__conservation():
    record = record_of_bytes(record_begun(BLOCK).encode(), name="begun.csv")
    assert not record.problems
    assert not record.arms
    soil = SOILS["Block C"]
    held = record.known("exchangeable_sodium").value + record.known("soluble_sodium").value
    assert held == pytest.approx(soil.sodium, rel=1e-9)
    assert record.soil_mass == pytest.approx(0.1)
    assert record.known("dose", arm="gypsum").value == pytest.approx(BLOCK.product_g / 1000, rel=1e-5)
    assert record.known("dose", arm="control").value == 0
    assert record.known("water_sodium", arm="sodium chloride").value == pytest.approx(18.9, abs=0.1)


def test_predicted_curves_are_the_runs_portion_by_portion__analytic():
    curves = predicted_curves(BLOCK)
    assert all(tuple(record) == PREDICTED_COLUMNS for record in curves)
    arms = [arm.name for arm in BLOCK.arms if arm.scenario is not None]
    assert [record["arm"] for record in curves] == [arm for arm in arms for _ in range(6)]
    gypsum = [record for record in curves if record["arm"] == "gypsum"]
    assert gypsum[-1]["sodium_leached_mg"] == pytest.approx(
        0.1 * BLOCK.runs["gypsum"].sodium_leached_mg_per_kg, rel=1e-9
    )
    assert gypsum[-1]["water_ml"] == pytest.approx(376)
    assert gypsum[-1]["field_mm"] == pytest.approx(3.76 * 210)


@pytest.mark.parametrize(
    ("soil_mass", "balance", "parts"),
    [("100 g", "0.01 g", 0), ("10 g", "0.01 g", 9), ("1 g", "0.01 g", 99), ("10 g", "0.001 g", 0)],
)
def test_a_dose_under_five_steps_of_the_balance_is_diluted_with_sand__common_practice(
    soil_mass, balance, parts
):
    plan = Plan.of(SOILS["Bed 7"], gypsum="3.0 g/kg", soil_mass=soil_mass, balance=balance)
    weighing = weighing_of(plan)
    assert weighing.sand_per_product == pytest.approx(parts)
    assert weighing.weighed_g >= weighing.smallest_g
    assert weighing.weighed_g == pytest.approx(plan.product_g * (1 + parts))
    assert ("dry sand" in weighing.sentence) == bool(parts)
    assert weighing.error_pct <= 10


def test_labels_and_shopping_list_count_every_column__arithmetic():
    found = labels(BED)
    assert len(found) == 8 * 3
    assert len(set(found)) == len(found)
    assert all(label.endswith("not drinking water") for label in found)
    assert "gypsum · 1 · Bed 7, 100 g, 0.36 g of white bag · deionised" in found[3]
    needed = {row.name: row for row in shopping_list(BED)}
    assert needed["containers with a hole"].bench == "24, 9 cm wide"
    assert needed["cups with a mark"].bench == "192"
    # 6 columns of 3 with soil of 100 g; 3 dosed arms; 88 mL a column; a tenth spare
    assert needed["soil, oven-dry and sieved to 2 mm"].bench == "1.98 kg"
    assert needed["white bag"].bench == "3.6 g"
    assert needed["deionised water"].bench == "1.7 L"
    assert needed["Well 3"].bench == "0.6 L"
    assert "Well 3" not in {row.name for row in shopping_list(BLOCK)}


def test_the_words_hold_the_practice__zhang2023():
    steps = " ".join(steps_of(BLOCK))
    for word in (
        "prediction",
        "filter paper",
        "drop by drop over 1.6 h",
        "6 portions of 60 mL",
        "settle or filter",
    ):
        assert word in steps
    assert "no pre-wetting" in " ".join(steps_of(BED))
    # E18: by weight, not by eye; conductivity with its temperature
    assert "weigh it: 1 g is 1 mL" in steps
    assert "conductivity with its temperature" in steps
    assert "less than 10 mL came in 24 h, at the latest 48 h" in stop_rule(BLOCK)
    assert [hours for _, hours in FIRST_DRIPS_H] == [1.8, 64.0, 148.0]
    never = " ".join(if_it_never_drips())
    assert "may never drip. That is a result, not a failure" in never
    for seen in ("1.8 h", "64 h", "148 h"):
        assert seen in never
    assert "36 portions" in timing(BLOCK)[0]
    assert {CAUTION_BENCH, CAUTION_DUST, CAUTION_RATE} <= set(cautions(BED))
    assert any("Calcium chloride gets hot" in line for line in cautions(BED))
    pair = Plan.of(SOILS["Bed 7"], gypsum="3.0 g/kg", arms=("control", "gypsum"))
    assert not any("Calcium chloride" in line for line in cautions(pair))
    # E14: deionised water is harsher than the field's
    assert DEIONISED_IS_HARSH in what_it_shows(BED)


def test_one_replicate_is_told_from_three__common_practice():
    # E20
    assert any("cannot tell gypsum from luck" in note for note in BLOCK.notes)
    assert not any("luck" in note for note in BED.notes)
    two = Plan.of(SOILS["Bed 7"], gypsum="3.0 g/kg", replicates=2)
    assert any("2 columns of an arm" in note for note in two.notes)


def test_replicates_follow_from_normal_theory__analytic():
    # 2 (1.960 + 0.842)² = 15.70 at one standard deviation
    assert replicates_needed(1.0, 1.0) == 16
    assert replicates_needed(-2.0, 1.0) == 4
    assert replicates_needed(10.0, 1.0) == 3
    assert replicates_needed(10.0, 1.0, least=1) == 1
    assert replicates_needed(0.0, 1.0) is None
    for bad in ({"risk": 0.0}, {"power": 1.0}):
        with pytest.raises(LimitError, match="a chance"):
            replicates_needed(1.0, 1.0, **bad)
    with pytest.raises(LimitError, match="standard deviation"):
        replicates_needed(1.0, -1.0)


@given(ratio=st.floats(0.2, 3.0), power=st.floats(0.5, 0.99))
def test_the_planned_number_reaches_its_power_and_one_less_does_not__analytic(ratio, power):
    n = replicates_needed(ratio, 1.0, power=power, least=1)
    z = NormalDist()

    def reached(columns):
        return z.cdf(ratio * math.sqrt(columns / 2) - z.inv_cdf(0.975))

    assert reached(n) >= power - 1e-9
    assert n == 1 or reached(n - 1) < power + 1e-9


def test_drawn_columns_see_the_difference_as_often_as_planned__analytic():
    n = replicates_needed(1.0, 1.0)
    rng = np.random.default_rng(7)
    one, two = rng.normal(0, 1, (2, 20_000, n)).mean(axis=2)
    seen = np.abs(two + 1.0 - one) > 1.959964 * math.sqrt(2 / n)
    # 0.80 planned, 0.807 for the whole number of columns; three standard errors of 20 000 draws
    assert seen.mean() == pytest.approx(0.807, abs=0.009)


def test_what_can_be_seen_depends_on_the_instruments__analytic():
    by_kit = {seen.quantity: seen for seen in BED.seen}
    lab = Plan.of(SOILS["Bed 7"], gypsum="3.0 g/kg", measured_with="laboratory")
    by_lab = {seen.quantity: seen for seen in lab.seen}
    leached = "sodium in all leachate"
    assert by_lab[leached].scatter < by_kit[leached].scatter
    assert by_kit[leached].treated == pytest.approx(711, abs=0.5)
    assert by_kit["ESP left in the soil"].control == pytest.approx(20.45, abs=0.05)
    assert "normal theory" in by_kit[leached].sentence
    run = BED.runs["control"]
    same = differences_seen(run, run, sodium=BED.instruments["sodium"], conductivity=BED.instruments["ec"])
    assert all(seen.replicates is None for seen in same)
    assert "no number of columns" in same[0].sentence


def test_a_small_difference_asks_for_many_columns__analytic():
    weak = Plan.of(SOILS["Bed 7"], gypsum="0.2 g/kg", replicates=1)
    assert max(seen.replicates for seen in weak.seen) > 10


@pytest.mark.parametrize(
    ("given", "error", "words"),
    [
        ({}, UnitKindError, "the dose comes from one of them"),
        ({"gypsum": "3 g/kg", "target_esp": 5}, UnitKindError, "the dose comes from one of them"),
        ({"gypsum": "0 g/kg"}, LimitError, "shows nothing"),
        ({"target_esp": 60}, LimitError, "shows nothing"),
        ({"gypsum": "3"}, UnitKindError, "has no unit"),
        ({"gypsum": "3 g/kg", "opening": "3 m"}, LimitError, "opening"),
        ({"gypsum": "3 g/kg", "replicates": 0}, LimitError, "replicates"),
        ({"gypsum": "3 g/kg", "portions": 0}, LimitError, "portions"),
        ({"gypsum": "3 g/kg", "measured_with": "guess"}, LimitError, "is not a kind of reading"),
        ({"gypsum": "3 g/kg", "arms": ("irrigation water",)}, LimitError, "is not in the plan"),
    ],
)
def test_what_cannot_be_planned_is_refused__analytic(given, error, words):
    with pytest.raises(error) as caught:
        Plan.of(SOILS["Bed 7"], **given)
    assert words in str(caught.value)
    assert isinstance(caught.value, SoilxError)


def test_a_scale_without_its_ground_and_an_unknown_arm_are_refused__analytic():
    with pytest.raises(LimitError, match="bulk density"):
        Scale(ground=Ground(depth=150.0, drained_water=0.2, soil_mass=0.1), opening=90.0, product=PURE)
    with pytest.raises(LimitError, match="arm sugar: is not in the plan"):
        BED.arm("sugar")


def test_areas_are_geometry__arithmetic():
    assert BLOCK.scale.opening_cm2 == pytest.approx(63.62, abs=0.005)
    assert BLOCK.scale.field_soil_per_m2 == pytest.approx(210)
    assert BLOCK.scale.field_share_cm2 == pytest.approx(4.76, abs=0.005)
    assert express(BLOCK.gypsum, Kind.GYPSUM_RATE, "t/ha", ground=BLOCK.scale.ground) == pytest.approx(
        5.64, abs=0.005
    )


@pytest.mark.parametrize("balance", ["0 g", "-1 g"])
def test_a_balance_that_reads_nothing_is_refused__analytic(balance):
    with pytest.raises(LimitError, match="balance"):
        Plan.of(read_soils(demo_path("soils.csv"))["Block C"], target_esp=5, balance=balance)
