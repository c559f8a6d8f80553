"""Answers: accepted in any sensible unit, dimension first, factors hinted at, hostile text met calmly."""

import re

import pytest

from soilx import LimitError
from soilx.teaching.attempts import MOST_TRIES, Attempt
from soilx.teaching.checking import FACTORS, Outcome, judge
from soilx.teaching.homework_words import SOLUTION_FOLLOWS
from soilx.teaching.kinds.charge_counting import mass_of
from soilx.teaching.problems import PROBLEMS
from soilx.teaching.progress import MOST_LEVEL, Stage, level_after, stage_of, support
from soilx.teaching.seeds import MOST_FRESH
from soilx.teaching.variants import variant
from soilx.units import Ground, quantity
from tests.homework_class import ALL, CLASS, IDS, right_replies

CLAY = CLASS["what-sits-on-the-clay"][0]
FIELD = CLASS["field-rate"][0]
PPM = CLASS["ppm-to-charge"][0]

HOSTILE = (
    "x" * 5000,
    "9" * 5000,
    "import os; os.system('ls')",
    "__import__('os')",
    "<script>alert(1)</script>",
    "4.35 <b>cmol_c/kg</b>",
    "1e999 cmol_c/kg",
    "-1e999 cmol_c/kg",
    "nan",
    "inf cmol_c/kg",
    "🙂",
    "4.35 🙂",
    "4,35 cmol_c/kg",
    "1,000 ppm",
    "٤ cmol_c/kg",
    "\x00",
    "4.35\ncmol_c/kg; 5",
    "{seen}",
    "%s%s%n",
    "' OR 1=1 --",
    "4.35 cmol_c/kg" * 100,
)


def of(part, made=CLAY):
    return made.solution.values[part]


def test_4_35_cmol_43_5_mmol_and_1000_ppm_are_one_answer__lab_report_units():
    # 1 cmol_c of sodium is 229.9 mg: the ion is known from the question.
    value = of("sodium")
    ppm = mass_of(value, "Na")
    for reply in (
        f"{value:.4g} cmol_c/kg",
        f"{value:.4g} cmol/kg",
        f"{10 * value:.4g} mmol_c/kg",
        f"{10 * value:.4g} mmol/kg",
        f"{value:.4g} meq/100 g",
        f"{ppm:.4g} ppm",
        f"{ppm:.4g} mg/kg",
        f"{2 * ppm:.5g} lb/acre",
        f"{ppm / 1000:.4g} g/kg",
    ):
        assert judge(CLAY, "sodium", reply).outcome is Outcome.RIGHT, reply


def test_a_percentage_may_be_bare_or_a_fraction__common_practice():
    esp = of("esp")
    for reply in (f"{esp:.3g}", f"{esp:.3g} %", f"{esp:.3g}%", f"{esp / 100:.4g}", f"{esp:.3g} percent"):
        assert judge(CLAY, "esp", reply).outcome is Outcome.RIGHT, reply
    assert judge(CLAY, "esp", f"{1.2 * esp:.3g}").outcome is Outcome.WRONG


@pytest.mark.parametrize("unit", ["t/ha", "kg/ha", "short_ton/acre", "lb/acre", "lb/1000 ft^2", "g/m^2"])
def test_a_rate_is_right_in_every_unit_of_the_trade__us_customary(unit):
    rate = quantity(of("pure", FIELD), "t/ha").to(unit).magnitude
    assert judge(FIELD, "pure", f"{rate:.5g} {unit}").outcome is Outcome.RIGHT
    # And per soil, since the ground is known.
    ground = FIELD.part("pure").ground
    assert isinstance(ground, Ground)
    per_soil = 100.0 * of("pure", FIELD) / (ground.depth * ground.bulk_density)
    assert judge(FIELD, "pure", f"{per_soil:.5g} g/kg").outcome is Outcome.RIGHT


@pytest.mark.parametrize("made", ALL, ids=IDS)
def test_just_inside_the_tolerance_is_right_and_just_outside_is_not__analytic(made):
    for part in made.asked:
        if part.kind is None or part.tolerance == 0:
            continue
        value = made.solution.values[part.key]
        for times, right in ((1 + 0.99 * part.tolerance, True), (1 - 0.99 * part.tolerance, True)):
            reply = f"{value * times!r} {part.unit}".strip()
            assert (judge(made, part.key, reply).outcome is Outcome.RIGHT) is right
        for times in (1 + 1.01 * part.tolerance, 1 - 1.01 * part.tolerance):
            reply = f"{value * times!r} {part.unit}".strip()
            assert judge(made, part.key, reply).outcome is Outcome.WRONG


@pytest.mark.parametrize(
    ("made", "part", "reply", "said"),
    [
        (FIELD, "pure", "5 kg", "is a mass, not a rate"),
        (FIELD, "product", "500 lb", "is a mass, not a rate"),
        (CLAY, "sodium", "3 t/ha", "is a mass per area"),
        (CLAY, "sodium", "3 mmol_c/L", "is a charge per volume of water"),
        (CLASS["pot-dose"][0], "gypsum", "3 t/ha", "is a mass per area, not a mass"),
        (CLASS["one-portion"][0], "leached", "300 mg/L", "is a mass per volume"),
        (CLASS["one-portion"][0], "leached", "300 mg", "is a mass, not a mass per soil"),
        (CLASS["least-water"][0], "water", "60 mL", "is a volume"),
        (CLASS["which-extract"][0], "ec", "4 meq/L", "is a charge per volume"),
    ],
)
def test_the_dimension_comes_first__analytic(made, part, reply, said):
    found = judge(made, part, reply)
    assert found.outcome is Outcome.UNREAD
    assert said in found.text


def test_a_number_without_its_unit_is_asked_for_it__analytic():
    found = judge(FIELD, "pure", "5.64")
    assert found.outcome is Outcome.UNREAD
    assert "no unit" in found.text


def test_to_repeat_the_question_is_no_answer__analytic():
    found = judge(PPM, "charge", f"{PPM.seen['ppm']:g} ppm")
    assert found.outcome is Outcome.UNREAD
    assert "the question gives" in found.text
    # The same mass where nothing gave it is right: see the sodium on the clay above.
    assert judge(PPM, "charge", f"{of('charge', PPM):.4g} cmol_c/kg").outcome is Outcome.RIGHT


@pytest.mark.parametrize("factor", FACTORS)
def test_a_known_factor_is_hinted_at__arithmetic(factor):
    # The rate in the pure gypsum's question; where a factor is a mistake's own answer, that is named instead.
    value = of("pure", FIELD)
    for times in (factor, 1.0 / factor):
        found = judge(FIELD, "pure", f"{value * times!r} t/ha")
        assert found.outcome is Outcome.WRONG
        assert found.factor == factor or found.mistake
    assert judge(FIELD, "pure", f"{value * 3.3!r} t/ha").factor is None


@pytest.mark.parametrize(
    ("key", "part", "factor"),
    [
        ("pot-dose", "gypsum", 10.0),
        ("pot-dose", "gypsum", 100.0),
        ("one-portion", "left", 2.0),
        ("field-rate", "product", 2.242),
        ("field-rate", "product", 20.482),
        ("field-rate", "product", 43.56),
        ("field-rate", "product", 45.914),
    ],
)
def test_each_factor_is_told_where_it_belongs__arithmetic(key, part, factor):
    made = CLASS[key][0]
    asked = made.part(part)
    found = judge(made, part, f"{made.solution.values[part] / factor!r} {asked.unit}")
    assert found.factor == pytest.approx(factor)
    assert FACTORS[factor] in found.text


def test_a_percentage_has_no_factor_of_area__analytic():
    made = CLASS["esp-by-charge"][0]
    for factor in (2.242, 10.0, 20.482):
        assert judge(made, "esp", f"{made.solution.values['esp'] / factor!r} %").factor is None


@pytest.mark.parametrize("reply", HOSTILE, ids=range(len(HOSTILE)))
@pytest.mark.parametrize("made", [made[0] for made in CLASS.values()], ids=list(CLASS))
def test_hostile_text_gets_one_calm_sentence__analytic(made, reply):
    for part in made.asked:
        found = judge(made, part.key, reply)
        assert found.outcome is Outcome.UNREAD
        (sentence,) = found.sentences
        # One sentence on one line, which repeats nothing of what was typed.
        assert sentence.endswith(".")
        assert "\n" not in sentence
        assert len(sentence) < 260
        assert not re.search(r"[<>{}]|script|import|🙂|Traceback|Error|x{9}", sentence)


@pytest.mark.parametrize("reply", ["", "   ", "\n\t"])
def test_an_empty_answer_is_no_try__analytic(reply):
    attempt = Attempt(variant=CLAY).answer({"sodium": reply, "esp": reply})
    assert attempt.tries == 0
    assert attempt.judged["sodium"].outcome is Outcome.UNREAD


def test_what_cannot_be_read_is_no_try__analytic():
    attempt = Attempt(variant=CLAY)
    for reply in HOSTILE:
        attempt = attempt.answer({"sodium": reply, "esp": reply})
    assert attempt.tries == 0
    assert not attempt.over


def test_three_tries_then_the_solution_and_a_fresh_variant__common_practice():
    attempt = Attempt(variant=CLAY)
    for tries in range(1, MOST_TRIES + 1):
        assert attempt.solution == ()
        assert attempt.receipt is None
        attempt = attempt.answer({"sodium": "99 cmol_c/kg", "esp": "99 %"})
        assert attempt.tries == tries
    assert attempt.over
    assert not attempt.solved
    assert attempt.sentences[-1] == SOLUTION_FOLLOWS
    assert attempt.solution == tuple(line.text for line in CLAY.solution.lines)
    assert attempt.answer(right_replies(CLAY)) is attempt
    fresh = attempt.fresh()
    assert (fresh.tries, fresh.variant.seed.fresh) == (0, 1)
    assert fresh.variant.solution.values != CLAY.solution.values


def test_what_is_right_stays_right__analytic():
    attempt = Attempt(variant=CLAY).answer({"sodium": right_replies(CLAY)["sodium"], "esp": "99 %"})
    attempt = attempt.answer({"sodium": "nonsense", "esp": right_replies(CLAY)["esp"]})
    assert attempt.solved
    assert attempt.tries == 2
    assert not attempt.at_first


def test_mistakes_are_kept_in_order_and_once__analytic():
    names = {wrong.mistake.key: wrong for wrong in FIELD.wrong}
    attempt = Attempt(variant=FIELD)
    for key in ("M5", "E9", "M5"):
        values = {**FIELD.solution.values, **names[key].values}
        attempt = attempt.answer({part: f"{value!r} t/ha" for part, value in values.items()})
    assert attempt.mistakes == ("M5", "E9")
    assert attempt.receipt.mistakes == ("M5", "E9")


def test_a_choice_is_taken_by_key_words_or_number__analytic():
    made = CLASS["name-the-soil"][0]
    part = made.part("class")
    number = [key for key, _ in part.choices].index(made.solution.values["class"])
    for reply in (part.choices[number][0], part.choices[number][1].upper(), str(number + 1)):
        assert judge(made, "class", reply).outcome is Outcome.RIGHT
    assert "neither, saline, sodic, saline-sodic" in judge(made, "class", "5").text


def test_a_part_that_is_not_asked_is_refused__analytic():
    with pytest.raises(LimitError, match="is not asked here"):
        judge(CLAY, "sar", "5")


# How much help there is.


def test_help_fades_with_success_and_comes_back_with_failure__salden2010():
    assert [level_after([True] * count) for count in range(5)] == [0, 1, 2, 3, 3]
    assert level_after([True, True, True, False]) == 2
    assert level_after([False, False]) == 0
    assert [stage_of(level) for level in range(4)] == [Stage.WORKED, Stage.FADED, Stage.FADED, Stage.SOLO]


@pytest.mark.parametrize("key", PROBLEMS)
def test_no_help_gives_the_answer_away__analytic(key):
    made = CLASS[key][0]
    on_the_way = {line.result for line in made.solution.lines if not line.answers}
    # Where a step on the way is the answer already, as one laboratory's number is, it is shown as a step.
    results = [line.result for line in made.solution.lines if line.answers and line.result not in on_the_way]
    before = len(made.solution.lines) + 1
    for level in range(MOST_LEVEL + 1):
        beside = support(made, level)
        shown = " ".join((*beside.shown, *beside.left))
        # An answer may look like a number of the table by chance: it is looked for as a result.
        assert not any(f"= {result}" in shown for result in results)
        assert len(beside.shown) <= before
        before = len(beside.shown) if beside.stage is Stage.FADED else before
        if beside.example is not None:
            assert beside.example.seed.fresh == MOST_FRESH
            assert beside.example.digest != made.digest


def test_the_worked_example_is_no_variant_of_the_student_s_own__analytic():
    last = Attempt(variant=variant("C1", "pot-dose", "S1", fresh=MOST_FRESH - 1))
    assert last.fresh().variant.seed.fresh == 0
