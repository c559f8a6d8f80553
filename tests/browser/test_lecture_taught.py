"""The taught path in a browser, by keyboard alone: guess, curve, numbers, why, through all five stages."""

import re

import pytest
from by_keyboard import FOCUSED, tab_to

import soilx
from soilx.show.contrasts import CONTRASTS, contrast_runs

pytestmark = pytest.mark.browser

SIZES = {"projector": (1024, 768), "phone": (390, 844), "narrow": (320, 640)}
RATE = "Gypsum rate, t/ha"
GUESS = "Your guess: exchangeable sodium with gypsum, %"
COMMIT, SKIP = "This is my guess", "Show me without a guess"
STAGES = 5


@pytest.fixture
def visit(browser, lecture_address):
    """A function that opens the taught path, and afterwards the proof that it said nothing on the console."""
    contexts, said = [], []

    def opened(size="projector", **options):
        width, height = SIZES[size]
        context = browser.new_context(viewport={"width": width, "height": height}, **options)
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
        page.on("pageerror", lambda error: said.append(str(error)))
        page.goto(lecture_address)
        page.locator(".soilx-figure[data-setting]").first.wait_for(timeout=30_000)
        page.locator(".soilx-guess .question", has_text="pore volumes").wait_for(timeout=10_000)
        page.locator(".soilx-desk").first.wait_for(state="attached", timeout=10_000)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert said == []


def step(page):
    """The stage that is open and its step, as the page marks them."""
    return page.evaluate(
        "() => [document.documentElement.dataset.soilxStage, "
        "document.documentElement.dataset.soilxStep].map(Number)"
    )


def layers(page):
    """What is written on the layers of both columns, where it can be seen."""
    texts = (
        page.locator(".soilx-figure")
        .first.locator("svg text")
        .evaluate_all(
            "(all) => all.filter((one) => getComputedStyle(one).opacity > 0).map((one) => one.textContent)"
        )
    )
    return [text for text in texts if re.fullmatch(r"\d+\.\d", text)]


def pair():
    """The pair that the page opens with."""
    soil = soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]
    treated = soilx.Scenario.of(soil=soil, gypsum="7.05 t/ha", wettings=["4 pore_volume"])
    return soilx.leach(treated), soilx.leach(treated.without_gypsum())


def wait_sentence(page, start):
    """Wait until the sentence under the sliders begins so."""
    page.locator(".soilx-sentence", has_text=re.compile(f"^{start}")).wait_for(
        state="attached", timeout=10_000
    )


def shot(page, folder, name):
    """A picture of the page, which stays as wide as its window."""
    width = page.viewport_size["width"]
    assert page.evaluate("() => document.getElementById('App').scrollWidth") <= width, name
    page.screenshot(path=folder / f"{name}.png")


def test_the_ten_minute_path_by_keyboard_alone__common_practice(visit, tmp_path):
    page = visit()
    treated, untreated = pair()
    assert step(page) == [1, 0]
    assert set(layers(page)) == {f"{treated.initial_esp_pct:.1f}"}
    shot(page, tmp_path, "1-asked")
    # Next does not pass by the question, and leads to it.
    tab_to(page, "Next")
    page.keyboard.press("Enter")
    assert step(page) == [1, 0]
    assert page.evaluate(FOCUSED)["name"] == GUESS
    tab_to(page, COMMIT)
    page.keyboard.press("Enter")
    page.get_by_role("alert").filter(has_text="Set a level first").wait_for()
    tab_to(page, GUESS, back=True)
    page.keyboard.press("Tab")
    page.keyboard.type("12.5")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    page.keyboard.press("ArrowDown")
    tab_to(page, COMMIT)
    page.keyboard.press("Enter")
    wait_sentence(page, "With 7.05")
    assert step(page) == [1, 1]
    assert page.evaluate(FOCUSED)["name"] == "Next"
    profile = page.locator(".soilx-figure").nth(1)
    profile.locator("svg text", has_text="your guess").first.wait_for()
    # The curve first, the numbers after it, then why.
    assert layers(page) == []
    assert not page.locator(".soilx-sentence").is_visible()
    shot(page, tmp_path, "1-curve")
    page.keyboard.press("Enter")
    page.locator(".soilx-sentence").wait_for()
    page.wait_for_timeout(200)
    ends = (treated.final_esp_pct, untreated.final_esp_pct)
    said = page.locator(".soilx-sentence").inner_text()
    assert [f"{end:.1f}" in said for end in ends] == [True, True]
    assert len(layers(page)) == 24
    off = f"{12.5 - treated.final_esp_pct:.1f} points less"
    assert off in page.locator(".soilx-guess .told").inner_text()
    assert not page.locator(".soilx-explain").is_visible()
    shot(page, tmp_path, "1-numbers")
    page.keyboard.press("Enter")
    page.locator(".soilx-explain").wait_for()
    tab_to(page, "Why did gypsum make the difference? Say it in your own words.")
    page.keyboard.type("<b>n</b> calcium takes the place")
    assert step(page) == [1, 3]
    shot(page, tmp_path, "1-why")
    page.keyboard.press("Shift+Tab")
    for stage in range(2, STAGES + 1):
        page.keyboard.press("n")
        assert step(page) == [stage, 0]
        shot(page, tmp_path, f"{stage}-asked")
        # Asked once more, the page leads to the first choice of this stage.
        page.keyboard.press("n")
        assert step(page) == [stage, 0]
        assert page.evaluate(FOCUSED)["type"] == "radio"
        page.keyboard.press("ArrowDown")
        page.keyboard.press("Tab")
        assert page.evaluate(FOCUSED)["name"] == COMMIT
        page.keyboard.press("Enter")
        page.wait_for_timeout(250)
        assert step(page) == [stage, 1]
        section = page.locator(f".soilx-stage-{stage}:not(.soilx-kept)").first
        assert section.locator(".soilx-figure").count() == section.locator(".soilx-figure:visible").count()
        assert not section.locator(".reply").is_visible()
        shot(page, tmp_path, f"{stage}-curve")
        page.keyboard.press("n")
        page.keyboard.press("n")
        section.locator(".reply").wait_for()
        shot(page, tmp_path, f"{stage}-why")
    page.keyboard.press("n")
    assert step(page) == [STAGES, 3]
    assert len(list(tmp_path.iterdir())) == 4 + 3 * (STAGES - 1)


def test_keys_act_while_nobody_types_and_can_be_turned_off__wcag22(visit):
    page = visit()
    page.keyboard.press("h")
    assert page.evaluate(FOCUSED)["name"] == GUESS
    tab_to(page, SKIP)
    page.keyboard.press("Enter")
    wait_sentence(page, "With 7.05")
    assert step(page) == [1, 3]
    page.keyboard.press("h")
    assert step(page) == [1, 0]
    wait_sentence(page, "No water yet")
    page.keyboard.press("h")
    assert step(page) == [1, 3]
    wait_sentence(page, "With 7.05")
    page.keyboard.press("3")
    page.get_by_role("heading", level=1).filter(has_text="Lawn 2").wait_for()
    wait_sentence(page, "With 0.33")
    page.keyboard.press("1")
    wait_sentence(page, "With 7.05")
    tab_to(page, RATE)
    page.keyboard.press("k")
    page.locator(".soilx-keep li").filter(has_text="7.05 t/ha").wait_for()
    page.keyboard.press("PageUp")
    wait_sentence(page, "With 9.05")
    page.evaluate("() => (window.began = performance.now())")
    page.keyboard.press("r")
    wait_sentence(page, "With 7.05")
    assert page.evaluate("() => performance.now() - window.began") < 1000
    page.keyboard.press("Tab")
    page.keyboard.type("kndhl3")
    page.keyboard.press("Escape")
    assert step(page) == [1, 3]
    assert page.locator(".soilx-keep li").count() == 1
    assert page.get_by_role("heading", level=1).inner_text().startswith("Block C")
    tab_to(page, "Remove curve A")
    page.keyboard.press("Enter")
    page.locator(".soilx-keep li").wait_for(state="detached")
    page.keyboard.press("d")
    assert page.evaluate("() => getComputedStyle(document.body).colorScheme") == "dark"
    small = page.locator(".soilx-sentence").bounding_box()["height"]
    page.keyboard.press("l")
    assert page.locator(".soilx-sentence").bounding_box()["height"] > 1.2 * small
    page.keyboard.press("l")
    tab_to(page, "For the lecturer", back=True)
    page.keyboard.press("Enter")
    tab_to(page, "Keys work while nobody types")
    listed = page.locator(".soilx-desk kbd").all_inner_texts()
    assert listed == [*"nbhrkpld", *"12345"]
    page.keyboard.press("Space")
    page.keyboard.press("b")
    page.keyboard.press("3")
    page.wait_for_timeout(200)
    assert step(page) == [1, 3]
    assert page.get_by_role("heading", level=1).inner_text().startswith("Block C")


def test_one_thing_changes_at_a_time_and_the_moves_are_listed__common_practice(visit):
    page = visit()
    page.get_by_role("button", name=SKIP).first.click()
    page.locator("summary", has_text="Change the soil").click()
    tab_to(page, "Change one thing at a time")
    page.keyboard.press("Space")
    tab_to(page, RATE, back=True)
    page.keyboard.press("PageUp")
    page.locator(".soilx-moves").get_by_text("Only “Gypsum rate” moves now").wait_for()
    water = page.get_by_role("slider", name="Water, pore volumes")
    assert water.is_disabled()
    assert page.get_by_role("combobox", name="Water applied").is_disabled()
    assert page.get_by_role("combobox", name="Read the gypsum rate in").is_enabled()
    assert page.get_by_role("slider", name=RATE).is_enabled()
    page.keyboard.press("2")
    page.keyboard.press("r")
    wait_sentence(page, "With 7.05")
    assert water.is_enabled()
    page.locator(".soilx-moves summary").click()
    listed = page.locator(".soilx-moves li").all_inner_texts()
    assert listed == ["Gypsum rate: 9.05 t/ha", "Put everything back"]


def test_the_plain_view_asks_nothing_and_hides_nothing__common_practice(visit):
    page = visit()
    tab_to(page, "Ask me first (off: the plain view)")
    page.keyboard.press("Space")
    wait_sentence(page, "With 7.05")
    assert page.locator(".soilx-sentence").is_visible()
    assert page.locator(".soilx-figure:visible").count() == 2
    assert not page.locator(".soilx-guess").is_visible()
    page.keyboard.press("n")
    page.locator(".soilx-stage-2 .soilx-figure").nth(3).wait_for()
    assert page.locator(".soilx-prediction:visible").count() == 1
    page.keyboard.press("b")
    page.keyboard.press("Space")
    wait_sentence(page, "No water yet")
    assert page.locator(".soilx-guess").is_visible()


def test_the_rooms_votes_are_bars_and_what_is_typed_does_nothing__common_practice(visit):
    page = visit()
    page.locator(".soilx-guess .soilx-votes summary").click()
    for text, count in (("0 to 5 %", "3"), ("5 to 10 %", "12"), ("10 to 15 %", "<b>1</b>")):
        page.get_by_role("textbox", name=f"Votes for: {text}").fill(count[:4])
    rows = page.locator(".soilx-guess .soilx-votes li")
    assert rows.nth(0).locator(".said").inner_text() == "3 of 15"
    assert rows.nth(1).locator(".said").inner_text() == "12 of 15"
    assert rows.nth(2).locator(".said").inner_text() == "type a whole number"
    assert page.locator(".soilx-votes .holds").count() == 0
    page.get_by_role("button", name=SKIP).first.click()
    page.locator(".soilx-guess .soilx-votes .holds").wait_for()
    assert "5 to 10 %" in page.locator(".soilx-guess .soilx-votes .holds").inner_text()
    page.locator(".soilx-explain textarea").fill("<img src=x onerror=alert(1)>" * 3)
    page.wait_for_timeout(200)
    assert page.locator("img[src=x]").count() == 0


def test_a_contrast_is_one_press_and_its_rule_another__common_practice(visit, tmp_path):
    page = visit()
    tab_to(page, "Two soils, one difference")
    page.keyboard.press("Enter")
    for at, one in enumerate(CONTRASTS):
        tab_to(page, one.name, back=at > 0)
        page.keyboard.press("Enter")
        runs = contrast_runs(at)
        figure = page.locator(f".soilx-figure[data-setting='{one.name}']")
        figure.wait_for(timeout=10_000)
        assert page.locator(".soilx-contrasts .question").inner_text() == one.question
        assert page.locator(".soilx-contrasts .rule").inner_text() == ""
        drawn = figure.locator("svg text").all_text_contents()
        names = [text for text in drawn if text in runs]
        assert names == list(runs)
        for run in runs.values():
            assert any(f"{run.final_esp_pct:.1f} %" in text for text in drawn)
        tab_to(page, "Show the rule")
        page.keyboard.press("Enter")
        assert page.locator(".soilx-contrasts .rule").inner_text() == one.rule
    shot(page, tmp_path, "contrast")


def test_a_guess_that_is_no_level_is_one_calm_sentence__common_practice(visit):
    page = visit()
    typed = page.get_by_role("textbox", name=f"{GUESS}, typed")
    for text in ("31", "-1", "much", "1e999", "🌱", "x" * 5000, "<script>alert(1)</script>", "import os"):
        typed.fill(text)
        page.get_by_role("button", name=COMMIT).first.click()
        assert "0 to 30 %" in page.locator(".soilx-guess .refusal").inner_text()
        assert step(page) == [1, 0]
        page.locator(".soilx-guess .range").first.press("ArrowRight")
        assert page.locator(".soilx-guess .refusal").inner_text() == ""


@pytest.mark.parametrize(("size", "scheme"), [*((size, "light") for size in SIZES), ("phone", "dark")])
def test_the_question_fits_every_screen__wcag22(visit, size, scheme, tmp_path):
    page = visit(size, color_scheme=scheme)
    shot(page, tmp_path, f"{size}-{scheme}-asked")
    if size == "projector":
        asking = page.locator(".soilx-guess").bounding_box()
        assert asking["y"] + asking["height"] <= SIZES[size][1]
    for target in page.locator(".soilx-guess :is(button, input, summary):visible").all():
        box = target.bounding_box()
        # A radio's target is its whole label.
        least = 18 if target.get_attribute("type") == "radio" else 24
        assert min(box["width"], box["height"]) >= least
    page.get_by_role("button", name=SKIP).first.click()
    page.locator(".soilx-explain").wait_for()
    shot(page, tmp_path, f"{size}-{scheme}-why")


def test_large_type_is_no_wider_than_small_screens__wcag22(browser, lecture_address):
    context = browser.new_context(viewport={"width": 800, "height": 1000})
    page = context.new_page()
    page.goto(f"{lecture_address}/?show=all")
    page.locator(".soilx-figure[data-setting]").nth(8).wait_for(timeout=30_000)
    page.get_by_text("For the lecturer").click()
    usual = page.locator(".soilx-head").first.evaluate("(head) => head.getBoundingClientRect().height")
    page.get_by_label("large, for the back row").check()
    assert page.evaluate("() => document.documentElement.dataset.soilxSize") == "large"
    for width, height in ((800, 1000), (390, 844), (320, 640)):
        page.set_viewport_size({"width": width, "height": height})
        page.wait_for_timeout(500)
        wide = page.evaluate("() => document.getElementById('App').scrollWidth - window.innerWidth")
        assert wide <= 0, width
        if width == 800:
            large = page.locator(".soilx-head").first.evaluate(
                "(head) => head.getBoundingClientRect().height"
            )
            assert large > 1.15 * usual
    context.close()
