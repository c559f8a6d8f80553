"""The plan of the bench page: made of texts as typed, and the last one that could be made of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from soilx.bench.plan import Plan
from soilx.bench.plan_record import record_begun
from soilx.column.soil import Soil
from soilx.column.water import Water
from soilx.errors import refuse, require
from soilx.practice.dose.product import Product
from soilx.show.bench_offers import DOSES, NO_IRRIGATION, OWN, demo_soils, demo_waters, products
from soilx.show.entry import heard
from soilx.units import Kind, read


class Planner:
    """The last plan that could be made: what cannot be is said, and the page stays as it was.

    Attributes
    ----------
    plan : Plan
    """

    def __init__(self) -> None:
        self.plan = Plan.of(demo_soils()["Block C"], gypsum=DOSES["Block C"], water="360 mL", portions=6)

    @property
    def begun(self) -> str:
        """Text of a record that is begun with this plan."""
        return record_begun(self.plan)

    def made(
        self, make: Callable[[], Plan], fields: Mapping[str, object], *, otherwise: Callable[[str], None]
    ) -> Plan:
        """A new plan, or the one before with the reason beside the field that it is about.

        Parameters
        ----------
        make : callable
            Makes the plan.
        fields : mapping of str to Shown
            By the name with which a refusal of each begins.
        otherwise : callable
            Says what is about none of the fields.
        """
        self.plan = heard(make, fields, otherwise=otherwise) or self.plan
        return self.plan


def plan_of(
    soil: Soil,
    *,
    soil_mass: str,
    opening: str,
    dose: str,
    product: str,
    purity: str,
    moisture: str,
    water: str,
    portions: str,
    replicates: str,
    balance: str,
    measured_with: str,
    irrigation: str,
    arms: Sequence[str],
) -> Plan:
    """Plan of texts as they were typed.

    Parameters
    ----------
    soil : Soil
    soil_mass, opening, water, balance : str
        With their units.
    dose : str
        A share is the ESP to reach, anything else a rate of pure gypsum.
    product : str
        Key of `products_offered`.
    purity, moisture : str
        Of one's own product, in %.
    portions, replicates : str
        Whole numbers.
    measured_with : str
        Key of `INSTRUMENTS`.
    irrigation : str
        Key of `waters_offered`.
    arms : sequence of str
        Keys of `ARMS_OFFERED` that are run beside the pair.

    Raises
    ------
    SoilxError
        If something cannot be read or cannot be.
    """
    by_target = dose.rstrip().endswith("%")
    require(
        "soil_mass",
        read(soil_mass, Kind.MASS, name="soil_mass"),
        "kg",
        low=0.001,
        high=100.0,
        whose="a column on a bench",
        remedy='give the dry soil of one column, like "100 g"',
    )
    require(
        "balance",
        1000.0 * read(balance, Kind.MASS, name="balance"),
        "g",
        low=0.0,
        low_open=True,
        high=100.0,
        whose="a balance for doses",
        remedy='give its smallest step, like "0.01 g"',
    )
    return Plan.of(
        soil,
        soil_mass=soil_mass,
        opening=opening,
        gypsum=None if by_target else dose,
        target_esp=dose if by_target else None,
        water=water,
        portions=_whole("portions", portions, example="6"),
        product=Product.of("your product", purity=purity, moisture=moisture)
        if product == OWN
        else products()[product],
        replicates=_whole("replicates", replicates, example="3"),
        balance=balance,
        measured_with=measured_with,
        irrigation=_irrigation(irrigation),
        arms=_named_arms(arms, irrigation != NO_IRRIGATION),
    )


def _named_arms(ticked: Sequence[str], irrigated: bool) -> tuple[str, ...]:
    names = ["control", "gypsum", *(arm for arm in ticked if arm in ("sodium chloride", "calcium chloride"))]
    if irrigated and "irrigation water" in ticked:
        names += ["irrigation water", "gypsum, irrigation water"]
    if "blank" in ticked:
        names += ["blank", "gypsum blank"]
    return tuple(names)


def _whole(name: str, typed: str, *, example: str) -> int:
    if not typed.isdecimal():
        refuse(
            name,
            typed,
            "",
            wrong="is not a whole number",
            limit="it counts",
            remedy=f"write one like {example}",
        )
    return int(typed[:6])


def _irrigation(name: str) -> Water | None:
    return None if name == NO_IRRIGATION else demo_waters()[name]
