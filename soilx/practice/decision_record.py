"""A field decision as it was typed: soil test, water, aim, product and plan, from which it is made again."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final, Self

from soilx.column.fields import Given, Typed, listed, typed_text
from soilx.column.water import DEIONISED, DEIONISED_NAME, Water
from soilx.errors import LimitError, refuse
from soilx.practice.decision_texts import ordered, plain_number, require_amounts, target_of
from soilx.practice.dose.gypsum_rate import MOST_FACTOR
from soilx.practice.dose.product import PURE, Product
from soilx.practice.judgement.irrigation_water import MOST_CONCENTRATION
from soilx.practice.judgement.thresholds import convention_of
from soilx.practice.judgement.verdict import Decision, decide
from soilx.practice.seasons.covers import cover_of
from soilx.practice.seasons.season_timeline import require_years
from soilx.practice.seasons.visits import day_of
from soilx.practice.soil_test.report import Report
from soilx.units import Kind, read

AIM_KEYS: Final = ("title", "convention", "target", "depth", "factor", "concentration", "pot")
PRODUCT_KEYS: Final = (
    "name",
    "purity",
    "sulfur",
    "moisture",
    "moisture_basis",
    "bag",
    "price_per_t",
    "currency",
)
PLAN_KEYS: Final = (
    "way",
    "cover",
    "climate",
    "years",
    "first",
    "cap",
    "annual_limit",
    "water",
    "leach",
    "gypsum",
    "area",
)
"""What can be typed of each part; soil and water have the keys of a report and of a water."""

WORKED_IN: Final = "worked in"
SPLIT: Final = "split"
WAYS: Final = (WORKED_IN, SPLIT)

FACTOR: Final = "1.25"
"""Where none is typed; in print, and recalled are 1.1 to 1.3 †."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionRecord:
    """What was typed for one decision, part by part.

    Attributes
    ----------
    soil, water, aim, product, plan : tuple of (str, str)
        Keys and texts; water and product empty where nothing is known of them.
    """

    soil: Typed
    water: Typed = ()
    aim: Typed = ()
    product: Typed = ()
    plan: Typed = ()

    @classmethod
    def of(
        cls,
        soil: Report | Mapping[str, Given],
        *,
        water: Water | Mapping[str, Given] | None = None,
        aim: Mapping[str, Given] | None = None,
        product: Mapping[str, Given] | None = None,
        plan: Mapping[str, Given] | None = None,
    ) -> Self:
        """Record of a decision, once every part of it can be read.

        Parameters
        ----------
        soil : Report or mapping
            A soil test, or its texts by the keys of a report.
        water : Water or mapping, optional
            What the ground is watered with, or its analysis; not known unless given.
        aim, product, plan : mapping, optional
            Texts by `AIM_KEYS`, `PRODUCT_KEYS` and `PLAN_KEYS`.

        Raises
        ------
        SoilxError
            If a key is unknown, or a text is not what its key asks for.
        """
        report = soil if isinstance(soil, Report) else Report.of(**soil)
        known = water
        if known is not None and not isinstance(known, Water):
            texts = {key: typed_text(text) for key, text in known.items()}
            known = DEIONISED if texts == {"name": DEIONISED_NAME} else Water.of(**texts)
        record = cls(
            soil=report.typed,
            water=() if known is None else (known.typed or (("name", known.name),)),
            aim=ordered(aim, AIM_KEYS, "the aim of a decision"),
            product=ordered(product, PRODUCT_KEYS, "a product"),
            plan=ordered(plan, PLAN_KEYS, "a plan"),
        )
        record.require_readable()
        return record

    @property
    def name(self) -> str:
        """Of the soil."""
        return dict(self.soil)["name"]

    @property
    def title(self) -> str:
        """As it was typed, else the soil's name."""
        return dict(self.aim).get("title") or self.name

    def report(self) -> Report:
        """The soil test of the depth that is treated.

        Raises
        ------
        SoilxError
            If more is to be treated than was sampled.
        """
        report = Report.of(**dict(self.soil))
        depth = dict(self.aim).get("depth")
        if depth is None:
            return report
        wanted = read(depth, Kind.DEPTH, name="depth")
        report.require_sampled(wanted)
        same = report.depth is not None and abs(report.depth - wanted) < 1e-9 * wanted
        return report if same else report.with_(depth=depth)

    def irrigation_water(self) -> Water | None:
        """What the ground is watered with; None where nobody knows."""
        texts = dict(self.water)
        if not texts:
            return None
        return DEIONISED if texts == {"name": DEIONISED_NAME} else Water.of(**texts)

    def amendment(self) -> Product:
        """What is spread; pure gypsum where no product is known."""
        texts = dict(self.product)
        if not {"purity", "sulfur"} & set(texts):
            return PURE
        name, price = texts.pop("name", "my product"), texts.pop("price_per_t", None)
        # Unpacked texts could be any argument for a type checker; `ordered` let known keys alone through.
        build: Callable[..., Product] = Product.of
        priced = {} if price is None else {"price_per_t": plain_number(price, "price_per_t")}
        return build(name, **texts, **priced)

    @property
    def convention(self) -> str:
        """Whose limits it is judged by."""
        return dict(self.aim).get("convention", "US")

    @property
    def asked_target_esp_pct(self) -> float | None:
        """The target that was typed; None where the convention's own holds [%]."""
        text = dict(self.aim).get("target")
        return None if text is None else target_of(text)

    @property
    def factor(self) -> float:
        """For calcium that misses sodium."""
        return plain_number(dict(self.aim).get("factor", FACTOR), "factor", low=1.0, high=MOST_FACTOR)

    @property
    def concentration(self) -> float:
        """How many times the roots concentrate the water."""
        text = dict(self.aim).get("concentration", "1")
        return plain_number(text, "concentration", low=1.0, high=MOST_CONCENTRATION)

    def decision(self) -> Decision:
        """The verdict that these texts lead to."""
        return decide(
            self.report(),
            water=self.irrigation_water(),
            target_esp_pct=self.asked_target_esp_pct,
            concentration_factor=self.concentration,
            convention=self.convention,
        )

    @property
    def years(self) -> int:
        """How far the plan looks ahead."""
        text = dict(self.plan).get("years", "5")
        if not text.isdigit():
            refuse(
                "years", text, "", wrong="is not a whole number", limit="years are counted", remedy="round"
            )
        return int(text)

    @property
    def first(self) -> date | None:
        """Day of the first visit; None where none was typed."""
        text = dict(self.plan).get("first")
        return None if text is None else day_of(text, name="first")

    def require_readable(self) -> None:
        """Raise where a text is not what its key asks for."""
        self.report()
        self.irrigation_water()
        self.amendment()
        convention_of(self.convention)
        plan = dict(self.plan)
        _ = self.asked_target_esp_pct, self.factor, self.concentration, self.first
        require_years(self.years)
        if plan.get("way", WORKED_IN) not in WAYS:
            raise LimitError(
                f"way = {plan['way']}: is no way to spread; the words are {listed(WAYS)}; write one of them."
            )
        if "cover" in plan:
            cover_of(plan["cover"])
        require_amounts(dict(self.aim) | plan)
