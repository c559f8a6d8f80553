"""Live charts keep their specification and swap their content; the one control is one value."""

import json
import re
import sys
from importlib.resources import files

import pytest

import soilx
from soilx.chemistry.ions import ORDER
from soilx.errors import LimitError
from soilx.show import live, stage_records, stage_views, tables


@pytest.fixture(scope="module")
def runs():
    soil = soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]
    treated = soilx.Scenario.of(soil=soil, gypsum="7.05 t/ha", wettings=["2 pore_volume"])
    more = treated.with_(gypsum="14.1 t/ha")
    return {
        scenario: (soilx.leach(scenario), soilx.leach(scenario.without_gypsum()))
        for scenario in (treated, more)
    }


@pytest.fixture
def both(runs):
    return [{"treated": treated, "untreated": untreated} for treated, untreated in runs.values()]


def control(**changes):
    given = {"low": 0, "high": 20, "step": 0.05, "value": 7.05, "digits": 2, **changes}
    return live.Control("Gypsum rate", "t/ha", **given)


def built():
    return [
        live.soil_columns(),
        live.exchangeable_sodium_by_depth(),
        stage_views.leachate_curve("Na"),
    ]


@pytest.mark.parametrize("which", range(3))
def test_a_second_run_changes_content_and_not_the_specification__analytic(which, both):
    chart = built()[which]
    before = chart.spec
    chart.show(**both[0])
    first = chart.content
    chart.show(**both[1])
    assert chart.spec is before
    assert chart.content["records"] != first["records"]
    assert chart.content["setting"] != first["setting"]
    assert chart.content["caption"] != first["caption"]


@pytest.mark.parametrize("which", range(3))
def test_content_names_only_what_the_specification_has__analytic(which, both):
    chart = built()[which]
    chart.show(**both[0])
    text = str(chart.spec)
    assert all(f"'name': '{name}'" in text for name in chart.content["records"])
    assert {param["name"] for param in chart.spec["params"]} >= set(chart.content["signals"])


@pytest.mark.parametrize("which", range(3))
def test_what_travels_is_the_content_by_column__analytic(which, both):
    chart = built()[which]
    chart.show(**both[0])
    sent = json.loads(chart.wire)
    for name, columns in sent["records"].items():
        rows = [dict(zip(columns, values, strict=True)) for values in zip(*columns.values(), strict=True)]
        assert rows == chart.content["records"][name]
    same = ("signals", "caption", "setting")
    assert [sent[key] for key in same] == [chart.content[key] for key in same]


def test_one_setting_stands_on_every_chart__analytic(both):
    charts = built()
    for chart in charts:
        chart.show(**both[0])
    assert {chart.content["setting"] for chart in charts} == {
        "7.05 t/ha, 2.00 pore volumes, 24.0 cmol_c/kg",
    }


def test_axes_hold_every_record__analytic(both):
    for runs in both:
        arms = tables.arms_of(**runs)
        profile, leachate = live.exchangeable_sodium_by_depth(), stage_views.leachate_curve("Na")
        profile.show(**runs)
        leachate.show(**runs)
        highest = max(record["esp_pct"] for record in tables.layer_records(arms))
        assert highest <= profile.content["signals"]["esp_top"]
        most = max(record["y"] for record in stage_records.curve_records(arms, "Na"))
        assert most <= leachate.content["signals"]["value_top"]


def test_sentence_and_captions_carry_the_runs_numbers__analytic(both):
    runs = both[0]
    sentence = live.Sentence()
    sentence.show(**runs)
    numbers = re.findall(r"[\d.]+\d", sentence.text)
    treated, untreated = runs["treated"], runs["untreated"]
    percentages = (treated.initial_esp_pct, treated.final_esp_pct, untreated.final_esp_pct)
    assert numbers == ["7.05", "2.0", *(f"{value:.1f}" for value in percentages)]
    chart = stage_views.leachate_curve("Na")
    chart.show(**runs)
    for run in (treated, untreated):
        sodium = run.step_leachate.concentrations[ORDER.index("Na")]
        last = "<0.1" if sodium[-1] < 0.05 else f"{sodium[-1]:.1f}"
        assert f"{sodium[0]:.1f} to {last}" in chart.content["caption"]


def test_without_gypsum_the_sentence_says_that_both_are_the_same__analytic(both):
    sentence = live.Sentence()
    untreated = both[0]["untreated"]
    sentence.show(treated=untreated, untreated=untreated)
    assert "both columns are the same" in sentence.text
    assert "t/ha" not in sentence.text


def test_a_caption_says_when_nothing_has_drained__analytic():
    soil = soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]
    dry = soilx.leach(soilx.Scenario.of(soil=soil, gypsum="7.05 t/ha", wettings=["0.3 pore_volume"]))
    chart = stage_views.leachate_curve("Na")
    chart.show(treated=dry, untreated=dry)
    assert "Nothing has drained" in chart.content["caption"]
    assert chart.content["records"]["leachate"] == []


def test_assumptions_list_every_default_and_note__analytic(both):
    listed = live.Assumptions()
    listed.show(**both[0])
    scenario = both[0]["treated"].scenario
    said = "\n".join(listed.lines)
    assert all(f"{name}: {value}" in said for name, value in scenario.defaults.items())
    assert all(note in said for note in scenario.notes)


def test_a_control_is_one_number__analytic():
    rate = control()
    assert rate.value == 7.05
    rate.widget.value = 11
    assert rate.value == 11
    assert isinstance(rate.value, float)


@pytest.mark.parametrize("value", [-0.05, 20.05, float("nan"), float("inf")])
def test_a_control_refuses_what_its_slider_does_not_reach__analytic(value):
    with pytest.raises(LimitError, match=r"Gypsum rate = .* t/ha: .*0 to 20 t/ha"):
        control(value=value)
    rate = control()
    with pytest.raises(LimitError):
        rate.widget.value = value
    assert rate.value == 7.05


def test_a_control_names_itself_with_quantity_and_unit__wcag22():
    widget = control().widget
    assert (widget.quantity, widget.unit) == ("Gypsum rate", "t/ha")
    script = (files("soilx.show") / "static" / "control.js").read_text(encoding="utf-8")
    # The slider and the typed number both get it; the browser test reads it from the accessibility tree.
    assert script.count('setAttribute("aria-label", `${quantity}, ${unit}') == 3


def test_what_a_layout_places_is_what_the_control_shows__analytic():
    rate = control()
    assert rate.shown.text == rate.text


def test_scripts_ask_nobody_for_anything__common_practice():
    static = files("soilx.show") / "static"
    for script in static.iterdir():
        text = script.read_text(encoding="utf-8")
        assert "http" not in text
        assert not re.search(r"^\s*import\b|@import|\burl\(", text, flags=re.MULTILINE)


def test_words_on_the_page_are_escaped__common_practice():
    assert "<b>" not in live.caution("<b>careful</b>").text
    assert 'aria-label="a &quot;b&quot;"' in live.row("x", label='a "b"').text


def test_threads_take_short_turns_on_a_served_page__common_practice():
    usual = sys.getswitchinterval()
    try:
        sys.setswitchinterval(0.005)
        live.quick_turns()
        assert sys.getswitchinterval() < 0.001
    finally:
        sys.setswitchinterval(usual)
