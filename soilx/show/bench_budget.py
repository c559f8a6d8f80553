"""The sodium budget of a bench run on the page: closure with error bars, the account, and every verdict."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from soilx.bench.budget import budget_of
from soilx.bench.budget_field import field_rows
from soilx.bench.budget_pair import pair_of
from soilx.bench.budget_words import column_sentences, limits_of, pair_sentences, sentences_of
from soilx.errors import SoilxError
from soilx.show.bench_row_charts import closure_chart, sodium_account
from soilx.show.live import Drawn, DrawnChart
from soilx.show.tables import NumberTable, axis_top
from soilx.show.tables import Record as Row
from soilx.show.word_sheet import Sheet, folded, grid, line, points

if TYPE_CHECKING:
    from soilx.bench.budget import Budget, ColumnBudget
    from soilx.bench.record import Record
    from soilx.bench.uncertain import Uncertain

_MMOL_C_PER_100_G: Final = 0.1
_WIDE: Final = 0.09
_PARTS: Final = (
    ("before", "on the clay", "exchangeable"),
    ("before", "dissolved", "soluble"),
    ("after", "on the clay", "left_on_clay"),
    ("after", "dissolved", "left_in_water"),
    ("after", "in the leachate", "leached"),
)


def budget_charts() -> tuple[DrawnChart, DrawnChart]:
    """Closure per column, and where the sodium was before and after."""
    return (
        DrawnChart("Does the sodium budget close?", closure_chart(), kept=140),
        DrawnChart("Sodium before and after", sodium_account(), kept=280),
    )


def show_budget(sheet: Sheet, charts: tuple[DrawnChart, DrawnChart], record: Record) -> Budget | None:
    """Put a record's budget on its sheet and charts; where there is none, say why.

    Parameters
    ----------
    sheet : Sheet
    charts : tuple of DrawnChart
        As `budget_charts` made them.
    record : Record
    """
    try:
        budget = budget_of(record)
    except SoilxError as refused:
        sheet.put(line(str(refused), "stop"))
        _empty(charts)
        return None
    if not budget.columns:
        sheet.put(line("No portion is written down yet: there is no budget.", "stop"))
        _empty(charts)
        return budget
    charts[0].put(closure_drawn(budget))
    charts[1].put(account_drawn(budget))
    _say(sheet, budget)
    return budget


def closure_drawn(budget: Budget) -> Drawn:
    """Sodium found again in each column, with its 95 % interval.

    Parameters
    ----------
    budget : Budget
    """
    rows: list[Row] = []
    printed: list[tuple[str, ...]] = []
    ends = [100.0]
    for (arm, number), column in budget.columns.items():
        name, closure = f"{arm} {number}", column.closure
        row: Row = {"name": name, "told": closure is not None}
        said = f"{name}: {column.closing.value}"
        if closure is not None:
            low, high = (100 * end for end in closure.interval)
            row |= {"closure": 100 * closure.value, "low": low, "high": high}
            said += f", {_pm(closure * 100.0, 0)} %"
            ends += [low, high]
        rows.append(row | {"said": said})
        printed.append((name, "–" if closure is None else _pm(closure * 100.0, 1), column.closing.value))
    band = next(iter(budget.columns.values())).band
    low, high = (100 * end for end in band)
    return Drawn(
        records={"columns": rows, "band": [{"low": low, "high": high, "whole": 100.0}]},
        signals={"x_low": max(0.0, min(*ends, low) - 5), "x_top": max(*ends, high) + 5},
        caption=f"{'; '.join(str(row['said']) for row in rows)}. Bars are 95 %; a budget closes within the "
        f"grey band, {low:.0f} to {high:.0f} %, if its bar is no wider than the band.",
        table=NumberTable(titles=("column", "found again, % (± 95 %)", "verdict"), rows=tuple(printed)),
    )


def account_drawn(budget: Budget) -> Drawn:
    """Where each column's sodium was before and after, part by part.

    Parameters
    ----------
    budget : Budget
    """
    bars: dict[str, list[tuple[str, Uncertain | None]]] = {}
    for (arm, number), column in budget.columns.items():
        for when, place, part in _PARTS:
            amount: Uncertain | None = getattr(column.amounts, part)
            bars.setdefault(f"{arm} {number}, {when}", []).append((place, amount))
    sums = {
        name: sum(_MMOL_C_PER_100_G * amount.value for _, amount in parts if amount is not None)
        for name, parts in bars.items()
    }
    top = axis_top(max(sums.values(), default=1.0))
    rows: list[Row] = []
    names: list[Row] = []
    for name, parts in bars.items():
        at = 0.0
        for place, amount in parts:
            if amount is None:
                continue
            size = max(0.0, _MMOL_C_PER_100_G * amount.value)
            rows.append(
                {
                    "name": name,
                    "place": place,
                    "from": at,
                    "to": at + size,
                    "middle": at + size / 2,
                    "number": f"{size:.2f}",
                    "wide": size > _WIDE * top,
                }
            )
            at += size
        missing = [place for place, amount in parts if amount is None]
        names.append(
            {"name": name, "said": name + (f" ({', '.join(missing)}: not measured)" if missing else "")}
        )
    printed = tuple(
        (name, place, "not measured" if amount is None else _pm(amount * _MMOL_C_PER_100_G, 2))
        for name, parts in bars.items()
        for place, amount in parts
    )
    return Drawn(
        records={"parts": rows, "names": names},
        signals={"sodium_top": top},
        caption="; ".join(
            f"{name}: {', '.join(f'{number} {place}' for place, number in _numbers(parts))}"
            for name, parts in bars.items()
        )
        + ", in mmol_c per 100 g.",
        table=NumberTable(titles=("column", "where", "mmol_c per 100 g (± 95 %)"), rows=printed),
    )


def _numbers(parts: list[tuple[str, Uncertain | None]]) -> list[tuple[str, str]]:
    return [
        (place, "not measured" if amount is None else f"{_MMOL_C_PER_100_G * amount.value:.2f}")
        for place, amount in parts
    ]


def _say(sheet: Sheet, budget: Budget) -> None:
    paired = "gypsum" in budget.record.arms and "control" in budget.record.arms
    of_columns = [said for column in budget.columns.values() for said in column_sentences(column)]
    of_pair = pair_sentences(pair_of(budget)) if paired else []
    limits = limits_of(budget)
    known = {*of_columns, *of_pair, *limits}
    others = [said for said in sentences_of(budget) if said not in known]
    first = next(iter(budget.columns.values()))
    try:
        rows = [(row.name, row.bench, row.field) for row in field_rows(budget)]
        beside = [
            grid(("", "on the bench", "on the field"), rows, caption="The run, on the bench and on the field")
        ]
    except SoilxError as refused:
        beside = [line(str(refused), "note")]
    sheet.put(
        points(of_columns),
        *([line("Gypsum minus control", "title"), points(of_pair)] if of_pair else []),
        *beside,
        folded("What limits all this", points([*others, *limits])),
        spoken=_headline(first),
    )


def _headline(column: ColumnBudget) -> str:
    return column_sentences(column)[0]


def _empty(charts: tuple[DrawnChart, DrawnChart]) -> None:
    for chart, names in zip(charts, (("columns", "band"), ("parts", "names")), strict=True):
        chart.put(
            Drawn(
                records={name: [] for name in names},
                signals={},
                caption="No budget yet.",
                table=NumberTable(titles=("column",), rows=()),
            )
        )


def _pm(value: Uncertain, digits: int) -> str:
    return f"{value.value:.{digits}f} ± {value.half_width:.{digits}f}"
