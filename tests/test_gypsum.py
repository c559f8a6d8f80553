"""Gypsum in pure water and in salt waters: saturation solved with activities and ion pairs."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from soilx.chemistry.gypsum import (
    PURE_WATER,
    gypsum_saturation_index,
    gypsum_solubilities,
    gypsum_solubility,
    naive_gypsum_solubility,
    saturated_with_gypsum,
)
from soilx.chemistry.ions import CALCIUM, GYPSUM_MOLAR_MASS, SULFATE
from soilx.chemistry.soil_solution import AqueousConstants, Solution, speciate
from soilx.errors import ConvergenceError, LimitError, ModelRangeError

# Davies 0.3 with A 0.510, no other pair than the one named: label exact.
NO_PAIR = AqueousConstants(gypsum_pksp=4.58, calcium_sulfate=-math.inf, debye_hueckel_a=0.510)
PAIR_4588 = AqueousConstants(gypsum_pksp=4.588, calcium_sulfate=2.30, debye_hueckel_a=0.510)
PAIR_461 = AqueousConstants(gypsum_pksp=4.61, calcium_sulfate=2.30, debye_hueckel_a=0.510)


def salt(**ions):
    return Solution(**{**dict.fromkeys(("ca", "mg", "na", "k", "so4", "cl", "hco3"), 0.0), **ions})


@pytest.mark.parametrize(
    ("constants", "solubility"), [(NO_PAIR, 10.84), (PAIR_4588, 15.86), (PAIR_461, 15.24)]
)
def test_constants_imply_their_solubility__analytic(constants, solubility):
    assert gypsum_solubility(constants=constants) == pytest.approx(solubility, abs=0.005)


@pytest.mark.parametrize(("pksp", "solubility"), [(4.588, 5.08), (4.58, 5.13)])
def test_the_root_of_the_solubility_product_is_the_naive_answer__analytic(pksp, solubility):
    assert naive_gypsum_solubility(AqueousConstants(gypsum_pksp=pksp)) == pytest.approx(solubility, abs=0.005)


def test_the_naive_answer_is_wrong_threefold__analytic():
    assert gypsum_solubility() / naive_gypsum_solubility() == pytest.approx(3.1, abs=0.05)


def test_the_slope_0_5092_gives_15_84_mmol_per_l__analytic():
    assert gypsum_solubility(constants=AqueousConstants(debye_hueckel_a=0.5092)) == pytest.approx(
        15.84, abs=0.005
    )


def test_solubility_lies_in_the_span_of_published_estimates__lebedev_kosorukov2017():
    # 14.7–18.2 mmol/L at 25 °C, printed to one decimal (seen)
    assert 14.65 <= gypsum_solubility() <= 18.25


def test_a_saturated_solution_is_0_03_normal__usda_ars_nc20():
    # printed as 0.03 N (seen): two charges a mmol
    assert 2 * gypsum_solubility() / 1000 == pytest.approx(0.03, abs=0.005)


@pytest.mark.parametrize(("ksp", "pksp"), [(2.58e-5, 4.588), (2.51e-5, 4.60), (2.73e-5, 4.56)])
def test_solubility_products_and_their_logarithms_belong_together__bennett_adams1972(ksp, pksp):
    assert -math.log10(ksp) == pytest.approx(pksp, abs=0.005)


def test_the_model_takes_the_published_solubility_product__bennett_adams1972():
    # 2.58e-5 mol²/L² (seen)
    assert AqueousConstants().gypsum_ksp * 1e-6 == pytest.approx(2.58e-5, abs=0.005e-5)


def test_common_salt_raises_solubility_by_two_fifths__recalled():
    # ×1.4–1.5 at 0.1 m, recalled †, in a band of its last digit; 21.9 mmol/L with these constants is exact
    solubility = gypsum_solubility(salt(na=100.0, cl=100.0))
    assert 1.35 <= solubility / gypsum_solubility() <= 1.55
    assert solubility == pytest.approx(21.9, abs=0.05)


@pytest.mark.parametrize("strength", [1.0, 5.0, 10.0, 20.0])
@pytest.mark.parametrize("of", [{"na": 2.0, "so4": 1.0}, {"ca": 1.0, "cl": 2.0}])
def test_sodium_sulfate_and_calcium_salts_lower_solubility__gypsum_in_electrolytes(strength, of):
    background = salt(**{ion: strength * share for ion, share in of.items()})
    assert gypsum_solubility(background) < gypsum_solubility()


def test_solubility_at_25_c_is_near_the_old_measurement__hulett_allen1902():
    # 0.2080 g CaSO4 per 100 cm³, recalled †: a context row, so it is the difference that is pinned
    measured = 2.080 / (CALCIUM.molar_mass + SULFATE.molar_mass) * 1000
    assert measured == pytest.approx(15.28, abs=0.005)
    assert gypsum_solubility() - measured == pytest.approx(0.58, abs=0.05)


def test_gypsum_weighs_172_171_and_is_23_28_pct_calcium_18_62_pct_sulfur__chemicals():
    assert pytest.approx(172.171, abs=0.0005) == GYPSUM_MOLAR_MASS
    assert pytest.approx(86.0856, abs=0.00011) == GYPSUM_MOLAR_MASS / 2  # the mass itself is given to 0.001
    assert 100 * CALCIUM.molar_mass / GYPSUM_MOLAR_MASS == pytest.approx(23.28, abs=0.005)
    assert pytest.approx(18.62, abs=0.005) == 100 * 32.06 / GYPSUM_MOLAR_MASS


def test_the_molar_mass_is_the_library_s__chemicals():
    chemicals = pytest.importorskip("chemicals", exc_type=ImportError)
    assert chemicals.MW("10101-41-4") == pytest.approx(GYPSUM_MOLAR_MASS, abs=0.001)


def test_a_saturated_solution_has_index_zero_and_the_added_gypsum__conservation():
    background = salt(na=20.0, cl=12.0, so4=3.0, mg=1.0, hco3=4.0)
    saturated = saturated_with_gypsum(background)
    assert gypsum_saturation_index(saturated.as_array()) == pytest.approx(0.0, abs=1e-10)
    gained = saturated.as_array() - background.as_array()
    assert gained[0] == pytest.approx(gained[4], rel=1e-12)
    assert gained[[1, 2, 3, 5, 6]].tolist() == [0.0] * 5
    assert saturated.charge_imbalance == pytest.approx(background.charge_imbalance, abs=1e-3)
    species = speciate(saturated.as_array())
    assert species.free[4] + species.pairs.sum() == pytest.approx(saturated.so4, rel=1e-12)
    assert gypsum_solubility(saturated) == 0.0


salts = st.floats(min_value=0.0, max_value=80.0)


@given(na=salts, cl=salts, mg=salts, k=st.floats(0, 20), hco3=st.floats(0, 10), so4=st.floats(0, 2))
@settings(max_examples=50)
def test_what_dissolves_saturates_any_water__analytic(na, cl, mg, k, hco3, so4):
    background = salt(na=na, cl=cl, mg=mg, k=k, hco3=hco3, so4=so4)
    dissolved = gypsum_solubility(background)
    assert 0 < dissolved < 60
    saturated = saturated_with_gypsum(background).as_array()
    assert gypsum_saturation_index(saturated) == pytest.approx(0.0, abs=1e-10)
    # The index rises with every mmol: on this side of the root below zero, on the other above.
    for part, sign in ((0.5, -1), (0.99, -1), (1.01, 1), (2.0, 1)):
        amount = background.as_array() + part * dissolved * np.array([1.0, 0, 0, 0, 1.0, 0, 0])
        assert np.sign(gypsum_saturation_index(amount, extrapolate=True)) == sign


def test_many_waters_at_once_dissolve_what_each_does_alone__analytic():
    waters = [
        PURE_WATER,
        salt(na=100.0, cl=100.0),
        salt(ca=10.0, cl=20.0),
        saturated_with_gypsum(),
        Solution(),
    ]
    together = gypsum_solubilities(np.array([water.as_array() for water in waters]).T)
    assert together == pytest.approx([gypsum_solubility(water) for water in waters], rel=1e-9, abs=1e-9)
    assert gypsum_solubilities(np.zeros((7, 2, 3))).shape == (2, 3)


def test_water_without_calcium_or_sulfate_is_infinitely_far_from_saturation__analytic():
    assert gypsum_saturation_index(salt(ca=5.0, cl=10.0).as_array()) == -np.inf


def test_brentq_finds_the_same_root__scipy():
    optimize = pytest.importorskip("scipy.optimize")
    background = salt(na=60.0, so4=10.0, cl=40.0)

    def index(dissolved):
        return float(
            gypsum_saturation_index(background.as_array() + dissolved * np.array([1.0, 0, 0, 0, 1.0, 0, 0]))
        )

    assert optimize.brentq(index, 1e-6, 40.0, xtol=1e-13) == pytest.approx(
        gypsum_solubility(background), rel=1e-9
    )


def test_a_water_above_saturation_is_refused__analytic():
    with pytest.raises(LimitError, match="above saturation before any gypsum"):
        gypsum_solubility(salt(ca=30.0, so4=30.0))


def test_a_water_too_salty_for_davies_is_refused_or_said_to_be_rough__davies1962():
    brine = salt(na=480.0, cl=480.0)
    with pytest.raises(ModelRangeError, match="the water saturated with gypsum is too salty"):
        gypsum_solubility(brine)
    assert 20 < gypsum_solubility(brine, extrapolate=True) < 60


def test_constants_of_a_soluble_salt_are_refused_not_looped_over__analytic():
    with pytest.raises(ConvergenceError, match="no strength up to 4 mol/L"):
        gypsum_solubility(constants=AqueousConstants(gypsum_pksp=-4.0))


def test_a_bracket_that_does_not_close_is_said__analytic(monkeypatch):
    monkeypatch.setattr("soilx.chemistry.gypsum._CLOSED", -1.0)
    with pytest.raises(ConvergenceError, match="did not close in 100 rounds"):
        gypsum_solubility()
