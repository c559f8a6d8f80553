"""The one door of the bench page: the plan, the record on its sheet, the budget, and the fit."""

from __future__ import annotations

from soilx.show.bench_budget import budget_charts, show_budget
from soilx.show.bench_cards import cards_of, show_cards
from soilx.show.bench_curves import curve_charts, show_fitted, show_measured, show_planned
from soilx.show.bench_fit import FIRST_PARAMETERS, Fitter, parameters_offered, put_soil, readings_offered
from soilx.show.bench_fit_words import fit_charts, show_fit
from soilx.show.bench_folder import folder_of, host_of
from soilx.show.bench_guess import CupGuess
from soilx.show.bench_keep import Keep
from soilx.show.bench_offers import (
    ARMS_OFFERED,
    DOSES,
    INSTRUMENTS,
    NO_IRRIGATION,
    SoilChoice,
    products,
    products_offered,
    settle_dose,
    soils_offered,
    waters_offered,
)
from soilx.show.bench_plan import Planner, plan_of
from soilx.show.bench_plan_words import say_refusal, show_arms, show_dose, show_work
from soilx.show.bench_recorded import TABS, Recorded, show_recorded
from soilx.show.bench_sheet import Sheet as RecordSheet
from soilx.show.desk import Explain
from soilx.show.download import Download
from soilx.show.entry import Entry
from soilx.show.page import caution, fold, folds, part, prose, quick_turns, row, screen, step
from soilx.show.pick import Pick
from soilx.show.prediction import Choice, Prediction
from soilx.show.stages import AskFirst, Stages
from soilx.show.tabs import Tabs, panel
from soilx.show.task import Task
from soilx.show.ticks import Ticks
from soilx.show.upload import Upload
from soilx.show.word_sheet import Sheet

__all__ = [
    "ARMS_OFFERED",
    "DOSES",
    "FIRST_PARAMETERS",
    "INSTRUMENTS",
    "NO_IRRIGATION",
    "TABS",
    "AskFirst",
    "Choice",
    "CupGuess",
    "Download",
    "Entry",
    "Explain",
    "Fitter",
    "Keep",
    "Pick",
    "Planner",
    "Prediction",
    "RecordSheet",
    "Recorded",
    "Sheet",
    "SoilChoice",
    "Stages",
    "Tabs",
    "Task",
    "Ticks",
    "Upload",
    "budget_charts",
    "cards_of",
    "caution",
    "curve_charts",
    "fit_charts",
    "fold",
    "folder_of",
    "folds",
    "host_of",
    "panel",
    "parameters_offered",
    "part",
    "plan_of",
    "products",
    "products_offered",
    "prose",
    "put_soil",
    "quick_turns",
    "readings_offered",
    "row",
    "say_refusal",
    "screen",
    "settle_dose",
    "show_arms",
    "show_budget",
    "show_cards",
    "show_dose",
    "show_fit",
    "show_fitted",
    "show_measured",
    "show_planned",
    "show_recorded",
    "show_work",
    "soils_offered",
    "step",
    "waters_offered",
]
