"""What the homework page says: the problem with its help, what came of an answer, and what was done."""

from __future__ import annotations

from soilx.show.homework_desk import Work
from soilx.show.word_sheet import Block, Sheet, grid, line, points
from soilx.teaching.attempts import MOST_TRIES, Attempt
from soilx.teaching.checking import Outcome
from soilx.teaching.homework_words import CODES_NOT_NAMES, NOT_READ_IS_NO_TRY, RECEIPT_IS_NO_PROOF
from soilx.teaching.problems import PROBLEMS
from soilx.teaching.progress import Stage, support
from soilx.teaching.variants import Variant

BEGIN = f"Type your course code and your student code to begin. {CODES_NOT_NAMES}"
LOST_WITH_THE_PAGE = (
    "What you have done is kept while the page is open, and lost when it is closed or loaded again. Copy "
    "your receipts first."
)
_GIVEN = ("given", "value", "unit")


def show_problem(sheet: Sheet, attempt: Attempt | None) -> None:
    """Put a problem on its sheet: help for the student's level, the statement, and what is given.

    Parameters
    ----------
    sheet : Sheet
    attempt : Attempt or None
        None where there are no codes yet.
    """
    if attempt is None:
        sheet.put(line(BEGIN, "strong"))
        return
    own = attempt.variant
    beside = support(own, attempt.level)
    blocks: list[Block] = [
        line(own.problem.title, "verdict"),
        line(f"Level {int(own.problem.level)}, {own.problem.level.words}. {_which(own)}", "note"),
    ]
    if beside.example is not None:
        blocks += [
            line(f"{beside.stage.value.capitalize()} example", "title"),
            line(beside.sentence),
            *_statement(beside.example),
            points((step.text for step in beside.example.solution.lines), ordered=True),
        ]
    blocks += [line("Yours", "title"), *_statement(own)]
    if beside.stage is Stage.FADED:
        blocks += [line(beside.sentence), points((*beside.shown, *beside.left), ordered=True)]
    elif beside.left:
        blocks += [line("Your lines, in the same order:"), points(beside.left, ordered=True)]
    else:
        blocks.append(line(beside.sentence))
    sheet.put(*blocks, spoken=f"{own.problem.title}. {_which(own)}")


def show_feedback(sheet: Sheet, attempt: Attempt | None) -> None:
    """Say what came of the last answer, with the solution and the receipt where the problem is over.

    Parameters
    ----------
    sheet : Sheet
    attempt : Attempt or None
    """
    if attempt is None or not attempt.judged:
        sheet.put()
        return
    heard = " ".join((*attempt.sentences, _left(attempt)))
    blocks = [line(_left(attempt), "strong")]
    if any(one.outcome is Outcome.UNREAD for one in attempt.judged.values()) and not attempt.over:
        blocks.append(line(NOT_READ_IS_NO_TRY))
    receipt = attempt.receipt
    if receipt is not None:
        # The last sentence of a problem that was not solved says that its solution follows.
        told = () if attempt.solved else attempt.sentences[-1:]
        blocks += [
            *(line(text) for text in told),
            line("The solution, line by line", "title"),
            points(attempt.solution, ordered=True),
            line(attempt.variant.problem.confronts),
            line("Your receipt", "title"),
            line(receipt.text, "strong"),
            line(RECEIPT_IS_NO_PROOF, "note"),
        ]
        heard = f"{heard} Receipt: {receipt.text}"
    sheet.put(*blocks, spoken=heard)


def show_progress(sheet: Sheet, work: Work | None) -> None:
    """Say which problems are done, with their receipts to be handed in.

    Parameters
    ----------
    sheet : Sheet
    work : Work or None
        None where there are no codes yet.
    """
    if work is None:
        sheet.put(line(LOST_WITH_THE_PAGE, "note"))
        return
    blocks = [line(f"{len(work.solved)} of {len(PROBLEMS)} problems solved. {LOST_WITH_THE_PAGE}", "note")]
    rows = [
        (problem.title, f"{int(problem.level)}, {problem.level.words}", work.marks[key])
        for key, problem in PROBLEMS.items()
        if key in work.marks
    ]
    if rows:
        blocks.append(grid(("problem", "level", "how far"), rows))
    if work.receipts:
        blocks += [
            line("Receipts to hand in, one a line:"),
            points(text for _, text in work.receipts),
        ]
    sheet.put(*blocks)


def _statement(made: Variant) -> list[Block]:
    rows = [(row.what, row.value, row.unit) for row in made.told.rows]
    return [line(made.told.statement), *((grid(_GIVEN, rows),) if rows else ())]


def _which(own: Variant) -> str:
    seed = own.seed
    number = f", fresh problem {seed.fresh}" if seed.fresh else ""
    return f"For {seed.student} of {seed.course}{number}."


def _left(attempt: Attempt) -> str:
    tries = f"{attempt.tries} {'try' if attempt.tries == 1 else 'tries'}"
    if attempt.solved:
        return f"Solved in {tries}."
    if attempt.over:
        return f"Not solved in {tries}."
    left = MOST_TRIES - attempt.tries
    return f"{left} {'try is' if left == 1 else 'tries are'} left."
