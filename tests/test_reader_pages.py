"""Pages for four readers: the verdict, unit, rate and cautions are the library's, and no rate slips in."""

import dataclasses
import datetime as dt
import functools
import html
import re

import pytest

from soilx import demo_path, read_scenario, wording
from soilx.bench.record_reading import read_record
from soilx.errors import LimitError
from soilx.handouts.reader_facts import facts_of
from soilx.handouts.reader_page import facts_page
from soilx.handouts.reader_plan import plan_for
from soilx.handouts.readers import Reader, figure, units_of
from soilx.practice.decision_record import DecisionRecord
from soilx.practice.dose.product import Product
from soilx.practice.dose.requirement import hand_requirement
from soilx.practice.dose.requirement_column import least_gypsum
from soilx.practice.judgement.verdict import decide
from soilx.practice.judgement.verdict_words import WITH_A_RATE, Verdict
from soilx.practice.seasons.monitoring_days import retest_day
from soilx.practice.seasons.programme_columns import NOTHING, TREATED
from soilx.practice.seasons.visit_plans import incorporated, split
from soilx.show.field_answer import answer_to
from soilx.show.field_choices import Aim
from tests.reader_made import reader_page
from tests.reader_soils import AIMS, EVERY_VERDICT, PLAN, REPORTS, WELL, facts_on, record_of, record_with
from tests.reading_ease import grade, prose_of, syllables

DAY = dt.date(2026, 11, 25)
PIT = Product.of("Pit gypsum", purity="88 %", moisture="6 %")
PRACTICE = [Reader.GARDENER, Reader.TURF, Reader.GROWER]
SYSTEMS = ("metric", "us")
METRIC = units_of(Reader.GARDENER, "metric")
# Anything that a spreader could be set to.
RATE = re.compile(
    r"\d[\d.,]*\s*(?:kg|g|t|lb|short tons?|bags?)\s*(?:/|per )\s*(?:10 m²|m²|ha|acre|1000 ft|100 ft|bag)"
    r"|short ton/acre|t/ha|lb/1000|kg per 10 m²|g/m²|bags?\b"
)


def words(page):
    """Text of a page as it is read, without its style sheet and scripts."""
    bare = re.sub(r"<(style|script)\b.*?</\1>", "", page, flags=re.S)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", bare)).split())


@functools.cache
def page(name, reader, units="metric"):
    """Page of a demonstration soil."""
    return facts_page(facts_on(name), reader, units_of(reader, units), paper=None, made_on=DAY)


def head(made):
    return html.unescape(re.search(r"<h1>(.*?)</h1>", made, re.S)[1])


@pytest.mark.parametrize("reader", list(Reader))
@pytest.mark.parametrize("name", AIMS)
def test_twelve_pages_say_the_verdict_and_carry_its_cautions__analytic(name, reader):
    target = {"Block F": 6.0, "Lawn 2": 3.0}.get(name)
    decision = decide(REPORTS[name], water=WELL, target_esp_pct=target)
    made = page(name, reader)
    said = words(made)
    assert head(made) == decision.sentences[0].rstrip(".")
    # Livestock is spoken of where stock may graze: the turf manager's grass is mown.
    mown = {wording.CAUTION_LIVESTOCK} if reader is Reader.TURF and decision.rate_allowed else set()
    for caution in set(decision.cautions) - mown:
        assert caution in said
    for each in ("Three numbers", "in this order", "What not to do", "How sure", "Test again", "Small print"):
        assert each in said
    assert "Made on 25 November 2026 with soilx" in said
    assert wording.INVENTED_DATA in said


@pytest.mark.parametrize("units", SYSTEMS)
@pytest.mark.parametrize("reader", list(Reader))
@pytest.mark.parametrize("name", ["Block F", "Lawn 2"])
def test_where_no_gypsum_is_due_no_rate_is_on_the_page__common_practice(name, reader, units):
    said = words(page(name, reader, units))
    assert not RATE.search(said), RATE.search(said)
    assert facts_on(name).hand is None
    assert facts_on(name).column is None


@pytest.mark.parametrize("verdict", EVERY_VERDICT)
def test_every_verdict_has_its_page_and_a_rate_only_where_gypsum_is_due__common_practice(verdict):
    record = record_with(verdict)
    assert record.decision().verdict is verdict
    facts = facts_of(record, draws=50)
    for reader in Reader:
        made = facts_page(facts, reader, units_of(reader, "us"), paper=None, made_on=DAY)
        said = words(made)
        assert verdict.value in head(made)
        assert record.decision().missing == () or all(each in said for each in record.decision().missing)
        # This plot's report lacks the water that it holds, so that not even gypsum gets a rate.
        assert not RATE.search(said)
    if verdict in WITH_A_RATE:
        assert "says too little for a rate" in said
        assert facts.lacking


RATES = [
    (Reader.GARDENER, "metric", "t_per_ha", "kg per 10 m²"),  # 1 t/ha is 1 kg for 10 m²
    (Reader.GARDENER, "us", "lb_per_1000_ft2", "lb per 1000 ft²"),
    (Reader.TURF, "metric", "g_per_m2", "g/m²"),
    (Reader.TURF, "us", "lb_per_1000_ft2", "lb/1000 ft²"),
    (Reader.GROWER, "metric", "t_per_ha", "t/ha"),
    (Reader.GROWER, "us", "short_ton_per_acre", "short ton/acre"),
    (Reader.STUDENT, "metric", "t_per_ha", "t/ha"),
]


@pytest.mark.parametrize(("reader", "units", "key", "unit"), RATES)
def test_the_rate_is_the_formulas_in_the_readers_unit__analytic(reader, units, key, unit):
    hand = hand_requirement(REPORTS["Block C"], target_esp=5, factor=1.25, product=PIT)
    said = words(page("Block C", reader, units))
    assert f"{figure(hand.in_units['product'][key])} {unit}" in said
    assert "15 March 2027" in said


def test_a_gardeners_bags_cover_what_their_mass_covers__analytic():
    rate = hand_requirement(REPORTS["Block C"], target_esp=5, factor=1.25, product=PIT).in_units["product"]
    metric = words(page("Block C", Reader.GARDENER))
    assert f"one bag of 25 kg covers {25 / (rate['g_per_m2'] / 1000):.1f} m²" in metric
    us = words(page("Block C", Reader.GARDENER, "us"))
    assert f"one bag of 50 lb covers {1000 * 50 / rate['lb_per_1000_ft2']:.0f} ft²" in us
    # No unit that a gardener would have to look up, and no equation.
    for made in (page("Block C", Reader.GARDENER), page("Lawn 2", Reader.GARDENER)):
        assert "<math" not in made
        assert not re.search(r"meq|[cm]mol|mol_c", words(made))


def test_bags_of_the_product_and_the_whole_ground_are_counted_up__analytic():
    record = DecisionRecord.of(
        REPORTS["Block C"],
        water=WELL,
        product={"name": "Bagged", "purity": "93 %", "moisture": "1 %", "bag": "22.7 kg"},
        plan={"first": "2027-03-15", "area": "50 m^2"},
    )
    product = record.amendment()
    rate = hand_requirement(REPORTS["Block C"], target_esp=5, factor=1.25, product=product).in_units[
        "product"
    ]
    kilograms = rate["g_per_m2"] / 1000 * 50
    said = words(facts_page(facts_of(record, draws=50), Reader.GARDENER, METRIC, paper=None, made_on=DAY))
    assert f"For your 50 m^2 that is {kilograms:.1f} kg in all, or {-int(-kilograms // 22.7)} bags" in said


def test_a_growers_price_is_rate_times_price__analytic():
    rate = hand_requirement(REPORTS["Block C"], target_esp=5, factor=1.25, product=PIT).in_units["product"]
    said = words(page("Block C", Reader.GROWER))
    assert f"it costs {62 * rate['t_per_ha']:.0f} farm dollars for one hectare" in said
    acre = 62 * rate["t_per_ha"] * 0.40468564224
    assert f"it costs {acre:.0f} farm dollars for one acre" in words(page("Block C", Reader.GROWER, "us"))
    unpriced = dataclasses.replace(facts_on("Block C").product, price_per_t=None)
    facts = dataclasses.replace(facts_on("Block C"), product=unpriced)
    made = facts_page(facts, Reader.GROWER, units_of(Reader.GROWER, "us"), paper=None, made_on=DAY)
    assert "it costs" not in words(made)


def test_a_turf_managers_visits_are_those_of_the_plan_under_its_cap__common_practice():
    hand = hand_requirement(REPORTS["Block C"], target_esp=5, factor=1.25)
    plan = split(
        REPORTS["Block C"].soil(),
        gypsum=hand.pure_with_factor,
        first="2027-03-15",
        cover="fine turf",
        product=PIT,
    )
    said = words(page("Block C", Reader.TURF, "us"))
    assert f"in {len(plan.visits)} visits" in said
    assert "Never put more than 25 lb/1000 ft² on it in one visit" in said
    for row in plan.rows():
        assert row["product_lb_per_1000_ft2"] <= 25.0
        day = dt.date.fromisoformat(row["date"])
        assert f"{row['visit']} {day.day} {day:%B %Y} {row['product_lb_per_1000_ft2']:.3g} 0.5 in" in said
    again = retest_day(plan)
    assert f"Test the soil on {again.day} {again:%B %Y}, when a third of the gypsum is on the ground" in said
    # Too much for a visit a month in each half of the year: it takes more years, never a larger visit.
    more = dataclasses.replace(facts_on("Block C"), record=record_of("Block C", gypsum="40 t/ha"))
    much = words(facts_page(more, Reader.TURF, units_of(Reader.TURF, "us"), paper=None, made_on=DAY))
    assert "This rate was chosen by hand. The formula asks for 175 lb/1000 ft²." in much
    assert "the first 12 of" in much


def test_worked_in_it_is_watered_leached_and_tested_as_the_plan_says__common_practice():
    soil = REPORTS["Block C"].soil()
    plan = incorporated(soil, gypsum="7.05 t/ha", day="2027-03-15", product=PIT)
    row = plan.rows()[0]
    said = words(page("Block C", Reader.GROWER))
    assert f"Water it in with {row['water_in_mm']:.0f} mm on the same day" in said
    assert f"then leach with {row['leach_mm']:.0f} mm more" in said
    again = retest_day(plan)
    assert f"Test the soil on {again.day} {again:%B %Y}." in said


def test_how_sure_is_the_librarys_band_and_the_columns_own_answer__analytic():
    facts = facts_on("Block C")
    said = words(page("Block C", Reader.GROWER))
    low, high = (1.25 * PIT.product_mass(end) for end in (facts.band.hand.low, facts.band.hand.high))
    assert f"need from {figure(low)} to {figure(high)} t/ha of Pit gypsum" in said
    aim = Aim(target_esp_pct=5.0)
    decision = decide(REPORTS["Block C"], water=WELL)
    scenario = answer_to(REPORTS["Block C"], water=WELL, aim=aim, decision=decision).scenario
    column = least_gypsum(scenario, target_esp_pct=5).with_product(PIT).in_units["product"]["t_per_ha"]
    assert f"asks for more: {figure(column)} t/ha to reach 5 % in one go" in said
    # ± twice the wider scatter of soil tests, 13 %
    assert "may well read from 13 to 23 % sodium" in said
    assert "may well read from 6.7 to 11 % sodium" in words(page("Lawn 2", Reader.GROWER))


def test_the_three_numbers_are_the_decisions_with_their_limits__analytic():
    made = page("Block C", Reader.TURF, "us")
    table = words(re.search(r'<table class="deciding">.*?</table>', made, re.S)[0])
    assert "18 in deep drains 6 h Under 1 h is fine. Over 24 h is too slow." in table
    assert "(ESP) 18 % Under 5 % is fine. Over 15 % most clays suffer." in table
    assert "10.8 % At or under the target, 5 %" in table
    lawn = words(re.search(r'<table class="deciding">.*?</table>', page("Lawn 2", Reader.TURF), re.S)[0])
    assert "drains 20 min" in lawn
    assert "9 %" in lawn


def test_a_student_gets_the_chain_of_the_formula_in_mathml__ussl1954():
    made = page("Block C", Reader.STUDENT)
    chain = hand_requirement(REPORTS["Block C"], target_esp=5, factor=1.25, product=PIT).chain
    # Equations as they are read: "=" and the number after it.
    numbers = [float(each) for each in re.findall(r"<mo>=</mo><mn>([\d.]+)</mn></mrow></math>", made)]
    for each in chain[1:3] + chain[4:]:
        assert any(number == pytest.approx(each.result, rel=5e-4) for number in numbers), each.name
    assert "8.523 t/ha of Pit gypsum" in words(made)
    for name in ("Block F", "Lawn 2"):
        blocked = page(name, Reader.STUDENT)
        assert blocked.count("<math") >= 4
        assert "The calculation ends here" in words(blocked)


@pytest.mark.parametrize("units", SYSTEMS)
@pytest.mark.parametrize("reader", PRACTICE)
@pytest.mark.parametrize("name", AIMS)
def test_prose_is_read_at_grade_nine__common_practice(name, reader, units):
    prose = prose_of(page(name, reader, units))
    assert len(prose.split()) > 250
    assert grade(prose) <= 9.0


def test_with_a_climate_the_page_says_what_the_years_bring__analytic():
    record = record_of("Block C", climate="Dry summers", years="3")
    facts = dataclasses.replace(facts_on("Block C"), record=record)
    made = facts_page(facts, Reader.GROWER, units_of(Reader.GROWER, "metric"), paper=None, made_on=DAY)
    plan = plan_for(facts, Reader.GROWER, made_on=DAY)
    treated, nothing = (plan.programme.path(name) for name in (TREATED, NOTHING))
    row = plan.programme.run.row(retest_day(plan.visits))
    low, high = treated.low_pct[row], treated.high_pct[row]
    said = words(made)
    assert f"expects {treated.esp_pct[row]:.1f} % (from {low:.1f} to {high:.1f}) on that day" in said
    assert (
        f"After 3 years it is {treated.esp_pct[-1]:.1f} % with gypsum, and {nothing.esp_pct[-1]:.1f} %"
        in said
    )
    assert "<figcaption>Sodium’s share over 3 years in the model" in made
    assert grade(prose_of(made)) <= 9.0


def test_the_grade_is_that_of_the_formula__analytic():
    assert [syllables(word) for word in ("gypsum", "water", "sodium", "leach", "zzyva")] == [2, 2, 3, 1, 2]
    # 9 words, 2 sentences, 11 syllables
    easy = "The soil is wet. Do not spread gypsum now."
    assert grade(easy) == pytest.approx(0.39 * 9 / 2 + 11.8 * 10 / 9 - 15.59)
    assert grade("Exchangeable sodium disperses montmorillonitic aggregates considerably.") > 15


def test_a_scenario_with_a_laboratorys_water_decides_nothing__common_practice():
    made = reader_page(read_scenario(demo_path("block_c.toml")), reader="grower", made_on=DAY)
    assert "cannot be decided yet" in head(made)
    assert "an analysis of the irrigation water" in words(made)
    assert "deionised water. That is a laboratory’s water and no field gets it" in words(made)
    assert not RATE.search(words(made))


def test_a_scenario_with_a_fields_water_is_judged_by_the_one_that_brings_most_sodium__analytic():
    facts = facts_of(read_scenario(demo_path("block_c_season.toml")), draws=50)
    assert facts.water.name == "Well 3"
    assert facts.decision.sentences == decide(REPORTS["Block C"], water=WELL).sentences
    said = words(facts_page(facts, Reader.GROWER, units_of(Reader.GROWER, "us"), paper="A4", made_on=DAY))
    hand = hand_requirement(REPORTS["Block C"], target_esp=5, factor=1.25).in_units["product"]
    assert f"{figure(hand['short_ton_per_acre'])} short ton/acre" in said
    assert "This is pure gypsum. What you buy is not pure" in said
    blocked = words(reader_page(read_scenario(demo_path("block_f.toml")), reader="turf", made_on=DAY))
    assert Verdict.DRAINAGE_FIRST.value in blocked
    assert not RATE.search(blocked)


def test_a_changed_soil_is_judged_as_it_was_changed__analytic():
    scenario = read_scenario(demo_path("block_c_season.toml"))
    changed = scenario.with_(soil=scenario.soil.with_exchangeable_sodium_percentage("9 %"))
    facts = facts_of(changed, draws=50)
    assert facts.decision.diagnosis.esp.estimate.value == pytest.approx(9.0)
    assert facts.decision.verdict is Verdict.FIX_THE_WATER


@pytest.mark.parametrize("reader", list(Reader))
def test_a_bench_page_says_what_was_seen_and_that_it_is_no_field_rate__common_practice(reader):
    record = read_record(demo_path("bench_block_c.csv"))
    made = reader_page(record, reader=reader, made_on=DAY)
    said = words(made)
    assert "took the sodium of Block C from 18 to 9 of every 100 places" in said
    assert "Bench dose by area is not a field rate." in said
    assert "13.4 times too much" in said
    assert "cannot be decided yet" in said
    assert "98 ± 12 % of the sodium was found again" in said
    assert "66.1 ± 11 mg 12.1 ± 2.1 mg" in said
    assert wording.CAUTION_BENCH in said
    assert not RATE.search(said.replace("white bag", "product"))
    assert grade(prose_of(made)) <= 9.0
    assert ("<math" in made) is (reader is Reader.STUDENT)


def test_a_word_that_is_not_known_is_refused_with_those_that_are__common_practice():
    record = record_of("Lawn 2")
    for more, wrong in (
        ({"reader": "greenkeeper"}, 'reader = greenkeeper: is not one of ours; the words are "gardener"'),
        ({"reader": "turf", "units": "imperial"}, "units = imperial"),
        ({"reader": "turf", "paper": "a3"}, "paper = a3"),
    ):
        with pytest.raises(LimitError, match=re.escape(wrong)):
            reader_page(record, made_on=DAY, **more)
    mars = dataclasses.replace(facts_on("Block C"), record=record_of("Block C", climate="Mars"))
    with pytest.raises(LimitError, match="climate = Mars: is not known"):
        plan_for(mars, Reader.TURF, made_on=DAY)


def test_paper_has_the_size_that_was_asked_for__common_practice():
    record = record_of("Lawn 2")
    assert "@page { size: A4; }" in reader_page(record, reader="turf", paper="a4", made_on=DAY)
    assert "@page { size: letter; }" in reader_page(record, reader="turf", paper="letter", made_on=DAY)
    assert "size:" not in "".join(
        re.findall(r"@page \{[^}]*\}", reader_page(record, reader="turf", made_on=DAY))
    )


HOSTILE = (
    "<script>window.done=1</script>",
    '"><img src=x onerror="window.done=1">',
    "Block" * 60,
    "\u202eשדה צפוני\u202c",
    "🌱🚜 bed",
)


@pytest.mark.parametrize("name", HOSTILE)
def test_a_name_is_text_whatever_it_is__common_practice(name):
    texts = dict(REPORTS["Lawn 2"].typed) | {"name": name}
    water = dict(WELL.typed) | {"name": name}
    record = DecisionRecord.of(texts, water=water, product={"name": name, "purity": "88 %"}, plan=PLAN)
    for reader in (Reader.GARDENER, Reader.STUDENT):
        made = reader_page(record, reader=reader, made_on=DAY)
        body = made.partition("</head>")[2]
        assert "<script" not in body
        assert "<img" not in body
        assert not re.search(r"<[^>]+\son\w+=", body)
        assert "\u202e" not in body
        assert "no gypsum: fix the water" in words(made)
