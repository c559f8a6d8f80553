"""A programme: visits on a field through the years, against doing nothing, with the water's own floor."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Self

import numpy as np
from numpy.typing import NDArray

from soilx.column.fields import Given
from soilx.column.soil import Soil
from soilx.column.water import Water
from soilx.errors import ModelRangeError, require
from soilx.practice.dose.uncertain_inputs import InputRange
from soilx.practice.judgement.irrigation_water import MOST_CONCENTRATION, floor_esp_pct
from soilx.practice.seasons.field_water import FieldWater
from soilx.practice.seasons.irrigation import Irrigation
from soilx.practice.seasons.monitoring_days import days_of_tests
from soilx.practice.seasons.programme_columns import NOTHING, TREATED, carried_gypsum, compared_columns
from soilx.practice.seasons.season import Progress, run_seasons
from soilx.practice.seasons.season_draws import DRAWN, DRAWS, SEED, FieldRange, drawn_arms
from soilx.practice.seasons.season_run import EspPath, SeasonRun
from soilx.practice.seasons.season_timeline import require_years
from soilx.practice.seasons.visits import VisitPlan, months_later

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, eq=False)
class Programme:
    """A plan of visits, run through the years beside what else could be done.

    Attributes
    ----------
    soil : Soil
    plan : VisitPlan
    run : SeasonRun
        Columns `TREATED`, `NOTHING`, `WATER_ONLY`, maybe `IN_WATER`, then the draws of the first two.
    target_esp_pct : float or None
    draws : int
        Of each of the two; 0 for no band.
    carried : float
        Gypsum of the column `IN_WATER` [mmol/L].
    remarks : tuple of str
        What was decided on the way.
    """

    soil: Soil
    plan: VisitPlan
    run: SeasonRun = field(repr=False)
    target_esp_pct: float | None
    draws: int
    carried: float
    remarks: tuple[str, ...] = ()

    @classmethod
    def of(
        cls,
        soil: Soil,
        *,
        plan: VisitPlan,
        water: FieldWater,
        years: int,
        target_esp_pct: float | None = None,
        gypsum_in_water: Given | None = None,
        draws: int = DRAWS,
        seed: int = SEED,
        known: Iterable[InputRange] = (),
        ranges: Iterable[FieldRange] = (),
        progress: Progress | None = None,
        **column: Given | int | float,
    ) -> Self:
        """Programme run from the month of its first visit, on ground that then holds its drained water.

        Parameters
        ----------
        soil : Soil
        plan : VisitPlan
            From `soilx.practice.seasons.visit_plans`.
        water : FieldWater
        years : int
        target_esp_pct : float, optional
        gypsum_in_water : str or Quantity, optional
            Of the alternative: calcium that gypsum adds to the irrigation water, "2 mmol_c/L". Unless given,
            the plan's gypsum spread evenly over all irrigation of these years.
        draws, seed : int
            How often soil, weather and water are drawn for the band; 0 for none.
        known, ranges
            As in `soilx.practice.seasons.season_draws.drawn_arms`.
        progress : callable, optional
            Called with the part that is done, 0 to 1.
        **column
            Any of `soilx.practice.seasons.programme_columns.OF_COLUMN`, as in `soilx.Scenario.of`. Gypsum
            on the surface dissolves by first order unless said otherwise.

        Raises
        ------
        SoilxError
            As `run_seasons` does, or if the target or a number of draws is no such thing.
        """
        require_years(years)
        if target_esp_pct is not None:
            require(
                "target ESP",
                target_esp_pct,
                "%",
                low=0.0,
                low_open=True,
                high=50.0,
                whose="a soil to grow in",
                remedy="give an ESP in %, like 5",
            )
        require("draws", draws, "", low=0, high=500, whose="a band", remedy="19 make a band of 9 in 10")
        carried, remarks = carried_gypsum(gypsum_in_water, plan=plan, water=water, years=years)
        arms = compared_columns(soil, plan=plan, carried=carried, column=column)
        if draws:
            arms += drawn_arms(arms[:2], draws=draws, seed=seed, known=known, field=ranges)
        first = plan.visits[0].day.replace(day=1)
        looks = days_of_tests(plan, last=months_later(first, 12 * years))
        try:
            run = run_seasons(arms, water=water, first=first, years=years, looks=looks, progress=progress)
        except ModelRangeError as error:
            if DRAWN not in str(error):
                raise
            raise ModelRangeError(
                f"{str(error).rstrip('.')}. This is a draw for the band, drier or saltier than the soil as "
                "it was tested: without the band (draws=0), or with ranges of your own, the rest may run."
            ) from error
        return cls(
            soil=soil,
            plan=plan,
            run=run,
            target_esp_pct=target_esp_pct,
            draws=int(draws),
            carried=carried,
            remarks=remarks,
        )

    @property
    def columns(self) -> tuple[str, ...]:
        """Names of the columns to compare, without the draws."""
        return tuple(arm.name for arm in self.run.arms[: len(self.run.arms) - 2 * self.draws])

    def path(self, name: str) -> EspPath:
        """Sodium of one column through the years.

        Parameters
        ----------
        name : str
            One of `columns`.

        Raises
        ------
        LimitError
            If there is no such column.
        """
        number = self.run.column(name)
        esp = self.run.esp_pct[:, number]
        drawn = self._drawn(name)
        if drawn is None:
            return EspPath(name=name, days=self.run.days, esp_pct=esp)
        every = np.column_stack([esp, drawn])
        return EspPath(
            name=name,
            days=self.run.days,
            esp_pct=esp,
            low_pct=every.min(axis=1),
            high_pct=every.max(axis=1),
        )

    @cached_property
    def gain_pct(self) -> EspPath:
        """How far the treated column lies below doing nothing, in points of ESP; each draw with its own."""
        treated, nothing = self.path(TREATED), self.path(NOTHING)
        gain = nothing.esp_pct - treated.esp_pct
        drawn = (self._drawn(TREATED), self._drawn(NOTHING))
        if drawn[0] is None or drawn[1] is None:
            return EspPath(name="gain", days=self.run.days, esp_pct=gain)
        every = np.column_stack([gain, drawn[1] - drawn[0]])
        return EspPath(
            name="gain",
            days=self.run.days,
            esp_pct=gain,
            low_pct=every.min(axis=1),
            high_pct=every.max(axis=1),
        )

    def _drawn(self, name: str) -> Array | None:
        """Sodium of a column's draws, shape (R, draws) [%]."""
        if not self.draws or name not in (TREATED, NOTHING):
            return None
        first = len(self.columns) + (0 if name == TREATED else self.draws)
        return self.run.esp_pct[:, first : first + self.draws]

    @property
    def floor_esp_pct(self) -> float | None:
        """To which the irrigation water brings any soil in the end, not concentrated [%]; None without it."""
        irrigation = self.run.water.irrigation
        return None if irrigation is None else self._floor(irrigation)

    @property
    def floor_with_gypsum_esp_pct(self) -> float | None:
        """The same with the gypsum of the column `IN_WATER` in the water [%]; None without it."""
        irrigation = self.run.water.irrigation
        return (
            None
            if irrigation is None or not self.carried
            else self._floor(replace(irrigation, gypsum=irrigation.gypsum + self.carried))
        )

    @property
    def concentrated_floor_esp_pct(self) -> float | None:
        """The floor of the water as the column concentrates it [%]; None where it is never concentrated."""
        irrigation = self.run.water.irrigation
        factor = self.run.concentration_factor(NOTHING)
        if irrigation is None or factor is None or not 1.0 < factor <= MOST_CONCENTRATION:
            return None
        return self._floor(irrigation, factor=factor)

    def _floor(self, irrigation: Irrigation, *, factor: float = 1.0) -> float:
        own = irrigation.water.solution
        water = Water(
            name=irrigation.water.name,
            solution=replace(own, ca=own.ca + irrigation.gypsum, so4=own.so4 + irrigation.gypsum),
        )
        return floor_esp_pct(water, concentration_factor=factor, selectivity=self.soil.selectivity)

    @property
    def gypsum_in_water_kg_per_ha(self) -> float:
        """Pure gypsum that the column `IN_WATER` takes in a year."""
        irrigation = self.run.water.irrigation
        if irrigation is None:
            return 0.0
        return replace(irrigation, gypsum=self.carried).annual_gypsum_kg_per_ha
