"""The page that a served notebook saves: made by keyboard, opened from disk with the network cut, printed."""

import re

import pypdf
import pytest
from by_keyboard import tab_to

import soilx
from soilx.handouts.pdf import print_page
from soilx.show import sentences

pytestmark = pytest.mark.browser

RATE = "Gypsum rate, t/ha"
TYPED = 'Calcium <b>took</b> its place & "won" <script>window.done=1</script>'

# What reaches a name by Tab alone, as fingers would: the focused element, also inside a shadow root.


@pytest.fixture(scope="module")
def saved(browser, lecture_address, tmp_path_factory):
    """The file that the lecture saved after its slider was moved by keyboard, and what was on the screen."""
    context = browser.new_context(viewport={"width": 1024, "height": 768}, accept_downloads=True)
    context.set_default_timeout(120_000)
    page = context.new_page()
    errors, asked = [], []
    page.on("console", lambda message: errors.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"{lecture_address}/?show=plain")
    page.locator(".soilx-figure[data-setting]").nth(1).wait_for(timeout=120_000)
    tab_to(page, RATE)
    for _ in range(3):
        page.keyboard.press("PageUp")
    moved = float(page.get_by_role("slider", name=RATE).input_value())
    page.locator(".soilx-sentence", has_text=f"{moved:.2f} t/ha").wait_for(timeout=20_000)
    page.locator(".soilx-explain textarea").fill(TYPED)
    tab_to(page, "Save this page")
    with page.expect_download(timeout=120_000) as download:
        page.keyboard.press("Enter")
    name = download.value.suggested_filename
    file = tmp_path_factory.mktemp("saved") / name
    download.value.save_as(file)
    page.locator(".soilx-save", has_text=f"Saved as {name}.").wait_for(timeout=10_000)
    sentence = page.locator(".soilx-sentence").inner_text()
    context.close()
    assert errors == []
    assert all(url.startswith((lecture_address, "blob:", "data:")) for url in asked)
    return file, moved, sentence


@pytest.fixture
def opened(browser, saved):
    """The saved file from disk with the network cut, and afterwards the proof that it asked for nothing."""
    context = browser.new_context(viewport={"width": 1024, "height": 768}, offline=True)
    context.route(re.compile("^(?!file:)"), lambda route: route.abort())
    page = context.new_page()
    said, asked = [], []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("request", lambda request: asked.append(request.url))
    page.goto(saved[0].as_uri())
    yield page
    context.close()
    assert said == []
    assert asked == [saved[0].as_uri()]


def plain(text):
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


def test_the_saved_page_finds_the_numbers_of_the_screen__analytic(saved, opened):
    file, moved, sentence = saved
    assert re.fullmatch(r"soilx-lecture-\d{4}-\d\d-\d\d\.html", file.name)
    said = plain(opened.locator("main").inner_text())
    assert f"Gypsum rate: {moved:.2f} t/ha" in said
    assert plain(sentence) in said
    # And those are the library's, of a run that no page drew.
    block_c = soilx.read_scenario(soilx.demo_path("block_c.toml")).soil
    treated = soilx.leach(soilx.Scenario.of(block_c, gypsum=f"{moved} t/ha", wettings=["4 pore_volume"]))
    untreated = soilx.leach(treated.scenario.without_gypsum())
    assert plain(sentences.outcome(treated=treated, untreated=untreated)) == plain(sentence)
    table = opened.locator("table", has=opened.locator("caption", has_text="Exchangeable sodium by depth"))
    cells = table.last.locator("tbody tr td:nth-of-type(1)").all_inner_texts()
    assert [float(cell) for cell in cells] == pytest.approx(treated.final_esp_by_layer_pct, abs=0.0055)


def test_what_was_written_in_the_browser_is_read_there_and_runs_nowhere__common_practice(opened):
    assert opened.locator(".written").inner_text() == TYPED
    assert opened.evaluate("() => window.done") is None


def test_its_sliders_move_without_a_network__common_practice(saved, opened):
    slider = opened.locator(".live input[type=range]").first
    before = plain(opened.locator(".live-sentence").inner_text())
    assert f"{saved[1]:.2f} t/ha" in before
    slider.focus()
    opened.keyboard.press("ArrowRight")
    opened.wait_for_function(
        """(before) => {
          const said = document.querySelector('.live-sentence').textContent;
          return said.replaceAll('\\u00a0', ' ').trim() !== before;
        }""",
        arg=before,
        timeout=10_000,
    )
    # What stood on the screen stands as it stood.
    assert plain(saved[2]) in plain(opened.locator("main").inner_text())


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_it_is_printed_with_words_on_every_sheet__common_practice(saved, tmp_path, paper):
    made = tmp_path / "page.pdf"
    sheets = print_page(saved[0], made, paper=paper)
    pages = pypdf.PdfReader(made).pages
    assert sheets == len(pages) > 0
    wide, high = {"a4": (595.3, 841.9), "letter": (612, 792)}[paper]
    for page in pages:
        assert float(page.mediabox.width) == pytest.approx(wide, abs=1.5)
        assert float(page.mediabox.height) == pytest.approx(high, abs=1.5)
    # More than a line that was pushed over: the last sheet is not blank, nor is one before it.
    assert all(len(page.extract_text().split()) > 15 for page in pages)
    printed = plain(" ".join(page.extract_text() for page in pages))
    assert plain(saved[2])[:40] in printed
    # What is folded on the screen is open on paper.
    assert "Where the gypsum goes: mixed all through" in printed
