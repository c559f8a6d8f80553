"""The rows of a bench record's table: one portion each, or what is wrong with it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Final

from soilx.bench.measured import Instrument
from soilx.bench.record import ABOVE_RANGE, BELOW_RANGE, NO_LEACHATE, QUANTITIES, Portion
from soilx.bench.record_cells import Cell, read_cell, read_flags, unknown_flag
from soilx.bench.record_columns import ARMS, COLUMN_FIELDS
from soilx.bench.record_problem import Problem
from soilx.chemistry.conductivity import temperature_factor_to_25
from soilx.column.fields import by_key, close_to

_FIELD: Final = by_key(COLUMN_FIELDS)
_NO_COLUMN: Final = Cell(
    wrong="is empty", limit="every row says arm, portion and volume", remedy="fill it in; the row is kept"
)


@dataclass(slots=True, kw_only=True)
class Rows:
    """What the rows of one record say, while it is read."""

    file: str
    instruments: Mapping[str, Instrument]
    ec_is_at_25: bool
    decimal_commas: bool
    portions: dict[tuple[str, int, int], Portion] = field(default_factory=dict)
    texts: dict[tuple[str, int, int], tuple[str, ...]] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def tell(self, row: int, key: str, text: str, cell: Cell) -> None:
        """Name one problem."""
        self.problems.append(
            Problem(
                file=self.file,
                row=row,
                column=_FIELD[key].column,
                text=text,
                wrong=cell.wrong,
                limit=cell.limit,
                remedy=cell.remedy,
            )
        )

    def number(self, row: int, key: str, texts: Mapping[str, str]) -> Cell | None:
        """One cell of a row as a number; None where it is empty or, once named, cannot be used."""
        text = texts.get(key, "")
        if not text:
            return None
        cell = read_cell(_FIELD[key], text, decimal_commas=self.decimal_commas)
        if cell.wrong:
            self.tell(row, key, text, cell)
            return None
        if cell.note:
            self.notes.append(f"row {row}, {_FIELD[key].column}: {cell.note}")
        return cell

    def count(self, row: int, key: str, texts: Mapping[str, str], *, default: int | None) -> int | None:
        """Number of a replicate or a portion."""
        if not texts.get(key):
            if default is None:
                self.tell(row, key, "", _NO_COLUMN)
            return default
        cell = self.number(row, key, texts)
        if cell is None or cell.value is None:
            return None
        if cell.side or not cell.value.is_integer():
            self.tell(
                row,
                key,
                texts[key],
                Cell(
                    wrong="is not a whole number",
                    limit=f"a {key} is counted from 1",
                    remedy="write its number; the row is kept",
                ),
            )
            return None
        return int(cell.value)


def take_row(rows: Rows, row: int, texts: Mapping[str, str]) -> None:
    """Take one row in as a portion, or name what keeps it out.

    Parameters
    ----------
    rows : Rows
    row : int
        Its number in the file.
    texts : mapping of str to str
        Cells by the key of their column, without blanks around them.
    """
    arm = " ".join(texts.get("arm", "").lower().split())
    if not arm:
        rows.tell(row, "arm", "", _NO_COLUMN)
        return
    replicate = rows.count(row, "replicate", texts, default=1)
    number = rows.count(row, "portion", texts, default=None)
    flags, unknown = read_flags(texts.get("flags", ""))
    for flag in unknown:
        rows.tell(row, "flags", flag, unknown_flag(flag))
    volume = _volume(rows, row, texts, flags)
    if replicate is None or number is None or volume is None:
        return
    which = (arm, replicate, number)
    same = tuple(f"{key}={text}" for key, text in texts.items())
    if which in rows.portions:
        alike = rows.texts[which] == same
        rows.tell(
            row,
            "portion",
            texts["portion"],
            Cell(
                wrong="stands twice" if alike else "stands twice, and the two differ",
                limit=f"row {rows.portions[which].row} is portion {number} of arm {arm}, replicate "
                f"{replicate}, already and is the one used",
                remedy="renumber or delete one of the two rows",
            ),
        )
        return
    portion = Portion(number=number, volume_ml=volume, flags=flags, row=row)
    rows.portions[which] = _with_readings(rows, row, texts, portion)
    rows.texts[which] = same


def _volume(rows: Rows, row: int, texts: Mapping[str, str], flags: Sequence[str]) -> float | None:
    """Leachate caught [mL], by volume or by mass."""
    key = "volume" if texts.get("volume") or not texts.get("mass") else "mass"
    if not texts.get(key):
        if NO_LEACHATE in flags:
            return 0.0
        rows.tell(row, "volume", "", _NO_COLUMN)
        return None
    cell = rows.number(row, key, texts)
    if cell is None or cell.value is None:
        return None
    if cell.side:
        limit = "every sum over the portions needs the volume itself"
        remedy = "weigh the cup and write its content"
        rows.tell(row, key, texts[key], Cell(wrong="is a limit, not a volume", limit=limit, remedy=remedy))
        return None
    if NO_LEACHATE in flags and cell.value > 0:
        limit = f"{texts[key]} was caught"
        wrong = "stands beside a volume"
        rows.tell(row, "flags", NO_LEACHATE, Cell(wrong=wrong, limit=limit, remedy="delete one of the two"))
    return cell.value


def _with_readings(rows: Rows, row: int, texts: Mapping[str, str], portion: Portion) -> Portion:
    readings: dict[str, float | None] = {}
    flags = list(portion.flags)
    for quantity in QUANTITIES:
        cell = rows.number(row, quantity, texts)
        value = None if cell is None else cell.value
        if cell is not None and cell.side:
            flags.append(f"{quantity} {cell.side}")
        instrument = rows.instruments[quantity]
        if value is not None and instrument.highest is not None and value > instrument.highest:
            flags.append(f"{quantity} {ABOVE_RANGE}")
            value = instrument.highest
        if value is not None and instrument.lowest is not None and value < instrument.lowest:
            flags.append(f"{quantity} {BELOW_RANGE}")
            value = instrument.lowest
        readings[quantity] = value
    if readings["ec"] is not None:
        readings["ec"] = _at_25(rows, row, texts, readings["ec"])
    hours, added = (rows.number(row, key, texts) for key in ("hours", "added"))
    return replace(
        portion,
        hours=None if hours is None else hours.value,
        added_ml=None if added is None else added.value,
        electrical_conductivity=readings["ec"],
        sodium_mg_per_l=readings["sodium"],
        calcium_mg_per_l=readings["calcium"],
        sulfate_mg_per_l=readings["sulfate"],
        turbidity_ntu=readings["turbidity"],
        flags=tuple(dict.fromkeys(flags)),
    )


def _at_25(rows: Rows, row: int, texts: Mapping[str, str], reading: float) -> float | None:
    """A conductivity at 25 °C [dS/m], where it can be told."""
    if rows.ec_is_at_25:
        return reading
    temperature = rows.number(row, "temperature", texts)
    if temperature is None or temperature.value is None:
        if not texts.get("temperature"):
            rows.tell(
                row,
                "ec",
                texts["ec"],
                Cell(
                    wrong="has no temperature",
                    limit="conductivities are compared at 25 °C and change by some 2 % a degree",
                    remedy='fill in ec_temperature_c, or write the line "# ec_at_25,yes" if the pen does it',
                ),
            )
        return None
    return reading * float(temperature_factor_to_25(temperature.value))


def in_order(rows: Rows) -> dict[str, dict[int, tuple[Portion, ...]]]:
    """Portions by arm and replicate in the order of their numbers; contradicting times are taken out."""
    arms: dict[str, dict[int, list[Portion]]] = {}
    for (arm, replicate, _), portion in rows.portions.items():
        arms.setdefault(arm, {}).setdefault(replicate, []).append(portion)
    ordered: dict[str, dict[int, tuple[Portion, ...]]] = {}
    for arm, replicates in arms.items():
        if arm not in ARMS:
            near = close_to(arm, ARMS)
            rows.notes.append(f"arm {arm} is not one that a plan has{near}; it is read as it is")
        ordered[arm] = {}
        for replicate, portions in sorted(replicates.items()):
            numbers = [portion.number for portion in portions]
            if numbers != sorted(numbers):
                late = next(b for a, b in pairwise(portions) if b.number < a.number)
                rows.notes.append(
                    f"{rows.file}, row {late.row}: portion {late.number} of arm {arm}, replicate {replicate} "
                    "stands out of order; it is read by its number; sort the rows if the number is right."
                )
            ordered[arm][replicate] = _timed(rows, sorted(portions, key=lambda portion: portion.number))
    return ordered


def _timed(rows: Rows, portions: list[Portion]) -> tuple[Portion, ...]:
    latest, kept = 0.0, []
    for portion in portions:
        if portion.hours is not None and portion.hours < latest:
            rows.tell(
                portion.row or 0,
                "hours",
                f"{portion.hours:g}",
                Cell(
                    wrong="is earlier than a portion before it",
                    limit=f"portion {portion.number} comes after one at {latest:g} h",
                    remedy="check both times and the portions' numbers",
                ),
            )
            kept.append(replace(portion, hours=None))
            continue
        latest = latest if portion.hours is None else portion.hours
        kept.append(portion)
    return tuple(kept)
