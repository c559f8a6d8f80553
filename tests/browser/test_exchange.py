"""The exchange lesson in a browser: a guess opens a picture, by hand and by key, and it stays at home."""

from urllib.parse import urlparse

import pytest

from soilx.show import lesson

pytestmark = pytest.mark.browser

SIZES = {"projector": (1024, 768), "phone": (390, 844)}
COMMIT, SKIP = "This is my guess", "Show me without a guess"
CALCIUM = "Calcium on the clay, ions"
AS_OPENED = [
    lesson.sites(calcium=6),
    lesson.milligrams(each_mg_per_l=200),
    lesson.isotherm(sodium_share_pct=50),
    lesson.beaker(calcium_pct=100),
    lesson.dilution(thinned=10),
    lesson.root(times=2),
    lesson.ratio(sar=60),
    lesson.plateau(added_g_per_l=10),
    lesson.steps(salt_mmol_per_l=0),
    lesson.layer(water=8),
    lesson.conventions(agree_at_esp_pct=10),
]


@pytest.fixture
def visit(browser, exchange_address):
    """A function that opens the lesson, and afterwards the proof that it kept quiet and stayed at home."""
    contexts, said, asked = [], [], []

    def opened(size="projector", *, everything=False, **options):
        width, height = SIZES[size]
        context = browser.new_context(viewport={"width": width, "height": height}, **options)
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
        page.on("pageerror", lambda error: said.append(str(error)))
        page.on("request", lambda request: asked.append(request.url))
        page.goto(f"{exchange_address}/?show=all" if everything else exchange_address)
        page.locator(".soilx-prediction").nth(len(AS_OPENED) - 1).wait_for(timeout=30_000)
        if everything:
            page.locator(".soilx-figure[data-setting]").nth(len(AS_OPENED) - 1).wait_for(timeout=30_000)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert said == []
    outside = [url for url in asked if urlparse(url).scheme not in {"data", "blob"}]
    assert {urlparse(url).hostname for url in outside} == {"127.0.0.1"}


def shown(page, caption):
    """Wait until a picture says this."""
    page.locator("figcaption").filter(has_text=caption).wait_for(timeout=10_000)


def focused(page):
    """The element that has the focus, in whichever shadow it stands."""
    return page.evaluate_handle(
        """() => {
          let at = document.activeElement;
          while (at && at.shadowRoot && at.shadowRoot.activeElement) at = at.shadowRoot.activeElement;
          return at;
        }"""
    ).as_element()


def test_every_picture_shows_the_numbers_of_the_library__analytic(visit):
    page = visit(everything=True)
    assert page.locator("figcaption").all_inner_texts() == [drawn.caption for drawn in AS_OPENED]
    for at, drawn in enumerate(AS_OPENED):
        figure = page.locator(".soilx-figure").nth(at)
        figure.get_by_text("The numbers of this chart").click()
        figure.get_by_role("row").nth(1).wait_for()
        assert figure.get_by_role("columnheader").all_inner_texts() == list(drawn.table.titles)
        body = [row.locator("th, td").all_inner_texts() for row in figure.locator("tbody tr").all()]
        assert body == [list(row) for row in drawn.table.rows]


def test_equations_are_set_and_none_is_wider_than_its_place__common_practice(visit):
    page = visit("phone", everything=True)
    equations = page.locator(".katex-display")
    equations.first.wait_for()
    assert equations.count() >= len(AS_OPENED)
    assert page.locator(".katex-error").count() == 0
    wide = "(all) => all.filter((one) => one.scrollWidth > one.clientWidth + 1).map((one) => one.textContent)"
    assert equations.evaluate_all(wide) == []


def test_no_picture_before_a_guess__common_practice(visit):
    page = visit()
    assert page.locator(".soilx-figure").count() == 0
    assert page.get_by_role("slider").count() == 0
    page.get_by_role("button", name=COMMIT).first.click()
    assert "Choose one answer first" in page.get_by_role("alert").first.inner_text()
    page.wait_for_timeout(300)
    assert page.locator(".soilx-figure").count() == 0


def test_a_wrong_guess_is_answered_and_stays_in_the_picture__common_practice(visit):
    page = visit()
    page.get_by_label("Half, as in the water").check()
    question = page.locator(".soilx-prediction").filter(has_text="Half, as in the water")
    question.get_by_role("button", name=COMMIT).click()
    shown(page, lesson.isotherm(sodium_share_pct=50).caption)
    reply = question.locator(".reply").inner_text()
    assert "does not hold" in reply
    assert "Clay does not mirror the water" in reply
    assert "About a tenth" in reply
    assert page.locator(".soilx-figure svg text").filter(has_text="your guess").count() >= 1
    assert page.get_by_label("Half, as in the water").is_checked()
    assert page.get_by_label("Half, as in the water").is_disabled()
    # The other questions are still open.
    assert page.locator(".soilx-figure").count() == 1
    assert page.get_by_role("button", name=COMMIT).count() == len(AS_OPENED) - 1


def test_a_guess_a_slider_and_a_typed_number_by_keyboard_alone__wcag22(visit):
    page = visit()
    for _ in range(40):
        page.keyboard.press("Tab")
        if focused(page).get_attribute("type") == "radio":
            break
    page.keyboard.press("Space")
    page.keyboard.press("ArrowDown")
    assert page.get_by_label("12: two for each calcium").is_checked()
    page.keyboard.press("Tab")
    assert focused(page).inner_text() == COMMIT
    assert focused(page).evaluate("(node) => getComputedStyle(node).outlineStyle") == "solid"
    page.keyboard.press("Enter")
    shown(page, lesson.sites(calcium=6).caption)
    # The buttons are gone, and the keyboard goes on from the reply.
    assert "Your guess holds." in focused(page).inner_text()
    for _ in range(5):
        page.keyboard.press("Tab")
        if focused(page).get_attribute("type") == "range":
            break
    assert focused(page).get_attribute("aria-label") == CALCIUM
    page.keyboard.press("ArrowRight")
    shown(page, lesson.sites(calcium=7).caption)
    page.keyboard.press("End")
    shown(page, lesson.sites(calcium=12).caption)
    page.keyboard.press("Tab")
    assert focused(page).get_attribute("aria-label") == f"{CALCIUM}, typed"
    page.keyboard.press("Control+A")
    page.keyboard.type("3")
    page.keyboard.press("Enter")
    shown(page, lesson.sites(calcium=3).caption)
    drawn = page.locator(".soilx-figure svg text")
    assert drawn.filter(has_text="Ca²⁺").count() == 3
    assert drawn.filter(has_text="Na⁺").count() == 24


def test_a_goal_counts_its_moves_and_ends__common_practice(visit):
    page = visit()
    question = page.locator(".soilx-prediction").filter(has_text="Clay with 24 sites")
    question.get_by_role("button", name=SKIP).click()
    shown(page, lesson.sites(calcium=6).caption)
    goal = page.locator(".soilx-goal")
    assert "Clear all 24 sites." in goal.inner_text()
    slider = page.get_by_role("slider", name=CALCIUM)
    slider.focus()
    page.keyboard.press("ArrowRight")
    goal.get_by_text("Moves made: 1").wait_for()
    # Several steps without a rest are one move.
    page.keyboard.press("ArrowRight")
    page.keyboard.press("End")
    goal.get_by_text("Moves made: 2").wait_for()
    assert "Reached in 2 moves." in goal.locator(".done").inner_text()
    goal.locator("summary").click()
    assert goal.get_by_role("listitem").all_inner_texts() == [
        "Calcium on the clay: 7 ions",
        "Calcium on the clay: 12 ions",
    ]
    goal.get_by_role("button", name="Try again").click()
    assert "Reached" not in goal.inner_text()


def test_a_picture_stays_in_place_while_its_slider_moves__common_practice(visit):
    page = visit()
    question = page.locator(".soilx-prediction").filter(has_text="You stir 10 g of gypsum")
    question.get_by_role("button", name=SKIP).click()
    shown(page, lesson.plateau(added_g_per_l=10).caption)
    drawing = page.locator(".soilx-figure svg").first.element_handle()
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
    page.get_by_role("slider", name="Gypsum stirred in, g/L").focus()
    for _ in range(9):
        page.keyboard.press("PageDown")
        page.wait_for_timeout(40)
    shown(page, "Dissolved: 1.00 g")
    assert drawing.evaluate("(svg) => svg.isConnected")
    assert page.evaluate("() => window.dimmed") == 0
    # Skipping leaves no mark of a guess.
    assert page.locator(".soilx-figure svg text").filter(has_text="your guess").count() == 0


def test_every_control_has_its_own_name_and_every_target_24_px__wcag22(visit):
    page = visit(everything=True)
    sliders = page.get_by_role("slider")
    names = [slider.get_attribute("aria-label") for slider in sliders.all()]
    assert len(set(names)) == len(names) == len(AS_OPENED)
    assert all(", " in name for name in names)
    for target in [*sliders.all(), *page.get_by_role("textbox").all()]:
        box = target.bounding_box()
        assert min(box["width"], box["height"]) >= 24
    page = visit()
    for target in [
        *page.locator(".soilx-prediction label").all(),
        *page.get_by_role("button", name=COMMIT).all(),
    ]:
        assert target.bounding_box()["height"] >= 24


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
def test_nothing_is_wider_than_the_page__wcag22(visit, size, scheme):
    page = visit(size, everything=True, color_scheme=scheme)
    width = SIZES[size][0]
    assert page.evaluate("() => document.getElementById('App').scrollWidth") <= width
    for part in page.locator(".soilx-figure svg, .soilx-control, .soilx-prediction").all():
        box = part.bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= width + 0.5
    # Words of a drawing stay inside it.
    cut = page.locator(".soilx-figure svg text").evaluate_all(
        """(all) => all.filter((one) => {
          const box = one.getBoundingClientRect(), sheet = one.ownerSVGElement.getBoundingClientRect();
          return box.width && (box.left < sheet.left - 1 || box.right > sheet.right + 1);
        }).map((one) => one.textContent)"""
    )
    assert cut == []
