"""What a page for a reader is made of: the verdict, and beside it only what the verdict allows."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, TypeVar

from soilx.column.fields import Typed
from soilx.column.files import demo_path, read_soils
from soilx.column.leaching import leach
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.column.soil_fields import OBSERVATIONS
from soilx.column.water import DEIONISED_NAME, Water
from soilx.errors import SoilxError
from soilx.practice.decision_record import DecisionRecord
from soilx.practice.dose.product import PURE, Product
from soilx.practice.dose.requirement import Requirement, hand_requirement
from soilx.practice.dose.requirement_column import ColumnRequirement, least_gypsum
from soilx.practice.dose.uncertain_inputs import input_ranges
from soilx.practice.dose.uncertainty import RequirementBand, requirement_band
from soilx.practice.judgement.irrigation_water import floor_esp_pct
from soilx.practice.judgement.verdict import Decision
from soilx.practice.judgement.water_depths import WaterDepths, water_depths
from soilx.practice.soil_test.report import Report
from soilx.practice.soil_test.report_fields import REPORT_FIELD
from soilx.practice.soil_test.report_ranges import ranges_of_report
from soilx.show.field_answer import PORE_VOLUMES
from soilx.units import quantity

_Made = TypeVar("_Made")

DRAWS: Final = 500
"""Of the band of a rate: enough for ends that are printed to three figures at most."""

_LACKS: Final = re.compile(r"it lacks ([a-z_]+(?:, [a-z_]+)*)")
_SYMBOLS: Final = (("ca", "calcium"), ("mg", "magnesium"), ("na", "sodium"), ("k", "potassium"))


@dataclass(frozen=True, kw_only=True, eq=False)
class ReaderFacts:
    """A decision with what may be said beside it.

    Attributes
    ----------
    record : DecisionRecord
        From which it is made again.
    report : Report
    water : Water or None
        What the ground is watered with.
    decision : Decision
    product : Product
    soil : Soil or None
        Of the column; None where the report is too thin for one.
    lacking : tuple of str
        What the report has to say before there is a column, in words.
    hand : Requirement or None
        In the product; None unless the verdict allows a rate.
    column : ColumnRequirement or None
        The column's own answer with the same water, likewise.
    depths : WaterDepths or None
    band : RequirementBand or None
    scenario : Scenario or None
        Whose page it is, where it is a scenario's.
    runs : tuple of Run
        Its column with gypsum and without.
    invented : bool
        Whether it is a soil of the demonstration.
    """

    record: DecisionRecord
    report: Report
    water: Water | None
    decision: Decision
    product: Product
    soil: Soil | None
    lacking: tuple[str, ...] = ()
    hand: Requirement | None = None
    column: ColumnRequirement | None = None
    depths: WaterDepths | None = None
    band: RequirementBand | None = None
    scenario: Scenario | None = None
    runs: tuple[Run, ...] = ()
    invented: bool = False

    @property
    def laboratory_water(self) -> bool:
        """Whether a scenario's column was leached with a laboratory's water alone."""
        return self.scenario is not None and self.water is None and bool(self.scenario.wettings)


def facts_of(
    source: DecisionRecord | Scenario,
    *,
    draws: int = DRAWS,
    progress: Callable[[float], None] | None = None,
) -> ReaderFacts:
    """Facts of a decision or a scenario.

    Parameters
    ----------
    source : DecisionRecord or Scenario
    draws : int
        Of the band of the rate.
    progress : callable, optional
        Told how much of the band is drawn, from 0 to 1.

    Raises
    ------
    SoilxError
        If the record cannot be read.

    Notes
    -----
    No rate is worked out where the verdict allows none: what is not there cannot slip onto a page.
    """
    scenario = source if isinstance(source, Scenario) else None
    record = record_of(source) if isinstance(source, Scenario) else source
    report, water, decision = record.report(), record.irrigation_water(), record.decision()
    product = record.amendment()
    soil, lacking = _column_of(report)
    runs = (leach(scenario), leach(scenario.without_gypsum())) if scenario and scenario.wettings else ()
    invented = _is_invented(record.soil)
    if not decision.rate_allowed:
        return ReaderFacts(
            record=record,
            report=report,
            water=water,
            decision=decision,
            product=product,
            soil=soil,
            lacking=lacking,
            scenario=scenario,
            runs=runs,
            invented=invented,
        )
    target = decision.target_esp_pct
    hand = column = depths = band = None
    if soil is not None:
        # Without a column nobody can say how much water the rate takes, and half a plan is none.
        hand = _or_none(lambda: hand_requirement(report, target_esp=target, factor=record.factor))
    if hand is not None and soil is not None and water is not None:
        dose, watered = hand.pure_with_factor, _watered(soil, water)
        column = _or_none(lambda: least_gypsum(watered, target_esp_pct=target))
        depths = _or_none(lambda: water_depths(soil, gypsum=dose, water=water, target_esp=target))
        band = _or_none(
            lambda: requirement_band(
                watered,
                target_esp_pct=target,
                ranges=input_ranges(watered, known=ranges_of_report(report)),
                draws=draws,
                progress=progress,
            )
        )
    return ReaderFacts(
        record=record,
        report=report,
        water=water,
        decision=decision,
        product=product,
        soil=soil,
        lacking=lacking,
        hand=hand if hand is None or product == PURE else hand.with_product(product),
        column=column,
        depths=depths,
        band=band,
        scenario=scenario,
        runs=runs,
        invented=invented,
    )


def record_of(scenario: Scenario) -> DecisionRecord:
    """The decision that a scenario is about: its soil, and the water that brings most sodium.

    Parameters
    ----------
    scenario : Scenario

    Notes
    -----
    Deionised water is a laboratory's and irrigates nothing, so that it decides nothing about a field. Of
    several waters the one with the highest floor stands for the irrigation: it decides what lasts.
    """
    waters = [each.water for each in scenario.wettings if each.water.name != DEIONISED_NAME]
    return DecisionRecord.of(
        report_of(scenario.soil),
        water=max(waters, key=floor_esp_pct, default=None),
        aim={"title": scenario.title} if scenario.title else None,
    )


def report_of(soil: Soil) -> Report:
    """The soil test that a column's soil was typed from.

    Parameters
    ----------
    soil : Soil
        One that was changed after it was typed gives what its column holds, and no extract.
    """
    typed = dict(soil.typed)
    if not soil.changes:
        return Report.of(**typed)
    capacity, clay = soil.cation_exchange_capacity, soil.state.exchanger
    return Report.of(
        name=soil.name,
        depth=f"{soil.depth!r} mm",
        bulk_density=f"{soil.bulk_density!r} kg/L",
        cation_exchange_capacity=f"{capacity!r} mmol_c/kg",
        exchangeable_basis="exchangeable",
        **{
            f"exchangeable_{name}": f"{capacity * getattr(clay, symbol)!r} mmol_c/kg"
            for symbol, name in _SYMBOLS
        },
        **{key: typed[key] for key in OBSERVATIONS if key in typed},
    )


def _column_of(report: Report) -> tuple[Soil | None, tuple[str, ...]]:
    """The column's soil, or what the report lacks for one."""
    try:
        return report.soil(), ()
    except SoilxError as refused:
        found = _LACKS.search(str(refused))
        keys = found[1].split(", ") if found else []
        return None, tuple(REPORT_FIELD[key].title for key in keys if key in REPORT_FIELD)


def _watered(soil: Soil, water: Water) -> Scenario:
    return Scenario.of(soil=soil, wettings=[(quantity(PORE_VOLUMES, "pore_volume"), water)])


def _is_invented(typed: Typed) -> bool:
    return any(dict(soil.typed) == dict(typed) for soil in read_soils(demo_path("soils.csv")).values())


def _or_none(make: Callable[[], _Made]) -> _Made | None:
    """What is made, or None where the numbers do not allow it; the page then does without."""
    try:
        return make()
    except SoilxError:
        return None
