"""The verdict in its order: can water leave, is there a sodium problem, the water's floor, then gypsum."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soilx import LimitError, SoilxError, Water, demo_path, read_waters
from soilx.practice.judgement.diagnosis import (
    DRAIN_TEST_WANTED,
    EC_WANTED,
    ESP_WANTED,
    JAR_TEST_WANTED,
    MAGNESIUM_WANTED,
    PH_WANTED,
    SODIUM_WANTED,
    WATER_WANTED,
    diagnose,
)
from soilx.practice.judgement.floor_drift import drift_back
from soilx.practice.judgement.verdict import decide
from soilx.practice.judgement.verdict_words import WITH_A_RATE, Verdict, drainage_sentence
from soilx.practice.soil_test.report import Report, read_reports
from soilx.wording import (
    CAUTION_ACID,
    CAUTION_BYPRODUCT,
    CAUTION_DUST,
    CAUTION_LEACHATE,
    CAUTION_LIVESTOCK,
    CAUTION_NUTRIENTS,
    CAUTION_RATE,
    LEACH_WITH_CALCIUM,
    PURE_WATER_SEALS,
    SOFTENED_WATER_NEVER,
    TARGET_BELOW_FLOOR,
)

REPORTS = read_reports(demo_path("soils.csv"))
WATERS = read_waters(demo_path("waters.csv"))
WELL, RAIN = WATERS["Well 3"], WATERS["Rain"]
GOOD_WATER = Water.of(name="canal", sodium="1 meq/L", calcium="8 meq/L", chloride="9 meq/L")


def plot(*, esp=None, drain="4 h", ph="8.0", ec="1.5 dS/m", jar_test="cloudy", **more):
    """A report that misses nothing that a verdict asks for, but what is set to None."""
    given = {"name": "plot", **more}
    if jar_test is not None:
        given["jar_test"] = jar_test
    if esp is not None:
        given |= {
            "exchangeable_basis": "exchangeable",
            "cec_basis": "measured",
            "cation_exchange_capacity": "20 cmol_c/kg",
            "exchangeable_sodium": f"{0.2 * esp!r} cmol_c/kg",
        }
    if drain is not None:
        given["drain_test"] = drain
    if ph is not None:
        given["ph"] = ph
    if ec is not None:
        given |= {"extract_basis": "saturation extract", "extract_conductivity": ec}
    return Report.of(**given)


@pytest.mark.parametrize(
    ("name", "target", "verdict", "then"),
    [
        ("Block C", 5, Verdict.GYPSUM, None),
        ("Block F", 6, Verdict.DRAINAGE_FIRST, Verdict.GYPSUM_AND_LEACHING),
        ("Lawn 2", 3, Verdict.FIX_THE_WATER, None),
        ("Bed 7", 5, Verdict.GYPSUM, None),
    ],
)
@pytest.mark.parametrize("convention", ["US", "Australia"])
def test_the_demo_soils_with_well_3__pinned(name, target, verdict, then, convention):
    # The farm is invented; its verdicts follow from the order of the questions, by either convention.
    found = decide(REPORTS[name], water=WELL, target_esp_pct=target, convention=convention)
    assert (found.verdict, found.then) == (verdict, then)
    assert found.rate_allowed is (verdict in WITH_A_RATE)
    assert found.target_below_floor
    assert CAUTION_RATE in found.cautions


def test_block_c_drifts_back_towards_the_floor_and_the_target_is_not_kept__analytic():
    found = decide(REPORTS["Block C"], water=WELL, target_esp_pct=5)
    said = " ".join(found.sentences)
    assert "ESP 18, SAR 15.6" in found.because
    assert "above 10.8, the floor of Well 3" in found.because
    assert "The test hole drains in 6 h" in found.because
    assert TARGET_BELOW_FLOOR in said
    assert "ESP 10.8 as the water is, 14.6 where the root zone concentrates it 2 times" in said
    assert found.floor_esp_pct == pytest.approx(10.8, abs=0.05)
    esp = [one for _, one in found.drift]
    assert esp == sorted(esp)
    assert 5 < esp[0] < esp[-1] < 10.8
    assert {CAUTION_DUST, CAUTION_BYPRODUCT, CAUTION_LEACHATE, CAUTION_NUTRIENTS, CAUTION_LIVESTOCK} <= set(
        found.cautions
    )


def test_block_f_is_not_given_a_rate_before_its_drain_and_never_leached_without_calcium__common_practice():
    # E12 and E16.
    found = decide(REPORTS["Block F"], water=WELL, target_esp_pct=6)
    assert not found.rate_allowed
    assert "72 h to drain, over 24 h" in found.because
    assert "loses its salt sooner than its sodium" in found.because
    assert LEACH_WITH_CALCIUM in found.cautions
    assert found.drift


def test_lawn_2_is_below_its_water_s_floor_and_is_told_what_gypsum_in_the_water_takes__analytic():
    found = decide(REPORTS["Lawn 2"], water=WELL, target_esp_pct=3)
    assert "ESP 9 is at or below 10.8, the floor of Well 3" in found.because
    assert "lb per acre-foot" in found.because
    assert found.drift == ()
    assert {"water_brings_it_back", "low_capacity_sand"} <= {reason.key for reason in found.applying}
    assert CAUTION_ACID in found.cautions
    assert CAUTION_DUST not in found.cautions


def test_the_drain_test_comes_first__trade_texts():
    # E16: over a day is poor; exactly a day still drains.
    assert decide(plot(esp=20, drain="24 h"), water=WELL).verdict is Verdict.GYPSUM
    found = decide(plot(esp=20, drain="24.1 h"), water=WELL)
    assert (found.verdict, found.then) == (Verdict.DRAINAGE_FIRST, Verdict.GYPSUM)
    found = decide(plot(esp=2, drain="3 d", jar_test="clear"), water=WELL)
    assert (found.verdict, found.then) == (Verdict.DRAINAGE_FIRST, Verdict.NO_SODIUM_PROBLEM)
    found = decide(plot(drain="3 d"), water=WELL)
    assert (found.verdict, found.then) == (Verdict.DRAINAGE_FIRST, Verdict.CANNOT_DECIDE)
    assert found.missing == (SODIUM_WANTED,)


def test_drainage_unknown_blocks_a_rate_and_says_so__common_practice():
    found = decide(plot(esp=20, drain=None), water=WELL)
    assert found.verdict is Verdict.CANNOT_DECIDE
    assert not found.rate_allowed
    assert found.missing == (DRAIN_TEST_WANTED,)
    assert "Nobody knows whether water can leave. If it can, the answer is: gypsum." in found.because
    assert any(said.startswith("Still wanted: a drain test") for said in found.sentences)
    # Where no water has to leave, the answer does not wait for the test.
    found = decide(plot(esp=2, drain=None, jar_test="clear"), water=WELL)
    assert found.verdict is Verdict.NO_SODIUM_PROBLEM
    assert DRAIN_TEST_WANTED in found.missing
    assert decide(plot(esp=9, drain=None), water=WELL).verdict is Verdict.FIX_THE_WATER


def test_no_gypsum_for_soil_that_is_merely_saline_dense_or_heavy__common_practice():
    # E22
    salty = decide(plot(esp=3, ec="8 dS/m", jar_test="clear"), water=WELL)
    assert salty.verdict is Verdict.LEACH
    assert "8 dS/m" in salty.because
    assert CAUTION_LEACHATE in salty.cautions
    assert CAUTION_DUST not in salty.cautions
    dense = decide(
        plot(esp=2, clay="50 %", bulk_density="1.6 kg/L", jar_test="clear"), water=WELL, target_esp_pct=5
    )
    assert dense.verdict is Verdict.NO_SODIUM_PROBLEM
    assert {"compaction", "heavy_clay", "no_sodium"} <= {reason.key for reason in dense.applying}


def test_sodium_without_salt_measured_leaves_only_the_salt_open__analytic():
    found = decide(plot(esp=2, ec=None, jar_test="clear"), water=WELL)
    assert (found.verdict, found.missing) == (Verdict.NO_SODIUM_PROBLEM, (EC_WANTED,))
    found = decide(plot(esp=25, ec=None), water=WELL)
    assert (found.verdict, found.missing) == (Verdict.GYPSUM, (EC_WANTED,))


def test_nobody_measured_the_sodium__analytic():
    found = decide(plot(), water=WELL)
    assert (found.verdict, found.missing) == (Verdict.CANNOT_DECIDE, (SODIUM_WANTED,))
    # A SAR beyond the line of Handbook 60 says sodic and gives no ESP to hold against the floor.
    found = decide(plot(extract_adsorption_ratio="80"), water=WELL)
    assert (found.verdict, found.missing) == (Verdict.CANNOT_DECIDE, (ESP_WANTED,))


def test_magnesium_is_not_treated_as_sodium__recalled():
    # E11
    rich = {"exchangeable_magnesium": "9 cmol_c/kg"}
    assert decide(plot(esp=2, jar_test="cloudy", **rich), water=WELL).verdict is Verdict.MAGNESIUM
    found = decide(plot(esp=2, jar_test=None, **rich), water=WELL)
    assert (found.verdict, found.missing) == (Verdict.MAGNESIUM, (JAR_TEST_WANTED,))
    assert decide(plot(esp=2, jar_test="clear", **rich), water=WELL).verdict is Verdict.NO_SODIUM_PROBLEM


def test_a_jar_that_contradicts_the_laboratory_decides_nothing__common_practice():
    found = decide(plot(esp=2, jar_test="cloudy"), water=WELL)
    assert found.verdict is Verdict.CANNOT_DECIDE
    assert MAGNESIUM_WANTED in found.missing
    found = decide(plot(esp=2, jar_test="cloudy", exchangeable_magnesium="3 cmol_c/kg"), water=WELL)
    assert found.verdict is Verdict.CANNOT_DECIDE
    assert MAGNESIUM_WANTED not in found.missing


def test_a_target_that_is_met_needs_nothing__analytic():
    found = decide(plot(esp=12, jar_test="cloudy"), water=GOOD_WATER, target_esp_pct=12)
    assert found.verdict is Verdict.AT_TARGET
    assert decide(plot(esp=12, jar_test="cloudy"), water=GOOD_WATER).verdict is Verdict.GYPSUM


def test_without_a_water_nobody_knows_whether_gypsum_lasts__common_practice():
    found = decide(REPORTS["Block C"])
    assert (found.verdict, found.missing) == (Verdict.CANNOT_DECIDE, (WATER_WANTED,))
    assert found.floor_esp_pct is None
    assert not found.target_below_floor
    assert "ESP 18 or above, fix the water" in found.because


def test_a_soil_exactly_at_the_floor_is_told_to_fix_the_water__analytic():
    floor = decide(REPORTS["Block C"], water=WELL).floor_esp_pct
    assert decide(plot(esp=floor - 1e-9), water=WELL).verdict is Verdict.FIX_THE_WATER
    assert decide(plot(esp=floor + 1e-6, jar_test="cloudy"), water=WELL).verdict is Verdict.GYPSUM


def test_the_floor_rises_with_the_concentration_in_the_root_zone__analytic():
    # Between the floors of Well 3 as it is, 10.8, and twice concentrated, 14.6.
    soil = plot(esp=12, jar_test="cloudy")
    assert decide(soil, water=WELL).verdict is Verdict.GYPSUM
    for factor, floor in ((1.5, 12.90), (2.0, 14.60), (3.0, 17.32)):
        found = decide(soil, water=WELL, concentration_factor=factor)
        assert found.verdict is Verdict.FIX_THE_WATER
        assert found.floor_esp_pct == pytest.approx(floor, abs=0.005)


def test_an_esp_whose_range_reaches_over_the_floor_says_so__analytic():
    soil = plot(extract_adsorption_ratio="7", jar_test="cloudy")
    found = decide(soil, water=WELL)
    assert found.verdict is Verdict.FIX_THE_WATER
    assert "The range of the ESP reaches above it." in found.because


def test_softened_water_is_never_answered_with_gypsum__common_practice():
    # E15
    soft = Water.of(name="tap", sodium="5 meq/L", calcium="0.1 meq/L", chloride="5.1 meq/L")
    found = decide(REPORTS["Block C"], water=soft)
    assert found.verdict is Verdict.FIX_THE_WATER
    assert SOFTENED_WATER_NEVER in found.cautions
    bare = Water.of(name="tap", sodium="5 meq/L", chloride="5 meq/L")
    assert decide(REPORTS["Block C"], water=bare).verdict is Verdict.FIX_THE_WATER


def test_rain_alone_keeps_the_target_and_is_warned_of__ayers_westcot1985():
    found = decide(REPORTS["Block C"], water=RAIN, target_esp_pct=5)
    assert found.verdict is Verdict.GYPSUM
    assert not found.target_below_floor
    assert found.drift == ()
    assert any("can be kept with Rain" in said for said in found.sentences)
    assert PURE_WATER_SEALS in found.cautions


@pytest.mark.parametrize("told", [{"gypsum_present": "yes"}, {"gypsum_recently_applied": "yes"}])
def test_gypsum_that_is_there_wants_water_and_a_new_test__common_practice(told):
    found = decide(plot(esp=20, **told), water=WELL)
    assert found.verdict is Verdict.GYPSUM_THERE
    assert not found.rate_allowed


def test_soluble_carbonate_is_not_mixed_with_gypsum__trade_texts():
    # E24
    found = decide(plot(esp=30, ph="9.4"), water=WELL)
    assert found.verdict is Verdict.CARBONATE_FIRST
    assert "pH 9.4 is over 9" in found.because
    assert CAUTION_ACID in found.cautions
    assert not found.rate_allowed
    assert decide(plot(esp=30, ph="9.0"), water=WELL).verdict is Verdict.GYPSUM


def test_without_a_ph_soluble_carbonate_cannot_be_ruled_out_unless_the_extract_does__analytic():
    found = decide(plot(esp=30, ph=None), water=WELL)
    assert (found.verdict, found.missing) == (Verdict.CANNOT_DECIDE, (PH_WANTED,))
    extract = {
        "extract_calcium": "4 meq/L",
        "extract_magnesium": "3 meq/L",
        "extract_sodium": "20 meq/L",
        "extract_bicarbonate": "3 meq/L",
    }
    assert decide(plot(esp=30, ph=None, **extract), water=WELL).verdict is Verdict.GYPSUM
    more = extract | {"extract_carbonate": "4.5 meq/L"}
    assert decide(plot(esp=30, ph=None, **more), water=WELL).verdict is Verdict.CANNOT_DECIDE


def test_between_5_and_15_the_jar_decides__osu_pss2226():
    assert decide(plot(esp=12, jar_test="cloudy"), water=WELL).verdict is Verdict.GYPSUM
    assert decide(plot(esp=12, jar_test="milky edge"), water=WELL).verdict is Verdict.GYPSUM
    assert decide(plot(esp=12, jar_test="clear"), water=WELL).verdict is Verdict.KEEP_THE_SALT
    found = decide(plot(esp=12, jar_test=None), water=WELL)
    assert (found.verdict, found.missing) == (Verdict.CANNOT_DECIDE, (JAR_TEST_WANTED,))
    found = decide(plot(esp=12, ec=None, jar_test=None), water=WELL)
    assert found.missing == (JAR_TEST_WANTED, EC_WANTED)


def test_a_sodic_soil_that_its_salt_holds_together_keeps_it_while_the_water_does__quirk_schofield1955():
    # Clay of ESP 18 needs 7.9 meq/L †: its own water has 20, Well 3 brings 10.6, rain nothing.
    held = plot(esp=18, ec="2 dS/m", jar_test="clear")
    found = decide(held, water=WELL)
    assert found.verdict is Verdict.KEEP_THE_SALT
    assert "needs about 7.9 meq/L" in found.because
    assert "brings 10.6" in found.because
    assert decide(held, water=RAIN).verdict is Verdict.GYPSUM
    assert decide(plot(esp=18, ec="0.5 dS/m", jar_test="clear"), water=WELL).verdict is Verdict.GYPSUM
    found = decide(plot(esp=18, ec=None, jar_test="clear"), water=WELL)
    assert (found.verdict, found.missing) == (Verdict.CANNOT_DECIDE, (EC_WANTED,))
    # Nobody looked: the jar decides where the salt may hold the clay, and nothing else can where it cannot.
    found = decide(plot(esp=18, ec="2 dS/m", jar_test=None), water=WELL)
    assert (found.verdict, found.missing) == (Verdict.CANNOT_DECIDE, (JAR_TEST_WANTED,))
    assert decide(plot(esp=18, ec="2 dS/m", jar_test=None), water=RAIN).verdict is Verdict.GYPSUM
    # From SAR 12 the line gives ESP 9 to 19: whether that is sodic is open, and 4 meq/L do not hold its clay.
    unsure = plot(ec="0.4 dS/m", extract_adsorption_ratio="12", jar_test="clear")
    found = decide(unsure, water=GOOD_WATER)
    assert (found.verdict, found.missing) == (Verdict.CANNOT_DECIDE, (ESP_WANTED,))
    rinsed = plot(esp=18, ec="2 dS/m", jar_test="clear, cloudy after rinsing")
    assert decide(rinsed, water=WELL).verdict is Verdict.GYPSUM


def test_a_saline_soil_with_some_sodium_is_leached_only_where_the_water_keeps_its_clay__quirk_schofield1955():
    # E12
    salty = {"esp": 12, "ec": "8 dS/m"}
    assert decide(plot(**salty, jar_test="clear"), water=WELL).verdict is Verdict.LEACH
    assert decide(plot(**salty, jar_test="clear"), water=RAIN).verdict is Verdict.GYPSUM_AND_LEACHING
    assert decide(plot(**salty, jar_test="cloudy"), water=WELL).verdict is Verdict.GYPSUM_AND_LEACHING
    found = decide(plot(**salty, jar_test=None), water=WELL)
    assert (found.verdict, found.missing) == (Verdict.CANNOT_DECIDE, (JAR_TEST_WANTED,))
    assert decide(plot(esp=20, ec="8 dS/m"), water=WELL).verdict is Verdict.GYPSUM_AND_LEACHING


def test_too_thin_a_report_for_a_column_still_says_where_the_floor_is__analytic():
    found = decide(plot(esp=25), water=WELL)
    assert found.verdict is Verdict.GYPSUM
    assert found.drift == ()
    assert any("drifts back towards its floor" in said for said in found.sentences)
    assert found.target_esp_pct == 5
    assert decide(plot(esp=25), water=WELL, convention="Australia").target_esp_pct == 6


def test_the_name_alone_is_answered_with_what_is_missing__analytic():
    found = decide(Report.of(name="bare"))
    assert found.verdict is Verdict.CANNOT_DECIDE
    assert found.missing == (DRAIN_TEST_WANTED, SODIUM_WANTED)
    assert found.would_change
    assert found.applying == ()


@pytest.mark.parametrize(
    "asked",
    [
        {"target_esp_pct": 120},
        {"target_esp_pct": float("nan")},
        {"concentration_factor": 0.5},
        {"concentration_factor": 50},
        {"convention": "Mars"},
    ],
)
def test_what_is_no_question_is_refused__analytic(asked):
    with pytest.raises(LimitError):
        decide(REPORTS["Block C"], water=WELL, **asked)


def thinned(report, keep):
    """The report with only some of what was typed."""
    typed = dict(report.typed)
    return Report.of(
        **{key: text for (key, text), kept in zip(typed.items(), keep, strict=False) if kept or key == "name"}
    )


@given(st.sampled_from(["Block C", "Block F", "Lawn 2", "Bed 7"]), st.data())
def test_a_verdict_on_half_a_report_never_contradicts_the_whole__analytic(name, data):
    whole = decide(REPORTS[name], water=WELL)
    keep = data.draw(st.lists(st.booleans(), min_size=34, max_size=34))
    try:
        report = thinned(REPORTS[name], keep)
    except SoilxError:
        # a report that contradicts itself without what was left out is refused where it is read
        return
    found = decide(report, water=WELL)
    assert found.sentences
    assert CAUTION_RATE in found.cautions
    if found.rate_allowed:
        # Water is known to leave, and the whole report gives gypsum too.
        assert report.drain_test_h is not None
        assert whole.verdict in WITH_A_RATE
    if found.verdict is Verdict.CANNOT_DECIDE:
        assert found.missing
    elif found.verdict is not Verdict.DRAINAGE_FIRST:
        assert (found.verdict in WITH_A_RATE) == ((whole.then or whole.verdict) in WITH_A_RATE)


def test_a_drain_test_that_was_not_done_has_no_sentence__analytic():
    assert drainage_sentence(diagnose(Report.of(name="bare"))) == ""


def test_the_way_back_ends_at_the_floor__conservation():
    soil = REPORTS["Lawn 2"].soil()
    steps = drift_back(soil, water=WELL, start_esp_pct=3.0, pore_volumes=(1.0, 10.0, 100.0))
    esp = [one for _, one in steps]
    assert 3.0 < esp[0] < esp[1] < esp[2]
    # Exchangeable potassium is in the column and not in the formula.
    assert esp[2] == pytest.approx(10.8, abs=0.25)
