"""Columns that go through the same seasons side by side: treated, untreated, and what they may be."""

from collections.abc import Sequence
from dataclasses import dataclass

from soilx.column.scenario import Scenario
from soilx.errors import LimitError, require
from soilx.practice.seasons.visits import VisitPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonArm:
    """One column, and what it gets of the field's water and of a plan.

    Attributes
    ----------
    name : str
        "treated", "doing nothing", ...
    scenario : Scenario
        The column: soil, layers, placement and dissolution of the plan's gypsum. Neither gypsum nor wettings
        are in it: both come by their dates.
    plan : VisitPlan or None
        Whose visits it gets; None for nothing.
    spreads : bool
        Whether the visits bring gypsum, or their water alone.
    carried : float
        Gypsum dissolved in the irrigation water [mmol/L].
    rain, irrigation, evapotranspiration : float
        Times the field's own.

    Raises
    ------
    LimitError
        If gypsum or wettings are in the scenario, or a factor is negative.
    """

    name: str
    scenario: Scenario
    plan: VisitPlan | None = None
    spreads: bool = True
    carried: float = 0.0
    rain: float = 1.0
    irrigation: float = 1.0
    evapotranspiration: float = 1.0

    def __post_init__(self) -> None:
        if self.scenario.gypsum or self.scenario.wettings:
            raise LimitError(
                f"column {self.name}: has gypsum or water before its seasons; the limit is one way of saying "
                "when what comes; put gypsum into a plan of visits, and water into the field's."
            )
        for name in ("carried", "rain", "irrigation", "evapotranspiration"):
            require(
                f"{name} of {self.name}",
                getattr(self, name),
                "mmol/L" if name == "carried" else "",
                low=0.0,
                high=100.0,
                whose="a column in a field",
                remedy="give 0 for none, 1 for the field's own",
            )

    @property
    def areal_soil(self) -> float:
        """Soil under a square metre of the column [kg/m²]; 1 mm of water on it is 1 L."""
        return self.scenario.soil.depth * self.scenario.soil.bulk_density

    @property
    def step(self) -> float:
        """Water of one step [mm]."""
        scenario = self.scenario
        return scenario.displaced_fraction * scenario.soil.drained_water / scenario.layers * self.areal_soil


def require_alike(arms: Sequence[SeasonArm]) -> None:
    """Raise where columns cannot go through seasons as one array.

    Raises
    ------
    LimitError
        If there are none, or their numbers of layers or depths differ.
    """
    if not arms:
        raise LimitError("columns: there is none; the limit is one; give a treated or an untreated one.")
    names = [arm.name for arm in arms]
    for name in names:
        if names.count(name) > 1:
            raise LimitError(
                f"column {name}: stands twice; a column is found by its name; give one another name."
            )
    for what, values in (
        ("layers", {float(arm.scenario.layers) for arm in arms}),
        ("depths", {arm.scenario.soil.depth for arm in arms}),
    ):
        if len(values) > 1:
            raise LimitError(
                f"columns: their {what} differ, {', '.join(f'{value:g}' for value in sorted(values))}; the "
                "limit is one array's, alike in each; run them one after the other."
            )
