"""Seasons on the column: water, drying and gypsum by their dates, many years in one run."""

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.conductivity import electrical_conductivity
from soilx.chemistry.layer_amounts import Layers
from soilx.chemistry.layer_equilibrium import equilibrate
from soilx.chemistry.soil_solution import speciate
from soilx.column.leaching import columns_of
from soilx.column.placement import gypsum_by_layer
from soilx.column.stepping import CA, NA, SO4, Columns, advance, evaporate
from soilx.column.wetting import HOURS_PER_PORE_VOLUME
from soilx.errors import ModelRangeError
from soilx.practice.seasons.field_water import FieldWater
from soilx.practice.seasons.season_arms import SeasonArm, require_alike
from soilx.practice.seasons.season_run import LEDGER, SeasonRun, stack_records
from soilx.practice.seasons.season_timeline import Event, timeline

Array = NDArray[np.float64]
Progress = Callable[[float], None]
"""Called now and then with the part of the work that is done, 0 to 1."""

_ROUNDING: Final = 1e-9


def run_seasons(
    arms: Sequence[SeasonArm],
    *,
    water: FieldWater,
    first: date,
    years: int,
    looks: Iterable[date] = (),
    progress: Progress | None = None,
) -> SeasonRun:
    """What becomes of columns over the years, side by side as one array.

    Parameters
    ----------
    arms : sequence of SeasonArm
        Equally many layers, and one depth.
    water : FieldWater
    first : date
        From when; the soil is then as it was tested, at its initial water.
    years : int
    looks : iterable of date
        Days to look at the columns, beside each month's first and each visit's.
    progress : callable, optional
        Where a person waits.

    Raises
    ------
    ModelRangeError
        If a soil solution grows stronger than the Davies equation allows, 0.5 mol/L; the message names the
        column and the day.
    LimitError
        If columns differ in layers or depth, or something does not fit the years.

    Notes
    -----
    The column is stepped as in `soilx.leach`. Between wettings plants and air take water from every layer in
    proportion to what it holds above the soil's driest water; where the demand is more than that, the rest
    stays unmet and is counted (`SeasonRun.unmet`), as plants that wilt do. Gypsum that is spread waits for
    the next water, which passes at 24 h a pore volume: that is the time it has to dissolve in. Every year
    has the same weather. Water that leaves the column does not come back.
    """
    require_alike(arms)
    events = timeline(arms, water=water, first=first, years=years, looks=looks)
    columns = columns_of([arm.scenario for arm in arms])
    areal = np.array([arm.areal_soil for arm in arms])
    depth = arms[0].scenario.soil.depth
    factors = np.array([arm.evapotranspiration for arm in arms])
    share = np.stack(
        [
            gypsum_by_layer(
                1.0,
                placement=arm.scenario.placement,
                top_fraction=arm.scenario.top_fraction,
                layers=arm.scenario.layers,
            )
            for arm in arms
        ]
    )
    step = np.array([arm.step for arm in arms])
    start, start_water = columns.inventory(), columns.water.mean(axis=1) * areal
    added, spread, leached = (np.zeros((7, len(arms))) for _ in range(3))
    ledger = {name: np.zeros(len(arms)) for name in LEDGER}
    records = []
    now = first
    for number, event in enumerate(events):
        if progress is not None and number % 16 == 0:
            progress(number / len(events))
        asked = water.demand(now, event.day, depth=depth) * factors
        now = event.day
        try:
            _dry(columns, asked=asked, areal=areal, ledger=ledger)
            if event.is_record:
                records.append(
                    (event.day, *_looked_at(columns), {name: ledger[name].copy() for name in LEDGER})
                )
                continue
            dose = event.dose / areal
            if dose.any():
                columns.held = columns.held + dose[:, np.newaxis] * share
                columns.holding = True
                spread[[CA, SO4]] += dose
            left, carried = _wet(columns, event, areal=areal, step=step)
        except ModelRangeError as error:
            raise _too_salty(columns, arms, event.day) from error
        added += event.inflow * (event.depth / areal)
        leached += carried
        ledger[event.source] += event.depth
        ledger["drained"] += left * areal
    if progress is not None:
        progress(1.0)
    return SeasonRun(
        arms=tuple(arms),
        water=water,
        start=start,
        added=added,
        spread=spread,
        leached=leached,
        left=columns.counted(),
        start_water=start_water,
        left_water=columns.water.mean(axis=1) * areal,
        **stack_records(records),
    )


def _dry(columns: Columns, *, asked: Array, areal: Array, ledger: dict[str, Array]) -> None:
    """Take what is asked for as far as the soil gives it, and count what it does not give [mm]."""
    if not asked.any():
        return
    gives = np.maximum(columns.water - columns.residual, 0.0).mean(axis=1) * areal
    taken = np.minimum(asked, gives)
    ledger["evapotranspiration"] += taken
    ledger["unmet"] += asked - taken
    if taken.any():
        evaporate(columns, volume=taken / areal)


def _wet(columns: Columns, event: Event, *, areal: Array, step: Array) -> tuple[Array, Array]:
    """Bring one water onto all columns; what drained, and the ions in it [L/kg], [mmol/kg]."""
    layers = columns.water.shape[1]
    steps = max(1, int(np.ceil((event.depth / step).max() - _ROUNDING)))
    part = event.depth / areal / steps
    hours = HOURS_PER_PORE_VOLUME * part / columns.drained[:, 0]
    drained, carried = np.zeros(part.size), np.zeros((7, part.size))
    for _ in range(steps):
        left, composition = advance(columns, volume=part * layers, inflow=event.inflow, hours=hours)
        drained += left / layers
        carried += composition * (left / layers)
    return drained, carried


def _looked_at(columns: Columns) -> tuple[Array, Array, Array]:
    """Columns as a test would find them, at drained water and without solid gypsum.

    Returns
    -------
    esp : ndarray, shape (B, N) [%]
    conductivity : ndarray, shape (B,)
        Of the soil solution, averaged over the depth [dS/m].
    gypsum : ndarray, shape (B,)
        Solid, as it lies there now [mmol/kg].

    Notes
    -----
    However dry a field is on a day, a soil is tested at one moisture. So are years and columns compared.
    """
    totals = columns.totals
    layers = Layers.of(
        monovalent=totals[2:4].reshape(2, -1),
        magnesium=totals[1].reshape(-1),
        sulfate=totals[4].reshape(-1),
        other_anions=(totals[5] + totals[6]).reshape(-1),
        capacity=columns.capacity.reshape(-1),
        water=columns.drained.reshape(-1),
        selectivity=columns.selectivity.reshape(2, -1),
        magnesium_selectivity=columns.magnesium_selectivity.reshape(-1),
    )
    found = equilibrate(layers)
    shape = columns.water.shape
    dissolved = np.concatenate([found.concentrations.reshape(5, *shape), totals[5:] / columns.drained])
    return (
        100.0 * found.exchanger[NA].reshape(shape),
        electrical_conductivity(dissolved).mean(axis=1),
        columns.gypsum.mean(axis=1),
    )


def _too_salty(columns: Columns, arms: Sequence[SeasonArm], day: date) -> ModelRangeError:
    """The refusal of a soil solution beyond the activity model, with what to change in the field."""
    strength = speciate(columns.concentrations, extrapolate=True).ionic_strength
    # as in stepping: an air-dry layer that no water has reached says nothing
    strength = np.where(columns.wetted, strength, 0.0)
    number = int(strength.max(axis=1).argmax())
    soil = arms[number].scenario.soil
    return ModelRangeError(
        f"soil solution of column “{arms[number].name}” on {day} = {strength[number].max():.3g} mol/L ionic "
        "strength: is too salty for the activity model; the limit of the Davies equation is 0.5 mol/L; salt "
        "builds up where too little water drains: irrigate more, take a better water, or give the soil a "
        f"higher driest_water than {soil.driest_water:.3g} L/kg if plants there leave more."
    )
