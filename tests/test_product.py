"""Products: purity, moisture on its basis, bags, prices, and the table they come from."""

import pytest

import soilx
from soilx import FileError, LimitError, SoilxError, UnitKindError
from soilx.practice.dose.product import PURE, Product
from soilx.practice.dose.product_label import GYPSUM_PER_SULFUR, gypsum_share_of_sulfur
from soilx.practice.dose.products_file import COLUMNS, read_products

PRODUCTS = read_products(soilx.demo_path("products.csv"))
PIT = Product.of("pit", purity="88 %", moisture="6 %", bag="50 lb", price_per_t=62.0, currency="dollars")


def test_purity_and_dry_share_divide_once__analytic():
    assert PIT.product_mass(7.05) == pytest.approx(7.05 / 0.88 / 0.94)
    assert PIT.pure_mass(PIT.product_mass(7.05)) == pytest.approx(7.05)
    assert PURE.product_mass(7.05) == 7.05


def test_moisture_is_not_multiplied_by_one_plus__published_error():
    # E9, E10 and the published error: wet product is divided by (1 − M), never multiplied by (1 + M).
    wet = Product.of("wet", purity="100 %", moisture="20 %")
    assert wet.product_mass(1.0) == pytest.approx(1.25)
    assert wet.product_mass(1.0) != pytest.approx(1.20)
    # 25 % of the dried product is 20 % of it as it comes; only on that basis is it × (1 + M).
    dry = Product.of("dry", purity="100 %", moisture="25 %", moisture_basis="dry")
    assert dry.moisture == pytest.approx(0.20)
    assert dry.product_mass(1.0) == pytest.approx(1.25)


def test_percent_gypsum_is_sulfur_times_5_37__seen():
    assert pytest.approx(5.37, abs=5e-3) == GYPSUM_PER_SULFUR
    assert Product.of("label", sulfur="16.4 %").purity == pytest.approx(0.164 * 5.37, abs=1e-3)
    # A label's 18.62 or a rounded 19 % is pure gypsum, and no purer.
    assert Product.of("label", sulfur="19 %").purity == 1.0


@pytest.mark.parametrize("sulfur", [0.0, -0.1, 0.2, float("nan")])
def test_sulfur_that_is_not_gypsum_s_is_refused__analytic(sulfur):
    with pytest.raises(LimitError, match="sulfur"):
        gypsum_share_of_sulfur(sulfur)


@pytest.mark.parametrize(
    ("given", "match"),
    [
        ({}, "purity = not given"),
        ({"purity": "88 %", "sulfur": "16 %"}, "purity = both given"),
        ({"purity": 88}, "more than the whole"),
        ({"purity": "0.01"}, "purity of x"),
        ({"purity": "88 %", "moisture": "70 %"}, "moisture of x"),
        ({"purity": "88 %", "moisture": "-1 %"}, "moisture of x"),
        ({"purity": "88 %", "bag": "0 kg"}, "bag of x"),
        ({"purity": "88 %", "price_per_t": -5.0}, "price of x"),
        ({"purity": "88 %", "moisture_basis": "damp"}, "moisture_basis = damp"),
    ],
)
def test_an_impossible_product_is_refused_by_name__analytic(given, match):
    with pytest.raises(SoilxError, match=match):
        Product.of("x", **given)


def test_sulfur_says_the_purity_of_gypsum_alone__analytic():
    with pytest.raises(UnitKindError, match="purity of gypsum alone"):
        Product.of("x", sulfur="90 %", substance="sulfur")


def test_bags_and_prices_are_counted_where_they_are_known__analytic():
    assert PIT.bags(22.6796185) == pytest.approx(1.0)
    assert PIT.price(1000.0) == 62.0
    with pytest.raises(LimitError, match="bags of unknown size"):
        PURE.bags(1.0)
    with pytest.raises(LimitError, match="soilx knows no prices"):
        PURE.price(1.0)


def test_the_demo_products_are_read_with_their_bases__pinned():
    assert len(PRODUCTS) == 9
    assert PRODUCTS["Pit gypsum"].pure_share == pytest.approx(0.88 * 0.94)
    assert PRODUCTS["By-product gypsum"].moisture == pytest.approx(0.14 / 1.14)
    assert PRODUCTS["Bagged fine gypsum"].purity == pytest.approx(0.173 * GYPSUM_PER_SULFUR)
    with pytest.raises(FileError, match="did you mean"):
        PRODUCTS["Pit gipsum"]


def table(tmp_path, text):
    path = tmp_path / "products.csv"
    path.write_bytes(text.encode("utf-8") if isinstance(text, str) else text)
    return path


@pytest.mark.parametrize(
    ("text", "match"),
    [
        ("", "no product in the file"),
        ("name,purity_pct\n", "no product in the file"),
        ("name,colour\nx,red\n", "row 1, column colour"),
        ("name,name\nx,y\n", "stands twice"),
        ("name,\nx,\n", r"column \(empty\)"),
        ("purity_pct\n88\n", "row 1, column name: is missing"),
        ("name,purity_pct\n,88\n", "row 2, column name: is empty"),
        ("name,purity_pct\nx,88\nx,90\n", "row 3, column name = x"),
        ("name,purity_pct\nx,88,9\n", "row 2: has 3 cells under 2 headers"),
        ("name,purity_pct\nx,pure\n", "row 2, column purity_pct = pure: is not a number"),
        ("name,purity_pct,substance\nx,88,gipsum\n", "substance = gipsum.*did you mean"),
        ("name,purity_pct\nx,188\n", r"row 2 \(x\): purity of x"),
        ('name,purity_pct\n"x,88\n', "not comma-separated text"),
        (b"name,purity_pct\n\xff,88\n", "not UTF-8"),
    ],
)
def test_a_bad_table_names_row_column_and_remedy__analytic(tmp_path, text, match):
    with pytest.raises(FileError, match=match):
        read_products(table(tmp_path, text))


def test_blank_rows_and_missing_columns_are_no_matter__analytic(tmp_path):
    found = read_products(table(tmp_path, "\ufeffname,purity_pct\n\nx,88\n,\n"))
    assert found["x"].moisture == 0.0
    assert set(COLUMNS) >= {"name", "purity_pct", "price_per_t"}


def test_a_file_that_is_not_there_or_too_large_is_refused__analytic(tmp_path):
    with pytest.raises(FileError, match="cannot be read"):
        read_products(tmp_path / "none.csv")
    with pytest.raises(FileError, match="larger than"):
        read_products(table(tmp_path, "name\n" + "x" * 1_000_001))
