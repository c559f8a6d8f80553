"""The kinds of quantity soilx asks for, and what else each of them may be written as.

A table of factors, without the units themselves: `soilx.units` applies it in both directions.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType
from typing import NoReturn, Protocol, TypeAlias

from soilx.errors import UnitKindError, refuse, require

#: Gypsum, CaSO4·2H2O [g/mol].
GYPSUM_MOLAR_MASS = 172.1712

#: What a report means by lb/acre as a concentration: the soil of one acre taken as 2 000 000 lb [lb/acre].
REPORT_SOIL_LB_PER_ACRE = 2_000_000.0


class IonLike(Protocol):
    """What a conversion between moles, charge and mass must know."""

    @property
    def symbol(self) -> str:
        """Chemical symbol, for messages."""
        ...

    @property
    def molar_mass(self) -> float:
        """Molar mass [g/mol]."""
        ...

    @property
    def charge(self) -> int:
        """Charge with its sign [mol_c/mol]."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Formula:
    """A substance that is weighed and counted like an ion, such as gypsum by its calcium."""

    symbol: str
    molar_mass: float
    charge: int


GYPSUM = Formula(symbol="gypsum", molar_mass=GYPSUM_MOLAR_MASS, charge=2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """The soil that an area rate, a depth of water or a pore volume refers to.

    Attributes
    ----------
    depth : float, optional
        Depth that is treated or leached [mm].
    bulk_density : float, optional
        Oven-dry soil per volume in the field [kg/L].
    drained_water : float, optional
        Water held when drained: one pore volume [L/kg].
    soil_mass : float, optional
        Oven-dry soil in the container [kg].
    """

    depth: float | None = None
    bulk_density: float | None = None
    drained_water: float | None = None
    soil_mass: float | None = None

    def __post_init__(self) -> None:
        for name, unit in (
            ("depth", "mm"),
            ("bulk_density", "kg/L"),
            ("drained_water", "L/kg"),
            ("soil_mass", "kg"),
        ):
            value = getattr(self, name)
            if value is not None:
                require(
                    name.replace("_", " "),
                    value,
                    unit,
                    low=0,
                    low_open=True,
                    whose="ground that holds soil",
                    remedy=f"give the {name.replace('_', ' ')} as a positive amount, or leave it out",
                )


class Kind(Enum):
    """What a quantity counts: its name in a sentence, its internal unit, and how people write it."""

    CONCENTRATION = ("a concentration in water", "mmol/L", "16.4 mmol/L")
    CHARGE_CONCENTRATION = ("a charge concentration in water", "mmol_c/L", "16.4 meq/L")
    MASS_CONCENTRATION = ("a mass concentration in water", "mg/L", "640 mg/L")
    SOIL_CONTENT = ("a content of the soil", "mmol/kg", "940 mg/kg")
    EXCHANGE_CAPACITY = ("an amount of charge per mass of soil", "mmol_c/kg", "24 cmol_c/kg")
    CONDUCTIVITY = ("an electrical conductivity", "dS/m", "1.9 dS/m")
    GYPSUM_RATE = ("an amount of gypsum per soil or area", "mmol/kg", "7.05 t/ha")
    PRODUCT_RATE = ("a mass of product per soil or area", "g/kg", "8.52 t/ha")
    WATER = ("an amount of water applied", "L/kg", "4 pore_volume")
    WATER_CONTENT = ("a water content by mass", "L/kg", "0.26 L/kg")
    DEPTH = ("a depth", "mm", "15 cm")
    AREA = ("an area", "m^2", "64 cm^2")
    VOLUME = ("a volume", "L", "60 mL")
    MASS = ("a mass", "kg", "100 g")
    BULK_DENSITY = ("a bulk density", "kg/L", "1.40 kg/L")
    TIME = ("a time", "h", "6 h")
    TEMPERATURE = ("a temperature", "degC", "25 degC")
    RATE_CONSTANT = ("a rate constant", "1/h", "0.5 1/h")
    FRACTION = ("a fraction", "", "50 %")
    RATIO = ("a plain ratio", "", "1.0")
    SELECTIVITY = ("a selectivity coefficient", "(mmol/L)^-0.5", "0.01475 (mmol/L)^-0.5")
    ADSORPTION_RATIO = ("an adsorption ratio", "(mmol/L)^0.5", "15.6")

    def __init__(self, words: str, unit: str, example: str) -> None:
        self.words = words
        self.unit = unit
        self.example = example


#: Kinds that custom writes as a bare number.
BARE = frozenset({Kind.FRACTION, Kind.RATIO, Kind.ADSORPTION_RATIO})


_GROUND_IN_WORDS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "depth": ("the depth of soil", '"15 cm"'),
        "bulk_density": ("the bulk density", '"1.40 kg/L"'),
        "drained_water": ("the drained water content", '"0.26 L/kg"'),
        "soil_mass": ("the mass of oven-dry soil", '"100 g"'),
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What a conversion may ask for, and the refusal when it is not there."""

    name: str
    given: object
    ion: IonLike | None
    ground: Ground | None

    def charge(self) -> float:
        """Charge of the ion, without its sign [mol_c/mol]."""
        return float(abs(self._ion("charge counts mol_c and amount counts mol").charge))

    def molar_mass(self) -> float:
        """Molar mass of the ion [g/mol]."""
        return self._ion("mass and amount are different things").molar_mass

    def equivalent_mass(self) -> float:
        """Mass of the ion that carries one mole of charge [g/mol_c]."""
        return self.molar_mass() / self.charge()

    def areal_soil(self) -> float:
        """Oven-dry soil under 1 m² [kg]; 1 mm of water on it is 1 L."""
        depth, bulk_density = self._ground("depth", "bulk_density")
        return depth * bulk_density

    def pore_volume(self) -> float:
        """Water held when drained [L/kg]."""
        return self._ground("drained_water")[0]

    def soil_mass(self) -> float:
        """Oven-dry soil in the container [kg]."""
        return self._ground("soil_mass")[0]

    def _ion(self, why: str) -> IonLike:
        if self.ion is None:
            remedy = (
                'name the ion, or write charge as "cmol_c/kg" or "meq/L" and amount as "mmol/kg" or "mmol/L"'
            )
            self.refuse("needs to know which ion it is", limit=why, remedy=remedy)
        return self.ion

    def _ground(self, *fields: str) -> list[float]:
        values = {field: getattr(self.ground, field, None) for field in fields}
        if missing := [_GROUND_IN_WORDS[field] for field, value in values.items() if value is None]:
            self.refuse(
                "cannot be brought to a kilogram of soil",
                limit=f"that takes {' and '.join(words for words, _ in missing)}",
                remedy=f"give {' and '.join(f'{words}, such as {example}' for words, example in missing)}, "
                "or write the amount per kilogram of soil",
            )
        return [float(value) for value in values.values() if value is not None]

    def refuse(self, wrong: str, *, limit: str, remedy: str) -> NoReturn:
        """Raise a `UnitKindError` about what was given."""
        refuse(self.name, self.given, "", wrong=wrong, limit=limit, remedy=remedy, error=UnitKindError)


# ppm and lb/acre take their meaning from the kind wanted; a report's lb/acre of an element is mg/kg × 2.
_PPM_OF_LB_PER_ACRE = 1e6 / REPORT_SOIL_LB_PER_ACRE

_Rules: TypeAlias = Mapping[str, Callable[[Context], float]]


def _by_mass(per_gram: Callable[[Context], float]) -> dict[str, Callable[[Context], float]]:
    """Ways to write a mass per mass of soil; `per_gram` turns g into the kind's amount."""
    return {"g/kg": per_gram, "ppm": lambda c: 1e-3 * per_gram(c)}


#: kind -> unit of each other dimension that it may arrive in -> how many internal units one of them is.
BRIDGES: Mapping[Kind, _Rules] = MappingProxyType(
    {
        Kind.CONCENTRATION: {
            "mmol_c/L": lambda c: 1 / c.charge(),
            "mg/L": lambda c: 1 / c.molar_mass(),
            "ppm": lambda c: 1 / c.molar_mass(),
        },
        Kind.CHARGE_CONCENTRATION: {
            "mmol/L": lambda c: c.charge(),
            "mg/L": lambda c: 1 / c.equivalent_mass(),
            "ppm": lambda c: 1 / c.equivalent_mass(),
        },
        Kind.MASS_CONCENTRATION: {
            "mmol/L": lambda c: c.molar_mass(),
            "mmol_c/L": lambda c: c.equivalent_mass(),
            "ppm": lambda _: 1.0,
        },
        Kind.SOIL_CONTENT: {
            **_by_mass(lambda c: 1e3 / c.molar_mass()),
            "lb/acre": lambda c: _PPM_OF_LB_PER_ACRE / c.molar_mass(),
            "mmol_c/kg": lambda c: 1 / c.charge(),
        },
        Kind.EXCHANGE_CAPACITY: {
            **_by_mass(lambda c: 1e3 / c.equivalent_mass()),
            "lb/acre": lambda c: _PPM_OF_LB_PER_ACRE / c.equivalent_mass(),
            "mmol/kg": lambda c: c.charge(),
        },
        Kind.GYPSUM_RATE: {
            **_by_mass(lambda _: 1e3 / GYPSUM_MOLAR_MASS),
            "mmol_c/kg": lambda _: 1 / GYPSUM.charge,
            "kg/m^2": lambda c: 1e6 / GYPSUM_MOLAR_MASS / c.areal_soil(),
            "g": lambda c: 1e3 / GYPSUM_MOLAR_MASS / c.soil_mass(),
        },
        Kind.PRODUCT_RATE: {
            **_by_mass(lambda _: 1.0),
            "kg/m^2": lambda c: 1e3 / c.areal_soil(),
            "g": lambda c: 1 / c.soil_mass(),
        },
        Kind.WATER: {
            "g/kg": lambda _: 1e-3,
            "L": lambda c: 1 / c.soil_mass(),
            "mm": lambda c: 1 / c.areal_soil(),
            "pore_volume": lambda c: c.pore_volume(),
        },
        # A saturation percentage is water per oven-dry soil by mass; water is taken as 1 kg/L.
        Kind.WATER_CONTENT: {"g/kg": lambda _: 1e-3, "%": lambda _: 0.01},
        Kind.FRACTION: {"%": lambda _: 0.01},
        # With charge, an adsorption ratio halves calcium and magnesium under its root: the same number.
        Kind.ADSORPTION_RATIO: {"": lambda _: 1.0, "(mmol_c/L)^0.5": lambda _: 1.0},
    }
)

#: unit -> what a unit of its dimension counts, in the words of a refusal.
SHAPES: Mapping[str, str] = MappingProxyType(
    {
        "mmol/L": "an amount per volume of water",
        "mmol_c/L": "a charge per volume of water",
        "mg/L": "a mass per volume",
        "mmol/kg": "an amount per mass of soil",
        "mmol_c/kg": "a charge per mass of soil",
        "g/kg": "a mass per mass",
        "t/ha": "a mass per area",
        "L/kg": "a volume per mass",
        "ppm": "a count of parts per million",
        "pore_volume": "a number of pore volumes",
        "dS/m": "a conductivity",
        "cm": "a length",
        "m^2": "an area",
        "L": "a volume",
        "g": "a mass",
        "h": "a time",
        "degC": "a temperature",
        "%": "a percentage",
        "": "a plain number",
    }
)
