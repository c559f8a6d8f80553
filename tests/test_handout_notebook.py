"""Notebooks as handouts: their prose, charts and settings, none of their code, nothing that acts."""

import ast
import functools
import importlib.util
import itertools
import re
import sys
import textwrap

import pytest

from soilx import cli, wording
from soilx.errors import FileError
from soilx.handouts.notebook_page import notebook_page
from soilx.handouts.write import write_handout
from soilx.show import live
from tests.page_as_read import Page, check_structure

NOTEBOOKS = cli.offered_notebooks()
# Its column belongs to a problem, and nobody has given a code yet.
WITHOUT_CHARTS = {"homework"}


def notebook(tmp_path, *cells, title='app_title="A small one"'):
    """A notebook with these cells' bodies."""
    head = "import marimo\n\napp = marimo.App({})\n\nwith app.setup:\n    import marimo as mo\n"
    head += "    from soilx.show import live\n"
    bodies = [
        f"\n\n@app.cell\ndef _():\n{textwrap.indent(textwrap.dedent(cell), '    ')}\n" for cell in cells
    ]
    path = tmp_path / "small.py"
    path.write_text(head.format(title) + "".join(bodies), encoding="utf-8")
    return path


@functools.cache
def page_of(name):
    """The page of a notebook: that of the lecture has a grid, which takes its seconds."""
    return notebook_page(NOTEBOOKS[name])


def still(markup):
    """A page without what moves on it."""
    return re.sub(r'<script.*?</script>|<section class="live".*?</section>', "", markup, flags=re.DOTALL)


@pytest.fixture(scope="module", params=sorted(NOTEBOOKS))
def offered(request):
    return request.param, page_of(request.param)


def prose(path):
    """Every heading and item of a notebook's own prose that holds nothing computed."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    # What stands there on a condition, such as after a fit, may be absent.
    perhaps = {inside for node in ast.walk(tree) if isinstance(node, ast.IfExp) for inside in ast.walk(node)}
    for node in ast.walk(tree):
        if node not in perhaps and isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "md":
            (given,) = node.args
            if isinstance(given, ast.Constant):
                yield from (line.strip("# ").strip() for line in given.value.splitlines() if "#" in line[:20])


def test_a_notebooks_page_holds_its_prose_and_none_of_its_code__common_practice(offered):
    name, markup = offered
    check_structure(Page(markup), drawn=name not in WITHOUT_CHARTS)
    # The lecture's sliders are alive, and nothing but them.
    assert ('<section class="live"' in markup) is (name == "lecture")
    page = Page(still(markup))
    assert all(heading in page.words for heading in prose(NOTEBOOKS[name]))
    assert not {tag for tag, _ in page.elements} & {"script", "iframe", "link", "object", "input", "button"}
    assert not any(tag.startswith("marimo-") for tag, _ in page.elements)
    assert "live." not in page.words
    assert "return" not in page.words
    assert "||(" not in page.words
    assert "A part that moves is left out" not in page.words
    assert "Further charts" not in page.words
    assert "<tbody></tbody>" not in markup
    assert wording.CAUTION_RATE in page.words


def placed(found):
    """Everything in a notebook's definitions, whether it stands alone or in a collection."""
    for each in found:
        if isinstance(each, dict | tuple | list):
            yield from placed(each.values() if isinstance(each, dict) else each)
        else:
            yield each


def drawn(chart):
    """Whether a chart has anything on it; one of a fit that was not made has not."""
    return bool(chart.content) and any(chart.content["records"].values())


def test_every_chart_that_a_notebook_fills_is_on_its_page__common_practice(offered):
    name, markup = offered
    spec = importlib.util.spec_from_file_location(name, NOTEBOOKS[name])
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    _, shown = module.app.run()
    charts = [each for each in placed(shown.values()) if isinstance(each, live.DrawnChart) and drawn(each)]
    page = Page(markup)
    headings = [words for _, words in page.headings]
    assert bool(charts) is (name not in WITHOUT_CHARTS)
    for chart in charts:
        assert chart.heading in headings
    assert sum(each["class"] == "wide" for each in page.named("svg")) >= len(charts)


def test_the_lectures_page_says_what_its_screen_says__analytic():
    spec = importlib.util.spec_from_file_location("lecture", NOTEBOOKS["lecture"])
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    _, shown = module.app.run()
    # Paper cannot be asked for a guess: it shows the plain view.
    shown["stages"].widget.plain = True
    page = Page(page_of("lecture"))
    assert shown["sentence"].text in "".join(page.parts)
    for control in ("gypsum_rate", "water_volume"):
        set_to = shown[control].widget
        assert f"{set_to.quantity}: {set_to.value:.{set_to.digits}f} {set_to.unit}" in page.words
    tables = [row for each in page.tables for row in each["rows"]]
    for row in shown["columns"].content["table"]["rows"]:
        assert list(row) in tables


def test_components_of_a_notebook_are_written_out__analytic(tmp_path):
    page = Page(
        notebook_page(
            notebook(
                tmp_path,
                """
                mo.vstack([
                    mo.md("# A small one"),
                    mo.md("Inline $E_{Na}$ and\\n\\n$$a=b+c$$\\n\\n#### Deep"),
                    mo.md("| a | b |\\n|---|--:|\\n| x | 2 |"),
                    mo.accordion({"Why": mo.md("Because of **charge**.")}),
                    mo.ui.tabs({"First": mo.md("one"), "Second": mo.md("two")}),
                    mo.callout(mo.md("Mind the dust."), kind="warn"),
                    mo.stat(3.5, label="Rate"),
                    mo.ui.slider(0, 10, value=3, label="Water, cm"),
                    mo.ui.radio(["up", "down"], label="Which way?"),
                    mo.ui.dropdown(["Bed 7", "Lawn 2"], value="Lawn 2", label="Soil"),
                    mo.ui.checkbox(value=True, label="Drained"),
                    mo.ui.button(label="Next"),
                    live.Control("Depth", "cm", low=0, high=30, step=1, value=15, digits=0),
                ])
                """,
            )
        )
    )
    check = page.words
    for said in (
        "Why", "Because of charge.", "First", "one", "Second", "two", "Mind the dust.", "Rate: 3.5",
        "Water, cm: 3", "Which way? up down", "Soil: Lawn 2", "Drained: yes", "Depth: 15 cm",
    ):  # fmt: skip
        assert said in check
    assert "Next" not in check
    assert page.headings == [[1, "A small one"], [2, "Deep"]]
    assert len(page.named("math")) == 2
    assert page.tables[0]["rows"] == [["a", "b"], ["x", "2"]]
    assert {each["scope"] for each in page.named("th")} == {"col"}


def test_what_a_notebook_says_does_nothing__common_practice(tmp_path):
    page = Page(
        notebook_page(
            notebook(
                tmp_path,
                """
                mo.md('''## <script>alert(1)</script>Title <img src=x onerror=alert(2)>
                <iframe src="http://a.b"></iframe><a href="javascript:alert(3)" onclick="alert(4)">here</a>
                <a href="https://example.org/x">there</a> <svg onload=alert(5)><script>6</script></svg>
                <div style="background:url(http://a.b/c)" id="root">box</div><base href="http://a.b">
                <img alt="a picture" src="http://a.b/c.png"> <style>@import 'http://a.b'</style>''')
                """,
            )
        )
    )
    names = {tag for tag, _ in page.elements}
    assert not names & {"script", "iframe", "img", "svg", "base", "link"}
    written = [attributes for _, attributes in page.elements]
    assert not any(name.startswith("on") or name in {"src", "id"} for each in written for name in each)
    assert [each["href"] for each in page.named("a") if "href" in each] == ["https://example.org/x"]
    assert not any("url(" in value for each in written for value in each.values())
    assert "alert" not in page.words
    assert "[a picture]" in page.words


def test_a_chart_that_no_output_places_is_not_lost__common_practice(tmp_path):
    cell = """
        import soilx
        chart = live.soil_columns()
        scenario = soilx.read_scenario(soilx.demo_path("pair.toml"))
        chart.show(treated=soilx.leach(scenario), untreated=soilx.leach(scenario.without_gypsum()))
        mo.md("Text")
        """
    page = Page(notebook_page(notebook(tmp_path, cell)))
    assert [2, "Further charts"] in page.headings
    assert len(page.named("svg")) == 2


def test_questions_stand_open_and_are_answered_at_the_end__common_practice(tmp_path):
    path = notebook(
        tmp_path,
        """
        from soilx.show import lesson
        guess = lesson.Prediction(
            "Which way?",
            lesson.Choice(text="up", reply="It sinks.", right=False),
            lesson.Choice(text="down", reply="It does.", right=True),
        )
        lesson.screen(guess.shown, lesson.after(guess, mo.md("Behind the question")))
        """,
    )
    words = Page(notebook_page(path)).words
    assert "Question 1. Which way? up down Behind the question" in words.replace("  ", " ")
    assert words.index("Behind the question") < words.index("Answers")
    assert "up: It sinks." in words
    assert "down: right. It does." in words


def test_a_notebook_is_told_that_all_of_it_is_wanted__common_practice(tmp_path):
    before = list(sys.argv)
    cell = "mo.md('every stage' if mo.cli_args().get('show') == 'all' else 'the first stage')"
    assert "every stage" in Page(notebook_page(notebook(tmp_path, cell))).words
    assert sys.argv == before


@pytest.mark.parametrize(
    ("title", "first", "shown"),
    [
        ('app_title="Of the app"', "# Of the cell", "Of the app"),
        ("", "# Of the cell", "Of the cell"),
        ("", "## No first rank", "small"),
    ],
)
def test_a_notebooks_title_is_its_apps_or_its_first_heading__common_practice(tmp_path, title, first, shown):
    page = Page(notebook_page(notebook(tmp_path, f'mo.md("{first}\\n\\n### Deeper")', title=title)))
    levels = [level for level, _ in page.headings]
    assert page.headings[0] == [1, shown]
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))


def test_a_notebook_that_stops_is_refused_in_words__common_practice(tmp_path):
    with pytest.raises(FileError, match=r"stops with ZeroDivisionError: division by zero; a handout needs"):
        notebook_page(notebook(tmp_path, "1 / 0"))
    with pytest.raises(FileError, match="stops with SystemExit"):
        notebook_page(notebook(tmp_path, "raise SystemExit(0)"))


def test_a_program_that_is_no_notebook_is_not_run__common_practice(tmp_path):
    program = tmp_path / "program.py"
    program.write_text(
        "from pathlib import Path\nPath(__file__).with_name('ran').touch()\n", encoding="utf-8"
    )
    with pytest.raises(FileError, match="has no notebook in it"):
        write_handout(program, tmp_path / "page.html")
    program.write_text("what is this?", encoding="utf-8")
    with pytest.raises(FileError, match="it is not Python"):
        write_handout(program, tmp_path / "page.html")
    assert [path.name for path in tmp_path.iterdir()] == ["program.py"]


def test_the_hook_on_new_widgets_is_given_back__analytic(tmp_path):
    before = live.DrawnChart._widget_construction_callback
    notebook_page(notebook(tmp_path, 'mo.md("Text")'))
    assert live.DrawnChart._widget_construction_callback is before
