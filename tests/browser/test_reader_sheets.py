"""Pages for readers in Chromium: sheets of paper, phones, nothing cut, nothing asked for, hostile names."""

import dataclasses
import datetime as dt
import re

import pytest

from soilx import demo_path
from soilx.bench.record_reading import read_record
from soilx.handouts.reader_live import live_of
from soilx.handouts.reader_page import facts_page
from soilx.handouts.readers import Reader, units_of
from soilx.practice.decision_record import DecisionRecord
from tests.browser.accessibility import drawn_faults, faults
from tests.reader_made import reader_page
from tests.reader_soils import AIMS, PRODUCT, REPORTS, WELL, facts_on, record_of

pytestmark = pytest.mark.browser

DAY = dt.date(2026, 11, 25)
# Width of what is printed on, the page's own margins taken off [mm].
PAPERS = {"A4": 210 - 2 * 13, "Letter": 215.9 - 2 * 13}
PX_PER_MM = 96 / 25.4
MOST_SHEETS = {reader: 3 if reader is Reader.STUDENT else 2 for reader in Reader}
BENCH = "bench"
SHOWN = [
    *((name, reader) for name in AIMS for reader in Reader),
    (BENCH, Reader.GARDENER),
    (BENCH, Reader.STUDENT),
]
NAME = "<script>window.done=1</script>\"><img src=x onerror='window.done=1'>" + "Block" * 50 + "\u202eשדה 🌱"
# A table that is wider than a phone is scrolled in a box of its own, which the keyboard reaches.
BEYOND = """([width, scrolled]) => [...document.querySelectorAll('body *')]
  .filter((each) => !each.closest(`math, svg, details:not([open])${scrolled ? ', .numbers *' : ''}`))
  .map((each) => [each.tagName, each.className, each.getBoundingClientRect()])
  .filter(([, , box]) => box.width > 0 && (box.right > width + 0.5 || box.left < -0.5))
  .map(([tag, look, box]) => `${tag}.${look}: ${box.left} to ${box.right}`)"""
CUT = """() => [...document.querySelectorAll('body *')]
  .filter((each) => !each.closest('math, svg') && getComputedStyle(each).overflow !== 'visible')
  .filter((each) => each.scrollWidth > each.clientWidth + 1 || each.scrollHeight > each.clientHeight + 1)
  .map((each) => `${each.tagName}.${each.className}`)"""
# In points, as printed; type of a drawing is as large as the drawing makes it.
SMALLEST = """() => Math.min(...[...document.querySelectorAll('p, li, td, th, figcaption')]
  .filter((each) => each.textContent.trim() && each.offsetParent)
  .map((each) => parseFloat(getComputedStyle(each).fontSize) * 0.75))"""
SMALLEST_DRAWN = """() => Math.min(...[...document.querySelectorAll('svg text')]
  .filter((each) => each.getBoundingClientRect().width > 0)
  .map((each) => parseFloat(each.getAttribute('font-size')) * 0.75 * each.getScreenCTM().a))"""


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    """Files of the twelve pages, the longest of them with the years of a climate, and of the bench run."""
    folder = tmp_path_factory.mktemp("readers")
    files = {}
    for name in AIMS:
        facts = facts_on(name)
        record = record_of(name, climate="Dry summers", years="2")
        for reader in Reader:
            long = reader is Reader.TURF and name == "Block C"
            shown = dataclasses.replace(facts, record=record) if long else facts
            made = facts_page(shown, reader, units_of(reader, "us"), paper=None, made_on=DAY)
            files[name, reader] = folder / f"{name}_{reader}.html"
            files[name, reader].write_text(made, encoding="utf-8")
    record = read_record(demo_path("bench_block_c.csv"))
    for reader in (Reader.GARDENER, Reader.STUDENT):
        files[BENCH, reader] = folder / f"bench_{reader}.html"
        files[BENCH, reader].write_text(reader_page(record, reader=reader, made_on=DAY), encoding="utf-8")
    return files


@pytest.fixture(scope="module")
def sheet(browser):
    """One browser page for all that is looked at; at the end, what it said and asked for."""
    said, asked = [], []
    with browser.new_context() as context:
        page = context.new_page()
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        page.on("request", lambda request: asked.append(request.url))
        yield page
        assert said == []
        assert [url for url in asked if not url.startswith(("file:", "data:"))] == []


def opened(sheet, path, *, width=1024, media="screen"):
    sheet.emulate_media(media=media)
    sheet.set_viewport_size({"width": width, "height": 900})
    sheet.goto(path.as_uri())
    return sheet


@pytest.mark.parametrize(("name", "reader"), SHOWN)
def test_two_sheets_are_enough_on_either_paper_and_nothing_is_cut__common_practice(
    pages, sheet, name, reader
):
    for paper, width in PAPERS.items():
        page = opened(sheet, pages[name, reader], width=int(width * PX_PER_MM), media="print")
        assert page.evaluate(BEYOND, [int(width * PX_PER_MM), False]) == []
        assert page.evaluate(CUT) == []
        assert page.evaluate(SMALLEST) >= 6.9
        assert page.evaluate(SMALLEST_DRAWN) >= 5.9
        printed = page.pdf(format=paper)
        assert len(re.findall(rb"/Type\s*/Page[^s]", printed)) <= MOST_SHEETS[reader]


@pytest.mark.parametrize("width", [320, 390, 1024])
def test_nothing_is_wider_than_the_screen__common_practice(pages, sheet, width):
    for path in pages.values():
        page = opened(sheet, path, width=width)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path.name
        assert page.evaluate(BEYOND, [width, True]) == [], path.name


@pytest.mark.parametrize(
    ("name", "reader"), [("Block C", Reader.TURF), ("Lawn 2", Reader.STUDENT), (BENCH, Reader.GARDENER)]
)
def test_axe_finds_nothing__common_practice(pages, sheet, name, reader):
    page = opened(sheet, pages[name, reader], width=390)
    assert faults(page) == []
    assert drawn_faults(page) == []


def test_names_of_any_kind_do_no_harm__common_practice(sheet, tmp_path):
    texts = dict(REPORTS["Lawn 2"].typed) | {"name": NAME}
    record = DecisionRecord.of(
        texts, water=dict(WELL.typed) | {"name": NAME}, product=PRODUCT | {"name": NAME}
    )
    path = tmp_path / "hostile.html"
    path.write_text(reader_page(record, reader="gardener", made_on=DAY), encoding="utf-8")
    page = opened(sheet, path, width=320)
    assert page.evaluate("window.done") is None
    assert page.evaluate("document.querySelectorAll('img, body script, iframe').length") == 0
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    assert page.evaluate("document.querySelector('h1').textContent").startswith(
        "<script>window.done=1</script>"
    )
    page = opened(sheet, path, width=int(PAPERS["A4"] * PX_PER_MM), media="print")
    assert page.evaluate(BEYOND, [int(PAPERS["A4"] * PX_PER_MM), False]) == []
    assert len(re.findall(rb"/Type\s*/Page[^s]", page.pdf(format="A4"))) <= 2


def test_on_a_screen_a_rate_moves_and_on_paper_it_does_not__common_practice(sheet, tmp_path):
    facts = facts_on("Block C")
    units = units_of(Reader.GARDENER, "us")
    live = live_of(facts, Reader.GARDENER, units)
    path = tmp_path / "live.html"
    path.write_text(
        facts_page(facts, Reader.GARDENER, units, paper=None, made_on=DAY, live=live), encoding="utf-8"
    )
    page = opened(sheet, path)
    page.wait_for_selector(".live-plot canvas")
    gypsum = page.get_by_role("slider", name="Gypsum")
    pure = facts.hand.in_units["pure_with_factor"]["lb_per_1000_ft2"]
    shown = gypsum.get_attribute("aria-valuetext").replace("\N{NO-BREAK SPACE}", " ")
    assert shown == f"{pure:.0f} lb/1000 ft²"
    before = page.locator(".live-sentence").text_content()
    gypsum.press("Home")
    page.wait_for_function(
        "(before) => document.querySelector('.live-sentence').textContent !== before", arg=before
    )
    assert "Without gypsum" in page.locator(".live-sentence").text_content()
    # The rate of the page stays where it is, and so do the two sheets.
    assert "175 lb per 1000 ft²" in page.locator(".steps").text_content()
    page.emulate_media(media="print")
    assert not page.locator(".live").is_visible()
    assert len(re.findall(rb"/Type\s*/Page[^s]", page.pdf(format="Letter"))) <= 2
    for name in ("Block F", "Lawn 2"):
        assert live_of(facts_on(name), Reader.TURF, units_of(Reader.TURF, "us")) is None
