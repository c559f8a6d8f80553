"""What a soil test says: each number as typed and as taken, what is odd, what is missing."""

from __future__ import annotations

from typing import Final

from soilx.practice.soil_test.quality_check import Check, Verdict
from soilx.practice.soil_test.report import Report
from soilx.practice.soil_test.report_gaps import next_test
from soilx.show.word_sheet import Block, Sheet, folded, grid, line, points

_ION_NAMES: Final = {"Ca": "calcium", "Mg": "magnesium", "Na": "sodium", "K": "potassium"}


def show_test(sheet: Sheet, report: Report) -> None:
    """Put on a sheet what a soil test says, and what it does not.

    Parameters
    ----------
    sheet : Sheet
    report : Report
    """
    sheet.put(
        *_found(report),
        *_checks(report),
        *_gaps(report),
        *_salts(report),
        *_trail(report),
        *((folded("What was assumed, changed or left out", points(report.notes)),) if report.notes else ()),
    )


def _found(report: Report) -> list[Block]:
    capacity = report.cation_exchange_capacity
    rows = [
        ("Exchangeable sodium percentage, ESP", report.esp),
        ("Cation exchange capacity", None if capacity is None else capacity.scaled(0.1, "cmol_c/kg")),
        *(
            (f"Exchangeable {_ION_NAMES[symbol]}", amount.scaled(0.1, "cmol_c/kg"))
            for symbol, amount in report.exchangeable.items()
        ),
        ("SAR of the saturation extract", report.paste_sar),
        ("EC of the saturation extract", report.paste_ec),
        ("Saturation percentage", report.saturation_percentage),
        ("Bulk density", report.bulk_density),
    ]
    return [
        grid(
            ("", "Value, with its range", "Where it comes from"),
            [
                (title, "not known" if found is None else str(found), "" if found is None else found.origin)
                for title, found in rows
            ],
            caption="What the report says, on one basis (per kilogram of oven-dry soil)",
        )
    ]


def _checks(report: Report) -> list[Block]:
    checks = report.checks
    odd = [check for check in checks if check.verdict is not Verdict.GOOD]
    blocks = [line("Does the report fit together?", "title")]
    if not checks:
        return [*blocks, line("It says too little to be checked against itself.")]
    if odd:
        blocks.append(
            points(
                f"{_capital(check.title)}, {_value(check)}: {check.means} ({check.limit})." for check in odd
            )
        )
    else:
        blocks.append(line(f"All {len(checks)} checks are good."))
    return [
        *blocks,
        folded(
            f"All {len(checks)} checks, with their limits",
            grid(
                ("Check", "Found", "Limit", "Verdict", "What it means"),
                [
                    (_capital(check.title), _value(check), check.limit, str(check.verdict), check.means)
                    for check in checks
                ],
            ),
        ),
    ]


def _gaps(report: Report) -> list[Block]:
    blocks = [line("What cannot be decided yet", "title")]
    cheapest = next_test(report)
    if cheapest is None:
        return [*blocks, line("Nothing is missing.")]
    return [
        *blocks,
        line(
            f"Cheapest next step ({cheapest.effort.words}): {_sentence(cheapest.test)} It "
            f"decides: {cheapest.question}.",
            "strong",
        ),
        folded(
            f"All {len(report.gaps)} open questions, the most pressing first",
            grid(
                ("Open", "Cheapest test", "What it takes", "What goes wrong without it"),
                [(_capital(gap.question), gap.test, gap.effort.words, gap.why) for gap in report.gaps],
            ),
        ),
    ]


def _salts(report: Report) -> list[Block]:
    lines = report.soluble_salt_correction
    if not lines:
        basis = report.exchangeable_basis
        why = "nobody says whether they are in the cations" if basis is None else f"the cations are {basis}"
        return [line("Dissolved salts", "title"), line(f"No dissolved salts are taken off: {why}.")]
    return [
        line("Dissolved salts, taken off line by line", "title"),
        points(each.text for each in lines),
        line("Extractable, less extract × saturation percentage/1000, is what sits on the clay.", "note"),
    ]


def _trail(report: Report) -> list[Block]:
    if not report.trail:
        return []
    return [
        folded(
            "Every number, as typed and as taken",
            grid(
                ("What", "As typed", "Times", "Taken as", "What it is of", "What was done"),
                [
                    (
                        _capital(step.what),
                        step.before,
                        "" if step.multiplier is None else f"{step.multiplier:.6g}",
                        step.after,
                        step.basis,
                        step.why,
                    )
                    for step in report.trail
                ],
            ),
        )
    ]


def _value(check: Check) -> str:
    if check.value is None:
        return "no number"
    # A sum of two typed numbers misses nothing by a last bit.
    number = 0.0 if abs(check.value) < 1e-9 else check.value
    return f"{number:.3g} {check.unit}".strip()


def _sentence(text: str) -> str:
    return text if text.endswith("?") else f"{text}."


def _capital(text: str) -> str:
    """A sentence's beginning; pH keeps its small letter."""
    return text if text.startswith("pH") else text[:1].upper() + text[1:]
