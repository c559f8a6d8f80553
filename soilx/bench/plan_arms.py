"""The arms of a bench run: what each column gets, and what it is there to tell apart."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from soilx.chemistry.conductivity import electrical_conductivity
from soilx.chemistry.gypsum import gypsum_solubility
from soilx.chemistry.ions import CALCIUM, CHLORIDE, ORDER, SODIUM
from soilx.column.scenario import Scenario
from soilx.column.water import DEIONISED, Water

WATER_MOLAR_MASS: Final = 18.015
SALT_MOLAR_MASS: Final = SODIUM.molar_mass + CHLORIDE.molar_mass
"""Sodium chloride [g/mol]."""
CALCIUM_CHLORIDE_MOLAR_MASS: Final = CALCIUM.molar_mass + 2 * CHLORIDE.molar_mass + 2 * WATER_MOLAR_MASS
"""Calcium chloride dihydrate, as it is sold [g/mol]."""

_MOST_SALT: Final = 500.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Arm:
    """One arm of a plan.

    Attributes
    ----------
    name : str
        As in the record.
    purpose : str
        What it tells, in one sentence.
    water : Water
        What is poured.
    gypsum : float
        Pure gypsum mixed in [mmol/kg].
    salt : str
        What is dissolved in the deionised water; empty for none.
    salt_g_per_l : float
        How much of it.
    scenario : Scenario or None
        For the model; None for a column without soil.
    """

    name: str
    purpose: str
    water: Water
    gypsum: float = 0.0
    salt: str = ""
    salt_g_per_l: float = 0.0
    scenario: Scenario | None = None


def gypsum_water() -> Water:
    """Deionised water saturated with gypsum."""
    strength = float(gypsum_solubility())
    return Water.of(name="gypsum water", calcium=f"{strength!r} mmol/L", sulfate=f"{strength!r} mmol/L")


def salt_of_equal_conductivity(conductivity: float) -> float:
    """Sodium chloride whose solution conducts as much [mmol/L].

    Parameters
    ----------
    conductivity : float
        At 25 °C [dS/m].

    Notes
    -----
    Conductivity rises with the salt, so that halving the bracket finds the one answer, to 1e-9 mmol/L.
    """
    low, high = 0.0, _MOST_SALT
    ions = np.zeros(7)
    while high - low > 1e-9:
        middle = (low + high) / 2.0
        ions[[ORDER.index("Na"), ORDER.index("Cl")]] = middle
        low, high = (middle, high) if float(electrical_conductivity(ions)) < conductivity else (low, middle)
    return (low + high) / 2.0


def arms_of(treated: Scenario, *, irrigation: Water | None) -> tuple[Arm, ...]:
    """All arms, the pair first.

    Parameters
    ----------
    treated : Scenario
        Soil with its dose, deionised water.
    irrigation : Water or None
        The real water, if it is at hand.
    """
    gypsum = treated.gypsum
    salt = salt_of_equal_conductivity(gypsum_water().electrical_conductivity)
    chloride = gypsum / treated.volume
    salt_water = Water.of(
        name="sodium chloride water", sodium=f"{salt!r} mmol/L", chloride=f"{salt!r} mmol/L"
    )
    calcium_water = Water.of(
        name="calcium chloride water",
        calcium=f"{chloride!r} mmol/L",
        chloride=f"{2 * chloride!r} mmol/L",
    )
    untreated = treated.without_gypsum()
    arms = [
        Arm(
            name="control",
            purpose="What water does alone.",
            water=DEIONISED,
            scenario=untreated,
        ),
        Arm(
            name="gypsum",
            purpose="What gypsum does beyond the water.",
            water=DEIONISED,
            gypsum=gypsum,
            scenario=treated,
        ),
        Arm(
            name="sodium chloride",
            purpose="As salty as gypsum water, without calcium: keeps the clay together, displaces nothing.",
            water=salt_water,
            salt="sodium chloride, pure (table salt without additives)",
            salt_g_per_l=salt * SALT_MOLAR_MASS / 1000.0,
            scenario=poured(untreated, salt_water),
        ),
        Arm(
            name="calcium chloride",
            purpose="As much calcium as the gypsum holds, dissolved at once: what slow dissolving changes.",
            water=calcium_water,
            salt="calcium chloride dihydrate",
            salt_g_per_l=chloride * CALCIUM_CHLORIDE_MOLAR_MASS / 1000.0,
            scenario=poured(untreated, calcium_water),
        ),
    ]
    if irrigation is not None:
        arms += [
            Arm(
                name="irrigation water",
                purpose="What the farm's own water does alone: deionised water is harsher.",
                water=irrigation,
                scenario=poured(untreated, irrigation),
            ),
            Arm(
                name="gypsum, irrigation water",
                purpose="What gypsum does with the farm's own water.",
                water=irrigation,
                gypsum=gypsum,
                scenario=poured(treated, irrigation),
            ),
        ]
    return (
        *arms,
        Arm(name="blank", purpose="What container, paper and sand give off by themselves.", water=DEIONISED),
        Arm(
            name="gypsum blank",
            purpose="What the product gives off by itself: its own sodium and salt.",
            water=DEIONISED,
            gypsum=gypsum,
        ),
    )


def poured(scenario: Scenario, water: Water) -> Scenario:
    """The scenario with another water in all its wettings."""
    wettings = [{**dict(wetting.typed), "water": water} for wetting in scenario.wettings]
    return scenario.with_(wettings=wettings)
