"""What a fit may move: each parameter with its unit, its limits, and the scale on which it is searched."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from math import inf
from types import MappingProxyType
from typing import Final

import numpy as np

from soilx.bench.fit_soil import moved_soil, soluble_sodium
from soilx.column.dissolution import DEFAULT_DISSOLUTION_RATE, FIRST_ORDER
from soilx.column.fields import listed
from soilx.column.scenario import Scenario
from soilx.errors import LimitError

LOGIT_LIMIT: Final = 6.0
"""A share is searched between 0.25 and 99.75 % of its range."""

LEAST_DISPLACED, MOST_DISPLACED = 0.2, 0.98
"""Displaced fractions between which dispersivity is searched; below, a run takes too many steps."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """One number that a fit may move.

    Attributes
    ----------
    key : str
    title : str
        In words, as on the screen.
    unit : str
        As shown; empty for a share.
    is_share : bool
        Searched by the logit of its place between its limits; else by its logarithm.
    nudge : float
        Step of a finite difference on the scale of the search.
    spread : float
        How far from the start first trials lie, on the scale of the search.
    start : callable
        Value of a scenario before the fit.
    limits : callable
        Lowest and highest value that the fit may give a scenario.
    whose : str
        Whose limits they are.
    """

    key: str
    title: str
    unit: str
    is_share: bool
    nudge: float
    spread: float
    start: Callable[[Scenario], float]
    limits: Callable[[Scenario], tuple[float, float]]
    whose: str

    def searched(self, value: float, scenario: Scenario) -> float:
        """Value on the scale of the search; the ends of the range for what lies beyond."""
        low, high = self.limits(scenario)
        if not self.is_share:
            return float(np.log(min(max(value, low), high)))
        place = (value - low) / (high - low)
        edge = 1 / (1 + np.exp(LOGIT_LIMIT))
        place = min(max(place, edge), 1 - edge)
        return float(np.log(place / (1 - place)))

    def value(self, searched: float, scenario: Scenario) -> float:
        """Value back from the scale of the search."""
        if not self.is_share:
            return float(np.exp(searched))
        low, high = self.limits(scenario)
        return float(low + (high - low) / (1 + np.exp(-searched)))

    def slope(self, searched: float, scenario: Scenario) -> float:
        """Change of the value per change on the scale of the search."""
        value = self.value(searched, scenario)
        if not self.is_share:
            return value
        low, high = self.limits(scenario)
        return (value - low) * (high - value) / (high - low)

    def bounds(self, scenario: Scenario) -> tuple[float, float]:
        """Ends of the search, on its scale."""
        if self.is_share:
            return -LOGIT_LIMIT, LOGIT_LIMIT
        low, high = self.limits(scenario)
        return float(np.log(low)), float(np.log(high))


def _around(start: Callable[[Scenario], float], factor: float) -> Callable[[Scenario], tuple[float, float]]:
    return lambda scenario: (start(scenario) / factor, start(scenario) * factor)


def _capacity(scenario: Scenario) -> float:
    return scenario.soil.cation_exchange_capacity


def _soluble(scenario: Scenario) -> float:
    return soluble_sodium(scenario.soil)


def _relative_dispersivity(scenario: Scenario) -> float:
    return (1 - scenario.displaced_fraction) / (2 * scenario.layers)


def _dispersivities(scenario: Scenario) -> tuple[float, float]:
    return (1 - MOST_DISPLACED) / (2 * scenario.layers), (1 - LEAST_DISPLACED) / (2 * scenario.layers)


def _rate(scenario: Scenario) -> float:
    return DEFAULT_DISSOLUTION_RATE if scenario.dissolution_rate == inf else scenario.dissolution_rate


# Central differences reach the same distance on both sides. Gypsum that is used up a step earlier or later
# makes kinks in every curve; these steps are wide enough to look over them.
# fmt: off
PARAMETERS: Final[Mapping[str, Parameter]] = MappingProxyType({parameter.key: parameter for parameter in (
    Parameter(key="sodium_selectivity", title="selectivity for sodium", unit="(mmol/L)^-½",
              is_share=False, nudge=0.01, spread=1.1,
              start=lambda scenario: scenario.soil.selectivity.sodium, limits=lambda _: (0.001, 0.2),
              whose="an order of magnitude around published selectivities"),
    Parameter(key="cation_exchange_capacity", title="cation exchange capacity", unit="mmol_c/kg",
              is_share=False, nudge=0.01, spread=1.1, start=_capacity, limits=_around(_capacity, 8.0),
              whose="eight times around the report"),
    Parameter(key="soluble_sodium", title="dissolved sodium at the start", unit="mmol/kg",
              is_share=False, nudge=0.01, spread=1.1, start=_soluble, limits=_around(_soluble, 12.0),
              whose="twelve times around the report"),
    Parameter(key="bypass_fraction", title="bypass fraction", unit="",
              is_share=True, nudge=0.02, spread=3.0,
              start=lambda scenario: scenario.bypass_fraction, limits=lambda _: (0.0, 0.95),
              whose="a stack of stirred layers"),
    Parameter(key="dissolution_rate", title="dissolution rate of gypsum", unit="1/h",
              is_share=False, nudge=0.03, spread=4.0, start=_rate, limits=lambda _: (1e-4, 50.0),
              whose="ours: slower never shows, faster is at once"),
    Parameter(key="dispersivity", title="dispersivity over depth", unit="",
              is_share=True, nudge=0.1, spread=3.0, start=_relative_dispersivity, limits=_dispersivities,
              whose="the stack: fewer layers disperse more, more layers less"),
)})
# fmt: on


def parameters_of(keys: tuple[str, ...]) -> tuple[Parameter, ...]:
    """Parameters by their keys, in the order of `PARAMETERS`.

    Raises
    ------
    LimitError
        If one is not known, named twice, or none is named.
    """
    unknown = [key for key in keys if key not in PARAMETERS]
    if unknown or not keys or len(set(keys)) < len(keys):
        raise LimitError(
            f"parameters = {', '.join(keys) or 'none'}: "
            f"{'are not all known' if unknown else 'are none, or one is named twice'}; the limit is ours: "
            f"{listed(tuple(PARAMETERS))}; name each parameter to fit once."
        )
    return tuple(parameter for key, parameter in PARAMETERS.items() if key in keys)


def scenario_at(scenario: Scenario, values: Mapping[str, float]) -> Scenario:
    """The scenario with parameters moved, for a run; its texts stay those of the scenario before.

    Parameters
    ----------
    scenario : Scenario
    values : mapping of str to float
        By key of `PARAMETERS`, in the parameter's unit.
    """
    soil = moved_soil(
        scenario.soil,
        sodium_selectivity=values.get("sodium_selectivity"),
        capacity=values.get("cation_exchange_capacity"),
        soluble=values.get("soluble_sodium"),
    )
    moved = replace(
        scenario, soil=soil, bypass_fraction=values.get("bypass_fraction", scenario.bypass_fraction)
    )
    if "dispersivity" in values:
        moved = replace(moved, displaced_fraction=1 - 2 * scenario.layers * values["dispersivity"])
    if "dissolution_rate" in values:
        moved = replace(moved, dissolution=FIRST_ORDER, dissolution_rate=values["dissolution_rate"])
    return moved
