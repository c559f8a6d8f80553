"""Every kind of problem, in the order in which they are met."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from soilx.teaching.kinds.brine import BRINE_GYPSUM
from soilx.teaching.kinds.charge_counting import ESP_BY_CHARGE, PPM_TO_CHARGE
from soilx.teaching.kinds.dilution import VALENCE_DILUTION, WIDE_EXTRACT
from soilx.teaching.kinds.fake_recommendation import FAKE_RECOMMENDATION
from soilx.teaching.kinds.field_rates import FIELD_RATE, POT_DOSE
from soilx.teaching.kinds.four_laboratories import FOUR_LABORATORIES
from soilx.teaching.kinds.gypsum_amounts import GYPSUM_BY_CHARGE, GYPSUM_IN_WATER
from soilx.teaching.kinds.gypsum_or_not import GYPSUM_OR_NOT
from soilx.teaching.kinds.irrigation import INFILTRATION_CLASS, WATER_DOSE, WATER_FLOOR
from soilx.teaching.kinds.leachate_budget import LEACHATE_BUDGET
from soilx.teaching.kinds.one_beaker import EXTRACTABLE, SAR_TO_ESP
from soilx.teaching.kinds.one_layer import ONE_PORTION
from soilx.teaching.kinds.sliders import LEAST_GYPSUM, LEAST_WATER
from soilx.teaching.kinds.soil_classes import NAME_THE_SOIL
from soilx.teaching.kinds.split_programme import SPLIT_PROGRAMME
from soilx.teaching.problem import Level, Problem

PROBLEMS: Final[Mapping[str, Problem]] = MappingProxyType(
    {
        problem.key: problem
        for problem in (
            PPM_TO_CHARGE,
            ESP_BY_CHARGE,
            FOUR_LABORATORIES,
            SAR_TO_ESP,
            EXTRACTABLE,
            NAME_THE_SOIL,
            VALENCE_DILUTION,
            WIDE_EXTRACT,
            GYPSUM_BY_CHARGE,
            GYPSUM_IN_WATER,
            ONE_PORTION,
            LEACHATE_BUDGET,
            LEAST_GYPSUM,
            LEAST_WATER,
            FIELD_RATE,
            POT_DOSE,
            SPLIT_PROGRAMME,
            FAKE_RECOMMENDATION,
            GYPSUM_OR_NOT,
            WATER_FLOOR,
            INFILTRATION_CLASS,
            WATER_DOSE,
            BRINE_GYPSUM,
        )
    }
)
"""By key. A problem's number stands in receipts and is never given to another one."""

BY_NUMBER: Final[Mapping[int, Problem]] = MappingProxyType(
    {problem.number: problem for problem in PROBLEMS.values()}
)


def problems_of(level: Level) -> tuple[Problem, ...]:
    """The problems of one level, in their order."""
    return tuple(problem for problem in PROBLEMS.values() if problem.level is level)
