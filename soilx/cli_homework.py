"""`soilx homework`: a variant, an answer judged, a receipt read, the key and the overview of a class."""

import json
from pathlib import Path
from typing import Any, Final

import click

from soilx.column.file_writing import write_text
from soilx.errors import FileError
from soilx.show.homework_text import attempt_text, overview_text, variant_text
from soilx.show.text import table
from soilx.teaching.attempts import MOST_TRIES, Attempt
from soilx.teaching.checking import Outcome
from soilx.teaching.homework_plain import plain_attempt, plain_overview, plain_receipt, plain_variant
from soilx.teaching.homework_words import CODES_NOT_NAMES, RECEIPT_IS_NO_PROOF
from soilx.teaching.key import HEADER, key_csv, key_rows, read_codes
from soilx.teaching.overview import overview
from soilx.teaching.problems import PROBLEMS
from soilx.teaching.progress import MOST_LEVEL, support
from soilx.teaching.receipts import read_receipt
from soilx.teaching.variants import problem_of, variant

NOT_RIGHT: Final = 1
NOT_READ: Final = 2

_course = click.option("--course", required=True, help="Code of the course, such as SOIL-24.")
_student = click.option("--student", required=True, help="Code of the student, such as S07; never a name.")
_fresh = click.option("--fresh", type=int, default=0, help="Number of the fresh variant; 0 is the first.")
_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON object for programs.")


@click.group("homework")
def homework() -> None:
    """Problems that a code stands for: each student has numbers of their own."""


@homework.command("variant")
@click.argument("problem", metavar="PROBLEM", required=False)
@click.option("--course", help="Code of the course, such as SOIL-24.")
@click.option("--student", help="Code of the student, such as S07; never a name.")
@_fresh
@click.option(
    "--level", type=click.IntRange(0, MOST_LEVEL), default=MOST_LEVEL, help="Help: 0 worked to 3 solo."
)
@_json
def show_variant(
    problem: str | None, course: str | None, student: str | None, fresh: int, level: int, as_json: bool
) -> int:
    """Print a student's problem; without a problem, the list of all."""
    if problem is None:
        rows = [(made.key, made.level.words, made.title) for made in PROBLEMS.values()]
        click.echo(table(("problem", "level", "title"), rows))
        return 0
    problem_of(problem)
    if course is None or student is None:
        raise click.UsageError(f"--course and --student are wanted. {CODES_NOT_NAMES}")
    own = variant(course, problem, student, fresh=fresh)
    beside = support(own, level)
    click.echo(_to_json(plain_variant(own, beside)) if as_json else variant_text(own, beside))
    return 0


@homework.command("check")
@click.argument("problem", metavar="PROBLEM")
@click.argument("answers", metavar="ANSWER...", nargs=-1, required=True)
@_course
@_student
@_fresh
@click.option(
    "--tries", type=click.IntRange(0, MOST_TRIES - 1), default=0, help="Tries made before this one."
)
@_json
def check(
    problem: str,
    answers: tuple[str, ...],
    course: str,
    student: str,
    fresh: int,
    tries: int,
    as_json: bool,
) -> int:
    """Judge answers, one for each thing that is asked, in its order: "13.9" "17 %"."""
    own = variant(course, problem, student, fresh=fresh)
    if len(answers) != len(own.asked):
        asked = "; ".join(part.words for part in own.asked)
        raise click.UsageError(
            f"answers = {len(answers)}: {len(own.asked)} are asked ({asked}); quote each one."
        )
    replies = {part.key: answer for part, answer in zip(own.asked, answers, strict=True)}
    attempt = Attempt(variant=own, tries=tries).answer(replies)
    click.echo(_to_json(plain_attempt(attempt)) if as_json else attempt_text(attempt))
    if attempt.solved:
        return 0
    unread = all(one.outcome is not Outcome.WRONG for one in attempt.judged.values())
    said = "an answer could not be read" if unread else "not right yet"
    click.echo(f"soilx: {problem}: {said}.", err=True)
    return NOT_READ if unread else NOT_RIGHT


@homework.command("receipt")
@click.argument("receipt", metavar="COURSE STUDENT CODE", nargs=-1, required=True)
@_json
def show_receipt(receipt: tuple[str, ...], as_json: bool) -> int:
    """Say what a receipt says; one that does not fit its codes is refused."""
    found = read_receipt(" ".join(receipt))
    click.echo(_to_json(plain_receipt(found)) if as_json else f"{found.sentence}\n{RECEIPT_IS_NO_PROOF}")
    return 0


@homework.command("key")
@click.argument("codes", metavar="CODES.csv", type=click.Path(path_type=Path))
@_course
@click.option("--problem", "problems", multiple=True, help="Of these problems; of all unless given.")
@_fresh
@click.option("-o", "--output", type=click.Path(path_type=Path), help="Write the key to this CSV file.")
def show_key(codes: Path, course: str, problems: tuple[str, ...], fresh: int, output: Path | None) -> int:
    """Print the answers of a class; CODES.csv has a column `student`."""
    wanted = [problem_of(problem).key for problem in problems] or list(PROBLEMS)
    rows = key_rows(course, read_codes(codes), wanted, fresh=fresh)
    if output is None:
        click.echo(table(HEADER, [row.cells for row in rows]))
        return 0
    write_text(output, key_csv(rows), remedy="name another file")
    click.echo(f"{click.format_filename(output)}: {len(rows)} answers")
    return 0


@homework.command("overview")
@click.argument("receipts", metavar="RECEIPTS.txt", type=click.Path(path_type=Path))
@_json
def show_overview(receipts: Path, as_json: bool) -> int:
    """Count which mistakes occurred in a class, from its receipts, one a line."""
    try:
        text = receipts.read_bytes().decode("utf-8-sig")
    except OSError as problem:
        raise FileError(
            f"{receipts.name}: cannot be read ({problem.strerror or problem}); the limit is this machine's; "
            "give a text file with a receipt a line."
        ) from None
    except UnicodeDecodeError:
        raise FileError(
            f"{receipts.name}: is not text in UTF-8; the limit is the format's; save it as plain text."
        ) from None
    found = overview(text)
    click.echo(_to_json(plain_overview(found)) if as_json else overview_text(found))
    return 0


def _to_json(value: Any) -> str:
    return json.dumps(value, allow_nan=False, ensure_ascii=False, indent=2)
