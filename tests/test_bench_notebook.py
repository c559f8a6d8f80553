"""The bench page runs headless, imports only marimo and soilx, and shows what the library computes."""

import ast
import importlib.util
import subprocess
import sys
import time
from itertools import pairwise
from pathlib import Path
from types import SimpleNamespace

import pytest

import soilx
from soilx import wording
from soilx.bench.budget import budget_of
from soilx.bench.budget_field import field_rows
from soilx.bench.budget_words import sentences_of
from soilx.bench.fit import DEFAULT_PARAMETERS, fit
from soilx.bench.fit_residuals import residual_series
from soilx.bench.fit_words import fit_sentences
from soilx.bench.observations import observe
from soilx.bench.plan import Plan
from soilx.bench.plan_cards import field_card, labels, shopping_list
from soilx.bench.plan_words import cautions, if_it_never_drips, steps_of, stop_rule, timing
from soilx.bench.record_reading import record_of_bytes
from soilx.column.scenario_toml import scenario_from_toml
from soilx.show import bench
from soilx.show.bench_curves import planned_drawn
from soilx.show.bench_records import STRENGTHS

BENCH = Path(__file__).resolve().parents[1] / "notebooks" / "bench.py"
HEADLESS_SECONDS = 10.0  # of this process alone: others on the machine do not slow it down
DEMO = "bench_block_c.csv"
READ = {
    "soil_pick",
    "soil_file",
    "soil_mass",
    "opening",
    "dose",
    "product",
    "purity",
    "moisture",
    "water",
    "portions",
    "replicates",
    "balance",
    "measured_with",
    "irrigation",
    "arms",
    "bench_dose",
    "bench_water",
    "field_rate",
    "field_water",
    "parameters",
    "readings",
    "fit_task",
    "sheet",
}


@pytest.fixture(scope="module")
def app():
    spec = importlib.util.spec_from_file_location("bench_page", BENCH)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.app


@pytest.fixture(scope="module")
def opened(app):
    """Definitions of the page as it opens, and how long that took [s]."""
    began = time.process_time()
    _, shown = app.run()
    return shown, time.process_time() - began


@pytest.fixture(scope="module")
def record():
    return record_of_bytes(soilx.demo_path(DEMO).read_bytes(), name=DEMO)


@pytest.fixture(scope="module")
def soil():
    return soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]


def set_to(**values):
    """Definitions in place of controls, and of their places on the page."""
    places = {
        "product": "product_list",
        "measured_with": "measured_with_list",
        "irrigation": "irrigation_list",
        "arms": "arm_boxes",
        "parameters": "parameter_boxes",
        "readings": "reading_boxes",
        "fit_task": "fit_button",
        "soil_pick": "soil_list",
    }
    return {
        name: stand_in
        for key, value in values.items()
        for name, stand_in in (
            (key, SimpleNamespace(value=value)),
            (places.get(key, f"{key}_field"), bench.Entry("none", "").shown),
        )
    }


def test_imports_are_marimo_and_soilx_only__common_practice():
    imported = set()
    for node in ast.walk(ast.parse(BENCH.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            imported |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            imported.add(node.module.split(".")[0])
    assert imported == {"marimo", "soilx"}


def test_each_control_is_read_by_one_cell__common_practice():
    tree = ast.parse(BENCH.read_text(encoding="utf-8"))
    read = [
        part.value.id
        for part in ast.walk(tree)
        if isinstance(part, ast.Attribute) and part.attr == "value" and isinstance(part.value, ast.Name)
    ]
    assert sorted(read) == sorted(READ)


def test_marimo_finds_nothing_to_say__common_practice():
    command = [sys.executable, "-m", "marimo", "check", "--strict", str(BENCH)]
    checked = subprocess.run(command, capture_output=True, text=True, check=False)
    assert checked.returncode == 0, checked.stdout + checked.stderr


def test_it_runs_headless_within_10_s__common_practice(opened):
    assert opened[1] < HEADLESS_SECONDS


def test_the_plan_on_the_page_is_the_library_s__analytic(opened, soil):
    shown = opened[0]
    product = bench.products()["white bag"]
    expected = Plan.of(
        soil,
        gypsum="6.95 t/ha",
        water="360 mL",
        portions=6,
        product=product,
        arms=("control", "gypsum", "sodium chloride"),
    )
    assert shown["plan"] == expected
    dose = shown["dose_sheet"].text
    for row in field_card(expected):
        assert f"{row.name} | {row.bench} | {row.field}" in dose
    assert f"{expected.product_g:.2f} g of white bag in each 100 g column." in dose
    assert expected.scale.why_not_by_area in dose
    assert "13.4 times too much" in dose
    assert wording.CAUTION_RATE in dose
    work = shown["work_sheet"].text
    said = [*steps_of(expected), stop_rule(expected), *timing(expected), *labels(expected)]
    for sentence in (*said, *cautions(expected), *if_it_never_drips()):
        assert sentence in work
    assert all(hours in work for hours in ("1.8 h", "64 h", "148 h"))
    for row in shopping_list(expected):
        assert f"{row.name} | {row.bench} | {row.field}" in work
    for seen in expected.seen:
        assert seen.sentence in shown["arms_sheet"].text
    for key, chart in shown["planned_charts"].items():
        drawn = planned_drawn(expected, STRENGTHS[key])
        assert chart.content["records"]["predicted"] == drawn.records["predicted"]
        assert {row["arm"] for row in drawn.records["predicted"]} == {"control", "gypsum", "sodium chloride"}


def test_it_opens_on_the_invented_run_and_says_so__pinned(opened, record):
    shown = opened[0]
    assert shown["record"] == record
    assert shown["sheet"].is_example
    assert "An invented example: load yours" in shown["sheet"].widget.wire
    points = shown["measured_charts"]["sodium"].content["records"]["measured"]
    assert [row["y"] for row in points] == [855, 475, 242, 114, 59, 26, 335, 148, 70]
    assert shown["fitted"] is None


def test_the_budget_on_the_page_is_the_library_s__analytic(opened, record):
    text = opened[0]["budget_sheet"].text
    budget = budget_of(record)
    for sentence in sentences_of(budget):
        assert sentence in text
    for row in field_rows(budget):
        assert f"{row.name} | {row.bench} | {row.field}" in text
    assert "98 ± 12 % of the sodium was found again: the budget closes" in text
    assert "control 1: the clay gave up nothing measurable" in text
    closure = opened[0]["budget_charts"][0].content["records"]["columns"]
    found = budget.columns["gypsum", 1].closure
    assert closure[0]["closure"] == pytest.approx(100 * found.value)
    assert closure[0]["high"] - closure[0]["low"] == pytest.approx(200 * found.half_width)
    assert closure[1]["told"] is False


def test_the_first_cups_are_those_of_the_plan_and_of_the_record__analytic(opened, record):
    shown = opened[0]
    guess, plan = shown["guess"], shown["plan"]
    for arm, expected in (("control", guess.by_model.control), ("gypsum", guess.by_model.gypsum)):
        leachate = plan.runs[arm].leachate
        first = next(at for at, volume in enumerate(leachate.volume) if volume > 0)
        assert expected == pytest.approx(leachate.concentrations[2, first] * 22.98977, rel=1e-6)
    read = [record.arms[arm].replicates[1][0].sodium_mg_per_l for arm in ("control", "gypsum")]
    assert [guess.by_reading.control, guess.by_reading.gypsum] == read == [335, 855]
    assert f"{guess.by_model.control:.0f} mg/L without gypsum" in guess.widget.hint
    assert guess.widget.bands[guess.widget.band] == "2 to 3 times"
    assert shown["measured_charts"]["sodium"].content["records"]["guess"] == []
    assert shown["stage_bar"].control.locked


def test_a_guess_is_drawn_across_both_charts_of_sodium__analytic(app):
    guess = bench.CupGuess()
    guess.widget.state, guess.widget.level, guess.widget.sure = "guessed", 1.5, 2
    _, shown = app.run(defs={"guess": guess, "guess_panel": guess.shown})
    for charts, control in (("planned_charts", guess.by_model.control), ("measured_charts", 335)):
        (row,) = shown[charts]["sodium"].content["records"]["guess"]
        assert row == {"y": pytest.approx(1.5 * control), "label": "your guess"}
        assert f"Your guess: {1.5 * control:.0f} mg/L." in shown[charts]["sodium"].content["caption"]
        assert shown[charts]["calcium"].content["records"]["guess"] == []
    assert guess.widget.guess == "You guessed 1.5 times (certain)."
    assert guess.widget.found.startswith("Read in the record: 2.6 times, 855 and 335")
    assert guess.widget.found.endswith("1.1 too low. Certain and off: here is most to learn.")


def test_what_did_you_see_is_answered_by_the_invented_run__pinned(opened, record):
    found = {
        arm: [portion.sodium_mg_per_l for portion in record.arms[arm].replicates[1]]
        for arm in ("gypsum", "control")
    }
    assert found["control"][0] < found["gypsum"][0] / 2
    for before, after in pairwise(found["gypsum"]):
        assert 0.4 < after / before < 0.6
    masses = {
        arm: [portion.sodium_mg_per_l * portion.volume_ml for portion in record.arms[arm].replicates[1]]
        for arm in found
    }
    assert sum(masses["gypsum"]) > sum(masses["control"])
    assert sum(masses["gypsum"][:3]) > 2 * sum(masses["gypsum"][3:])
    assert opened[0]["seen"].widget.right == 2


def test_a_run_of_one_s_own_passes_the_question_and_keeps_what_was_hidden_again__common_practice():
    stages = bench.Stages(["the first cups"])
    assert stages.locked
    stages.pass_on()
    assert not stages.locked
    assert (stages.widget.step, stages.widget.guessed) == (3, [1])
    # Who went back to hide the answer has it hidden.
    stages.widget.step = 0
    stages.pass_on()
    assert stages.locked


def test_overridden_controls_reach_the_plan_within_10_s__analytic(app, soil):
    began = time.process_time()
    _, shown = app.run(
        defs=set_to(soil_mass="50 g", portions="4", water="8 pore_volume", arms=("calcium chloride", "blank"))
    )
    took = time.process_time() - began
    plan = shown["plan"]
    assert plan.scale.soil_mass == pytest.approx(0.05)
    assert plan.portions == 4
    assert plan.treated.wettings[-1].volume == pytest.approx(8 * soil.drained_water)
    names = ["control", "gypsum", "calcium chloride", "blank", "gypsum blank"]
    assert [arm.name for arm in plan.arms] == names
    # the container is as wide as before, so that half the soil doubles the mistake
    assert plan.scale.area_factor == pytest.approx(2 * 13.36, abs=0.01)
    assert took < HEADLESS_SECONDS


def test_with_conductivity_alone_the_page_says_what_cannot_be_told__analytic(app, record, soil):
    _, shown = app.run(defs=set_to(readings=("ec",), parameters=DEFAULT_PARAMETERS, fit_task=1))
    expected = fit(observe(record, soil).only("ec"), DEFAULT_PARAMETERS)
    assert shown["fitted"].values == pytest.approx(expected.values)
    text = shown["fit_sheet"].text
    for sentence in fit_sentences(expected):
        assert sentence.removeprefix("Not used: ") in text
    assert "cannot be told" in text


def test_a_fit_is_drawn_with_the_prediction_before_it_and_taken_away__analytic(app, record, soil, tmp_path):
    _, shown = app.run(defs=set_to(fit_task=1))
    expected = fit(observe(record, soil), ("soluble_sodium", "bypass_fraction"))
    assert shown["fitted"].values == pytest.approx(expected.values)
    chart = shown["fitted_charts"]["sodium"].content
    assert chart["records"]["before"]
    assert chart["records"]["predicted"]
    rows = chart["table"]["rows"]
    met = [met for met in expected.met if met.reading.quantity == "sodium"]
    assert [row[1:4] for row in rows] == [
        (f"{one.reading.value:.0f}", f"{one.before:.0f}", f"{one.after:.0f}") for one in met
    ]
    left = shown["fit_charts"][1].content["records"]["left"]
    series = [residual for one in residual_series(expected) for residual in one.residuals]
    assert [row["residual"] for row in left] == pytest.approx(series)
    scenario = scenario_from_toml(shown["soil_download"].text)
    assert scenario.soil == expected.soil
    table = tmp_path / "fitted.csv"
    table.write_text(shown["row_download"].text, encoding="utf-8")
    assert soilx.read_soils(table)[expected.soil.name].sodium == expected.soil.sodium
    run, control = soilx.leach(scenario), soilx.leach(scenario.without_gypsum())
    assert run.final_esp_pct < control.final_esp_pct


@pytest.mark.parametrize(
    ("control", "text", "about"),
    [
        ("soil_mass", "100", "soil_mass"),
        ("opening", "9 kg", "opening"),
        ("dose", "7 me/L", "gypsum"),
        ("dose", "40 %", "gypsum"),
        ("water", "much", "water"),
        ("portions", "6.5", "portions"),
        ("replicates", "0", "replicates"),
        ("balance", "1 kg", "balance"),
    ],
)
def test_what_cannot_be_planned_is_said_beside_its_field__analytic(app, soil, control, text, about):
    field = bench.Entry("the field", text)
    _, shown = app.run(
        defs={
            **set_to(**{control: text}),
            control: SimpleNamespace(value=text),
            f"{control}_field": field.shown,
        }
        | ({"soil": soil} if control == "dose" else {})
    )
    said = field.widget.refusal or shown["refusal_sheet"].text
    assert said.startswith(about)
    assert shown["plan"].scale.soil_mass == pytest.approx(0.1)
    assert shown["plan"].portions == 6
