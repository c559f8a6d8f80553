"""Leaching of columns: scenarios become arrays, the arrays are stepped, each column becomes a Run."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.soil_solution import Solution
from soilx.column.run import Run, Trace
from soilx.column.scenario import Scenario
from soilx.column.stepping import NA, Columns, advance, evaporate
from soilx.column.wetting import Wetting
from soilx.errors import LimitError

Array = NDArray[np.float64]

_ROUNDING: Final = 1e-9
"""A last step smaller than this part of a whole one is rounding, not water."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """What one column gets, step by step.

    Attributes
    ----------
    volume : ndarray, shape (steps,)
        Water entering, per kilogram of the column's soil [L/kg].
    inflow : ndarray, shape (steps, 7)
        Its composition [mmol/L].
    hours : ndarray, shape (steps,)
        Time of contact [h].
    evapotranspiration : ndarray, shape (steps,)
        Water taken instead of given [L/kg].
    """

    volume: Array
    inflow: Array
    hours: Array
    evapotranspiration: Array


def leach(scenario: Scenario, *, extrapolate: bool = False) -> Run:
    """Run of one column: every step and layer, the leachate, and every element's balance.

    Parameters
    ----------
    scenario : Scenario
    extrapolate : bool
        Allow soil solutions above an ionic strength of 0.5 mol/L, where activities are rough.

    Raises
    ------
    ModelRangeError
        If a soil solution is stronger than 0.5 mol/L and `extrapolate` is not set.
    LimitError
        If evapotranspiration asks for more water than the soil holds.
    ConvergenceError
        If an equilibrium does not settle.

    Notes
    -----
    What is left out: calcite, CO2 and pH, organic matter, anion exclusion, hysteresis, cracks (but for the
    bypass fraction). Row 0 of every array is the soil at its initial water content, before gypsum reacts.
    Gypsum reacts in a layer once water has reached it, or with the first water where soil is moist already.
    """
    return leach_together((scenario,), extrapolate=extrapolate)[0]


def leach_together(
    scenarios: Sequence[Scenario], *, extrapolate: bool = False, keep_steps: bool = True
) -> tuple[Run, ...]:
    """Runs of several columns of equally many layers, stepped as one array.

    Parameters
    ----------
    scenarios : sequence of Scenario
    extrapolate : bool
        As in `leach`.
    keep_steps : bool
        Keep every step of every layer; else only the first and the last, to save memory. The leachate is
        kept step by step either way.

    Raises
    ------
    LimitError
        If the numbers of layers differ; and as in `leach`.
    """
    if len({scenario.layers for scenario in scenarios}) > 1:
        raise LimitError(
            "layers: differ between scenarios; the limit is one array's, equally many layers in each; use "
            "soilx.sweep, which sorts them."
        )
    columns = columns_of(scenarios, extrapolate=extrapolate)
    start = columns.inventory()
    schedules = [
        schedule_of(scenario, list(zip(scenario.wettings, scenario.inflows, strict=True)))
        for scenario in scenarios
    ]
    traces = step(columns, schedules, keep_steps=keep_steps)
    return tuple(
        Run(
            scenario=scenario,
            trace=trace,
            start=start[:, number],
            added=schedule.volume @ schedule.inflow,
            batch=columns,
            place=number,
        )
        for number, (scenario, schedule, trace) in enumerate(zip(scenarios, schedules, traces, strict=True))
    )


def continue_run(run: Run, given: object) -> Run:
    """The run carried on by one more wetting, without starting again.

    Parameters
    ----------
    run : Run
        Stays as it is.
    given : str, (amount, Water), mapping or Wetting
        One more wetting, as in `Scenario.of`.

    Raises
    ------
    LimitError
        If gypsum is dissolved in the water: its dose is spread over all the water known at the start.
    """
    scenario = run.scenario
    if scenario.placement == "water" and scenario.gypsum > 0:
        raise LimitError(
            "placement = water: a run cannot be continued; the limit is ours, since the dose is spread over "
            "all the water of the scenario; set up the scenario with all its wettings."
        )
    columns = run.columns.select(0)
    longer = scenario.with_(wettings=(*scenario.wettings, given))
    wetting: Wetting = longer.wettings[-1]
    schedule = schedule_of(scenario, [(wetting, wetting.water.solution)])
    (trace,) = step(columns, [schedule], keep_steps=True)
    return Run(
        scenario=longer,
        trace=run.trace.followed_by(trace),
        start=run.start,
        added=run.added + schedule.volume @ schedule.inflow,
        batch=columns,
    )


def schedule_of(scenario: Scenario, wettings: Sequence[tuple[Wetting, Solution]]) -> Schedule:
    """Steps of whole displaced fractions, the rest of each wetting as a last smaller one.

    Parameters
    ----------
    scenario : Scenario
        Its layers, displaced fraction and drained water set the size of a step.
    wettings : sequence of (Wetting, Solution)
        What is applied, and its composition with what was dissolved in it.
    """
    size = scenario.displaced_fraction * scenario.soil.drained_water / scenario.layers
    volume: list[float] = []
    hours: list[float] = []
    dried: list[float] = []
    inflow: list[Array] = []
    for wetting, solution in wettings:
        whole = int(wetting.volume / size + _ROUNDING)
        rest = wetting.volume - whole * size
        sizes = [size] * whole + ([rest] if rest > _ROUNDING * size else [])
        volume += sizes
        hours += [wetting.hours * part / wetting.volume for part in sizes]
        dried += [0.0] * len(sizes)
        inflow += [solution.as_array()] * len(sizes)
        if wetting.evapotranspiration > 0:
            volume.append(0.0)
            hours.append(0.0)
            dried.append(wetting.evapotranspiration)
            inflow.append(solution.as_array())
    return Schedule(
        volume=np.array(volume),
        inflow=np.array(inflow).reshape(-1, 7),
        hours=np.array(hours),
        evapotranspiration=np.array(dried),
    )


def columns_of(scenarios: Sequence[Scenario], *, extrapolate: bool = False) -> Columns:
    """The columns of scenarios with equally many layers, before their first water."""
    layers = scenarios[0].layers
    soils = [scenario.soil for scenario in scenarios]

    def stack(values: Sequence[float]) -> Array:
        return np.repeat(np.array(values, dtype=float)[:, np.newaxis], layers, axis=1)

    totals = np.stack(
        [
            stack([getattr(soil, name) for soil in soils])
            for name in ("calcium", "magnesium", "sodium", "potassium", "sulfate", "chloride", "bicarbonate")
        ]
    )
    return Columns(
        totals=totals,
        held=np.stack([scenario.gypsum_by_layer() for scenario in scenarios]),
        water=stack([soil.initial_water for soil in soils]),
        drained=stack([soil.drained_water for soil in soils]),
        residual=stack([soil.driest_water for soil in soils]),
        capacity=stack([soil.cation_exchange_capacity for soil in soils]),
        selectivity=np.stack(
            [
                stack([soil.selectivity.sodium for soil in soils]),
                stack([soil.selectivity.potassium for soil in soils]),
            ]
        ),
        magnesium_selectivity=stack([soil.selectivity.magnesium for soil in soils]),
        bypass=np.array([scenario.bypass_fraction for scenario in scenarios]),
        dissolution=np.stack([scenario.dissolution_rate_by_layer() for scenario in scenarios]),
        wetted=np.zeros((len(soils), layers), dtype=bool),
        extrapolate=extrapolate,
    )


def step(columns: Columns, schedules: Sequence[Schedule], *, keep_steps: bool) -> list[Trace]:
    """Step columns through their schedules; what is recorded of each.

    Parameters
    ----------
    columns : Columns
        Changed in place.
    schedules : sequence of Schedule
        One per column; a shorter one ends with steps without water, which change nothing.
    keep_steps : bool
        Record every step of the layers, or only the first and the last.
    """
    count, layers = columns.water.shape
    lengths = [schedule.volume.size for schedule in schedules]
    longest = max(lengths)
    volume, hours, dried = (np.zeros((longest, count)) for _ in range(3))
    inflow = np.ones((longest, 7, count))
    for number, schedule in enumerate(schedules):
        own = slice(0, lengths[number])
        volume[own, number] = schedule.volume
        hours[own, number] = schedule.hours
        dried[own, number] = schedule.evapotranspiration
        inflow[own, :, number] = schedule.inflow
    drying = set(np.flatnonzero(dried.any(axis=1)).tolist())
    watering = set(np.flatnonzero(volume.any(axis=1)).tolist())

    kept = longest + 1 if keep_steps else 2
    concentrations = np.empty((kept, 7, count, layers))
    exchanger = np.empty((kept, 4, count, layers))
    gypsum = np.empty((kept, count, layers))
    water = np.empty((kept, count, layers))
    out_volume = np.zeros((longest, count))
    outflow = np.ones((longest, 7, count))
    outlet = np.empty((longest, count))

    def record(row: int) -> None:
        concentrations[row] = columns.concentrations
        exchanger[row] = columns.exchanger
        gypsum[row] = columns.gypsum
        water[row] = columns.water

    record(0)
    for number in range(longest):
        outlet[number] = columns.exchanger[NA, :, -1]
        if number in drying:
            evaporate(columns, volume=dried[number])
        if number in watering:
            # per kilogram of one layer, where volumes are per kilogram of the column
            left, composition = advance(
                columns, volume=volume[number] * layers, inflow=inflow[number], hours=hours[number]
            )
            out_volume[number] = left / layers
            outflow[number] = composition
        if keep_steps:
            record(number + 1)
    if not keep_steps:
        record(1)
    traces = []
    for number, length in enumerate(lengths):
        rows = slice(0, length + 1) if keep_steps else slice(0, 2)
        applied = np.concatenate([[0.0], np.cumsum(schedules[number].volume)])
        traces.append(
            Trace(
                applied=applied,
                kept=applied if keep_steps else applied[[0, -1]],
                concentrations=concentrations[rows, :, number],
                exchanger=exchanger[rows, :, number],
                gypsum=gypsum[rows, number],
                water=water[rows, number],
                # copied, so that sums over steps add up in one order wherever the run was made or is sent
                out_volume=out_volume[:length, number].copy(),
                outflow=outflow[:length, :, number].copy(),
                outlet_sodium=outlet[:length, number].copy(),
            )
        )
    return traces
