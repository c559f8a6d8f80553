"""Which amendment may be used on a soil, how much of it equals a gypsum rate, and what its sodium costs."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from soilx.chemistry.ions import SODIUM
from soilx.column.fields import close_to, listed
from soilx.errors import LimitError
from soilx.practice.dose.amendment_formulas import molar_mass
from soilx.practice.dose.amendment_table import AMENDMENTS, Amendment, Handling
from soilx.practice.dose.product import Product
from soilx.practice.dose.requirement import Requirement
from soilx.units import Kind, express
from soilx.wording import CAUTION_ACID, CAUTION_BYPRODUCT, CAUTION_DUST

__all__ = ["AMENDMENTS", "Amendment", "Choice", "Handling", "amendment_choices", "price_per_kg_sodium"]

ACID_SOIL_PH: Final = 6.5
"""Below it limestone dissolves, above it next to nothing does; common practice †."""

NEUTRAL_PH: Final = 7.0
"""Below it a soil holds no lime to speak of, and acid makes it sour; common practice †."""

_LIME_PER_CHARGE: Final = molar_mass({"Ca": 1, "C": 1, "O": 3}) / 2.0
"""Lime that a mole of charge of acid dissolves [g/mol_c]."""

_PRODUCT_CAUTIONS: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {
        "gypsum": (CAUTION_DUST, CAUTION_BYPRODUCT),
        "anhydrite": (CAUTION_DUST,),
        "sulfuric_acid": (CAUTION_ACID,),
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One amendment against a requirement.

    Attributes
    ----------
    amendment : Amendment
    per_gypsum : float
        Mass equal by charge to one of pure gypsum.
    rate_t_per_ha : float
        Of the pure amendment, equal to the requirement with its factor.
    lime_needed_g_per_kg : float
        That its acid dissolves; 0 where it makes none.
    reasons : tuple of str
        Why it may not be used here; none where it may.
    cautions : tuple of str
        To print with it.
    product : Product or None
        What is offered of it.
    product_t_per_ha : float or None
        Of that product as it comes.
    price_per_ha, price_per_kg_sodium : float or None
        In the user's own money; None where no price was given.
    """

    amendment: Amendment
    per_gypsum: float
    rate_t_per_ha: float
    lime_needed_g_per_kg: float
    reasons: tuple[str, ...]
    cautions: tuple[str, ...]
    product: Product | None = None
    product_t_per_ha: float | None = None
    price_per_ha: float | None = None
    price_per_kg_sodium: float | None = None

    @property
    def eligible(self) -> bool:
        """Whether nothing speaks against it here."""
        return not self.reasons

    def as_row(self) -> dict[str, str | float | bool | list[str] | None]:
        """Plain values, for tables and JSON."""
        product = self.product
        return {
            "amendment": self.amendment.key,
            "name": self.amendment.name,
            "eligible": self.eligible,
            "reasons": list(self.reasons),
            "mass_per_mass_of_gypsum": self.per_gypsum,
            "pure_t_per_ha": self.rate_t_per_ha,
            "lime_needed_g_per_kg": self.lime_needed_g_per_kg,
            "handling": str(self.amendment.handling),
            "cautions": list(self.cautions),
            "product": None if product is None else product.name,
            "product_t_per_ha": self.product_t_per_ha,
            "currency": "" if product is None else product.currency,
            "price_per_ha": self.price_per_ha,
            "price_per_kg_sodium": self.price_per_kg_sodium,
        }


def amendment_choices(
    requirement: Requirement,
    *,
    products: Iterable[Product] = (),
    handling: Handling | str = Handling.ANYONE,
) -> tuple[Choice, ...]:
    """Every amendment against a requirement, those that may be used first, the cheaper before the dearer.

    Parameters
    ----------
    requirement : Requirement
        Its pH and lime decide what may be used; what is not known counts against an amendment that needs it.
    products : iterable of Product
        What is offered, with the user's own prices; an amendment stands there once for each of its products.
    handling : Handling or str
        What whoever spreads it may handle: "anyone", "trained", "licensed".

    Raises
    ------
    LimitError
        If a product is of an unknown substance, or the handling is.
    """
    if handling not in list(Handling):
        raise LimitError(
            f"handling = {handling}: is not known; the words are {listed(Handling)}; write one of them."
        )
    offered: dict[str, list[Product | None]] = {key: [] for key in AMENDMENTS}
    for product in products:
        offered[_known(product)].append(product)
    choices = [
        _choice(amendment, product, requirement, Handling(handling))
        for key, amendment in AMENDMENTS.items()
        for product in offered[key] or [None]
    ]
    return tuple(sorted(choices, key=_order))


def price_per_kg_sodium(product: Product) -> float:
    """Price of a product per kilogram of sodium that its charge displaces, in the user's own money.

    Parameters
    ----------
    product : Product
        Its price and its share of the amendment decide; all of its charge is taken to displace sodium.

    Raises
    ------
    LimitError
        If the product has no price, or is of an unknown substance.
    """
    amendment = AMENDMENTS[_known(product)]
    charge_per_kg = 1000.0 * product.pure_share / amendment.equivalent_mass
    return product.price(1.0) / (charge_per_kg * SODIUM.molar_mass / 1000.0)


def _known(product: Product) -> str:
    if product.substance not in AMENDMENTS:
        raise LimitError(
            f"substance of {product.name} = {product.substance}: is not an amendment known here; they are "
            f"{listed(AMENDMENTS)}; write one of them{close_to(product.substance, AMENDMENTS)}."
        )
    return product.substance


def _choice(
    amendment: Amendment, product: Product | None, requirement: Requirement, handling: Handling
) -> Choice:
    charge = 2.0 * requirement.gypsum_with_factor
    gypsum = express(requirement.gypsum_with_factor, Kind.GYPSUM_RATE, "t/ha", ground=requirement.ground)
    rate = gypsum * amendment.per_gypsum
    lime = charge * _LIME_PER_CHARGE / 1000.0 if amendment.acid else 0.0
    spread = None if product is None else product.product_mass(rate)
    priced = product is not None and product.price_per_t is not None
    return Choice(
        amendment=amendment,
        per_gypsum=amendment.per_gypsum,
        rate_t_per_ha=rate,
        lime_needed_g_per_kg=lime,
        reasons=tuple(_reasons(amendment, requirement, handling, lime=lime)),
        cautions=(*amendment.cautions, *_PRODUCT_CAUTIONS.get(amendment.key, ())),
        product=product,
        product_t_per_ha=spread,
        price_per_ha=product.price(1000.0 * spread) if product and spread and priced else None,
        price_per_kg_sodium=price_per_kg_sodium(product) if product and priced else None,
    )


def _reasons(
    amendment: Amendment, requirement: Requirement, handling: Handling, *, lime: float
) -> Sequence[str]:
    """Why an amendment may not be used on this soil by these people."""
    ph, held = requirement.ph, requirement.lime
    reasons = []
    if not amendment.calcium:
        reasons.append(
            "It brings no calcium and frees none: potassium and magnesium would take the sodium's places."
        )
    if amendment.acid:
        if held is None:
            reasons.append("Its acid needs lime in the soil, and lime was not measured: test for it.")
        elif 1000.0 * held < lime:
            reasons.append(
                f"Its acid would dissolve {lime:.3g} g/kg of lime, and the soil holds {1000 * held:.3g}."
            )
        if ph is not None and ph < NEUTRAL_PH:
            reasons.append(f"pH {ph:.3g} is below {NEUTRAL_PH:g} already: acid makes the soil sour.")
    if amendment.acid_soil_only:
        if ph is None:
            reasons.append("It dissolves in acid soil alone, and pH was not measured.")
        elif ph >= ACID_SOIL_PH:
            reasons.append(f"It dissolves below pH {ACID_SOIL_PH:g} alone, and this soil has {ph:.3g}.")
    if amendment.handling.rank > handling.rank:
        who = "trained and licensed" if amendment.handling is Handling.LICENSED else "trained"
        reasons.append(f"Only {who} people may handle it.")
    return reasons


def _order(choice: Choice) -> tuple[bool, bool, float]:
    price = choice.price_per_kg_sodium
    return (not choice.eligible, price is None, price or 0.0)
