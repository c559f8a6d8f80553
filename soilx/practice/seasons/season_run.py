"""What seasons did to columns: sodium, salt and water by date, and the balance of every element."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.ions import CHARGES
from soilx.errors import LimitError
from soilx.practice.seasons.field_water import FieldWater
from soilx.practice.seasons.season_arms import SeasonArm
from soilx.practice.seasons.visits import months_later

Array = NDArray[np.float64]

LEDGER: Final = ("rain", "irrigation", "visit", "evapotranspiration", "unmet", "drained")
"""What is counted of water: three sources, what was taken, what was asked for beyond it, what drained."""


@dataclass(frozen=True, kw_only=True, eq=False)
class SeasonRun:
    """Columns through the years, R records of B columns with N layers.

    Attributes
    ----------
    arms : tuple of SeasonArm
    water : FieldWater
    days : tuple of date, R
        Of the records: the start, each month's first, each visit's day before it, the end.
    esp_by_layer_pct : ndarray, shape (R, B, N)
        At drained water, as a test would find it [%].
    conductivity : ndarray, shape (R, B)
        Of the soil solution at drained water, averaged over the depth [dS/m].
    gypsum : ndarray, shape (R, B)
        Solid, as it lies there [mmol/kg].
    ledger : dict of str to ndarray, shape (R, B)
        Water since the start, by `LEDGER` [mm].
    start, added, spread, leached, left : ndarray, shape (7, B)
        Account of every ion: at the start, with water, with gypsum spread, with what drained, and at the end
        counted up from solution, exchanger and solid [mmol/kg].
    start_water, left_water : ndarray, shape (B,)
        Held at the start and at the end [mm].
    """

    arms: tuple[SeasonArm, ...]
    water: FieldWater
    days: tuple[date, ...]
    esp_by_layer_pct: Array = field(repr=False)
    conductivity: Array = field(repr=False)
    gypsum: Array = field(repr=False)
    ledger: dict[str, Array] = field(repr=False)
    start: Array = field(repr=False)
    added: Array = field(repr=False)
    spread: Array = field(repr=False)
    leached: Array = field(repr=False)
    left: Array = field(repr=False)
    start_water: Array = field(repr=False)
    left_water: Array = field(repr=False)

    @cached_property
    def esp_pct(self) -> Array:
        """Exchangeable sodium percentage averaged over the depth, shape (R, B) [%]."""
        average: Array = self.esp_by_layer_pct.mean(axis=2)
        return average

    @property
    def closing_error(self) -> Array:
        """Start + added + spread − leached − left, over the larger of inventory and charge; shape (7, B)."""
        brought = self.start + self.added + self.spread
        charge = np.abs(CHARGES) @ brought
        error: Array = (brought - self.leached - self.left) / np.maximum(brought, charge)
        return error

    @property
    def water_error(self) -> Array:
        """What the account of water does not close by, shape (B,) [mm]."""
        total = {name: values[-1] for name, values in self.ledger.items()}
        error: Array = (
            self.start_water
            + total["rain"]
            + total["irrigation"]
            + total["visit"]
            - total["evapotranspiration"]
            - total["drained"]
            - self.left_water
        )
        return error

    @property
    def unmet(self) -> Array:
        """Evapotranspiration asked for and not given, for the soil had no more, shape (B,) [mm]."""
        depth: Array = self.ledger["unmet"][-1]
        return depth

    @property
    def years(self) -> int:
        """Number of whole years."""
        return self.days[-1].year - self.days[0].year

    def column(self, name: str) -> int:
        """Number of a column by its name.

        Raises
        ------
        LimitError
            If there is none; the message lists those there are.
        """
        names = [arm.name for arm in self.arms]
        if name not in names:
            raise LimitError(
                f"column {name}: is not in these seasons; the columns are {', '.join(names)}; write one of "
                "them."
            )
        return names.index(name)

    def row(self, day: date) -> int:
        """Number of the first record on a day or after it.

        Raises
        ------
        LimitError
            If the seasons end before.
        """
        for number, recorded in enumerate(self.days):
            if recorded >= day:
                return number
        raise LimitError(
            f"day {day}: is after the seasons; they end on {self.days[-1]}; run more years, or ask earlier."
        )

    def year_rows(self) -> tuple[int, ...]:
        """Numbers of the records that end each year, the start first."""
        return tuple(
            self.row(months_later(self.days[0], 12 * year)) if year else 0 for year in range(self.years + 1)
        )

    def concentration_factor(self, name: str) -> float | None:
        """How many times the soil concentrated the irrigation water on its way through a column.

        Parameters
        ----------
        name : str
            Of the column.

        Returns
        -------
        float or None
            Irrigation over drainage, in those months of the last year in which irrigation outweighs rain:
            what leaves the bottom then carries the irrigation's salt. None where there are no such months,
            or nothing drained.
        """
        column = self.column(name)
        rows = slice(self.year_rows()[-2], None)
        rain, given, drained = (
            np.diff(self.ledger[kind][rows, column]) for kind in ("rain", "irrigation", "drained")
        )
        irrigated = given > rain
        out = float(drained[irrigated].sum())
        return float(given[irrigated].sum()) / out if out > 0 else None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class EspPath:
    """Exchangeable sodium of one column through the years, as a test would find it.

    Attributes
    ----------
    name : str
    days : tuple of date, R
    esp_pct : ndarray, shape (R,)
        Averaged over the depth [%].
    low_pct, high_pct : ndarray, shape (R,), or None
        Range over the draws and the path itself; None where none were drawn [%].
    """

    name: str
    days: tuple[date, ...]
    esp_pct: Array
    low_pct: Array | None = None
    high_pct: Array | None = None


def stack_records(records: Sequence[tuple[date, Array, Array, Array, dict[str, Array]]]) -> dict[str, Any]:
    """Records one after the other as arrays by name, for `SeasonRun`."""
    days, esp, conductivity, gypsum, ledger = zip(*records, strict=True)
    return {
        "days": days,
        "esp_by_layer_pct": np.stack(esp),
        "conductivity": np.stack(conductivity),
        "gypsum": np.stack(gypsum),
        "ledger": {name: np.stack([each[name] for each in ledger]) for name in LEDGER},
    }
