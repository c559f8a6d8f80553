"""The plan that a record is of, as far as it tells: its soil, its dose and its mass, for the lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from soilx.bench.plan import Plan
from soilx.errors import SoilxError
from soilx.practice.dose.product import PURE
from soilx.show.bench_offers import demo_soils
from soilx.show.word_sheet import Sheet, line, points

if TYPE_CHECKING:
    from soilx.bench.record import Record
    from soilx.column.soil import Soil


def soil_of(record: Record, chosen: Soil) -> tuple[Soil, str]:
    """The soil that a record is of, and what has to be said where that is not sure.

    Parameters
    ----------
    record : Record
    chosen : Soil
        That of the plan, for a record that names no soil of the demonstration.
    """
    named = record.words.get("soil", "")
    if not named or named == chosen.name:
        return chosen, ""
    if named in demo_soils():
        return demo_soils()[named], ""
    return chosen, (
        f"The record is of {named}, and the soil of the plan is {chosen.name}: the model's lines and the fit "
        f"are for {chosen.name}. Load the soil of {named} under “{TAB_PLAN}”."
    )


TAB_PLAN = "Get ready"
TABS = (TAB_PLAN, "While it drips", "What it says")


class Recorded:
    """Plans of records, each made once.

    A record that lacks what a plan needs is taken to be of the page's plan, and the page says so.
    """

    def __init__(self) -> None:
        self._key: tuple[object, ...] | None = None
        self._plan: Plan | None = None
        self.said: tuple[str, ...] = ()

    def plan(self, record: Record, planned: Plan) -> Plan:
        """The plan of a record; `said` then holds what has to be known of it.

        Parameters
        ----------
        record : Record
        planned : Plan
            Of the page: its water, its portions and its other waters.
        """
        soil, doubt = soil_of(record, planned.soil)
        said = [doubt] if doubt else []
        dose, mass = record.known("dose", arm="gypsum", replicate=1), record.known("soil_mass")
        opening = record.known("opening")
        if dose is None or mass is None or dose.value <= 0:
            said.append(
                "The record does not say how much product and soil the gypsum column got: the lines are the "
                f"plan's, {planned.product_g:.2f} g."
            )
            self.said = tuple(said)
            return planned
        purity, moisture = (record.known(key, arm="gypsum", replicate=1) for key in ("purity", "moisture"))
        share = (1.0 if purity is None else purity.value) * (1.0 if moisture is None else 1 - moisture.value)
        pure = 1000.0 * dose.value * share / mass.value
        key = (soil, pure, mass.value, planned)
        if self._key is None or any(
            one is not two and one != two for one, two in zip(key, self._key, strict=True)
        ):
            try:
                self._plan = Plan.of(
                    soil,
                    soil_mass=f"{mass.value!r} kg",
                    opening=f"{(planned.scale.opening if opening is None else opening.value)!r} mm",
                    gypsum=f"{pure!r} g/kg",
                    water=f"{planned.treated.wettings[-1].volume!r} L/kg",
                    portions=planned.portions,
                    product=PURE,
                    irrigation=planned.irrigation,
                )
            except SoilxError as refused:
                self.said = (*said, f"{str(refused).rstrip('.')}; the lines are the plan's.")
                return planned
            self._key = key
        said.append(
            f"The lines: what the model expects of {soil.name} with {1000 * dose.value:.2f} g of product "
            f"({pure:.2f} g/kg of pure gypsum) in {1000 * mass.value:g} g, as the record has it, and of the "
            "same soil without."
        )
        self.said = tuple(said)
        return self._plan or planned


def show_recorded(sheet: Sheet, record: Record, recorded: Recorded, *, folder_said: str = "") -> None:
    """Put on a sheet what the lines under the readings are.

    Parameters
    ----------
    sheet : Sheet
    record : Record
    recorded : Recorded
    folder_said : str
        Why nothing is saved although a folder was named; empty where that is not so.
    """
    portions = sum(len(arm.portions) for arm in record.arms.values())
    blocks = [line(folder_said, "stop")] if folder_said else []
    sheet.put(
        *blocks,
        points(recorded.said),
        spoken=f"{record.name}: {portions} portions over the model's lines.",
    )
