"""The column's own answer: least gypsum for a target with given water, least water for a given dose."""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

from soilx.column.fields import Given
from soilx.column.leaching import leach
from soilx.column.placement import WATER
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.errors import LimitError
from soilx.practice.dose.dose_search import first_water, search_dose, search_water, watered
from soilx.practice.dose.product import PURE, Product
from soilx.practice.dose.rate_units import product_rate_in_units, pure_rate_in_units
from soilx.practice.dose.target import read_target
from soilx.practice.dose.unreachable import MOST_PORE_VOLUMES, refuse_dose, refuse_water
from soilx.units import Kind, express

BLOCK_PORE_VOLUMES: Final = 4.0
"""Water by which a search goes on before it looks again."""


@dataclass(frozen=True, kw_only=True, eq=False)
class ColumnRequirement:
    """Gypsum and water with which the column's depth average comes down to a target.

    Attributes
    ----------
    run : Run
        Of the answer; its scenario can be written to a file and run again.
    target_esp_pct : float
        What was asked [%].
    untreated_esp_pct : float or None
        Where the same water alone ends [%]; None where it was not asked.
    product : Product
        What is spread.
    """

    run: Run
    target_esp_pct: float
    untreated_esp_pct: float | None = None
    product: Product = PURE

    @property
    def scenario(self) -> Scenario:
        """Soil, dose and water of the answer."""
        return self.run.scenario

    @property
    def gypsum(self) -> float:
        """Pure gypsum over the column [mmol/kg]."""
        return self.scenario.gypsum

    @property
    def water(self) -> float:
        """Water applied in all, what wets the soil up with it [L/kg]."""
        return self.scenario.volume

    @property
    def pore_volumes(self) -> float:
        """The same in pore volumes."""
        return self.water / self.scenario.soil.drained_water

    @property
    def water_mm(self) -> float:
        """The same as a depth of water on the field [mm]."""
        return express(self.water, Kind.WATER, "mm", ground=self.scenario.soil.ground)

    @property
    def initial_esp_pct(self) -> float:
        """Of the column at its drained water, before gypsum [%]."""
        return self.run.initial_esp_pct

    @property
    def reached_esp_pct(self) -> float:
        """Depth average at the end: the target, or just below it [%]."""
        return self.run.final_esp_pct

    @property
    def exchange_efficiency(self) -> float | None:
        """Exchangeable sodium displaced per calcium dissolved, by charge; None where no gypsum is needed.

        An output. Its inverse is what the hand formula's factor stands for: to multiply this answer with a
        factor would count the same loss twice.
        """
        return self.run.exchange_efficiency

    @property
    def factor(self) -> float | None:
        """Calcium dissolved per sodium displaced: the factor that the hand formula would have needed."""
        efficiency = self.exchange_efficiency
        return None if efficiency is None or efficiency <= 0 else 1.0 / efficiency

    @cached_property
    def in_units(self) -> dict[str, dict[str, float]]:
        """Pure gypsum and product, each in every unit of the trade."""
        ground = self.scenario.soil.ground
        return {
            "pure": pure_rate_in_units(self.gypsum, ground=ground),
            "product": product_rate_in_units(self.gypsum, product=self.product, ground=ground),
        }

    def with_product(self, product: Product) -> "ColumnRequirement":
        """The same answer in a product that is bought."""
        return replace(self, product=product)


def least_gypsum(scenario: Scenario, *, target_esp_pct: float | Given) -> ColumnRequirement:
    """Least pure gypsum that brings the column's depth average to a target with the scenario's water.

    Parameters
    ----------
    scenario : Scenario
        Soil, waters, placement and stack; its own gypsum is not looked at.
    target_esp_pct : float, str or Quantity
        Exchangeable sodium percentage that is wanted: 5 or "5 %".

    Returns
    -------
    ColumnRequirement
        No gypsum where the water alone does it.

    Raises
    ------
    TargetError
        If no dose reaches the target with this water: it says how low any dose comes, and what would do.
    LimitError
        If there is no water.
    ModelRangeError
        As `soilx.leach` does.
    """
    target = read_target(target_esp_pct)
    _require_water(scenario)
    found = search_dose(scenario, target_esp_pct=target)
    if found.run is None:
        refuse_dose(scenario, target_esp_pct=target, lowest_esp_pct=found.lowest_esp_pct)
    return ColumnRequirement(
        run=leach(found.run.scenario), target_esp_pct=target, untreated_esp_pct=found.untreated_esp_pct
    )


def least_water(scenario: Scenario, *, target_esp_pct: float | Given) -> ColumnRequirement:
    """Least water that brings the column's depth average to a target with the scenario's gypsum.

    Parameters
    ----------
    scenario : Scenario
        Soil, gypsum, placement and stack. Its waters are applied in their order, and the last one goes on as
        long as it takes, at its own pace and without drying in between.
    target_esp_pct : float, str or Quantity
        Exchangeable sodium percentage that is wanted: 5 or "5 %".

    Returns
    -------
    ColumnRequirement
        All water applied until the target is first met, what wets the soil up with it.

    Raises
    ------
    TargetError
        If it is not reached however long the water runs: it says how low it comes, and what would do.
    LimitError
        If there is no water, or the gypsum is dissolved in it: its strength then depends on the answer.
    """
    target = read_target(target_esp_pct)
    _require_water(scenario)
    if scenario.placement == WATER and scenario.gypsum > 0:
        raise LimitError(
            "placement = water: the dose is spread over all the water, so that its strength depends on the "
            "answer; the limit is ours; state the water with its gypsum in it, as a Water, and no gypsum."
        )
    run = leach(scenario)
    bracket = first_water(run, target_esp_pct=target)
    pore = scenario.soil.drained_water
    while bracket is None and run.scenario.volume < MOST_PORE_VOLUMES * pore:
        run = leach(watered(scenario, run.scenario.volume + BLOCK_PORE_VOLUMES * pore))
        bracket = first_water(run, target_esp_pct=target)
    if bracket is None:
        refuse_water(scenario, run=run, target_esp_pct=target)
    if bracket[1] == 0.0:
        raise LimitError(
            f"target ESP = {target:.3g} %: the column is there before any water; the limit is its ESP of "
            f"{run.depth_average_esp_pct[0]:.3g}; no water is needed for this target."
        )
    return ColumnRequirement(
        run=search_water(scenario, bracket, target_esp_pct=target), target_esp_pct=target
    )


def _require_water(scenario: Scenario) -> None:
    if not scenario.wettings:
        raise LimitError(
            "wettings: there are none; the limit is that water carries calcium down and sodium off; add a "
            'wetting such as "4 pore_volume".'
        )
