"""What is bought and spread: how much of it is the amendment, how wet it is, what it costs."""

from dataclasses import dataclass
from typing import Final, Self

from soilx.column.fields import Given
from soilx.errors import refuse, require
from soilx.practice.dose.product_label import WET, purity_of, wet_basis
from soilx.units import Kind, read

LEAST_PURITY: Final = 0.05
MOST_MOISTURE: Final = 0.60
"""Beyond these the product is something else, or a number is in the wrong place; our own limits."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """One product of the trade.

    Attributes
    ----------
    name : str
        As on the bag.
    purity : float
        Mass of the amendment itself per mass of dried product.
    moisture : float
        Mass of water per mass of product as it comes (wet basis).
    bag : float or None
        Product in one bag; None for bulk [kg].
    price_per_t : float or None
        Price of a tonne of product as it comes, in the user's own money.
    currency : str
        The user's own word for it.
    substance : str
        Which amendment it is; a key of `soilx.practice.dose.amendments.AMENDMENTS`.

    Raises
    ------
    LimitError
        If a share is outside what a product can be, or a bag or price is nothing or less.
    """

    name: str
    purity: float
    moisture: float
    bag: float | None = None
    price_per_t: float | None = None
    currency: str = ""
    substance: str = "gypsum"

    def __post_init__(self) -> None:
        require(
            f"purity of {self.name}",
            self.purity,
            "",
            low=LEAST_PURITY,
            high=1.0,
            whose="a product sold for what it holds",
            remedy='write the share of the dried product, like "88 %"',
        )
        require(
            f"moisture of {self.name}",
            self.moisture,
            "",
            low=0.0,
            high=MOST_MOISTURE,
            whose="a product that can be spread",
            remedy='write the water per mass of product as it comes, like "6 %"',
        )
        for what, value, unit in (("bag", self.bag, "kg"), ("price", self.price_per_t, "per t")):
            if value is not None:
                require(
                    f"{what} of {self.name}",
                    value,
                    unit,
                    low=0.0,
                    low_open=True,
                    whose="something that is bought",
                    remedy=f"leave the {what} out where it is not known",
                )

    @classmethod
    def of(
        cls,
        name: str,
        *,
        purity: Given | float | None = None,
        sulfur: Given | float | None = None,
        moisture: Given | float = "0 %",
        moisture_basis: str = WET,
        bag: Given | None = None,
        price_per_t: float | None = None,
        currency: str = "",
        substance: str = "gypsum",
    ) -> Self:
        """Product from what its label says.

        Parameters
        ----------
        name : str
        purity : str, Quantity or float, optional
            Share of the dried product: "88 %" or 0.88. Give this or `sulfur`.
        sulfur : str, Quantity or float, optional
            Sulfur of the dried product, for gypsum whose label says no purity: "16.4 %".
        moisture : str, Quantity or float
            Water: "6 %" or 0.06.
        moisture_basis : str
            "wet", per mass of product as it comes, or "dry", per mass of dried product.
        bag : str or Quantity, optional
            Mass of one bag: "50 lb".
        price_per_t, currency, substance
            As the attributes.

        Raises
        ------
        SoilxError
            If neither or both of purity and sulfur are given, a unit is wrong, or a share is impossible.
        """
        return cls(
            name=name,
            purity=purity_of(purity, sulfur, substance=substance),
            moisture=wet_basis(read(moisture, Kind.FRACTION, name="moisture"), moisture_basis),
            bag=None if bag is None else read(bag, Kind.MASS, name="bag"),
            price_per_t=price_per_t,
            currency=currency,
            substance=substance,
        )

    @property
    def pure_share(self) -> float:
        """Mass of the amendment itself per mass of product as it comes."""
        return self.purity * (1.0 - self.moisture)

    def product_mass(self, pure: float) -> float:
        """Product as it comes that holds so much of the amendment [unit of `pure`].

        Parameters
        ----------
        pure : float
            Mass of the pure amendment, in any unit of mass, or mass per soil or area.
        """
        return pure / self.pure_share

    def pure_mass(self, product: float) -> float:
        """The amendment itself in so much product as it comes [unit of `product`]."""
        return product * self.pure_share

    def bags(self, product: float) -> float:
        """Bags that hold so much product; not rounded.

        Parameters
        ----------
        product : float
            Product as it comes [kg].

        Raises
        ------
        LimitError
            If the product is not sold in bags, or nobody said what one holds.
        """
        if self.bag is None:
            refuse(
                f"bag of {self.name}",
                "not given",
                "",
                wrong="cannot count bags of unknown size",
                limit="",
                remedy='give what one bag holds, like "50 lb"',
            )
        return product / self.bag

    def price(self, product: float) -> float:
        """Price of so much product, in the user's own money.

        Parameters
        ----------
        product : float
            Product as it comes [kg].

        Raises
        ------
        LimitError
            If no price was given: soilx knows none.
        """
        if self.price_per_t is None:
            refuse(
                f"price of {self.name}",
                "not given",
                "",
                wrong="cannot be guessed",
                limit="soilx knows no prices",
                remedy="ask the dealer, and give the price of a tonne",
            )
        return self.price_per_t * product / 1000.0


PURE: Final = Product(name="pure gypsum", purity=1.0, moisture=0.0)
"""Gypsum and nothing else: what every formula doses."""
