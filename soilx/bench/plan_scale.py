"""Bench and field, both ways: dose and water by soil mass, and what goes wrong by area."""

import math
from dataclasses import dataclass, replace

from soilx.errors import require
from soilx.practice.dose.product import Product
from soilx.units import GYPSUM_MOLAR_MASS, Ground, Kind, express

MM2_PER_M2 = 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """One bench column beside the field it stands for.

    Attributes
    ----------
    ground : Ground
        Depth and bulk density in the field, drained water, oven-dry soil in a column.
    opening : float
        Inner width of the round container [mm].
    product : Product
        What is weighed and spread.

    Raises
    ------
    LimitError
        If the opening is no container's, or the ground lacks something.
    """

    ground: Ground
    opening: float
    product: Product

    def __post_init__(self) -> None:
        require(
            "opening",
            self.opening,
            "mm",
            low=5.0,
            high=2000.0,
            whose="a container on a bench",
            remedy='give the inner width of the container, like "9 cm"',
        )
        for name, value in (
            ("depth", self.ground.depth),
            ("bulk density", self.ground.bulk_density),
            ("drained water", self.ground.drained_water),
            ("soil mass", self.ground.soil_mass),
        ):
            require(
                name,
                math.nan if value is None else value,
                "",
                whose="a bench column that stands for a field",
                remedy=f"give the {name}",
            )

    @property
    def soil_mass(self) -> float:
        """Oven-dry soil in a column [kg]."""
        return float(self.ground.soil_mass or 0.0)

    @property
    def field_soil_per_m2(self) -> float:
        """Oven-dry soil of the treated depth under one square metre [kg]."""
        return float(self.ground.depth or 0.0) * float(self.ground.bulk_density or 0.0)

    @property
    def field_share_cm2(self) -> float:
        """Area of field whose treated depth holds as much soil as a column [cm²]."""
        return 1e4 * self.soil_mass / self.field_soil_per_m2

    @property
    def opening_cm2(self) -> float:
        """Area of the container's opening [cm²]."""
        return math.pi * (self.opening / 20.0) ** 2

    def product_g(self, gypsum: float) -> float:
        """Product that one column gets, by soil mass [g].

        Parameters
        ----------
        gypsum : float
            Pure gypsum [mmol/kg].
        """
        return self.product.product_mass(gypsum * GYPSUM_MOLAR_MASS / 1000.0 * self.soil_mass)

    def gypsum_of(self, product_g: float) -> float:
        """Pure gypsum that a column got with so much product [mmol/kg]; the way back from `product_g`."""
        return self.product.pure_mass(product_g) * 1000.0 / GYPSUM_MOLAR_MASS / self.soil_mass

    def product_by_area_g(self, gypsum: float) -> float:
        """Product if the field's rate per area were put on the opening instead [g]: the mistake."""
        t_per_ha = express(gypsum, Kind.GYPSUM_RATE, "t/ha", ground=self.ground)
        # 1 t/ha is 100 g/m²
        return self.product.product_mass(100.0 * t_per_ha) * self.opening_cm2 / 1e4

    @property
    def area_factor(self) -> float:
        """How many times the dose by area is the dose by soil mass."""
        return self.opening_cm2 / self.field_share_cm2

    @property
    def why_not_by_area(self) -> str:
        """One sentence on why the dose goes by soil mass."""
        factor = self.area_factor
        way = f"{factor:.1f} times too much" if factor > 1 else f"only {factor:.2f} of what the soil needs"
        return (
            f"By area the opening of {self.opening / 10:g} cm ({self.opening_cm2:.0f} cm²) would get {way}: "
            f"{1000 * self.soil_mass:g} g of soil is the treated depth of only {self.field_share_cm2:.1f} "
            "cm² of field. Dose by soil mass. The overdosed column still works, so that the mistake does not "
            "show."
        )

    def pure_rate(self, gypsum: float, unit: str) -> float:
        """A dose of pure gypsum [mmol/kg] as a field rate [unit]."""
        return express(gypsum, Kind.GYPSUM_RATE, unit, ground=self.ground)

    def product_rate(self, product_g: float, unit: str) -> float:
        """Product in a column [g] as a field rate of the product [unit]."""
        per_soil = product_g / self.soil_mass
        return express(per_soil, Kind.PRODUCT_RATE, unit, ground=self.ground)

    def water(self, millilitres: float, unit: str) -> float:
        """Water poured on a column [mL] as field depth or pore volumes [unit]."""
        return express(millilitres / 1000.0 / self.soil_mass, Kind.WATER, unit, ground=self.ground)

    def millilitres(self, water: float) -> float:
        """Water per soil [L/kg] as what is poured on a column [mL]."""
        return 1000.0 * water * self.soil_mass

    def of_soil_mass(self, soil_mass: float) -> "Scale":
        """The same field beside a column of another soil mass [kg]."""
        return replace(self, ground=replace(self.ground, soil_mass=soil_mass))
