"""Gypsum minus control: what two arms of a bench run differ by, with the errors that they share taken out."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from soilx.bench.budget import Budget, ColumnBudget
from soilx.bench.uncertain import Uncertain, mean

FEW: Final = 3
"""From so many replicates on, their scatter says something; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """A quantity of two arms, per kilogram of oven-dry soil.

    Attributes
    ----------
    treated, control : Uncertain or None
        Mean of the replicates [mmol/kg]; None where one of them cannot be told.
    """

    treated: Uncertain | None
    control: Uncertain | None

    @property
    def value(self) -> Uncertain | None:
        """Treated less control; a calibration that both share hardly widens it [mmol/kg]."""
        if self.treated is None or self.control is None:
            return None
        return self.treated - self.control

    @property
    def is_seen(self) -> bool | None:
        """Whether the 95 % interval of the difference leaves nothing out; None where it cannot be told."""
        value = self.value
        if value is None:
            return None
        low, high = value.interval
        return low > 0 or high < 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two arms of a budget.

    Attributes
    ----------
    treated, control : tuple of ColumnBudget
        Their replicates.
    leached, displaced : Difference
        Sodium in the leachate, and sodium off the clay by the water's account.
    water_ml : tuple of float
        Mean leachate of a treated and of a control column.
    """

    treated: tuple[ColumnBudget, ...]
    control: tuple[ColumnBudget, ...]
    leached: Difference
    displaced: Difference
    water_ml: tuple[float, float]

    @property
    def replicates(self) -> int:
        """The fewer of the two arms' columns."""
        return min(len(self.treated), len(self.control))


def pair_of(budget: Budget, *, treated: str = "gypsum", control: str = "control") -> Pair:
    """Treated and control arm of a budget, side by side.

    Parameters
    ----------
    budget : Budget
    treated, control : str
        Names of the arms.

    Raises
    ------
    FileError
        If the record has no such arm.
    """
    two, one = budget.of(treated), budget.of(control)
    return Pair(
        treated=two,
        control=one,
        leached=_difference(two, one, lambda column: column.amounts.leached, "leached"),
        displaced=_difference(two, one, lambda column: column.displaced, "displaced"),
        water_ml=(_water(budget, treated), _water(budget, control)),
    )


def _water(budget: Budget, arm: str) -> float:
    columns = budget.record.arm(arm).replicates.values()
    return sum(portion.volume_ml for portions in columns for portion in portions) / len(columns)


def _difference(
    treated: Sequence[ColumnBudget],
    control: Sequence[ColumnBudget],
    of: Callable[[ColumnBudget], Uncertain | None],
    what: str,
) -> Difference:
    return Difference(treated=_mean(treated, of, what), control=_mean(control, of, what))


def _mean(
    columns: Sequence[ColumnBudget], of: Callable[[ColumnBudget], Uncertain | None], what: str
) -> Uncertain | None:
    """Mean of an arm with the scatter of its replicates; None where one of them cannot be told."""
    values = [of(column) for column in columns]
    known = [value for value in values if value is not None]
    if len(known) < len(values) or any(column.amounts.at_least for column in columns):
        return None
    return mean(known, source=f"{what} of {columns[0].amounts.arm}, scatter of replicates")
