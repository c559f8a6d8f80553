"""The page of a bench run for one reader."""

from __future__ import annotations

import datetime as dt
from itertools import accumulate
from typing import Final

from soilx import wording
from soilx.chemistry.ions import SODIUM
from soilx.handouts.line_drawing import Line, line_figure
from soilx.handouts.page_parts import bullets, document, equation, made_line, paragraph, section
from soilx.handouts.page_table import table
from soilx.handouts.page_text import text
from soilx.handouts.reader_bench_facts import CONTROL, TREATED, BenchFacts
from soilx.handouts.reader_bench_words import (
    bench_again,
    bench_found,
    bench_numbers,
    bench_steps,
    bench_sure,
    bench_warnings,
)
from soilx.handouts.reader_markup import page_style, small, steps_list
from soilx.handouts.readers import TITLES, Reader, ReaderUnits
from soilx.show.tables import NumberTable
from soilx.sources import cite

ON_THE_BENCH: Final = "No test hole was dug on the bench, and the field’s own water may be another."


def bench_reader_page(
    facts: BenchFacts, reader: Reader, units: ReaderUnits, *, paper: str | None, made_on: dt.date
) -> str:
    """The page of a bench record: what the run showed, and that it is no field rate.

    Parameters
    ----------
    facts : BenchFacts
    reader : Reader
    units : ReaderUnits
    paper : str or None
        As a style sheet names it.
    made_on : date
    """
    verdict = f"For the field: {facts.decision.verdict.value}. {ON_THE_BENCH}"
    parts = (
        paragraph(TITLES[reader], look="whom"),
        paragraph(bench_found(facts), look="finding"),
        paragraph(verdict, look="verdict"),
        paragraph(wording.CAUTION_RATE, look="soilx-caution"),
        section("Three numbers of the run", _numbers(facts)),
        _curve(facts),
        *((_by_hand(facts),) if reader is Reader.STUDENT else ()),
        section("What to do, in this order", steps_list(bench_steps(facts, units))),
        section("What not to do", bullets(bench_warnings(facts))),
        section("How sure we are", bullets(bench_sure(facts))),
        section("Run it again, and when to stop", bullets(bench_again(facts))),
        section("Take care", bullets((wording.CAUTION_BENCH, wording.CAUTION_DUST))).replace(
            "<section>", '<section class="care">', 1
        ),
        _small_print(facts, made_on),
    )
    return document(f"{facts.soil}: what the bench run showed", *parts, style=page_style(paper))


def _numbers(facts: BenchFacts) -> str:
    rows = "".join(
        f'<tr><th scope="row">{text(name)}</th><td class="value">{text(treated)}</td>'
        f'<td class="value">{text(control)}</td><td class="normal">{text(normal)}</td></tr>'
        for name, treated, control, normal in bench_numbers(facts)
    )
    return (
        '<table class="deciding"><thead><tr><th scope="col">Number</th><th scope="col">With gypsum</th>'
        '<th scope="col">Without</th><th scope="col">What is normal</th></tr></thead>'
        f"<tbody>{rows}</tbody></table>"
    )


def _curve(facts: BenchFacts) -> str:
    """Sodium caught, against water caught, of the first column of each arm."""
    lines = []
    for arm, name, dash in ((TREATED, "with gypsum", ""), (CONTROL, "no gypsum", "7 5")):
        portions = next(iter(facts.record.arms[arm].replicates.values())) if arm in facts.record.arms else ()
        read = [one for one in portions if one.sodium_mg_per_l is not None and one.volume_ml > 0]
        if not read:
            continue
        water = [0.0, *accumulate(one.volume_ml for one in read)]
        sodium = [0.0, *accumulate(one.volume_ml * (one.sodium_mg_per_l or 0.0) / 1000.0 for one in read)]
        lines.append(Line(name=name, across=water, up=sodium, dash=dash))
    if not lines:
        return ""
    said = "Sodium caught, portion after portion, as the water came through: " + ", ".join(
        f"{line.up[-1]:.1f} mg in {line.across[-1]:.0f} mL {line.name}" for line in lines
    )
    return line_figure(lines, (), across="Water caught, mL", up="sodium caught, mg", said=f"{said}.")


def _by_hand(facts: BenchFacts) -> str:
    """The budget of the column with gypsum, by hand."""
    column = facts.first(TREATED)
    if column is None or TREATED not in facts.record.arms:
        return ""
    portions = next(iter(facts.record.arms[TREATED].replicates.values()))
    rows, running = [], 0.0
    for one in portions:
        strength = one.sodium_mg_per_l
        mass = one.volume_ml * (strength or 0.0) / 1000.0
        running += mass
        rows.append(
            (
                str(one.number),
                f"{one.volume_ml:.0f}",
                "–" if strength is None else f"{strength:.0f}",
                "–" if strength is None else f"{mass:.2f}",
                f"{running:.1f}",
            )
        )
    grams = 1000.0 * facts.record.soil_mass
    charge = running / SODIUM.molar_mass * 100.0 / grams
    titles = ("Portion", "V, mL", "C, mg/L", "V·C, mg", "in all, mg")
    parts = [
        table(NumberTable(titles=titles, rows=tuple(rows)), caption="Sodium of each portion, with gypsum"),
        equation(
            r"\sum V C = " + f"{running:.1f}" + r"\,\text{mg}, \quad "
            r"\frac{" + f"{running:.1f}" + r"}{22.99} \times "
            r"\frac{100}{" + f"{grams:g}" + r"} = " + f"{charge:.2f}"
        ),
        paragraph("In mmol_c for 100 g of soil: sodium has one charge."),
    ]
    into, out, closure = column.into, column.out, column.closure
    if into is not None and out is not None and closure is not None:
        parts += [
            equation(
                r"\frac{\text{out}}{\text{in}} = \frac{"
                + f"{out.value / 10:.2f}"
                + r"}{"
                + f"{into.value / 10:.2f}"
                + r"} = "
                + f"{100 * closure.value:.0f}"
                + r"\,\%"
            ),
            paragraph(
                "In is what the clay held and what was dissolved before; out is what was caught, what the "
                "clay "
                "still holds and what stayed in its water, all in mmol_c for 100 g."
            ),
        ]
    return section("The budget, by hand", *parts)


def _small_print(facts: BenchFacts, made_on: dt.date) -> str:
    record = facts.record
    said = [f"Record {record.name}", f"soil {facts.soil}"]
    said += [f"{1000 * record.soil_mass:g} g of oven-dry soil a column"]
    said += [
        f"{key.replace('_', ' ')} {record.words[key]}"
        for key in ("water", "measured_with")
        if key in record.words
    ]
    dose = record.known("dose", arm=TREATED)
    if dose is not None:
        said.append(
            f"{1000 * dose.value:.3g} g of {record.words.get('product', 'product')} a column with gypsum"
        )
    return small(
        f"Inputs: {'; '.join(said)}. What stands behind ± is half of a 95 % interval.",
        f"Sources: {cite('common_practice')} {cite('trade_texts')}",
        f"{wording.MODEL_LEAVES_OUT} {wording.COMMON_PRACTICE_MEANS} {made_line(made_on)}",
    )
