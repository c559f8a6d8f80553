"""Level 7, field: a recommendation with a mistake planted in it; find its line, and what is right."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from soilx.teaching.kinds.field_rates import asked_rates, field_numbers, field_rows, solve_field
from soilx.teaching.problem import Asked, Level, Line, Problem, Row, Seen, Solution, Told
from soilx.teaching.seeds import Draws
from soilx.teaching.working import Working

PLANTED: Final = ("A5", "A16", "M5", "E2", "E9")


def _draw(draws: Draws) -> Seen | None:
    seen = field_numbers(draws)
    planted = draws.choice("planted", PLANTED)
    if seen is None:
        return None
    return replace(seen, words={"planted": planted})


def fake_lines(seen: Seen) -> tuple[Line, ...]:
    """The recommendation as it was handed out, with its mistake."""
    lines = solve_field(seen, seen.words["planted"]).lines
    # The words that give a mistake away in feedback are not on the paper that was handed out.
    return tuple(replace(line, how=line.how.partition(",")[0]) for line in lines)


def _tell(seen: Seen) -> Told:
    lines = fake_lines(seen)
    return Told(
        statement="Somebody reckoned this recommendation from the table, and one line of it is wrong; what "
        "follows from it is wrong only because of it. Which line is it, and how much product per hectare is "
        "right?",
        rows=(
            *field_rows(seen),
            *(
                Row(what=f"line {number}: {line.what}", value=f"{line.how} = {line.result}")
                for number, line in enumerate(lines, start=1)
            ),
        ),
    )


def _asked(seen: Seen) -> tuple[Asked, ...]:
    choices = tuple(
        (str(number), f"line {number}: {line.what}") for number, line in enumerate(fake_lines(seen), start=1)
    )
    return (Asked(key="line", words="the wrong line", choices=choices), asked_rates(seen)[1])


def _solve(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    right, fake = solve_field(seen, ""), fake_lines(seen)
    at = next(
        number
        for number, (line, other) in enumerate(zip(fake, right.lines, strict=True), start=1)
        if line != other
    )
    work.lines.extend(right.lines[: at - 1])
    work.choose("the wrong line", fake[at - 1].text, str(at), f"line {at}", answers="line")
    made = solve_field(seen, mistake)
    work.lines.extend(made.lines[at - 1 :])
    work.values["product"] = made.values["product"]
    return work.solution


FAKE_RECOMMENDATION: Final = Problem(
    number=17,
    key="find-the-mistake",
    title="Find the mistake in a recommendation",
    level=Level.FIELD,
    confronts="A recommendation is a chain: one wrong line, and every line after it is neatly wrong.",
    mistakes=PLANTED,
    sources=("trade_texts", "homework_hectare"),
    draw=_draw,
    tell=_tell,
    asked=_asked,
    solve=_solve,
)
