"""Amendments by charge, who may use them on which soil, and what a kilogram of sodium costs."""

from dataclasses import replace

import pytest

import soilx
from soilx import LimitError
from soilx.chemistry.ions import GYPSUM_MOLAR_MASS
from soilx.practice.dose.amendment_formulas import molar_mass
from soilx.practice.dose.amendments import (
    AMENDMENTS,
    Handling,
    amendment_choices,
    price_per_kg_sodium,
)
from soilx.practice.dose.product import Product
from soilx.practice.dose.products_file import read_products
from soilx.practice.dose.requirement import hand_requirement
from soilx.practice.soil_test.report import read_reports

REPORTS = read_reports(soilx.demo_path("soils.csv"))
PRODUCTS = read_products(soilx.demo_path("products.csv"))
BLOCK_C = hand_requirement(REPORTS["Block C"], target_esp=5, factor=1.25)

# Mass equal to one of pure gypsum by charge, as the trade prints it.
PRINTED = {
    "gypsum": "1.00",
    "anhydrite": "0.79",
    "calcium_chloride_dihydrate": "0.85",
    "calcium_chloride": "0.645",
    "calcium_nitrate": "1.37",
    "sulfur": "0.186",
    "sulfuric_acid": "0.57",
    "lime_sulfur": "0.78",
    "iron_sulfate": "1.61",
    "aluminium_sulfate": "1.29",
    "lime": "0.58",
    "potassium_magnesium_sulfate": "0.80",
}


@pytest.mark.parametrize("key", PRINTED)
def test_masses_equal_to_one_of_gypsum_are_the_printed_ones__seen(key):
    digits = len(PRINTED[key].partition(".")[2])
    assert AMENDMENTS[key].per_gypsum == pytest.approx(float(PRINTED[key]), abs=0.5 * 10**-digits)


def test_every_amendment_has_its_printed_mass__analytic():
    assert set(AMENDMENTS) == set(PRINTED)


def test_molar_masses_are_those_of_the_library__chemicals():
    chemicals = pytest.importorskip("chemicals")
    assert molar_mass(AMENDMENTS["gypsum"].composition) == pytest.approx(GYPSUM_MOLAR_MASS, abs=1e-3)
    for key, cas in (
        ("gypsum", "10101-41-4"),
        ("anhydrite", "7778-18-9"),
        ("calcium_chloride", "10043-52-4"),
        ("sulfuric_acid", "7664-93-9"),
        ("lime", "471-34-1"),
    ):
        assert molar_mass(AMENDMENTS[key].composition) == pytest.approx(chemicals.MW(cas), abs=5e-3)


def choices(requirement, **given):
    return {choice.amendment.key: choice for choice in amendment_choices(requirement, **given)}


def test_calcium_salts_may_be_used_anywhere_and_acid_by_licensed_people_only__common_practice():
    found = choices(BLOCK_C)
    assert found["gypsum"].eligible
    assert found["calcium_nitrate"].eligible
    assert not found["sulfuric_acid"].eligible
    assert found["sulfuric_acid"].reasons == ("Only trained and licensed people may handle it.",)
    assert any("acid" in caution.lower() for caution in found["sulfuric_acid"].cautions)
    assert choices(BLOCK_C, handling="licensed")["sulfuric_acid"].eligible
    assert not choices(BLOCK_C)["lime_sulfur"].eligible
    assert choices(BLOCK_C, handling=Handling.TRAINED)["lime_sulfur"].eligible
    assert not choices(BLOCK_C, handling="trained")["sulfuric_acid"].eligible


def test_what_brings_no_calcium_is_never_offered__common_practice():
    found = choices(BLOCK_C, handling="licensed")["potassium_magnesium_sulfate"]
    assert not found.eligible
    assert "no calcium" in found.reasons[0]


def test_acid_needs_as_much_lime_as_it_dissolves__analytic():
    # Block C: 3.9 cmol_c/kg of acid dissolves 1.95 g/kg of lime, and there are 12.
    found = choices(BLOCK_C)["sulfur"]
    assert found.lime_needed_g_per_kg == pytest.approx(39.0 * 100.0869 / 2000, rel=1e-4)
    assert found.eligible
    poor = choices(replace(BLOCK_C, lime=0.001))["sulfur"]
    assert not poor.eligible
    assert "dissolve 1.95 g/kg of lime, and the soil holds 1" in poor.reasons[0]
    unknown = choices(replace(BLOCK_C, lime=None))["iron_sulfate"]
    assert "was not measured" in unknown.reasons[0]
    sour = choices(replace(BLOCK_C, ph=6.2))["sulfur"]
    assert any("makes the soil sour" in reason for reason in sour.reasons)


def test_limestone_is_for_acid_soils_only__common_practice():
    assert "below pH 6.5 alone" in choices(BLOCK_C)["lime"].reasons[0]
    assert choices(replace(BLOCK_C, ph=5.5))["lime"].eligible
    assert "pH was not measured" in choices(replace(BLOCK_C, ph=None))["lime"].reasons[0]


def test_rates_are_equal_by_charge_to_the_gypsum_with_its_factor__conservation():
    for choice in amendment_choices(BLOCK_C, products=PRODUCTS.values()):
        # t/ha over g/mol_c, times 1e6 g/t, is mol_c/ha: 39 mmol_c/kg in 2100 t of soil.
        charge = choice.rate_t_per_ha / choice.amendment.equivalent_mass * 1e6
        assert charge == pytest.approx(39.0 * 2100, rel=1e-9)
        if choice.product is not None:
            assert choice.product.pure_mass(choice.product_t_per_ha) == pytest.approx(choice.rate_t_per_ha)


def test_the_price_of_displaced_sodium_follows_from_the_user_s_price__analytic():
    # Pure gypsum at 100 a tonne: 86.0856 g displace 22.98977 g of sodium.
    pure = Product(name="pure", purity=1.0, moisture=0.0, price_per_t=100.0)
    assert price_per_kg_sodium(pure) == pytest.approx(0.1 * 86.0856 / 22.98977, rel=1e-5)
    # Half as pure, twice the price.
    half = replace(pure, purity=0.5)
    assert price_per_kg_sodium(half) == pytest.approx(2 * price_per_kg_sodium(pure))
    with pytest.raises(LimitError, match="soilx knows no prices"):
        price_per_kg_sodium(replace(pure, price_per_t=None))
    with pytest.raises(LimitError, match="is not an amendment known here"):
        price_per_kg_sodium(replace(pure, substance="snake oil"))


def test_what_may_be_used_stands_first_the_cheaper_before_the_dearer__analytic():
    found = amendment_choices(BLOCK_C, products=PRODUCTS.values())
    eligible = [choice.eligible for choice in found]
    assert eligible == sorted(eligible, reverse=True)
    prices = [c.price_per_kg_sodium for c in found if c.eligible and c.price_per_kg_sodium is not None]
    assert prices == sorted(prices)
    assert len(found) == len(AMENDMENTS) - len({p.substance for p in PRODUCTS.values()}) + len(PRODUCTS)
    row = found[0].as_row()
    assert row["eligible"] is True
    assert row["currency"] == "farm dollars"
    assert row["price_per_ha"] == pytest.approx(
        row["price_per_kg_sodium"] * 39.0 * 2100 * 22.98977e-3, rel=1e-6
    )
    unpriced = amendment_choices(BLOCK_C, products=[Product.of("x", purity="90 %")])
    assert unpriced[0].as_row()["price_per_ha"] is None


def test_an_unknown_handling_or_substance_is_refused__analytic():
    with pytest.raises(LimitError, match="handling = wizard"):
        amendment_choices(BLOCK_C, handling="wizard")
    with pytest.raises(LimitError, match="did you mean"):
        amendment_choices(BLOCK_C, products=[Product.of("x", purity="90 %", substance="gipsum")])
