"""Records of the later stages and of a portion: what drains, where the sodium is, how it looks."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from soilx.chemistry.ions import ORDER
from soilx.show.marks import BEFORE, PLACES, TREATED
from soilx.show.tables import MARKERS, Arms, NumberTable, Record
from soilx.units import Kind, express

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from soilx.column.leachate import Leachate
    from soilx.column.run import Run

POINTS: Final = 60
"""Points of a live curve, about: closer than the eye tells, few enough to travel at every move."""

_NARROW: Final = 0.07


@dataclass(frozen=True, slots=True, kw_only=True)
class Property:
    """Something that is read of leachate.

    Attributes
    ----------
    title : str
        Quantity and unit.
    digits : int
        Decimals shown.
    values : callable
        From leachate to one value a portion.
    named : float
        Where along its curve the treated column's name stands, as a share of its points.
    """

    title: str
    digits: int
    values: Callable[[Leachate], NDArray[np.float64]]
    named: float = 0.125

    def text(self, value: float) -> str:
        """A value as printed: nothing is said of what is not there, and next to nothing is not nothing."""
        if not math.isfinite(value):
            return "–"
        least = 10.0**-self.digits
        return f"<{least:g}" if 0 < value < least / 2 else f"{value:.{self.digits}f}"


def _ion(symbol: str) -> Callable[[Leachate], NDArray[np.float64]]:
    return lambda leachate: leachate.concentrations[ORDER.index(symbol)]


PROPERTIES: Final[Mapping[str, Property]] = MappingProxyType(
    {
        "Na": Property(title="Na, mmol/L", digits=1, values=_ion("Na")),
        "Ca": Property(title="Ca, mmol/L", digits=2, values=_ion("Ca")),
        "EC": Property(title="EC, dS/m", digits=2, values=lambda one: one.electrical_conductivity),
        "SAR": Property(
            title="SAR, √(mmol/L)", digits=1, values=lambda one: one.sodium_adsorption_ratio, named=0.8
        ),
    }
)


def curve_records(arms: Arms, of: str) -> list[Record]:
    """A property of the leachate against the water applied, thinned to what the eye tells apart.

    Parameters
    ----------
    arms : mapping of str to Run
        Runs of the same soil by the name of their column.
    of : str
        One of `PROPERTIES`.

    Returns
    -------
    list of dict
        ``arm``, ``x`` [pore volumes], ``y``, ``marked``, ``label`` (on one row of each arm).
    """
    records: list[Record] = []
    for arm, run in arms.items():
        points = _points(run, of)
        every = max(1, len(points) // MARKERS)
        named = int(len(points) * (PROPERTIES[of].named if arm == TREATED else 0.5))
        records.extend(
            {
                "arm": arm,
                "x": x,
                "y": y,
                "marked": at % every == every // 2,
                "label": arm if at == named else "",
            }
            for at, (x, y) in enumerate(points)
        )
    return records


def curve_before(run: Run | None, of: str) -> list[Record]:
    """The same of the treated column before the last change, for a grey line.

    Parameters
    ----------
    run : Run or None
        Of the setting before; None where nothing was.
    of : str
        One of `PROPERTIES`.
    """
    points = _points(run, of) if run else []
    named = 3 * len(points) // 4
    return [{"x": x, "y": y, "label": BEFORE if at == named else ""} for at, (x, y) in enumerate(points)]


def curve_table(arms: Arms, of: str) -> NumberTable:
    """A property of the leachate as a table, a row per portion collected and a column per arm.

    Parameters
    ----------
    arms : mapping of str to Run
        Runs of the same soil by the name of their column.
    of : str
        One of `PROPERTIES`.
    """
    wanted = PROPERTIES[of]
    lines: dict[str, list[str]] = {}
    for run in arms.values():
        values = wanted.values(run.leachate)
        for applied, value in zip(run.leachate.applied_pore_volumes, values, strict=True):
            lines.setdefault(f"{applied:.2f}", []).append(wanted.text(float(value)))
    return NumberTable(
        titles=("Up to, pore volumes of water", *arms),
        rows=tuple((line, *cells) for line, cells in lines.items()),
        caption=f"{wanted.title}, mean of each portion",
    )


def profile_before(run: Run | None) -> list[Record]:
    """Exchangeable sodium by depth of the treated column before the last change.

    Parameters
    ----------
    run : Run or None
        Of the setting before; None where nothing was.
    """
    if run is None:
        return []
    named = run.layers // 2
    return [
        {
            "middle_cm": round(express(float(depth), Kind.DEPTH, "cm"), 3),
            "esp_pct": round(float(esp), 3),
            "label": BEFORE if at == named else "",
        }
        for at, (depth, esp) in enumerate(zip(run.layer_depths, run.final_esp_by_layer_pct, strict=True))
    ]


def place_records(arms: Arms) -> list[Record]:
    """Where the sodium of each column is at the end, laid end to end.

    Parameters
    ----------
    arms : mapping of str to Run
        Runs of the same soil by the name of their column.

    Returns
    -------
    list of dict
        ``arm``, ``place``, ``from_mg_per_kg``, ``to_mg_per_kg``, ``middle_mg_per_kg``, ``number`` (as
        printed), ``wide`` (the number has room).
    """
    records: list[Record] = []
    most = max(sum(_places(run)) for run in arms.values())
    for arm, run in arms.items():
        begin = 0.0
        for place, amount in zip(PLACES, _places(run), strict=True):
            records.append(
                {
                    "arm": arm,
                    "place": place,
                    "from_mg_per_kg": round(begin, 2),
                    "to_mg_per_kg": round(begin + amount, 2),
                    "middle_mg_per_kg": round(begin + amount / 2, 2),
                    "number": f"{amount:.0f}",
                    "wide": amount > _NARROW * most,
                }
            )
            begin += amount
    return records


def place_totals(arms: Arms) -> list[Record]:
    """Each column's bar in words: its name and its three numbers.

    Parameters
    ----------
    arms : mapping of str to Run
        Runs of the same soil by the name of their column.
    """
    return [
        {"arm": arm, "said": "{}: {:.0f} + {:.0f} + {:.0f} mg/kg".format(arm, *_places(run))}
        for arm, run in arms.items()
    ]


def place_table(arms: Arms) -> NumberTable:
    """Where the sodium is as a table, a row per place and a column per arm.

    Parameters
    ----------
    arms : mapping of str to Run
        Runs of the same soil by the name of their column.
    """
    rows = [
        (f"Sodium {place}, mg/kg", *(f"{_places(run)[at]:.0f}" for run in arms.values()))
        for at, place in enumerate(PLACES)
    ]
    added = (
        "Sodium the water brought, mg/kg",
        *(f"{run.sodium_added_mg_per_kg:.0f}" for run in arms.values()),
    )
    start = (
        "Sodium at the start, mg/kg",
        *(f"{run.sodium_initial_mg_per_kg:.0f}" for run in arms.values()),
    )
    return NumberTable(titles=("At the end", *arms), rows=(*rows, start, added))


def clarity_records(arms: Arms) -> list[Record]:
    """How each portion looks, at equal water applied.

    Parameters
    ----------
    arms : mapping of str to Run
        Runs of the same soil by the name of their column.

    Returns
    -------
    list of dict
        ``arm``, ``from_pv``, ``to_pv``, ``middle_pv``, ``clarity``.
    """
    records: list[Record] = []
    for arm, run in arms.items():
        begin = 0.0
        for end, clarity in zip(run.leachate.applied_pore_volumes, run.leachate.clarity, strict=True):
            records.append(
                {
                    "arm": arm,
                    "from_pv": round(begin, 4),
                    "to_pv": round(float(end), 4),
                    "middle_pv": round(0.5 * (begin + float(end)), 4),
                    "clarity": str(clarity),
                }
            )
            begin = float(end)
    return records


def clarity_table(arms: Arms) -> NumberTable:
    """How each portion looks and what it holds, a row per portion and arm.

    Parameters
    ----------
    arms : mapping of str to Run
        Runs of the same soil by the name of their column.
    """
    rows = []
    for at in range(next(iter(arms.values())).leachate.volume.size):
        for arm, run in arms.items():
            end = float(run.leachate.applied_pore_volumes[at])
            rows.append((f"up to {end:.2f}, {arm}", *_cup(run, at)))
    return NumberTable(titles=("Water applied, pore volumes", *_CUP_TITLES), rows=tuple(rows))


def portion_table(arms: Arms) -> NumberTable:
    """The last portion out of each column, a column per arm.

    Parameters
    ----------
    arms : mapping of str to Run
        Runs of the same soil by the name of their column.
    """
    cups = [_cup(run, -1) if run.leachate.volume.size else ("–",) * len(_CUP_TITLES) for run in arms.values()]
    return NumberTable(titles=("Drained from", *arms), rows=tuple(zip(_CUP_TITLES, *cups, strict=True)))


_CUP_TITLES: Final = ("Volume, mL/100 g", *(each.title for each in PROPERTIES.values()), "Looks")


def _cup(run: Run, at: int) -> tuple[str, ...]:
    """Volume, composition and look of one portion, as printed."""
    leachate = run.leachate
    return (
        f"{100 * float(leachate.volume[at]):.1f}",
        *(each.text(float(each.values(leachate)[at])) for each in PROPERTIES.values()),
        str(leachate.clarity[at]),
    )


def _points(run: Run, of: str) -> list[tuple[float, float]]:
    """Water applied and value, of as many steps as a live curve needs; the first and the last one always."""
    leachate = run.step_leachate
    values = PROPERTIES[of].values(leachate)
    every = max(1, math.ceil(values.size / POINTS))
    chosen = [at for at in range(values.size) if at == 0 or (values.size - 1 - at) % every == 0]
    return [
        (round(float(leachate.applied_pore_volumes[at]), 3), round(float(values[at]), 3)) for at in chosen
    ]


def _places(run: Run) -> tuple[float, float, float]:
    """Sodium on the clay, in the water left and in the leachate [mg/kg]."""
    return (
        float(run.sodium_on_clay_mg_per_kg),
        float(run.sodium_in_water_mg_per_kg),
        float(run.sodium_leached_mg_per_kg),
    )
