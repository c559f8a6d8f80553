"""Bench curves as tidy records: what the model expects of each column, and what was read of it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from soilx.bench.uncertain import COVERAGE
from soilx.chemistry.ions import IONS, ORDER
from soilx.show.bench_marks import ARM_LOOKS, OTHER_LOOK, marker_of
from soilx.show.tables import Record as Row

if TYPE_CHECKING:
    from collections.abc import Callable

    import numpy as np
    from numpy.typing import NDArray

    from soilx.bench.plan import Plan
    from soilx.bench.record import Portion, Record
    from soilx.column.leachate import Leachate
    from soilx.column.run import Run

POINTS: Final = 70


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """Something that is predicted and read of leachate.

    Attributes
    ----------
    quantity : str
        As a record calls it.
    heading, title, unit : str
        Of the chart, of its upright axis, and of the number.
    ion : str
        Its symbol; empty where it is no ion.
    digits : int
        Decimals shown.
    predicted : callable
        From leachate to one value a portion [unit].
    """

    quantity: str
    heading: str
    title: str
    unit: str
    ion: str
    digits: int
    predicted: Callable[[Leachate], NDArray[np.float64]]

    def read(self, portion: Portion) -> float | None:
        """What was read of a portion [unit]."""
        return portion.reading(self.quantity)

    def text(self, value: float) -> str:
        """A value as printed, with its unit."""
        return f"{value:.{self.digits}f} {self.unit}"


def _mass(symbol: str) -> Callable[[Leachate], NDArray[np.float64]]:
    return lambda leachate: leachate.concentrations[ORDER.index(symbol)] * IONS[symbol].molar_mass


STRENGTHS: Final[Mapping[str, Strength]] = MappingProxyType(
    {
        "sodium": Strength(
            quantity="sodium",
            heading="Sodium in the leachate",
            title="Sodium, mg/L",
            unit="mg/L",
            ion="Na",
            digits=0,
            predicted=_mass("Na"),
        ),
        "ec": Strength(
            quantity="ec",
            heading="Salt in the leachate (EC at 25 °C)",
            title="EC, dS/m",
            unit="dS/m",
            ion="",
            digits=2,
            predicted=lambda leachate: leachate.electrical_conductivity,
        ),
        "calcium": Strength(
            quantity="calcium",
            heading="Calcium in the leachate",
            title="Calcium, mg/L",
            unit="mg/L",
            ion="Ca",
            digits=0,
            predicted=_mass("Ca"),
        ),
    }
)


def curve_of(
    run: Run,
    of: Strength,
    *,
    arm: str,
    soil_mass: float,
    named: float,
    name: str = "",
    factor: float = 1.0,
) -> list[Row]:
    """One column's curve by the model: strength against leachate caught.

    Parameters
    ----------
    run : Run
    of : Strength
    arm : str
    soil_mass : float
        Oven-dry soil in the column [kg].
    named : float
        Where along the curve its name stands, as a share of its points; beyond 1 for nowhere.
    name : str
        Of the column; the arm's unless given.
    factor : float
        By which an instrument shows it too high.

    Returns
    -------
    list of dict
        ``arm``, ``name``, ``x`` [mL], ``y`` [unit], ``label``.
    """
    leachate = run.step_leachate
    values = of.predicted(leachate)
    flowing = [at for at in range(values.size) if math.isfinite(values[at])]
    every = max(1, math.ceil(len(flowing) / POINTS))
    chosen = flowing[::every]
    name_at = int(named * len(chosen))
    return [
        {
            "arm": arm,
            "name": name or arm,
            "x": round(1000 * soil_mass * float(leachate.cumulative_volume[at] - leachate.volume[at] / 2), 3),
            "y": round(factor * float(values[at]), 4),
            "label": arm if place == name_at else "",
        }
        for place, at in enumerate(chosen)
    ]


#: Where each arm's name stands along its curve, so that they do not cover each other.
NAMED: Final[Mapping[str, float]] = MappingProxyType(
    {
        "gypsum": 0.05,
        "control": 0.97,
        "sodium chloride": 0.7,
        "calcium chloride": 0.12,
        "irrigation water": 0.85,
        "gypsum, irrigation water": 0.45,
    }
)


def predicted_records(plan: Plan, of: Strength) -> list[Row]:
    """Curves of every arm of a plan with soil, as the model expects them.

    Parameters
    ----------
    plan : Plan
    of : Strength
    """
    records: list[Row] = []
    for arm in plan.arms:
        if arm.scenario is not None:
            records += curve_of(
                plan.runs[arm.name],
                of,
                arm=arm.name,
                soil_mass=plan.scale.soil_mass,
                named=NAMED[arm.name],
            )
    return records


def measured_records(record: Record, of: Strength) -> list[Row]:
    """Readings of every column against the leachate caught up to the middle of their portion.

    Parameters
    ----------
    record : Record
    of : Strength

    Returns
    -------
    list of dict
        ``arm``, ``name`` (with the replicate), ``portion``, ``x`` [mL], ``y``, ``low``, ``high`` (95 %, by
        the instrument's errors) [unit], ``filled``, ``shape``, ``limit`` ("", "at least" or "at most").
    """
    instrument = record.instruments.get(of.quantity)
    error = COVERAGE * instrument.error if instrument else 0.0
    records: list[Row] = []
    for arm, replicates in record.arms.items():
        for number, portions in replicates.replicates.items():
            caught = 0.0
            for portion in portions:
                middle = caught + portion.volume_ml / 2
                caught += portion.volume_ml
                value = of.read(portion)
                if value is None:
                    continue
                records.append(
                    {
                        "arm": arm,
                        "name": f"{arm} {number}",
                        "portion": portion.number,
                        "x": round(middle, 3),
                        "y": value,
                        "low": max(0.0, value * (1 - error)),
                        "high": value * (1 + error),
                        **marker_of(arm),
                        "limit": _limit(portion, of.quantity),
                    }
                )
    return records


def reading_text(row: Mapping[str, object], of: Strength) -> str:
    """A reading as printed: with its sign where it is only a limit."""
    sign = {"at least": "≥ ", "at most": "≤ "}.get(str(row["limit"]), "")
    return f"{sign}{float(str(row['y'])):.{of.digits}f}"


def looks_in_words(rows: Sequence[Row]) -> str:
    """Which marker is which arm, for those that are drawn."""
    names = {
        "circle": "circle",
        "diamond": "diamond",
        "square": "square",
        "triangle-up": "triangle",
        "cross": "cross",
    }
    arms = dict.fromkeys(str(row["arm"]) for row in rows)
    said = []
    for arm in arms:
        _, shape, filled = ARM_LOOKS.get(arm, OTHER_LOOK)
        said.append(f"{'filled' if filled else 'open'} {names[shape]} {arm}")
    return ", ".join(said)


def _limit(portion: Portion, quantity: str) -> str:
    if portion.is_below_range(quantity):
        return "at most"
    return "at least" if portion.is_above_range(quantity) else ""


def highest(*records: Iterable[Row]) -> tuple[float, float]:
    """Largest x and y of records that are drawn together."""
    every = [row for rows in records for row in rows]
    # A guessed level goes all across and has no place of its own there.
    across = max((float(row.get("x", 0.0)) for row in every), default=0.0)
    up = max((float(row.get("high", row["y"])) for row in every), default=0.0)
    return across, up
