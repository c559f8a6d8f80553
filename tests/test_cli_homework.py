"""`soilx homework` as a shell sees it: problems, verdicts, receipts, key, overview, exit codes."""

import csv
import json

import pytest

from soilx import cli
from soilx.teaching.homework_words import RECEIPT_IS_NO_PROOF
from soilx.teaching.problems import PROBLEMS
from soilx.teaching.variants import variant
from tests.homework_class import right_replies

CODES = ["--course", "SOIL-24", "--student", "S07"]
FIELD = variant("SOIL-24", "field-rate", "S07")
RIGHT = list(right_replies(FIELD).values())


@pytest.fixture
def run(capsys):
    """Runs one command line: its exit code, and what it said on both streams."""

    def run(*arguments):
        code = cli.run_command(["homework", *(str(argument) for argument in arguments)])
        said = capsys.readouterr()
        return code, said.out, said.err

    return run


def receipt_of(out):
    return next(line.removeprefix("Receipt: ") for line in out.splitlines() if line.startswith("Receipt: "))


def test_the_list_names_every_problem__analytic(run):
    code, out, err = run("variant")
    assert (code, err) == (0, "")
    assert all(key in out and problem.title in out for key, problem in PROBLEMS.items())


@pytest.mark.parametrize("key", PROBLEMS)
def test_a_variant_is_printed_without_its_answers__analytic(run, key):
    code, out, err = run("variant", key, *CODES, "--json")
    assert (code, err) == (0, "")
    found = json.loads(out)
    made = variant("SOIL-24", key, "S07")
    assert found["statement"] == made.told.statement
    assert [part["part"] for part in found["asked"]] == [part.key for part in made.asked]
    assert "solution" not in out
    assert (run("variant", key, *CODES)[1]).startswith(made.problem.title)


def test_help_is_printed_by_level__analytic(run):
    worked, faded, solo = (run("variant", "field-rate", *CODES, "--level", level)[1] for level in (0, 1, 3))
    assert "First one like it" in worked
    assert worked.count(FIELD.told.statement) == 2
    assert "The first lines are worked" in faded
    assert faded.count(FIELD.told.statement) == 1
    assert "…" not in solo


def test_a_right_answer_leaves_with_0_and_a_receipt_that_is_read_again__analytic(run):
    code, out, err = run("check", "field-rate", *RIGHT, *CODES)
    assert (code, err) == (0, "")
    assert RECEIPT_IS_NO_PROOF in out
    code, said, _ = run("receipt", *receipt_of(out).split())
    assert code == 0
    assert "solved in 1 try" in said
    assert RECEIPT_IS_NO_PROOF in said
    plain = json.loads(run("receipt", receipt_of(out), "--json")[1])
    assert plain["solved"] is True
    assert (plain["student"], plain["problem"], plain["mistakes"]) == ("S07", "field-rate", [])


def test_a_wrong_answer_leaves_with_1_and_one_line__analytic(run):
    wrong = next(wrong for wrong in FIELD.wrong if wrong.mistake.key == "E9")
    code, out, err = run("check", "field-rate", RIGHT[0], f"{wrong.values['product']!r} t/ha", *CODES)
    assert code == 1
    assert wrong.mistake.name in out
    assert "Receipt" not in out
    assert err == "soilx: field-rate: not right yet.\n"


def test_the_third_wrong_answer_brings_solution_and_receipt__analytic(run):
    code, out, _ = run("check", "field-rate", "1 t/ha", "99 t/ha", *CODES, "--tries", "2")
    assert code == 1
    assert all(line.text in out for line in FIELD.solution.lines)
    assert "not solved in 3 tries" in run("receipt", *receipt_of(out).split())[1]


@pytest.mark.parametrize("reply", ["x" * 5000, "<b>", "1e999 t/ha", "", "🙂", "4,35 t/ha", "5 kg"])
def test_what_cannot_be_read_leaves_with_2_and_one_line__analytic(run, reply):
    code, out, err = run("check", "field-rate", reply, reply, *CODES)
    assert code == 2
    assert err == "soilx: field-rate: an answer could not be read.\n"
    assert "Traceback" not in out


def test_json_of_a_verdict_is_whole__analytic(run):
    found = json.loads(run("check", "field-rate", RIGHT[0], "99 t/ha", *CODES, "--json")[1])
    assert found["judged"]["pure"]["outcome"] == "right"
    assert found["judged"]["product"]["outcome"] == "not yet"
    assert (found["solved"], found["tries"], found["receipt"]) == (False, 1, None)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["variant", "nothing", *CODES], "is not one of ours"),
        (["variant", "field-rate"], "--course and --student"),
        (["variant", "field-rate", "--course", "C1", "--student", "Maria"], "may be a name"),
        (["variant", "field-rate", *CODES, "--fresh", "999"], "fresh variant"),
        (["check", "field-rate", "1 t/ha", *CODES], "2 are asked"),
        (["check", "nothing", "1 t/ha", *CODES], "is not one of ours"),
        (["receipt", "SOIL-24", "S07", "AAAA-AAAA-AAAA"], "does not fit its codes"),
        (["receipt", "rubbish"], "is not a receipt"),
        (["key", "none.csv", "--course", "C1"], "cannot be read"),
        (["overview", "none.txt"], "cannot be read"),
    ],
)
def test_bad_input_leaves_with_2_and_one_line__analytic(run, arguments, said):
    code, out, err = run(*arguments)
    assert (code, out) == (2, "")
    assert said in err
    assert err.count("\n") == 1


def test_the_key_of_a_class_is_printed_and_written__analytic(run, tmp_path):
    codes, page = tmp_path / "codes.csv", tmp_path / "key.csv"
    codes.write_text("student\nS07\nS08\n", "utf-8")
    given = ["key", codes, "--course", "SOIL-24", "--problem", "field-rate"]
    code, out, _ = run(*given)
    assert code == 0
    assert out.count("field-rate") == 4
    assert run(*given, "-o", page)[0] == 0
    rows = list(csv.DictReader(page.read_text("utf-8").splitlines()))
    found = next(row for row in rows if row["student"] == "S07" and row["part"] == "pure")
    assert float(found["answer"]) == pytest.approx(FIELD.solution.values["pure"], rel=5e-4)
    code, _, err = run(*given, "-o", tmp_path / "no" / "key.csv")
    assert code == 2
    assert "cannot be written" in err


def test_the_overview_of_a_class_counts_its_mistakes__analytic(run, tmp_path):
    out = run("check", "field-rate", "1 t/ha", "99 t/ha", *CODES, "--tries", "2")[1]
    pasted = tmp_path / "pasted.txt"
    pasted.write_text(f"{receipt_of(out)}\nnonsense\n", "utf-8")
    code, said, _ = run("overview", pasted)
    assert code == 0
    assert "1 receipt of 1 student." in said
    assert PROBLEMS["field-rate"].title in said
    assert "Line 2" in said
    plain = json.loads(run("overview", pasted, "--json")[1])
    assert (plain["receipts"], plain["students"], [line["line"] for line in plain["unread"]]) == (1, 1, [2])
    pasted.write_bytes(b"\xff\xfe")
    assert "not text in UTF-8" in run("overview", pasted)[2]
