"""What the bench page says and draws of a fit: parameters with intervals, what is left, what is not told."""

from __future__ import annotations

from typing import TYPE_CHECKING

from soilx.bench.fit_identifiability import identifiability
from soilx.bench.fit_residuals import FAR, residual_series
from soilx.bench.fit_words import (
    fit_sentences,
    parameter_sentence,
    residual_sentences,
    water_sentences,
)
from soilx.show.bench_charts import residual_chart
from soilx.show.bench_marks import ARM_LOOKS, OTHER_LOOK
from soilx.show.bench_row_charts import interval_chart
from soilx.show.live import Drawn, DrawnChart
from soilx.show.marks import INK_MARK, ION_MARKS
from soilx.show.tables import NumberTable
from soilx.show.tables import Record as Row
from soilx.show.word_sheet import Sheet, folded, grid, line, points

if TYPE_CHECKING:
    from soilx.bench.fit_result import Fit, Fitted

_COLOURS = {"sodium": ION_MARKS["Na"].colour, "calcium": ION_MARKS["Ca"].colour, "ec": INK_MARK.colour}
_SAID = {"sodium": "Na", "calcium": "Ca", "ec": "EC"}
_EMPTY = NumberTable(titles=("parameter",), rows=())


def fit_charts() -> tuple[DrawnChart, DrawnChart]:
    """Each parameter with its interval, and what the fit leaves of each reading."""
    return (
        DrawnChart("What the fit tells of each parameter", interval_chart(), kept=270),
        DrawnChart("What the fit leaves", residual_chart(), kept=240),
    )


def show_fit(sheet: Sheet, charts: tuple[DrawnChart, DrawnChart], fit: Fit | None, why: str) -> None:
    """Put a fit on its sheet and charts; where there is none, say why.

    Parameters
    ----------
    sheet : Sheet
    charts : tuple of DrawnChart
        As `fit_charts` made them.
    fit : Fit or None
    why : str
        There is none.
    """
    if fit is None:
        sheet.put(line(why, "note"))
        charts[0].put(
            Drawn(records={"parameters": []}, signals={}, caption="0 fits were made so far.", table=_EMPTY)
        )
        charts[1].put(
            Drawn(
                records={"left": [], "band": []},
                signals={"y_low": -5, "y_top": 5},
                caption="0 fits were made so far.",
                table=_EMPTY,
            )
        )
        return
    charts[0].put(intervals_drawn(fit))
    charts[1].put(residuals_drawn(fit))
    told = identifiability(fit)
    of_parameters = [parameter_sentence(one) for one in told]
    one_by_one = [*residual_sentences(fit), *water_sentences(fit)]
    known = {*of_parameters, *one_by_one}
    sentences = [said for said in fit_sentences(fit) if said not in known]
    small = [said for said in sentences if said.startswith(("Not used", "Taken for granted"))]
    names = [one.fitted.parameter.title for one in told]
    sheet.put(
        grid(
            ("parameter", "unit", "before", "fitted", "95 % from", "95 % to", "told?"),
            [_row(one.fitted, one.verdict) for one in told],
            caption="Parameters before the fit and after",
        ),
        points(of_parameters),
        line("How well the fit does", "title"),
        points(said for said in sentences if said not in small),
        folded("What is left, reading by reading", points(one_by_one)),
        folded(
            "Correlation of the parameters",
            grid(
                ("", *names),
                [
                    (name, *(f"{fit.correlation[at, other]:+.2f}" for other in range(len(names))))
                    for at, name in enumerate(names)
                ],
                caption="+1 both up together, −1 one up and the other down, 0 told apart",
            ),
        ),
        *([folded("What was not used, and what was taken for granted", points(small))] if small else []),
        spoken=f"Fitted. {of_parameters[0]}",
    )


def intervals_drawn(fit: Fit) -> Drawn:
    """Each parameter within what was searched, in the order of the fit.

    Parameters
    ----------
    fit : Fit
    """
    rows: list[Row] = []
    scenario = fit.observations.columns[0].scenario
    for one in fit.parameters:
        parameter = one.parameter
        low, high = parameter.bounds(scenario)

        def place(value: float, fitted: Fitted = one, low: float = low, high: float = high) -> float:
            searched = fitted.parameter.searched(value, scenario)
            return 100 * (searched - low) / (high - low)

        rows.append(
            {
                "title": parameter.title,
                "said": f"{parameter.title}: {_number(one.value)}",
                "whole_low": 0.0,
                "whole_high": 100.0,
                "low": place(one.interval.low),
                "high": place(one.interval.high),
                "before": place(one.start),
                "at": place(one.value),
            }
        )
    said = "; ".join(
        f"{one.parameter.title} {_number(one.value)} ({_ends(one)}), before {_number(one.start)}"
        for one in fit.parameters
    )
    return Drawn(
        records={"parameters": rows},
        signals={},
        caption=f"Open diamond: before the fit. Filled circle: fitted. Bar: 95 %. {said}.",
        table=NumberTable(
            titles=("parameter", "unit", "before", "fitted", "95 % from", "95 % to"),
            rows=tuple(_row(one)[:-1] for one in fit.parameters),
        ),
    )


def residuals_drawn(fit: Fit) -> Drawn:
    """What the fit leaves of each reading, by column and quantity.

    Parameters
    ----------
    fit : Fit
    """
    rows: list[Row] = []
    series = residual_series(fit)
    for one in series:
        arm = one.name.rpartition(" ")[0]
        filled = ARM_LOOKS.get(arm, OTHER_LOOK)[2]
        # names stand at the ends of their lines, conductivity's at the beginning, so that fewer meet
        named = 0 if one.quantity == "ec" else len(one.portions) - 1
        rows += [
            {
                "portion": portion,
                "residual": residual,
                "series": f"{one.quantity} {one.name}",
                "quantity": one.quantity,
                "arm": arm,
                "filled": filled,
                "colour": _COLOURS[one.quantity],
                "label": f"{_SAID[one.quantity]} {one.name}" if at == named else "",
            }
            for at, (portion, residual) in enumerate(zip(one.portions, one.residuals, strict=True))
        ]
    far = max((abs(float(row["residual"])) for row in rows), default=FAR)
    reach = max(5.0, 1.15 * far)
    patterns = [f"{_SAID[one.quantity]} of {one.name}: {one.pattern}" for one in series if one.pattern]
    return Drawn(
        records={"left": rows, "band": [{"low": -FAR, "high": FAR, "nought": 0.0}]},
        signals={"y_low": -reach, "y_top": reach},
        caption=f"{'; '.join(patterns) or 'No pattern'}. Beyond the grey band a reading lies more than "
        f"{FAR:g} standard errors off.",
        table=NumberTable(
            titles=("column and portion", "quantity", "model above reading, standard errors"),
            rows=tuple(
                (f"{one.name}, {portion}", _SAID[one.quantity], f"{residual:+.1f}")
                for one in series
                for portion, residual in zip(one.portions, one.residuals, strict=True)
            ),
        ),
    )


def _row(one: Fitted, verdict: str = "") -> tuple[str, ...]:
    interval = one.interval
    return (
        one.parameter.title,
        one.parameter.unit or "share",
        _number(one.start),
        _number(one.value),
        f"{_number(interval.low)}{' (end of search)' if interval.open_low else ''}",
        f"{_number(interval.high)}{' (end of search)' if interval.open_high else ''}",
        verdict,
    )


def _ends(one: Fitted) -> str:
    return f"95 % {_number(one.interval.low)} to {_number(one.interval.high)}"


def _number(value: float) -> str:
    return f"{value:.3g}" if abs(value) < 1000 else f"{value:.0f}"
