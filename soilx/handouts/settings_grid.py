"""Every setting of a page's sliders computed beforehand: a grid of real runs, read along their water."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from soilx.column.leaching import leach
from soilx.column.placement import WATER
from soilx.column.sweep import sweep
from soilx.errors import SoilxError
from soilx.handouts.grid_reading import Rows, read_run, sodium_brought
from soilx.handouts.settings_axes import (
    Axis,
    capacity_axis,
    gypsum_axis,
    nice_step,
    sodium_axis,
    water_stops,
)
from soilx.show.sentences import RATE_UNIT

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from soilx.column.run import Run
    from soilx.column.scenario import Scenario
    from soilx.column.soil import Soil

    Numbers = Mapping[str, NDArray[Any]]

Node = tuple[int, int, int]
"""Numbers of a stop: gypsum, capacity, sodium."""

CHUNK: Final = 96
"""Runs stepped as one array: few enough that a progress bar moves and memory stays small."""

GYPSUM_STOPS: Final = 13
WATER_STOPS: Final = 25
_SOIL_STOPS: Final = ((7, 7), (5, 5), (3, 3), (1, 1))
#: Numbers on a page, and layers times steps computed for it, at most: about a megabyte and ten seconds.
_MOST_NUMBERS: Final = 600_000
_MOST_WORK: Final = 1_500_000
#: Beyond the scenario's own water the sliders go by this part of it.
_MORE_WATER: Final = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Runs of one scenario's soil at every stop of its sliders.

    Attributes
    ----------
    scenario : Scenario
        Whose own setting is one of the stops.
    longest : Scenario
        The same carried on to the last stop of water.
    gypsum, capacity, sodium, water : Axis
        Stops of the sliders; one stop alone is not asked for. Water is in pore volumes.
    rows : Rows
        At which rows of every run it is read.
    numbers : mapping of Node to mapping of str to ndarray
        What `soilx.handouts.grid_reading.read_run` reads of each run.
    refusals : mapping of Node to str
        Why there is no run, at the stops where there is none.
    brought : tuple of float
        Sodium that came with the water until each of its stops [mg/kg].
    """

    scenario: Scenario
    longest: Scenario
    gypsum: Axis
    capacity: Axis
    sodium: Axis
    water: Axis
    rows: Rows
    numbers: Mapping[Node, Numbers]
    refusals: Mapping[Node, str]
    brought: tuple[float, ...]

    @property
    def axes(self) -> tuple[Axis, ...]:
        """Of the sliders, in the order of the page."""
        return (self.gypsum, self.water, self.capacity, self.sodium)

    @property
    def nodes(self) -> Iterator[Node]:
        """Every stop but for water, gypsum running fastest."""
        shape = (len(self.sodium.values), len(self.capacity.values), len(self.gypsum.values))
        for sodium, capacity, gypsum in itertools.product(*map(range, shape)):
            yield gypsum, capacity, sodium

    def scenario_at(self, node: Node) -> Scenario:
        """The scenario that is run at a stop, with all the water that the sliders go to.

        Parameters
        ----------
        node : Node

        Raises
        ------
        SoilxError
            If there is no such soil or scenario.
        """
        gypsum, capacity, sodium = node
        return self.dosed(self.soil_at(capacity, sodium), gypsum)

    def dosed(self, soil: Soil, gypsum: int) -> Scenario:
        """The scenario of a soil at a stop of gypsum.

        Parameters
        ----------
        soil : Soil
            Of `soil_at`.
        gypsum : int
            Number of the stop.

        Raises
        ------
        SoilxError
            If the water cannot carry so much.
        """
        # The scenario's own rate stays as it was typed, whatever its unit.
        given = {} if gypsum == self.gypsum.own else {"gypsum": self.gypsum.typed(gypsum)}
        return self.longest.with_(soil=soil, **given)

    def soil_at(self, capacity: int, sodium: int) -> Soil:
        """The soil at a stop: the scenario's own, or that one changed.

        Parameters
        ----------
        capacity, sodium : int
            Numbers of the stops.
        """
        soil = self.scenario.soil
        if capacity != self.capacity.own:
            soil = soil.with_capacity(self.capacity.typed(capacity))
        if sodium != self.sodium.own:
            soil = soil.with_exchangeable_sodium_percentage(self.sodium.typed(sodium))
        return soil


def grid_of(
    scenario: Scenario,
    *,
    gypsum_unit: str = RATE_UNIT,
    few: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> Grid:
    """Runs of a scenario at every stop of gypsum, exchange capacity and exchangeable sodium at the start.

    Parameters
    ----------
    scenario : Scenario
        With water. Its own setting is one of the stops, to the last digit.
    gypsum_unit : str
        In which rates are read: stops print well in it.
    few : bool
        Gypsum and water alone move.
    progress : callable, optional
        Told how many runs of how many are done.

    Raises
    ------
    SoilxError
        If the scenario itself cannot be run. At other stops that is a result, kept with the reason.
    """
    run, own_row = with_more_water(scenario)
    longest = run.scenario
    applied = run.applied_pore_volumes.tolist()
    kept = {own_row, *_ends(scenario, run)}
    rows = Rows.of(applied, water_stops(applied, kept, stops=WATER_STOPS))
    water = Axis(
        key="water",
        unit="pore volumes",
        values=tuple(applied[row] for row in rows.stops),
        digits=2,
        own=rows.stops.index(own_row),
    )
    gypsum = gypsum_axis(scenario, gypsum_unit, stops=GYPSUM_STOPS)
    each = sum(numbers.size for numbers in read_run(run, rows).values())
    work = run.steps * run.layers
    capacity, sodium = next(
        axes
        for stops in (_SOIL_STOPS[-1:] if few else _SOIL_STOPS)
        for axes in ((capacity_axis(scenario, stops=stops[0]), sodium_axis(scenario, stops=stops[1])),)
        for runs in (len(gypsum.values) * len(axes[0].values) * len(axes[1].values),)
        if stops == (1, 1) or (runs * each <= _MOST_NUMBERS and runs * work <= _MOST_WORK)
    )
    numbers: dict[Node, Numbers] = {}
    refusals: dict[Node, str] = {}
    grid = Grid(
        scenario=scenario,
        longest=longest,
        gypsum=gypsum,
        capacity=capacity,
        sodium=sodium,
        water=water,
        rows=rows,
        numbers=MappingProxyType(numbers),
        refusals=MappingProxyType(refusals),
        brought=sodium_brought(longest, rows),
    )
    planned = _planned(grid, refusals)
    total = len(planned) + len(refusals)
    for first in range(0, len(planned), CHUNK):
        for node, result in _runs(planned[first : first + CHUNK]):
            if isinstance(result, SoilxError):
                refusals[node] = str(result)
            else:
                numbers[node] = read_run(result, rows)
        if progress is not None:
            progress(len(numbers) + len(refusals), total)
    return grid


def with_more_water(scenario: Scenario) -> tuple[Run, int]:
    """The run of a scenario carried on by half as much of its last water, and the row at which its own ends.

    Parameters
    ----------
    scenario : Scenario

    Raises
    ------
    SoilxError
        If the scenario itself cannot be run.

    Notes
    -----
    One whose gypsum is dissolved in all its water, or that dries after its last water, is not carried on:
    more water would make it another scenario from its beginning. Nor is one that could not be run so far.
    """
    run = leach(scenario)
    last = scenario.wettings[-1]
    if last.evapotranspiration > 0 or (scenario.placement == WATER and scenario.gypsum > 0):
        return run, run.steps
    own = scenario.volume / scenario.soil.drained_water
    grain = nice_step(own / WATER_STOPS, whole=scenario.displaced_fraction / scenario.layers)
    more = round(max(1, round(_MORE_WATER * own / grain)) * grain, 9)
    hours = last.hours * more * scenario.soil.drained_water / last.volume
    added = {"amount": f"{more:.12g} pore_volume", "water": last.water, "hours": f"{hours:.12g} h"}
    try:
        return leach(scenario.with_(wettings=(*scenario.wettings, added))), run.steps
    except SoilxError:
        return run, run.steps


def _ends(scenario: Scenario, run: Run) -> Iterator[int]:
    """Rows at which the scenario's wettings end, dried where they dry."""
    wetted, applied = 0.0, run.applied_water.tolist()
    for wetting in scenario.wettings:
        wetted += wetting.volume
        yield max(range(len(applied)), key=lambda row: (-abs(applied[row] - wetted), row))


def _planned(grid: Grid, refusals: dict[Node, str]) -> list[tuple[Node, Scenario]]:
    """Scenarios of all stops that have one; why the others have none is put down."""
    planned: list[tuple[Node, Scenario]] = []
    soils: dict[tuple[int, int], Soil | SoilxError] = {}
    for node in grid.nodes:
        gypsum, capacity, sodium = node
        try:
            if (capacity, sodium) not in soils:
                soils[capacity, sodium] = _or_refusal(grid, capacity, sodium)
            soil = soils[capacity, sodium]
            if isinstance(soil, SoilxError):
                raise soil
            planned.append((node, grid.dosed(soil, gypsum)))
        except SoilxError as refusal:
            refusals[node] = str(refusal)
    return planned


def _or_refusal(grid: Grid, capacity: int, sodium: int) -> Soil | SoilxError:
    try:
        return grid.soil_at(capacity, sodium)
    except SoilxError as refusal:
        return refusal


def _runs(planned: Sequence[tuple[Node, Scenario]]) -> Iterator[tuple[Node, Run | SoilxError]]:
    """Runs of scenarios; one that cannot be run is found by halves, so that it holds up no other."""
    try:
        runs = sweep([scenario for _, scenario in planned])
    except SoilxError as refusal:
        if len(planned) == 1:
            yield planned[0][0], refusal
            return
        half = len(planned) // 2
        yield from _runs(planned[:half])
        yield from _runs(planned[half:])
        return
    yield from zip((node for node, _ in planned), runs, strict=True)
