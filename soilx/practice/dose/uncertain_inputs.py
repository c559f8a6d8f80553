"""How well the inputs of a rate are known: a range each, and draws from them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import sqrt
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.cation_exchange import SELECTIVITY_RANGES
from soilx.column.fields import close_to, listed
from soilx.column.scenario import Scenario
from soilx.column.soil_limits import PARTICLE_DENSITY
from soilx.errors import LimitError, refuse, require
from soilx.practice.soil_test.reported_sodium import reported_sodium

Array = NDArray[np.float64]

LABORATORY_CV: Final = 0.11
"""Scatter of a laboratory's soil tests: coefficients of variation of 9 to 13 % were seen (trade_texts)."""

DENSITY_SPAN: Final = 0.07
WATER_SPAN: Final = 0.15
"""A tenth of a kg/L of bulk density; unevenness of what is applied and held. Common practice, no source."""

SODIUM: Final = "exchangeable_sodium"
CAPACITY: Final = "cation_exchange_capacity"
DENSITY: Final = "bulk_density"
DRAINED: Final = "drained_water"
APPLIED: Final = "water_applied"
SODIUM_SELECTIVITY: Final = "sodium_selectivity"
MAGNESIUM_SELECTIVITY: Final = "magnesium_selectivity"

UNITS: Final[Mapping[str, str]] = MappingProxyType(
    {
        SODIUM: "mmol_c/kg",
        CAPACITY: "mmol_c/kg",
        DENSITY: "kg/L",
        DRAINED: "L/kg",
        APPLIED: "L/m2",
        SODIUM_SELECTIVITY: "(mmol/L)^-0.5",
        MAGNESIUM_SELECTIVITY: "",
    }
)
"""What is drawn, and in which unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InputRange:
    """What one input may be.

    Attributes
    ----------
    key : str
        One of `UNITS`.
    value : float
        Most likely [`UNITS`].
    low, high : float
        Limits; the value lies between them or at one of them [`UNITS`].
    source : str
        Key of `soilx.sources.SOURCES`, or "given".

    Raises
    ------
    LimitError
        If it is no known input, nothing or less, or its limits do not hold the value.
    """

    key: str
    value: float
    low: float
    high: float
    source: str

    def __post_init__(self) -> None:
        if self.key not in UNITS:
            raise LimitError(
                f"range of {self.key}: is not an input that is drawn; the inputs are {listed(UNITS)}; write "
                f"one of them{close_to(self.key, UNITS)}."
            )
        unit = UNITS[self.key]
        whose, remedy = "an amount that exists", "give the low, likely and high value"
        require(f"low {self.key}", self.low, unit, low=0.0, low_open=True, whose=whose, remedy=remedy)
        require(f"high {self.key}", self.high, unit, low=0.0, low_open=True, whose=whose, remedy=remedy)
        if not self.low <= self.value <= self.high:
            refuse(
                f"range of {self.key}",
                f"{self.low:.4g} to {self.high:.4g}",
                unit,
                wrong=f"does not hold the value itself, {self.value:.4g}",
                limit="a range lies about its value",
                remedy=remedy,
            )

    def draw(self, generator: np.random.Generator, draws: int) -> Array:
        """Draws from a triangle over the range that is highest at the value, shape (draws,) [`UNITS`]."""
        if self.high <= self.low:
            return np.full(draws, self.value)
        return generator.triangular(self.low, self.value, self.high, draws)


def input_ranges(scenario: Scenario, *, known: Iterable[InputRange] = ()) -> tuple[InputRange, ...]:
    """Ranges of all that is drawn for a scenario, in the order of `UNITS`.

    Parameters
    ----------
    scenario : Scenario
    known : iterable of InputRange
        What is known better than by default, or worse: takes the default's place.

    Returns
    -------
    tuple of InputRange
        By default: exchangeable sodium and CEC by the scatter of soil tests, selectivities over what was
        published, bulk density and waters by common practice.
    """
    soil, ground = scenario.soil, scenario.soil.ground
    reported = reported_sodium(soil)
    # A triangle of half-width h has a standard deviation of h/√6.
    scatter = sqrt(6.0) * LABORATORY_CV
    areal = soil.bulk_density * (ground.depth or 0.0)
    spans = (
        (SODIUM, reported.exchangeable, scatter, "trade_texts"),
        (CAPACITY, soil.cation_exchange_capacity, scatter, "trade_texts"),
        (DENSITY, soil.bulk_density, DENSITY_SPAN, "common_practice"),
        (DRAINED, soil.drained_water, WATER_SPAN, "common_practice"),
        (APPLIED, scenario.volume * areal, WATER_SPAN, "common_practice"),
    )
    found = {
        key: InputRange(key=key, value=value, low=value * (1 - span), high=value * (1 + span), source=source)
        for key, value, span, source in spans
        if value > 0
    }
    for key, ion, value, source in (
        (SODIUM_SELECTIVITY, "sodium", soil.selectivity.sodium, "cjss1982"),
        (MAGNESIUM_SELECTIVITY, "magnesium", soil.selectivity.magnesium, "magnesium_selectivities"),
    ):
        published = SELECTIVITY_RANGES[ion]
        found[key] = InputRange(
            key=key,
            value=value,
            low=min(published.low, value),
            high=max(published.high, value),
            source=source,
        )
    found |= {each.key: each for each in known}
    if DRAINED not in {each.key for each in known}:
        # No wetter than the pores that the densest draw leaves; at the soil's own bulk density.
        pores = (1.0 - found[DENSITY].high / PARTICLE_DENSITY) / soil.bulk_density
        drained = found[DRAINED]
        found[DRAINED] = replace(drained, high=max(drained.value, min(drained.high, pores)))
    return tuple(found[key] for key in UNITS if key in found)


def draw_inputs(ranges: Sequence[InputRange], *, draws: int, seed: int) -> dict[str, Array]:
    """Draws of every input, each shape (draws,), the same for the same seed.

    Parameters
    ----------
    ranges : sequence of InputRange
    draws, seed : int

    Notes
    -----
    Inputs are drawn independently of each other. Each has a stream of its own, so that a wider range of one
    input leaves the draws of the others as they were.
    """
    streams = np.random.SeedSequence(seed).spawn(len(UNITS))
    order = {key: number for number, key in enumerate(UNITS)}
    return {each.key: each.draw(np.random.default_rng(streams[order[each.key]]), draws) for each in ranges}
