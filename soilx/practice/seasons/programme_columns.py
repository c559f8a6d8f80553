"""The columns that a programme compares: treated, untreated, watered alike, and gypsum in the water."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final

from soilx.chemistry.gypsum import gypsum_solubility
from soilx.column.fields import Given, refuse_unknown
from soilx.column.placement import SURFACE
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.errors import refuse, require
from soilx.practice.seasons.field_water import FieldWater
from soilx.practice.seasons.season_arms import SeasonArm
from soilx.practice.seasons.visits import VisitPlan
from soilx.units import GYPSUM, Kind, express, read

TREATED: Final = "treated"
NOTHING: Final = "doing nothing"
WATER_ONLY: Final = "same water, no gypsum"
IN_WATER: Final = "gypsum in the water"

OF_COLUMN: Final = (
    "layers",
    "displaced_fraction",
    "dispersivity",
    "bypass_fraction",
    "dissolution",
    "dissolution_rate",
)
"""What can be said of the columns; where gypsum goes is the plan's, and water the field's."""
_OF_DOSE: Final = ("dissolution", "dissolution_rate")


def compared_columns(
    soil: Soil, *, plan: VisitPlan, carried: float, column: Mapping[str, Any]
) -> tuple[SeasonArm, ...]:
    """Columns of a programme, `TREATED` and `NOTHING` first.

    Parameters
    ----------
    soil : Soil
    plan : VisitPlan
    carried : float
        Gypsum of the column `IN_WATER` [mmol/L]; 0 leaves it out.
    column : mapping
        Any of `OF_COLUMN`, as `soilx.Scenario.of` takes it.

    Raises
    ------
    SoilxError
        If something is unknown, or a column cannot be so.
    """
    refuse_unknown(column, OF_COLUMN, what="the columns of a programme")
    slow = {"dissolution": "first_order"} if plan.placement == SURFACE else {}
    # A programme begins in the field, after rain, and not with the air-dry soil of a laboratory.
    moist = replace(soil, initial_water=soil.drained_water)
    plain = Scenario.of(moist, **{key: value for key, value in column.items() if key not in _OF_DOSE})
    dosed = replace(
        Scenario.of(moist, **{**slow, **column}), placement=plan.placement, top_fraction=plan.top_fraction
    )
    arms = [
        SeasonArm(name=TREATED, scenario=dosed, plan=plan),
        SeasonArm(name=NOTHING, scenario=plain),
        SeasonArm(name=WATER_ONLY, scenario=plain, plan=plan, spreads=False),
    ]
    if carried > 0:
        arms.append(SeasonArm(name=IN_WATER, scenario=plain, carried=carried))
    return tuple(arms)


def carried_gypsum(
    given: Given | None, *, plan: VisitPlan, water: FieldWater, years: int
) -> tuple[float, tuple[str, ...]]:
    """Gypsum of the alternative in the irrigation water [mmol/L], and what has to be said of it."""
    if water.irrigation is None:
        if given is not None:
            refuse(
                "gypsum_in_water",
                given,
                "",
                wrong="has no water to be in",
                limit="the field is not irrigated",
                remedy="leave it out, or irrigate",
            )
        return 0.0, ("no irrigation: gypsum cannot be given with the water",)
    if given is not None:
        carried = require(
            "gypsum_in_water",
            read(given, Kind.CONCENTRATION, name="gypsum_in_water", ion=GYPSUM),
            "mmol/L",
            low=0.0,
            whose="a water",
            remedy='give what gypsum adds, like "2 mmol_c/L", or 0 for none',
        )
        return carried, ()
    areal = (plan.ground.depth or 0.0) * (plan.ground.bulk_density or 0.0)
    litres = water.irrigation.annual_depth * years
    carried = plan.total * areal / litres
    most = gypsum_solubility(water.irrigation.water.solution) - water.irrigation.gypsum
    if carried > most:
        return 0.0, (
            f"gypsum in the water is left out: the plan's gypsum in all irrigation of {years} years would be "
            f"{carried:.3g} mmol/L, and {water.irrigation.water.name} dissolves {most:.3g}",
        )
    rate = express(plan.total, Kind.GYPSUM_RATE, "t/ha", ground=plan.ground)
    return carried, (
        f"gypsum in the water: the plan's {rate:.3g} t/ha of pure gypsum spread over all irrigation of "
        f"{years} years, {2 * carried:.3g} mmol_c/L",
    )
