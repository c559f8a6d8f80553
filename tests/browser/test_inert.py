"""Text of any file or field is only read: no markup, script, link or formula of it comes alive on a page."""

from __future__ import annotations

import re
from urllib.parse import quote

import pytest
from conftest import NOTEBOOKS, served

import soilx

pytestmark = pytest.mark.browser

HOSTILE = (
    "<img src=x onerror=window.done=1><script>window.done=1</script>[a](javascript:window.done=1) {{7*7}}"
)
MARKED = "only read"
PATIENCE_MS = 90_000


@pytest.fixture
def visit(browser):
    """A function that opens an address with the network cut; afterwards the proof that nothing came alive."""
    contexts, pages, asked = [], [], []

    def opened(address):
        context = browser.new_context(viewport={"width": 1024, "height": 768})
        contexts.append(context)
        context.route(re.compile(rf"^(?!{re.escape(address)}|data:|blob:)"), lambda route: route.abort())
        page = context.new_page()
        pages.append(page)
        page.on(
            "request",
            lambda request: (
                None if request.url.startswith((address, "data:", "blob:")) else asked.append(request.url)
            ),
        )
        page.on("dialog", lambda dialog: asked.append(dialog.message))
        return page

    yield opened
    for page in pages:
        assert page.evaluate("window.done") is None
        for alive in ("img[src=x]", "script:text('window.done')", "a[href^=javascript]", "iframe"):
            assert page.locator(alive).count() == 0, alive
        # Its braces are no template's either.
        assert page.get_by_text(f"{MARKED} 49", exact=False).count() == 0
    for context in contexts:
        context.close()
    assert asked == []


@pytest.fixture(scope="module")
def bench_address():
    with served(NOTEBOOKS / "bench.py") as address:
        yield address


def test_codes_and_answers_of_the_homework__common_practice(visit, homework_address):
    page = visit(homework_address)
    page.goto(f"{homework_address}/?course={quote(MARKED + HOSTILE)}")
    for name in ("Course code", "Student code"):
        box = page.get_by_role("textbox", name=name)
        box.wait_for(timeout=PATIENCE_MS)
        box.fill(f"{MARKED} {HOSTILE}")
        box.press("Enter")
    page.get_by_text("is not a code").first.wait_for(timeout=PATIENCE_MS)


def test_a_table_of_soils_on_the_field_page__common_practice(visit, field_address):
    page = visit(field_address)
    page.goto(field_address)
    page.locator("summary", has_text="Load a table of your own").click(timeout=PATIENCE_MS)
    name = f"{MARKED} {HOSTILE}"
    header = b"name,depth_cm,cec_cmol_c_per_kg,exchangeable_na_cmol_c_per_kg,drain_test_h,laboratory\n"
    row = f'"{name}",15,20,4,6,"{HOSTILE}"\n'.encode()
    upload = page.get_by_label("A table of soil tests")
    upload.set_input_files({"name": f"{HOSTILE[:30]}.csv", "mimeType": "text/csv", "buffer": header + row})
    page.locator(".verdict", has_text=MARKED).first.wait_for(timeout=PATIENCE_MS)
    wrong = header + f'"{name}","{HOSTILE}",20,4,6,\n'.encode()
    upload.set_input_files({"name": "wrong.csv", "mimeType": "text/csv", "buffer": wrong})
    page.get_by_text("is not a number").first.wait_for(timeout=PATIENCE_MS)


def test_a_record_on_the_bench_page__common_practice(visit, bench_address):
    page = visit(bench_address)
    page.goto(f"{bench_address}/?show=plain")
    raw = soilx.demo_path("bench_block_c.csv").read_text("utf-8")
    raw = raw.replace("# soil,Block C", f'# soil,"{MARKED} {HOSTILE}"')
    raw = raw.replace("gypsum,1,6,", f'"{MARKED} {HOSTILE}",1,6,', 1)
    page.get_by_role("tab").nth(1).click(timeout=PATIENCE_MS)
    upload = page.get_by_label("Load a record (CSV)")
    upload.wait_for(state="attached", timeout=PATIENCE_MS)
    upload.set_input_files({"name": f"{HOSTILE}.csv", "mimeType": "text/csv", "buffer": raw.encode()})
    page.get_by_text(MARKED).first.wait_for(timeout=PATIENCE_MS)
