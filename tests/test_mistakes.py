"""Problems at published numbers, and known mistakes: recomputed, told apart, named."""

from dataclasses import replace
from types import MappingProxyType

import pytest

from soilx.chemistry.cation_exchange import vanselow_isotherm
from soilx.practice.judgement.infiltration import INFILTRATION
from soilx.practice.judgement.verdict import decide
from soilx.practice.judgement.verdict_words import Verdict
from soilx.practice.soil_test.report import Report
from soilx.teaching.checking import Outcome, judge
from soilx.teaching.kinds.charge_counting import mass_of
from soilx.teaching.kinds.gypsum_or_not import ANSWERS
from soilx.teaching.mistakes import MISTAKES
from soilx.teaching.possible_water import water_of
from soilx.teaching.problem import Seen
from soilx.teaching.problems import PROBLEMS
from soilx.teaching.recomputed import wrong_answer, wrong_answers
from soilx.teaching.seeds import Seed
from soilx.teaching.variants import Variant
from tests.homework_class import ALL, CLASS, IDS

PER_KG = {symbol: mass_of(1.0, symbol) for symbol in ("Ca", "Mg", "K", "Na")}
#: One acre-furrow slice is 2 000 000 lb over 6 in, in metric units.
ACRE_DENSITY = 2_000_000 * 0.45359237 / (43560 * 0.3048**2) / 152.4


def solved(key, mistake="", words=None, **numbers):
    """The answers of a problem at given numbers."""
    return PROBLEMS[key].solve(Seen(numbers=numbers, words=words or {}), mistake).values


def at_numbers(key, words=None, **numbers):
    """A variant at given numbers, for a judge."""
    problem = PROBLEMS[key]
    seen = Seen(numbers=numbers, words=words or {})
    asked, solution = problem.asked(seen), problem.solve(seen, "")
    found = (
        wrong_answer(problem, seen, asked, solution, key) for key in (*problem.mistakes, *problem.sometimes)
    )
    return Variant(
        seed=Seed.of("C1", key, "S1"),
        problem=problem,
        seen=seen,
        told=problem.tell(seen),
        asked=asked,
        solution=solution,
        wrong=tuple(wrong for wrong in found if wrong is not None),
        attempts=0,
        record=MappingProxyType({}),
    )


# W4 and W2 of the field, as far as a field's table asks.
ACRE = {
    "capacity": 20.0,
    "esp": 20.185,
    "target": 5.0,
    "sampled": 15.24,
    "treated": 15.24,
    "density": ACRE_DENSITY,
    "purity": 100.0,
    "moisture": 0.0,
}
HECTARE = {**ACRE, "capacity": 40.0, "esp": 25.0, "target": 15.0, "treated": 15.0, "density": 1.25}


@pytest.mark.parametrize(("symbol", "ppm"), [("Na", 229.9), ("Ca", 200.4), ("Mg", 121.5), ("K", 391.0)])
def test_one_cmol_of_charge_weighs_as_printed__arithmetic(symbol, ppm):
    found = solved("ppm-to-charge", words={"ion": symbol}, ppm=ppm)
    assert found["charge"] == pytest.approx(1.0, abs=0.05 / ppm)


def test_the_course_soil_has_esp_16_81__course_set():
    # W8, given as mass: Ca 5.4, Mg 1.4, K 2.6, Na 1.9 cmol_c/kg.
    held = {"Ca": 5.4, "Mg": 1.4, "K": 2.6, "Na": 1.9}
    found = solved("esp-by-charge", **{symbol: value * PER_KG[symbol] for symbol, value in held.items()})
    assert found["esp"] == pytest.approx(16.81, abs=0.005)
    assert found["capacity"] == pytest.approx(11.3)


def test_four_forms_of_one_cmol_of_sodium_agree__lab_report_units():
    printed = {"A": 229.9 / 1.05, "B": 1.0, "C": 2 * 229.9, "D": 10.0, "moisture": 5.0, "capacity": 10.0}
    for letter in "ABCD":
        found = solved("four-laboratories", **{**printed, letter: 2.0 * printed[letter]})
        assert found["slipped"] == letter
        assert found["sodium"] == pytest.approx(1.0, abs=0.05 / 229.9)


def test_the_beaker_has_the_front_s_water_at_esp_30__exchange_front():
    # Total charge 30 mmol_c/L beside ESP 30: Na 28.126 and Ca 0.937 mmol/L.
    found = solved("sar-to-esp", na=28.126, ca=2 * 0.937, mg=0.0, wide_ca=1.0, wide_mg=1.0)
    assert found["esp"] == pytest.approx(30.0, abs=0.01)


def test_esp_15_of_three_capacities_is_345_690_1034_mg_of_sodium__arithmetic():
    for capacity, ppm in ((10, 345), (20, 690), (30, 1034)):
        held = {"Ca": 0.5 * capacity, "Mg": 0.3 * capacity, "K": 0.05 * capacity, "Na": ppm / PER_KG["Na"]}
        found = solved("what-sits-on-the-clay", **held, capacity=capacity, saturation=50.0, extract_na=0.0)
        # 1034.5 is printed as 1034: a whole last digit.
        assert found["esp"] == pytest.approx(15.0, abs=1.0 / ppm * 15)


@pytest.mark.parametrize(
    ("ec", "held", "esp", "word"),
    [
        (2, (5, 3, 5, 2), 33.3, "sodic"),
        (5, (19, 8, 4, 4), 11.4, "saline"),
        (2, (23, 6, 10, 1), 25.0, "sodic"),
    ],
)
def test_the_course_soils_have_their_classes__course_set(ec, held, esp, word):
    # W9: Ca, Mg, Na, K.
    found = solved("name-the-soil", ec=ec, **dict(zip(("Ca", "Mg", "Na", "K"), held, strict=True)))
    assert found["esp"] == pytest.approx(esp, abs=0.05)
    assert found["class"] == word


def test_dilution_takes_the_non_preference_exchanger_from_0_111_to_0_050__exchange_algebra():
    # Half the charge sodium, at 0.05 N and diluted five times to 0.01 N.
    found = solved("valence-dilution", na=25.0, ca=25.0, mg=0.0, times=5.0)
    before = solved("valence-dilution", na=25.0, ca=25.0, mg=0.0, times=1.0)
    assert float(vanselow_isotherm(before["sar"])) == pytest.approx(0.11111, abs=5e-6)
    assert float(vanselow_isotherm(found["sar"])) == pytest.approx(0.04994, abs=5e-6)


def test_a_wide_extract_is_converted_as_printed__slavich_petterson1993():
    found = solved("which-extract", ec=0.5, saturation=50.0)
    assert found["ec"] == pytest.approx(0.5 * (2.46 + 3.03 / 0.50))
    assert found["saline"] == "yes"


def test_esp_80_to_50_takes_3_228_g_per_kg__course_set():
    # W7; the slider's hand formula is the same one.
    numbers = {"capacity": 12.5, "esp": 80.0, "target": 50.0}
    assert solved("gypsum-by-charge", **numbers)["gypsum"] == pytest.approx(3.228, abs=5e-4)
    by_hand = solved("least-gypsum", "A14", **numbers, least=5.0)["gypsum"]
    assert by_hand == pytest.approx(3.228, abs=5e-4)


def test_water_is_full_of_gypsum_at_15_86_mmol__ion_pair_constants():
    found = solved("gypsum-in-water", grams=1.0, volume=100.0)["calcium"]
    assert found == pytest.approx(2 * 15.86, abs=0.01)
    # A published estimate in the round: 0.03 N.
    assert found == pytest.approx(30.0, abs=5.0)
    naive = solved("gypsum-in-water", "A13", grams=1.0, volume=100.0)["calcium"]
    assert naive == pytest.approx(2 * 5.08, abs=0.01)


def test_a_litre_of_10_mmol_of_sodium_carries_230_mg__lab_report_units():
    found = solved("one-portion", sodium=10.0, water=1.0, share=0.5, total=1000.0, density=1.4)
    assert found["leached"] == pytest.approx(0.5 * 230, abs=0.5)
    assert found["left"] == pytest.approx(1000 - 0.5 * 230, abs=0.5)


def test_cups_of_a_stirred_layer_leave_0_1353_after_two_volumes__erlang():
    # Nothing exchanges: P(1, T) of the table is what is out at T pore volumes.
    out = {0.0: 0.0, 0.5: 0.393469, 0.8: 0.550671, 1.0: 0.632121, 1.5: 0.776870, 2.0: 0.864665}
    times = list(out)
    numbers = {"soil": 200.0, "total": 1000.0}
    for cup in range(1, 6):
        step, caught = times[cup] - times[cup - 1], out[times[cup]] - out[times[cup - 1]]
        # One pore volume is 0.25 L/kg: 50 mL of this soil, which holds 200 mg of sodium.
        numbers |= {f"ml{cup}": 50.0 * step, f"na{cup}": 200.0 * caught / (0.050 * step)}
    found = solved("leachate-budget", **numbers)
    assert found["left"] == pytest.approx(1000 * (1 - 0.864665), abs=1e-3)
    assert found["leached"] == pytest.approx(864.665, abs=1e-3)


def test_one_jar_of_pure_water_dissolves_2_730_g__ion_pair_constants():
    # 15.86 mmol/L of 172.171 g/mol: so much gypsum takes one pore volume of 1 L/kg.
    found = solved("least-water", "A15", grams=15.86 * 0.172171, water=1.0, least=0.5)
    assert found["water"] == pytest.approx(1.0, abs=5e-4)


def test_a_textbook_acre_asks_for_5229_lb__textbook_acre():
    # W4: SAR 18.00, ESP 20.19 by Handbook 60's line; 2 000 000 lb over 6 in.
    assert solved("sar-to-esp", na=36.0, ca=6.0, mg=2.0)["sar"] == pytest.approx(18.0, abs=5e-3)
    made = at_numbers("field-rate", **ACRE)
    assert made.solution.values["pure"] * 892.179 == pytest.approx(5229, abs=1)
    assert judge(made, "pure", "5229 lb/acre").outcome is Outcome.RIGHT


def test_16_125_t_is_named_as_all_the_sodium_where_6_456_is_right__homework_hectare():
    # W2: 40 % of the sodium was asked, and the printed answer doses all of it.
    made = at_numbers("field-rate", **HECTARE)
    assert made.solution.values["pure"] == pytest.approx(6.456, abs=5e-4)
    assert made.problem.solve(made.seen, "A5").values["pure"] == pytest.approx(16.141, abs=5e-4)
    said = judge(made, "pure", "16.125 t/ha")
    assert (said.outcome, said.mistake) == (Outcome.WRONG, "A5")
    assert MISTAKES["A5"].name in said.text
    assert "share to go" in said.text
    assert judge(made, "pure", "6.456 t/ha").outcome is Outcome.RIGHT


def test_the_planted_hectare_is_wrong_in_its_first_line__homework_hectare():
    made = at_numbers("find-the-mistake", words={"planted": "A5"}, **HECTARE)
    assert made.solution.values["line"] == "1"
    assert made.solution.values["product"] == pytest.approx(6.456, abs=5e-4)
    assert judge(made, "product", "16.125 t/ha").mistake == "A5"


def test_20_6_is_named_as_the_root_before_the_halving_where_14_59_is_right__arithmetic():
    # W11: Na 44, Ca 10, Mg 8.2 meq/L; printed 20.6.
    for key, more in (
        ("sar-to-esp", {"wide_na": 5.0, "wide_ca": 1.0, "wide_mg": 0.5}),
        ("water-floor", {"times": 2.0}),
        ("infiltration", {"ec": 3.0}),
    ):
        made = at_numbers(key, na=44.0, ca=10.0, mg=8.2, **more)
        assert made.solution.values["sar"] == pytest.approx(14.59, abs=5e-3)
        said = judge(made, "sar", "20.6")
        assert (said.outcome, said.mistake) == (Outcome.WRONG, "A1")
        assert "√(10 + 8.2)" in said.text


def test_a_meq_over_a_foot_of_soil_is_0_861_g_per_kg_in_a_pot__ali2011():
    # 3.8596 t/ha per 30.48 cm at 1.471 kg/L for each meq/100 g; half a last digit of the density.
    numbers = {"rate": 3.8596, "depth": 30.48, "density": 1.471, "soil": 1000.0, "opening": 9.0}
    assert solved("pot-dose", **numbers)["gypsum"] == pytest.approx(0.8609, rel=0.0005 / 1.471)


def test_by_area_a_pot_of_100_g_gets_13_times_too_much__common_practice():
    numbers = {"rate": 5.0, "depth": 15.0, "density": 1.4, "soil": 100.0, "opening": 9.0}
    by_area, right = solved("pot-dose", "E1", **numbers), solved("pot-dose", **numbers)
    assert by_area["gypsum"] / right["gypsum"] == pytest.approx(13, abs=0.5)


def test_a_split_counts_in_printed_factors__us_customary():
    # 2.24 t/ha is about 46 lb/1000 ft², one short ton per acre 45.914.
    numbers = {"pure": 2.241702, "purity": 100.0, "moisture": 0.0, "cap": 25.0}
    found = solved("split-programme", **numbers)
    assert found == pytest.approx({"visits": 2.0, "each": 45.914 / 2}, abs=5e-4)
    taken = solved("split-programme", "A11", **numbers)
    assert taken["visits"] * taken["each"] / 45.914 == pytest.approx(2.242, abs=5e-4)


@pytest.mark.parametrize(
    ("held", "ec", "hours", "jar", "verdict"),
    [
        ((5, 3, 5, 2), 2, 6, "cloudy", Verdict.GYPSUM),
        ((5, 3, 5, 2), 2, 48, "cloudy", Verdict.DRAINAGE_FIRST),
        ((19, 8, 4, 4), 5, 6, "clear", Verdict.LEACH),
        ((23, 6, 10, 1), 2, 6, "cloudy", Verdict.GYPSUM),
    ],
)
def test_the_course_soils_get_their_answers__course_set(held, ec, hours, jar, verdict):
    # W9's sodic soils want gypsum, its saline one water; its water holds the clay together.
    water = water_of({"Na": 6.0, "Ca": 12.0, "Mg": 6.0, "Cl": 24.0})
    names = ("calcium", "magnesium", "sodium", "potassium")
    report = Report.of(
        name="course soil",
        cation_exchange_capacity=f"{sum(held)} cmol_c/kg",
        **{f"exchangeable_{name}": f"{value} cmol_c/kg" for name, value in zip(names, held, strict=True)},
        extract_basis="saturation extract",
        extract_conductivity=f"{ec} dS/m",
        drain_test=f"{hours} h",
        jar_test=jar,
        ph="8.2",
    )
    decision = decide(report, water=water)
    assert decision.verdict is verdict
    seen = Seen(numbers={}, words={"verdict": verdict.name, "because": decision.because})
    assert PROBLEMS["gypsum-or-not"].solve(seen, "").values["verdict"] == ANSWERS[verdict][0]


def test_a_water_of_sar_10_and_13_has_the_model_s_floor_beside_handbook_60_s__ussl1954():
    # Handbook 60's line has an intercept, the model has none: 1 ESP unit apart at most there.
    for sar, esp in ((10, 11.887), (13, 15.193), (15, 17.263)):
        found = solved("water-floor", na=sar, ca=1.0, mg=1.0, times=1.0)
        assert found["sar"] == pytest.approx(sar)
        assert found["esp"] == pytest.approx(esp, abs=1.1)


def test_every_cell_of_the_infiltration_table_is_read__ayers_westcot1985():
    printed = ((2, 0.7, 0.2), (5, 1.2, 0.3), (9, 1.9, 0.5), (16, 2.9, 1.3), (30, 5.0, 2.9))
    assert [(row.none_above, row.severe_below) for row in INFILTRATION] == [row[1:] for row in printed]
    for sar, none, severe in printed:
        for ec, word in ((1.1 * none, "none"), (0.9 * none, "slight to moderate"), (0.9 * severe, "severe")):
            found = solved("infiltration", na=sar, ca=1.0, mg=1.0, ec=ec)
            assert found["restriction"] == word


def test_an_acre_foot_takes_234_lb_for_each_meq__usda_water_gypsum():
    acre = 43560 * 0.3048**2 / 10_000
    found = solved("gypsum-for-water", calcium=1.0, depth=304.8, area=acre, purity=100.0)
    assert found["product"] / 0.45359237 == pytest.approx(234.10, abs=0.005)


def test_a_brine_soil_of_100_meq_per_litre_takes_39_4_t_per_ha__ashworth1999():
    # W10: a 100 meq Na/L, c 20, b 7, 65.7 %, over 15 cm at the bulk density that 0.00335 implies.
    # SAR 20 beside 100 mmol/L of sodium leaves 25 mmol/L for calcium and magnesium together.
    numbers = {"na": 100.0, "ca": 30.0, "mg": 20.0, "target": 7.0, "saturation": 65.7}
    ground = {"sampled": 30.0, "treated": 15.0, "density": 0.00335 / (1e-7 * 172.171 * 150.0)}
    made = at_numbers("brine-gypsum", **numbers, **ground)
    assert made.solution.values["sar"] == pytest.approx(20.0)
    assert made.solution.values["pure"] == pytest.approx(39.4, abs=0.05)
    assert judge(made, "pure", "39.4 t/ha").outcome is Outcome.RIGHT
    assert judge(made, "pure", "78.8 t/ha").mistake == "E2"
    # Without the paste's share of water it is 39.4 / 0.657.
    assert judge(made, "pure", "59.97 t/ha").mistake == "E3"


# Whether mistakes are recognised.


def replies_of(made, wrong):
    """Typed answers of who makes one mistake, in every part."""
    values = {part.key: wrong.values.get(part.key, made.solution.values[part.key]) for part in made.asked}
    return {
        part.key: values[part.key] if part.kind is None else f"{values[part.key]:.5g} {part.unit}".strip()
        for part in made.asked
    }


@pytest.mark.parametrize("made", ALL, ids=IDS)
def test_every_known_mistake_is_named_with_its_line__analytic(made):
    for wrong in made.wrong:
        replies = replies_of(made, wrong)
        for part in made.asked:
            said = judge(made, part.key, replies[part.key], others=replies)
            if part.key not in wrong.values:
                assert said.outcome is Outcome.RIGHT
                continue
            assert said.outcome is Outcome.WRONG
            if part.kind is None:
                assert said.text
                continue
            assert said.mistake == wrong.mistake.key, (part.key, replies, said)
            assert wrong.went_wrong.text in said.text
            assert wrong.mistake.remedy in said.text


@pytest.mark.parametrize("key", PROBLEMS)
def test_the_mistakes_that_matter_are_told_apart_in_every_variant__analytic(key):
    for made in CLASS[key]:
        assert {wrong.mistake.key for wrong in made.wrong} >= set(PROBLEMS[key].mistakes)


def test_each_mistake_of_the_trade_is_met_somewhere__common_practice():
    met = {wrong.mistake.key for made in ALL for wrong in made.wrong}
    assert met >= {f"E{number}" for number in range(1, 12)} | {"M4", "M5", "M6"}
    # And nothing is in the list that no problem can meet.
    assert set(MISTAKES) == {
        key for problem in PROBLEMS.values() for key in (*problem.mistakes, *problem.sometimes)
    }


def test_a_mistake_that_cannot_be_told_apart_rejects_the_draw__analytic():
    # SAR 25.98 stands beside ESP 27.7: within rounding of each other, so nothing is named M6 there.
    numbers = {"na": 25.0, "ca": 1.0, "mg": 0.85, "wide_na": 3.0, "wide_ca": 0.1, "wide_mg": 0.08}
    made = at_numbers("sar-to-esp", **numbers)
    assert "M6" not in {wrong.mistake.key for wrong in made.wrong}
    # Without moisture and impurity, forgetting them is no mistake that could be seen.
    dry = replace(at_numbers("field-rate", **ACRE).seen)
    problem = PROBLEMS["field-rate"]
    assert wrong_answers(problem, dry, problem.asked(dry), problem.solve(dry, "")) is None


def test_names_and_remedies_are_plain_sentences__common_practice():
    for mistake in MISTAKES.values():
        assert mistake.name[0].islower() or mistake.name.startswith(("SAR", "ppm", "mg/L"))
        assert not mistake.name.endswith(".")
        assert mistake.remedy.endswith(".")
        assert len(mistake.remedy) < 130
