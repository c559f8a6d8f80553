"""A whole homework in a browser by keyboard alone: every problem of the list, from the first to the last."""

import pytest
from by_keyboard import tab_to
from test_homework import COURSE, STUDENT, visit  # noqa: F401 (visit is a fixture)

from soilx.teaching.problems import PROBLEMS
from soilx.teaching.receipts import read_receipt
from soilx.teaching.variants import variant

pytestmark = pytest.mark.browser

CHOSEN = """() => {
  let at = document.activeElement;
  while (at && at.shadowRoot && at.shadowRoot.activeElement) at = at.shadowRoot.activeElement;
  return at && at.type === 'radio' ? at.value : null;
}"""


def answer(page, part, value):
    """Type an answer with its unit, or walk to the choice, from wherever the focus is."""
    if part.kind is None:
        choices = [key for key, _ in part.choices]
        for _ in range(30):
            page.keyboard.press("Tab")
            if page.evaluate(CHOSEN) in choices:
                break
        page.keyboard.press("Space")
        for _ in choices:
            if page.evaluate(CHOSEN) == value:
                return
            page.keyboard.press("ArrowDown")
        assert page.evaluate(CHOSEN) == value
        return
    unit = {"pore_volume": "pore volumes", "dimensionless": ""}.get(part.unit, part.unit)
    name = part.words[0].upper() + part.words[1:]
    tab_to(page, f"{name}, {unit}" if unit else name)
    page.keyboard.type(f"{value:.8g} {unit}".strip())


def test_a_whole_homework_by_keyboard_alone__wcag22(visit, tmp_path):  # noqa: F811
    page = visit()
    tab_to(page, "Course code")
    page.keyboard.type(COURSE)
    tab_to(page, "Student code")
    page.keyboard.type(STUDENT)
    page.keyboard.press("Enter")
    for at, key in enumerate(PROBLEMS):
        own = variant(COURSE, key, STUDENT)
        if at:
            tab_to(page, "Problem", back=True)
            page.keyboard.press("ArrowDown")
        page.locator(".verdict", has_text=own.problem.title).wait_for(timeout=20_000)
        last = own.asked[-1].words
        page.locator(".soilx-answers .field").last.filter(has_text=last[1:]).wait_for()
        tab_to(page, "Problem")
        for part in own.asked:
            answer(page, part, own.solution.values[part.key])
        tab_to(page, "Check")
        page.keyboard.press("Enter")
        page.locator(".strong", has_text="Solved in 1 try.").wait_for(timeout=20_000)
        receipt = read_receipt(page.locator(".strong", has_text=f"{COURSE} {STUDENT} ").inner_text())
        assert (receipt.problem, receipt.solved, receipt.tries) == (key, True, 1)
        page.screenshot(path=tmp_path / f"{at + 1:02d}-{key}.png")
    page.locator(".note", has_text=f"{len(PROBLEMS)} of {len(PROBLEMS)} problems solved").wait_for()
    page.screenshot(path=tmp_path / "done.png", full_page=True)
