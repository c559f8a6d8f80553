"""The lecture's first screen in a browser: one value by hand and by key, charts that change in place."""

import re
from urllib.parse import urlparse

import pytest

pytestmark = pytest.mark.browser

SIZES = {"projector": (1024, 768), "phone": (390, 844)}
RATE, WATER = "Gypsum rate, t/ha", "Water, pore volumes"


@pytest.fixture
def visit(browser, lecture_address):
    """A function that opens the lecture, and afterwards the proof that it kept quiet and stayed at home."""
    contexts, said, asked = [], [], []

    def opened(size="projector", **options):
        width, height = SIZES[size]
        context = browser.new_context(viewport={"width": width, "height": height}, **options)
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
        page.on("pageerror", lambda error: said.append(str(error)))
        page.on("request", lambda request: asked.append(request.url))
        page.goto(f"{lecture_address}/?show=plain")
        page.locator(".soilx-figure[data-setting]").nth(1).wait_for(timeout=30_000)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert said == []
    outside = [url for url in asked if urlparse(url).scheme not in {"data", "blob"}]
    assert {urlparse(url).hostname for url in outside} == {"127.0.0.1"}


def settings(page):
    """What each chart on the page says it shows."""
    return page.locator(".soilx-figure[data-setting]").evaluate_all(
        "(all) => all.map((one) => one.dataset.setting)"
    )


def shown(page, start):
    """Wait until every chart shows a setting that starts so."""
    page.wait_for_function(
        """(start) => {
          const seen = window.soilxSettings;
          return seen && seen.size >= 2 && [...seen.values()].every((text) => text.startsWith(start));
        }""",
        arg=start,
        timeout=10_000,
    )


def watch(page):
    """Remember the last setting that each chart announced as drawn."""
    page.evaluate(
        """() => {
          window.soilxSettings = new Map();
          document.addEventListener('soilx-drawn', (event) =>
            window.soilxSettings.set(event.composedPath()[0], event.detail));
        }"""
    )


def layer_numbers(page):
    """The exchangeable sodium written on the drawn layers, both columns."""
    texts = page.locator(".soilx-figure").first.locator("svg text").all_text_contents()
    return [text for text in texts if re.fullmatch(r"\d+\.\d", text)]


def test_both_columns_are_drawn_with_a_number_on_every_layer__analytic(visit):
    page = visit()
    assert len(layer_numbers(page)) == 24
    assert settings(page) == ["7.05 t/ha, 4.00 pore volumes, 24.0 cmol_c/kg"] * 2


def test_a_moved_slider_changes_every_chart_in_place__analytic(visit):
    page = visit()
    watch(page)
    before = layer_numbers(page)
    drawing = page.locator(".soilx-figure svg").first.element_handle()
    page.get_by_role("slider", name=RATE).focus()
    page.keyboard.press("PageUp")
    shown(page, "9.05 t/ha")
    after = layer_numbers(page)
    assert sum(map(float, after[:12])) < sum(map(float, before[:12]))
    assert after[12:] == before[12:]
    assert drawing.evaluate("(svg) => svg.isConnected")
    assert "9.05 t/ha" in page.locator(".soilx-sentence").inner_text()


def test_slider_and_typed_number_are_one_value__analytic(visit):
    page = visit()
    watch(page)
    slider = page.get_by_role("slider", name=WATER)
    typed = page.get_by_role("textbox", name=f"{WATER}, typed")
    typed.fill("2.5")
    typed.press("Enter")
    shown(page, "7.05 t/ha, 2.50 pore volumes")
    assert slider.input_value() == "2.5"
    slider.focus()
    page.keyboard.press("ArrowRight")
    shown(page, "7.05 t/ha, 2.60 pore volumes")
    assert typed.input_value() == "2.6"


def test_a_number_the_slider_does_not_reach_is_refused_in_words__analytic(visit):
    page = visit()
    typed = page.get_by_role("textbox", name=f"{RATE}, typed")
    hostile = ("1e999", "🙂", "<img src=x onerror=alert(1)>", "import os", "x" * 5000, "9" * 5000)
    for text in ("25", "-1", "much", "", *hostile):
        typed.fill(text)
        typed.press("Enter")
        said = page.get_by_role("alert").filter(has_text="Gypsum rate").inner_text()
        assert "0 to 20 t/ha" in said
        assert len(said) < 200
        assert typed.get_attribute("aria-invalid") == "true"
        assert page.get_by_role("slider", name=RATE).input_value() == "7.05"
        page.wait_for_timeout(100)
        assert settings(page)[0].startswith("7.05 t/ha")
        typed.press("Escape")
        assert typed.input_value() == "7.05"
        assert page.get_by_role("alert").filter(has_text="Gypsum rate").count() == 0
    # A comma is how half the world writes a point.
    typed.fill("7,5")
    typed.press("Enter")
    assert page.get_by_role("slider", name=RATE).input_value() == "7.5"


def test_the_scroll_wheel_moves_the_page_and_not_the_slider__common_practice(visit):
    page = visit()
    slider = page.get_by_role("slider", name=RATE)
    slider.focus()
    slider.hover()
    page.mouse.wheel(0, 240)
    page.wait_for_timeout(300)
    assert slider.input_value() == "7.05"
    assert page.evaluate("() => document.getElementById('App').scrollTop") == 240


def test_every_control_is_reached_by_tab_with_a_visible_focus_and_24_px__wcag22(visit):
    page = visit()
    for name in (RATE, WATER):
        slider = page.get_by_role("slider", name=name, exact=True)
        typed = page.get_by_role("textbox", name=f"{name}, typed", exact=True)
        slider.focus()
        for control in (slider, typed):
            assert control.evaluate("(node) => node.getRootNode().activeElement === node")
            assert control.evaluate("(node) => getComputedStyle(node).outlineStyle") == "solid"
            box = control.bounding_box()
            assert min(box["width"], box["height"]) >= 24
            page.keyboard.press("Tab")
    assert page.get_by_role("slider", name=RATE).get_attribute("aria-valuetext") == "7.05 t/ha"


def test_each_chart_has_a_name_a_summary_with_numbers_and_a_table__wcag22(visit):
    page = visit()
    drawings = page.get_by_role("img")
    figures = page.locator(".soilx-figure[data-setting]")
    assert figures.count() == 2
    for at in range(2):
        figure = figures.nth(at)
        drawing = figure.get_by_role("img")
        assert drawing.get_attribute("aria-label") == figure.get_by_role("heading").inner_text()
        caption = figure.locator("figcaption")
        assert drawing.get_attribute("aria-describedby") == caption.get_attribute("id")
        assert re.search(r"\d", caption.inner_text())
        figure.get_by_text("The numbers of this chart").click()
        figure.get_by_role("row").nth(2).wait_for()
        assert re.search(r"\d", figure.get_by_role("cell").first.inner_text())
    assert drawings.count() >= 2


def test_the_caution_stands_between_the_rate_and_the_charts__common_practice(visit):
    page = visit()
    caution = page.get_by_role("note").bounding_box()
    slider = page.get_by_role("slider", name=RATE).bounding_box()
    chart = page.locator(".soilx-figure").first.bounding_box()
    assert slider["y"] < caution["y"] < chart["y"]
    assert caution["y"] + caution["height"] < SIZES["projector"][1]


def test_the_first_screen_fits_a_projector_whole__common_practice(visit):
    page = visit()
    for at in range(2):
        drawing = page.locator(".soilx-figure figcaption").nth(at).bounding_box()
        assert drawing["y"] + drawing["height"] <= SIZES["projector"][1]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
def test_nothing_is_wider_than_the_page__wcag22(visit, size, scheme):
    page = visit(size, color_scheme=scheme)
    width = SIZES[size][0]
    assert page.evaluate("() => document.getElementById('App').scrollWidth") <= width
    drawn = ".soilx-figure[data-setting] svg:visible, .soilx-head .soilx-control:visible"
    for part in page.locator(drawn).all():
        box = part.bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= width + 0.5
    assert page.evaluate("() => getComputedStyle(document.body).colorScheme") == scheme


def test_nothing_dims_while_a_run_is_on_its_way__common_practice(visit):
    page = visit()
    page.evaluate(
        """() => {
          window.dimmed = 0;
          const look = () => {
            for (const output of document.querySelectorAll('.marimo-output-stale')) {
              const style = getComputedStyle(output);
              if (style.opacity !== '1' || style.filter !== 'none') window.dimmed += 1;
            }
            requestAnimationFrame(look);
          };
          look();
        }"""
    )
    page.get_by_role("slider", name=RATE).focus()
    for _ in range(15):
        page.keyboard.press("ArrowRight")
        page.wait_for_timeout(40)
    page.wait_for_timeout(500)
    assert page.evaluate("() => window.dimmed") == 0
