"""The column's own requirement: least gypsum, least water, what cannot be reached, and why it differs."""

import re

import pytest

import soilx
from soilx import LimitError, Scenario, SoilxError, TargetError
from soilx.practice.dose.dose_search import CLOSE, dosed, first_water, most_gypsum, search_dose, watered
from soilx.practice.dose.product import Product
from soilx.practice.dose.requirement import hand_requirement
from soilx.practice.dose.requirement_column import least_gypsum, least_water
from soilx.practice.dose.requirement_differences import why_they_differ

SOILS = soilx.read_soils(soilx.demo_path("soils.csv"))
WATERS = soilx.read_waters(soilx.demo_path("waters.csv"))
BLOCK_C = SOILS["Block C"]
MOIST = soilx.Soil.of(**{**dict(BLOCK_C.typed), "initial_water": "0.26 L/kg"})
FOUR = Scenario.of(BLOCK_C, wettings=["4 pore_volume"])


def ideal(selectivity, *, layers=12, displaced=0.5, amount="8 pore_volume"):
    """Plug flow through a soil of calcium and sodium alone, almost without salt of its own."""
    soil = soilx.Soil.of(
        name="ideal",
        depth="15 cm",
        bulk_density="1.4 kg/L",
        cation_exchange_capacity="30 cmol_c/kg",
        drained_water="0.25 L/kg",
        total_sodium="2070 mg/kg",
        total_potassium="0 mg/kg",
        magnesium_share="0 %",
        total_sulfate="0 mmol/kg",
        other_anions="0.5 mmol_c/kg",
        sodium_selectivity=f"{selectivity} (mmol/L)^-0.5",
    )
    return Scenario.of(soil, wettings=[amount], layers=layers, displaced_fraction=displaced)


def ratio(scenario):
    """Column's gypsum over the hand formula's, for half the sodium."""
    target = scenario.soil.exchangeable_sodium_percentage / 2
    hand = hand_requirement(scenario.soil, target_esp=target)
    return least_gypsum(scenario, target_esp_pct=target).gypsum / hand.gypsum


def test_column_and_hand_formula_agree_where_the_formula_s_assumptions_hold__analytic():
    # Plug flow, no magnesium or potassium, water enough. The clay that takes all calcium lets none leave.
    ratios = [ratio(ideal(k, layers=16, displaced=1.0)) for k in (0.005, 0.0015, 0.0005)]
    assert ratios == sorted(ratios, reverse=True)
    # The column needs no less, and in the limit at most half a percent more.
    assert all(each >= 1.0 for each in ratios)
    assert ratios[-1] <= 1.005
    # A clay of the usual selectivity lets a quarter to a third leave: what the factor in print stands for.
    assert 1.2 <= ratio(ideal(0.01475)) <= 1.35


def test_water_beyond_enough_changes_nothing_in_that_limit__analytic():
    assert ratio(ideal(0.0005, amount="4 pore_volume")) == pytest.approx(ratio(ideal(0.0005)), rel=1e-3)


def test_block_c_needs_about_11_t_per_ha_where_the_hand_formula_asks_5_64__pinned():
    # A bracketed prototype on the moist soil: 11 t/ha, ESP near 9.9 with 7.05, near 8 with 2 pore volumes.
    # Nobody outside has confirmed them; the tolerance is theirs.
    found = least_gypsum(Scenario.of(MOIST, wettings=["4 pore_volume"]), target_esp_pct=5)
    assert found.in_units["pure"]["t_per_ha"] == pytest.approx(11, abs=0.2)
    for amount in ("2 pore_volume", "4 pore_volume"):
        dose = Scenario.of(MOIST, gypsum="7.05 t/ha", wettings=[amount])
        assert soilx.leach(dose).final_esp_pct == pytest.approx(9.9, abs=0.3)
    dry = Scenario.of(MOIST, gypsum="11 t/ha", wettings=["2 pore_volume"])
    assert soilx.leach(dry).final_esp_pct == pytest.approx(8, abs=0.1)


@pytest.mark.parametrize(
    ("name", "target"), [("Block C", 5), ("Block C", 17), ("Block F", 6), ("Bed 7", "7 %")]
)
def test_least_gypsum_reaches_the_target_and_a_little_less_does_not__analytic(name, target):
    found = least_gypsum(Scenario.of(SOILS[name], wettings=["4 pore_volume"]), target_esp_pct=target)
    assert found.target_esp_pct - CLOSE <= found.reached_esp_pct <= found.target_esp_pct
    less = soilx.leach(dosed(found.scenario, 0.995 * found.gypsum))
    assert less.final_esp_pct > found.target_esp_pct
    # The answer is a scenario: run again it ends where it says.
    assert soilx.leach(found.scenario).final_esp_pct == found.run.final_esp_pct
    assert all(abs(account.closing_error) < 1e-9 for account in found.run.balance.values())


def test_the_efficiency_is_an_output_and_its_inverse_the_factor_needed__conservation():
    found = least_gypsum(FOUR, target_esp_pct=5)
    assert 0.3 < found.exchange_efficiency < 0.9
    assert found.factor == pytest.approx(1 / found.exchange_efficiency)
    displaced = (found.initial_esp_pct - found.reached_esp_pct) / 100 * 240
    assert 2 * found.gypsum * found.exchange_efficiency == pytest.approx(displaced, rel=1e-9)


def test_water_alone_may_do_and_then_no_gypsum_is_asked_for__analytic():
    found = least_gypsum(FOUR, target_esp_pct=19)
    assert (found.gypsum, found.factor) == (0.0, None)
    assert found.untreated_esp_pct == pytest.approx(found.reached_esp_pct, rel=1e-12)


def test_water_and_product_are_said_in_the_trade_s_units__analytic():
    found = least_gypsum(FOUR, target_esp_pct=5).with_product(Product.of("p", purity="80 %", bag="25 kg"))
    assert found.pore_volumes == pytest.approx(4)
    assert found.water_mm == pytest.approx(4 * 0.26 * 1.4 * 150)
    assert found.in_units["product"]["t_per_ha"] == pytest.approx(found.in_units["pure"]["t_per_ha"] / 0.8)


def test_least_water_meets_the_target_and_a_step_less_does_not__analytic():
    dose = Scenario.of(BLOCK_C, gypsum="12 t/ha", wettings=["1 pore_volume"])
    found = least_water(dose, target_esp_pct=5)
    assert found.target_esp_pct - 0.01 <= found.reached_esp_pct <= found.target_esp_pct
    less = soilx.leach(watered(dose, found.water - 0.005))
    assert less.final_esp_pct > 5
    # The water that least gypsum is reckoned with is not more than the least for that dose.
    back = least_gypsum(watered(dose, found.water), target_esp_pct=5)
    assert back.gypsum == pytest.approx(found.gypsum, rel=0.01)


def test_a_dose_that_reaches_no_target_says_how_near_it_comes_and_what_would_do__analytic():
    with pytest.raises(TargetError) as caught:
        least_gypsum(Scenario.of(BLOCK_C, wettings=["2 pore_volume"]), target_esp_pct=5)
    said = str(caught.value)
    lowest = float(re.search(r"largest dose ends at ([\d.]+)", said)[1])
    pores, rate = map(float, re.search(r"([\d.]+) pore volumes of it with ([\d.]+) t/ha", said).groups())
    plenty = Scenario.of(BLOCK_C, gypsum="100 t/ha", wettings=["2 pore_volume"])
    assert soilx.leach(plenty).final_esp_pct == pytest.approx(lowest, abs=5e-3)
    # What is offered instead does it; it is printed in three digits.
    offered = Scenario.of(BLOCK_C, gypsum=f"{rate} t/ha", wettings=[f"{pores} pore_volume"])
    assert soilx.leach(offered).final_esp_pct == pytest.approx(5, abs=0.05)


def test_water_that_brings_sodium_keeps_a_target_away_whatever_the_dose__analytic():
    poor = soilx.Water.of(
        name="Poor",
        sodium="40 mmol_c/L",
        calcium="1 mmol_c/L",
        magnesium="1 mmol_c/L",
        chloride="42 mmol_c/L",
    )
    with pytest.raises(TargetError, match=r"choose a target above [\d.]+, or a better water"):
        least_gypsum(Scenario.of(BLOCK_C, wettings=[("2 pore_volume", poor)], layers=4), target_esp_pct=1)


def test_gypsum_in_the_water_is_limited_by_what_it_dissolves__analytic():
    carried = Scenario.of(BLOCK_C, wettings=[("4 pore_volume", WATERS["Well 3"])], placement="water")
    assert most_gypsum(carried) < 30
    with pytest.raises(TargetError, match="all the gypsum that the water dissolves"):
        least_gypsum(carried, target_esp_pct=5)
    assert least_gypsum(carried, target_esp_pct=12).reached_esp_pct == pytest.approx(12, abs=2 * CLOSE)
    with pytest.raises(LimitError, match="placement = water"):
        least_water(dosed(carried, 10.0), target_esp_pct=5)


def test_water_without_end_does_not_make_up_for_too_little_gypsum__analytic():
    little = Scenario.of(BLOCK_C, gypsum="2 t/ha", wettings=["1 pore_volume"], layers=4)
    with pytest.raises(TargetError, match=r"t/ha of pure gypsum reach it with 41 pore volumes"):
        least_water(little, target_esp_pct=5)
    poor = Scenario.of(BLOCK_C, gypsum="2 t/ha", wettings=[("1 pore_volume", WATERS["Well 3"])], layers=4)
    with pytest.raises(TargetError, match="no dose does it"):
        least_water(poor, target_esp_pct=0.1)


def test_a_target_the_column_is_at_already_needs_no_water__analytic():
    with pytest.raises(LimitError, match="before any water"):
        least_water(Scenario.of(BLOCK_C, gypsum="2 t/ha", wettings=["1 pore_volume"]), target_esp_pct=30)


@pytest.mark.parametrize("search", [least_gypsum, least_water])
def test_no_water_carries_nothing__analytic(search):
    with pytest.raises(LimitError, match="wettings: there are none"):
        search(Scenario.of(BLOCK_C, gypsum="5 t/ha"), target_esp_pct=5)
    with pytest.raises(SoilxError, match="target ESP"):
        search(FOUR, target_esp_pct=120)


def test_more_water_goes_on_with_the_last_one_and_less_cuts_it__conservation():
    season = soilx.read_scenario(soilx.demo_path("block_c_season.toml"))
    for volume in (0.3 * season.volume, 2 * season.volume):
        cut = watered(season, volume)
        assert cut.volume == pytest.approx(volume, rel=1e-12)
        # Row by row the same column, as far as both go.
        long, short = soilx.leach(watered(season, 2 * season.volume)), soilx.leach(cut)
        rows = min(short.applied_water.size - 2, long.applied_water.size - 2)
        same = slice(0, rows) if volume < season.volume else slice(0, 5)
        assert short.depth_average_esp_pct[same] == pytest.approx(long.depth_average_esp_pct[same], abs=1e-9)


def test_the_first_water_is_none_where_the_target_is_not_met__analytic():
    assert first_water(soilx.leach(FOUR), target_esp_pct=1) is None
    assert search_dose(FOUR, target_esp_pct=0.5).run is None


@pytest.mark.parametrize(
    ("name", "target", "water", "placement"),
    [
        ("Block C", 5, "deionised", "mixed"),
        ("Block C", 5, "Well 3", "top 5 cm"),
        ("Block C", 12, "Well 3", "water"),
        ("Block F", 6, "Well 3", "mixed"),
        ("Bed 7", 7, "deionised", "mixed"),
    ],
)
def test_what_lies_between_hand_and_column_adds_up__conservation(name, target, water, placement):
    scenario = Scenario.of(SOILS[name], wettings=[("5 pore_volume", WATERS[water])], placement=placement)
    column = least_gypsum(scenario, target_esp_pct=target)
    hand = hand_requirement(SOILS[name], target_esp=target, factor=1.25)
    found = why_they_differ(hand, column)
    between = sum(each.charge for each in found.differences)
    assert found.hand_charge + between == pytest.approx(found.column_charge, abs=1e-8 * 240)
    rows = found.records()
    assert rows[0]["t_per_ha"] + sum(r["t_per_ha"] for r in rows[1:-1]) == pytest.approx(rows[-1]["t_per_ha"])
    charges = {each.name: each.charge for each in found.differences}
    assert charges["magnesium"] > 0
    assert charges["calcium in the water"] > 0
    assert found.sentences[0].startswith("The hand formula asks for")


def test_block_c_s_disagreement_is_told_in_words__pinned():
    column = least_gypsum(
        Scenario.of(BLOCK_C, wettings=[("4 pore_volume", WATERS["Well 3"])]), target_esp_pct=5
    )
    found = why_they_differ(hand_requirement(BLOCK_C, target_esp=5, factor=1.25), column)
    said = " ".join(found.sentences)
    # The floor of the well, and that the hand formula's gypsum is used up before the water is.
    assert found.floor_esp_pct == pytest.approx(10.8, abs=0.05)
    assert "can be reached for a season, not kept" in said
    assert 0 < found.used_up_after_pore_volumes < 4
    assert found.hand_run.final_esp_pct > 5
    assert "is used up after" in said
    assert "Magnesium: +" in said


def test_gypsum_that_is_left_is_said_and_a_clean_water_has_no_floor_to_speak_of__analytic():
    column = least_gypsum(Scenario.of(BLOCK_C, wettings=["1.5 pore_volume"]), target_esp_pct=11)
    found = why_they_differ(hand_requirement(BLOCK_C, target_esp=11), column)
    assert found.used_up_after_pore_volumes is None or found.used_up_after_pore_volumes <= 1.5
    assert found.floor_esp_pct < 1
    assert "season" not in " ".join(found.sentences)
    # Where the hand formula asks for nothing there is no such dose to follow.
    nothing = least_gypsum(FOUR, target_esp_pct=18.9)
    free = why_they_differ(hand_requirement(BLOCK_C, target_esp=18.9), nothing)
    assert free.used_up_after_pore_volumes is None
    assert not any("With the hand formula's" in sentence for sentence in free.sentences)


def test_only_like_is_compared_with_like__analytic():
    column = least_gypsum(FOUR, target_esp_pct=5)
    with pytest.raises(LimitError, match="target ESP of the hand formula"):
        why_they_differ(hand_requirement(BLOCK_C, target_esp=6), column)
    with pytest.raises(LimitError, match="depth of the hand formula"):
        why_they_differ(hand_requirement(BLOCK_C, target_esp=5, depth="10 cm"), column)
