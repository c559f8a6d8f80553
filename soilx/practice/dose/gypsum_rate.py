"""A gypsum rate by the hand formula, with what it was reckoned from and what has to be said beside it."""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

from soilx.errors import LimitError, refuse, require
from soilx.practice.dose.product import PURE, Product
from soilx.practice.dose.rate_units import product_rate_in_units, pure_rate_in_units
from soilx.practice.dose.requirement_chain import Multiplier, chain_of
from soilx.practice.dose.requirement_notes import notes_of
from soilx.practice.soil_test.reported_sodium import ReportedSodium
from soilx.units import Ground, Kind, Quantity, as_quantity
from soilx.wording import CAUTION_BYPRODUCT, CAUTION_DUST, CAUTION_LEACHATE, CAUTION_LIVESTOCK, CAUTION_RATE

MOST_FACTOR: Final = 2.0
"""In print 1.25, recalled 1.1 to 1.3 †; beyond two somebody multiplied twice. Our own limit."""


@dataclass(frozen=True, kw_only=True)
class Requirement:
    """Gypsum that the hand formula asks for.

    Attributes
    ----------
    name : str
        Of the soil.
    sodium : ReportedSodium
        What is there, and on what basis.
    target_esp_pct : float
        What is wanted [%].
    gypsum : float
        Pure gypsum that brings as much calcium as sodium is to go, without any factor [mmol/kg].
    ground : Ground
        Depth that is treated and its bulk density.
    sampled_depth : float
        Depth that the test stands for [mm].
    factor : float
        What the pure rate is multiplied with, once; 1 for none.
    product : Product
        What is spread.
    ph : float or None
        Of the saturated paste.
    lime : float or None
        Calcium carbonate, kg per kg of soil.
    """

    name: str
    sodium: ReportedSodium
    target_esp_pct: float
    gypsum: float
    ground: Ground
    sampled_depth: float
    factor: float = 1.0
    product: Product = PURE
    ph: float | None = None
    lime: float | None = None

    def __post_init__(self) -> None:
        require(
            "factor",
            self.factor,
            "",
            low=1.0,
            high=MOST_FACTOR,
            whose="calcium that misses sodium; 1.1 to 1.3 † is usual and 1.25 in print",
            remedy="give the factor once, as a number such as 1.25, and 1 where a rate has it already",
        )

    @property
    def gypsum_with_factor(self) -> float:
        """Pure gypsum, the factor applied [mmol/kg]."""
        return self.gypsum * self.factor

    @property
    def pure(self) -> Quantity:
        """Pure gypsum over the treated depth, without any factor, as a rate per area."""
        return as_quantity(self.gypsum, Kind.GYPSUM_RATE, "t/ha", ground=self.ground)

    @property
    def pure_with_factor(self) -> Quantity:
        """Pure gypsum over the treated depth, the factor applied, as a rate per area."""
        return as_quantity(self.gypsum_with_factor, Kind.GYPSUM_RATE, "t/ha", ground=self.ground)

    @property
    def product_rate(self) -> Quantity:
        """Product as it comes over the treated depth, the factor applied, as a rate per area."""
        rate = self.in_units["product"]["g_per_kg"]
        return as_quantity(rate, Kind.PRODUCT_RATE, "t/ha", ground=self.ground)

    @cached_property
    def in_units(self) -> dict[str, dict[str, float]]:
        """Pure gypsum, pure gypsum with the factor, and product, each in every unit of the trade."""
        return {
            "pure": pure_rate_in_units(self.gypsum, ground=self.ground),
            "pure_with_factor": pure_rate_in_units(self.gypsum_with_factor, ground=self.ground),
            "product": product_rate_in_units(
                self.gypsum_with_factor, product=self.product, ground=self.ground
            ),
        }

    @cached_property
    def chain(self) -> tuple[Multiplier, ...]:
        """From capacity to product, one multiplier a line, each of them once."""
        return chain_of(
            sodium=self.sodium,
            target_esp_pct=self.target_esp_pct,
            ground=self.ground,
            factor=self.factor,
            product=self.product,
        )

    @property
    def notes(self) -> tuple[str, ...]:
        """What has to be said beside the rate."""
        return notes_of(
            sodium=self.sodium,
            target_esp_pct=self.target_esp_pct,
            depth=_known(self.ground.depth),
            sampled_depth=self.sampled_depth,
            bulk_density=_known(self.ground.bulk_density),
            factor=self.factor,
            product=self.product,
            ph=self.ph,
        )

    @property
    def cautions(self) -> tuple[str, ...]:
        """What has to be printed with any rate."""
        return (CAUTION_RATE, CAUTION_DUST, CAUTION_BYPRODUCT, CAUTION_LEACHATE, CAUTION_LIVESTOCK)

    def with_factor(self, factor: float) -> "Requirement":
        """The requirement with a factor for calcium that misses sodium.

        Raises
        ------
        LimitError
            If it has one already: a factor is applied once.
        """
        if self.factor != 1.0:
            refuse(
                "factor",
                factor,
                "",
                wrong=f"would be applied to a rate that has a factor of {self.factor:g} already",
                limit="the formula takes one factor",
                remedy="start from the rate without a factor",
            )
        return replace(self, factor=factor)

    def with_product(self, product: Product) -> "Requirement":
        """The requirement in a product that is bought.

        Raises
        ------
        LimitError
            If it is in a product already, whose purity and moisture would then count twice.
        """
        if self.product != PURE:
            refuse(
                "product",
                product.name,
                "",
                wrong=f"would be applied to a rate that is in {self.product.name} already",
                limit="purity and moisture divide a rate once",
                remedy="start from the rate of pure gypsum",
            )
        return replace(self, product=product)


def _known(value: float | None) -> float:
    """A depth or density that a requirement's ground always has."""
    if value is None:
        raise LimitError(
            "ground: lacks depth or bulk density; the limit is a rate's: it treats so much soil; give both."
        )
    return value
