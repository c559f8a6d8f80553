"""Handouts opened from disk with the network cut: what is drawn, what is asked for, what paper gets."""

import contextlib
import re

import pytest

import soilx
from soilx import cli
from soilx.handouts.scenario_page import LIVE_CHARTS, PAIR_CHARTS, scenario_page
from soilx.handouts.write import write_handout

pytestmark = pytest.mark.browser

DEMOS = sorted(
    path
    for path in soilx.demo_path("pair.toml").parent.glob("*.toml")
    if not path.name.startswith("decision_")
)
SOURCES = {path.stem: path for path in DEMOS} | cli.offered_notebooks()
SIZES = {"desk": (1024, 768), "phone": (390, 844), "small phone": (320, 640)}
# Width and height [mm]; the page's own margins are 14 mm, a px is 25.4/96 mm.
PAPERS = {"A4": (210, 297), "Letter": (215.9, 279.4)}
MARGIN_MM = 14
PX_PER_MM = 96 / 25.4
HOSTILE = "<script>window.done=1</script>\"><img src=x onerror='window.done=1'>" + "Block" * 50 + "\u202eשדה"

# Colours are opaque here and the paper is white, so that the ratio is that of the text's own colour; type
# in a drawing has a fill instead. White on a drawn layer is judged where the charts are.
FAINTEST = """() => {
  const light = (part) => (part /= 255) <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  let worst = 21;
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const at = walker.currentNode.parentElement;
    if (!walker.currentNode.data.trim() || at.closest('svg, style')) continue;
    const [r, g, b] = getComputedStyle(at).color.match(/[\\d.]+/g).map(Number);
    worst = Math.min(worst, 1.05 / (0.2126 * light(r) + 0.7152 * light(g) + 0.0722 * light(b) + 0.05));
  }
  return worst;
}"""
BEYOND = """(width) => [...document.querySelectorAll('body *')]
  .filter((each) => !each.closest('math, svg, details:not([open]) > pre'))
  .map((each) => [each.tagName, each.className, each.getBoundingClientRect()])
  .filter(([, , box]) => box.width > 0 && (box.right > width + 0.5 || box.left < -0.5))
  .map(([tag, look, box]) => `${tag}.${look}: ${box.left} to ${box.right}`)"""
# What its own box cuts: on paper anything, on a screen what the keyboard cannot scroll.
CUT = """(onPaper) => [...document.querySelectorAll('body *')]
  .filter((each) => !each.closest('math, svg') && (onPaper || each.tabIndex < 0))
  .filter((each) => getComputedStyle(each).overflow !== 'visible')
  .filter((each) => each.scrollWidth > each.clientWidth + 1 || each.scrollHeight > each.clientHeight + 1)
  .map((each) => `${each.tagName}.${each.className}`)"""


@pytest.fixture(scope="module", params=SOURCES, ids=SOURCES)
def page_file(request, tmp_path_factory):
    """A page on disk of each demo scenario, as it stands still, and of each notebook."""
    path = tmp_path_factory.mktemp("handout") / f"{request.param}.html"
    source = SOURCES[request.param]
    if source.suffix == ".toml":
        # What moves on it has tests of its own.
        path.write_text(scenario_page(soilx.read_scenario(source)), encoding="utf-8")
    else:
        write_handout(source, path)
    return path


@contextlib.contextmanager
def opening(browser):
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
        if page.locator("section.live").count():
            page.wait_for_function("document.documentElement.dataset.live === 'ready'", timeout=60_000)
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert said == []
    assert asked == opened


@pytest.fixture
def visit(browser):
    with opening(browser) as open_page:
        yield open_page


@pytest.fixture(scope="module")
def shown(browser, page_file):
    """Each page, opened once; `page` gives it to every test as it was."""
    with opening(browser) as open_page:
        yield open_page(page_file)


@pytest.fixture
def page(shown):
    yield shown
    shown.emulate_media(media="screen", color_scheme="light")
    shown.set_viewport_size({"width": SIZES["desk"][0], "height": SIZES["desk"][1]})


def resized(page, width, height):
    page.set_viewport_size({"width": width, "height": height})


def seen_drawings(page):
    """Each drawing that can be seen: its size, its shapes with an extent, and its words."""
    return page.locator("figure > svg").evaluate_all(
        """(all) => all.filter((one) => one.getBoundingClientRect().width > 0).map((one) => ({
          width: one.getBoundingClientRect().width,
          shapes: [...one.querySelectorAll('path, rect, line')].filter((part) => {
            const box = part.getBoundingClientRect();
            const style = getComputedStyle(part);
            return box.width + box.height > 1 && (style.fill !== 'none' || style.stroke !== 'none');
          }).length,
          words: [...one.querySelectorAll('text')].filter((part) => part.textContent.trim()).length,
          out: [...one.querySelectorAll('text')].filter((part) => {
            const inner = part.getBoundingClientRect(), outer = one.getBoundingClientRect();
            return part.textContent.trim() && (inner.left < outer.left - 4 || inner.right > outer.right + 4);
          }).map((part) => part.textContent),
        }))"""
    )


@pytest.mark.parametrize("size", ["desk", "phone"])
def test_every_figure_is_drawn_from_disk_without_a_network__common_practice(page, page_file, size):
    resized(page, *SIZES[size])
    drawings = seen_drawings(page)
    assert len(drawings) == page.locator("figure:has(> svg)").count()
    if page_file.stem in {path.stem for path in DEMOS}:
        assert len(drawings) == len(PAIR_CHARTS)
    # Of these pages the lecture's alone moves.
    assert (page.locator("script").count() > 0) is (page_file.stem == "lecture")
    for each in drawings:
        assert each["shapes"] >= 5
        assert each["words"] >= 5
        assert each["out"] == []


@pytest.mark.parametrize("size", SIZES)
def test_nothing_but_a_tables_own_box_is_wider_than_the_screen__wcag22(page, size):
    resized(page, *SIZES[size])
    page.wait_for_timeout(100)
    width = SIZES[size][0]
    assert page.evaluate("() => document.documentElement.scrollWidth") <= width
    beyond = page.evaluate(BEYOND, width)
    assert [
        each for each in beyond if not re.match("TABLE|CAPTION|THEAD|TBODY|TR|TH|TD|SUB|SUP|BDI", each)
    ] == []
    # What scrolls in its own box is reached by the keyboard.
    assert page.evaluate(CUT, False) == []


@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_is_clipped_on_paper__common_practice(page, paper):
    wide, high = ((side - 2 * MARGIN_MM) * PX_PER_MM for side in PAPERS[paper])
    resized(page, int(wide), int(high))
    page.emulate_media(media="print")
    assert page.evaluate(BEYOND, wide) == []
    assert page.evaluate(CUT, True) == []
    assert all(each["width"] <= wide and each["out"] == [] for each in seen_drawings(page))
    # A figure that may not be split has to fit a page.
    for box in page.locator("figure").evaluate_all("(all) => all.map((one) => one.offsetHeight)"):
        assert box <= high / 2
    printed = page.pdf(format=paper)
    boxes = {
        tuple(round(float(side)) for side in box.split()[2:])
        for box in re.findall(rb"/MediaBox \[([^\]]+)\]", printed)
    }
    assert boxes
    # Chromium rounds a sheet up to whole px, each 0.75 pt.
    expected = tuple(side * 72 / 25.4 for side in PAPERS[paper])
    assert all(found == pytest.approx(expected, abs=1.5) for found in boxes)


def test_figures_stand_whole_and_heads_of_tables_are_repeated_on_paper__common_practice(page, page_file):
    # The homework has no figure and no table before a code is typed.
    bare = page_file.stem == "homework"
    page.emulate_media(media="print")
    assert set(
        page.locator("figure").evaluate_all("(all) => all.map((one) => getComputedStyle(one).breakInside)")
    ) == (set() if bare else {"avoid"})
    assert set(
        page.locator("thead").evaluate_all("(all) => all.map((one) => getComputedStyle(one).display)")
    ) == (set() if bare else {"table-header-group"})


def test_text_is_dark_enough_in_every_room__wcag22(page):
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        assert page.evaluate(FAINTEST) >= 4.5
        assert page.evaluate("() => getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"


def test_figures_are_named_with_their_numbers_and_details_open_by_key__wcag22(page):
    images = page.locator("figure > svg[role=img]:visible")
    assert images.count() == page.locator("figure:has(> svg)").count()
    assert all(re.search(r"\d", image.get_attribute("aria-label")) for image in images.all())
    for details in page.locator("details:has(> pre)").all():
        details.locator("summary").focus()
        page.keyboard.press("Enter")
        assert details.locator("pre").is_visible()
    for link in page.locator("a[download]").all():
        assert link.bounding_box()["height"] >= 24 or link.locator("..").bounding_box()["height"] >= 24


def test_the_saved_scenario_makes_the_same_page_again__analytic(visit, tmp_path):
    first = tmp_path / "first.html"
    pair = soilx.read_scenario(soilx.demo_path("pair.toml"))
    first.write_text(scenario_page(pair), encoding="utf-8")
    page = visit(first)
    with page.expect_download() as saved:
        page.locator("a[download]").click()
    scenario = tmp_path / "again.toml"
    saved.value.save_as(scenario)
    assert soilx.read_scenario(scenario) == pair
    assert scenario_page(soilx.read_scenario(scenario)) == first.read_text(encoding="utf-8")


def test_a_hostile_name_is_only_read__common_practice(visit, tmp_path):
    block_c = soilx.read_scenario(soilx.demo_path("block_c.toml"))
    soil = soilx.Soil.of(**{**dict(block_c.soil.typed), "name": HOSTILE})
    scenario = soilx.Scenario.of(
        soil, gypsum="7.05 t/ha", wettings=["1 pore_volume"], title=HOSTILE, layers=4
    )
    soilx.write_scenario(scenario, tmp_path / "hostile.toml")
    write_handout(tmp_path / "hostile.toml", tmp_path / "hostile.html")
    page = visit(tmp_path / "hostile.html")
    assert page.locator("h1").inner_text().startswith("<script>window.done=1</script>")
    for width, height in SIZES.values():
        resized(page, width, height)
        assert page.evaluate("() => document.documentElement.scrollWidth") <= width
    assert len(seen_drawings(page)) == len(PAIR_CHARTS) - len(LIVE_CHARTS)
    assert page.evaluate("() => window.done") is None
