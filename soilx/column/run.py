"""A run: every step and layer of a column, its leachate, and the balance of every element. Immutable."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields
from functools import cached_property
from types import MappingProxyType
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.ions import CHARGES, GYPSUM_MOLAR_MASS, ORDER, SODIUM
from soilx.column.leachate import Leachate, collect
from soilx.column.placement import WATER
from soilx.column.scenario import Scenario
from soilx.column.stepping import NA, Columns

Array = NDArray[np.float64]

_NA_MASS: Final = SODIUM.molar_mass
_ROUNDING: Final = 1e-9
"""Gypsum gone by less than this part of the dose has not dissolved."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trace:
    """What is recorded of a column while it is stepped.

    Attributes
    ----------
    applied : ndarray, shape (steps + 1,)
        Water applied up to each step [L/kg].
    kept : ndarray, shape (rows,)
        The same, at the rows of the layers' arrays.
    concentrations : ndarray, shape (rows, 7, layers) [mmol/L]
    exchanger : ndarray, shape (rows, 4, layers)
        Charge fractions of Ca, Mg, Na, K.
    gypsum : ndarray, shape (rows, layers) [mmol/kg]
    water : ndarray, shape (rows, layers) [L/kg]
    out_volume : ndarray, shape (steps,)
        Leachate of each step [L/kg].
    outflow : ndarray, shape (steps, 7)
        Its composition; means nothing where there is none [mmol/L].
    outlet_sodium : ndarray, shape (steps,)
        E_Na of the last layer as the leachate left it.
    """

    applied: Array
    kept: Array
    concentrations: Array
    exchanger: Array
    gypsum: Array
    water: Array
    out_volume: Array
    outflow: Array
    outlet_sodium: Array

    def __post_init__(self) -> None:
        for each in fields(self):
            getattr(self, each.name).setflags(write=False)

    def __reduce__(self) -> tuple[Any, ...]:
        # Through __post_init__ again: an array that comes from another process could be written to.
        return _again, (Trace, {each.name: getattr(self, each.name) for each in fields(self)})

    def followed_by(self, later: "Trace") -> "Trace":
        """Both traces of the same column as one, the later one after this."""
        joined: dict[str, Array] = {
            "applied": np.concatenate([self.applied, self.applied[-1] + later.applied[1:]]),
            "kept": np.concatenate([self.kept, self.kept[-1] + later.kept[1:]]),
        }
        for name in ("concentrations", "exchanger", "gypsum", "water"):
            joined[name] = np.concatenate([getattr(self, name), getattr(later, name)[1:]])
        for name in ("out_volume", "outflow", "outlet_sodium"):
            joined[name] = np.concatenate([getattr(self, name), getattr(later, name)])
        return Trace(**joined)


@dataclass(frozen=True, slots=True, kw_only=True)
class ElementBalance:
    """One element's account over a run, per kilogram of the column's soil.

    Attributes
    ----------
    start, added, leached, left : float
        At the start with all gypsum; with the water; in the leachate; at the end, counted up from solution,
        exchanger and solid [mmol/kg].
    closing_error : float
        start + added − leached − left, relative to the larger of inventory and total charge.
    """

    start: float
    added: float
    leached: float
    left: float
    closing_error: float


@dataclass(frozen=True, kw_only=True, eq=False)
class Run:
    """What became of one column.

    Attributes
    ----------
    scenario : Scenario
    trace : Trace
        Every step, as bare arrays.
    start, added : ndarray, shape (7,)
        Inventory with all gypsum, and what the water brought [mmol/kg].
    batch : Columns
        Where the columns stand that were stepped as one array; not to be changed.
    place : int
        Of this column among them.
    """

    scenario: Scenario
    trace: Trace = field(repr=False)
    start: Array = field(repr=False)
    added: Array = field(repr=False)
    batch: Columns = field(repr=False, compare=False)
    place: int = field(repr=False, compare=False, default=0)

    def __post_init__(self) -> None:
        self.start.setflags(write=False)
        self.added.setflags(write=False)

    def __reduce__(self) -> tuple[Any, ...]:
        # As a trace; and without what was derived, nor the columns beside this one.
        values = {each.name: getattr(self, each.name) for each in fields(self)}
        return _again, (Run, values | {"batch": self.columns, "place": 0})

    @property
    def layers(self) -> int:
        """Number of layers."""
        return self.scenario.layers

    @property
    def steps(self) -> int:
        """Number of steps taken."""
        return int(self.trace.out_volume.size)

    @property
    def applied_water(self) -> Array:
        """Water applied up to each row, shape (rows,) [L/kg]."""
        return self.trace.kept

    @property
    def applied_pore_volumes(self) -> Array:
        """The same in pore volumes, shape (rows,)."""
        return self.trace.kept / self.scenario.soil.drained_water

    @property
    def layer_depths(self) -> Array:
        """Middle of each layer, shape (layers,) [mm]."""
        return (np.arange(self.layers) + 0.5) * self.scenario.soil.depth / self.layers

    @property
    def concentrations(self) -> Array:
        """Total dissolved concentrations, shape (rows, 7, layers) [mmol/L]."""
        return self.trace.concentrations

    @property
    def exchanger(self) -> Array:
        """Charge fractions of Ca, Mg, Na, K, shape (rows, 4, layers)."""
        return self.trace.exchanger

    @property
    def gypsum(self) -> Array:
        """Solid gypsum, shape (rows, layers) [mmol/kg]."""
        return self.trace.gypsum

    @property
    def water_content(self) -> Array:
        """Water, shape (rows, layers) [L/kg]."""
        return self.trace.water

    @property
    def exchangeable_sodium_percentage(self) -> Array:
        """100 E_Na, shape (steps + 1, layers) [%]."""
        return 100.0 * self.trace.exchanger[:, NA]

    @property
    def depth_average_esp_pct(self) -> Array:
        """Exchangeable sodium percentage averaged over the layers, shape (steps + 1,) [%]."""
        average: Array = self.exchangeable_sodium_percentage.mean(axis=1)
        return average

    @property
    def initial_esp_pct(self) -> float:
        """Exchangeable sodium percentage of the soil at drained water, before gypsum reacts [%]."""
        return self.scenario.soil.exchangeable_sodium_percentage

    @property
    def final_esp_pct(self) -> float:
        """Depth average at the end [%]."""
        return float(self.final_esp_by_layer_pct.mean())

    @property
    def final_esp_by_layer_pct(self) -> Array:
        """At the end, shape (layers,) [%]."""
        # Of the last step alone: a page that follows a slider asks for it many times.
        last: Array = 100.0 * self.trace.exchanger[-1, NA]
        return last

    @property
    def sodium_initial_mg_per_kg(self) -> float:
        """All sodium at the start: on the exchanger and in solution."""
        return float(self.start[NA]) * _NA_MASS

    @property
    def sodium_added_mg_per_kg(self) -> float:
        """Sodium that came with the water."""
        return float(self.added[NA]) * _NA_MASS

    @property
    def sodium_leached_mg_per_kg(self) -> float:
        """Sodium in all leachate."""
        return self.balance["Na"].leached * _NA_MASS

    @property
    def sodium_left_mg_per_kg(self) -> float:
        """Sodium in the column at the end."""
        return self.balance["Na"].left * _NA_MASS

    @property
    def sodium_in_water_mg_per_kg(self) -> float:
        """Sodium dissolved in the column's water at the end."""
        return float((self.trace.water[-1] * self.trace.concentrations[-1, NA]).mean()) * _NA_MASS

    @property
    def sodium_on_clay_mg_per_kg(self) -> float:
        """Exchangeable sodium at the end."""
        capacity = self.scenario.soil.cation_exchange_capacity
        return float(self.trace.exchanger[-1, NA].mean()) * capacity * _NA_MASS

    @property
    def gypsum_left_g_per_kg(self) -> float:
        """Solid gypsum at the end, over the whole column."""
        return float(self.trace.gypsum[-1].mean()) * GYPSUM_MOLAR_MASS / 1000.0

    @property
    def exchange_efficiency(self) -> float | None:
        """Exchangeable sodium displaced per calcium dissolved from gypsum, by charge; None if none was.

        Displaced is the fall of exchangeable sodium from the soil at drained water to the end. What is
        missing from 1 displaced magnesium and potassium or left with the water.
        """
        solid = self.trace.gypsum.mean(axis=1)
        carried = self.scenario.gypsum if self.scenario.placement == WATER else 0.0
        given = carried + float(solid[0] - solid[-1])
        if self.scenario.gypsum == 0 or not given > _ROUNDING * self.scenario.gypsum:
            return None
        displaced = (
            (self.initial_esp_pct - self.final_esp_pct) / 100.0 * self.scenario.soil.cation_exchange_capacity
        )
        return displaced / (2.0 * given)

    @cached_property
    def columns(self) -> Columns:
        """Where this column stands, for `then` and to close the balance with; not to be changed."""
        return self.batch.select(self.place)

    @cached_property
    def balance(self) -> Mapping[str, ElementBalance]:
        """Account of every element, by its symbol in `soilx.chemistry.ions.ORDER`."""
        leached = self.trace.out_volume @ self.trace.outflow
        left = self.columns.counted()[:, 0]
        error = self.start + self.added - leached - left
        charge = float(np.abs(CHARGES) @ (self.start + self.added))
        scale = np.maximum(self.start + self.added, charge)
        return MappingProxyType(
            {
                symbol: ElementBalance(
                    start=float(self.start[row]),
                    added=float(self.added[row]),
                    leached=float(leached[row]),
                    left=float(left[row]),
                    closing_error=float(error[row] / scale[row]),
                )
                for row, symbol in enumerate(ORDER)
            }
        )

    @cached_property
    def leachate(self) -> Leachate:
        """What was caught, portion by portion as the scenario says."""
        sizes = [size for wetting in self.scenario.wettings for size in wetting.portions]
        edges = np.concatenate([[0.0], np.cumsum(sizes)])
        return collect(self.scenario, self.trace, opened=edges[:-1], closed=edges[1:])

    @cached_property
    def step_leachate(self) -> Leachate:
        """The same, step by step; steps without leachate are left out."""
        dripping = self.trace.out_volume > 0
        applied = self.trace.applied
        return collect(self.scenario, self.trace, opened=applied[:-1][dripping], closed=applied[1:][dripping])

    def then(self, wetting: object) -> "Run":
        """Same run carried on by one more wetting, without starting again.

        Parameters
        ----------
        wetting : str, (amount, Water), mapping or Wetting
            As in `Scenario.of`: "1 pore_volume" is deionised water.

        Raises
        ------
        SoilxError
            If the wetting cannot be read; LimitError if the gypsum is dissolved in the water.
        """
        from soilx.column.leaching import continue_run  # leaching builds runs, so that it imports this module

        return continue_run(self, wetting)

    def summary(self) -> dict[str, Any]:
        """The run's figures by name, units in the names, as one side of `soilx leach --json`."""
        return {
            "initial_esp_pct": self.initial_esp_pct,
            "final_esp_pct": self.final_esp_pct,
            "final_esp_by_layer_pct": self.final_esp_by_layer_pct.tolist(),
            "sodium_initial_mg_per_kg": self.sodium_initial_mg_per_kg,
            "sodium_added_mg_per_kg": self.sodium_added_mg_per_kg,
            "sodium_leached_mg_per_kg": self.sodium_leached_mg_per_kg,
            "sodium_left_mg_per_kg": self.sodium_left_mg_per_kg,
            "gypsum_left_g_per_kg": self.gypsum_left_g_per_kg,
            "exchange_efficiency": self.exchange_efficiency,
            "portions": self.leachate.portions(),
            "closing_error": {symbol: account.closing_error for symbol, account in self.balance.items()},
            "defaults": self.scenario.defaults,
        }


def _again(kind: Callable[..., Any], values: Mapping[str, Any]) -> Any:
    """A trace or run made anew from its fields, as copies and other processes do."""
    return kind(**values)
