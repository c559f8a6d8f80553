"""The homework page in a browser: a problem by keyboard, the live column, three widths, hostile text."""

import pytest
from by_keyboard import FOCUSED, tab_to

from soilx.teaching.homework_words import RECEIPT_IS_NO_PROOF
from soilx.teaching.receipts import read_receipt
from soilx.teaching.variants import variant

pytestmark = pytest.mark.browser

SIZES = {"projector": (1024, 768), "phone": (390, 844), "narrow": (320, 640)}
COURSE, STUDENT = "SOIL-24", "S07"


@pytest.fixture
def visit(browser, homework_address):
    """A function that opens the page; afterwards the proof that it was quiet and asked nobody else."""
    contexts, said, asked = [], [], []

    def noted(request):
        if not request.url.startswith((homework_address, "data:", "blob:")):
            asked.append(request.url)

    def opened(size="projector", **options):
        width, height = SIZES[size]
        context = browser.new_context(viewport={"width": width, "height": height}, **options)
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
        page.on("pageerror", lambda error: said.append(str(error)))
        page.on("request", noted)
        page.goto(homework_address)
        page.locator(".strong", has_text="Type your course code").wait_for(timeout=60_000)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert said == []
    assert asked == []


def begin(page, *, problem=None, student=STUDENT):
    """Type the codes, and pick a problem."""
    for name, text in (("Course code", COURSE), ("Student code", student)):
        box = page.get_by_role("textbox", name=name)
        box.fill(text)
        box.press("Enter")
    page.locator(".note", has_text=f"For {student} of {COURSE}").wait_for(timeout=20_000)
    if problem is not None:
        title = variant(COURSE, problem, student).problem.title
        page.get_by_role("combobox", name="Problem").select_option(problem)
        page.locator(".verdict", has_text=title).wait_for(timeout=20_000)


def test_a_whole_problem_by_keyboard_alone__wcag22(visit, tmp_path):
    own = variant(COURSE, "ppm-to-charge", STUDENT)
    (part,) = own.asked
    label = f"{part.words[0].upper()}{part.words[1:]}, {part.unit}"
    wrong = own.wrong[0]
    page = visit()
    tab_to(page, "Course code")
    page.keyboard.type(COURSE)
    tab_to(page, "Student code")
    page.keyboard.type(STUDENT)
    page.keyboard.press("Enter")
    page.locator(".verdict", has_text=own.problem.title).wait_for(timeout=20_000)
    tab_to(page, "Problem")
    page.keyboard.press("ArrowDown")
    page.locator(".verdict", has_text=variant(COURSE, "esp-by-charge", STUDENT).problem.title).wait_for()
    page.keyboard.press("ArrowUp")
    page.locator(".verdict", has_text=own.problem.title).wait_for()
    tab_to(page, label)
    page.keyboard.type(f"{wrong.values[part.key]:.6g} {part.unit}")
    tab_to(page, "Check")
    page.keyboard.press("Enter")
    said = page.locator(".said", has_text=wrong.mistake.name)
    said.wait_for(timeout=20_000)
    assert wrong.went_wrong.text in said.inner_text()
    page.locator(".strong", has_text="2 tries are left.").wait_for()
    page.get_by_role("status").filter(has_text=wrong.mistake.name).wait_for(state="attached")
    assert page.evaluate(FOCUSED)["name"] == "Check"
    page.screenshot(path=tmp_path / "wrong.png")
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Control+A")
    page.keyboard.type(f"{own.solution.values[part.key]:.6g} {part.unit}")
    page.keyboard.press("Enter")
    page.locator(".strong", has_text="Solved in 2 tries.").wait_for(timeout=20_000)
    receipt = page.locator(".strong", has_text=f"{COURSE} {STUDENT} ").inner_text()
    assert read_receipt(receipt).solved
    assert page.locator(".note", has_text=RECEIPT_IS_NO_PROOF[:60]).count() == 1
    assert "(solved)" in page.get_by_role("combobox", name="Problem").locator("option").first.inner_text()
    page.locator(".note", has_text="1 of 23 problems solved").wait_for()
    page.screenshot(path=tmp_path / "receipt.png")
    tab_to(page, "A fresh problem of this kind")
    page.keyboard.press("Enter")
    page.locator(".note", has_text="fresh problem 1").wait_for(timeout=20_000)
    (following,) = variant(COURSE, "ppm-to-charge", STUDENT, fresh=1).asked
    box = page.get_by_role(
        "textbox", name=f"{following.words[0].upper()}{following.words[1:]}, {following.unit}"
    )
    box.wait_for()
    assert box.input_value() == ""
    assert page.evaluate(FOCUSED)["name"] == box.evaluate("box => box.labels[0].textContent")


def test_the_live_column_follows_its_slider_by_keyboard__wcag22(visit):
    page = visit()
    begin(page, problem="least-gypsum")
    page.locator(".soilx-figure[data-setting]").nth(1).wait_for(timeout=30_000)
    page.locator(".strong", has_text="is not met").wait_for(timeout=20_000)
    tab_to(page, "Pure gypsum, g/kg", most=60)
    page.keyboard.press("End")
    page.locator(".strong", has_text="% is met").wait_for(timeout=20_000)
    page.get_by_role("combobox", name="Problem").select_option("ppm-to-charge")
    page.locator(".soilx-figure").first.wait_for(state="detached")


@pytest.mark.parametrize(("size", "scheme"), [("projector", "light"), ("phone", "dark"), ("narrow", "light")])
def test_nothing_is_wider_than_the_page__wcag22(visit, size, scheme):
    page = visit(size, color_scheme=scheme)
    for problem in ("four-laboratories", "gypsum-or-not", "least-water"):
        begin(page, problem=problem)
        if problem == "least-water":
            page.locator(".soilx-figure[data-setting]").nth(1).wait_for(timeout=30_000)
        last = variant(COURSE, problem, STUDENT).asked[-1].words
        page.locator(".soilx-answers .field").last.filter(has_text=last[1:]).wait_for()
        assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
        wide = page.evaluate(
            """() => {
              const found = [];
              const visit = (node) => {
                if (node.matches?.('.soilx-screen *, .soilx-answers *, .soilx-sheet > *')
                    && node.getBoundingClientRect().right > innerWidth + 1
                    && !node.closest('.numbers')) found.push(node.tagName + '.' + node.className);
                if (node.shadowRoot) for (const child of node.shadowRoot.children) visit(child);
                for (const child of node.children) visit(child);
              };
              visit(document.body);
              return found;
            }"""
        )
        assert wide == []


def test_what_is_typed_stays_text_and_gets_one_sentence__common_practice(visit):
    page = visit()
    begin(page, problem="ppm-to-charge")
    (part,) = variant(COURSE, "ppm-to-charge", STUDENT).asked
    box = page.get_by_role("textbox", name=part.words[0].upper() + part.words[1:])
    for typed in ("<img src=x onerror=alert(1)>", "x" * 5000, "1e999", "😀", "4,35"):
        before = page.locator(".said").inner_text() if page.locator(".said").is_visible() else ""
        box.fill(typed)
        page.get_by_role("button", name="Check").click()
        page.wait_for_function(
            """(before) => {
              const texts = [];
              const visit = (node) => {
                if (node.matches?.('.said')) texts.push(node.textContent);
                if (node.shadowRoot) for (const child of node.shadowRoot.children) visit(child);
                for (const child of node.children) visit(child);
              };
              visit(document.body);
              return texts.length === 1 && texts[0] !== '' && texts[0] !== before;
            }""",
            arg=before,
        )
        said = page.locator(".said")
        assert said.get_attribute("data-outcome") == "not read"
        assert len(said.inner_text()) < 400
        assert box.input_value() == typed
    page.locator(".strong", has_text="3 tries are left.").wait_for()
    assert page.locator("img[src='x']").count() == 0
    student = page.get_by_role("textbox", name="Student code")
    student.fill("Anna")
    student.press("Enter")
    page.locator(".refusal", has_text="has no digit").wait_for(timeout=20_000)
