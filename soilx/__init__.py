"""Calcium from gypsum, sodium on clay, and the water that carries it off: the public names, nothing else."""

from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

from soilx.chemistry.cation_exchange import Selectivity
from soilx.chemistry.clarity import Clarity
from soilx.chemistry.soil_solution import Solution
from soilx.column.files import demo_path, read_scenario, read_soils, read_waters, write_scenario
from soilx.column.leachate import Leachate
from soilx.column.leaching import leach
from soilx.column.run import ElementBalance, Run
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.column.sweep import sweep
from soilx.column.sweep_stream import sweep_stream
from soilx.column.water import DEIONISED, Water
from soilx.column.wetting import Wetting
from soilx.errors import (
    ConvergenceError,
    FileError,
    LimitError,
    ModelRangeError,
    SoilxError,
    TargetError,
    UnitKindError,
)
from soilx.units import quantity

if TYPE_CHECKING:
    from soilx.bench.budget import budget_of
    from soilx.bench.record import Record
    from soilx.bench.record_reading import read_record
    from soilx.practice.decision_file import read_decision, write_decision
    from soilx.practice.decision_record import DecisionRecord
    from soilx.practice.dose.decision_map import decision_map
    from soilx.practice.dose.gypsum_rate import Requirement
    from soilx.practice.dose.product import Product
    from soilx.practice.dose.products_file import read_products
    from soilx.practice.dose.requirement import gypsum_requirement, hand_requirement
    from soilx.practice.dose.requirement_column import least_gypsum, least_water
    from soilx.practice.estimate import Estimate
    from soilx.practice.judgement.diagnosis import Diagnosis, diagnose
    from soilx.practice.judgement.irrigation_water import floor_esp_pct
    from soilx.practice.judgement.verdict import Decision, decide
    from soilx.practice.seasons.climate_file import read_climates
    from soilx.practice.seasons.programme import Programme
    from soilx.practice.soil_test.report import Report, read_reports

__all__ = [
    "DEIONISED",
    "Clarity",
    "ConvergenceError",
    "Decision",
    "DecisionRecord",
    "Diagnosis",
    "ElementBalance",
    "Estimate",
    "FileError",
    "Leachate",
    "LimitError",
    "ModelRangeError",
    "Product",
    "Programme",
    "Record",
    "Report",
    "Requirement",
    "Run",
    "Scenario",
    "Selectivity",
    "Soil",
    "SoilxError",
    "Solution",
    "TargetError",
    "UnitKindError",
    "Water",
    "Wetting",
    "budget_of",
    "decide",
    "decision_map",
    "demo_path",
    "diagnose",
    "floor_esp_pct",
    "gypsum_requirement",
    "hand_requirement",
    "leach",
    "least_gypsum",
    "least_water",
    "quantity",
    "read_climates",
    "read_decision",
    "read_products",
    "read_record",
    "read_reports",
    "read_scenario",
    "read_soils",
    "read_waters",
    "sweep",
    "sweep_stream",
    "write_decision",
    "write_scenario",
]

# Loaded when they are first asked for: a lecture, or a scenario that is leached, needs none of them.
_ON_FIRST_USE: Final = {
    "budget_of": "soilx.bench.budget",
    "Record": "soilx.bench.record",
    "read_record": "soilx.bench.record_reading",
    "decision_map": "soilx.practice.dose.decision_map",
    "Requirement": "soilx.practice.dose.gypsum_rate",
    "Product": "soilx.practice.dose.product",
    "read_products": "soilx.practice.dose.products_file",
    "gypsum_requirement": "soilx.practice.dose.requirement",
    "hand_requirement": "soilx.practice.dose.requirement",
    "least_gypsum": "soilx.practice.dose.requirement_column",
    "least_water": "soilx.practice.dose.requirement_column",
    "Estimate": "soilx.practice.estimate",
    "Diagnosis": "soilx.practice.judgement.diagnosis",
    "diagnose": "soilx.practice.judgement.diagnosis",
    "floor_esp_pct": "soilx.practice.judgement.irrigation_water",
    "Decision": "soilx.practice.judgement.verdict",
    "decide": "soilx.practice.judgement.verdict",
    "DecisionRecord": "soilx.practice.decision_record",
    "read_decision": "soilx.practice.decision_file",
    "write_decision": "soilx.practice.decision_file",
    "read_climates": "soilx.practice.seasons.climate_file",
    "Programme": "soilx.practice.seasons.programme",
    "Report": "soilx.practice.soil_test.report",
    "read_reports": "soilx.practice.soil_test.report",
}


def __getattr__(name: str) -> Any:
    if name not in _ON_FIRST_USE:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    found = getattr(import_module(_ON_FIRST_USE[name]), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
