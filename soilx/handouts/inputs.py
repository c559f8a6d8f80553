"""What was put into a pair of columns, as tables in the units that readers use."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Final

from soilx.chemistry.ions import IONS
from soilx.column.dissolution import FIRST_ORDER
from soilx.show.tables import NumberTable
from soilx.units import Kind, express

if TYPE_CHECKING:
    from soilx.column.scenario import Scenario
    from soilx.column.water import Water

RATE_UNITS: Final = (
    ("t/ha", "t/ha", 2),
    ("short_ton/acre", "short ton/acre", 2),
    ("lb/1000 ft^2", "lb/1000 ft²", 1),
    ("g/kg", "g/kg of soil", 2),
)
"""Unit, as a page writes it, decimals."""


def gypsum_table(scenario: Scenario) -> NumberTable:
    """The rate in every unit, a row each.

    Parameters
    ----------
    scenario : Scenario
        Of the treated column.
    """
    return NumberTable(
        titles=("Unit", "Pure gypsum"),
        rows=tuple(
            (
                written,
                f"{express(scenario.gypsum, Kind.GYPSUM_RATE, unit, ground=scenario.ground):.{digits}f}",
            )
            for unit, written, digits in RATE_UNITS
        ),
    )


def placement(scenario: Scenario) -> str:
    """Where the gypsum was put and how it dissolves, in a sentence.

    Parameters
    ----------
    scenario : Scenario
        Of the treated column.
    """
    top = express(scenario.top_fraction * scenario.soil.depth, Kind.DEPTH, "cm")
    where = {
        "mixed": "mixed through the whole column",
        "top": f"mixed into the top {top:g} cm",
        "surface": "laid on the surface",
        "water": "dissolved in the water applied",
    }[scenario.placement]
    how = "it dissolves until the water is saturated"
    if scenario.dissolution == FIRST_ORDER:
        how = f"it dissolves by first order, {scenario.dissolution_rate:.4g} per hour"
    return f"Placement: {where}; {how}."


def soil_table(scenario: Scenario) -> NumberTable:
    """The soil as the column starts from it.

    Parameters
    ----------
    scenario : Scenario
        Either column; both have this soil.
    """
    soil, ground = scenario.soil, scenario.ground
    clay, capacity = soil.state.exchanger, soil.cation_exchange_capacity
    depth = express(soil.depth, Kind.DEPTH, "cm")

    def water(value: float) -> tuple[str, str]:
        return f"{value:.3f}", f"{express(value, Kind.WATER, 'cm', ground=ground):.1f}"

    (wet, wet_cm), (drained, drained_cm) = water(soil.initial_water), water(soil.drained_water)
    rows: list[tuple[str, str, str]] = [
        ("Depth", f"{depth:g}", "cm"),
        ("Bulk density, oven-dry", f"{soil.bulk_density:.2f}", "kg/L"),
        (
            "Cation exchange capacity",
            f"{express(capacity, Kind.EXCHANGE_CAPACITY, 'cmol_c/kg'):.2f}",
            "cmol_c/kg",
        ),
        ("Water when drained, one pore volume", drained, "L/kg"),
        ("The same, on the field", drained_cm, "cm"),
        ("Water at the start", wet, "L/kg"),
        ("The same, on the field", wet_cm, "cm"),
    ]
    rows += [
        (f"On the clay when drained: {name}", f"{100.0 * share:.1f}", "% of its charge")
        for name, share in (
            ("calcium", clay.ca),
            ("magnesium", clay.mg),
            ("sodium", clay.na),
            ("potassium", clay.k),
        )
    ]
    rows += [
        ("Soil solution when drained: EC at 25 °C", f"{soil.electrical_conductivity:.2f}", "dS/m"),
        ("Soil solution when drained: SAR", f"{soil.sodium_adsorption_ratio:.1f}", "√(mmol/L)"),
    ]
    return NumberTable(titles=("Soil", "Value", "Unit"), rows=tuple(rows))


def wetting_table(scenario: Scenario) -> NumberTable:
    """Each application of water, and all of them together.

    Parameters
    ----------
    scenario : Scenario
        Either column; both get this water.
    """
    ground = scenario.ground

    def amounts(volume: float) -> tuple[str, str, str]:
        return (
            f"{volume / scenario.soil.drained_water:.2f}",
            f"{express(volume, Kind.WATER, 'cm', ground=ground):.1f}",
            f"{volume:.3f}",
        )

    rows = [
        (
            f"{number}",
            wetting.water.name,
            *amounts(wetting.volume),
            f"{wetting.hours:.4g}",
            f"{len(wetting.portions)}",
            f"{express(wetting.evapotranspiration, Kind.WATER, 'cm', ground=ground):.1f}",
        )
        for number, wetting in enumerate(scenario.wettings, start=1)
    ]
    if len(rows) > 1:
        dried = sum(wetting.evapotranspiration for wetting in scenario.wettings)
        rows.append(
            (
                "all",
                "",
                *amounts(scenario.volume),
                f"{sum(wetting.hours for wetting in scenario.wettings):.4g}",
                f"{sum(len(wetting.portions) for wetting in scenario.wettings)}",
                f"{express(dried, Kind.WATER, 'cm', ground=ground):.1f}",
            )
        )
    return NumberTable(
        titles=(
            "Wetting",
            "Water",
            "Applied, pore volumes",
            "On the field, cm",
            "Per soil, L/kg",
            "Hours",
            "Portions caught",
            "Dried afterwards, cm",
        ),
        rows=tuple(rows),
    )


def water_table(waters: Iterable[Water]) -> NumberTable:
    """What each water holds.

    Parameters
    ----------
    waters : iterable of Water
        A row each.
    """
    return NumberTable(
        titles=(
            "Water",
            *(f"{symbol}, mmol_c/L" for symbol in IONS),
            "EC, dS/m",
            "SAR, √(mmol/L)",
        ),
        rows=tuple(
            (
                water.name,
                *(
                    f"{express(amount, Kind.CONCENTRATION, 'mmol_c/L', ion=ion):.4g}"
                    for ion, amount in zip(IONS.values(), water.solution.as_array(), strict=True)
                ),
                _conductivity(water.electrical_conductivity),
                f"{water.sodium_adsorption_ratio:.2g}",
            )
            for water in waters
        ),
    )


def waters_of(scenario: Scenario) -> Mapping[str, Water]:
    """The waters of a scenario by name, in the order of use.

    Parameters
    ----------
    scenario : Scenario
        Whose wettings are read.
    """
    return {wetting.water.name: wetting.water for wetting in scenario.wettings}


def _conductivity(value: float) -> str:
    return "<0.001" if value < 0.0005 else f"{value:.3f}"
