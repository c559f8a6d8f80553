"""The page from a soil test to a decision runs headless, and says what the library computes."""

import ast
import functools
import importlib.util
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

import soilx
from soilx import wording
from soilx.chemistry.cation_exchange import sodium_adsorption_ratio_beside
from soilx.practice.decision_file import decision_from_toml
from soilx.practice.dose.decision_map import decision_map
from soilx.practice.dose.product import Product
from soilx.practice.dose.requirement import hand_requirement
from soilx.practice.dose.requirement_column import least_gypsum
from soilx.practice.dose.solution_method import solution_requirement
from soilx.practice.judgement.verdict import decide
from soilx.practice.soil_test.report import Report, read_reports
from soilx.show.field_answer import answer_to
from soilx.show.field_band_words import band_of
from soilx.show.field_choices import Aim
from soilx.show.field_upload import read_upload
from soilx.show.upload import Upload

FIELD = Path(__file__).resolve().parents[1] / "notebooks" / "field.py"
REPORTS = read_reports(soilx.demo_path("soils.csv"))
WATERS = soilx.read_waters(soilx.demo_path("waters.csv"))
TARGETS = {"Block F": 6.0, "Lawn 2": 3.0}

# Each control's cell gives the control and what the page places; both are overridden together.
SHOWN = {
    "soil_pick": "soil_list",
    "water_pick": "water_list",
    "convention": "convention_list",
    "soil_table": "soil_table_button",
    "test_form": "test_boxes",
    "water_form": "water_boxes",
    "aim_form": "aim_boxes",
    "product_form": "product_boxes",
    "gypsum_rate": "gypsum_slider",
    "water_volume": "water_slider",
    "band_task": "band_button",
    "plan_form": "plan_boxes",
    "price_form": "price_boxes",
    "handling": "handling_list",
    "way": "way_list",
    "years": "years_list",
}


@functools.cache
def app():
    spec = importlib.util.spec_from_file_location("field", FIELD)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.app


def run(**values):
    """Definitions of the notebook with other values on some controls."""
    over = {name: SimpleNamespace(value=value) for name, value in values.items()}
    _, defs = app().run(defs=over | {SHOWN[name]: "" for name in values})
    return defs


@functools.cache
def soil(name):
    """Definitions of the notebook with a soil of the demonstration picked."""
    return run(soil_pick=name)


def typed(**texts):
    """Definitions of the notebook with a soil test typed."""
    return run(test_form={"name": "Mine", **texts}, aim_form={})


def test_imports_are_marimo_and_soilx_only__common_practice():
    imported = set()
    for node in ast.walk(ast.parse(FIELD.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            imported |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            imported.add(node.module.split(".")[0])
    assert imported == {"marimo", "soilx"}


def test_marimo_finds_nothing_to_say__common_practice():
    command = [sys.executable, "-m", "marimo", "check", "--strict", str(FIELD)]
    checked = subprocess.run(command, capture_output=True, text=True, check=False)
    assert checked.returncode == 0, checked.stdout + checked.stderr


@pytest.mark.parametrize("name", REPORTS)
def test_the_verdict_on_each_demonstration_soil_is_the_librarys__analytic(name):
    decision = decide(REPORTS[name], water=WATERS["Well 3"], target_esp_pct=TARGETS.get(name))
    said = soil(name)["verdict_sheet"].text
    assert said.startswith(decision.sentences[0])
    assert decision.because in said
    assert wording.CAUTION_RATE in said


def test_the_four_verdicts_are_those_of_the_demonstration__common_practice():
    heads = {name: soil(name)["verdict_sheet"].text.splitlines()[0] for name in REPORTS}
    assert heads == {
        "Block C": "Block C: gypsum.",
        "Block F": "Block F: drainage first; then: gypsum and leaching together.",
        "Lawn 2": "Lawn 2: no gypsum: fix the water.",
        "Bed 7": "Bed 7: gypsum.",
    }


def test_block_cs_rate_is_that_of_the_formula_and_of_the_column__analytic():
    defs = soil("Block C")
    product = Product.of("Pit gypsum", purity="88 %", moisture="6 %")
    hand = hand_requirement(REPORTS["Block C"], target_esp=5, factor=1.25, product=product)
    water = [("4 pore_volume", WATERS["Well 3"])]
    column = least_gypsum(
        soilx.Scenario.of(soil=REPORTS["Block C"].soil(), wettings=water), target_esp_pct=5.0
    )
    said = defs["rate_sheet"].text
    assert hand.in_units["pure"]["t_per_ha"] == pytest.approx(5.64, abs=0.005)  # printed so
    assert f"By the formula: {hand.in_units['pure']['t_per_ha']:.2f} t/ha of pure gypsum" in said
    assert f"{hand.in_units['product']['t_per_ha']:.2f} t/ha (175 lb/1000 ft²)" in said
    assert f"{column.in_units['pure']['t_per_ha']:.1f} t/ha of pure gypsum for ESP 5" in said
    assert f"t/ha | 5.64 | 8.52 | {column.in_units['pure']['t_per_ha']:.1f} |" in said


def test_a_blocked_rate_is_in_no_unit_to_spread_by__common_practice():
    for name in ("Block F", "Lawn 2"):
        defs = soil(name)
        assert defs["rate_sheet"].blocks[0]["look"] == "stop"
        assert "lb/1000 ft²" not in defs["rate_sheet"].text
        assert "lb/1000 ft²" not in defs["chosen_sheet"].text
        assert "lb/1000 ft²" not in defs["programme_sheet"].text
    assert "drainage first" in soil("Block F")["programme_sheet"].text
    assert soil("Block F")["programme"] is None
    assert soil("Block F")["sodium_path"].content["records"]["paths"] == []
    assert soil("Lawn 2")["programme_sheet"].text.startswith("Not a plan to follow: no gypsum: fix the water")


@pytest.mark.parametrize(("rate", "pore_volumes"), [(0.0, 2.0), (20.0, 0.5)])
def test_the_chosen_point_is_the_columns_own_end__analytic(rate, pore_volumes):
    defs = run(gypsum_rate=rate, water_volume=pore_volumes)
    scenario = soilx.Scenario.of(
        soil=REPORTS["Block C"].soil(),
        gypsum=soilx.quantity(rate, "t/ha"),
        wettings=[(soilx.quantity(pore_volumes, "pore_volume"), WATERS["Well 3"])],
    )
    end = soilx.leach(scenario).final_esp_pct
    assert defs["run"].final_esp_pct == pytest.approx(end, rel=1e-12)
    assert f"to {end:.1f}." in defs["chosen_sheet"].text
    drawn = defs["dose_map"].content
    assert drawn["records"]["chosen"][0]["label"] == f"{end:.1f} %"
    assert f"end at ESP {end:.1f}" in drawn["caption"]


def test_the_map_is_the_librarys__analytic():
    cells = soil("Block C")["dose_map"].content["records"]["cells"]
    scenario = soilx.Scenario.of(
        soil=REPORTS["Block C"].soil(), wettings=[("4 pore_volume", WATERS["Well 3"])]
    )
    surface = decision_map(scenario, gypsum_to="25 t/ha", water_to="6 pore_volume")
    assert len(cells) == surface.final_esp_pct.size
    shown = [cell["esp_pct"] for cell in cells]
    assert shown == pytest.approx(list(surface.final_esp_pct.ravel()), abs=0.005)


def test_half_a_report_is_answered_with_what_it_wants__common_practice():
    texts = {
        "exchangeable_sodium": "4 cmol_c/kg",
        "cation_exchange_capacity": "20 meq/100g",
        "clay": "30 %",
        "depth": "6 in",
    }
    defs = typed(**texts)
    decision = decide(Report.of(name="Mine", **texts), water=WATERS["Well 3"])
    head = defs["verdict_sheet"].text.splitlines()[0]
    assert head.startswith("Mine: cannot be decided without a drain test")
    assert all(test in head for test in decision.missing)
    assert "Cheapest next step" in defs["test_sheet"].text
    assert "20 meq/100g | 1 | 20 cmol_c/kg" in defs["test_sheet"].text
    assert defs["rate_sheet"].blocks[0]["look"] == "stop"
    assert "cannot be placed" in defs["plane"].content["caption"]
    assert defs["programme"] is None
    assert defs["dose_map"].content["caption"].startswith("Nothing to draw.")


def test_an_empty_form_ends_in_no_traceback_and_keeps_every_caution__common_practice():
    outputs, defs = app().run(
        defs={"test_form": SimpleNamespace(value={}), "test_boxes": ""}
        | {"water_form": SimpleNamespace(value={}), "water_boxes": ""}
    )
    assert defs["verdict_sheet"].text.startswith("My soil: cannot be decided without")
    assert defs["answer"].hand is None
    shown = "".join(output.text for output in outputs if output is not None)
    for caution in wording.ALL_CAUTIONS:
        assert caution.split("“")[0] in shown


def test_dissolved_salts_are_taken_off_line_by_line__common_practice():
    defs = typed(
        exchangeable_basis="extractable",
        exchangeable_sodium="1189 mg/kg",
        extract_basis="saturation extract",
        extract_sodium="16.4 meq/L",
        saturation_percentage="52 %",
        cation_exchange_capacity="24 cmol_c/kg",
    )
    # Block C by its extractable sodium: 5.172 cmol_c/kg, of which 16.4 × 52/1000 = 0.853 is dissolved.
    assert (
        "16.4 meq/L × 52 %/1000 = 5.172 cmol_c/kg − 0.8528 cmol_c/kg = 4.319 cmol_c/kg"
        in defs["test_sheet"].text
    )
    assert "18 %" in defs["test_sheet"].text


def test_the_convention_moves_limits_and_target__naidu1993():
    defs = run(soil_pick="Block C", convention="Australia", aim_form={})
    assert defs["aim"].target_esp_pct == 6.0
    assert "Australia: sodic above ESP 6" in defs["reasons_sheet"].text


def test_no_water_leaves_the_verdict_open_and_the_column_without_answer__common_practice():
    defs = run(water_pick="unknown", water_form={})
    assert "cannot be decided without an analysis of the irrigation water" in defs["verdict_sheet"].text
    assert "No water is known yet" in defs["rate_sheet"].text
    assert defs["run"] is None


def test_a_band_is_drawn_on_a_press_alone__analytic():
    assert soil("Block C")["band"] is None
    assert "Press the button" in soil("Block C")["band_sheet"].text
    defs = run(band_task=1)
    band, said = defs["band"], defs["band_sheet"].text
    assert band.draws == 2000
    assert band.hand.low < 5.64 < band.hand.high
    assert f"{band.hand.low:.3g} and {band.hand.high:.3g} t/ha by the formula" in said
    strongest = max(band.influences, key=lambda each: abs(each.rank_correlation))
    words = {"sodium_selectivity": "selectivity for sodium"}.get(
        strongest.key, strongest.key.replace("_", " ")
    )
    assert f"What matters most is {words}" in said


def test_a_band_draws_from_the_ranges_of_the_report__analytic():
    # Bulk density is guessed from the texture here, with a range of its own.
    report = REPORTS["Block C"].with_(bulk_density="", texture="clay loam")
    estimate = report.bulk_density
    answer = answer_to(
        report,
        water=WATERS["Well 3"],
        aim=Aim(target_esp_pct=5.0),
        decision=decide(report, water=WATERS["Well 3"]),
    )
    told = []
    drawn = next(each for each in band_of(answer, told.append).ranges if each.key == "bulk_density")
    assert told[-1] == 1.0
    assert (drawn.low, drawn.high) == (estimate.low, estimate.high)
    assert estimate.low < estimate.high


@pytest.mark.parametrize("name", ["Block C", "Block F", "Lawn 2"])
def test_a_brine_is_told_from_a_soil_whose_clay_decides__ashworth1999(name):
    sar = float(sodium_adsorption_ratio_beside(TARGETS.get(name, 5.0)))
    said, such, reasons = folds(soil(name))["A brine soil: the solution method"]["blocks"]
    found = solution_requirement(REPORTS[name], target_sar=sar)
    assert f"{found.pure.magnitude:.3g} t/ha" in said["text"]
    assert such["text"] == ("This soil is such a one." if found.applies else "This soil is not such a one.")
    assert reasons["texts"] == list(found.reasons)


def test_without_an_extract_the_solution_method_says_what_is_missing__common_practice():
    (said,) = folds(soil("Bed 7"))["A brine soil: the solution method"]["blocks"]
    assert "sodium of the saturation extract" in said["text"]


def test_samples_of_one_profile_get_a_rate_each__analytic():
    rows = (
        b"name,site,depth_from_cm,depth_cm,bulk_density_kg_per_l,cec_cmol_c_per_kg,exchangeable_basis,"
        b"exchangeable_na_cmol_c_per_kg\n"
        b"top,North,0,15,1.4,24,exchangeable,4.32\nbelow,North,15,15,1.4,24,exchangeable,0.9\n"
        b"elsewhere,South,0,15,1.4,24,exchangeable,4.32\n"
    )
    defs = run(soil_table=("mine.csv", rows))
    found = folds(defs)["Layer by layer: every sample of North"]
    # Below the target of 5 % there is nothing to do; above it the hand formula's 5.64 t/ha of Block C.
    assert [row[-1] for row in found["blocks"][0]["rows"]] == ["5.64", "0"]
    assert not any(title.startswith("Layer by layer") for title in folds(soil("Block C")))


def folds(defs):
    """Folds of the sheet that says how much, by their titles."""
    return {block["title"]: block for block in defs["rate_sheet"].blocks if block["kind"] == "fold"}


def test_what_only_licensed_people_may_handle_is_greyed_for_others__common_practice():
    def row(defs, what):
        grid = next(block for block in defs["amendment_sheet"].blocks if block["kind"] == "grid")
        number = next(at for at, row in enumerate(grid["rows"]) if what in row[0])
        return grid["rows"][number], number in grid["dim"]

    cells, dim = row(soil("Block C"), "sulfuric acid")
    assert dim
    assert cells[1] == "no: Only trained and licensed people may handle it."
    cells, dim = row(run(handling="licensed", price_form={"Acid by the tanker": "100"}), "sulfuric acid")
    assert not dim
    # 100 a tonne of 93 % acid: 1000 × 0.93 / 49.04 mol_c hold 0.436 kg of sodium a kilogram.
    assert float(cells[-1]) == pytest.approx(
        0.1 / (0.93 / 49.04 * 22.99), rel=0.005
    )  # printed with 3 figures


def test_a_split_keeps_its_cap_and_has_dates_and_water__common_practice():
    defs = run(way="split", plan_form={"first": "2027-03-15", "cap": "40 lb/1000 ft^2"}, years="3")
    visits = defs["plan"].rows()
    assert len(visits) > 4
    assert max(visit["product_lb_per_1000_ft2"] for visit in visits) <= 40 * (1 + 1e-9)
    said = defs["programme_sheet"].text
    for visit in visits:
        assert f"{visit['visit']} | {visit['date']} | " in said
    assert "Test the soil again on 20" in defs["follow_up_sheet"].text


def test_a_loaded_table_takes_the_place_of_the_demonstration__common_practice():
    rows = b"name,depth_cm,cec_cmol_c_per_kg,exchangeable_na_cmol_c_per_kg\nNorth <b>strip</b>,15,20,4\n"
    defs = run(soil_table=("mine.csv", rows))
    assert list(defs["soils"]) == ["North <b>strip</b>"]
    assert defs["soil_name"] == "North <b>strip</b>"
    assert defs["verdict_sheet"].text.startswith("North <b>strip</b>: cannot be decided without")


@pytest.mark.parametrize("content", [b"\xff\xfe", b"name,gibberish\nA,1\n", b"", b"name\n"])
def test_a_table_that_is_none_is_said_at_its_button__common_practice(content):
    button = Upload("A table", accept=".csv")
    assert read_upload(("../../mine.csv", content), read_reports, shown=button.shown) == {}
    assert button.widget.said.startswith("mine.csv")
    assert "; " in button.widget.said


def test_after_a_table_that_is_none_the_page_is_as_it_was__common_practice():
    defs = run(soil_table=("mine.csv", b"name,gibberish\nA,1\n"))
    assert defs["soils"] == {}
    assert defs["verdict_sheet"].text.startswith("Block C: gypsum.")


def test_the_decision_that_is_saved_leads_to_the_pages_verdict_and_keeps_what_was_typed__analytic():
    for name in ("Block C", "Block F", "Lawn 2"):
        defs = soil(name)
        saved = defs["decision_file"]
        record = decision_from_toml(saved.text)
        assert saved.name == f"decision_{name.lower().replace(' ', '_')}.toml"
        assert record.soil == REPORTS[name].typed
        assert record.irrigation_water() == WATERS["Well 3"]
        assert record.decision().sentences == defs["decision"].sentences
        assert record.amendment().price_per_t == 62.0
        assert dict(record.plan)["way"] == ("split" if name == "Lawn 2" else "worked in")
        # The slider stands where the formula put it, so that no rate of its own is kept.
        assert "gypsum" not in dict(record.plan)
