"""The lecture's staged path in a browser, by keyboard alone: stages, portions, another soil, other units."""

import json
import re

import pytest
from by_keyboard import tab_to

import soilx
from soilx.cli import run_command

pytestmark = pytest.mark.browser

SIZES = {"projector": (1024, 768), "phone": (390, 844)}
ROOMS = {
    "bright": {"color_scheme": "light"},
    "dark": {"color_scheme": "dark"},
}
RATE, WATER, CAPACITY = "Gypsum rate, t/ha", "Water, pore volumes", "Cation exchange capacity, cmol_c/kg"
STAGES = 5
DRAWN_BY_STAGE = {1: 2, 2: 7, 3: 8, 4: 8, 5: 9}

# What reaches a name by Tab alone, as fingers would: the focused element, also inside a shadow root.

GREY = "() => (document.documentElement.style.filter = 'grayscale(1)')"


@pytest.fixture
def visit(browser, lecture_address):
    """A function that opens the lecture, and afterwards the proof that it said nothing on the console."""
    contexts, said = [], []

    def opened(size="projector", path="/?show=plain", **options):
        width, height = SIZES[size]
        context = browser.new_context(viewport={"width": width, "height": height}, **options)
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
        page.on("pageerror", lambda error: said.append(str(error)))
        page.goto(lecture_address + path)
        drawn(page, 2)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert said == []


def drawn(page, count):
    """Wait until so many charts are drawn."""
    page.locator(".soilx-figure[data-setting]").nth(count - 1).wait_for(timeout=30_000)


def said(page):
    """The sentence under the sliders."""
    return page.locator(".soilx-sentence").inner_text().replace("\N{NO-BREAK SPACE}", " ")


def wait_said(page, pattern):
    """Wait until the sentence says so."""
    page.wait_for_function(
        """(pattern) => {
          const seen = [];
          const visit = (node) => {
            if (node.matches?.('.soilx-sentence')) seen.push(node.textContent.replaceAll('\\u00a0', ' '));
            if (node.shadowRoot) visit(node.shadowRoot);
            for (const child of node.children) visit(child);
          };
          visit(document.documentElement);
          return seen.some((text) => new RegExp(pattern).test(text));
        }""",
        arg=pattern,
        timeout=10_000,
    )


def open_stages(page, last):
    """Press Next by keyboard until a stage is open."""
    tab_to(page, "Next")
    for stage in range(2, last + 1):
        page.keyboard.press("Enter")
        drawn(page, DRAWN_BY_STAGE[stage])


def place(page, selector):
    """Where something stands on the page, whatever was scrolled."""
    return page.locator(selector).first.evaluate(
        """(node) => {
          const box = node.getBoundingClientRect();
          return [box.x, box.y + document.getElementById('App').scrollTop, box.width, box.height];
        }"""
    )


def portion(page):
    """The last portion's table: its figures by row title, treated and untreated."""
    rows = page.locator(".soilx-portions tbody tr").evaluate_all(
        "(all) => all.map((row) => [...row.cells].map((cell) => cell.textContent))"
    )
    return {title: cells for title, *cells in rows}


def wait_portion(page, number):
    """Wait until a portion is on screen."""
    page.locator(".soilx-portions .said", has_text=re.compile(rf"^Portion {number},")).wait_for(
        timeout=10_000
    )


@pytest.mark.parametrize("room", ROOMS)
@pytest.mark.parametrize("size", SIZES)
def test_the_staged_path_by_keyboard_alone_moves_nothing_on_screen__wcag22(visit, size, room, tmp_path):
    page = visit(size, **ROOMS[room])
    assert page.get_by_role("slider", name=CAPACITY).count() == 0
    first = page.locator(".soilx-figure[data-setting] svg").first.element_handle()
    # Parts of the page load one by one; from here on nothing moves by itself.
    page.get_by_role("slider", name=WATER).wait_for()
    page.wait_for_timeout(700)
    before = place(page, ".soilx-figure")
    tab_to(page, "Next")
    for stage in range(1, STAGES + 1):
        assert f"{stage}\N{NO-BREAK SPACE}of\N{NO-BREAK SPACE}{STAGES}" in page.locator(".where").inner_text()
        drawn(page, DRAWN_BY_STAGE[stage])
        assert page.locator(".soilx-figure[data-setting]").count() == DRAWN_BY_STAGE[stage]
        assert page.evaluate("() => document.getElementById('App').scrollWidth") <= SIZES[size][0]
        page.screenshot(path=tmp_path / f"{size}-{room}-{stage}.png")
        # Below 900 px the capacity slider takes a place of its own among the controls.
        if size == "projector" or stage < 4:
            assert place(page, ".soilx-figure") == before
        assert first.evaluate("(svg) => svg.isConnected")
        page.keyboard.press("Enter")
    page.evaluate(GREY)
    page.screenshot(path=tmp_path / f"{size}-{room}-grey.png")
    assert page.get_by_role("slider", name=CAPACITY).count() == 1
    tab_to(page, "Back", back=True)
    for _ in range(STAGES - 1):
        page.keyboard.press("Enter")
    page.wait_for_timeout(200)
    assert page.locator(".soilx-stage-2:visible").count() == 0
    assert len(list(tmp_path.iterdir())) == STAGES + 1


def test_a_new_stage_is_in_sight_and_its_controls_still_are__common_practice(visit):
    page = visit()
    tab_to(page, "Next")
    for stage in range(2, STAGES + 1):
        page.keyboard.press("Enter")
        drawn(page, DRAWN_BY_STAGE[stage])
        page.wait_for_timeout(300)
        heading = page.locator(f".soilx-stage-{stage}:not(.soilx-kept) h3").first.bounding_box()
        head = page.locator(".soilx-head").bounding_box()
        assert head["y"] + head["height"] <= heading["y"] < SIZES["projector"][1] - 24
        slider = page.get_by_role("slider", name=RATE).bounding_box()
        assert 0 <= slider["y"] < head["height"]


def test_five_portions_by_keyboard_are_what_the_library_computes__analytic(visit, tmp_path):
    page = visit()
    open_stages(page, 2)
    tab_to(page, "Start again")
    page.keyboard.press("Enter")
    wait_said(page, "^No water yet")
    page.keyboard.press("Shift+Tab")
    soil = soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]
    scenario = soilx.Scenario.of(soil=soil, gypsum="7.05 t/ha")
    runs = [soilx.leach(scenario), soilx.leach(scenario.without_gypsum())]
    for number in range(1, 7):
        page.keyboard.press("Enter")
        wait_portion(page, number)
        runs = [run.then({"amount": "0.5 pore_volume", "collect": 1}) for run in runs]
        shown = portion(page)
        for at, run in enumerate(runs):
            last = run.leachate.portions()[-1]
            assert shown["Looks"][at] == last["clarity"]
            assert float(shown["Volume, mL/100 g"][at]) == pytest.approx(
                100 * last["volume_l_per_kg"], abs=0.051
            )
            if last["na_mmol_per_l"] is None:
                assert shown["Na, mmol/L"][at] == "–"
            elif last["na_mmol_per_l"] >= 0.05:
                assert float(shown["Na, mmol/L"][at]) == pytest.approx(last["na_mmol_per_l"], abs=0.051)
        wait_said(page, f"and {number / 2:.1f} pore volumes.* to {runs[0].final_esp_pct:.1f} %;")
        assert page.get_by_role("slider", name=WATER).input_value() in {
            f"{number / 2:.1f}",
            f"{number / 2:g}",
        }
        page.screenshot(path=tmp_path / f"portion-{number}.png")
    tab_to(page, "Start again")
    page.keyboard.press("Enter")
    wait_said(page, "^No water yet")
    assert page.get_by_role("slider", name=WATER).input_value() == "0"


def test_a_slider_moved_after_portions_goes_on_from_there__analytic(visit):
    page = visit()
    open_stages(page, 2)
    tab_to(page, "Next portion")
    page.keyboard.press("Enter")
    wait_portion(page, 9)
    tab_to(page, RATE, back=True)
    page.keyboard.press("PageUp")
    wait_said(page, r"^With 9\.05 t/ha of pure gypsum and 4\.5 pore volumes")


def test_a_change_of_soil_by_keyboard_alone_and_back_within_a_second__common_practice(visit, tmp_path):
    page = visit()
    tab_to(page, "Change the soil")
    page.keyboard.press("Enter")
    tab_to(page, "Soil")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    wait_said(page, r"^With 0\.33 t/ha of pure gypsum and 8\.0 pore volumes")
    assert page.get_by_role("heading", level=1).inner_text().startswith("Lawn 2")
    page.screenshot(path=tmp_path / "lawn.png")
    tab_to(page, "Read the gypsum rate in")
    page.keyboard.press("ArrowDown")
    wait_said(page, r"^With 0\.15 short ton/acre")
    assert page.get_by_role("slider", name="Gypsum rate, short ton/acre").count() == 1
    assert "= 0.33\N{NO-BREAK SPACE}t/ha" in page.locator(".soilx-head .others").first.inner_text()
    page.keyboard.press("ArrowUp")
    wait_said(page, r"^With 0\.33 t/ha")
    tab_to(page, RATE, back=True)
    page.keyboard.press("End")
    wait_said(page, r"^With 20\.00 t/ha")
    tab_to(page, "Put everything back")
    page.evaluate("() => (window.began = performance.now())")
    page.keyboard.press("Enter")
    wait_said(page, r"^With 0\.33 t/ha of pure gypsum and 8\.0 pore volumes")
    assert page.evaluate("() => performance.now() - window.began") < 1000


def test_salt_is_moved_only_where_the_soil_is_known_by_it__common_practice(visit):
    page = visit()
    tab_to(page, "Change the soil")
    page.keyboard.press("Enter")
    salt = page.get_by_role("slider", name="Salt in the soil's water, dS/m")
    assert salt.is_disabled()
    page.get_by_role("combobox", name="Soil", exact=True).focus()
    page.keyboard.press("End")
    page.get_by_role("heading", level=1).filter(has_text="Own soil").wait_for()
    page.wait_for_timeout(500)
    assert salt.is_enabled()
    before = said(page)
    salt.focus()
    page.keyboard.press("PageUp")
    page.wait_for_function("(old) => true", arg=before)
    page.wait_for_timeout(600)
    assert said(page) != before


def test_what_cannot_be_is_one_calm_sentence_and_the_picture_stays__analytic(visit, tmp_path):
    page = visit()
    drawing = page.locator(".soilx-figure").first.locator("svg text").all_text_contents()
    tab_to(page, "Change the soil")
    page.keyboard.press("Enter")
    tab_to(page, "Where the gypsum goes")
    page.keyboard.press("End")
    wait_said(page, "^gypsum in water deionised = .*is more than it dissolves.*The picture still shows")
    assert "Traceback" not in page.locator("body").inner_text()
    assert page.locator(".soilx-figure").first.locator("svg text").all_text_contents() == drawing
    page.screenshot(path=tmp_path / "refused.png")
    tab_to(page, RATE, back=True)
    page.keyboard.press("Home")
    for _ in range(10):
        page.keyboard.press("ArrowRight")
    wait_said(page, r"^With 0\.50 t/ha")


def test_the_setting_before_stays_as_a_grey_curve__common_practice(visit):
    page = visit()
    profile = page.locator(".soilx-figure").nth(1)
    assert "before" not in profile.locator("svg text").all_text_contents()
    page.wait_for_timeout(900)
    tab_to(page, RATE)
    page.keyboard.press("PageUp")
    wait_said(page, r"^With 9\.05 t/ha")
    page.wait_for_timeout(300)
    assert "before" in profile.locator("svg text").all_text_contents()


def test_the_pages_numbers_are_those_of_the_command__analytic(visit, capsys, tmp_path):
    soil = soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]
    scenario = soilx.Scenario.of(
        soil=soil, gypsum="7.05 t/ha", wettings=[{"amount": "4 pore_volume", "collect": "0.5 pore_volume"}]
    )
    soilx.write_scenario(scenario, tmp_path / "same.toml")
    assert run_command(["leach", str(tmp_path / "same.toml"), "--json"]) == 0
    printed = json.loads(capsys.readouterr().out)
    treated, untreated = printed["treated"], printed["untreated"]
    page = visit(path="/?show=all")
    drawn(page, DRAWN_BY_STAGE[STAGES])
    ends = (treated["initial_esp_pct"], treated["final_esp_pct"], untreated["final_esp_pct"])
    assert re.findall(r"([\d.]+) %", said(page)) == [f"{value:.1f}" for value in ends]
    numbers = page.locator(".soilx-figure").first.locator("svg text").all_text_contents()
    layers = [text for text in numbers if re.fullmatch(r"\d+\.\d", text)]
    expected = [*treated["final_esp_by_layer_pct"], *untreated["final_esp_by_layer_pct"]]
    assert layers == [f"{value:.1f}" for value in expected]
    shown = portion(page)
    for at, side in enumerate((treated, untreated)):
        last = side["portions"][-1]
        assert shown["Looks"][at] == last["clarity"]
        assert shown["SAR, √(mmol/L)"][at] == f"{last['sar']:.1f}"
    bars = page.locator(".soilx-stage-3 svg text").all_text_contents()
    assert f"{treated['sodium_leached_mg_per_kg']:.0f}" in bars
    assert f"{untreated['sodium_leached_mg_per_kg']:.0f}" in bars
    looks = page.locator(".soilx-stage-5:not(.soilx-kept) svg text").all_text_contents()
    words = [text for text in looks if text in {"no leachate", "clear", "may cloud", "cloudy"}]
    assert words == [portion["clarity"] for side in (treated, untreated) for portion in side["portions"]]
