"""Runs as tidy records: one row per layer, step or column, ready for a chart, a table or a program.

Nothing is computed here but the change of unit at the door and the choice of rows.
An *arm* is one column of the demonstration, by the name the audience reads ("with gypsum").
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, TypeAlias

from soilx.show.marks import START, TREATED, UNTREATED
from soilx.units import Kind, express

if TYPE_CHECKING:
    from soilx.column.run import Run

Record: TypeAlias = dict[str, str | float | bool]
Arms: TypeAlias = "Mapping[str, Run]"

# A curve of a hundred steps carries about this many markers: enough to tell it from its neighbour.
MARKERS: Final = 8

_CM_PER_MM: Final = express(1.0, Kind.DEPTH, "cm")
_LADDER: Final = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberTable:
    """A table as it is read: texts, with quantity and unit in each title.

    Attributes
    ----------
    titles : tuple of str
        One per column; the first column names the row.
    rows : tuple of tuple of str
        As printed.
    caption : str
        What all the numbers are, where the titles leave it out.
    """

    titles: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    caption: str = ""


def arms_of(*, treated: Run, untreated: Run) -> dict[str, Run]:
    """A pair of runs by the names the audience reads.

    Parameters
    ----------
    treated, untreated : Run
        The same soil and water with gypsum and without.
    """
    return {TREATED: treated, UNTREATED: untreated}


def layer_records(arms: Arms) -> list[Record]:
    """Exchangeable sodium of every layer at the end of each run, one row per arm and layer.

    Parameters
    ----------
    arms : mapping of str to Run
        Runs of the same soil by the name of their column.

    Returns
    -------
    list of dict
        ``arm``, ``top_cm``, ``middle_cm``, ``bottom_cm``, ``esp_pct``, ``marked`` (always), ``label`` (on
        one row).
    """
    records: list[Record] = []
    for arm, run in arms.items():
        half = 0.5 * run.scenario.soil.depth / run.layers
        # The names stand at different depths, so that they never cover each other where the lines meet.
        named = run.layers // 6 if arm == TREATED else 3 * run.layers // 4
        for at, (middle, esp) in enumerate(zip(run.layer_depths, run.final_esp_by_layer_pct, strict=True)):
            records.append(
                {
                    "arm": arm,
                    "top_cm": _cm(middle - half),
                    "middle_cm": _cm(middle),
                    "bottom_cm": _cm(middle + half),
                    "esp_pct": round(float(esp), 3),
                    "marked": True,
                    "label": arm if at == named else "",
                }
            )
    return records


def start_records(arms: Arms) -> list[Record]:
    """Exchangeable sodium before any water, as a line from the top of the column to its bottom.

    Parameters
    ----------
    arms : mapping of str to Run
        Runs of the same soil; the first one is read.

    Returns
    -------
    list of dict
        ``label`` ("start", on the first row), ``middle_cm``, ``esp_pct``.
    """
    run = next(iter(arms.values()))
    esp = round(float(run.initial_esp_pct), 3)
    bottom = _cm(run.scenario.soil.depth)
    return [
        {"label": START, "middle_cm": 0.0, "esp_pct": esp},
        {"label": "", "middle_cm": bottom, "esp_pct": esp},
    ]


def column_records(arms: Arms) -> list[Record]:
    """What each column came to, one row per arm.

    Parameters
    ----------
    arms : mapping of str to Run
        Runs of the same soil by the name of their column.

    Returns
    -------
    list of dict
        ``arm``, ``outcome`` (in words), ``final_esp_pct`` (average over the depth),
        ``sodium_leached_mg_per_kg``, ``sodium_left_mg_per_kg``, ``gypsum_left_g_per_kg``.
    """
    return [
        {
            "arm": arm,
            "outcome": f"average {run.final_esp_pct:.1f} %",
            "final_esp_pct": float(run.final_esp_pct),
            "sodium_leached_mg_per_kg": float(run.sodium_leached_mg_per_kg),
            "sodium_left_mg_per_kg": float(run.sodium_left_mg_per_kg),
            "gypsum_left_g_per_kg": float(run.gypsum_left_g_per_kg),
        }
        for arm, run in arms.items()
    ]


def column_table(arms: Arms) -> NumberTable:
    """What each column came to as a table, a row per quantity and a column per arm.

    Parameters
    ----------
    arms : mapping of str to Run
        Runs of the same soil by the name of their column.
    """
    records = column_records(arms)
    quantities = (
        ("Exchangeable sodium, average, %", "final_esp_pct", 2),
        ("Sodium washed out, mg/kg", "sodium_leached_mg_per_kg", 0),
        ("Sodium left, mg/kg", "sodium_left_mg_per_kg", 0),
        ("Gypsum left, g/kg", "gypsum_left_g_per_kg", 2),
    )
    return NumberTable(
        titles=("At the end", *arms),
        rows=tuple(
            (title, *(f"{record[key]:.{digits}f}" for record in records)) for title, key, digits in quantities
        ),
    )


def layer_table(arms: Arms) -> NumberTable:
    """Exchangeable sodium by layer as a table, a row per layer and a column per arm.

    Parameters
    ----------
    arms : mapping of str to Run
        Runs of the same soil by the name of their column.
    """
    return _side_by_side(
        layer_records(arms),
        row=lambda record: f"{record['top_cm']:.2f} to {record['bottom_cm']:.2f}",
        row_title="Depth, cm",
        value="esp_pct",
        caption="Exchangeable sodium, %",
        arms=arms,
    )


def axis_top(largest: float) -> float:
    """The next round number above a value: an axis that stays put while a slider moves a little.

    Parameters
    ----------
    largest : float
        The largest value to be drawn.
    """
    if largest <= 0:
        return 1.0
    decade = 1.0
    while decade * 10 <= largest:
        decade *= 10
    while decade > largest:
        decade /= 10
    return next((step * decade for step in _LADDER if step * decade >= largest), 10 * decade)


def _side_by_side(
    records: Iterable[Record],
    *,
    row: Callable[[Record], str],
    row_title: str,
    value: str,
    caption: str,
    arms: Iterable[str],
) -> NumberTable:
    """Records of several arms, one line for what they share."""
    lines: dict[str, dict[str, str]] = {}
    for record in records:
        lines.setdefault(row(record), {})[str(record["arm"])] = f"{record[value]:.2f}"
    names = tuple(arms)
    return NumberTable(
        titles=(row_title, *names),
        rows=tuple((line, *(cells.get(arm, "") for arm in names)) for line, cells in lines.items()),
        caption=caption,
    )


def _cm(depth: float) -> float:
    """A depth [mm] in centimetres, as growers read it."""
    return round(float(depth) * _CM_PER_MM, 3)
