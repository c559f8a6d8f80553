"""Handouts: every number of the pair, every caution, nothing that loads or runs, whoever typed the names."""

import base64
import datetime as dt
import inspect
import json
import re

import pytest

import soilx
from soilx import cli, sources, wording
from soilx.column.scenario_toml import scenario_from_toml
from soilx.handouts.equations import citations, equations
from soilx.handouts.page_parts import equation
from soilx.handouts.page_table import MOST_ROWS, ROWS_IN_A_BLOCK, table
from soilx.handouts.page_text import text
from soilx.handouts.scenario_page import PAIR_CHARTS, scenario_page
from soilx.handouts.still_drawing import NARROW, WIDE, drawing
from soilx.show import live, stage_views
from soilx.show.marks import TREATED, UNTREATED
from soilx.show.tables import NumberTable
from tests.page_as_read import HOSTILE, Page, check_structure

DEMOS = sorted(
    path
    for path in soilx.demo_path("pair.toml").parent.glob("*.toml")
    if not path.name.startswith("decision_")
)
DAY = dt.date(2025, 3, 9)


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
