"""Sentences of the homework that stand in more than one place."""

from __future__ import annotations

from typing import Final

RECEIPT_IS_NO_PROOF: Final = (
    "A receipt helps teaching: it says what was tried and which mistakes occurred. It is no security and no "
    "proof of who did the work: whoever has the program can make one."
)
CODES_NOT_NAMES: Final = "Use the code that you were given, never a name."
NOT_READ_IS_NO_TRY: Final = "What cannot be read is not counted as a try."
RIGHT: Final = "That is right."
NOT_YET: Final = "Not yet."
SOLUTION_FOLLOWS: Final = (
    "Three tries are over. Here is the solution, line by line. A fresh problem of the same kind is waiting."
)
WORKED_FIRST: Final = "First one like it, worked line by line. Then yours."
FADED_FIRST: Final = "The first lines are worked for you. Go on from there."
SOLO: Final = "This one is yours from the first line on."
NO_REPLY_YET: Final = "Nothing is written here yet."
HOMEWORK_IS_AN_EXERCISE: Final = (
    "The soils and waters of the homework are invented. Its answers are exercises, not advice for any ground."
)
