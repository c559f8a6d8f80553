"""What a pair of runs says, in one sentence each: for the eye, for a screen reader, for a handout."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from soilx.show import stage_records
from soilx.show.marks import TREATED, UNTREATED
from soilx.show.tables import Arms
from soilx.units import Kind, express

if TYPE_CHECKING:
    from soilx.column.run import Run
    from soilx.column.scenario import Scenario
    from soilx.column.soil import Soil

RATE_UNIT: Final = "t/ha"

RATE_DIGITS: Final = {RATE_UNIT: 2, "short ton/acre": 2, "lb/1000 ft²": 0}
"""Decimals by the units in which a rate is read."""

_UNIT_TEXTS: Final = {"lb/1000 ft²": "lb/1000 ft^2", "short ton/acre": "short_ton/acre"}


def setting(run: Run) -> str:
    """Gypsum, water and capacity of a run, short: "7.05 t/ha, 4.00 pore volumes, 24.0 cmol_c/kg".

    Parameters
    ----------
    run : Run
        The treated column.
    """
    scenario = run.scenario
    capacity = express(scenario.soil.cation_exchange_capacity, Kind.EXCHANGE_CAPACITY, "cmol_c/kg")
    water = run.applied_pore_volumes[-1]
    return f"{_rate(scenario):.2f} t/ha, {water:.2f} pore volumes, {capacity:.1f} cmol_c/kg"


def kept(run: Run) -> str:
    """A curve that was kept, in one line: soil, gypsum, water, and what it came to.

    Parameters
    ----------
    run : Run
        The treated column.
    """
    rate, water = _rate(run.scenario), run.applied_pore_volumes[-1]
    return (
        f"{run.scenario.soil.name}, {rate:.2f} t/ha, {water:.1f} pore volumes: {_pct(run.final_esp_pct)} on "
        "average"
    )


def outcome(*, treated: Run, untreated: Run, unit: str = RATE_UNIT) -> str:
    """The sentence under the sliders: what gypsum and water did, and what the same water did alone.

    Parameters
    ----------
    treated, untreated : Run
        The same soil and water with gypsum and without.
    unit : str
        In which the rate is said.
    """
    if not treated.scenario.volume:
        return (
            f"No water yet. Both columns hold {_pct(treated.final_esp_pct)} exchangeable sodium; gypsum does "
            "nothing until it is wet."
        )
    water = f"{treated.applied_pore_volumes[-1]:.1f} pore volumes of water"
    began, ended, alone = treated.initial_esp_pct, treated.final_esp_pct, untreated.final_esp_pct
    rate = _rate(treated.scenario)
    if rate == 0:
        return (
            f"Without gypsum both columns are the same: after {water}, "
            f"exchangeable sodium goes from {_pct(began)} to {_pct(alone)}."
        )
    return (
        f"With {rate_text(treated.scenario, unit)} of pure gypsum and {water}, exchangeable sodium goes "
        f"from {_pct(began)} to {_pct(ended)}; with the same water alone, to {_pct(alone)}."
    )


def columns_caption(arms: Arms) -> str:
    """What the drawing of both columns shows, in numbers.

    Parameters
    ----------
    arms : mapping of str to Run
        The treated and the untreated column by name.
    """
    treated, untreated = arms[TREATED], arms[UNTREATED]
    return f"Average {_pct(treated.final_esp_pct)} with gypsum, {_pct(untreated.final_esp_pct)} with none."


def depth_caption(arms: Arms) -> str:
    """What the profiles show, in numbers.

    Parameters
    ----------
    arms : mapping of str to Run
        The treated and the untreated column by name.
    """
    treated, untreated = arms[TREATED], arms[UNTREATED]
    with_gypsum, without = treated.final_esp_by_layer_pct, untreated.final_esp_by_layer_pct
    return (
        f"Top to bottom: {with_gypsum[0]:.1f} to {_pct(with_gypsum[-1])} with gypsum, "
        f"{without[0]:.1f} to {_pct(without[-1])} with none; {_pct(treated.initial_esp_pct)} at the start."
    )


def question(soil: Soil) -> str:
    """What the lecture's first screen asks.

    Parameters
    ----------
    soil : Soil
        Of both columns.
    """
    return f"{soil.name}: what does gypsum take off the clay?"


def soil_line(soil: Soil) -> str:
    """Which soil this is: name, depth, density, and what one pore volume of it means.

    Parameters
    ----------
    soil : Soil
        The soil of a column.
    """
    depth = express(soil.depth, Kind.DEPTH, "cm")
    water = express(soil.drained_water, Kind.WATER, "cm", ground=soil.ground)
    return (
        f"{soil.name}, {depth:g} cm deep, {soil.bulk_density:.2f} kg/L. One pore volume is the water the "
        f"drained column holds: {soil.drained_water:.2f} L/kg, {water:.1f} cm of water on the field."
    )


def assumptions(*, treated: Run, untreated: Run) -> list[str]:
    """Every default in use and every note of the soil and the waters, a sentence each.

    Parameters
    ----------
    treated, untreated : Run
        The same soil and water with gypsum and without.
    """
    found = {**untreated.scenario.defaults, **treated.scenario.defaults}
    return [*(f"{name}: {value}" for name, value in found.items()), *treated.scenario.notes]


def curve_caption(arms: Arms, of: str) -> str:
    """A property of the first and the last leachate of each column, in numbers.

    Parameters
    ----------
    arms : mapping of str to Run
        The treated and the untreated column by name.
    of : str
        One of `soilx.show.stage_records.PROPERTIES`.
    """
    wanted = stage_records.PROPERTIES[of]
    said = []
    for arm, run in arms.items():
        values = wanted.values(run.step_leachate)
        if values.size == 0:
            return "The water only wetted the soil. Nothing has drained yet, so no sodium has left."
        said.append(f"{wanted.text(values[0])} to {wanted.text(values[-1])} {arm}")
    return f"First to last water: {'; '.join(said)}."


def places_caption(arms: Arms) -> str:
    """Where the sodium is, in numbers.

    Parameters
    ----------
    arms : mapping of str to Run
        The treated and the untreated column by name.
    """
    treated, untreated = arms[TREATED], arms[UNTREATED]
    brought = treated.sodium_added_mg_per_kg
    water = f", and the water brought {brought:.0f}" if brought >= 0.5 else ""
    return (
        f"The soil began with {treated.sodium_initial_mg_per_kg:.0f} mg/kg of sodium{water}. Still on the "
        f"clay: {treated.sodium_on_clay_mg_per_kg:.0f} with gypsum, "
        f"{untreated.sodium_on_clay_mg_per_kg:.0f} with none."
    )


def clarity_caption(arms: Arms) -> str:
    """From which water on each column may run cloudy, in numbers.

    Parameters
    ----------
    arms : mapping of str to Run
        The treated and the untreated column by name.
    """
    if not any(run.leachate.volume.any() for run in arms.values()):
        return "The water only wetted the soil. Nothing has drained yet, so no sodium has left."
    said = []
    for arm, run in arms.items():
        begins = [0.0, *run.leachate.applied_pore_volumes[:-1]]
        dim = [begin for begin, look in zip(begins, run.leachate.clarity, strict=True) if look in _NOT_CLEAR]
        until = f"all clear up to {run.applied_pore_volumes[-1]:.2f} pore volumes"
        said.append(f"{arm}, {f'not surely clear from {dim[0]:.2f} pore volumes on' if dim else until}")
    return f"{'; '.join(said)}.".capitalize()


def portion(arms: Arms) -> str:
    """Which portion was the last, and the soil after it.

    Parameters
    ----------
    arms : mapping of str to Run
        The treated and the untreated column by name.
    """
    treated, untreated = arms[TREATED], arms[UNTREATED]
    number = treated.leachate.volume.size
    if number == 0:
        return "No water yet. Press “Next portion”."
    ends = [0.0, *treated.leachate.applied_pore_volumes]
    return (
        f"Portion {number}, {ends[-2]:.2f} to {ends[-1]:.2f} pore volumes. After it the clay holds "
        f"{_pct(treated.final_esp_pct)} sodium with gypsum, {_pct(untreated.final_esp_pct)} with none."
    )


def rate_text(scenario: Scenario, unit: str) -> str:
    """A scenario's gypsum as an area rate: "7.05 t/ha".

    Parameters
    ----------
    scenario : Scenario
    unit : str
        One of `RATE_DIGITS`.
    """
    rate = express(scenario.gypsum, Kind.GYPSUM_RATE, _UNIT_TEXTS.get(unit, unit), ground=scenario.ground)
    return f"{rate:.{RATE_DIGITS[unit]}f} {unit}"


_NOT_CLEAR: Final = ("may cloud", "cloudy")


def _rate(scenario: Scenario) -> float:
    return express(scenario.gypsum, Kind.GYPSUM_RATE, RATE_UNIT, ground=scenario.ground)


def _pct(value: float) -> str:
    """A percentage that does not break before its sign."""
    return f"{value:.1f}\N{NO-BREAK SPACE}%"
