"""The one door of the homework page: codes, problems, answer boxes, the live column and the words."""

from __future__ import annotations

from soilx.show.entry import Entry
from soilx.show.homework_answers import Answers, Sent
from soilx.show.homework_column import ON_THE_COLUMN, LiveColumn, gypsum_control, water_control
from soilx.show.homework_desk import COURSE, STUDENT, Desk
from soilx.show.homework_list import ProblemList
from soilx.show.homework_sheets import BEGIN, LOST_WITH_THE_PAGE, show_feedback, show_problem, show_progress
from soilx.show.live import exchangeable_sodium_by_depth, soil_columns
from soilx.show.page import Shown, caution, fold, prose, quick_turns, row, screen
from soilx.show.word_sheet import Sheet

FIRST_PROBLEM = "ppm-to-charge"


def is_on_the_column(problem: str, *codes: str) -> bool:
    """Whether a problem is solved on the live column, and both codes stand there to draw it from.

    Parameters
    ----------
    problem : str
        Key.
    *codes : str
        As typed.
    """
    return problem in ON_THE_COLUMN and all(code.strip() for code in codes)


def put_answers(shown: object, desk: Desk, problem: str) -> None:
    """Show the boxes of the problem on the desk, if the page has boxes.

    Parameters
    ----------
    shown : object
        `Answers.shown`.
    desk : Desk
    problem : str
        Key.
    """
    control = shown.control if isinstance(shown, Shown) else None
    if isinstance(control, Answers):
        attempt = None if desk.work is None else desk.work.attempts.get(problem)
        control.put(attempt, desk.texts(problem))


def put_marks(shown: object, desk: Desk) -> None:
    """Say in the list of problems which are done, if the page has the list.

    Parameters
    ----------
    shown : object
        `ProblemList.shown`.
    desk : Desk
    """
    control = shown.control if isinstance(shown, Shown) else None
    if isinstance(control, ProblemList):
        control.mark({} if desk.work is None else desk.work.marks)


__all__ = [
    "BEGIN",
    "COURSE",
    "FIRST_PROBLEM",
    "LOST_WITH_THE_PAGE",
    "STUDENT",
    "Answers",
    "Desk",
    "Entry",
    "LiveColumn",
    "ProblemList",
    "Sent",
    "Sheet",
    "caution",
    "exchangeable_sodium_by_depth",
    "fold",
    "gypsum_control",
    "is_on_the_column",
    "prose",
    "put_answers",
    "put_marks",
    "quick_turns",
    "row",
    "screen",
    "show_feedback",
    "show_problem",
    "show_progress",
    "soil_columns",
    "water_control",
]
