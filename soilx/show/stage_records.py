"""What the later stages of the lecture show, as tidy records: leachate, places of sodium, clear or cloudy."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from soilx.chemistry.ions import ORDER
from soilx.column.leachate import NO_LEACHATE
from soilx.show.marks import TREATED
from soilx.show.tables import MARKERS, Arms, NumberTable, Record

if TYPE_CHECKING:
    from soilx.column.leachate import Leachate
    from soilx.column.run import Run

ON_CLAY: Final = "on the clay"
IN_WATER: Final = "in the water left"
LEACHED: Final = "in the leachate"
PLACES: Final = (ON_CLAY, IN_WATER, LEACHED)

#: A part narrower than this share of the bar carries no number of its own; the caption and the table do.
_WIDE_ENOUGH: Final = 0.12


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """One thing that is followed in the leachate.

    Attributes
    ----------
    title : str
        Axis title, "Quantity, unit".
    short : str
        As in a table's title.
    digits : int
        Decimals in a table.
    """

    title: str
    short: str
    digits: int


QUANTITIES: Final[Mapping[str, Quantity]] = MappingProxyType(
    {
        "Na": Quantity(title="Sodium in the leachate, mmol/L", short="Na, mmol/L", digits=2),
        "Ca": Quantity(title="Calcium in the leachate, mmol/L", short="Ca, mmol/L", digits=2),
        "EC": Quantity(title="Conductivity at 25 °C, dS/m", short="EC, dS/m", digits=2),
        "SAR": Quantity(title="SAR of the leachate, √(mmol/L)", short="SAR", digits=1),
    }
)


def leachate_values(leachate: Leachate, quantity: str) -> list[float]:
    """One of `QUANTITIES` of a leachate, by step or portion, in its own unit."""
    if quantity == "EC":
        values = leachate.electrical_conductivity
    elif quantity == "SAR":
        values = leachate.sodium_adsorption_ratio
    else:
        values = leachate.concentrations[ORDER.index(quantity)]
    return [float(value) for value in values]


def quantity_records(arms: Arms, quantity: str) -> list[Record]:
    """One quantity of the leachate against the water applied, one row per arm and step that drained.

    Parameters
    ----------
    arms : mapping of str to Run
        Runs of the same soil by the name of their column.
    quantity : str
        Key of `QUANTITIES`.

    Returns
    -------
    list of dict
        ``arm``, ``applied_pore_volumes``, ``value``, ``marked``, ``label`` (on one row).
    """
    records: list[Record] = []
    for arm, run in arms.items():
        applied, values = _drained_steps(run, quantity)
        every = max(1, len(values) // MARKERS)
        named = len(values) // (8 if arm == TREATED else 2)
        records.extend(
            {
                "arm": arm,
                "applied_pore_volumes": round(water, 4),
                "value": round(value, 5),
                "marked": at % every == every // 2,
                "label": arm if at == named else "",
            }
            for at, (water, value) in enumerate(zip(applied, values, strict=True))
        )
    return records


def _drained_steps(run: Run, quantity: str) -> tuple[list[float], list[float]]:
    """Water applied [pore volumes] and one quantity, at every step that drained."""
    if quantity not in ORDER:
        leachate = run.step_leachate
        return leachate.applied_pore_volumes.tolist(), leachate_values(leachate, quantity)
    # The bare steps: conductivity and clarity of each of them would cost more than all else drawn here.
    steps = run.trace
    wet = steps.out_volume > 0
    applied = steps.applied[1:][wet] / run.scenario.soil.drained_water
    return applied.tolist(), steps.outflow[wet, ORDER.index(quantity)].tolist()


def quantity_table(arms: Arms, quantity: str) -> NumberTable:
    """One quantity of the leachate as a table, portion by portion as they are collected."""
    digits = QUANTITIES[quantity].digits
    rows: dict[str, list[str]] = {}
    for run in arms.values():
        leachate = run.leachate
        for applied, volume, value in zip(
            leachate.applied_pore_volumes, leachate.volume, leachate_values(leachate, quantity), strict=True
        ):
            rows.setdefault(f"{applied:.2f}", []).append(f"{value:.{digits}f}" if volume > 0 else "–")
    return NumberTable(
        titles=("Water applied, pore volumes", *arms),
        rows=tuple((line, *cells) for line, cells in rows.items()),
        caption=f"{QUANTITIES[quantity].title}, mean of each portion",
    )


def place_amounts(run: Run) -> dict[str, float]:
    """Sodium on the clay, in the water left and in the leachate at the end of a run [mg/kg]."""
    return {
        ON_CLAY: run.sodium_on_clay_mg_per_kg,
        IN_WATER: run.sodium_in_water_mg_per_kg,
        LEACHED: run.sodium_leached_mg_per_kg,
    }


def place_records(arms: Arms) -> list[Record]:
    """Where each column's sodium is, as parts of a bar, one row per arm and place.

    Parameters
    ----------
    arms : mapping of str to Run
        Runs of the same soil by the name of their column.

    Returns
    -------
    list of dict
        ``arm``, ``place``, ``from_mg_per_kg``, ``to_mg_per_kg``, ``middle_mg_per_kg``, ``number`` and
        ``name`` (empty where the part is too narrow for it).
    """
    records: list[Record] = []
    for arm, run in arms.items():
        amounts = place_amounts(run)
        whole = sum(amounts.values())
        begin = 0.0
        for place, amount in amounts.items():
            wide = amount > _WIDE_ENOUGH * whole
            records.append(
                {
                    "arm": arm,
                    "place": place,
                    "from_mg_per_kg": round(begin, 3),
                    "to_mg_per_kg": round(begin + amount, 3),
                    "middle_mg_per_kg": round(begin + 0.5 * amount, 3),
                    "number": f"{amount:.0f}" if wide else "",
                    "name": place if wide else "",
                }
            )
            begin += amount
    return records


def place_table(arms: Arms) -> NumberTable:
    """Where each column's sodium is, as a table."""
    amounts = {arm: place_amounts(run) for arm, run in arms.items()}
    return NumberTable(
        titles=("Sodium, mg/kg of soil", *arms),
        rows=tuple((place, *(f"{amounts[arm][place]:.0f}" for arm in arms)) for place in PLACES),
    )


def clarity_records(arms: Arms) -> list[Record]:
    """Whether each portion of leachate runs clear or cloudy, one row per arm and portion.

    Parameters
    ----------
    arms : mapping of str to Run
        Runs of the same soil by the name of their column.

    Returns
    -------
    list of dict
        ``arm``, ``clarity``, ``from_pore_volumes``, ``to_pore_volumes``, ``middle_pore_volumes`` (of water
        applied).
    """
    records: list[Record] = []
    for arm, run in arms.items():
        begin = 0.0
        for end, clarity in zip(run.leachate.applied_pore_volumes, run.leachate.clarity, strict=True):
            records.append(
                {
                    "arm": arm,
                    "clarity": str(clarity),
                    "from_pore_volumes": round(begin, 4),
                    "to_pore_volumes": round(float(end), 4),
                    "middle_pore_volumes": round(0.5 * (begin + float(end)), 4),
                }
            )
            begin = float(end)
    return records


def portion_table(arms: Arms) -> NumberTable:
    """Every portion of every column: what was caught, what is in it, and how it looks."""
    rows: list[tuple[str, ...]] = []
    for arm, run in arms.items():
        leachate = run.leachate
        drained = run.scenario.soil.drained_water
        columns = [leachate_values(leachate, quantity) for quantity in QUANTITIES]
        for at, volume in enumerate(leachate.volume):
            numbers = [
                f"{values[at]:.{each.digits}f}" if volume > 0 else "–"
                for values, each in zip(columns, QUANTITIES.values(), strict=True)
            ]
            clarity = str(leachate.clarity[at])
            rows.append((f"{at + 1}, {arm}", f"{volume / drained:.2f}", *numbers, clarity))
    order = sorted(range(len(rows)), key=lambda at: int(rows[at][0].split(",")[0]))
    return NumberTable(
        titles=(
            "Portion",
            "Caught, pore volumes",
            *(each.short for each in QUANTITIES.values()),
            "Looks",
        ),
        rows=tuple(rows[at] for at in order),
    )


def clarity_words(run: Run) -> str:
    """Portions by how they look, in order: "1 clear, 2 may cloud, 3 and 4 cloudy"."""
    groups: list[tuple[str, list[str]]] = []
    for number, clarity in enumerate(run.leachate.clarity, start=1):
        state = "not dripping yet" if clarity == NO_LEACHATE else str(clarity)
        if groups and groups[-1][0] == state:
            groups[-1][1].append(str(number))
        else:
            groups.append((state, [str(number)]))
    parts = [
        f"{numbers[0]} {state}" if len(numbers) == 1 else f"{numbers[0]} to {numbers[-1]} {state}"
        for state, numbers in groups
    ]
    return ", ".join(parts) if parts else "none yet"
