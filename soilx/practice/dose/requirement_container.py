"""A field rate in a pot or a bench container: by soil mass, never by the area of the opening."""

from dataclasses import dataclass
from math import pi

from soilx.column.fields import Given
from soilx.errors import require
from soilx.practice.dose.requirement import Requirement
from soilx.units import GYPSUM_MOLAR_MASS, Kind, express, read


@dataclass(frozen=True, slots=True, kw_only=True)
class Dose:
    """What a container gets.

    Attributes
    ----------
    product : str
        Name of what is weighed out.
    soil_mass : float
        Oven-dry [kg].
    pure_g, pure_with_factor_g, product_g : float
        Pure gypsum, pure gypsum with the factor, and product as it comes [g].
    by_area_product_g : float or None
        What the same rate would come to by the area of the opening; None where that was not given [g].
    """

    product: str
    soil_mass: float
    pure_g: float
    pure_with_factor_g: float
    product_g: float
    by_area_product_g: float | None

    @property
    def times_by_area(self) -> float | None:
        """How many times too much the area would have given; None where it cannot be told."""
        if self.by_area_product_g is None or self.product_g == 0.0:
            return None
        return self.by_area_product_g / self.product_g

    @property
    def sentences(self) -> tuple[str, ...]:
        """The dose in words, and the mistake beside it."""
        said = (f"{self.product_g:.4g} g of {self.product} in {1000 * self.soil_mass:.4g} g of soil.",)
        if self.times_by_area is None:
            return said
        return (
            *said,
            f"By the area of the opening it would be {self.by_area_product_g:.4g} g, "
            f"{self.times_by_area:.3g} times as much: a field's rate is for all the soil below, and the "
            "container holds less of it.",
        )


def dose_for_container(requirement: Requirement, *, soil_mass: Given, opening: Given | None = None) -> Dose:
    """Dose of a container whose soil is to get what the field's soil gets.

    Parameters
    ----------
    requirement : Requirement
    soil_mass : str or Quantity
        Oven-dry soil in the container: "100 g".
    opening : str or Quantity, optional
        Inner width of its round opening, "9 cm": only to show what scaling by area would have done.

    Raises
    ------
    SoilxError
        If a mass or a width is nothing, or in a wrong unit.
    """
    mass = read(soil_mass, Kind.MASS, name="soil mass")
    require("soil mass", mass, "kg", low=0.0, low_open=True, whose="a container with soil", remedy="weigh it")
    per_kg = requirement.gypsum * GYPSUM_MOLAR_MASS / 1000.0
    by_area = None
    if opening is not None:
        width = read(opening, Kind.DEPTH, name="opening")
        require("opening", width, "mm", low=0.0, low_open=True, whose="a container", remedy="measure it")
        g_per_m2 = express(
            requirement.in_units["product"]["g_per_kg"],
            Kind.PRODUCT_RATE,
            "g/m^2",
            ground=requirement.ground,
        )
        by_area = g_per_m2 * pi * (width / 2000.0) ** 2
    return Dose(
        product=requirement.product.name,
        soil_mass=mass,
        pure_g=per_kg * mass,
        pure_with_factor_g=per_kg * requirement.factor * mass,
        product_g=requirement.product.product_mass(per_kg * requirement.factor) * mass,
        by_area_product_g=by_area,
    )
