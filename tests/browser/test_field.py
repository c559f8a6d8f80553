"""The page from a soil test to a decision in a browser: by keyboard, typed, loaded, on three screens."""

import pytest
from by_keyboard import tab_to

import soilx
from soilx.practice.judgement.verdict import decide
from soilx.practice.soil_test.report import read_reports

pytestmark = pytest.mark.browser

SIZES = {"projector": (1024, 768), "phone": (390, 844), "narrow": (320, 640)}
RATE, WATER = "Pure gypsum, t/ha", "Water, pore volumes"
CHARTS = 3

# Every fold of the page, also those inside a widget.
OPEN_ALL = """() => {
  const visit = (node) => {
    if (node.matches?.('details')) node.open = true;
    if (node.shadowRoot) visit(node.shadowRoot);
    for (const child of node.children) visit(child);
  };
  visit(document.documentElement);
}"""


@pytest.fixture(scope="module")
def library():
    return read_reports(soilx.demo_path("soils.csv")), soilx.read_waters(soilx.demo_path("waters.csv"))


@pytest.fixture
def visit(browser, field_address):
    """A function that opens the page; afterwards the proof that it was quiet and asked nobody else."""
    contexts, said, asked = [], [], []

    def noted(request):
        if not request.url.startswith((field_address, "data:", "blob:")):
            asked.append(request.url)

    def opened(size="projector", **options):
        width, height = SIZES[size]
        context = browser.new_context(viewport={"width": width, "height": height}, **options)
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
        page.on("pageerror", lambda error: said.append(str(error)))
        page.on("request", noted)
        page.goto(field_address)
        page.locator(".soilx-figure[data-setting]").nth(CHARTS - 1).wait_for(timeout=60_000)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert said == []
    assert asked == []


def verdict(page, text):
    """Wait until the large sentence begins so, and give it."""
    page.locator(".verdict", has_text=text).wait_for(timeout=20_000)
    return page.locator(".verdict").inner_text()


def test_from_a_soil_to_its_verdict_and_a_chosen_rate_by_keyboard_alone__wcag22(visit, library):
    page = visit()
    reports, waters = library
    tab_to(page, "Soil test")
    page.keyboard.press("ArrowDown")
    decision = decide(reports["Block F"], water=waters["Well 3"], target_esp_pct=6.0)
    assert verdict(page, "Block F") == decision.sentences[0]
    assert decision.because in page.locator(".strong").first.inner_text()
    page.locator(".stop", has_text="No rate to spread").first.wait_for()
    page.keyboard.press("ArrowUp")
    verdict(page, "Block C: gypsum.")
    page.locator(".strong", has_text="7.05 t/ha of pure gypsum with 4.0").wait_for(timeout=20_000)
    tab_to(page, RATE)
    page.keyboard.press("ArrowRight")
    # The slider goes in steps of a two-hundredth of 25 t/ha.
    scenario = soilx.Scenario.of(
        soil=reports["Block C"].soil(), gypsum="7.125 t/ha", wettings=[("4 pore_volume", waters["Well 3"])]
    )
    end = soilx.leach(scenario).final_esp_pct
    page.locator(".strong", has_text=f"to {end:.1f}. The target of 5 is not met").wait_for(timeout=20_000)
    assert page.get_by_role("slider", name=RATE).get_attribute("aria-valuetext") in {"7.13 t/ha", "7.12 t/ha"}
    page.locator("figcaption", has_text=f"pore volumes end at ESP {end:.1f}").wait_for()
    tab_to(page, WATER)
    tab_to(page, "How sure is this rate? Draw 2000 soils (about 3 s)")
    page.keyboard.press("Enter")
    page.locator(".strong", has_text="Nine in ten draws lie between").wait_for(timeout=30_000)
    tab_to(page, "Who spreads it")
    tab_to(page, "Work out the years for the chosen rate")
    page.keyboard.press("Enter")
    page.locator(".note", has_text="For 7.12 t/ha of pure gypsum").wait_for(timeout=30_000)


def test_a_typed_number_without_its_unit_is_refused_at_its_box_alone__common_practice(visit):
    page = visit()
    page.locator("summary", has_text="Type or change the soil test").click()
    box = page.get_by_role("textbox", name="Sodium, Na")
    assert box.input_value() == "4.32 cmol_c/kg"
    box.fill("2.1")
    box.press("Enter")
    alert = page.get_by_role("alert").filter(has_text="Sodium, Na = 2.1: has no unit")
    alert.wait_for(timeout=20_000)
    assert box.get_attribute("aria-invalid") == "true"
    assert verdict(page, "Block C: gypsum.")
    assert page.get_by_role("textbox", name="Calcium, Ca").input_value() == "11.98 cmol_c/kg"
    box.fill("0.6 meq/100g")
    box.press("Enter")
    verdict(page, "Block C: no gypsum")
    assert alert.count() == 0
    assert box.get_attribute("aria-invalid") is None
    name = page.get_by_role("textbox", name="What you call this soil")
    name.fill("<img src=x onerror=alert(1)>")
    name.press("Enter")
    verdict(page, "<img src=x onerror=alert(1)>")
    assert page.locator("img[src=x]").count() == 0


def test_an_empty_form_opens_and_says_what_is_wanted__common_practice(visit):
    page = visit("phone")
    page.get_by_role("combobox", name="Soil test").select_option("own")
    verdict(page, "My soil: cannot be decided without")
    box = page.get_by_role("textbox", name="Sodium, Na")
    assert box.is_visible()
    assert box.input_value() == ""
    page.locator("figcaption", has_text="Nothing to draw.").first.wait_for(timeout=20_000)
    assert page.get_by_role("slider", name=RATE).is_disabled()


def test_a_table_of_ones_own_is_loaded_and_picked_from__common_practice(visit):
    page = visit()
    page.locator("summary", has_text="Load a table of your own").click()
    page.get_by_label("A table of soil tests").set_input_files(
        {
            "name": "mine.csv",
            "mimeType": "text/csv",
            "buffer": b"name,depth_cm,cec_cmol_c_per_kg,exchangeable_na_cmol_c_per_kg,drain_test_h\n"
            b"North,15,20,4,6\nSouth,15,20,0.4,6\n",
        }
    )
    verdict(page, "North: cannot be decided without")
    page.get_by_role("combobox", name="Soil of your table").select_option("South")
    verdict(page, "South: ")
    page.get_by_role("combobox", name="Soil test").select_option("Lawn 2")
    verdict(page, "Lawn 2: no gypsum: fix the water.")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_is_wider_than_the_page_with_every_fold_open__wcag22(visit, scheme, tmp_path):
    page = visit(color_scheme=scheme)
    page.evaluate(OPEN_ALL)
    for size, (width, height) in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        page.wait_for_timeout(500)
        assert page.evaluate("() => document.getElementById('App').scrollWidth") <= width
        page.screenshot(path=tmp_path / f"{size}.png")
    for chart in page.locator(".soilx-figure").all():
        assert chart.locator("figcaption").inner_text() != ""
        assert chart.locator("tbody tr").count() > 0
        assert chart.locator("[role=img]").get_attribute("aria-label")
