"""The homework page runs headless; it says what the library judges, and its receipts are read again."""

import ast
import functools
import importlib.util
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

import soilx
from soilx.handouts.homework_paper import answers_on_paper
from soilx.handouts.page_text import text
from soilx.show.homework import BEGIN, LOST_WITH_THE_PAGE, Desk, LiveColumn, Sheet, is_on_the_column
from soilx.show.homework_answers import Answers, Sent
from soilx.show.homework_column import MOST_PORE_VOLUMES, gypsum_control, water_control
from soilx.show.homework_list import ProblemList
from soilx.show.homework_sheets import show_feedback, show_problem, show_progress
from soilx.teaching.attempts import Attempt
from soilx.teaching.homework_words import (
    FADED_FIRST,
    HOMEWORK_IS_AN_EXERCISE,
    RECEIPT_IS_NO_PROOF,
    SOLO,
    SOLUTION_FOLLOWS,
    WORKED_FIRST,
)
from soilx.teaching.problems import PROBLEMS
from soilx.teaching.receipts import read_receipt
from soilx.teaching.variants import variant

HOMEWORK = Path(__file__).resolve().parents[1] / "notebooks" / "homework.py"
COURSE, STUDENT = "SOIL-24", "S07"
SHOWN = {
    "course": "course_box",
    "student": "student_box",
    "problems": "problem_list",
    "answers": "answer_boxes",
}


@functools.cache
def app():
    spec = importlib.util.spec_from_file_location("homework", HOMEWORK)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.app


def run(**values):
    """Definitions of the notebook with other values on some controls."""
    over = {name: SimpleNamespace(value=value) for name, value in values.items()}
    _, defs = app().run(defs=over | {SHOWN[name]: "" for name in values})
    return defs


def right(own):
    """The answers of a variant, each with its unit."""
    return {
        part.key: value
        if isinstance(value := own.solution.values[part.key], str)
        else f"{value!r} {part.unit}"
        for part in own.asked
    }


class Student:
    """Somebody at the desk who presses buttons."""

    def __init__(self, problem, student=STUDENT):
        self.desk, self.problem, self.student = Desk(), problem, student
        self.sent = Sent()
        self.attempt = self.turn()

    def turn(self, **sent):
        self.sent = Sent(**{"checks": self.sent.checks, "fresh": self.sent.fresh, **sent})
        self.attempt = self.desk.turn(
            course=COURSE, student=self.student, problem=self.problem, sent=self.sent, fields={}
        )
        return self.attempt

    def check(self, texts):
        return self.turn(checks=self.sent.checks + 1, texts=texts)

    def fresh(self):
        return self.turn(fresh=self.sent.fresh + 1)

    def said(self, show):
        sheet = Sheet()
        show(sheet, self.attempt)
        return sheet.text


def test_imports_are_marimo_and_soilx_only__common_practice():
    imported = set()
    for node in ast.walk(ast.parse(HOMEWORK.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            imported |= {alias.name.split(".")[0] for alias in node.names}
        if isinstance(node, ast.ImportFrom):
            imported.add(node.module.split(".")[0])
    assert imported == {"marimo", "soilx"}


def test_without_codes_the_page_asks_for_them__common_practice():
    defs = run()
    assert defs["attempt"] is None
    assert defs["slid"] is None
    assert defs["problem_sheet"].text == BEGIN
    assert "never a name" in BEGIN
    assert LOST_WITH_THE_PAGE in defs["progress_sheet"].text


def test_it_is_clean_and_runs_as_a_script__common_practice():
    for command in (["-m", "marimo", "check", "--strict", str(HOMEWORK)], [str(HOMEWORK)]):
        done = subprocess.run(
            [sys.executable, *command], capture_output=True, text=True, check=False, timeout=60
        )
        assert done.returncode == 0, done.stderr


def test_a_name_for_a_code_is_refused_in_one_sentence__common_practice():
    defs = run(course=COURSE, problems="field-rate")
    box, desk = defs["student_box"], defs["desk"]
    fields = {"student code": box, "course code": ""}
    for typed, said in (
        ("Anna", "has no digit"),
        ("<b>1</b>" * 1000, "is not a code"),
        ("😀7", "is not a code"),
    ):
        assert (
            desk.turn(course=COURSE, student=typed, problem="field-rate", sent=Sent(), fields=fields) is None
        )
        assert said in box.control.widget.refusal
        assert len(box.control.widget.refusal) < 400
    assert desk.turn(course=COURSE, student="S7", problem="field-rate", sent=Sent(), fields=fields)
    assert box.control.widget.refusal == ""


@pytest.mark.parametrize("key", PROBLEMS)
def test_every_problem_is_told_and_solved_on_the_page__analytic(key):
    own = variant(COURSE, key, STUDENT)
    defs = run(course=COURSE, student=STUDENT, problems=key, answers=Sent(checks=1, texts=right(own)))
    attempt = defs["attempt"]
    # The first turn finds the problem on the desk and judges what was sent.
    assert attempt.solved
    assert own.told.statement in defs["problem_sheet"].text
    assert all(row.value in defs["problem_sheet"].text for row in own.told.rows)
    told = defs["feedback_sheet"].text
    assert "Solved in 1 try." in told
    assert RECEIPT_IS_NO_PROOF in told
    assert attempt.receipt.text in told
    found = read_receipt(attempt.receipt.text)
    assert (found.problem, found.solved, found.tries) == (key, True, 1)
    assert f"1 of {len(PROBLEMS)} problems solved." in defs["progress_sheet"].text
    assert (defs["slid"] is not None) == is_on_the_column(key, COURSE, STUDENT)


def test_a_known_mistake_is_named_with_its_line_and_three_tries_bring_the_solution__analytic():
    at = Student("ppm-to-charge")
    wrong = at.attempt.variant.wrong[0]
    (part,) = at.attempt.variant.asked
    texts = {part.key: f"{wrong.values[part.key]!r} {part.unit}"}
    at.check(texts)
    assert at.attempt.mistakes == (wrong.mistake.key,)
    answers = Answers()
    answers.put(at.attempt, texts)
    said = answers.widget.board["said"][part.key]
    assert said["outcome"] == "not yet"
    assert wrong.mistake.name in said["text"]
    assert wrong.went_wrong.text in said["text"]
    assert "2 tries are left." in at.said(show_feedback)
    at.turn(texts=texts)
    assert at.attempt.tries == 1
    at.check(texts)
    at.check(texts)
    told = at.said(show_feedback)
    assert "Not solved in 3 tries." in told
    assert SOLUTION_FOLLOWS in told
    assert all(line in told for line in at.attempt.solution)
    assert at.desk.work.marks == {"ppm-to-charge": "three tries made"}
    assert len(at.desk.work.receipts) == 1
    at.fresh()
    assert at.attempt.variant.seed.fresh == 1
    assert at.desk.texts("ppm-to-charge") == {}
    assert at.said(show_feedback) == ""


def test_help_fades_with_success_and_returns_with_failure__common_practice():
    at = Student("sar-to-esp")
    for sentence in (WORKED_FIRST, FADED_FIRST, FADED_FIRST, SOLO):
        assert sentence in at.said(show_problem)
        at.check(right(at.attempt.variant))
        assert at.attempt.at_first
        at.fresh()
    assert at.attempt.level == 3
    for _ in range(3):
        at.check({part.key: "esp-charge" if part.choices else "77777 %" for part in at.attempt.variant.asked})
    assert at.attempt.over
    at.fresh()
    assert FADED_FIRST in at.said(show_problem)


def test_what_was_done_stays_while_codes_and_problems_change__common_practice():
    at = Student("ppm-to-charge")
    at.check(right(at.attempt.variant))
    at.problem = "field-rate"
    assert not at.turn().judged
    at.student = "S08"
    at.turn()
    assert at.desk.work.solved == set()
    at.student, at.problem = STUDENT, "ppm-to-charge"
    assert at.turn().solved
    sheet = Sheet()
    show_progress(sheet, at.desk.work)
    assert at.attempt.receipt.text in sheet.text


@pytest.mark.parametrize(
    "typed", ["x" * 5000, "<script>alert(1)</script>", "1e999", "", "😀", "4,35", "nan", "__import__('os')"]
)
def test_hostile_input_gets_one_calm_sentence_and_costs_no_try__common_practice(typed):
    at = Student("ppm-to-charge")
    (part,) = at.attempt.variant.asked
    at.check({part.key: typed})
    judged = at.attempt.judged[part.key]
    assert judged.outcome == "not read"
    assert len(judged.sentences) == 1
    assert len(judged.text) < 400
    assert at.attempt.tries == 0
    assert "3 tries are left." in at.said(show_feedback)


@pytest.mark.parametrize("sent", [{}, {"checks": "x", "texts": [1]}, {"checks": True, "texts": {"a": 1}}])
def test_what_a_browser_sends_is_read_as_counts_and_texts__analytic(sent):
    answers = Answers()
    answers.widget.sent = sent
    found = answers.value
    assert (found.checks, found.fresh) == (0, 0)
    assert all(isinstance(text, str) for text in found.texts.values())


def test_a_problem_that_is_not_offered_is_refused__analytic():
    with pytest.raises(soilx.SoilxError, match="is not in the list"):
        ProblemList("Problem", value="mine")


@pytest.mark.parametrize("key", ["least-gypsum", "least-water"])
@pytest.mark.parametrize("student", [f"S{number}" for number in range(12)])
def test_the_live_column_reaches_its_target_at_the_answer_and_not_before__analytic(key, student):
    own = variant(COURSE, key, student)
    attempt = Attempt(variant=own)
    gypsum, water = gypsum_control(), water_control()
    slider = gypsum if key == "least-gypsum" else water
    live, sheet = LiveColumn(), Sheet()

    def slid(value=None):
        if value is not None:
            slider.move(value)
        return live.show(attempt, gypsum=gypsum.shown, water=water.shown, sheet=sheet, views=())

    assert "is not met" in slid().sentence
    least = own.seen["least"]
    # Half of the tolerance of the answer on either side of it: the column decides within what is accepted.
    assert 0 < 1.05 * least < slider.widget.high <= max(MOST_PORE_VOLUMES, 40.0)
    assert slid(0.975 * least).run.final_esp_pct > own.seen["target"]
    assert slid(1.025 * least).run.final_esp_pct <= own.seen["target"]
    assert "is met." in sheet.text


def test_the_page_says_that_its_soils_are_invented__common_practice():
    text = HOMEWORK.read_text(encoding="utf-8")
    assert "homework.caution(homework_words.HOMEWORK_IS_AN_EXERCISE)" in text
    assert "invented" in HOMEWORK_IS_AN_EXERCISE


def test_a_problem_on_paper_has_its_boxes_its_answer_and_what_was_said__common_practice():
    board = Answers()
    own = variant(COURSE, "ppm-to-charge", STUDENT)
    attempt = Attempt(variant=own)
    board.put(attempt, {})
    assert 'class="blank"' in answers_on_paper(board.widget)
    (part,) = own.asked
    typed = {part.key: "<b>1 mg"}
    board.put(attempt.answer(typed), typed)
    written = answers_on_paper(board.widget)
    assert "&lt;b&gt;1 mg" in written
    assert text(attempt.answer(typed).judged[part.key].text) in written
