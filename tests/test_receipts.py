"""Receipts are read again, mistyped ones are not; the key of a class, and what a class got wrong."""

import itertools
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from soilx import FileError, LimitError
from soilx.teaching.homework_words import RECEIPT_IS_NO_PROOF
from soilx.teaching.key import HEADER, key_csv, key_rows, read_codes
from soilx.teaching.mistakes import MISTAKES
from soilx.teaching.overview import overview
from soilx.teaching.problems import PROBLEMS
from soilx.teaching.receipts import ALPHABET, Receipt, read_receipt
from soilx.teaching.variants import variant

RECEIPT = Receipt(
    course="SOIL-24",
    student="S07",
    problem="field-rate",
    fresh=3,
    solved=True,
    tries=2,
    level=1,
    mistakes=("E9", "M5"),
)
PINNED = "SOIL-24 S07 1R1W-J1ZZ-9XJP"


@given(
    problem=st.sampled_from(list(PROBLEMS)),
    fresh=st.integers(0, 255),
    solved=st.booleans(),
    tries=st.integers(1, 3),
    level=st.integers(0, 3),
    mistakes=st.lists(st.sampled_from(list(MISTAKES)), max_size=3, unique=True),
)
@settings(max_examples=100, deadline=None)
def test_a_receipt_is_read_again_as_it_was_made__analytic(problem, fresh, solved, tries, level, mistakes):
    made = Receipt(
        course="C1", student="S1", problem=problem, fresh=fresh, solved=solved, tries=tries, level=level,
        mistakes=tuple(mistakes),
    )  # fmt: skip
    assert read_receipt(made.text) == made
    assert len(made.code) == 12


def test_a_receipt_is_pinned__pinned():
    # What was handed in last year is read this year.
    assert RECEIPT.text == PINNED
    assert read_receipt(PINNED) == RECEIPT


def test_small_letters_and_misread_ones_are_read__analytic():
    text = RECEIPT.text
    assert read_receipt(f"  {text.lower()}  ") == RECEIPT
    course, student, code = text.split()
    misread = code.replace("0", "O").replace("1", "l")
    assert read_receipt(f"{course} {student} {misread}") == RECEIPT


def test_any_single_slip_is_found__analytic():
    course, student, code = RECEIPT.text.split()
    slips = 0
    for at, letter in itertools.product(range(len(code)), ALPHABET):
        if code[at] in ("-", letter):
            continue
        slips += 1
        # One in two million slips could pass by chance: none of these does.
        with pytest.raises(LimitError):
            read_receipt(f"{course} {student} {code[:at]}{letter}{code[at + 1 :]}")
    assert slips == 12 * 31


@pytest.mark.parametrize("codes", ["SOIL-25 S07", "SOIL-24 S08", "S07 SOIL-24"])
def test_a_receipt_of_other_codes_is_refused__analytic(codes):
    with pytest.raises(LimitError, match="does not fit its codes"):
        read_receipt(f"{codes} {RECEIPT.text.split()[2]}")


@pytest.mark.parametrize(
    "text",
    ["", "hello", "x" * 5000, "SOIL-24 S07 <b>-QQQQ-QQQQ", "🙂 S07 AAAA-AAAA-AAAA", "SOIL-24 S07 AAAA-AAAA"],
)
def test_what_is_no_receipt_is_refused_in_one_line__analytic(text):
    with pytest.raises(LimitError) as refusal:
        read_receipt(text)
    assert "\n" not in str(refusal.value)
    assert len(str(refusal.value)) < 300


def test_a_receipt_says_what_it_says_and_that_it_proves_nothing__analytic():
    said = RECEIPT.sentence
    assert "S07" in said
    assert PROBLEMS["field-rate"].title in said
    assert MISTAKES["E9"].name in said
    assert "solved in 2 tries" in said
    assert "no security" in RECEIPT_IS_NO_PROOF


def test_numbers_of_problems_and_order_of_mistakes_are_for_ever__pinned():
    # Receipts of last year count on both: new ones are added at the end.
    assert [problem.number for problem in PROBLEMS.values()] == list(range(23))
    assert list(MISTAKES)[:6] == ["E1", "E2", "E3", "E4", "E5", "E6"]
    assert len(PROBLEMS) <= 63
    assert len(MISTAKES) <= 63


# The class.


def receipt(student, problem, **more):
    given = {"solved": True, "tries": 1, "fresh": 0, **more}
    return Receipt(course="C1", student=student, problem=problem, **given)


def test_a_class_is_counted_by_student_and_by_problem__analytic():
    lines = [
        receipt("S1", "field-rate", solved=False, tries=3, mistakes=("E9", "M5")),
        receipt("S1", "pot-dose", tries=2, mistakes=("E1",)),
        receipt("S2", "field-rate", tries=2, mistakes=("E9",)),
        receipt("S2", "field-rate", fresh=1),
        receipt("S3", "pot-dose", mistakes=("E1",), tries=2),
    ]
    text = "\n".join(["# class of spring", "", *(line.text for line in lines), lines[0].text, "rubbish"])
    found = overview(text)
    assert found.students == 3
    assert len(found.receipts) == 5
    assert found.repeated == 1
    assert found.mistakes == {"E1": 2, "E9": 2, "M5": 1}
    field = next(row for row in found.rows if row.problem == "field-rate")
    assert (field.handed_in, field.solved, field.at_first) == (3, 2, 1)
    assert field.mistakes == (("E9", 2), ("M5", 1))
    assert [number for number, _ in found.unread] == [9]
    assert any("2 of 3" in sentence and MISTAKES["E1"].name in sentence for sentence in found.sentences)


def test_too_much_text_is_refused__analytic():
    with pytest.raises(LimitError, match="paste one class"):
        overview("x" * 600_000)


def test_the_key_holds_the_answers_of_the_variants__analytic():
    rows = key_rows("C1", ("S1", "s2"), ("field-rate", "name-the-soil"))
    assert len(rows) == 2 * (2 + 2)
    assert {row.student for row in rows} == {"S1", "S2"}
    for row in rows:
        value = variant("C1", row.problem, row.student).solution.values[row.part]
        if isinstance(value, str):
            assert row.answer == value
        else:
            # Four significant digits are printed.
            assert float(row.answer) == pytest.approx(value, rel=5e-4)
    table = key_csv(rows).splitlines()
    assert table[0] == ",".join(HEADER)
    assert len(table) == len(rows) + 1


def test_codes_are_read_from_the_column_student_and_nothing_else__analytic(tmp_path):
    path = tmp_path / "codes.csv"
    path.write_text("name,Student\nSomebody,s07\n\nSomebody else,S08\n", "utf-8-sig")
    assert read_codes(path) == ("S07", "S08")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("code\nS1\n", "no column student"),
        ("", "no column student"),
        ("student\n", "holds 0 codes"),
        ("student\nS1\nS1\n", "more than once"),
        ("student\nMaria\n", "row 2, column student"),
        ("student\n" + "\n".join(f"S{n}" for n in range(2001)), "holds 2001 codes"),
        ('student\n"S1\n', "is not a CSV table"),
        ("x" * 300_000, "bytes"),
    ],
)
def test_a_list_that_is_none_is_refused_with_its_row__analytic(tmp_path, text, said):
    path = tmp_path / "codes.csv"
    path.write_text(text, "utf-8")
    with pytest.raises(FileError, match=r"codes\.csv") as refusal:
        read_codes(path)
    assert said in str(refusal.value)


def test_a_file_that_is_not_there_or_no_text_is_refused__analytic(tmp_path):
    with pytest.raises(FileError, match="cannot be read"):
        read_codes(tmp_path / "none.csv")
    (tmp_path / "bytes.csv").write_bytes(b"\xff\xfe\x00student")
    with pytest.raises(FileError, match="not a CSV table"):
        read_codes(tmp_path / "bytes.csv")


def test_the_receipt_that_readme_shows_fits_its_codes__analytic():
    readme = (Path(__file__).resolve().parents[1] / "README.md").read_text(encoding="utf-8")
    shown = re.search(r"soilx homework receipt (\S+ \S+ \S+)`", readme).group(1)
    assert read_receipt(shown).solved
