"""What nobody should type gets one calm sentence in every box, and the page stays as it was."""

import json
import re

import pytest
import traitlets

import soilx
from soilx.show import bench, homework, lecture, lesson
from soilx.show.bench_keep import Keep
from soilx.teaching.problems import PROBLEMS

HOSTILE = {
    "5 000 characters": "x" * 5000,
    "5 000 digits": "9" * 5000,
    "code": "__import__('os').system('ls')",
    "a statement": "import os; os.system('ls')",
    "markup": "<script>alert(1)</script>",
    "markup after a number": "4.35 <b>g</b>",
    "1e999": "1e999",
    "1e999 with a unit": "1e999 g",
    "nothing": "",
    "blanks": " \t ",
    "emoji": "🙂",
    "an emoji for a unit": "4.35 🙂",
    "a comma decimal": "4,35",
    "a comma decimal with a unit": "4,35 t/ha",
    "not a number": "nan",
    "infinity": "inf mL",
    "a control character": "\x00",
    "a template": "{seen} %s%n",
    "a quotation mark": "' OR 1=1 --",
}
TEXTS = pytest.mark.parametrize("typed", HOSTILE.values(), ids=list(HOSTILE))


def calm(said):
    """Whether it is one sentence on one line, of a length that is read."""
    return (
        bool(said)
        and len(said) < 330
        and said[-1] in ".”"
        and not re.search(r"[\n\r\x00]|Traceback|x{61}", said)
    )


@pytest.fixture(scope="module")
def soil():
    return soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]


@pytest.fixture(scope="module")
def planner():
    return bench.Planner()


PLANNED = {
    "soil_mass": "100 g",
    "opening": "9 cm",
    "dose": "6.95 t/ha",
    "purity": "90 %",
    "moisture": "5 %",
    "water": "360 mL",
    "portions": "6",
    "replicates": "3",
    "balance": "0.01 g",
}
#: A refusal begins with this where the box is called otherwise.
BEGINS = {"dose": "gypsum"}


@TEXTS
@pytest.mark.parametrize("box", PLANNED)
def test_the_bench_plan_says_it_beside_the_box_and_stays__common_practice(planner, soil, box, typed):
    entry, elsewhere, before = bench.Entry(box, typed), [], planner.plan
    texts = PLANNED | {box: entry.value}
    made = planner.made(
        lambda: bench.plan_of(
            soil, **texts, product="own", measured_with="kits", irrigation="none", arms=("sodium chloride",)
        ),
        {BEGINS.get(box, box): entry.shown},
        otherwise=elsewhere.append,
    )
    assert made is before
    assert calm(entry.widget.refusal)
    assert elsewhere == [""]


CARDS = {
    "bench_dose": "0.40 g",
    "bench_water": "60 mL",
    "field_rate": "6.95 t/ha",
    "field_water": "100 mm",
}


@TEXTS
@pytest.mark.parametrize("box", CARDS)
def test_the_bench_cards_say_it_beside_the_box_and_stay__common_practice(planner, box, typed):
    entry, sheet = bench.Entry(box, typed), bench.Sheet()
    plan = planner.plan
    fields = {box.replace("_", " "): entry.shown}
    bench.show_cards(sheet, lambda: bench.cards_of(plan, **CARDS), fields)
    before = sheet.wire
    bench.show_cards(sheet, lambda: bench.cards_of(plan, **(CARDS | {box: entry.value})), fields)
    assert calm(entry.widget.refusal)
    assert sheet.wire == before


CELLS = ("replicate", "portion", "added_ml", "volume_ml", "time_h", "ec_ds_per_m", "sodium_mg_per_l")


@TEXTS
@pytest.mark.parametrize("cell", CELLS)
def test_a_cup_with_it_is_refused_or_named_once_and_no_other_is_touched__common_practice(cell, typed):
    sheet = bench.RecordSheet(Keep(None), begun=lambda: "")
    kept = dict(enumerate(sheet.value.rows))
    row = {"arm": "gypsum", "replicate": "2", "portion": "1", "volume_ml": "20", "ec_ds_per_m": "2.0"}
    sheet.widget.sent = {"what": "add", "row": row | {cell: typed}}
    answer = bench_answer(sheet)
    assert calm(answer)
    assert all(calm(sentence) for sentence in sheet.value.sentences)
    assert len(sheet.value.sentences) <= 2
    assert {number: one for number, one in enumerate(sheet.value.rows) if number in kept} == kept


def bench_answer(sheet):
    """What the sheet said last."""
    return json.loads(sheet.widget.wire)["answer"]["said"]


@TEXTS
def test_the_name_of_a_new_record_is_a_name_whatever_was_typed__common_practice(typed, tmp_path):
    for folder in (None, tmp_path):
        sheet = bench.RecordSheet(Keep(folder), begun=lambda: "portion,volume_ml\n")
        sheet.widget.sent = {"what": "begin", "name": typed}
        assert calm(bench_answer(sheet))
    assert all(path.parent == tmp_path and len(path.name) < 250 for path in tmp_path.rglob("*"))


@TEXTS
@pytest.mark.parametrize("box", [homework.COURSE, homework.STUDENT])
def test_a_code_that_is_none_is_said_beside_its_box__common_practice(box, typed):
    boxes = {
        homework.COURSE: homework.Entry("course", "C1"),
        homework.STUDENT: homework.Entry("student", "S1"),
    }
    boxes[box] = homework.Entry(box, typed)
    desk = homework.Desk()
    found = desk.turn(
        course=boxes[homework.COURSE].value,
        student=boxes[homework.STUDENT].value,
        problem="field-rate",
        sent=homework.Answers().value,
        fields={name: entry.shown for name, entry in boxes.items()},
    )
    said = boxes[box].widget.refusal
    if (typed in ("1e999", "nan") and box == homework.COURSE) or typed == "1e999":
        # Strange, but letters and digits: a code.
        assert found is not None
        assert said == ""
        return
    assert found is None
    # An empty box waits for its code.
    assert calm(said) if boxes[box].value else said == ""


@TEXTS
def test_an_answer_that_cannot_be_read_is_no_try__common_practice(typed):
    desk, answers = homework.Desk(), homework.Answers()
    parts = [part.key for part in PROBLEMS["field-rate"].asked(desk_seen())]
    answers.widget.sent = {"checks": 1, "fresh": 0, "texts": dict.fromkeys(parts, typed)}
    attempt = desk.turn(course="C1", student="S1", problem="field-rate", sent=answers.value, fields={})
    assert attempt.tries == 0
    for judged in attempt.judged.values():
        (sentence,) = judged.sentences
        assert calm(sentence)


def desk_seen():
    """What is seen of the problem that is answered above."""
    return soilx.teaching.variants.variant("C1", "field-rate", "S1").seen


@pytest.mark.parametrize(
    "sent", [float("nan"), float("inf"), -1e308, 1e308, "x" * 5000, "🙂", None, [1], {"a": 1}]
)
def test_a_number_that_no_slider_sends_changes_nothing__common_practice(sent):
    control = lesson.Control("Salt", "mmol/L", low=0, high=200, step=5, value=10, digits=0)
    level, cups = lecture.LevelGuess(), bench.CupGuess()
    for widget, trait in ((control.widget, "value"), (level.widget, "level"), (cups.widget, "level")):
        before = getattr(widget, trait)
        with pytest.raises((ValueError, TypeError, traitlets.TraitError)):
            setattr(widget, trait, sent)
        assert getattr(widget, trait) == before
