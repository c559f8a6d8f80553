"""The seven ions followed, with masses and charges, and the axis order of every array of ions."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.unit_kinds import GYPSUM_MOLAR_MASS


@dataclass(frozen=True, slots=True, kw_only=True)
class Ion:
    """One dissolved ion.

    Attributes
    ----------
    symbol : str
        Chemical symbol without its charge, as used in file headers.
    name : str
        English name.
    molar_mass : float
        Molar mass [g/mol], equal to [mg/mmol].
    charge : int
        Charge number, with its sign.
    """

    symbol: str
    name: str
    molar_mass: float
    charge: int


# Molar masses: IUPAC conventional atomic masses, as in the `chemicals` library's element table.
CALCIUM: Final = Ion(symbol="Ca", name="calcium", molar_mass=40.078, charge=2)
MAGNESIUM: Final = Ion(symbol="Mg", name="magnesium", molar_mass=24.305, charge=2)
SODIUM: Final = Ion(symbol="Na", name="sodium", molar_mass=22.98977, charge=1)
POTASSIUM: Final = Ion(symbol="K", name="potassium", molar_mass=39.0983, charge=1)
SULFATE: Final = Ion(symbol="SO4", name="sulfate", molar_mass=96.0626, charge=-2)
CHLORIDE: Final = Ion(symbol="Cl", name="chloride", molar_mass=35.453, charge=-1)
BICARBONATE: Final = Ion(symbol="HCO3", name="bicarbonate", molar_mass=61.0168, charge=-1)

_ALL: Final = (CALCIUM, MAGNESIUM, SODIUM, POTASSIUM, SULFATE, CHLORIDE, BICARBONATE)

IONS: Final[Mapping[str, Ion]] = MappingProxyType({ion.symbol: ion for ion in _ALL})
ORDER: Final[tuple[str, ...]] = tuple(ion.symbol for ion in _ALL)

__all__ = [
    "BICARBONATE",
    "CALCIUM",
    "CHARGES",
    "CHLORIDE",
    "GYPSUM_MOLAR_MASS",
    "IONS",
    "MAGNESIUM",
    "MOLAR_MASSES",
    "ORDER",
    "POTASSIUM",
    "SODIUM",
    "SULFATE",
    "Ion",
]

CHARGES: Final[NDArray[np.float64]] = np.array([ion.charge for ion in _ALL], dtype=float)
MOLAR_MASSES: Final[NDArray[np.float64]] = np.array([ion.molar_mass for ion in _ALL])
CHARGES.setflags(write=False)
MOLAR_MASSES.setflags(write=False)
