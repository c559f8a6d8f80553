"""The figures that a page stands or falls by, and which of them have changed since the page was made."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from soilx.show.marks import TREATED, UNTREATED

if TYPE_CHECKING:
    from soilx.column.run import Run
    from soilx.handouts.record_in_page import Number

#: Figures closer than this part of themselves are the same: what an array of another length leaves open.
SAME: Final = 1e-8

_OF_A_RUN: Final = (
    ("initial_esp_pct", "exchangeable sodium at the start, %"),
    ("final_esp_pct", "exchangeable sodium at the end, %"),
    ("sodium_initial_mg_per_kg", "sodium at the start, mg/kg"),
    ("sodium_leached_mg_per_kg", "sodium leached, mg/kg"),
    ("sodium_left_mg_per_kg", "sodium left, mg/kg"),
    ("gypsum_left_g_per_kg", "gypsum left, g/kg"),
    ("exchange_efficiency", "sodium displaced per calcium dissolved"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One figure that is not what it was.

    Attributes
    ----------
    name : str
        With its unit.
    before, now : float, str or None
        None where there was or is none.
    """

    name: str
    before: Number
    now: Number

    def __str__(self) -> str:
        told = f"{self.name}: {_written(self.before)} before, {_written(self.now)} now"
        if isinstance(self.before, float | int) and isinstance(self.now, float | int) and self.before:
            told += f" ({100 * (self.now - self.before) / abs(self.before):+.2g} %)"
        return told


def numbers_of_pair(treated: Run, untreated: Run) -> dict[str, Number]:
    """Key figures of a pair of columns, and of the last water of each.

    Parameters
    ----------
    treated, untreated : Run
        The same soil and water with gypsum and without.
    """
    found: dict[str, Number] = {}
    for arm, run in ((TREATED, treated), (UNTREATED, untreated)):
        found |= {f"{arm}: {name}": getattr(run, key) for key, name in _OF_A_RUN}
        portions = [one for one in run.leachate.portions() if one["ec_ds_per_m"] is not None]
        if portions:
            found[f"{arm}: sodium of the last portion, mmol/L"] = portions[-1]["na_mmol_per_l"]
            found[f"{arm}: EC of the last portion, dS/m"] = portions[-1]["ec_ds_per_m"]
            found[f"{arm}: the last portion runs"] = portions[-1]["clarity"]
    return found


def changes(before: Mapping[str, Number], now: Mapping[str, Number]) -> tuple[Change, ...]:
    """What is not as it was: changed, new, or gone.

    Parameters
    ----------
    before, now : mapping of str to float, str or None
        Figures by name.
    """
    return tuple(_changes(before, now))


def _changes(before: Mapping[str, Number], now: Mapping[str, Number]) -> Iterator[Change]:
    for name in dict.fromkeys((*before, *now)):
        was, is_ = before.get(name), now.get(name)
        if isinstance(was, float | int) and isinstance(is_, float | int):
            if abs(is_ - was) > SAME * max(abs(was), abs(is_), SAME):
                yield Change(name=name, before=was, now=is_)
        elif was != is_:
            yield Change(name=name, before=was, now=is_)


def _written(value: Number) -> str:
    if value is None:
        return "none"
    return value if isinstance(value, str) else f"{value:.6g}"
