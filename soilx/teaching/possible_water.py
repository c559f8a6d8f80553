"""Waters that could be: drawn ions in charge balance, with the conductivity that they make."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from soilx.chemistry.ions import IONS
from soilx.column.water import Water
from soilx.errors import SoilxError
from soilx.teaching.seeds import Draws
from soilx.teaching.working import printed

NAME: Final = "your water"


@dataclass(frozen=True, slots=True, kw_only=True)
class PossibleWater:
    """A water with what is printed of it.

    Attributes
    ----------
    water : Water
    ions : mapping of str to float
        As printed [meq/L].
    ec : float
        At 25 °C, as printed [dS/m].
    """

    water: Water
    ions: Mapping[str, float]
    ec: float


def possible_water(
    draws: Draws,
    *,
    sodium: tuple[str, str, str],
    calcium: tuple[str, str, str],
    magnesium: tuple[str, str, str],
) -> PossibleWater | None:
    """A water from draws, or None where it is no water that the library takes.

    Parameters
    ----------
    draws : Draws
    sodium, calcium, magnesium : tuple of str
        Low, high and step [meq/L].
    """
    cations = {
        "Na": draws.grid("water sodium", *sodium),
        "Ca": draws.grid("water calcium", *calcium),
        "Mg": draws.grid("water magnesium", *magnesium),
    }
    # Anions in shares of the cations, so that every water balances; chloride is the rest.
    charge = sum(cations.values())
    bicarbonate = printed(draws.grid("water bicarbonate", "0.10", "0.40", "0.05") * charge, 2)
    sulfate = printed(draws.grid("water sulfate", "0.05", "0.30", "0.05") * charge, 2)
    chloride = printed(charge - bicarbonate - sulfate, 2)
    ions = {**cations, "HCO3": bicarbonate, "Cl": chloride, "SO4": sulfate}
    try:
        water = water_of(ions)
        ec = printed(water.electrical_conductivity, 2)
    except SoilxError:
        return None
    return PossibleWater(water=water, ions=ions, ec=ec)


def water_of(ions: Mapping[str, float]) -> Water:
    """A water of ions by symbol [meq/L]."""
    return Water.of(
        name=NAME, **{IONS[symbol].name: f"{amount!r} mmol_c/L" for symbol, amount in ions.items()}
    )
