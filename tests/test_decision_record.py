"""A decision as a file: every text as it was typed, read back equal, refused with its place where wrong."""

import pytest

from soilx import FileError, LimitError, SoilxError, demo_path, read_waters
from soilx.column.water import DEIONISED
from soilx.practice.decision_file import (
    decision_from_toml,
    decision_to_toml,
    is_decision,
    read_decision,
    write_decision,
)
from soilx.practice.decision_record import AIM_KEYS, PLAN_KEYS, PRODUCT_KEYS, DecisionRecord
from soilx.practice.dose.product import PURE, Product
from soilx.practice.judgement.verdict import decide
from soilx.practice.judgement.verdict_words import Verdict
from soilx.practice.soil_test.report import read_reports

REPORTS = read_reports(demo_path("soils.csv"))
WELL = read_waters(demo_path("waters.csv"))["Well 3"]
DEMO = demo_path("decision_block_c.toml")


def test_the_demonstrations_file_is_what_it_is_written_as__pinned():
    record = read_decision(DEMO)
    assert decision_to_toml(record) == DEMO.read_text(encoding="utf-8")
    assert record.soil == REPORTS["Block C"].typed
    assert record.irrigation_water() == WELL
    assert record.amendment() == Product.of(
        "Pit gypsum", purity="88 %", moisture="6 %", price_per_t=62.0, currency="farm dollars"
    )


@pytest.mark.parametrize(
    ("name", "verdict"),
    [
        ("block_c", Verdict.GYPSUM),
        ("block_f", Verdict.DRAINAGE_FIRST),
        ("lawn_2", Verdict.FIX_THE_WATER),
    ],
)
def test_three_decisions_of_the_demonstration_have_three_verdicts__pinned(name, verdict):
    path = demo_path(f"decision_{name}.toml")
    record = read_decision(path)
    assert decision_to_toml(record) == path.read_text(encoding="utf-8")
    assert record.decision().verdict is verdict


@pytest.mark.parametrize("name", REPORTS)
def test_a_decision_is_the_same_after_the_file__analytic(name, tmp_path):
    aim = {"title": "a = 'b' \"c\"", "target": "6 %", "factor": "1.1", "concentration": "2", "depth": "8 cm"}
    record = DecisionRecord.of(
        REPORTS[name],
        water=WELL,
        aim=aim,
        product={"name": "Gips 🌾", "sulfur": "16.4 %", "moisture": "14 %", "moisture_basis": "dry"},
        plan={"way": "split", "cover": "fine turf", "years": "3", "first": "2027-03-15", "area": "2 ha"},
    )
    path = tmp_path / "decision.toml"
    write_decision(record, path)
    again = read_decision(path)
    assert again == record
    assert again.decision().sentences == record.decision().sentences
    treated = REPORTS[name].with_(depth="8 cm")
    expected = decide(treated, water=WELL, target_esp_pct=6.0, concentration_factor=2.0)
    assert record.decision().sentences == expected.sentences


def test_what_is_not_typed_is_not_known_and_takes_the_usual__common_practice():
    record = DecisionRecord.of({"name": "bed"})
    assert record.irrigation_water() is None
    assert record.amendment() == PURE
    assert (record.convention, record.factor, record.concentration, record.years) == ("US", 1.25, 1.0, 5)
    assert record.asked_target_esp_pct is None
    assert record.first is None
    assert record.title == "bed"
    assert record.decision().missing
    assert decision_from_toml(decision_to_toml(record)) == record


def test_a_target_may_be_a_plain_number_of_percent__common_practice():
    for text in ("6", "6 %"):
        assert DecisionRecord.of({"name": "bed"}, aim={"target": text}).asked_target_esp_pct == 6.0


def test_deionised_water_is_named_and_has_no_analysis__analytic():
    record = DecisionRecord.of({"name": "bed"}, water=DEIONISED)
    assert decision_from_toml(decision_to_toml(record)).irrigation_water() == DEIONISED


def test_a_decision_is_told_from_a_scenario__analytic():
    assert is_decision(DEMO.read_text(encoding="utf-8"))
    assert not is_decision(demo_path("pair.toml").read_text(encoding="utf-8"))
    assert not is_decision("no = toml = at all")


HEAD = '[decision]\n[soil]\nname = "bed"\n'


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("x = = 1", "decision: is not TOML"),
        ("[decision]\n", "decision, [soil]: is missing"),
        ('[soil]\nname = "bed"\n', "decision, [decision]: is missing"),
        (HEAD + "[sand]\n", "sand: is not something said of a decision file"),
        (HEAD + "ph = 'blue'", "decision, [soil]: ph = blue"),
        (HEAD + "colour = 'red'", "decision, [soil]: colour: is not something said of"),
        (HEAD + "[water]\nname = 'w'\nsodium = '3'", "decision, [water]: sodium = 3: has no unit"),
        (HEAD + "[product]\nprice = '3'", "decision, [product]: price: is not something said of [product]"),
        (
            HEAD + "[product]\npurity = '88 %'\nprice_per_t = 'dear'",
            "price_per_t = dear: is not such a number",
        ),
        (HEAD + "[plan]\nway = 'thrown'", "way = thrown: is no way to spread"),
        (HEAD + "[plan]\ncover = 'lawnn'", "cover = lawnn: is not known"),
        (HEAD + "[plan]\nyears = 'a few'", "years = a few: is not a whole number"),
        (HEAD + "[plan]\nyears = '0'", "years = 0"),
        (HEAD + "[plan]\nfirst = 'spring'", "first = spring: is not a day"),
        (HEAD + "[plan]\ncap = '25 mm'", "cap = 25 mm"),
        (HEAD + "[plan]\nwater = '3 t/ha'", "water = 3 t/ha"),
        (HEAD + "[plan]\narea = '3 kg'", "area = 3 kg"),
        (HEAD + "[plan]\nway = true", "decision, [plan], way = True: is not text"),
        ("decision = 1\n[soil]\nname = 'bed'", "decision, [decision]: is not a table"),
        ('[decision]\ntarget = "5 kg"\n[soil]\nname = "bed"', "target ESP = 5 kg"),
        ('[decision]\nfactor = "3"\n[soil]\nname = "bed"', "factor = 3: is not such a number"),
        ('[decision]\nconvention = "Mars"\n[soil]\nname = "bed"', "convention = Mars: is not one of ours"),
        ('[decision]\ndepth = "3 kg"\n[soil]\nname = "bed"', "depth = 3 kg"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_place__common_practice(text, said):
    with pytest.raises(FileError) as refused:
        decision_from_toml(text)
    assert str(refused.value).startswith("decision")
    assert said in str(refused.value)


def test_more_than_was_sampled_is_not_treated__common_practice():
    # E2: nobody knows what lies below
    with pytest.raises(SoilxError, match="sampled"):
        DecisionRecord.of(REPORTS["Block C"], aim={"depth": "30 cm"})


@pytest.mark.parametrize("part", ["aim", "product", "plan"])
def test_every_key_of_a_part_is_named_where_one_is_wrong__common_practice(part):
    keys = {"aim": AIM_KEYS, "product": PRODUCT_KEYS, "plan": PLAN_KEYS}[part]
    with pytest.raises(LimitError) as refused:
        DecisionRecord.of({"name": "bed"}, **{part: {"nonsense": "1"}})
    assert all(key in str(refused.value) for key in keys)
