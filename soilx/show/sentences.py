"""What a pair of runs says, in one sentence each: for the eye, for a screen reader, for a handout."""

from __future__ import annotations

from typing import TYPE_CHECKING

from soilx.show.marks import TREATED, UNTREATED
from soilx.show.tables import Arms
from soilx.units import Kind, express

if TYPE_CHECKING:
    from soilx.column.run import Run
    from soilx.column.scenario import Scenario
    from soilx.column.soil import Soil


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


def outcome(*, treated: Run, untreated: Run) -> str:
    """The sentence under the sliders: what gypsum and water did, and what the same water did alone.

    Parameters
    ----------
    treated, untreated : Run
        The same soil and water with gypsum and without.
    """
    water = f"{treated.applied_pore_volumes[-1]:.1f} pore volumes of water"
    began, ended, alone = treated.initial_esp_pct, treated.final_esp_pct, untreated.final_esp_pct
    rate = _rate(treated.scenario)
    if rate == 0:
        return (
            f"Without gypsum both columns are the same: after {water}, "
            f"exchangeable sodium goes from {_pct(began)} to {_pct(alone)}."
        )
    return (
        f"With {rate:.2f} t/ha of pure gypsum and {water}, exchangeable sodium goes from {_pct(began)} "
        f"to {_pct(ended)}; with the same water alone, to {_pct(alone)}."
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


def leachate_caption(arms: Arms) -> str:
    """How much sodium each column lost, in numbers.

    Parameters
    ----------
    arms : mapping of str to Run
        The treated and the untreated column by name.
    """
    treated, untreated = arms[TREATED], arms[UNTREATED]
    if not any(treated.step_leachate.volume > 0):
        return "The water only wetted the soil. Nothing has drained yet, so no sodium has left."
    return (
        f"Washed out of {treated.sodium_initial_mg_per_kg:.0f} mg/kg sodium: "
        f"{treated.sodium_leached_mg_per_kg:.0f} with gypsum, "
        f"{untreated.sodium_leached_mg_per_kg:.0f} with none."
    )


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


def _rate(scenario: Scenario) -> float:
    return express(scenario.gypsum, Kind.GYPSUM_RATE, "t/ha", ground=scenario.ground)


def _pct(value: float) -> str:
    """A percentage that does not break before its sign."""
    return f"{value:.1f}\N{NO-BREAK SPACE}%"
