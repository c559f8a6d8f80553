"""WCAG 2.2 A and AA on every page, by rule and by hand: names, keyboard, widths, charts, motion."""

from __future__ import annotations

import contextlib
import re
from dataclasses import dataclass, field

import pytest
from accessibility import FRAMEWORK, drawn_faults
from conftest import NOTEBOOKS, served

import soilx
from soilx import cli
from soilx.handouts.write import write_handout

pytestmark = pytest.mark.browser

DESK, PHONE = {"width": 1024, "height": 768}, {"width": 390, "height": 844}
# 512 px is what a window of 1024 px has left at 200 %.
NARROW = {"200 %": 512, "320 px": 320}
CODES = {"Course code": "SOIL-24", "Student code": "S07"}

# Of the whole page, widgets and their shadows included.
DEEP = """(() => {
  window.deep = (matches) => {
    const found = [];
    const visit = (node) => {
      if (node.matches?.(matches)) found.push(node);
      if (node.shadowRoot) visit(node.shadowRoot);
      for (const child of node.children) visit(child);
    };
    visit(document.documentElement);
    return found;
  };
  window.seen = (node) =>
    node.checkVisibility({ visibilityProperty: true }) && node.getClientRects().length > 0;
  window.focused = () => {
    let at = document.activeElement;
    while (at?.shadowRoot?.activeElement) at = at.shadowRoot.activeElement;
    return at;
  };
  window.said = (node) => node.getAttribute('aria-label') || node.labels?.[0]?.textContent
    || node.textContent.trim() || node.outerHTML.slice(0, 120);
})()"""
OPEN_FOLDS = "() => { for (const fold of deep('details')) fold.open = true; }"
COUNT = "() => deep('*').length + ' ' + deep('.soilx-figure[data-setting]').length"

# One radio of a group takes the keyboard, and the arrows go on from it.
STOPS = """() => {
  const groups = new Set();
  return deep('button, input, select, textarea, summary, a[href], [tabindex]').filter((one) => {
    if (one.tabIndex < 0 || one.disabled || !seen(one)) return false;
    if (one.type !== 'radio') return true;
    const key = one.name;
    const checked = deep('input[type=radio]').find((other) => other.name === key && other.checked);
    if ((checked ?? one) !== one || groups.has(key)) return false;
    groups.add(key);
    return true;
  });
}"""
# The browser goes on from where the focus was last, even when nothing has it.
FROM_THE_TOP = """() => {
  const top = document.createElement('span');
  top.tabIndex = -1;
  document.body.prepend(top);
  top.focus();
  top.remove();
}"""
MARK_STOPS = f"() => {{ window.stops = new Set(({STOPS})()); window.started = null; return stops.size; }}"
# What the focus is on now: whether it can be seen, and whether something lies over all of it.
AT = """() => {
  const at = focused();
  if (!at || at === document.body || at === document.documentElement) return { over: true };
  if (at === started) return { over: true };
  started ??= at;
  stops.delete(at);
  const style = getComputedStyle(at);
  const box = at.getBoundingClientRect();
  const points = [[0.5, 0.5], [0.1, 0.2], [0.9, 0.8], [0.1, 0.8], [0.9, 0.2]].map(([x, y]) =>
    [box.left + x * box.width, box.top + y * box.height]);
  const shows = points.some(([x, y]) => {
    let top = document.elementFromPoint(x, y);
    while (top?.shadowRoot?.elementFromPoint(x, y) && top !== top.shadowRoot.elementFromPoint(x, y))
      top = top.shadowRoot.elementFromPoint(x, y);
    return top && (at.contains(top) || top.contains(at));
  });
  const ring = style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
  return { over: false, said: said(at), ring, shows };
}"""

WIDER = """() => {
  const app = document.getElementById('App');
  const wide = Math.max(app?.scrollWidth ?? 0, document.documentElement.scrollWidth);
  const inScroller = (node) => {
    for (let at = node; at; at = at.parentElement ?? at.getRootNode().host)
      if (at.id !== 'App' && at !== document.documentElement && at !== document.body
          && /auto|scroll|hidden|clip/.test(getComputedStyle(at).overflowX)) return true;
    return false;
  };
  const out = deep('body *').filter((one) => seen(one) && !one.closest('svg, math, .katex')
    && one.getBoundingClientRect().right > innerWidth + 1 && !inScroller(one));
  return [wide > innerWidth ? `the page: ${wide} px` : null, ...out.map((one) =>
    `${one.tagName}.${one.className}: ${one.textContent.slice(0, 60)}`)].filter(Boolean);
}"""

# Chromium's tree of a native slider gives the bare number; what is read out is this text.
SLIDERS = """() => deep('input[type=range]').filter(seen).map((one) =>
  [one.getAttribute('aria-label'), one.getAttribute('aria-valuetext')])"""

ALL_TABS = """() => {
  const { dataset } = document.documentElement;
  if (dataset.soilxTab) dataset.soilxTab = 0;
}"""
FIGURES = """() => deep('.soilx-figure[data-setting]').filter(seen).map((figure) => {
  const drawing = figure.querySelector('[role=img]');
  const caption = figure.querySelector('figcaption');
  const table = figure.querySelector('details table');
  return {
    name: drawing.getAttribute('aria-label'),
    heading: figure.querySelector('h2, h3').textContent,
    described: drawing.getAttribute('aria-describedby') === caption.id,
    caption: caption.textContent,
    titles: [...(table?.tHead?.rows[0]?.cells ?? [])].map((cell) => cell.textContent),
    rows: table?.tBodies[0]?.rows.length ?? 0,
    ends: [...(table?.tBodies[0]?.rows ?? [])].every((row) => row.cells[0].scope === 'row'),
  };
})"""
# A drawing that is neither a chart of ours, nor hidden from readers, nor an equation with its MathML.
NAMELESS_DRAWINGS = """() => deep('svg, canvas').filter((one) => seen(one)
  && !one.closest('[aria-hidden=true], [role=img], .katex') && !one.getAttribute('aria-label')
  && !one.closest('button, a, summary')).map((one) => one.outerHTML.slice(0, 120))"""
MOVING = """() => deep('*').filter((one) => [null, '::before', '::after'].some((part) => {
  const style = getComputedStyle(one, part);
  const long = (text) => text.split(',').some((each) => parseFloat(each) > 0.001);
  return (style.animationName !== 'none' && long(style.animationDuration)) || long(style.transitionDuration)
    || style.scrollBehavior === 'smooth';
})).map((one) => one.outerHTML.slice(0, 120))"""


@dataclass
class Opened:
    """A page, and what it said and asked for that it should not have."""

    page: object
    name: str
    said: list[str] = field(default_factory=list)


def settled(page, *, figures=0):
    """Wait until a page has stopped growing and has so many charts."""
    page.locator(".soilx-screen").first.wait_for(timeout=90_000)
    before, calm = "", 0
    for _ in range(600):
        now = page.evaluate(COUNT)
        calm = calm + 1 if now == before and int(now.split()[1]) >= figures else 0
        if calm >= 4:
            return
        before = now
        page.wait_for_timeout(150)
    raise AssertionError(f"the page never came to rest with {figures} charts: {before}")


def lecture_states(page):
    """Asked; told; then each stage of the plain view, the new part alone; then all of it, folds open."""
    yield "asked", None
    page.get_by_role("button", name="Show me without a guess").first.click()
    settled(page, figures=2)
    yield "told", ".soilx-first"
    page.evaluate(OPEN_FOLDS)
    page.get_by_role("checkbox", name="Ask me first").click()
    for stage in range(2, 6):
        page.get_by_role("button", name="Next", exact=True).click()
        settled(page)
        yield f"stage {stage}", f".soilx-stage-{stage}:not(.soilx-kept)"
    page.evaluate(OPEN_FOLDS)
    yield "all of it, folds open", None


def whole_states(page):
    """All of it, folds open."""
    page.evaluate(OPEN_FOLDS)
    yield "folds open", None


def bench_states(page):
    """Each tab, folds open."""
    skip = page.get_by_role("button", name="Show me without a guess")
    for number, tab in enumerate(page.get_by_role("tab").all(), start=1):
        tab.click()
        settled(page)
        if skip.first.is_visible():
            yield f"tab {number}, asked", None
            skip.first.click()
            settled(page, figures=3)
        page.evaluate(OPEN_FOLDS)
        settled(page)
        yield f"tab {number}", None


def homework_states(page):
    """Without codes; a number asked for and answered wrong; a choice; a live column."""
    if page.get_by_role("textbox", name="Student code").input_value() == "":
        yield "no codes", None
        for name, text in CODES.items():
            page.get_by_role("textbox", name=name).fill(text)
            page.get_by_role("textbox", name=name).press("Enter")
        page.locator(".note", has_text="For S07 of SOIL-24").wait_for(timeout=20_000)
    for problem, figures in {"ppm-to-charge": 0, "gypsum-or-not": 0, "least-gypsum": 2}.items():
        page.get_by_role("combobox", name="Problem").select_option(problem)
        settled(page, figures=figures)
        page.get_by_role("button", name="Check").click()
        page.evaluate(OPEN_FOLDS)
        settled(page, figures=figures)
        yield problem, None


# Notebook: its address, the charts it opens with, the states it is looked at in.
PAGES = {
    "lecture": ("/", 0, lecture_states),
    "exchange": ("/?show=all", 10, whole_states),
    "field": ("/", 3, whole_states),
    "bench": ("/", 0, bench_states),
    "homework": ("/", 0, homework_states),
}


@pytest.fixture(scope="module", params=PAGES)
def notebook(request, browser):
    """One served notebook, opened once for all that is asked of it."""
    path, figures, _ = PAGES[request.param]
    with served(NOTEBOOKS / f"{request.param}.py") as address:
        context = browser.new_context(viewport=DESK, color_scheme="light", reduced_motion="reduce")
        context.add_init_script(DEEP)
        page = context.new_page()
        opened = Opened(page, request.param)
        page.on("pageerror", lambda error: opened.said.append(str(error)))
        page.on(
            "console",
            lambda message: opened.said.append(message.text) if message.type == "error" else None,
        )
        page.goto(address + path)
        settled(page, figures=figures)
        yield opened
        context.close()
        assert opened.said == []


@contextlib.contextmanager
def on(page, *, size=DESK, scheme="light"):
    """A page in another window and another light, until the block ends."""
    page.set_viewport_size(size)
    page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
    try:
        yield
    finally:
        page.set_viewport_size(DESK)
        page.emulate_media(color_scheme="light", reduced_motion="reduce")


def test_no_rule_of_axe_is_broken_in_any_state_by_day_or_on_a_phone_at_night__wcag22(notebook, axe):
    page = notebook.page
    found = {}
    states = PAGES[notebook.name][2]
    for state, part in states(page):
        for look, (size, scheme) in {"day": (DESK, "light"), "night": (PHONE, "dark")}.items():
            with on(page, size=size, scheme=scheme):
                broken = axe(page, part) + drawn_faults(page)
            if broken:
                found[state, look] = broken
    assert found == {}


def test_every_control_is_reached_by_tab_is_seen_there_and_lets_go__wcag22(notebook):
    page = notebook.page
    page.evaluate(OPEN_FOLDS)
    page.evaluate(FROM_THE_TOP)
    most = page.evaluate(MARK_STOPS) + 40
    ringless, hidden = [], []
    for _ in range(most):
        page.keyboard.press("Tab")
        at = page.evaluate(AT)
        if at["over"]:
            break
        if not at["ring"]:
            ringless.append(at["said"])
        if not at["shows"]:
            hidden.append(at["said"])
    else:
        raise AssertionError("Tab does not come to the end of the page")
    assert page.evaluate("() => [...stops].map(said)") == []
    assert ringless == []
    assert hidden == []


@pytest.mark.parametrize("look", NARROW)
def test_nothing_is_wider_than_a_narrow_window__wcag22(notebook, look):
    page = notebook.page
    found = {}
    with on(page, size={"width": NARROW[look], "height": 700}):
        for state, _ in PAGES[notebook.name][2](page) if notebook.name != "lecture" else [("all", None)]:
            page.evaluate(OPEN_FOLDS)
            page.wait_for_timeout(200)
            if wider := page.evaluate(WIDER):
                found[state] = wider
    assert found == {}


def controls(page):
    """Role and name of each control, as a screen reader is told."""
    session = page.context.new_cdp_session(page)
    nodes = session.send("Accessibility.getFullAXTree")["nodes"]
    session.detach()
    told = [(node.get("role", {}).get("value"), node) for node in nodes if not node["ignored"]]
    return [
        (role, str(node.get("name", {}).get("value", "")).strip()) for role, node in told if role in CONTROLS
    ]


CONTROLS = {
    "button", "checkbox", "combobox", "DisclosureTriangle", "link", "listbox", "menuitem", "progressbar",
    "radio", "searchbox", "slider", "spinbutton", "switch", "tab", "textbox",
}  # fmt: skip


def test_every_control_tells_its_name_and_its_value_with_a_unit__wcag22(notebook):
    page = notebook.page
    told = controls(page)
    assert len(told) >= 5
    assert [role for role, name in told if not name] == []
    assert [name for _, name in told if re.search("<|undefined|null|NaN", name)] == []
    sliders = page.evaluate(SLIDERS)
    assert {("slider", name) for name, _ in sliders} == {each for each in told if each[0] == "slider"}
    for name, value in sliders:
        quantity, unit = name.rsplit(", ", 1)
        assert quantity
        assert value.endswith(f" {unit}") or value == "nothing set yet", (name, value)
    assert len({name for name, _ in sliders}) == len(sliders)


def test_each_chart_has_a_name_a_summary_with_numbers_and_a_table__wcag22(notebook):
    page = notebook.page
    page.evaluate(OPEN_FOLDS)
    # Of tabs, 0 opens all.
    page.evaluate(ALL_TABS)
    page.wait_for_timeout(300)
    figures = page.evaluate(FIGURES)
    assert (
        len(figures) >= {"lecture": 9, "exchange": 10, "field": 3, "bench": 8, "homework": 2}[notebook.name]
    )
    for figure in figures:
        assert figure["name"] == figure["heading"] != ""
        assert figure["described"]
        assert re.search(r"\d", figure["caption"]) or figure["caption"].startswith("Nothing"), figure
        assert len(figure["titles"]) >= 2, figure
        assert figure["rows"] >= 1, figure
        assert figure["ends"]
    assert page.evaluate(NAMELESS_DRAWINGS) == []


def test_nothing_moves_by_itself_where_that_is_asked_for__wcag22(notebook):
    assert notebook.page.evaluate("() => matchMedia('(prefers-reduced-motion: reduce)').matches")
    assert notebook.page.evaluate(MOVING) == []


@pytest.fixture(scope="module")
def handouts(tmp_path_factory):
    """A page of a scenario and one of a notebook."""
    folder = tmp_path_factory.mktemp("handouts")
    sources = {"block_c": soilx.demo_path("block_c.toml"), "lecture": cli.offered_notebooks()["lecture"]}
    for name, source in sources.items():
        write_handout(source, folder / f"{name}.html")
    return folder


@pytest.mark.parametrize("name", ["block_c", "lecture"])
def test_handouts_break_no_rule_and_fit_a_narrow_window__wcag22(browser, handouts, axe, name):
    page = browser.new_page(viewport=DESK, reduced_motion="reduce")
    page.add_init_script(DEEP)
    page.goto((handouts / f"{name}.html").as_uri())
    page.wait_for_timeout(500)
    page.evaluate(OPEN_FOLDS)
    found = {}
    for look, (size, scheme) in {"day": (DESK, "light"), "night": (PHONE, "dark")}.items():
        with on(page, size=size, scheme=scheme):
            if broken := axe(page) + drawn_faults(page):
                found[look] = broken
    for look, width in NARROW.items():
        with on(page, size={"width": width, "height": 700}):
            if wider := page.evaluate(WIDER):
                found[look] = wider
    assert found == {}
    assert page.evaluate(MOVING) == []
    assert page.evaluate(NAMELESS_DRAWINGS) == []
    assert [role for role, name in controls(page) if not name] == []
    page.close()


SEEDED = """<!doctype html><html lang="en"><title>Seeded</title><main style="background:white"><h1>Faults</h1>
<style>button { width: 9px; height: 9px; padding: 0 }</style>
<div style="display:flex"><button>x</button><button>y</button></div>
<p style="color:#aaa">Pale.</p><div style="height:3000px"></div><p style="color:#bbb">Pale, and far down.</p>
<p>A field <input> without a name, and one <input aria-describedby="no where" aria-label="b"> lost.</p>
<svg width="200" height="40"><rect width="100" height="40" fill="#d55e00"/>
<text x="10" y="20" fill="#999">faint</text><text x="60" y="20" fill="black">on it</text>
<text x="120" y="20" fill="black">plain</text></svg></main></html>"""


def test_what_is_broken_on_purpose_is_found__analytic(browser, axe):
    page = browser.new_page(viewport=DESK)
    page.set_content(SEEDED)
    found = [(fault.rule, fault.markup) for fault in axe(page)]
    assert sum("Pale" in markup for rule, markup in found if rule == "color-contrast") == 2
    assert {"target-size", "label", "aria-valid-attr-value"} <= {rule for rule, _ in found}
    assert [fault.markup for fault in drawn_faults(page)] == ["faint"]
    assert page.viewport_size == DESK
    page.close()


def test_what_is_the_framework_s_is_listed_once_with_its_reason__common_practice():
    keys = [(each.rule, each.selector) for each in FRAMEWORK]
    assert len(set(keys)) == len(keys)
    assert all(len(each.reason) > 20 and "soilx" not in each.selector for each in FRAMEWORK)
