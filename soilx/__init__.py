"""Calcium from gypsum, sodium on clay, and the water that carries it off: the public names, nothing else."""

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

__all__ = [
    "DEIONISED",
    "Clarity",
    "ConvergenceError",
    "ElementBalance",
    "FileError",
    "Leachate",
    "LimitError",
    "ModelRangeError",
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
    "demo_path",
    "leach",
    "quantity",
    "read_scenario",
    "read_soils",
    "read_waters",
    "sweep",
    "write_scenario",
]
