"""`soilx rate` as a shell sees it: chain, units, verdict, and refusals in one line."""

import json

import pytest

import soilx
from soilx import cli
from soilx.practice.dose.rate_units import SHOWN

SOILS = soilx.demo_path("soils.csv")
WATERS = soilx.demo_path("waters.csv")
PRODUCT = ("--purity", "0.88", "--moisture", "0.06", "--factor", "1.25")


@pytest.fixture
def run(capsys):
    def run(*arguments):
        code = cli.run_command(["rate", *(str(one) for one in arguments)])
        said = capsys.readouterr()
        return code, said.out, said.err

    return run


@pytest.fixture
def plain(run):
    def plain(*arguments):
        code, out, err = run(SOILS, *arguments, "--json")
        assert (code, err) == (0, "")
        return json.loads(out, parse_constant=pytest.fail)

    return plain


def test_block_c_s_chain_and_all_units__pinned(plain):
    # By hand, unconfirmed: 2.69 g/kg, 5.64 t/ha; as product 8.52 t/ha and 175 lb/1000 ft², to half a percent.
    bare = plain("--soil", "Block C", "--target-esp", "5")
    assert bare["pure"]["g_per_kg"] == pytest.approx(2.69, rel=0.005)
    assert bare["pure"]["t_per_ha"] == pytest.approx(5.64, rel=0.005)
    assert bare["chain"][-1]["result"] == pytest.approx(bare["pure"]["t_per_ha"])
    assert bare["pure"] == bare["pure_with_factor"] == pytest.approx(bare["product"], rel=1e-12)
    found = plain("--soil", "Block C", "--target-esp", "5", *PRODUCT)
    assert found["pure"] == bare["pure"]
    assert found["product"]["t_per_ha"] == pytest.approx(8.52, rel=0.005)
    assert found["product"]["lb_per_1000_ft2"] == pytest.approx(175, rel=0.005)
    assert found["chain"][-1]["result"] == pytest.approx(found["product"]["t_per_ha"])
    assert (found["initial_esp_pct"], found["target_esp_pct"]) == (pytest.approx(18), 5)
    assert (found["purity_pct"], found["moisture_pct"], found["factor"]) == (
        pytest.approx(88),
        pytest.approx(6),
        1.25,
    )
    assert found["depth_cm"] == pytest.approx(15)


def test_every_quantity_says_its_unit_in_its_key__analytic(plain):
    found = plain("--soil", "Block C", "--target-esp", "5 %", *PRODUCT, "--bag", "50 lb", "--pot", "100 g")
    assert set(found["product"]) == set(SHOWN)
    assert set(found["pot"]) == {"soil_g", "pure_g", "pure_with_factor_g", "product_g"}
    assert found["pot"]["product_g"] == pytest.approx(0.1 * found["product"]["g_per_kg"])
    for line in found["chain"]:
        assert set(line) >= {"name", "operation", "value", "unit", "result", "result_unit", "why"}


def test_percentages_and_the_dry_basis_are_the_same_product__analytic(plain):
    words = ("--soil", "Block C", "--target-esp", "5")
    fractions = plain(*words, "--purity", "0.88", "--moisture", "0.06")
    percents = plain(*words, "--purity", "88 %", "--moisture", "6 %")
    assert fractions == percents
    dry = plain(*words, "--purity", "88 %", "--moisture", "25 %", "--moisture-basis", "dry")
    assert dry["moisture_pct"] == pytest.approx(20)
    assert plain(*words, "--bag", "50 lb")["product"]["bags_per_acre"] == pytest.approx(
        5032.18 / 50, rel=1e-5
    )


def test_the_text_shows_chain_units_verdict_and_cautions__analytic(run):
    code, out, err = run(SOILS, "--soil", "Block C", "--target-esp", "5", *PRODUCT, "--pot", "100 g")
    assert (code, err) == (0, "")
    for told in (
        "2.686",
        "5.64",
        "8.523",
        "174.6",
        "lb/1000 ft^2",
        "÷  purity",
        "Verdict:",
        "g of the product in",
    ):
        assert told in out
    assert "Local rules apply." in out
    code, out, _ = run(SOILS, "--soil", "Bed 7", "--target-esp", "7")
    assert code == 0
    assert "pure, with factor" not in out
    assert "not what is in the bag" in out


@pytest.mark.parametrize(
    ("name", "verdict"),
    [("Block C", "gypsum"), ("Block F", "drainage first"), ("Lawn 2", "no gypsum: fix the water")],
)
def test_a_rate_stands_beside_its_verdict__pinned(plain, name, verdict):
    found = plain("--soil", name, "--target-esp", "5", "--waters", WATERS, "--water", "Well 3")
    assert found["verdict"] == verdict
    assert found["rate_allowed"] is (name == "Block C")
    assert found["verdict_because"]


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("--soil", "Nope", "--target-esp", "5"), "soil Nope"),
        (("--soil", "Block C", "--target-esp", "500"), "target ESP = 500"),
        (("--soil", "Block C", "--target-esp", "five"), "target ESP = five"),
        (("--soil", "Block C", "--target-esp", "5", "--depth", "30 cm"), "deeper than the 15 cm"),
        (("--soil", "Block C", "--target-esp", "5", "--depth", "15"), "depth = 15"),
        (("--soil", "Block C", "--target-esp", "5", "--purity", "88"), "purity = 88"),
        (("--soil", "Block C", "--target-esp", "5", "--moisture", "90 %"), "moisture of the product"),
        (("--soil", "Block C", "--target-esp", "5", "--factor", "3"), "factor = 3"),
        (("--soil", "Block C", "--target-esp", "5", "--factor", "x"), "--factor"),
        (("--soil", "Block C", "--target-esp", "5", "--pot", "3 cm"), "soil mass = 3 cm"),
        (("--soil", "Block C", "--target-esp", "5", "--water", "Well 3"), "belong together"),
        (("--soil", "Block C"), "--target-esp"),
        (("--target-esp", "5"), "--soil"),
    ],
)
def test_bad_input_is_one_line_and_exit_code_2__analytic(run, arguments, told):
    code, out, err = run(SOILS, *arguments)
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert err.startswith("soilx: ")
    assert told in err


def test_a_table_that_is_not_there_is_refused__analytic(run, tmp_path):
    code, _, err = run(tmp_path / "none.csv", "--soil", "x", "--target-esp", "5")
    assert code == 2
    assert "none.csv" in err


def test_a_thin_report_says_what_a_rate_lacks__analytic(run, tmp_path):
    path = tmp_path / "thin.csv"
    path.write_text("name,depth_cm\nThin,15\n", encoding="utf-8")
    code, _, err = run(path, "--soil", "Thin", "--target-esp", "5")
    assert code == 2
    assert "lacks cation exchange capacity" in err
