"""A handout: one file with every chart, table, equation and caution, that opens from disk and prints."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Container, Iterator
from typing import Final

from soilx import wording
from soilx.chemistry.clarity import extension_note
from soilx.column.files import demo_path, read_soils, scenario_to_toml
from soilx.column.leaching import leach
from soilx.column.scenario import Scenario
from soilx.column.water import DEIONISED_NAME
from soilx.handouts import inputs, results
from soilx.handouts.equations import citations, equations
from soilx.handouts.live_charts import LivePart
from soilx.handouts.page_parts import (
    bullets,
    carried_file,
    document,
    equation,
    figure,
    made_line,
    paragraph,
    section,
)
from soilx.handouts.page_table import table
from soilx.handouts.page_text import text
from soilx.show import live, sentences, stage_views
from soilx.show.tables import Arms, NumberTable, arms_of, axis_top

#: Every chart of a pair, in the order of the page, made for the water applied [pore volumes]: a new one is
#: one more line here.
PAIR_CHARTS: Final[tuple[Callable[[float], live.LiveChart], ...]] = (
    lambda _: live.soil_columns(),
    lambda _: live.exchangeable_sodium_by_depth(),
    lambda _: stage_views.leachate_curve("Na"),
    lambda _: stage_views.leachate_curve("Ca"),
    lambda _: stage_views.leachate_curve("EC"),
    lambda _: stage_views.leachate_curve("SAR"),
    lambda _: stage_views.sodium_places(),
    lambda _: stage_views.clarity_by_portion(),
)

LIVE_CHARTS: Final = frozenset({2, 3, 5, 7})
"""Those of them, by number, that a live part shows too."""


def scenario_page(
    scenario: Scenario,
    *,
    title: str = "",
    opening: str = "",
    live: LivePart | None = None,
    made_on: dt.date | None = None,
) -> str:
    """The page of a scenario: its column with gypsum and without, and everything that belongs to the pair.

    Parameters
    ----------
    scenario : Scenario
        Of the treated column.
    title : str
        Of the page; the scenario's own unless given.
    opening : str
        Markup that stands before everything else of the scenario, such as the decision it belongs to.
    live : LivePart, optional
        Sliders and charts of this scenario; without it the page stands still.
    made_on : date, optional
        As shown; today unless given.
    """
    treated, untreated = leach(scenario), leach(scenario.without_gypsum())
    arms = arms_of(treated=treated, untreated=untreated)
    used = equations(scenario)
    defaults = tuple((key.replace("_", " "), value) for key, value in scenario.defaults.items())
    outlet = [esp for run in arms.values() for esp in run.leachate.outlet_esp_pct if math.isfinite(esp)]
    return document(
        title or scenario.title or f"{scenario.soil.name}: with gypsum and without",
        paragraph(sentences.outcome(treated=treated, untreated=untreated), look="finding"),
        paragraph(wording.CAUTION_RATE, look="soilx-caution"),
        paragraph(made_line(made_on), look="small"),
        opening,
        *((live.markup,) if live else ()),
        _put_in(scenario),
        section(
            "What came of it",
            table(results.pair_table(arms), caption="Both columns, per kilogram of soil"),
            *pair_figures(arms, moving=live is not None),
        ),
        section(
            "What drained, portion by portion",
            table(results.portion_table(arms), caption="Leachate at equal water applied"),
            bullets(
                note
                for note in (
                    wording.CLARITY_IS_A_BAND,
                    extension_note(outlet) if outlet else "",
                    wording.CLEAR_IS_NOT_RECLAIMED,
                    wording.SALT_RISES_FIRST,
                )
                if note
            ),
        ),
        section(
            "Where everything is",
            *(
                table(results.balance_table(run), caption=f"Balance of the column: {arm}")
                for arm, run in arms.items()
            ),
        ),
        section(
            "The equations",
            *(
                f'<div class="equation"><h3>{text(one.name)}</h3>{equation(one.tex)}'
                f"{paragraph(one.words)}</div>"
                for one in used
            ),
        ),
        section("What the model leaves out", bullets(_left_out(scenario))),
        section(
            "What was taken by default",
            table(
                NumberTable(titles=("What", "Taken"), rows=defaults),
                caption="Defaults in use",
            ),
            # What was not given stands among the defaults already.
            bullets(note for note in scenario.notes if " not given: " not in note),
        ),
        section("Cautions", bullets((wording.DRAINAGE_FIRST, *wording.ALL_CAUTIONS))),
        section(
            "Sources",
            bullets(citations(tuple(key for one in used for key in one.sources)), look="small"),
            paragraph(f"{wording.RECALLED_MEANS} {wording.COMMON_PRACTICE_MEANS}", look="small"),
        ),
        _record(scenario),
        live=(live,) if live else (),
    )


def _put_in(scenario: Scenario) -> str:
    waters = inputs.waters_of(scenario)
    deionised = (wording.DEIONISED_IS_HARSH,) if DEIONISED_NAME in waters else ()
    return section(
        "What was put in",
        f"<h3>Soil: {text(scenario.soil.name)}</h3>",
        paragraph(sentences.soil_line(scenario.soil)),
        table(inputs.soil_table(scenario), caption="The soil at the start, both columns alike"),
        "<h3>Gypsum</h3>",
        table(inputs.gypsum_table(scenario), caption="The same rate in four units"),
        paragraph(inputs.placement(scenario)),
        "<h3>Water</h3>",
        table(inputs.wetting_table(scenario), caption="Water applied, both columns alike"),
        table(inputs.water_table(waters.values()), caption="What the water holds"),
        bullets((wording.PORE_VOLUME_MEANS, *deionised)),
    )


def pair_figures(arms: Arms, *, moving: bool, only: Container[int] | None = None) -> Iterator[str]:
    """Charts of a pair that stand still, each with its text and its table.

    Parameters
    ----------
    arms : mapping of str to Run
        The treated and the untreated column by name.
    moving : bool
        A live part of the page shows those of `LIVE_CHARTS` too.
    only : container of int, optional
        Numbers of the charts that are wanted; all of them unless given.
    """
    treated, untreated = arms.values()
    water = axis_top(round(float(treated.applied_pore_volumes[-1]), 6))
    for number, made in enumerate(PAIR_CHARTS, start=1):
        if only is not None and number not in only:
            continue
        chart = made(water)
        chart.show(treated=treated, untreated=untreated)
        yield figure(
            chart.heading,
            chart.spec,
            chart.content,
            number=number,
            level=3,
            moves=moving and number in LIVE_CHARTS,
        )


def _left_out(scenario: Scenario) -> tuple[str, ...]:
    return (wording.MODEL_LEAVES_OUT, *((wording.INVENTED_DATA,) if _is_demo(scenario) else ()))


def _is_demo(scenario: Scenario) -> bool:
    """Whether this is a soil of the demonstration data, which is no real place."""
    soils = read_soils(demo_path("soils.csv"))
    name = scenario.soil.name
    return name in soils and dict(soils[name].typed) == dict(scenario.soil.typed)


def _record(scenario: Scenario) -> str:
    """The scenario itself, so that the page can be made again from the page."""
    return section(
        "The record",
        paragraph(
            "This page can be made again, from the scenario below or from itself with soilx handout --again, "
            "which also says which of its numbers have changed since."
        ),
        carried_file(
            scenario_to_toml(scenario),
            scenario.soil.name,
            suffix="toml",
            kind="application/toml",
            what="scenario",
        ),
    )
