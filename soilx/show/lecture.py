"""The lecture's one door: controls, stages, charts that stay, and the pair of columns they show."""

from __future__ import annotations

from soilx.show.control import Control
from soilx.show.live import Assumptions, Sentence, exchangeable_sodium_by_depth, soil_columns
from soilx.show.page import caution, fold, part, prose, quick_turns, row, screen
from soilx.show.pair import MOST_WATER, Columns, Views, follow
from soilx.show.pick import Pick
from soilx.show.portions import Portions
from soilx.show.presets import (
    PLACEMENTS,
    RATE_UNITS,
    WATER_UNITS,
    changed_soil,
    offered,
    presets,
    rate_readings,
    read_in,
    selectivity_note,
    settle,
    water_readings,
    waters,
    wettings,
)
from soilx.show.press import Press
from soilx.show.sentences import soil_line
from soilx.show.stage_views import clarity_by_portion, leachate_curve, sodium_places
from soilx.show.stages import Stages
from soilx.show.words import Line, question, soil_words

__all__ = [
    "MOST_WATER",
    "PLACEMENTS",
    "RATE_UNITS",
    "WATER_UNITS",
    "Assumptions",
    "Columns",
    "Control",
    "Line",
    "Pick",
    "Portions",
    "Press",
    "Sentence",
    "Stages",
    "Views",
    "caution",
    "changed_soil",
    "clarity_by_portion",
    "exchangeable_sodium_by_depth",
    "fold",
    "follow",
    "leachate_curve",
    "offered",
    "part",
    "presets",
    "prose",
    "question",
    "quick_turns",
    "rate_readings",
    "read_in",
    "row",
    "screen",
    "selectivity_note",
    "settle",
    "sodium_places",
    "soil_columns",
    "soil_line",
    "soil_words",
    "water_readings",
    "waters",
    "wettings",
]
