"""A pair of runs as plain text: what the command line prints."""

import textwrap
from collections.abc import Sequence
from typing import Final

from soilx import wording
from soilx.chemistry.ions import ORDER
from soilx.column.run import Run
from soilx.show.sentences import outcome, soil_line

LINE: Final = 100
"""Characters a line of a paragraph may have."""

CLOSING_LIMIT: Final = 1e-9
"""An element's closing error from here on is a fault; relative to the larger of inventory and charge."""

_PORTION: Final = (
    ("na_mmol_per_l", 2),
    ("ca_mmol_per_l", 2),
    ("ec_ds_per_m", 2),
    ("sar", 1),
    ("clarity", None),
)


def pair_report(treated: Run, untreated: Run) -> str:
    """A pair as a person reads it: sentence, figures, layers, portions at equal water, balance, small print.

    Parameters
    ----------
    treated, untreated : Run
        The same soil and water with gypsum and without.
    """
    arms = (treated, untreated)
    rows: list[tuple[str, str, list[str]]] = [
        ("exchangeable sodium, start", "% of CEC", [f"{run.initial_esp_pct:.1f}" for run in arms]),
        ("exchangeable sodium, end", "% of CEC", [f"{run.final_esp_pct:.1f}" for run in arms]),
        ("sodium, start", "mg/kg", [f"{run.sodium_initial_mg_per_kg:.0f}" for run in arms]),
        ("sodium, brought by the water", "mg/kg", [f"{run.sodium_added_mg_per_kg:.0f}" for run in arms]),
        ("sodium, leached", "mg/kg", [f"{run.sodium_leached_mg_per_kg:.0f}" for run in arms]),
        ("sodium, left", "mg/kg", [f"{run.sodium_left_mg_per_kg:.0f}" for run in arms]),
        ("  of it on the clay", "mg/kg", [f"{run.sodium_on_clay_mg_per_kg:.0f}" for run in arms]),
        ("  of it in the water", "mg/kg", [f"{run.sodium_in_water_mg_per_kg:.0f}" for run in arms]),
        ("gypsum left", "g/kg", [f"{run.gypsum_left_g_per_kg:.2f}" for run in arms]),
        (
            "sodium displaced per calcium dissolved",
            "by charge",
            [_figure(run.exchange_efficiency, 2) for run in arms],
        ),
    ]
    figures = table(
        ("", "unit", "treated", "untreated"), [(name, unit, *cells) for name, unit, cells in rows]
    )
    layers = table(
        ("depth, cm", "treated, %", "untreated, %"),
        [
            (f"{depth / 10:.2f}", *(f"{run.final_esp_by_layer_pct[at]:.1f}" for run in arms))
            for at, depth in enumerate(treated.layer_depths)
        ],
    )
    errors = table(
        ("", *ORDER),
        [
            (side, *(f"{run.balance[symbol].closing_error:.0e}" for symbol in ORDER))
            for side, run in zip(("treated", "untreated"), arms, strict=True)
        ],
    )
    defaults = [f"  {name}: {value}" for name, value in treated.scenario.defaults.items()]
    cautions = (wording.CAUTION_RATE, wording.CAUTION_LEACHATE)
    parts = [
        treated.scenario.title,
        soil_line(treated.scenario.soil),
        outcome(treated=treated, untreated=untreated),
        figures,
        "Exchangeable sodium at the end, by depth",
        layers,
        "Leachate at equal water applied: treated | untreated",
        portions(treated, untreated),
        f"{wording.CLARITY_IS_A_BAND} {wording.CLEAR_IS_NOT_RECLAIMED}",
        f"Balance, closing errors (each below {CLOSING_LIMIT:g})",
        errors,
        "\n".join(["Taken by default", *defaults]),
        # What was not given stands among the defaults already.
        *(note for note in treated.scenario.notes if " not given: " not in note),
        wording.MODEL_LEAVES_OUT,
        *cautions,
    ]
    return "\n\n".join(part if "\n" in part else textwrap.fill(part, LINE) for part in parts if part)


def portions(treated: Run, untreated: Run) -> str:
    """Collected portions of both columns side by side, at the same water applied.

    Parameters
    ----------
    treated, untreated : Run
        The same soil and water with gypsum and without.
    """
    with_gypsum, without = treated.leachate, untreated.leachate
    pairs = zip(with_gypsum.portions(), without.portions(), strict=True)
    return table(
        ("applied, pv", "Na, mmol/L", "", "Ca, mmol/L", "", "EC, dS/m", "", "SAR", "", "clarity", ""),
        [
            (
                f"{applied:.2f}",
                *(
                    _figure(side[name], digits) if digits is not None else str(side[name])
                    for name, digits in _PORTION
                    for side in pair
                ),
            )
            for applied, pair in zip(with_gypsum.applied_pore_volumes, pairs, strict=True)
        ],
    )


def table(titles: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Rows under their titles, words to the left and columns of figures to the right.

    Parameters
    ----------
    titles : sequence of str
        One per column.
    rows : sequence of sequence of str
        As printed.
    """
    columns = list(zip(titles, *rows, strict=True))
    widths = [max(map(len, column)) for column in columns]
    right = [any(map(_is_figure, cells)) for _, *cells in columns]
    lines = (
        "  ".join(
            cell.rjust(width) if aligned else cell.ljust(width)
            for cell, width, aligned in zip(line, widths, right, strict=True)
        ).rstrip()
        for line in (titles, *rows)
    )
    return "\n".join(lines)


def _figure(value: float | None, digits: int) -> str:
    if value is None:
        return "–"
    # Next to nothing is not nothing.
    least = 10.0**-digits
    return f"<{least:g}" if 0 < value < least / 2 else f"{value:.{digits}f}"


def _is_figure(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True
