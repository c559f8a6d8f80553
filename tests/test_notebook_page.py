"""A notebook's page as it stands: its numbers, its guesses, what is in sight, and nobody else's."""

import concurrent.futures
import datetime as dt
import html
import importlib.util
import re
from types import SimpleNamespace

import marimo as mo
import pytest

import soilx
from soilx import cli
from soilx.handouts.notebook_markup import tree
from soilx.handouts.on_screen import Sight
from soilx.handouts.save_page import SavePage
from soilx.show import bench, lecture, lesson, sentences
from soilx.show.download import Download
from soilx.show.moves import Goal
from soilx.show.page import Laid, widgets_in
from soilx.show.stages import ASKED, CURVE, NUMBERS, WHY
from soilx.show.word_sheet import Sheet, line

NOTEBOOKS = cli.offered_notebooks()
DAY = dt.date(2026, 2, 3)
HOSTILE = "<script>alert(1)</script>\"><img src=x onerror='alert(2)'>"


def app_of(name):
    spec = importlib.util.spec_from_file_location(f"page_of_{name}", NOTEBOOKS[name])
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.app


@pytest.fixture(scope="module", params=NOTEBOOKS, ids=NOTEBOOKS)
def ran(request):
    """Name, outputs and definitions of each notebook as it opens."""
    return request.param, *app_of(request.param).run()


@pytest.fixture(scope="module")
def lecture_app():
    return app_of("lecture")


def set_to(gypsum, water, capacity=24.0, stage=5):
    """Definitions of the lecture with its sliders moved, in the plain view with every stage open."""
    values = {"gypsum_rate": gypsum, "water_volume": water, "capacity": capacity}
    moved = {name: SimpleNamespace(value=value) for name, value in values.items()}
    stages = lecture.Stages(["one", "two", "three", "four", "five"], stage=stage, plain=True)
    sliders = dict.fromkeys(("water_slider", "capacity_slider"), "")
    slider = lecture.Control(
        "Gypsum rate",
        "t/ha",
        low=0,
        high=20,
        step=0.05,
        value=gypsum,
        digits=2,
        readings=lecture.rate_readings(),
    )
    staged = {"stages": stages, "stage_bar": stages.shown, "ask_first": "", "wanted": ()}
    return moved | sliders | {"gypsum_slider": slider.shown} | staged


def lectured(app, gypsum, water, **more):
    """The lecture's definitions, run at a setting, with the slider of the rate where it was moved to."""
    _, shown = app.run(defs=set_to(gypsum, water, **more))
    shown["gypsum_slider"].control.move(gypsum)
    return shown


def words(page):
    return " ".join(html.unescape(re.sub(r"<style>.*?</style>|<[^>]+>", " ", page, flags=re.DOTALL)).split())


def still(page):
    """A page without what moves on it."""
    return re.sub(r"<script.*?</script>|<section class=\"live\".*?</section>", "", page, flags=re.DOTALL)


def without_sliders(save):
    """The button, as if nothing on its page moved: a grid takes its time, and has a test of its own."""
    return save.holds(*save.outputs)


def rows(page, caption):
    """Cells below the head of the table with that caption."""
    (table,) = (table for table in re.findall("<table>.*?</table>", page) if f"<caption>{caption}" in table)
    body = table.partition("<tbody>")[2]
    return [re.findall(">([^<]*)</t[hd]>", row) for row in body.split("<tr>")[1:]]


def leached(gypsum, water, capacity=24.0):
    soil = lecture.presets()["Block C"].soil.with_capacity(f"{capacity} cmol_c/kg")
    scenario = soilx.Scenario.of(soil, gypsum=f"{gypsum} t/ha", wettings=[f"{water} pore_volume"])
    return soilx.leach(scenario), soilx.leach(scenario.without_gypsum())


def test_the_page_has_the_numbers_of_the_sliders_as_they_stand__analytic(lecture_app):
    shown = lectured(lecture_app, 12.35, 2.5, capacity=18.0)
    told = []
    whole = shown["save"].page(told=told.append, day=DAY)
    page, runs = still(whole), leached(12.35, 2.5, 18.0)
    said = words(page)
    assert "Gypsum rate: 12.35 t/ha = 5.51 short ton/acre = 253 lb/1000 ft²" in said
    assert " ".join(sentences.outcome(treated=runs[0], untreated=runs[1]).split()) in said
    # The layers and the leachate are those of a run of the library that nobody drew.
    layers = rows(page, "The numbers of this chart: Exchangeable sodium by depth")
    for column, run in enumerate(runs, start=1):
        found = [float(row[column]) for row in layers]
        # Half the last digit, and half of the third decimal that a chart's records are rounded to before.
        assert found == pytest.approx(run.final_esp_by_layer_pct, abs=0.0055)
    cups = rows(page, "The numbers of this chart: Sodium: Na, mmol/L")
    drained = shown["treated"].leachate
    assert [float(row[1]) for row in cups[1:]] == pytest.approx(drained.concentrations[2][1:], abs=0.0555)
    assert drained.volume.sum() == pytest.approx(runs[0].leachate.volume.sum())
    assert "Made on 3 February 2026" in said
    assert "every control stands as it stood there" in said
    # What moves begins with the same setting, and says how far its making is.
    assert shown["save"].setting == (shown["scenario"], "t/ha")
    assert whole.count('<section class="live"') == 1
    assert whole.count('type="range"') >= 3
    assert told == sorted(told)
    assert told[-1] == 1.0


def test_nothing_is_given_away_before_the_guess__common_practice(lecture_app):
    _, shown = lecture_app.run()
    asked = words(shown["save"].page(day=DAY))
    treated = shown["treated"]
    assert shown["save"].setting is None
    save = without_sliders(shown["save"])
    assert "Your guess: ______ %" in asked
    assert f"{treated.final_esp_pct:.1f} %" not in asked
    assert "What drains" not in asked
    guess, stages = shown["guess"].widget, shown["stages"].widget
    guess.level, guess.sure, guess.state = 12.5, 1, "guessed"
    stages.step = CURVE
    assert "You guessed 12.5 %" in words(save.page(day=DAY))
    stages.step = WHY
    told = words(save.page(day=DAY))
    assert "You guessed 12.5 % (fairly sure). The model: 9.0 %, 3.5 points less." in told
    assert "After 4.0 pore volumes of water: how much" not in told
    assert "What did you see?" in told
    assert "Now move the cation exchange capacity" not in told


def test_kept_curves_and_a_picked_contrast_are_on_the_page__analytic(lecture_app):
    shown = lectured(lecture_app, 7.05, 4.0)
    shown["kept"].widget.keeps += 1
    shown["contrasts"].picked = 2
    page = without_sliders(shown["save"]).page(day=DAY)
    (line_of,) = shown["kept"].widget.lines
    assert " ".join(" ".join(line_of).split()) in words(page)
    assert shown["contrasts"].question in words(page)
    assert "Gypsum mixed in, gypsum on top" in words(page)
    assert "Five times the dose" not in words(page)
    assert page.index(html.escape(shown["contrasts"].rule)) > page.index("<h2>Answers</h2>")


def test_every_output_of_a_notebook_is_handed_to_its_page__common_practice(ran):
    _, outputs, shown = ran
    save = shown["save"]
    placed = [output for output in outputs if isinstance(output, mo.Html) and output.text]
    held = {id(output) for output in save.outputs}
    assert held
    # What only offers files to take away has nothing to show on a page.
    offered = [
        output
        for output in placed
        if list(widgets_in(output))
        and all(isinstance(one, SavePage | Download) for one in widgets_in(output))
    ]
    wanted = [output for output in placed if output not in offered]
    missing = [output.text[:200] for output in wanted if id(output) not in held]
    assert missing == []
    assert all(isinstance(output, Laid | mo.Html) for output in save.outputs)
    # What a page cannot find it cannot print.
    addresses = set(
        re.findall(r"data-model-id=.&quot;([0-9a-f]+)&quot;", "".join(o.text for o in save.outputs))
    )
    assert addresses <= {widget.model_id for widget in widgets_in(*save.outputs)}
    assert addresses


def test_a_page_has_every_part_runs_nothing_and_asks_for_nothing__common_practice(ran):
    _, _, shown = ran
    page = shown["save"].page(day=DAY)
    assert "part that moves" not in page
    assert "<tbody></tbody>" not in page
    assert "default-src 'none'" in page
    assert not re.search(r"<(iframe|object|embed|link|form|base)\b", page)
    assert not re.search(r"""(src|href)=["'](?!data:|https?:|mailto:|#)""", still(page))
    assert "marimo" not in still(page)


def test_a_file_is_named_by_its_notebook_and_the_day__common_practice():
    assert SavePage("field", "").file_name(DAY) == "soilx-field-2026-02-03.html"


def test_a_press_sends_the_page_once_and_keeps_it_nowhere__common_practice(monkeypatch):
    sent = []
    monkeypatch.setattr(SavePage, "send", lambda _, content: sent.append(content))
    save = SavePage("field", "A title").holds(mo.md("Some words"), None)
    save.presses += 1
    (content,) = sent
    assert content["name"] == save.file_name(dt.date.today())
    assert content["page"] == save.page()
    assert "Some words" in content["page"]
    assert save.said == f"Saved as {content['name']}."
    assert not save.busy
    assert all(content["page"] not in str(value) for value in save.trait_values().values())


def test_what_cannot_be_made_is_said_beside_the_button__common_practice(monkeypatch):
    save = SavePage("field", "A title").holds(mo.md("Some words"))

    def refused(**_):
        raise soilx.LimitError("gypsum = 3 t/ha: is too much; the limit is ours; take less.")

    monkeypatch.setattr(save, "page", refused)
    save.presses += 1
    assert save.said.startswith("gypsum = 3 t/ha")
    assert not save.busy


def test_sessions_of_one_process_save_their_own_pages__analytic():
    settings = (2.05, 14.35)
    ran = {rate: lectured(app_of("lecture"), rate, 2.0, stage=1) for rate in settings}

    def saved(rate):
        return without_sliders(ran[rate]["save"]).page(day=DAY)

    with concurrent.futures.ThreadPoolExecutor(4) as students:
        pages = list(students.map(saved, settings * 4))
    for rate, page in zip(settings * 4, pages, strict=True):
        said = words(page)
        treated, untreated = ran[rate]["treated"], ran[rate]["untreated"]
        assert " ".join(sentences.outcome(treated=treated, untreated=untreated).split()) in said
        assert page == saved(rate)
        assert [f"Gypsum rate: {other:.2f} t/ha" in said for other in settings] == [
            other == rate for other in settings
        ]


def test_what_was_typed_is_only_read__common_practice():
    sheet = Sheet()
    sheet.put(line(HOSTILE))
    entry = bench.Entry("Course code", HOSTILE)
    entry.refuse(f"Course code = {HOSTILE}: is no code.")
    page = SavePage("field", HOSTILE).holds(bench.screen(sheet, bench.row(entry.shown))).page(day=DAY)
    assert "<script>alert" not in page
    assert "<img" not in page
    assert words(page).count(HOSTILE) == 3 + 2  # title and heading, sheet, box and what is said to it


def test_a_question_stands_as_it_was_answered__common_practice():
    choices = [
        lesson.Choice(text="First", reply="Not so."),
        lesson.Choice(text="Second", reply="Because.", right=True),
    ]
    asked = lesson.Prediction("Which?", *choices)
    save = SavePage("exchange", "A title").holds(lesson.screen(asked.shown))
    assert "Which? First Second" in words(save.page())
    assert "Because." not in save.page()
    asked.widget.answer = 0
    said = words(save.page())
    assert "First (your guess)" in said
    assert "Your guess does not hold. Look at the picture. Not so. What holds: Second" in said
    asked.widget.answer = 1
    assert "Second (your guess) Your guess holds. Because." in words(save.page())
    asked.widget.answer = lesson.SHOWN
    assert "Second What holds: Second Because." in words(save.page())
    assert "your guess" not in save.page()


def test_a_goal_is_reached_where_its_slider_stands_there__common_practice():
    slider = lesson.Control("Calcium", "ions", low=0, high=12, step=1, value=6, digits=0)
    goal = Goal("Clear all sites.", slider.shown, low=12, high=12, done="Why half?")
    save = SavePage("exchange", "A title").holds(lesson.screen(slider.shown, goal))
    assert "Reached." not in save.page()
    slider.move(12)
    assert "Goal: Clear all sites. Reached. Why half?" in words(save.page())


def test_a_slider_is_read_in_the_unit_in_use__analytic():
    rate = lecture.Control(
        "Gypsum rate",
        "t/ha",
        low=0,
        high=20,
        step=0.05,
        value=7.05,
        digits=2,
        readings=lecture.rate_readings(),
    )
    rate.read_in("short ton/acre")
    save = SavePage("lecture", "A title").holds(lesson.screen(rate.shown))
    assert "Gypsum rate: 3.14 short ton/acre = 7.05 t/ha" in words(save.page())


def test_of_a_page_with_tabs_the_open_one_is_saved__common_practice():
    _, shown = app_of("bench").run()
    tabs = shown["tab_bar"].control.widget
    seen = {}
    for tabs.tab in (1, 2, 3):
        seen[tabs.tab] = words(shown["save"].page(day=DAY))
    assert "The order of work" in seen[1]
    assert "The order of work" not in seen[2]
    assert "Learn from the difference" not in seen[1]


MARKUP = """
<div class="soilx-stage-1 soilx-of-1">
<p class="soilx-at-ask">ask</p> <p class="soilx-at-curve">curve</p> <p class="soilx-at-sentence">sentence</p>
<p class="soilx-at-numbers">cups</p> <p class="soilx-at-why">why</p>
</div>
<div class="soilx-stage-2 soilx-of-2"> <p class="soilx-at-curve">later</p> </div>
<div class="soilx-stage-4 soilx-kept">slider</div> <div class="soilx-tab-1">one</div>
<div class="soilx-tab-2">two</div>
"""


@pytest.mark.parametrize(
    ("sight", "expected"),
    [
        (Sight(), "ask curve sentence cups why later slider one two"),
        (Sight(stage=1, plain=True), "curve sentence cups why one two"),
        (Sight(stage=1, step=ASKED, plain=False), "ask sentence one two"),
        (Sight(stage=1, step=CURVE, plain=False), "ask curve one two"),
        (Sight(stage=1, step=NUMBERS, plain=False), "ask curve sentence cups one two"),
        (Sight(stage=1, step=WHY, plain=False), "ask curve sentence cups why one two"),
        (Sight(stage=2, step=ASKED, plain=False), "ask curve sentence cups why one two"),
        (Sight(stage=4, step=ASKED, plain=False), "ask curve sentence cups why later one two"),
        (Sight(stage=4, step=CURVE, plain=False, tab=2), "ask curve sentence cups why later slider two"),
    ],
)
def test_what_is_out_of_sight_is_cut__common_practice(sight, expected):
    root = sight.seen(tree(MARKUP))
    assert root.words() == expected
