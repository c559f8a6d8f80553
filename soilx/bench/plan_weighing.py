"""How a dose is weighed on the balance at hand: by itself, or diluted with sand."""

import math
from dataclasses import dataclass
from typing import Final

from soilx.bench.plan import Plan

WELL_WEIGHED: Final = 5
"""A dose of fewer steps of the balance is diluted with sand: under 0.05 g at 0.01 g; common practice, no "
"source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighing:
    """How the dose of one column is weighed.

    Attributes
    ----------
    product_g : float
        The dose itself.
    weighed_g : float
        What goes on the balance: the dose, or its mixture with sand.
    sand_per_product : float
        Dry sand per product in the mixture; 0 where the dose is weighed by itself.
    smallest_g : float
        Smallest dose that this balance weighs by itself.
    error_pct : float
        Half a step of the balance, of what is weighed [%].
    """

    product_g: float
    weighed_g: float
    sand_per_product: float
    smallest_g: float
    error_pct: float

    @property
    def sentence(self) -> str:
        """What to do, in one sentence."""
        close = f"the balance is within {self.error_pct:.2g} %"
        if not self.sand_per_product:
            return f"Weigh {self.weighed_g:.2f} g of product for each column; {close}."
        return (
            f"A dose of {self.product_g:.4f} g is less than the {self.smallest_g:.2g} g that this balance "
            f"weighs: mix 1 part of product with {self.sand_per_product:g} parts of dry sand and weigh "
            f"{self.weighed_g:.2f} g of the mixture for each column; {close}. Put as much sand into the "
            "control."
        )


def weighing_of(plan: Plan) -> Weighing:
    """How the dose of one column is weighed on the balance at hand.

    Parameters
    ----------
    plan : Plan
    """
    dose, step = plan.product_g, plan.resolution_g
    smallest = WELL_WEIGHED * step
    parts = 1.0
    if dose < smallest:
        # by tens, so that the mixture is easily made
        parts = 10.0 ** math.ceil(math.log10(smallest / dose))
    weighed = dose * parts
    return Weighing(
        product_g=dose,
        weighed_g=weighed,
        sand_per_product=parts - 1.0 if parts > 1 else 0.0,
        smallest_g=smallest,
        error_pct=100.0 * step / 2.0 / weighed,
    )
