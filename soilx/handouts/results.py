"""What became of a pair of columns, as tables: the figures that `soilx leach` prints, to the same digits."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

from soilx.chemistry.ions import IONS
from soilx.show.tables import Arms, NumberTable

if TYPE_CHECKING:
    from soilx.column.run import Run

NOTHING: Final = "–"
"""Where there is no figure: nothing ran out, or there was no gypsum to be efficient."""

_PORTION: Final = (
    ("volume_l_per_kg", "Leachate, L/kg", 3),
    ("na_mmol_per_l", "Na, mmol/L", 2),
    ("ca_mmol_per_l", "Ca, mmol/L", 2),
    ("ec_ds_per_m", "EC, dS/m", 2),
    ("sar", "SAR, √(mmol/L)", 1),
)


def pair_table(arms: Arms) -> NumberTable:
    """Sodium, gypsum and exchangeable sodium of both columns, a row per quantity.

    Parameters
    ----------
    arms : mapping of str to Run
        The treated and the untreated column by name.
    """
    quantities: tuple[tuple[str, Callable[[Run], float | None], int], ...] = (
        ("Exchangeable sodium, start, % of CEC", lambda run: run.initial_esp_pct, 1),
        ("Exchangeable sodium, end, % of CEC", lambda run: run.final_esp_pct, 1),
        ("Sodium, start, mg/kg", lambda run: run.sodium_initial_mg_per_kg, 0),
        ("Sodium, brought by the water, mg/kg", lambda run: run.sodium_added_mg_per_kg, 0),
        ("Sodium, leached, mg/kg", lambda run: run.sodium_leached_mg_per_kg, 0),
        ("Sodium, left, mg/kg", lambda run: run.sodium_left_mg_per_kg, 0),
        ("of it on the clay, mg/kg", lambda run: run.sodium_on_clay_mg_per_kg, 0),
        ("of it in the water, mg/kg", lambda run: run.sodium_in_water_mg_per_kg, 0),
        ("Gypsum left, g/kg", lambda run: run.gypsum_left_g_per_kg, 2),
        ("Sodium displaced per calcium dissolved, by charge", lambda run: run.exchange_efficiency, 2),
    )
    return NumberTable(
        titles=("Figure", *arms),
        rows=tuple(
            (name, *(_figure(of(run), digits) for run in arms.values())) for name, of, digits in quantities
        ),
    )


def portion_table(arms: Arms) -> NumberTable:
    """Each caught portion of leachate and how it looks, both columns at the same water applied.

    Parameters
    ----------
    arms : mapping of str to Run
        The treated and the untreated column by name.
    """
    sides: dict[str, list[dict[str, Any]]] = {arm: run.leachate.portions() for arm, run in arms.items()}
    applied = next(iter(arms.values())).leachate.applied_pore_volumes
    return NumberTable(
        titles=("Water applied, pore volumes", "Column", *(title for _, title, _ in _PORTION), "Water runs"),
        rows=tuple(
            (
                f"{water:.2f}",
                arm,
                *(_figure(portions[at][key], digits) for key, _, digits in _PORTION),
                str(portions[at]["clarity"]),
            )
            for at, water in enumerate(applied)
            for arm, portions in sides.items()
        ),
    )


def balance_table(run: Run) -> NumberTable:
    """Where every element of a column was, went and stayed, with what is left unaccounted for.

    Parameters
    ----------
    run : Run
        One column.
    """
    return NumberTable(
        titles=(
            "Element",
            "Start, mmol/kg",
            "With the water, mmol/kg",
            "Leached, mmol/kg",
            "Left, mmol/kg",
            "Closing error, of the inventory or charge",
        ),
        rows=tuple(
            (
                ion.name,
                f"{account.start:.3f}",
                f"{account.added:.3f}",
                f"{account.leached:.3f}",
                f"{account.left:.3f}",
                f"{account.closing_error:.0e}" if account.closing_error else "0",
            )
            for symbol, ion in IONS.items()
            for account in (run.balance[symbol],)
        ),
    )


def _figure(value: float | None, digits: int) -> str:
    if value is None:
        return NOTHING
    # Next to nothing is not nothing.
    least = 10.0**-digits
    return f"<{least:g}" if 0 < value < least / 2 else f"{value:.{digits}f}"
