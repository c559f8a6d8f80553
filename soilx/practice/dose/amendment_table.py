"""What brings calcium to a sodic soil, or makes its lime give some: formula, charge, who may handle it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from soilx.chemistry.ions import GYPSUM_MOLAR_MASS
from soilx.practice.dose.amendment_formulas import molar_mass


class Handling(StrEnum):
    """Who may handle an amendment; local rules say what a licence is."""

    ANYONE = "anyone"
    TRAINED = "trained"
    LICENSED = "licensed"

    @property
    def rank(self) -> int:
        """Higher where more is asked."""
        return list(Handling).index(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Amendment:
    """One amendment by its formula.

    Attributes
    ----------
    key : str
        Of `AMENDMENTS`.
    name : str
        With its formula.
    composition : mapping of str to int
        Atoms of the formula.
    charge : int
        Moles of charge that one mole brings: of calcium itself, or of acid that makes lime give calcium.
    share : float
        Mass of the formula per mass of the amendment, for solutions.
    acid : bool
        It makes acid, which needs lime to become calcium.
    calcium : bool
        It brings calcium itself, or by way of lime.
    acid_soil_only : bool
        It dissolves in acid soil alone.
    handling : Handling
        Who may handle it.
    cautions : tuple of str
        Sentences to print with it.
    """

    key: str
    name: str
    composition: Mapping[str, int] = field(hash=False)
    charge: int
    share: float = 1.0
    acid: bool = False
    calcium: bool = True
    acid_soil_only: bool = False
    handling: Handling = Handling.ANYONE
    cautions: tuple[str, ...] = ()

    @property
    def equivalent_mass(self) -> float:
        """Mass that brings one mole of charge [g/mol_c]."""
        return molar_mass(self.composition) / self.charge / self.share

    @property
    def per_gypsum(self) -> float:
        """Mass equal by charge to one of pure gypsum."""
        return self.equivalent_mass / (GYPSUM_MOLAR_MASS / 2.0)


_SALT = "A soluble salt: it adds to the salinity that plants feel until it is leached."
_SULFUR = "Bacteria turn it to acid in warm, moist soil; that takes months."

# fmt: off
_TABLE: Final = (
    Amendment(key="gypsum", name="gypsum, CaSO4·2H2O", charge=2,
              composition={"Ca": 1, "S": 1, "O": 6, "H": 4}),
    Amendment(key="anhydrite", name="anhydrite, CaSO4", charge=2, composition={"Ca": 1, "S": 1, "O": 4},
              cautions=("It dissolves more slowly than gypsum.",)),
    Amendment(key="calcium_chloride_dihydrate", name="calcium chloride dihydrate, CaCl2·2H2O", charge=2,
              composition={"Ca": 1, "Cl": 2, "H": 4, "O": 2},
              cautions=(_SALT, "Chloride harms some plants.")),
    Amendment(key="calcium_chloride", name="calcium chloride, CaCl2", charge=2,
              composition={"Ca": 1, "Cl": 2}, cautions=(_SALT, "Chloride harms some plants.")),
    Amendment(key="calcium_nitrate", name="calcium nitrate tetrahydrate, Ca(NO3)2·4H2O", charge=2,
              composition={"Ca": 1, "N": 2, "O": 10, "H": 8},
              cautions=(_SALT, "It is a nitrogen fertiliser: what is leached after it carries nitrate, and "
                        "local limits on nitrogen hold.")),
    Amendment(key="sulfur", name="elemental sulfur, S", charge=2, composition={"S": 1}, acid=True,
              cautions=(_SULFUR, "Its dust burns: no sparks, no smoking.")),
    Amendment(key="sulfuric_acid", name="sulfuric acid, H2SO4", charge=2,
              composition={"H": 2, "S": 1, "O": 4}, acid=True, handling=Handling.LICENSED),
    Amendment(key="lime_sulfur", name="lime-sulfur solution, 24 % S", charge=2, composition={"S": 1},
              share=0.24, acid=True, handling=Handling.TRAINED,
              cautions=(_SULFUR, "Caustic; with acid it gives off a poisonous gas.",
                        "Its own calcium is not counted.")),
    Amendment(key="iron_sulfate", name="iron(II) sulfate heptahydrate, FeSO4·7H2O", charge=2,
              composition={"Fe": 1, "S": 1, "O": 11, "H": 14}, acid=True,
              cautions=("It stains paving for good.",)),
    Amendment(key="aluminium_sulfate", name="aluminium sulfate, Al2(SO4)3·18H2O", charge=6,
              composition={"Al": 2, "S": 3, "O": 30, "H": 36}, acid=True,
              cautions=("Too much of it poisons roots and fish.",)),
    Amendment(key="lime", name="ground limestone, CaCO3", charge=2, composition={"Ca": 1, "C": 1, "O": 3},
              acid_soil_only=True),
    Amendment(key="potassium_magnesium_sulfate", name="potassium magnesium sulfate, K2SO4·2MgSO4", charge=6,
              composition={"K": 2, "Mg": 2, "S": 3, "O": 12}, calcium=False),
)
# fmt: on

AMENDMENTS: Final[Mapping[str, Amendment]] = MappingProxyType({each.key: each for each in _TABLE})
