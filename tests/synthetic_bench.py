"""Bench runs made by the column of nested brackets: what perfect cups hold, and what instruments read."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from test_leaching import PlainColumn

from soilx.bench.fit_parameters import PARAMETERS, scenario_at
from soilx.bench.measured import Measured
from soilx.bench.observations import FLOORS, Observations, observe
from soilx.bench.record import ArmRecord, Instrument, Portion, Record
from soilx.chemistry.conductivity import electrical_conductivity
from soilx.chemistry.ions import CALCIUM, SODIUM
from soilx.column.files import demo_path, read_soils
from soilx.column.soil import Soil

Array = NDArray[np.float64]

NOISE = {"ec": (0.02, 0.02), "sodium": (0.03, 0.03), "calcium": (0.04, 0.04)}
"""Reading and calibration error of each instrument, relative."""

SOIL_MASS = 0.1


@dataclass(frozen=True, kw_only=True)
class Case:
    """One soil, its bench run, and what is true of it as factors on the start or as values."""

    soil: Soil
    dose: float
    portion_ml: float
    factors: Mapping[str, float]
    shares: Mapping[str, float]
    layers: int = 4
    portions: int = 6

    @property
    def parameters(self) -> tuple[str, ...]:
        return (*self.factors, *self.shares)

    def record(self) -> Record:
        """Gypsum and control, each cup with readings that mean nothing yet."""
        portions = tuple(
            Portion(
                number=number, volume_ml=self.portion_ml, added_ml=self.portion_ml, hours=6.0 * number,
                electrical_conductivity=1.0, sodium_mg_per_l=1.0, calcium_mg_per_l=1.0,
            )
            for number in range(1, self.portions + 1)
        )  # fmt: skip
        return Record(
            name="synthetic",
            arms={name: ArmRecord(name=name, replicates={1: portions}) for name in ("gypsum", "control")},
            words={"measured_with": "laboratory", "water": "deionised"},
            values={
                ("soil_mass", "", 0): Measured(value=SOIL_MASS),
                ("dose", "gypsum", 0): Measured(value=self.dose),
            },
            instruments={
                quantity: Instrument(quantity=quantity, reading_error=own, calibration_error=shared)
                for quantity, (own, shared) in NOISE.items()
            },
        )

    def observed(self, record: Record) -> Observations:
        return observe(record, self.soil, layers=self.layers)

    def truth(self) -> dict[str, float]:
        start = self.observed(self.record()).columns[0].scenario
        return {
            **{key: factor * PARAMETERS[key].start(start) for key, factor in self.factors.items()},
            **self.shares,
        }


def perfect_cups(case: Case) -> Array:
    """Mean composition of every cup, column after column, shape (cups, 7) [mmol/L]; by nested brackets."""
    cups = []
    for column in case.observed(case.record()).columns:
        scenario = scenario_at(column.scenario, case.truth())
        plain = PlainColumn(scenario)
        size = scenario.displaced_fraction * scenario.soil.drained_water
        for wetting, inflow in zip(scenario.wettings, scenario.inflows, strict=True):
            begun, whole = len(plain.leachate), wetting.volume * scenario.layers
            while whole > 1e-9 * size:
                volume = min(size, whole)
                hours = wetting.hours * volume / scenario.layers / wetting.volume
                plain.step(volume, inflow.as_array().tolist(), hours)
                whole -= volume
            caught = plain.leachate[begun:]
            volumes = np.array([volume for volume, _ in caught])
            cups.append(volumes @ np.array([ions for _, ions in caught]) / volumes.sum())
    return np.array(cups)


def read_by(case: Case, cups: Array, random: np.random.Generator | None) -> Record:
    """The record with what instruments read of the cups; perfect ones where no random numbers are given."""
    record = case.record()
    true = {
        "ec": electrical_conductivity(cups.T),
        "sodium": cups[:, 2] * SODIUM.molar_mass,
        "calcium": cups[:, 0] * CALCIUM.molar_mass,
    }
    shared = {name: 1 + (NOISE[name][1] * random.standard_normal() if random else 0.0) for name in NOISE}

    def seen(name: str, cup: int) -> float:
        value = float(true[name][cup])
        if random is None:
            return value
        own = 1 + NOISE[name][0] * random.standard_normal()
        floor = FLOORS["laboratory"][name] * random.standard_normal()
        return max(0.0, value * shared[name] * own + floor)

    arms, cup = {}, 0
    for name, arm in record.arms.items():
        portions = []
        for portion in arm.portions:
            portions.append(
                replace(
                    portion, electrical_conductivity=seen("ec", cup), sodium_mg_per_l=seen("sodium", cup),
                    calcium_mg_per_l=seen("calcium", cup),
                )
            )  # fmt: skip
            cup += 1
        arms[name] = ArmRecord(name=name, replicates={1: tuple(portions)})
    return replace(record, arms=arms)


def cases() -> dict[str, Case]:
    """Five soils that between them ask for every parameter that can be fitted."""
    soils = read_soils(demo_path("soils.csv"))
    terrace = Soil.of(
        name="Terrace", depth="15 cm", bulk_density="1.35 kg/L", cation_exchange_capacity="18 cmol_c/kg",
        drained_water="0.24 L/kg", exchangeable_sodium_percentage="25 %", electrical_conductivity="4 dS/m",
    )  # fmt: skip
    exchange = ("sodium_selectivity", "cation_exchange_capacity", "soluble_sodium")
    return {
        "Block C": Case(
            soil=soils["Block C"], dose=3e-4, portion_ml=20.0,
            factors=dict(zip(exchange, (0.85, 1.1, 0.9), strict=True)), shares={"dispersivity": 0.06},
        ),
        "Block F": Case(
            soil=soils["Block F"], dose=2e-4, portion_ml=15.0,
            factors=dict(zip(exchange, (0.8, 1.1, 1.15), strict=True)), shares={"bypass_fraction": 0.3},
        ),
        "Bed 7": Case(
            soil=soils["Bed 7"], dose=3e-4, portion_ml=20.0,
            factors=dict(zip(exchange, (1.1, 1.15, 0.9), strict=True)), shares={"bypass_fraction": 0.15},
        ),
        "Lawn 2": Case(
            soil=soils["Lawn 2"], dose=5e-5, portion_ml=10.0,
            factors=dict(zip(exchange, (0.9, 0.85, 1.2), strict=True)), shares={},
        ),
        "Terrace": Case(
            soil=terrace, dose=4e-4, portion_ml=20.0,
            factors={"cation_exchange_capacity": 0.85},
            shares={"bypass_fraction": 0.2, "dissolution_rate": 0.1},
        ),
    }  # fmt: skip
