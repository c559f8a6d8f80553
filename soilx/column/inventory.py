"""What a kilogram of soil holds in all, and the calcium that charge balance leaves it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypedDict

from soilx.chemistry.cation_exchange import Selectivity
from soilx.column.fields import Typed
from soilx.errors import refuse

Values = Mapping[str, float]
"""Internal floats by the key of their field."""


class Amounts(TypedDict):
    """Totals of every ion [mmol/kg], to be handed on by name."""

    calcium: float
    magnesium: float
    sodium: float
    potassium: float
    sulfate: float
    chloride: float
    bicarbonate: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Inventory:
    """What a soil holds, exchanger, solution and solid gypsum together.

    Attributes
    ----------
    calcium, magnesium, sodium, potassium, sulfate, chloride, bicarbonate : float
        Totals [mmol/kg].
    implied_selectivity : Selectivity or None
        What exchanger and extract of one report say together.
    defaults : tuple of (str, str)
        What was not given, and what was taken instead.
    yields : tuple of str
        What gave way where more was given than can be true at once, and other things to be shown.
    """

    calcium: float
    magnesium: float
    sodium: float
    potassium: float
    sulfate: float
    chloride: float
    bicarbonate: float
    implied_selectivity: Selectivity | None = None
    defaults: Typed = ()
    yields: tuple[str, ...] = ()

    @property
    def amounts(self) -> Amounts:
        """The totals alone."""
        return Amounts(
            calcium=self.calcium,
            magnesium=self.magnesium,
            sodium=self.sodium,
            potassium=self.potassium,
            sulfate=self.sulfate,
            chloride=self.chloride,
            bicarbonate=self.bicarbonate,
        )


def calcium_left(
    capacity: float, *, sodium: float, potassium: float, magnesium: float, anions: float
) -> float:
    """Calcium in all by charge balance [mmol/kg]."""
    calcium = 0.5 * (capacity + anions - sodium - potassium) - magnesium
    if not calcium > 0:
        refuse(
            "calcium",
            calcium,
            "mmol/kg",
            wrong="charge balance leaves none",
            limit="sodium, potassium and magnesium together stay below CEC plus anions, by electroneutrality",
            remedy="check the units and bases of the cations against those of the CEC",
        )
    return calcium
