"""The answers of the page: verdict, hand formula, column, map; each one, or the reason why there is none."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, TypeVar

from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.column.water import Water
from soilx.errors import SoilxError
from soilx.practice.dose.decision_map import DecisionMap, decision_map
from soilx.practice.dose.product import Product
from soilx.practice.dose.requirement import Requirement, hand_requirement
from soilx.practice.dose.requirement_column import ColumnRequirement, least_gypsum
from soilx.practice.dose.requirement_differences import Comparison, why_they_differ
from soilx.practice.judgement.verdict import Decision, decide
from soilx.practice.judgement.verdict_words import WITH_A_RATE
from soilx.practice.judgement.water_depths import WaterDepths, water_depths
from soilx.practice.soil_test.report import Report
from soilx.show.field_choices import Aim
from soilx.show.tables import axis_top
from soilx.units import Kind, express, quantity, read

_Made = TypeVar("_Made")

PORE_VOLUMES: Final = 4.0
"""Water with which the column's answer is sought, and where the water slider starts."""

MOST_PORE_VOLUMES: Final = 6.0
"""Where the water slider and the map end."""

_OVER_SODIUM: Final = 3.0
_LEAST_TOP_T_PER_HA: Final = 1.0
_NO_WATER: Final = "No water is known yet. The column needs one: pick it above, or type its analysis."


@dataclass(frozen=True, kw_only=True, eq=False)
class Answer:
    """Everything that is worked out of one soil test before a slider is moved.

    Attributes
    ----------
    report : Report
        As read, of the depth that is treated.
    water : Water or None
    aim : Aim
    decision : Decision
    soil : Soil or None
    hand : Requirement or None
    column : ColumnRequirement or None
    comparison : Comparison or None
    depths : WaterDepths or None
        For the hand formula's dose with its factor.
    surface : DecisionMap or None
    why : dict of str to str
        Why there is none, by the name of what is missing.
    """

    report: Report
    water: Water | None
    aim: Aim
    decision: Decision
    soil: Soil | None
    hand: Requirement | None
    column: ColumnRequirement | None
    comparison: Comparison | None
    depths: WaterDepths | None
    surface: DecisionMap | None
    why: dict[str, str]

    @property
    def scenario(self) -> Scenario | None:
        """The column that the answers are of, without gypsum; None where soil or water is not known."""
        if self.soil is None or self.water is None:
            return None
        return _watered(self.soil, self.water)

    @property
    def rate_allowed(self) -> bool:
        """Whether a rate may be shown as something to spread now."""
        return self.decision.rate_allowed

    @property
    def rate_later(self) -> bool:
        """Whether a rate follows once water can leave."""
        return self.decision.then in WITH_A_RATE

    @property
    def start_t_per_ha(self) -> float:
        """Pure gypsum at which the slider starts: the hand formula's with its factor [t/ha]."""
        return 0.0 if self.hand is None else float(self.hand.pure_with_factor.magnitude)


def verdict_on(report: Report, *, water: Water | None, aim: Aim, convention: str) -> Decision:
    """Verdict on a soil test.

    Parameters
    ----------
    report : Report
    water : Water or None
    aim : Aim
    convention : str
        "US" or "Australia".
    """
    return decide(
        report,
        water=water,
        target_esp_pct=aim.target_esp_pct if aim.asked else None,
        concentration_factor=aim.concentration,
        convention=convention,
    )


def answer_to(report: Report, *, water: Water | None, aim: Aim, decision: Decision) -> Answer:
    """Hand formula, column and map for a soil test.

    Parameters
    ----------
    report : Report
    water : Water or None
    aim : Aim
    decision : Decision
        `verdict_on` it.
    """
    why: dict[str, str] = {}

    def made(what: str, make: Callable[[], _Made]) -> _Made | None:
        try:
            return make()
        except SoilxError as refused:
            why[what] = str(refused)
            return None

    target = aim.target_esp_pct
    treated = made("depth", lambda: _treated(report, aim.depth))
    if treated is None:
        why |= dict.fromkeys(("soil", "hand", "column", "surface"), why["depth"])
        return _nothing(report, water, aim, decision, why)
    soil = made("soil", treated.soil)
    hand = made("hand", lambda: hand_requirement(treated, target_esp=target, factor=aim.factor))
    if soil is None or water is None:
        why |= dict.fromkeys(("column", "surface"), _NO_WATER if soil is not None else why["soil"])
        return _nothing(report, water, aim, decision, why, soil=soil, hand=hand)
    scenario = _watered(soil, water)
    column = made("column", lambda: least_gypsum(scenario, target_esp_pct=target))
    comparison = depths = None
    if hand is not None and hand.gypsum > 0:
        dose = hand.pure_with_factor
        depths = made("depths", lambda: water_depths(soil, gypsum=dose, water=water, target_esp=target))
        if column is not None:
            found = column
            comparison = made(
                "comparison",
                lambda: why_they_differ(hand, found, concentration_factor=aim.concentration),
            )
    top = _top_t_per_ha(soil, hand)
    surface = made(
        "surface",
        lambda: decision_map(
            scenario,
            gypsum_to=quantity(top, "t/ha"),
            water_to=quantity(MOST_PORE_VOLUMES, "pore_volume"),
        ),
    )
    return Answer(
        report=treated,
        water=water,
        aim=aim,
        decision=decision,
        soil=soil,
        hand=hand,
        column=column,
        comparison=comparison,
        depths=depths,
        surface=surface,
        why=why,
    )


def in_product(answer: Answer, product: Product) -> Requirement | None:
    """The hand formula's rate in the product that is spread; None where there is no rate.

    Parameters
    ----------
    answer : Answer
    product : Product
    """
    return None if answer.hand is None else answer.hand.with_product(product)


def _watered(soil: Soil, water: Water) -> Scenario:
    return Scenario.of(soil=soil, wettings=[(quantity(PORE_VOLUMES, "pore_volume"), water)])


def _treated(report: Report, depth: str | None) -> Report:
    """The report of the depth that is treated: nobody knows what lies below the sampled one."""
    if depth is None:
        return report
    wanted = read(depth, Kind.DEPTH, name="depth")
    report.require_sampled(wanted)
    if report.depth is not None and abs(report.depth - wanted) < 1e-9 * wanted:
        return report
    return report.with_(depth=depth)


def _top_t_per_ha(soil: Soil, hand: Requirement | None) -> float:
    """Where slider and map end: what few soils need, and room above the hand formula's dose [t/ha]."""
    sodium = soil.cation_exchange_capacity * soil.exchangeable_sodium_percentage / 100.0
    most = express(_OVER_SODIUM * sodium / 2.0, Kind.GYPSUM_RATE, "t/ha", ground=soil.ground)
    wanted = 0.0 if hand is None else 1.2 * float(hand.pure_with_factor.magnitude)
    return axis_top(max(_LEAST_TOP_T_PER_HA, most, wanted))


def _nothing(
    report: Report,
    water: Water | None,
    aim: Aim,
    decision: Decision,
    why: dict[str, str],
    *,
    soil: Soil | None = None,
    hand: Requirement | None = None,
) -> Answer:
    return Answer(
        report=report,
        water=water,
        aim=aim,
        decision=decision,
        soil=soil,
        hand=hand,
        column=None,
        comparison=None,
        depths=None,
        surface=None,
        why=why,
    )
