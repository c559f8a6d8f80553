"""The programme of the page: plan, field water and years, from what was picked and typed."""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Final

from soilx.column.files import demo_path
from soilx.column.soil import Soil
from soilx.column.water import Water
from soilx.errors import LimitError, SoilxError
from soilx.practice.dose.product import Product
from soilx.practice.judgement.verdict_words import Verdict
from soilx.practice.seasons.climate import Climate
from soilx.practice.seasons.climate_file import read_climates
from soilx.practice.seasons.covers import COVERS, cover_of
from soilx.practice.seasons.field_water import FieldWater
from soilx.practice.seasons.irrigation import Irrigation
from soilx.practice.seasons.programme import Programme
from soilx.practice.seasons.visit_plans import LEACH, WATER_IN, incorporated, split
from soilx.practice.seasons.visits import VisitPlan
from soilx.show.field_answer import Answer
from soilx.show.field_choices import demo_waters
from soilx.show.field_form import Form
from soilx.units import quantity

WORKED_IN: Final = "worked in"
SPLIT: Final = "split"
WAYS: Final[Mapping[str, str]] = MappingProxyType(
    {WORKED_IN: "worked in, all at once", SPLIT: "split over visits"}
)
LAYERS: Final = 6
"""Enough for a depth average through the years."""
DRAWS: Final = 9
"""For the band of the picture: another draw lies within it in 8 of 10 cases."""

NO_PLAN: Final = "No plan: see what is said at the boxes above, and move the gypsum slider off zero."

_SPRING: Final = (3, 15)
_LEAST_DOSE: Final = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Habit:
    """How a soil of the demonstration is used.

    Attributes
    ----------
    cover, way : str
    """

    cover: str
    way: str


HABITS: Final[Mapping[str, Habit]] = MappingProxyType({"Lawn 2": Habit(cover="fine turf", way=SPLIT)})
FIELD: Final = Habit(cover="field crop", way=WORKED_IN)


@functools.cache
def climates() -> Mapping[str, Climate]:
    """Climates of the demonstration, by name; invented."""
    return MappingProxyType(dict(read_climates(demo_path("climate.csv"))))


def covers_offered() -> dict[str, str]:
    """Covers to pick from, as they are read."""
    return {name: name for name in COVERS}


def plan_texts(today: date | None = None) -> dict[str, str]:
    """What stands in the boxes of a plan at the start: the coming spring.

    Parameters
    ----------
    today : date, optional
        The day it is.
    """
    now = today or date.today()
    spring = date(now.year, *_SPRING)
    first = spring if spring > now else date(now.year + 1, *_SPRING)
    return {"first": first.isoformat(), "water": WATER_IN, "leach": LEACH}


def may_run(answer: Answer) -> str:
    """Why no years are run for an answer; empty where they are.

    Parameters
    ----------
    answer : Answer
    """
    if answer.soil is None or answer.water is None:
        return answer.why.get("column") or answer.why.get("soil") or "The soil or the water is not known."
    if answer.rate_allowed or answer.decision.verdict is Verdict.FIX_THE_WATER:
        return ""
    return f"No programme: {answer.decision.verdict}."


def field_water(soil: Soil, water: Water, *, climate: str, cover: str) -> FieldWater:
    """What wets and dries the field.

    Parameters
    ----------
    soil : Soil
    water : Water
        It is irrigated with, where rain falls short.
    climate, cover : str
    """
    weather, grown = climates()[climate], cover_of(cover)
    try:
        irrigation = Irrigation.to_meet(weather, cover=grown, water=water, ground=soil.ground)
    except LimitError:
        irrigation = None
    return FieldWater(
        climate=weather, rain=demo_waters()["Rain"], cover=grown, irrigation=irrigation, visit_water=water
    )


def plan_of(
    answer: Answer,
    texts: Mapping[str, str],
    form: object,
    *,
    t_per_ha: float,
    way: str,
    cover: str,
    product: Product,
) -> VisitPlan | None:
    """Plan of visits for a chosen rate; None where it cannot be, and then the form says why.

    Parameters
    ----------
    answer : Answer
        With a soil.
    texts : mapping of str to str
        Keys of the boxes of `soilx.show.field_boxes.plan_groups`.
    form : object
        `Form.shown`.
    t_per_ha : float
        Pure gypsum.
    way, cover : str
    product : Product
    """
    soil = answer.soil
    given = {**plan_texts(), **texts}

    def made() -> VisitPlan:
        if soil is None:
            raise LimitError(answer.why.get("soil", "soil: is not known; name one."))
        if not t_per_ha > _LEAST_DOSE:
            raise LimitError(
                "gypsum = 0 t/ha: is nothing to plan; the limit is a plan's, which spreads some; "
                "move the gypsum "
                "slider."
            )
        gypsum = quantity(t_per_ha, "t/ha")
        water, leach = given["water"], given["leach"]
        if way == WORKED_IN:
            return incorporated(
                soil, gypsum=gypsum, day=given["first"], product=product, water=water, leach=leach
            )
        return split(
            soil,
            gypsum=gypsum,
            first=given["first"],
            cover=cover,
            cap=given.get("cap"),
            annual_limit=given.get("annual_limit"),
            product=product,
            water=water,
            leach=leach,
        )

    refusals: dict[str, str] = {}
    whole, plan = "", None
    try:
        plan = made()
    except SoilxError as refused:
        said = str(refused)
        key = next(
            (key for key in given if said.startswith((f"{key} ", "day ") if key == "first" else key)), None
        )
        if key is None:
            whole = said
        else:
            refusals[key] = said
    control = getattr(form, "control", None)
    if isinstance(control, Form):
        control.refuse(refusals, whole)
    return plan


def years_of(
    answer: Answer, plan: VisitPlan, water: FieldWater, *, years: int, told: Callable[[float], None]
) -> Programme:
    """The years of a plan, beside doing nothing.

    Parameters
    ----------
    answer : Answer
        With a soil.
    plan : VisitPlan
    water : FieldWater
    years : int
    told : callable
        Told how far it is, from 0 to 1.

    Raises
    ------
    SoilxError
        As `Programme.of` does.
    """
    if answer.soil is None:
        raise LimitError(answer.why.get("soil", "soil: is not known; name one."))
    return Programme.of(
        answer.soil,
        plan=plan,
        water=water,
        years=years,
        target_esp_pct=answer.aim.target_esp_pct,
        draws=DRAWS,
        progress=told,
        layers=LAYERS,
    )
