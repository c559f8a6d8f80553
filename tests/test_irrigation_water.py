"""What an irrigation water does: the infiltration table, carbonate, floor, leaching, gypsum in the water."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soilx import DEIONISED, LimitError, ModelRangeError, SoilxError, Water, demo_path, leach, read_waters
from soilx.chemistry.cation_exchange import Selectivity
from soilx.column.files import read_soils
from soilx.column.scenario import Scenario
from soilx.practice.judgement.infiltration import INFILTRATION
from soilx.practice.judgement.irrigation_water import (
    Restriction,
    calcium_for_floor,
    floor_esp_pct,
    gypsum_for_water,
    infiltration_restriction,
    leaching_requirement,
    ratio_of_water,
    residual_sodium_carbonate,
    water_for_leaching,
)
from soilx.practice.judgement.water_judgement import gypsum_in_water_advice, judge_water
from soilx.wording import PURE_WATER_SEALS, SOFTENED_WATER_NEVER

NONE, SOME, SEVERE = Restriction.NONE, Restriction.SLIGHT_TO_MODERATE, Restriction.SEVERE

# SAR from, SAR to, none above, severe below: as printed, typed here apart from the library's own rows.
PRINTED = [(0, 3, 0.7, 0.2), (3, 6, 1.2, 0.3), (6, 12, 1.9, 0.5), (12, 20, 2.9, 1.3), (20, 40, 5.0, 2.9)]


@pytest.fixture(scope="module")
def waters():
    return read_waters(demo_path("waters.csv"))


@pytest.fixture(scope="module")
def well(waters):
    return waters["Well 3"]


@pytest.mark.parametrize(("low", "high", "none_above", "severe_below"), PRINTED)
def test_all_fifteen_cells_of_the_infiltration_table__ayers_westcot1985(low, high, none_above, severe_below):
    inside = (low + high) / 2
    assert infiltration_restriction(inside, none_above + 0.01) is NONE
    assert infiltration_restriction(inside, (none_above + severe_below) / 2) is SOME
    assert infiltration_restriction(inside, severe_below - 0.01) is SEVERE
    # Printed as > and <: both ends of the middle cell belong to it.
    assert infiltration_restriction(inside, none_above) is SOME
    assert infiltration_restriction(inside, severe_below) is SOME


@pytest.mark.parametrize(("row", "sar"), [(1, 3.0), (2, 6.0), (3, 12.0), (4, 20.0)])
def test_a_sar_on_a_border_is_judged_by_the_row_that_asks_for_more_salt__ayers_westcot1985(row, sar):
    # Open in the source; the cautious side is our choice.
    _, _, none_above, severe_below = PRINTED[row]
    _, _, milder_none, milder_severe = PRINTED[row - 1]
    assert infiltration_restriction(sar, (milder_none + none_above) / 2) is SOME
    assert infiltration_restriction(math.nextafter(sar, 0), (milder_none + none_above) / 2) is NONE
    assert infiltration_restriction(sar, (milder_severe + severe_below) / 2) is SEVERE
    assert infiltration_restriction(math.nextafter(sar, 0), (milder_severe + severe_below) / 2) is SOME


def test_the_infiltration_table_begins_at_0_and_ends_at_40__ayers_westcot1985():
    assert infiltration_restriction(0.0, 1.0) is NONE
    assert infiltration_restriction(40.0, 5.1) is NONE
    with pytest.raises(ModelRangeError, match=r"SAR of the water = 40\.1: .*FAO.*; take it for severe"):
        infiltration_restriction(40.1, 5.1)


@pytest.mark.parametrize(
    ("sar", "ec"), [(-1.0, 1.0), (1.0, -1.0), (math.nan, 1.0), (1.0, math.inf), (1.0, math.nan)]
)
def test_what_is_no_water_is_refused__analytic(sar, ec):
    with pytest.raises(LimitError):
        infiltration_restriction(sar, ec)


@given(st.floats(0, 40), st.floats(0, 40), st.floats(0, 10), st.floats(0, 10))
def test_more_sodium_or_less_salt_never_restricts_less__ayers_westcot1985(sar1, sar2, ec1, ec2):
    order = [NONE, SOME, SEVERE]
    mild = infiltration_restriction(min(sar1, sar2), max(ec1, ec2))
    harsh = infiltration_restriction(max(sar1, sar2), min(ec1, ec2))
    assert order.index(mild) <= order.index(harsh)


def test_rows_of_the_table_follow_each_other__analytic():
    starts = [row.sar_from for row in INFILTRATION]
    assert starts == sorted(starts)
    assert all(row.severe_below < row.none_above for row in INFILTRATION)


def test_the_residual_carbonate_of_well_3__analytic(well):
    # (5.6 + 0.2) − (1.2 + 0.9) meq/L
    assert residual_sodium_carbonate(well) == pytest.approx(3.7, abs=0.05)
    assert residual_sodium_carbonate(Water.of(name="hard", calcium="4 meq/L", sulfate="4 meq/L")) == -4.0


@pytest.mark.parametrize(("factor", "floor"), [(1.0, 10.8), (2.0, 14.6)])
def test_the_floor_of_well_3_as_it_is_and_twice_concentrated__analytic(well, factor, floor):
    assert floor_esp_pct(well, concentration_factor=factor) == pytest.approx(floor, abs=0.05)


def test_the_floor_follows_magnesium_too__analytic(well):
    # E11: magnesium ignored would put SAR at 8.4/√0.6 and the floor at 13.8.
    assert floor_esp_pct(well) < 11
    without = Water.of(name="no Mg", sodium="8.4 meq/L", calcium="1.2 meq/L", chloride="9.6 meq/L")
    assert floor_esp_pct(without) == pytest.approx(13.79, abs=0.005)


def test_a_stronger_selectivity_lifts_the_floor__analytic(well):
    assert floor_esp_pct(well, selectivity=Selectivity(sodium=0.0163)) > floor_esp_pct(well)


@pytest.mark.parametrize("factor", [0.5, 21.0, math.nan])
def test_a_concentration_factor_outside_a_root_zone_is_refused__common_practice(well, factor):
    with pytest.raises(LimitError, match="concentration factor"):
        floor_esp_pct(well, concentration_factor=factor)
    with pytest.raises(LimitError, match="concentration factor"):
        calcium_for_floor(well, esp_pct=5, concentration_factor=factor)


def test_the_column_itself_ends_at_the_floor__conservation(well):
    soil = read_soils(demo_path("soils.csv"))["Lawn 2"]
    run = leach(Scenario.of(soil, wettings=[("120 pore_volume", well)], layers=4))
    # The formula leaves exchangeable potassium out: a share of 1.6 % here, worth 0.16 of ESP.
    assert run.final_esp_pct == pytest.approx(floor_esp_pct(well), abs=0.25)


def test_both_published_forms_of_the_leaching_requirement__ali2011():
    assert leaching_requirement(1.5, ec_threshold=6.0) == pytest.approx(0.0526, abs=5e-5)
    assert leaching_requirement(1.5, ec_drainage=20.0) == pytest.approx(0.075, abs=5e-4)
    share = leaching_requirement(1.5, ec_threshold=6.0)
    assert water_for_leaching(76.0, leaching_fraction=share) == pytest.approx(80.22, abs=5e-3)


def test_water_without_salt_needs_no_leaching__analytic():
    assert leaching_requirement(0.0, ec_threshold=4.0) == 0.0
    assert water_for_leaching(30.0, leaching_fraction=0.0) == 30.0


@pytest.mark.parametrize(
    "given_",
    [
        {},
        {"ec_threshold": 6.0, "ec_drainage": 20.0},
        {"ec_threshold": 0.3},
        {"ec_drainage": 1.5},
        {"ec_drainage": 1.0},
        {"ec_threshold": 0.0},
        {"ec_drainage": -1.0},
        {"ec_drainage": math.nan},
    ],
)
def test_a_leaching_requirement_that_nothing_meets_is_refused__analytic(given_):
    with pytest.raises(LimitError):
        leaching_requirement(1.5, **given_)


@pytest.mark.parametrize(("used", "share"), [(-1.0, 0.1), (76.0, 1.0), (76.0, -0.1)])
def test_water_of_which_nothing_is_used_is_refused__analytic(used, share):
    with pytest.raises(LimitError):
        water_for_leaching(used, leaching_fraction=share)


def test_gypsum_in_an_acre_foot_of_water__arithmetic():
    assert gypsum_for_water("1 meq/L").magnitude == pytest.approx(234.10, abs=0.005)
    assert gypsum_for_water("1 meq/L", unit="mg/L").magnitude == pytest.approx(86.0856, abs=5e-5)
    # By amount, 1 mmol/L of calcium is 2 meq/L.
    assert gypsum_for_water("1 mmol/L").magnitude == pytest.approx(468.20, abs=0.005)


@pytest.mark.parametrize("calcium", ["-1 meq/L", "1 g/kg", "1"])
def test_what_is_no_addition_of_calcium_is_refused__analytic(calcium):
    with pytest.raises(SoilxError, match="calcium"):
        gypsum_for_water(calcium)


@given(st.floats(3, 30), st.floats(1, 5))
def test_gypsum_brings_the_floor_to_where_it_was_asked__analytic(esp, factor):
    well = read_waters(demo_path("waters.csv"))["Well 3"]
    calcium = calcium_for_floor(well, esp_pct=esp, concentration_factor=factor)
    before = floor_esp_pct(well, concentration_factor=factor)
    if calcium == 0.0:
        assert before <= esp * (1 + 1e-9)
        return
    treated = Water.of(
        name="treated",
        sodium="8.4 meq/L",
        calcium=f"{1.2 + calcium!r} meq/L",
        magnesium="0.9 meq/L",
        chloride=f"{10.5 + calcium!r} meq/L",
    )
    assert floor_esp_pct(treated, concentration_factor=factor) == pytest.approx(esp, rel=1e-9)


def test_a_floor_of_nothing_is_refused__analytic(well):
    with pytest.raises(LimitError, match="wanted floor"):
        calcium_for_floor(well, esp_pct=0.0)


def test_well_3_judged__ayers_westcot1985(well):
    found = judge_water(well)
    assert found.restriction is SOME
    assert found.ec == 1.1
    assert found.ec_origin == "measured"
    assert (round(found.floor_esp_pct, 1), round(found.floor_concentrated_esp_pct, 1)) == (10.8, 14.6)
    assert found.warnings == ()
    text = " ".join(found.sentences)
    for said in ("slight to moderate", "3.7 meq/L, above 2.5 †", "ESP 10.8", "2 times", "14.6", "as lime"):
        assert said in text


def test_softened_water_is_warned_of__common_practice():
    soft = Water.of(name="tap", sodium="5 meq/L", calcium="0.1 meq/L", chloride="5.1 meq/L")
    found = judge_water(soft)
    assert found.softened
    assert found.sentences[0] == SOFTENED_WATER_NEVER
    assert found.warnings == (SOFTENED_WATER_NEVER,)
    assert found.ec_origin == "computed from its ions"


@pytest.mark.parametrize(
    "ions",
    [
        {"sodium": "5 meq/L", "calcium": "1 meq/L", "chloride": "6 meq/L"},
        {"sodium": "0.5 meq/L", "chloride": "0.5 meq/L"},
        {"sodium": "2 meq/L", "potassium": "3 meq/L", "chloride": "5 meq/L"},
    ],
)
def test_hard_weak_or_potassium_water_is_not_called_softened__common_practice(ions):
    assert not judge_water(Water.of(name="other", **ions)).softened


def test_water_softened_to_the_last_trace_has_no_ceiling_but_all_of_the_exchanger__analytic():
    bare = Water.of(name="tap", sodium="5 meq/L", chloride="5 meq/L")
    found = judge_water(bare)
    assert found.softened
    assert found.restriction is SEVERE
    assert found.floor_esp_pct == floor_esp_pct(bare, concentration_factor=3) == 100.0
    assert "without end" in " ".join(found.sentences)
    potash = Water.of(name="potash", potassium="5 meq/L", chloride="5 meq/L")
    assert floor_esp_pct(potash) == 0.0


def test_rain_and_deionised_water_are_a_hazard_of_their_own__ayers_westcot1985(waters):
    for water in (waters["Rain"], DEIONISED):
        found = judge_water(water)
        assert found.pure
        assert not found.softened
        assert found.restriction is SEVERE
        assert found.sentences[0] == PURE_WATER_SEALS
        assert found.warnings == (PURE_WATER_SEALS,)


def test_a_water_beyond_the_table_is_severe_and_says_so__ayers_westcot1985():
    brine = Water.of(name="brine", sodium="60 meq/L", calcium="1 meq/L", chloride="61 meq/L")
    found = judge_water(brine)
    assert found.restriction is SEVERE
    assert "beyond the table" in " ".join(found.sentences)


@pytest.mark.parametrize(
    ("bicarbonate", "said"), [(2.0, "fine, below 1.25 †"), (3.5, "doubtful, between 1.25 and 2.5 †")]
)
def test_residual_carbonate_has_its_class_in_words__recalled(bicarbonate, said):
    water = Water.of(
        name="W",
        sodium="2.5 meq/L",
        calcium="1.5 meq/L",
        bicarbonate=f"{bicarbonate} meq/L",
        chloride=f"{4 - bicarbonate} meq/L",
    )
    assert said in " ".join(judge_water(water).sentences)


def test_gypsum_in_the_water_is_advised_with_its_amount_or_refused_by_its_solubility__analytic(well, waters):
    assert "8.98 meq/L" in gypsum_in_water_advice(well, esp_pct=5)
    assert "2103 lb per acre-foot" in gypsum_in_water_advice(well, esp_pct=5)
    assert "more than it dissolves" in gypsum_in_water_advice(well, esp_pct=2)
    assert "without any gypsum" in gypsum_in_water_advice(waters["Rain"], esp_pct=5)


def test_the_sar_of_a_water_takes_its_root_after_halving__arithmetic():
    # Printed as 20.6: the root was taken before calcium and magnesium were halved.
    water = Water.of(
        name="W", sodium="44 meq/L", calcium="10 meq/L", magnesium="8.2 meq/L", chloride="62.2 meq/L"
    )
    assert ratio_of_water(water) == pytest.approx(14.59, abs=0.005)
    assert judge_water(water).sar == ratio_of_water(water)
