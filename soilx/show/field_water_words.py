"""How much water a dose takes, purpose by purpose, and how long that runs and drains."""

from __future__ import annotations

from soilx.practice.judgement.water_depths import Purpose, drainage_hours, sprinkler_hours
from soilx.show.field_answer import Answer
from soilx.show.field_rate_words import amount, not_now
from soilx.show.word_sheet import Sheet, grid, line


def show_water(sheet: Sheet, answer: Answer, *, sprinkler_mm_per_h: float) -> None:
    """Put on a sheet how much water the dose takes, and how long that runs.

    Parameters
    ----------
    sheet : Sheet
    answer : Answer
    sprinkler_mm_per_h : float
    """
    found = answer.depths
    if found is None:
        sheet.put(
            line(
                answer.why.get("depths")
                or answer.why.get("column")
                or "No gypsum, so no water to dissolve it."
            )
        )
        return
    hours = answer.report.drain_test_h
    rows = []
    for purpose in Purpose:
        depth = found.express(purpose, "mm")
        if depth is None:
            rows.append((purpose.value.capitalize(), "never", "never", "–", "–"))
            continue
        rows.append(
            (
                purpose.value.capitalize(),
                f"{depth:.0f}",
                f"{found.express(purpose, 'in'):.1f}",
                amount(sprinkler_hours(depth, rate=sprinkler_mm_per_h)),
                "–" if hours is None else amount(drainage_hours(depth, drain_test=hours)),
            )
        )
    sheet.put(
        *not_now(answer),
        grid(
            (
                "Water",
                "mm",
                "in",
                f"Hours of sprinkling at {sprinkler_mm_per_h:g} mm/h",
                "Hours to drain, at least",
            ),
            rows,
            caption="For the formula's dose with its factor, mixed in",
        ),
        line(found.sentences[-1]),
        line(
            "Give it in portions, with pauses: per unit of water that moves more salt than ponding. "
            "“Never” means that 40 pore volumes of this water do not do it.",
            "note",
        ),
        line(
            "Hours to drain are those of the test hole's pace; a hole also drains sideways, so the "
            "ground is slower "
            "(common practice, no published source).",
            "note",
        ),
    )
