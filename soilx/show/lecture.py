"""The lecture's one door: controls, stages, charts that stay, and the pair of columns they show."""

from __future__ import annotations

from soilx.show.contrast_view import Contrasts
from soilx.show.control import Control
from soilx.show.desk import Desk, Explain
from soilx.show.kept import KeptCurves
from soilx.show.level_guess import LevelGuess
from soilx.show.live import Assumptions, Sentence, exchangeable_sodium_by_depth, soil_columns
from soilx.show.moves import Moves
from soilx.show.page import caution, fold, folds, part, prose, quick_turns, row, screen, step
from soilx.show.pair import MOST_WATER, Columns, Views, follow, setting_shown
from soilx.show.pick import Pick
from soilx.show.portions import Portions
from soilx.show.prediction import Choice, Prediction
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
from soilx.show.stages import AskFirst, Stages
from soilx.show.words import Line, question, soil_words

__all__ = [
    "MOST_WATER",
    "PLACEMENTS",
    "RATE_UNITS",
    "WATER_UNITS",
    "AskFirst",
    "Assumptions",
    "Choice",
    "Columns",
    "Contrasts",
    "Control",
    "Desk",
    "Explain",
    "KeptCurves",
    "LevelGuess",
    "Line",
    "Moves",
    "Pick",
    "Portions",
    "Prediction",
    "Press",
    "Sentence",
    "Stages",
    "Views",
    "caution",
    "changed_soil",
    "clarity_by_portion",
    "exchangeable_sodium_by_depth",
    "fold",
    "folds",
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
    "setting_shown",
    "settle",
    "sodium_places",
    "soil_columns",
    "soil_line",
    "soil_words",
    "step",
    "water_readings",
    "waters",
    "wettings",
]
