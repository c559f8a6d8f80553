"""The bench page in a browser: tabs by key, a cup typed and kept, the library's numbers, a silent console."""

import re
from urllib.parse import urlparse

import pytest
from conftest import NOTEBOOKS, served

import soilx
from soilx.bench.budget import budget_of
from soilx.bench.budget_words import sentences_of
from soilx.bench.fit import fit
from soilx.bench.fit_words import fit_sentences
from soilx.bench.observations import observe
from soilx.bench.plan import Plan
from soilx.bench.plan_cards import field_card
from soilx.bench.record_reading import record_of_bytes
from soilx.show import bench

pytestmark = pytest.mark.browser

DEMO = "bench_block_c.csv"
DOSE = "0.40 g of white bag in each 100 g column."
WIDTHS = {1024: 768, 390: 844, 320: 640}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("records")


@pytest.fixture(scope="module")
def kept_address(folder):
    with served(NOTEBOOKS / "bench.py", "--folder", str(folder)) as address:
        yield address


@pytest.fixture(scope="module")
def fresh_address(tmp_path_factory):
    with served(NOTEBOOKS / "bench.py", "--folder", str(tmp_path_factory.mktemp("empty"))) as address:
        yield address


@pytest.fixture(scope="module")
def free_address():
    with served(NOTEBOOKS / "bench.py") as address:
        yield address


@pytest.fixture
def visit(browser):
    """A function that opens the page, and afterwards the proof that it kept quiet and stayed at home."""
    contexts, said, asked = [], [], []

    def opened(address, width=1024, path="/?show=plain", **options):
        context = browser.new_context(viewport={"width": width, "height": WIDTHS[width]}, **options)
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
        page.on("pageerror", lambda error: said.append(str(error)))
        page.on("request", lambda request: asked.append(request.url))
        page.goto(address + path)
        ready(page)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert said == []
    outside = [url for url in asked if urlparse(url).scheme not in {"data", "blob"}]
    assert {urlparse(url).hostname for url in outside} == {"127.0.0.1"}


def ready(page):
    page.get_by_text(DOSE).first.wait_for(timeout=30_000)


def open_tab(page, number):
    page.get_by_role("tab").nth(number - 1).click()


def words(page):
    """All that stands on sheets and under charts now."""
    texts = page.locator(".soilx-sheet, figcaption").all_inner_texts()
    return re.sub(r"\s+", " ", " ".join(texts))


def said(page):
    """The record sheet's answer to what was done last."""
    return page.locator(".soilx-sheet .said")


def type_cup(page, **cells):
    for label, text in cells.items():
        field = page.get_by_role("textbox", name=LABELS[label])
        field.fill(text)
    page.get_by_role("button", name="Write it down").click()


LABELS = {
    "replicate": "Replicate",
    "portion": "Portion",
    "caught": re.compile("^Caught, mL"),
    "ec": "EC, dS/m",
    "sodium": "Sodium, mg/L",
    "temperature": re.compile("^EC read at"),
}


def test_numbers_of_plan_budget_and_fit_are_the_library_s__analytic(visit, free_address):
    page = visit(free_address)
    soil = soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]
    record = record_of_bytes(soilx.demo_path(DEMO).read_bytes(), name=DEMO)
    plan = Plan.of(
        soil,
        gypsum="6.95 t/ha",
        water="360 mL",
        portions=6,
        product=bench.products()["white bag"],
        arms=("control", "gypsum", "sodium chloride"),
    )
    seen = words(page)
    for row in field_card(plan):
        assert row.bench in seen
        assert row.field in seen
    open_tab(page, 3)
    page.get_by_text("What limits all this").click()
    seen = words(page)
    for sentence in sentences_of(budget_of(record)):
        assert sentence in seen
    chosen = ("soluble_sodium", "bypass_fraction")
    for title in ("selectivity for sodium", "cation exchange capacity"):
        assert not page.get_by_role("checkbox", name=re.compile(title)).is_checked()
    page.get_by_role("button", name=re.compile("^Fit the model")).click()
    page.get_by_text("Done: 18 readings, 2 parameters.").wait_for(timeout=30_000)
    page.get_by_text("What is left, reading by reading").click()
    page.get_by_text("What was not used, and what was taken for granted").click()
    seen = words(page)
    for sentence in fit_sentences(fit(observe(record, soil), chosen)):
        assert re.sub(r"\s+", " ", sentence) in seen
    page.get_by_role("button", name="Take this run away").wait_for()
    page.get_by_text("block_c_fitted.toml").wait_for()


def guess_by_keyboard(page, times):
    """Type a guess, say how sure, commit."""
    page.get_by_role("textbox", name=re.compile("^Your guess: sodium")).focus()
    page.keyboard.type(times)
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")


def test_the_run_opens_with_a_guess_that_stays_on_its_chart__crouch2004(visit, free_address, tmp_path):
    page = visit(free_address, path="/")
    charts = page.locator(".soilx-figure:visible")
    for number in (1, 2, 3):
        open_tab(page, number)
        assert charts.count() == 0
    open_tab(page, 2)
    assert not page.get_by_role("button", name="Begin your own record").is_visible()
    guess_by_keyboard(page, "9")
    page.get_by_text("type a number from 0 to 6 times").wait_for()
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Control+A")
    guess_by_keyboard(page, "0.5")
    page.get_by_text("You guessed 0.5 times (a wild guess).").wait_for()
    ghost = charts.first.locator("svg text", has_text="your guess")
    ghost.wait_for(timeout=10_000)
    read = page.get_by_text("Read in the record: 2.6 times, 855 and 335\N{NO-BREAK SPACE}mg/L.")
    assert not read.is_visible()
    assert not page.get_by_text("What did you see?").is_visible()
    for _ in range(2):
        page.keyboard.press("Enter")
    page.get_by_text("What did you see?").wait_for()
    assert read.is_visible()
    assert "Your guess: 168 mg/L." in words(page)
    page.get_by_label(re.compile("^Why did the first cup")).fill("calcium takes its place")
    page.get_by_text("The room's votes").first.click()
    page.get_by_label("Votes for: 2 to 3 times").fill("7")
    page.get_by_text("7 of 7").wait_for()
    page.screenshot(path=tmp_path / "bench-guessed.png")
    open_tab(page, 1)
    assert charts.count() == 3


def test_one_press_passes_on_and_who_has_a_record_is_not_asked_again__common_practice(visit, fresh_address):
    page = visit(fresh_address, path="/")
    open_tab(page, 2)
    page.get_by_role("button", name="Show me without a guess").click()
    page.get_by_role("button", name="Begin your own record").click()
    page.get_by_text("Begun: bench_run.csv.").wait_for(timeout=10_000)
    page.reload()
    ready(page)
    open_tab(page, 2)
    page.get_by_role("button", name="Write it down").wait_for(timeout=10_000)
    assert not page.get_by_role("button", name="Show me without a guess").is_visible()


def test_the_three_tabs_are_walked_by_keyboard_alone__wcag22(visit, free_address):
    page = visit(free_address)
    tabs = page.get_by_role("tab")
    for _ in range(12):
        page.keyboard.press("Tab")
        if tabs.nth(0).evaluate("(tab) => tab.getRootNode().activeElement === tab"):
            break
    headings = ["How much, by soil mass", "Write each cup down", "Where the sodium went"]
    for at, heading in enumerate(headings):
        assert tabs.nth(at).get_attribute("aria-selected") == "true"
        assert tabs.nth(at).evaluate("(tab) => tab.getRootNode().activeElement === tab")
        shown = [page.get_by_role("heading", name=name, exact=True).is_visible() for name in headings]
        assert shown == [name == heading for name in headings]
        page.keyboard.press("ArrowRight")
    assert tabs.nth(0).get_attribute("aria-selected") == "true"
    page.keyboard.press("ArrowRight")
    # First the switch of the question, then the record: its file and what is typed.
    reached = []
    for _ in range(3):
        page.keyboard.press("Tab")
        page.wait_for_timeout(100)
        reached.append(
            page.evaluate(
                """() => {
                  let at = document.activeElement;
                  while (at && at.shadowRoot && at.shadowRoot.activeElement) at = at.shadowRoot.activeElement;
                  return at.closest('.soilx-sheet') ? 'record' : at.type;
                }"""
            )
        )
    assert reached == ["checkbox", "record", "record"]


def test_a_cup_is_typed_kept_and_there_after_a_reload__analytic(visit, kept_address, folder):
    page = visit(kept_address)
    open_tab(page, 2)
    page.get_by_role("textbox", name="Name of a new record").fill("our run")
    page.get_by_role("button", name="Begin your own record").click()
    page.get_by_text("Begun: our run.csv.").wait_for(timeout=10_000)
    page.get_by_role("combobox", name="Arm", exact=True).select_option("gypsum")
    type_cup(page, portion="1", caught="21", ec="5.1", temperature="25", sodium="830")
    page.get_by_text("Written down: gypsum 1, portion 1.").wait_for(timeout=10_000)
    assert "gypsum,1,1" in (folder / "our run.csv").read_text(encoding="utf-8")
    page.get_by_text("1 reading over the model's lines").first.wait_for(timeout=10_000)
    # text where a number belongs: kept as typed, said in one sentence, and no other cup is touched
    type_cup(page, caught="twenty", ec="2.6", sodium="455")
    page.get_by_text("Written down: gypsum 1, portion 2.").wait_for(timeout=10_000)
    problem = page.locator(".soilx-sheet .problems li").filter(has_text="twenty")
    problem.first.wait_for(timeout=10_000)
    assert problem.count() == 1
    # a portion twice is refused, and what was typed stays in its fields
    type_cup(page, portion="1", caught="22")
    page.get_by_text("is there already").wait_for(timeout=10_000)
    assert page.get_by_role("textbox", name=LABELS["caught"]).input_value() == "22"
    before = (folder / "our run.csv").read_bytes()
    page.reload()
    ready(page)
    open_tab(page, 2)
    page.get_by_role("button", name="Change gypsum 1, portion 1").wait_for(timeout=10_000)
    assert page.get_by_role("button", name="Change gypsum 1, portion 2").count() == 1
    assert (folder / "our run.csv").read_bytes() == before
    open_tab(page, 3)
    page.get_by_text("0 fits were made").first.wait_for(state="hidden")
    assert "cannot tell" in words(page)


def test_without_a_folder_the_tab_keeps_it_and_says_so__analytic(visit, free_address):
    page = visit(free_address, 390)
    open_tab(page, 2)
    page.get_by_role("button", name="Begin your own record").click()
    page.get_by_text("Nothing is saved on the computer that serves this page").wait_for(timeout=10_000)
    page.get_by_role("combobox", name="Arm", exact=True).select_option("control")
    type_cup(page, portion="1", caught="12", ec="1.5", temperature="25")
    page.get_by_text("Written down: control 1, portion 1.").wait_for(timeout=10_000)
    page.reload()
    ready(page)
    open_tab(page, 2)
    page.get_by_text("Brought back from this tab: bench_run.csv, 1 portion in 1 arm.").wait_for(
        timeout=10_000
    )
    with page.expect_download() as taken:
        page.get_by_role("button", name="Download the record").click()
    assert taken.value.suggested_filename == "bench_run.csv"
    assert "control,1,1" in taken.value.path().read_text(encoding="utf-8")


def test_a_file_is_loaded_and_a_bad_one_refused_in_a_sentence__analytic(visit, free_address, tmp_path):
    page = visit(free_address)
    open_tab(page, 2)
    empty = tmp_path / "empty.csv"
    empty.write_bytes(b"")
    page.get_by_label("Load a record (CSV)").set_input_files(empty)
    said(page).filter(has_text="empty.csv").wait_for(timeout=10_000)
    assert page.get_by_role("button", name="Change gypsum 1, portion 6").count() == 1
    whole = tmp_path / "our <b>run.csv"
    whole.write_bytes(soilx.demo_path(DEMO).read_bytes().replace(b"855", b"900"))
    page.get_by_label("Load a record (CSV)").set_input_files(whole)
    said(page).filter(has_text="9 portions in 2 arms").wait_for(timeout=10_000)
    assert "our <b>run.csv" in said(page).inner_text()


def test_what_cannot_be_planned_is_said_beside_its_field__analytic(visit, free_address):
    page = visit(free_address)
    field = page.get_by_role("textbox", name="Oven-dry soil in a column")
    field.fill("100")
    field.press("Enter")
    page.get_by_text(re.compile("^soil_mass = 100")).first.wait_for(timeout=10_000)
    assert DOSE in words(page)
    field.fill("50 g")
    field.press("Enter")
    page.get_by_text("0.20 g of white bag in each 50 g column.").first.wait_for(timeout=10_000)


def test_nothing_is_wider_than_the_page__wcag22(visit, free_address):
    page = visit(free_address)
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        for width, height in WIDTHS.items():
            page.set_viewport_size({"width": width, "height": height})
            for number in (1, 2, 3):
                open_tab(page, number)
                page.wait_for_timeout(150)
                wide = page.evaluate("() => document.getElementById('App').scrollWidth - window.innerWidth")
                assert wide <= 0, (scheme, width, number)
