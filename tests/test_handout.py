"""Handouts: every number of the pair, every caution, nothing that loads or runs, whoever typed the names."""

import ast
import base64
import datetime as dt
import importlib.util
import inspect
import itertools
import json
import re
import sys
import textwrap
from html.parser import HTMLParser

import pytest

import soilx
from soilx import cli, sources, wording
from soilx.column.scenario_toml import scenario_from_toml
from soilx.errors import FileError
from soilx.handouts.equations import citations, equations
from soilx.handouts.notebook_page import notebook_page
from soilx.handouts.page_parts import equation
from soilx.handouts.page_table import MOST_ROWS, ROWS_IN_A_BLOCK, table
from soilx.handouts.page_text import text
from soilx.handouts.scenario_page import PAIR_CHARTS, scenario_page, write_handout
from soilx.handouts.still_drawing import NARROW, WIDE, drawing
from soilx.show import live, stage_views
from soilx.show.marks import TREATED, UNTREATED
from soilx.show.tables import NumberTable

DEMOS = sorted(
    path
    for path in soilx.demo_path("pair.toml").parent.glob("*.toml")
    if not path.name.startswith("decision_")
)
NOTEBOOKS = cli.offered_notebooks()
# Its column belongs to a problem, and nobody has given a code yet.
WITHOUT_CHARTS = {"homework"}
DAY = dt.date(2025, 3, 9)
HOSTILE = {
    "script": "<script>alert(1)</script>",
    "broken out of": "\"><img src=x onerror=alert(1)></title></style><iframe src='http://a.b'>",
    "entity": "&lt;b&gt; &amp; &#x3c;script&#x3e;",
    "right to left": "שדה 7 של עמק",
    "turned round": "\u202eC kcolB\u2066 \u200f",
    "emoji": "Block \N{SEEDLING}\N{ZERO WIDTH JOINER}\N{BROWN HEART}\N{VARIATION SELECTOR-16}",
    "long": "Block" * 60,
    "control": "Block\u0001 C\u007f",
}
LINES = {
    "p",
    "li",
    "div",
    "td",
    "th",
    "tr",
    "caption",
    "h1",
    "h2",
    "h3",
    "h4",
    "h5",
    "h6",
    "text",
    "figcaption",
}
VOID = {"meta", "br", "hr", "img", "link", "input"}


class Page(HTMLParser):
    """A page as its elements: names, attributes, headings, tables and text."""

    def __init__(self, markup):
        super().__init__(convert_charrefs=True)
        self.elements, self.headings, self.tables, self.open = [], [], [], []
        self.parts, self.whole, self.drawn = [], "", []
        self.feed(markup)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)
        if tag in LINES:
            self.parts.append(" ")
        if re.fullmatch("h[1-6]", tag):
            self.headings.append([int(tag[1]), ""])
        elif tag == "table":
            self.tables.append({"caption": "", "whole": self.whole, "rows": []})
        elif tag == "p":
            self.whole = ""
        elif tag == "svg":
            self.drawn.append([])
        elif tag == "tr":
            self.tables[-1]["rows"].append([])
        elif tag in {"td", "th"}:
            self.tables[-1]["rows"][-1].append("")

    def handle_startendtag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        assert self.open.pop() == tag, f"</{tag}> closes something else"

    def handle_data(self, data):
        self.parts.append(data)
        if "svg" in self.open:
            self.drawn[-1].append(data)
        if {"td", "th"} & set(self.open):
            self.tables[-1]["rows"][-1][-1] += data
        elif "caption" in self.open:
            self.tables[-1]["caption"] += data
        elif self.elements[-1:] == [("p", {"class": "caption"})]:
            self.whole = data
        for level in "123456":
            if f"h{level}" in self.open:
                self.headings[-1][1] += data

    @property
    def words(self):
        return " ".join("".join(self.parts).split())

    def named(self, tag):
        return [attributes for name, attributes in self.elements if name == tag]

    def rows(self, caption):
        """The rows below the head of the one table whose caption begins so, of all its parts together."""
        found = [
            each
            for each in self.tables
            if each["caption"].startswith(caption)
            or (each["caption"].startswith("Part ") and each["whole"].startswith(caption))
        ]
        assert found
        assert len(found) == 1 or all(each["caption"].startswith("Part ") for each in found)
        return [row for each in found for row in each["rows"][1:]]


@pytest.fixture(scope="module", params=DEMOS, ids=lambda path: path.stem)
def demo(request):
    """A demo scenario with its page and what `soilx leach --json` says of it."""
    scenario = soilx.read_scenario(request.param)
    sides = {
        "treated": soilx.leach(scenario).summary(),
        "untreated": soilx.leach(scenario.without_gypsum()).summary(),
    }
    return scenario, Page(scenario_page(scenario, made_on=DAY)), json.loads(cli.to_json(sides))


@pytest.fixture(scope="module")
def block_c():
    return soilx.read_scenario(soilx.demo_path("block_c.toml"))


def named(name, **changes):
    """Block C under another name, quickly run."""
    soil = soilx.read_scenario(soilx.demo_path("block_c.toml")).soil
    typed = {**dict(soil.typed), "name": name}
    given = {"gypsum": "7.05 t/ha", "wettings": ["1.5 pore_volume"], "title": name, **changes}
    return soilx.Scenario.of(soilx.Soil.of(**typed), **given)


def printed(value, digits):
    """A number as the page prints it: next to nothing is not nothing, and no number is a dash."""
    if value is None:
        return "–"
    return f"<{10**-digits:g}" if 0 < value < 10**-digits / 2 else f"{value:.{digits}f}"


def test_the_pairs_figures_are_those_of_leach_json__analytic(demo):
    _, page, sides = demo
    rows = {name: cells for name, *cells in page.rows("Both columns")}
    for row, key, digits in (
        ("Exchangeable sodium, start, % of CEC", "initial_esp_pct", 1),
        ("Exchangeable sodium, end, % of CEC", "final_esp_pct", 1),
        ("Sodium, start, mg/kg", "sodium_initial_mg_per_kg", 0),
        ("Sodium, brought by the water, mg/kg", "sodium_added_mg_per_kg", 0),
        ("Sodium, leached, mg/kg", "sodium_leached_mg_per_kg", 0),
        ("Sodium, left, mg/kg", "sodium_left_mg_per_kg", 0),
        ("Gypsum left, g/kg", "gypsum_left_g_per_kg", 2),
        ("Sodium displaced per calcium dissolved, by charge", "exchange_efficiency", 2),
    ):
        assert rows[row] == [printed(side[key], digits) for side in sides.values()], row


def test_every_portion_is_that_of_leach_json__analytic(demo):
    _, page, sides = demo
    keys = (
        ("volume_l_per_kg", 3),
        ("na_mmol_per_l", 2),
        ("ca_mmol_per_l", 2),
        ("ec_ds_per_m", 2),
        ("sar", 1),
    )
    rows = page.rows("Leachate at equal water")
    for arm, side in zip((TREATED, UNTREATED), sides.values(), strict=True):
        shown = [row[2:] for row in rows if row[1] == arm]
        told = [
            [*(printed(portion[key], digits) for key, digits in keys), portion["clarity"]]
            for portion in side["portions"]
        ]
        assert shown == told


def test_layers_defaults_and_closing_errors_are_those_of_leach_json__analytic(demo):
    scenario, page, sides = demo
    layers = page.rows("The numbers of this chart: Exchangeable sodium by depth")
    for column, side in enumerate(sides.values(), start=1):
        shown = [float(row[column]) for row in layers]
        # Half the last digit, and half of the third decimal that a chart's records are rounded to before.
        assert shown == pytest.approx(side["final_esp_by_layer_pct"], abs=0.0055)
    assert page.rows("Defaults in use") == [
        ["".join(Page(text(part)).parts) for part in (name.replace("_", " "), value)]
        for name, value in sides["treated"]["defaults"].items()
    ]
    for arm, side in zip((TREATED, UNTREATED), sides.values(), strict=True):
        errors = [row[-1] for row in page.rows(f"Balance of the column: {arm}")]
        assert errors == [f"{error:.0e}" if error else "0" for error in side["closing_error"].values()]
    assert scenario.defaults.keys() == sides["treated"]["defaults"].keys()


def test_the_rate_and_the_water_stand_in_every_unit__analytic(demo):
    scenario, page, _ = demo
    rate = dict(page.rows("The same rate in four units"))
    t_per_ha, soil = float(rate["t/ha"]), scenario.soil
    # Digits of the page: half of the last one, carried through the exact factors.
    assert float(rate["short ton/acre"]) == pytest.approx(t_per_ha / 2.2417, abs=0.0075)
    assert float(rate["lb/1000 ft²"]) == pytest.approx(t_per_ha * 20.482, abs=0.16)
    mass = soil.bulk_density * soil.depth / 10 * 0.1
    assert float(rate["g/kg of soil"]) == pytest.approx(t_per_ha / mass, abs=0.006 / mass + 0.005)
    last = page.rows("Water applied")[-1]
    assert last[2] == f"{scenario.volume / soil.drained_water:.2f}"
    assert float(last[3]) == pytest.approx(scenario.volume * soil.bulk_density * soil.depth / 10, abs=0.05)


def test_every_caution_and_what_is_left_out_is_said__common_practice(demo):
    _, page, _ = demo
    for said in (*wording.ALL_CAUTIONS, wording.MODEL_LEAVES_OUT, wording.CLARITY_IS_A_BAND):
        assert " ".join(said.split()) in page.words
    assert page.words.index(wording.CAUTION_RATE) < page.words.index("The same rate in four units")
    assert wording.INVENTED_DATA in page.words


def test_a_soil_of_ones_own_is_not_called_invented__analytic():
    page = Page(scenario_page(named("Somewhere"), made_on=DAY))
    assert wording.INVENTED_DATA not in page.words
    assert wording.DEIONISED_IS_HARSH in page.words


def test_sources_stand_with_their_labels__common_practice(demo):
    scenario, page, _ = demo
    keys = {key for one in equations(scenario) for key in one.sources}
    assert keys
    for key in keys:
        assert sources.cite(key) in page.words
        assert f"[{sources.SOURCES[key].label}]" in page.words
    assert wording.RECALLED_MEANS in page.words


def test_the_scenario_travels_in_the_page__analytic(demo):
    scenario, page, _ = demo
    (link,) = (each for each in page.named("a") if "download" in each)
    head, coded = link["href"].split(",", 1)
    assert head.startswith("data:")
    assert scenario_from_toml(base64.b64decode(coded).decode("utf-8")) == scenario


def test_nothing_runs_and_nothing_loads__common_practice(demo):
    _, page, _ = demo
    names = {tag for tag, _ in page.elements}
    assert not names & {
        "script",
        "iframe",
        "link",
        "object",
        "embed",
        "img",
        "form",
        "input",
        "audio",
        "video",
    }
    for _, attributes in page.elements:
        assert not any(name.startswith("on") for name in attributes)
        for name in ("src", "href", "xlink:href", "action", "data", "srcset", "poster"):
            if name in attributes:
                assert attributes[name].startswith(("data:", "#"))
        for value in attributes.values():
            assert "url(" not in (value or "") or "url(#" in value
    (policy,) = (each["content"] for each in page.named("meta") if each.get("http-equiv"))
    assert "default-src 'none'" in policy
    style = re.search(r"<style>(.*?)</style>", scenario_page(demo[0]), re.DOTALL)[1]
    assert "url(" not in style
    assert "@import" not in style


def test_headings_tables_figures_and_language_are_marked_up__wcag22(demo):
    _, page, _ = demo
    assert page.elements[0] == ("html", {"lang": "en"})
    check_structure(page)


def check_structure(page, *, drawn=True):
    """One first heading, no rank left out, every drawing named with its numbers, no name given twice."""
    levels = [level for level, _ in page.headings]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))
    assert all(words.strip() for _, words in page.headings)
    drawings = page.named("svg")
    assert bool(drawings) is drawn
    for each in drawings:
        assert each["role"] == "img"
        assert re.search(r"\d", each["aria-label"])
    own = [each["id"] for _, each in page.elements if "id" in each]
    assert len(own) == len(set(own))
    assert all(each.get("scope") in {"row", "col"} for each in page.named("th"))


def test_tables_of_the_page_have_captions__wcag22(demo):
    _, page, _ = demo
    assert all(each["caption"] for each in page.tables)


def test_every_chart_of_a_pair_is_on_the_page__common_practice(demo):
    _, page, _ = demo
    offered = [
        name
        for room in (live, stage_views)
        for name, made in vars(room).items()
        if inspect.isfunction(made)
        and made.__module__ == room.__name__
        and inspect.signature(made).return_annotation == "LiveChart"
    ]
    # A chart that the screens have and the page has not is one missing line in PAIR_CHARTS; one of them is
    # drawn for four quantities.
    assert len(PAIR_CHARTS) == len(offered) + 3
    wide = [each for each in page.named("svg") if each["class"] == "wide"]
    narrow = [each for each in page.named("svg") if each["class"] == "narrow"]
    assert len(wide) == len(narrow) == len(PAIR_CHARTS)
    assert len({each["aria-label"] for each in wide}) == len(PAIR_CHARTS)
    assert {float(each["width"]) for each in wide} == {WIDE}
    assert {float(each["width"]) for each in narrow} == {NARROW}


def test_the_drawn_columns_carry_each_layers_number__analytic(demo):
    _, page, sides = demo
    drawn = [float(part) for part in page.drawn[0] if re.fullmatch(r"\d+\.\d", part)]
    told = [esp for side in sides.values() for esp in side["final_esp_by_layer_pct"]]
    # Half the last digit, and half of the third decimal that a chart's records are rounded to before.
    assert drawn == pytest.approx(told, abs=0.0505)
    assert page.drawn[0] == page.drawn[1]


@pytest.mark.parametrize("name", HOSTILE.values(), ids=HOSTILE)
def test_names_do_nothing_but_be_read__common_practice(name):
    scenario = named(name)
    page = Page(scenario_page(scenario, made_on=DAY))
    plain = Page(scenario_page(named("Block"), made_on=DAY))
    assert {tag for tag, _ in page.elements} <= {tag for tag, _ in plain.elements} | {"bdi"}
    seen = re.sub("[\u202e\u2066\u200f\u0001\u007f]", "\N{REPLACEMENT CHARACTER}", name)
    assert " ".join(seen.split()) in " ".join(page.headings[0][1].split())
    assert not re.search("[\u202a-\u202e\u2066-\u2069]", page.words)
    (link,) = (each for each in page.named("a") if "download" in each)
    assert re.fullmatch(r"[a-z0-9_]{1,40}\.toml", link["download"])
    coded = link["href"].split(",", 1)[1]
    assert dict(scenario_from_toml(base64.b64decode(coded).decode("utf-8")).soil.typed)["name"] == name
    check_structure(page)


def test_right_to_left_script_keeps_to_itself__common_practice():
    assert text("שדה של עמק, 15 cm") == "<bdi>שדה של עמק</bdi>, 15 cm"
    assert text("\u202e15 cm") == "\N{REPLACEMENT CHARACTER}15 cm"


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("24 cmol_c/kg", "24 cmol<sub>c</sub>/kg"),
        ("K_Na = 0.0148 (mmol/L)^-½", "K<sub>Na</sub> = 0.0148 (mmol/L)<sup>−½</sup>"),
        ("plot_c, displaced_fraction", "plot_c, displaced_fraction"),
    ],
)
def test_units_are_set_as_in_print__common_practice(typed, written):
    assert text(typed) == written


def test_a_long_table_stands_in_blocks_and_a_longer_one_says_which_rows_it_shows__analytic():
    def numbers(count):
        return NumberTable(titles=("row", "value"), rows=tuple((f"{at}", f"{at}.5") for at in range(count)))

    blocks = Page(table(numbers(3 * ROWS_IN_A_BLOCK), caption="Long")).tables
    assert [len(each["rows"]) - 1 for each in blocks] == [ROWS_IN_A_BLOCK] * 3
    assert [row for each in blocks for row in each["rows"][1:]] == [
        list(row) for row in numbers(3 * ROWS_IN_A_BLOCK).rows
    ]
    thinned = Page(table(numbers(3 * MOST_ROWS), caption="Longer"))
    shown = [row[0] for each in thinned.tables for row in each["rows"][1:]]
    assert shown == [f"{at}" for at in range(2, 3 * MOST_ROWS, 3)]
    assert f"row 3, 6, … of {3 * MOST_ROWS}" in thinned.words
    assert Page(table(numbers(0), caption="None")).tables[0]["rows"] == [["row", "value"]]


def test_equations_are_mathml_and_what_is_not_known_is_shown_as_typed__analytic():
    assert re.match(r'<div class="formula"><math [^>]*display="block">', equation(r"\frac{a}{b}"))
    assert equation("x", block=False).startswith("<math ")
    assert equation("x_a_b") == "<code>x_a_b</code>"
    for text_of_it in ("<script>alert(1)</script>", "<![CDATA[><script>alert(1)</script>]]>", "a < b & c"):
        assert {tag for tag, _ in Page(equation(rf"\text{{{text_of_it}}}")).elements} <= {
            "code",
            "div",
            "math",
            "mrow",
            "mtext",
        }


def test_every_equation_is_set__analytic(demo):
    scenario, page, _ = demo
    used = equations(scenario)
    assert len(page.named("math")) == len(used)
    headings = [words for _, words in page.headings]
    assert all(one.name in headings for one in used)
    assert ("Gypsum that dissolves slowly" in headings) == (scenario.dissolution == "first_order")
    assert citations(("ussl1954", "ussl1954")) == citations(("ussl1954",))


def test_a_drawing_keeps_shapes_alone__common_practice():
    spec = {
        "data": {"values": [{"x": 1, "t": "<script>alert(1)</script>", "u": "http://a.b/c.png"}]},
        "layer": [
            {
                "mark": {"type": "point", "clip": True},
                "encoding": {"x": {"field": "x", "type": "quantitative"}},
            },
            {"mark": "text", "encoding": {"text": {"field": "t"}, "href": {"field": "u"}}},
        ],
    }
    one, two = (drawing(spec, {}, number=number) for number in (1, 2))
    assert one.wide != two.wide
    marks = Page(f"<svg>{one.wide[2]}</svg>")
    assert not {tag for tag, _ in marks.elements} & {"script", "image", "a"}
    assert "<script>alert(1)</script>" in marks.words
    assert not any("href" in attributes for _, attributes in marks.elements)


def test_the_page_says_when_and_with_what_it_was_made__analytic(block_c):
    page = Page(scenario_page(block_c, made_on=DAY))
    assert "Made on 9 March 2025 with soilx" in page.words


def test_the_same_scenario_makes_the_same_page__analytic(block_c):
    assert scenario_page(block_c, made_on=DAY) == scenario_page(block_c, made_on=DAY)


def test_a_scenario_without_a_title_is_called_by_its_soil__analytic(block_c):
    page = Page(scenario_page(block_c.with_(title=None), made_on=DAY))
    assert page.headings[0][1] == "Block C: with gypsum and without"


def test_water_that_only_wets_the_soil_makes_a_page_too__analytic(block_c):
    page = Page(scenario_page(block_c.with_(wettings=["0.3 pore_volume"]), made_on=DAY))
    assert "Nothing has drained yet" in page.words
    assert all(row[2:] == ["0.000", "–", "–", "–", "–", "no leachate"] for row in page.rows("Leachate at"))


# The command


def run(*arguments):
    return cli.run_command([str(argument) for argument in arguments])


def test_the_command_writes_the_page_and_replaces_an_older_one__analytic(tmp_path, capsys):
    page = tmp_path / "page.html"
    page.write_text("older", encoding="utf-8")
    assert run("handout", soilx.demo_path("pair.toml"), "-o", page) == 0
    said = capsys.readouterr()
    assert said.err == ""
    assert said.out == f"{page}: {page.stat().st_size / 1000:.0f} kB\n"
    assert page.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


@pytest.mark.parametrize(
    ("source", "page", "said"),
    [
        ("pair.toml", "", "is a folder"),
        ("pair.toml", "nowhere/page.html", "is in a folder that does not exist"),
        ("pair.toml", "pair.toml", "is not named as a web page"),
        ("soils.csv", "page.html", "is neither a scenario nor a notebook"),
        ("nothing.toml", "page.html", "cannot be read"),
        ("nothing.py", "page.html", "cannot be read"),
    ],
)
def test_a_wrong_path_is_one_line_and_exit_2__common_practice(tmp_path, capsys, source, page, said):
    folder = soilx.demo_path("pair.toml").parent
    assert run("handout", folder / source, "-o", tmp_path / page) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert said in told.err
    assert told.err.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_a_place_that_cannot_be_written_is_one_line_and_exit_2__common_practice(
    tmp_path, capsys, monkeypatch
):
    def refused(*_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("soilx.column.file_writing.os.open", refused)
    assert run("handout", soilx.demo_path("pair.toml"), "-o", tmp_path / "page.html") == 2
    assert "cannot be written: Permission denied" in capsys.readouterr().err


# Notebooks


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


@pytest.fixture(scope="module", params=sorted(NOTEBOOKS))
def offered(request):
    return request.param, notebook_page(NOTEBOOKS[request.param])


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
    page = Page(markup)
    check_structure(page, drawn=name not in WITHOUT_CHARTS)
    assert all(heading in page.words for heading in prose(NOTEBOOKS[name]))
    assert not {tag for tag, _ in page.elements} & {"script", "iframe", "link", "object", "input", "button"}
    assert not any(tag.startswith("marimo-") for tag, _ in page.elements)
    assert "live." not in page.words
    assert "return" not in page.words
    assert "||(" not in page.words
    assert "A part that moves is left out" not in page.words
    assert wording.CAUTION_RATE in page.words


def placed(found):
    """Everything in a notebook's definitions, whether it stands alone or in a collection."""
    for each in found:
        if isinstance(each, dict | tuple | list):
            yield from placed(each.values() if isinstance(each, dict) else each)
        else:
            yield each


def test_every_chart_that_a_notebook_fills_is_on_its_page__common_practice(offered):
    name, markup = offered
    spec = importlib.util.spec_from_file_location(name, NOTEBOOKS[name])
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    _, shown = module.app.run()
    charts = [each for each in placed(shown.values()) if isinstance(each, live.DrawnChart) and each.content]
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
    page = Page(notebook_page(NOTEBOOKS["lecture"]))
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
