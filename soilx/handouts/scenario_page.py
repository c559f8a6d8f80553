"""A handout: one file with every chart, table, equation and caution, that opens from disk and prints."""

from __future__ import annotations

import base64
import datetime as dt
import math
import re
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Final

from soilx import wording
from soilx.chemistry.clarity import extension_note
from soilx.column.files import demo_path, read_scenario, read_soils, scenario_to_toml
from soilx.column.leaching import leach
from soilx.column.scenario import Scenario
from soilx.column.water import DEIONISED_NAME
from soilx.errors import FileError, refuse
from soilx.handouts import inputs, results
from soilx.handouts.equations import citations, equations
from soilx.handouts.page_parts import (
    bullets,
    document,
    equation,
    figure,
    made_line,
    paragraph,
    section,
)
from soilx.handouts.page_table import table
from soilx.handouts.page_text import text, verbatim
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

PAGE_SUFFIXES: Final = (".html", ".htm")


def write_handout(source: Path, page: Path) -> int:
    """Make a page of a scenario or a notebook; an older page of that name is replaced.

    Parameters
    ----------
    source : Path
        A scenario (.toml) or a notebook (.py), which is run.
    page : Path
        The file to write (.html).

    Returns
    -------
    int
        Its size [bytes].

    Raises
    ------
    FileError
        If the source cannot be read as what it should be, or the page cannot be written.
    """
    if page.is_dir() or not page.parent.is_dir():
        refuse(
            "page",
            str(page),
            "",
            wrong="is a folder" if page.is_dir() else "is in a folder that does not exist",
            limit="a handout is one file in a folder that is there",
            remedy="give a file's name, or make the folder",
            error=FileError,
        )
    if page.suffix.lower() not in PAGE_SUFFIXES:
        refuse(
            "page",
            str(page),
            "",
            wrong="is not named as a web page",
            limit=f"a page ends in {' or '.join(PAGE_SUFFIXES)}, so that a browser opens it",
            remedy=f"write {page.with_suffix('.html').name}",
            error=FileError,
        )
    if source.suffix.lower() == ".toml":
        made = scenario_page(read_scenario(source))
    elif source.suffix.lower() == ".py":
        from soilx.handouts.notebook_page import notebook_page  # a scenario's page needs no notebook to run

        made = notebook_page(source)
    else:
        refuse(
            "source",
            str(source),
            "",
            wrong="is neither a scenario nor a notebook",
            limit="a scenario ends in .toml, a notebook in .py",
            remedy="give one of these",
            error=FileError,
        )
    whole = made.encode("utf-8")
    try:
        page.write_bytes(whole)
    except OSError as failure:
        refuse(
            "page",
            str(page),
            "",
            wrong=f"cannot be written ({failure.strerror})",
            limit="the limit is this machine's",
            remedy="choose another place, or free this one",
            error=FileError,
        )
    return len(whole)


def scenario_page(scenario: Scenario, *, made_on: dt.date | None = None) -> str:
    """The page of a scenario: its column with gypsum and without, and everything that belongs to the pair.

    Parameters
    ----------
    scenario : Scenario
        Of the treated column.
    made_on : date, optional
        As shown; today unless given.
    """
    treated, untreated = leach(scenario), leach(scenario.without_gypsum())
    arms = arms_of(treated=treated, untreated=untreated)
    used = equations(scenario)
    defaults = tuple((key.replace("_", " "), value) for key, value in scenario.defaults.items())
    outlet = [esp for run in arms.values() for esp in run.leachate.outlet_esp_pct if math.isfinite(esp)]
    return document(
        scenario.title or f"{scenario.soil.name}: with gypsum and without",
        paragraph(sentences.outcome(treated=treated, untreated=untreated), look="finding"),
        paragraph(wording.CAUTION_RATE, look="soilx-caution"),
        paragraph(made_line(made_on), look="small"),
        _put_in(scenario),
        section(
            "What came of it",
            table(results.pair_table(arms), caption="Both columns, per kilogram of soil"),
            *_figures(arms),
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


def _figures(arms: Arms) -> Iterable[str]:
    treated, untreated = arms.values()
    water = axis_top(round(float(treated.applied_pore_volumes[-1]), 6))
    for number, made in enumerate(PAIR_CHARTS, start=1):
        chart = made(water)
        chart.show(treated=treated, untreated=untreated)
        yield figure(chart.heading, chart.spec, chart.content, number=number, level=3)


def _left_out(scenario: Scenario) -> tuple[str, ...]:
    return (wording.MODEL_LEAVES_OUT, *((wording.INVENTED_DATA,) if _is_demo(scenario) else ()))


def _is_demo(scenario: Scenario) -> bool:
    """Whether this is a soil of the demonstration data, which is no real place."""
    soils = read_soils(demo_path("soils.csv"))
    name = scenario.soil.name
    return name in soils and dict(soils[name].typed) == dict(scenario.soil.typed)


def _record(scenario: Scenario) -> str:
    """The scenario itself, so that the page can be made again from the page."""
    toml = scenario_to_toml(scenario)
    coded = base64.b64encode(toml.encode("utf-8")).decode("ascii")
    name = re.sub(r"[^a-z0-9]+", "_", scenario.soil.name.lower()).strip("_")[:40] or "scenario"
    return section(
        "The record",
        paragraph("This file makes the same page again: soilx handout with the scenario below."),
        f'<p class="download"><a download="{name}.toml" '
        f'href="data:application/toml;charset=utf-8;base64,{coded}">Save the scenario as {name}.toml</a></p>',
        f"<details><summary>The scenario as text</summary><pre>{verbatim(toml)}</pre></details>",
    )
