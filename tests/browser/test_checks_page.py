"""The verification page opened from disk with the network cut and no script: seen whole at every size."""

from __future__ import annotations

import re

import pytest

from soilx.verification import CLAIMS, Claim, Label, examine, verify
from soilx.verification.page import write_page

pytestmark = pytest.mark.browser

SIZES = {"desk": (1024, 768), "phone": (390, 844), "small phone": (320, 640)}
BEYOND = """() => [...document.querySelectorAll('body *')]
  .filter((each) => !each.closest('svg, .numbers'))
  .map((each) => [each.tagName, each.className, each.getBoundingClientRect()])
  .filter(([, , box]) => box.width > 0 && (box.right > innerWidth + 0.5 || box.left < -0.5))
  .map(([tag, look, box]) => `${tag}.${look}: ${box.left} to ${box.right}`)"""


@pytest.fixture(scope="module")
def page_file(tmp_path_factory):
    """The page of every check, and of one that fails."""
    path = tmp_path_factory.mktemp("verification") / "page.html"
    injected = Claim(
        id="gypsum.injected",
        claim="Two and two are five.",
        source="arithmetic",
        label=Label.EXACT,
        printed="5",
        compute=lambda: 4.0,
    )
    write_page([*verify(), examine(injected)], path)
    return path


@pytest.fixture
def visit(browser, page_file):
    contexts, said, asked = [], [], []

    def opened(size="desk", *, script=False, **options):
        width, height = SIZES[size]
        # A rule checker needs to run in the page; readers do not.
        context = browser.new_context(
            viewport={"width": width, "height": height}, offline=True, java_script_enabled=script, **options
        )
        context.route(re.compile("^(?!file:)"), lambda route: route.abort())
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: said.append(message.text))
        page.on("request", lambda request: asked.append(request.url))
        page.goto(page_file.as_uri())
        return page

    yield opened
    for context in contexts:
        context.close()
    assert said == []
    assert set(asked) <= {page_file.as_uri()}


def test_every_check_and_picture_is_there_without_script_or_network__analytic(visit):
    page = visit()
    assert page.locator("section.check").count() == len(CLAIMS) + 2
    assert page.locator("figure svg.wide:visible").count() == 4
    assert page.locator("script").count() == 0
    assert page.get_by_text("1 FAILED: 58 of 59 checks that decide hold").is_visible()
    marked = page.locator("section.check", has=page.locator("p.failed"))
    assert marked.count() == 2
    assert marked.first.locator("p.failed").inner_text() == "FAILED"
    page.get_by_role("link", name="gypsum.injected").click()
    assert page.url.endswith("#check-gypsum-injected")
    assert page.locator("#check-gypsum-injected").get_by_text("Two and two are five.").is_visible()


@pytest.mark.parametrize("size", SIZES)
def test_nothing_is_wider_than_the_page__common_practice(visit, size):
    page = visit(size, script=True)
    assert page.evaluate(BEYOND) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= SIZES[size][0]


def test_a_failure_is_told_from_the_rest_without_colour__common_practice(visit):
    page = visit(script=True, forced_colors="active")
    failed = page.locator("section.check", has=page.locator("p.failed")).first
    other = page.locator("section.check", has_not=page.locator("p.failed")).first
    width = "(each) => parseFloat(getComputedStyle(each).borderLeftWidth)"
    assert failed.evaluate(width) > 2 * other.evaluate(width)
    assert failed.locator("p.failed").evaluate("(each) => getComputedStyle(each).borderTopWidth") == "3px"


def test_the_page_keeps_to_the_rules_of_access__wcag22(visit, axe):
    assert axe(visit(script=True)) == []


def test_paper_cuts_nothing_off__common_practice(visit):
    page = visit(script=True)
    page.emulate_media(media="print")
    # A4 within its margins of 14 mm.
    page.set_viewport_size({"width": 688, "height": 1000})
    assert page.evaluate(BEYOND) == []
    tables = "[...document.querySelectorAll('.numbers')]"
    assert page.evaluate(f"() => {tables}.filter((each) => each.scrollWidth > innerWidth).length") == 0
