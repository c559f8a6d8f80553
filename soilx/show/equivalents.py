"""The same rate and the same water in every unit of the trade, for beside a slider."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from soilx.units import Kind, express

if TYPE_CHECKING:
    from soilx.column.scenario import Scenario

#: Rates per area as each reader knows them, with the decimals worth showing.
RATE_UNITS: Final[dict[str, int]] = {"t/ha": 2, "short_ton/acre": 2, "lb/1000 ft^2": 0}
_SHOWN: Final = {"short_ton/acre": "short ton/acre", "lb/1000 ft^2": "lb/1000 ft²"}

#: Upper end, step, start and decimals: about 20 t/ha, and 7.05 t/ha.
_SLIDERS: Final[dict[str, tuple[float, float, float, int]]] = {
    "t/ha": (20.0, 0.05, 7.05, 2),
    "short_ton/acre": (9.0, 0.05, 3.15, 2),
    "lb/1000 ft^2": (400.0, 1.0, 144.0, 0),
}

_BENCH_SOIL_G: Final = 100.0


def rate_in_every_unit(scenario: Scenario) -> str:
    """Pure gypsum of a scenario per area and per soil.

    Parameters
    ----------
    scenario : Scenario
        Its soil's depth and density turn one into the other.
    """
    ground = scenario.ground
    areas = [
        f"{express(scenario.gypsum, Kind.GYPSUM_RATE, unit, ground=ground):.{digits}f} {shown_unit(unit)}"
        for unit, digits in RATE_UNITS.items()
    ]
    mass = express(scenario.gypsum, Kind.GYPSUM_RATE, "g/kg", ground=ground)
    return f"Pure gypsum: {' = '.join(areas)} = {mass:.2f} g per kg of soil."


def water_in_every_unit(scenario: Scenario) -> str:
    """Water of a scenario in pore volumes, on the bench and on the field.

    Parameters
    ----------
    scenario : Scenario
        Its soil's depth and density turn one into the other.
    """
    ground = scenario.ground
    pores = scenario.volume / scenario.soil.drained_water
    depth = express(scenario.volume, Kind.WATER, "cm", ground=ground)
    bench = scenario.volume * _BENCH_SOIL_G
    return f"Water: {pores:.1f} pore volumes = {bench:.0f} mL on 100 g = {depth:.1f} cm on the field."


def rate_slider(unit: str) -> dict[str, Any]:
    """Range, grid and start of a gypsum slider in a unit, as `soilx.show.control.Control` takes them.

    Parameters
    ----------
    unit : str
        Key of `RATE_UNITS`.
    """
    high, step, value, digits = _SLIDERS[unit]
    return {
        "unit": shown_unit(unit),
        "low": 0.0,
        "high": high,
        "step": step,
        "value": value,
        "digits": digits,
    }


def shown_unit(unit: str) -> str:
    """A unit as people write it."""
    return _SHOWN.get(unit, unit)
