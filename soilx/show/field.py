"""The one door of the page from a soil test to a decision: forms, answers, pictures and what they say."""

from __future__ import annotations

from soilx.practice.soil_test.report import read_reports
from soilx.show.control import Control
from soilx.show.field_amendment_words import (
    HANDLING,
    price_groups,
    price_texts,
    priced,
    show_amendments,
)
from soilx.show.field_answer import Answer, answer_to, verdict_on
from soilx.show.field_band_words import band_of, show_band
from soilx.show.field_boxes import aim_groups, plan_groups, product_groups, report_groups, water_groups
from soilx.show.field_choices import (
    aims_of,
    demo_products,
    demo_reports,
    demo_waters,
    gypsum_offered,
    product_texts,
    soils_offered,
    waters_offered,
)
from soilx.show.field_form import Form
from soilx.show.field_intake import Desk
from soilx.show.field_map import DoseMap, chosen_run, settle_sliders
from soilx.show.field_page import (
    SPRINKLER_MM_PER_H,
    Picked,
    conventions_offered,
    fill_product,
    fill_water,
    rate_control,
    show_chosen,
    show_wanting,
    table_pick,
    value_of,
    water_control,
)
from soilx.show.field_path import SodiumPath
from soilx.show.field_plane import Plane
from soilx.show.field_programme import (
    FIELD,
    NO_PLAN,
    WAYS,
    climates,
    covers_offered,
    field_water,
    may_run,
    plan_of,
    plan_texts,
    years_of,
)
from soilx.show.field_programme_words import show_follow_up, show_programme, spread_t_per_ha
from soilx.show.field_rate_words import show_rate
from soilx.show.field_record import decision_download, put_decision
from soilx.show.field_test_words import show_test
from soilx.show.field_upload import read_upload
from soilx.show.field_verdict_words import headline, show_reasons, show_verdict
from soilx.show.field_water_words import show_water
from soilx.show.page import caution, fold, prose, quick_turns, row, screen
from soilx.show.pick import Pick
from soilx.show.task import Task, worked
from soilx.show.upload import Upload
from soilx.show.word_sheet import Sheet

__all__ = [
    "FIELD",
    "HANDLING",
    "NO_PLAN",
    "SPRINKLER_MM_PER_H",
    "WAYS",
    "Answer",
    "Control",
    "Desk",
    "DoseMap",
    "Form",
    "Pick",
    "Picked",
    "Plane",
    "Sheet",
    "SodiumPath",
    "Task",
    "Upload",
    "aim_groups",
    "aims_of",
    "answer_to",
    "band_of",
    "caution",
    "chosen_run",
    "climates",
    "conventions_offered",
    "covers_offered",
    "decision_download",
    "demo_products",
    "demo_reports",
    "demo_waters",
    "field_water",
    "fill_product",
    "fill_water",
    "fold",
    "gypsum_offered",
    "headline",
    "may_run",
    "plan_groups",
    "plan_of",
    "plan_texts",
    "price_groups",
    "price_texts",
    "priced",
    "product_groups",
    "product_texts",
    "prose",
    "put_decision",
    "quick_turns",
    "rate_control",
    "read_reports",
    "read_upload",
    "report_groups",
    "row",
    "screen",
    "settle_sliders",
    "show_amendments",
    "show_band",
    "show_chosen",
    "show_follow_up",
    "show_programme",
    "show_rate",
    "show_reasons",
    "show_test",
    "show_verdict",
    "show_wanting",
    "show_water",
    "soils_offered",
    "spread_t_per_ha",
    "table_pick",
    "value_of",
    "verdict_on",
    "water_control",
    "water_groups",
    "waters_offered",
    "worked",
    "years_of",
]
