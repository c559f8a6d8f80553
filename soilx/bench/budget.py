"""Sodium of a bench run in and out: does it close, did it come off the clay? "Cannot tell" is a verdict."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from soilx.bench.budget_amounts import Amounts, amounts_of, uncertain
from soilx.bench.record import Record
from soilx.bench.uncertain import Uncertain, total


class Closing(StrEnum):
    """Whether what came out is what was there."""

    CLOSES = "closes"
    OPEN = "does not close"
    CANNOT_TELL = "cannot tell"


class Displaced(StrEnum):
    """Whether sodium came off the clay."""

    YES = "came off the clay"
    NOTHING = "nothing measurable came off the clay"
    CANNOT_TELL = "cannot tell"


BANDS: Final[Mapping[str, tuple[float, float]]] = {"laboratory": (0.95, 1.05), "kits": (0.85, 1.15)}
"""Out over in within which a budget closes, by what sodium was read with; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnBudget:
    """One element's budget of one column, per kilogram of oven-dry soil.

    Attributes
    ----------
    amounts : Amounts
        Each part with its error [mmol/kg].
    band : tuple of float
        Out over in within which it closes.
    capacity : Uncertain or None
        Exchange capacity before the run [mmol_c/kg].
    """

    amounts: Amounts
    band: tuple[float, float]
    capacity: Uncertain | None = None

    @property
    def into(self) -> Uncertain | None:
        """All that was there: on the clay, dissolved, dosed and poured on [mmol/kg]."""
        amounts = self.amounts
        # sulfate is not held by the clay
        clay = Uncertain(0.0) if amounts.element == "sulfate" else amounts.exchangeable
        return _all(clay, amounts.soluble, amounts.added, amounts.dosed)

    @property
    def out(self) -> Uncertain | None:
        """All that was found again: in the leachate, on the clay and in the soil's water [mmol/kg]."""
        amounts = self.amounts
        clay = Uncertain(0.0) if amounts.element == "sulfate" else amounts.left_on_clay
        return _all(amounts.leached, clay, amounts.left_in_water)

    @property
    def closure(self) -> Uncertain | None:
        """Out over in; 1 where everything is found again. None where a part was not measured."""
        into, out = self.into, self.out
        if into is None or out is None or into.value <= 0:
            return None
        return out / into

    @property
    def closing(self) -> Closing:
        """Whether the budget closes.

        Notes
        -----
        It closes where out over in lies in the band and its 95 % interval is no wider than the band: a wide
        error bar would close anything. It does not where the value lies outside the band and 1 outside the
        interval. Else the record cannot tell.
        """
        closure, (low, high) = self.closure, self.band
        if closure is None:
            return Closing.CANNOT_TELL
        inside = low <= closure.value <= high
        if self.amounts.at_least:
            return Closing.OPEN if closure.interval[0] > high else Closing.CANNOT_TELL
        if inside and 2 * closure.half_width <= high - low:
            return Closing.CLOSES
        if not inside and not closure.interval[0] <= 1.0 <= closure.interval[1]:
            return Closing.OPEN
        return Closing.CANNOT_TELL

    @property
    def displaced(self) -> Uncertain | None:
        """What came off the clay by the water's account: leached and left in the water, not dissolved before.

        None where the leachate or what was dissolved at the start is not known, and for other elements
        than sodium [mmol/kg].
        """
        amounts = self.amounts
        if amounts.element != "sodium":
            return None
        gone = _all(amounts.leached, amounts.left_in_water)
        if gone is None or amounts.soluble is None or amounts.added is None:
            return None
        return gone - amounts.soluble - amounts.added

    @property
    def displaced_by_soil(self) -> Uncertain | None:
        """The same by the soil's account: on the clay before, less on the clay after [mmol/kg]."""
        before, after = self.amounts.exchangeable, self.amounts.left_on_clay
        return None if before is None or after is None else before - after

    @property
    def displacement(self) -> Displaced:
        """Whether sodium came off the clay, as far as the water's account can tell.

        Notes
        -----
        Displaced is what the 95 % interval puts above nothing. Where not even half of the clay's sodium would
        have been seen, the record cannot tell.
        """
        displaced, clay = self.displaced, self.amounts.exchangeable
        if displaced is None:
            return Displaced.CANNOT_TELL
        if displaced.interval[0] > 0:
            return Displaced.YES
        blind = clay is None or displaced.half_width > clay.value / 2.0
        return Displaced.CANNOT_TELL if blind or self.amounts.at_least else Displaced.NOTHING

    @property
    def esp_before_pct(self) -> Uncertain | None:
        """Exchangeable sodium percentage before, on the capacity before [%]."""
        return self._esp(self.amounts.exchangeable)

    @property
    def esp_after_pct(self) -> Uncertain | None:
        """The same after, still on the capacity before: gypsum left over would swell a new one [%]."""
        return self._esp(self.amounts.left_on_clay)

    def _esp(self, sodium: Uncertain | None) -> Uncertain | None:
        if sodium is None or self.capacity is None or self.amounts.element != "sodium":
            return None
        return sodium / self.capacity * 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """Budgets of all columns of a record.

    Attributes
    ----------
    record : Record
    columns : mapping of (str, int) to ColumnBudget
        Sodium, by arm and replicate.
    others : mapping of (str, str, int) to ColumnBudget
        Calcium and sulfate where they were read in the leachate, by element, arm and replicate.
    """

    record: Record
    columns: Mapping[tuple[str, int], ColumnBudget]
    others: Mapping[tuple[str, str, int], ColumnBudget]

    def of(self, arm: str) -> tuple[ColumnBudget, ...]:
        """Sodium budgets of an arm's replicates.

        Raises
        ------
        FileError
            If the record has no such arm.
        """
        return tuple(self.columns[arm, number] for number in self.record.arm(arm).replicates)


def budget_of(record: Record) -> Budget:
    """Sodium, calcium and sulfate budgets of a bench record.

    Parameters
    ----------
    record : Record

    Raises
    ------
    SoilxError
        If the record does not say how much soil was in a column.
    """
    band = BANDS[record.words.get("measured_with", "kits")]
    stated = record.known("cation_exchange_capacity")
    capacity = None if stated is None else uncertain(stated, "cation exchange capacity")
    columns: dict[tuple[str, int], ColumnBudget] = {}
    others: dict[tuple[str, str, int], ColumnBudget] = {}
    for arm, replicates in record.arms.items():
        for number in replicates.replicates:
            for element in ("sodium", "calcium", "sulfate"):
                amounts = amounts_of(record, arm, number, element)
                budget = ColumnBudget(amounts=amounts, band=band, capacity=capacity)
                if element == "sodium":
                    columns[arm, number] = budget
                elif amounts.leached is not None:
                    others[element, arm, number] = budget
    return Budget(record=record, columns=columns, others=others)


def _all(*parts: Uncertain | None) -> Uncertain | None:
    """Sum of parts; None where one of them is not known."""
    known = [part for part in parts if part is not None]
    return total(known) if len(known) == len(parts) else None
