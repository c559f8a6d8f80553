"""The lecture's stages in a browser, by keyboard alone; its numbers are those of the command line."""

import json
import re
import subprocess
import sys

import pytest

import soilx

pytestmark = pytest.mark.browser

ORDERED = [
    "What drains out",
    "Where is the sodium now?",
    "More clay, more sodium to move",
    "Does it run clear or cloudy?",
    "One portion at a time",
]


@pytest.fixture
def page(browser, lecture_address):
    context = browser.new_context(viewport={"width": 1024, "height": 768}, reduced_motion="reduce")
    page = context.new_page()
    said = []
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(lecture_address)
    page.locator(".soilx-figure[data-setting]").nth(1).wait_for(timeout=30_000)
    yield page
    context.close()
    assert said == []


def tab_to(page, name, role="button"):
    """Reach a control with the Tab key alone."""
    for _ in range(80):
        page.keyboard.press("Tab")
        wanted = page.get_by_role(role, name=name, exact=True)
        if wanted.count() and wanted.first.evaluate("(node) => node.getRootNode().activeElement === node"):
            return wanted.first
    raise AssertionError(f"{name} is not reached by Tab")


def through_all_stages(page):
    tab_to(page, "Next")
    for number, heading in enumerate(ORDERED, start=2):
        page.keyboard.press("Enter")
        section = page.locator(f'[data-stage="{number}"]')
        section.get_by_role("heading", name=heading, exact=True).wait_for(timeout=10_000)


def test_next_brings_one_stage_at_a_time_and_moves_nothing_before_it__common_practice(page):
    first = page.locator(".soilx-figure svg").first.element_handle()
    for number in range(2, 7):
        assert page.locator(f'[data-stage="{number}"]').count() == 0
    through_all_stages(page)
    assert first.evaluate("(svg) => svg.isConnected")
    assert page.locator(".soilx-figure[data-setting]").count() >= 8
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Enter")
    page.locator('[data-stage="6"]').wait_for(state="detached", timeout=10_000)


def test_five_portions_follow_each_other_by_keyboard__analytic(page):
    through_all_stages(page)
    tab_to(page, "Next portion")
    for number in range(1, 6):
        page.keyboard.press("Enter")
        page.get_by_text(re.compile(rf"^Portion {number}\.")).wait_for(timeout=10_000)
    soil = soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]
    scenario = soilx.Scenario.of(
        soil=soil, gypsum="7.05 t/ha", wettings=[("2.5 pore_volume")], collect="0.5 pore_volume"
    )
    run = soilx.leach(scenario)
    last = page.locator(".soilx-portions tbody tr").filter(has_text="5, with gypsum")
    cells = last.locator("td").all_inner_texts()
    assert cells[1] == f"{run.leachate.concentrations[2, -1]:.2f}"
    assert cells[-1] == str(run.leachate.clarity[-1])
    tab_to(page, "Start again")
    page.keyboard.press("Enter")
    page.get_by_text("No water yet").wait_for(timeout=10_000)


def test_another_soil_by_keyboard__common_practice(page):
    fold = tab_to(page, "Change the soil")
    page.keyboard.press("Enter")
    chosen = page.get_by_label("Soil", exact=True)
    chosen.wait_for()
    chosen.focus()
    page.keyboard.type("Bed 7")
    page.get_by_role("heading", name=re.compile("^Bed 7")).wait_for(timeout=10_000)
    page.locator(".soilx-sentence").filter(has_text="20.7").wait_for(timeout=10_000)
    assert fold.count() == 1


def test_the_pages_numbers_are_those_of_the_command__analytic(page, tmp_path):
    soil = soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]
    path = tmp_path / "same.toml"
    soilx.write_scenario(soilx.Scenario.of(soil=soil, gypsum="7.05 t/ha", wettings=["4 pore_volume"]), path)
    command = [sys.executable, "-c", "from soilx.cli import main; main()", "leach", str(path), "--json"]
    told = json.loads(subprocess.run(command, capture_output=True, text=True, check=True).stdout)
    sentence = page.locator(".soilx-sentence").inner_text()
    treated, untreated = told["treated"], told["untreated"]
    for value in (treated["initial_esp_pct"], treated["final_esp_pct"], untreated["final_esp_pct"]):
        assert f"{value:.1f}" in sentence
    texts = page.locator(".soilx-figure").first.locator("svg text").all_text_contents()
    layers = [text for text in texts if re.fullmatch(r"\d+\.\d", text)]
    assert layers == [
        f"{value:.1f}" for side in (treated, untreated) for value in side["final_esp_by_layer_pct"]
    ]


def test_what_cannot_be_is_one_calm_sentence_and_the_picture_stays__common_practice(page):
    before = page.locator(".soilx-sentence").inner_text()
    tab_to(page, "Change the soil")
    page.keyboard.press("Enter")
    placement = page.get_by_label("Gypsum", exact=True)
    placement.wait_for()
    placement.select_option(label="dissolved in the water")
    page.locator(".soilx-problem").filter(has_text="more than it dissolves").first.wait_for(timeout=10_000)
    assert page.locator(".soilx-sentence").inner_text() == before
