"""Gapon's equation, its selectivities, Handbook 60's line, and the exact conversions to other conventions."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from soilx.chemistry import exchange_conventions
from soilx.chemistry.cation_exchange import (
    DEFAULT_SELECTIVITY,
    SELECTIVITY_RANGES,
    Selectivity,
    exchangeable_composition,
    exchangeable_sodium_percentage,
    exchangeable_sodium_ratio,
    gaines_thomas_from_gapon,
    gaines_thomas_isotherm,
    gapon_from_gaines_thomas,
    gapon_from_vanselow,
    handbook_exchangeable_sodium_ratio,
    implied_selectivity,
    sodium_adsorption_ratio_at_normality,
    sodium_adsorption_ratio_beside,
    unusual_selectivities,
    ussl_line_esp,
    ussl_line_sar,
    vanselow_from_gapon,
    vanselow_isotherm,
)
from soilx.errors import LimitError, ModelRangeError
from soilx.sources import SOURCES

concentration = st.floats(min_value=1e-6, max_value=1e3)
adsorption_ratio = st.floats(min_value=0.0, max_value=1e3)

# SAR, ESP %: label exact, from the equation printed by secondary sources of Handbook 60 (seen).
USSL_LINE = (
    (1, 0.215),
    (5, 5.763),
    (8, 9.535),
    (10, 11.887),
    (13, 15.193),
    (15, 17.263),
    (20, 22.021),
    (30, 30.065),
    (40, 36.605),
    (50, 42.026),
    (65, 48.616),
)
USSL_INVERSE = ((5, 4.422), (10, 8.387), (15, 12.818), (20, 17.803), (30, 29.910))


@pytest.mark.parametrize(("sar", "esp_pct"), USSL_LINE)
def test_esp_follows_sar_along_the_handbook_line__ussl1954(sar, esp_pct):
    assert ussl_line_esp(sar) == pytest.approx(esp_pct, abs=0.0005)


@pytest.mark.parametrize(("esp_pct", "sar"), USSL_INVERSE)
def test_sar_follows_esp_along_the_handbook_line__ussl1954(esp_pct, sar):
    assert ussl_line_sar(esp_pct) == pytest.approx(sar, abs=0.0005)


def test_sar_13_is_where_soils_reach_esp_15__ussl1954():
    # both class borders are printed as whole numbers (seen)
    assert ussl_line_esp(13) == pytest.approx(15, abs=0.5)


def test_the_handbook_line_misses_the_origin_and_the_model_does_not__ussl1954():
    assert ussl_line_esp(0.85) < 0 < ussl_line_esp(0.86)
    assert exchangeable_sodium_percentage(0.0) == 0.0


def test_a_textbook_soil_of_sar_18_has_esp_20_19_by_the_line__analytic():
    # solution 36 meq Na, 6 meq Ca, 2 meq Mg per litre; question seen, answer exact
    sar = 36 / np.sqrt((6 + 2) / 2)
    assert sar == pytest.approx(18.00, abs=0.005)
    assert ussl_line_esp(sar) == pytest.approx(20.19, abs=0.005)


def test_the_model_stays_within_one_esp_of_the_handbook_line__ussl1954():
    # The intercept alone parts them: −0.0126/(1 + ESR)², at most 1.26 ESP where sodium is nil.
    sar = np.linspace(1, 65, 129)
    gap = exchangeable_sodium_percentage(sar) - ussl_line_esp(sar)
    assert np.all((gap > 0) & (gap <= 1.26))


@pytest.mark.parametrize(("function", "beyond"), [(ussl_line_esp, 65.1), (ussl_line_sar, 50.1)])
def test_the_handbook_line_is_refused_beyond_its_data__ussl1954(function, beyond):
    with pytest.raises(ModelRangeError, match="extrapolate=True"):
        function(beyond)
    assert function(beyond, extrapolate=True) > 0


@pytest.mark.parametrize("slope", [0.0163, 0.0085])
def test_published_sodium_slopes_lie_in_the_range_shown__cjss1982(slope):
    # 0.0163 at 39 meq/L, 0.0085 at 1057 meq/L (seen)
    assert SELECTIVITY_RANGES["sodium"].holds(slope)
    assert unusual_selectivities(Selectivity(sodium=slope)) == ()


# K_G (mmol/L)^-½; K_GT at E→0; K_V at E→0, 0.2, 0.4: label exact.
CONVENTIONS = (
    (0.0100, 10.000, 2.5000, 3.7500, 5.8333),
    (0.01475, 4.5964, 1.1491, 1.7236, 2.6812),
    (0.0150, 4.4444, 1.1111, 1.6667, 2.5926),
)


@pytest.mark.parametrize(("gapon", "gaines_thomas", "vanselow_0", "vanselow_2", "vanselow_4"), CONVENTIONS)
def test_gapon_converts_to_gaines_thomas_and_vanselow__analytic(
    gapon, gaines_thomas, vanselow_0, vanselow_2, vanselow_4
):
    assert gaines_thomas_from_gapon(gapon, 0.0) == pytest.approx(gaines_thomas, abs=0.0005)
    printed = (vanselow_0, vanselow_2, vanselow_4)
    assert vanselow_from_gapon(gapon, [0.0, 0.2, 0.4]) == pytest.approx(printed, abs=0.00005)


@given(gapon=st.floats(min_value=1e-3, max_value=1.0), sodium=st.floats(min_value=0.0, max_value=0.999))
@settings(max_examples=50)
def test_conversions_between_conventions_round_trip__analytic(gapon, sodium):
    there = gaines_thomas_from_gapon(gapon, sodium)
    assert gapon_from_gaines_thomas(there, sodium) == pytest.approx(gapon, rel=1e-12)
    assert gapon_from_vanselow(vanselow_from_gapon(gapon, sodium), sodium) == pytest.approx(gapon, rel=1e-12)


@given(gapon=st.floats(min_value=1e-3, max_value=0.1), sar=st.floats(min_value=1e-3, max_value=1e3))
@settings(max_examples=50)
def test_three_conventions_with_converted_coefficients_hold_the_same_sodium__analytic(gapon, sar):
    ratio = exchangeable_sodium_ratio(sar, selectivity=gapon)
    sodium = ratio / (1 + ratio)
    vanselow = vanselow_isotherm(sar, coefficient=vanselow_from_gapon(gapon, sodium))
    gaines_thomas = gaines_thomas_isotherm(sar, coefficient=gaines_thomas_from_gapon(gapon, sodium))
    assert vanselow == pytest.approx(float(sodium), rel=1e-9)
    assert gaines_thomas == pytest.approx(float(sodium), rel=1e-9)


# Total charge mmol_c/L, sodium's share of it, E_Na at K_V = 1: label exact.
NON_PREFERENCE = (
    (50.0, 0.1, 0.01666),
    (50.0, 0.3, 0.05660),
    (50.0, 0.5, 0.11111),
    (50.0, 0.7, 0.19807),
    (50.0, 0.9, 0.41036),
    (10.0, 0.5, 0.04994),
)


@pytest.mark.parametrize(("charge", "share", "sodium"), NON_PREFERENCE)
def test_an_exchanger_without_preference_follows_its_isotherm__analytic(charge, share, sodium):
    sar = sodium_adsorption_ratio_at_normality(charge, share)
    assert vanselow_isotherm(sar, coefficient=1.0) == pytest.approx(sodium, abs=0.000005)


@given(
    share=st.floats(min_value=0.01, max_value=0.99),
    charge=st.floats(min_value=0.1, max_value=500),
    dilution=st.floats(min_value=1.01, max_value=100),
)
@settings(max_examples=50)
def test_dilution_moves_calcium_onto_the_exchanger__reeve_doering1966(share, charge, dilution):
    strong = sodium_adsorption_ratio_at_normality(charge, share)
    weak = sodium_adsorption_ratio_at_normality(charge / dilution, share)
    assert vanselow_isotherm(weak) < vanselow_isotherm(strong)
    assert exchangeable_sodium_percentage(weak) < exchangeable_sodium_percentage(strong)


# K_V fitted to K_G 0.01475 up to a SAR, and how far apart that leaves them in ESP (exact).
@pytest.mark.parametrize(("vanselow", "highest_sar", "gap"), [(1.61, 17, 0.68), (2.29, 45, 2.66)])
def test_a_fitted_vanselow_coefficient_stays_close_to_gapon__evangelou_phillips1987(
    vanselow, highest_sar, gap
):
    sar = np.linspace(0, highest_sar, 2001)
    difference = 100 * vanselow_isotherm(sar, coefficient=vanselow) - exchangeable_sodium_percentage(sar)
    # Printed as bounds; within 0.01 of them, so that the test would notice another isotherm.
    assert gap - 0.01 < np.max(np.abs(difference)) <= gap


def test_gapon_and_vanselow_agree_below_a_fifth_sodium__evangelou_phillips1987():
    sar = np.linspace(0, 17, 171)
    sodium = exchangeable_sodium_percentage(sar) / 100
    assert np.max(sodium) == pytest.approx(0.20, abs=0.005)
    # "agree" is printed without a number; within one ESP, the reading of a laboratory
    assert np.max(np.abs(vanselow_isotherm(sar, coefficient=1.61) - sodium)) < 0.01


@given(ca=concentration, mg=concentration, na=concentration, k=concentration, k_mg=st.floats(0.1, 10))
@settings(max_examples=50)
def test_the_exchanger_is_full_and_obeys_all_three_equations__conservation(ca, mg, na, k, k_mg):
    selectivity = Selectivity(magnesium=k_mg)
    e_ca, e_mg, e_na, e_k = exchangeable_composition(ca, mg, na, k, selectivity)
    assert e_ca + e_mg + e_na + e_k == pytest.approx(1.0, abs=1e-14)
    assert min(e_ca, e_mg, e_na, e_k) > 0
    root = np.sqrt(ca + mg)
    assert e_na / (e_ca + e_mg) == pytest.approx(0.01475 * na / root, rel=1e-12)
    assert e_k / (e_ca + e_mg) == pytest.approx(0.1051 * k / root, rel=1e-12)
    assert e_mg / e_ca == pytest.approx(k_mg * mg / ca, rel=1e-12)


@given(low=adsorption_ratio, high=adsorption_ratio, par=adsorption_ratio)
@settings(max_examples=50)
def test_esp_rises_with_sar_and_stays_a_percentage__analytic(low, high, par):
    low, high = min(low, high), max(low, high)
    below, above = exchangeable_sodium_percentage([low, high], par=par)
    assert 0 <= below <= above < 100
    assert exchangeable_sodium_percentage(high, par=par) <= exchangeable_sodium_percentage(high)


@given(esp_pct=st.floats(0, 90), potassium_pct=st.floats(0, 9))
@settings(max_examples=50)
def test_sar_beside_an_exchanger_gives_its_esp_back__analytic(esp_pct, potassium_pct):
    sar = sodium_adsorption_ratio_beside(esp_pct, potassium_pct=potassium_pct)
    divalent = 1 - (esp_pct + potassium_pct) / 100
    par = potassium_pct / 100 / divalent / DEFAULT_SELECTIVITY.potassium
    assert exchangeable_sodium_percentage(sar, par=par) == pytest.approx(esp_pct, abs=1e-9)


def test_a_soil_without_magnesium_or_potassium_is_the_pair_of_the_lesson__analytic():
    e_ca, e_mg, e_na, e_k = exchangeable_composition(4.0, 0.0, 20.0, 0.0)
    assert (e_mg, e_k) == (0.0, 0.0)
    assert 100 * e_na == pytest.approx(float(exchangeable_sodium_percentage(10.0)), rel=1e-14)
    assert e_ca == pytest.approx(1 - e_na, rel=1e-14)


def test_the_two_sodium_ratios_are_one_where_potassium_is_nil__analytic():
    esp = exchangeable_sodium_percentage(13.0)
    assert handbook_exchangeable_sodium_ratio(esp) == pytest.approx(float(exchangeable_sodium_ratio(13.0)))
    with_potassium = exchangeable_sodium_percentage(13.0, par=1.0)
    assert handbook_exchangeable_sodium_ratio(with_potassium) < exchangeable_sodium_ratio(13.0)


def test_composition_keeps_the_shape_of_layers_and_scenarios__analytic():
    ca, na = np.full((3, 12), 2.0), np.linspace(0, 30, 12)
    parts = exchangeable_composition(ca, 1.0, na, 0.5)
    assert {part.shape for part in parts} == {(3, 12)}


def test_a_report_implies_its_own_selectivities__analytic():
    # exchangeable cmol_c/kg and paste extract; by hand: K_Na = 4.32/18.78·√1.1/16.4, and so on
    implied = implied_selectivity([11.98, 6.80, 4.32, 0.90], [0.65, 0.45, 16.4, 0.4])
    assert implied.sodium == pytest.approx(0.01471, abs=5e-6)
    assert implied.magnesium == pytest.approx(0.820, abs=5e-4)
    assert implied.potassium == pytest.approx(0.1257, abs=5e-5)
    (sentence,) = unusual_selectivities(implied)
    assert sentence.startswith("potassium selectivity = 0.126 (mmol/L)^-½: outside the published range")


@given(
    ca=concentration,
    mg=concentration,
    na=concentration,
    k=concentration,
    sodium=st.floats(1e-3, 0.1),
    magnesium=st.floats(0.1, 10),
)
@settings(max_examples=50)
def test_implied_selectivities_are_those_that_made_the_exchanger__analytic(ca, mg, na, k, sodium, magnesium):
    made = Selectivity(sodium=sodium, magnesium=magnesium)
    held = exchangeable_composition(ca, mg, na, k, made)
    implied = implied_selectivity([float(part) for part in held], [ca, mg, na, k])
    assert implied.sodium == pytest.approx(made.sodium, rel=1e-9)
    assert implied.potassium == pytest.approx(made.potassium, rel=1e-9)
    assert implied.magnesium == pytest.approx(made.magnesium, rel=1e-9)


def test_where_a_phase_holds_none_of_an_ion_the_default_stands__analytic():
    implied = implied_selectivity([10.0, 0.0, 1.0, 0.0], [2.0, 0.0, 5.0, 0.3])
    assert implied.magnesium == DEFAULT_SELECTIVITY.magnesium
    assert implied.potassium == DEFAULT_SELECTIVITY.potassium
    assert implied.sodium == pytest.approx(1 / 10 / 5 * np.sqrt(2))


def test_each_published_range_holds_its_default_and_names_its_sources__analytic():
    for ion, published in SELECTIVITY_RANGES.items():
        assert published.holds(getattr(DEFAULT_SELECTIVITY, ion))
        assert all(key in SOURCES for key in published.source.split(", "))


def test_each_selectivity_outside_its_range_is_said__analytic():
    sentences = unusual_selectivities(Selectivity(sodium=0.1, potassium=0.001, magnesium=5.0))
    assert [sentence.split()[0] for sentence in sentences] == ["sodium", "potassium", "magnesium"]
    assert sentences[2].startswith("magnesium selectivity = 5: outside the published range found, 0.6 to 1.5")
    assert unusual_selectivities(DEFAULT_SELECTIVITY) == ()


@pytest.mark.parametrize(
    ("refused", "words"),
    [
        (lambda: Selectivity(sodium=0.0), "sodium selectivity = 0 .*more than 0"),
        (lambda: Selectivity(magnesium=float("nan")), "magnesium selectivity = nan"),
        (lambda: exchangeable_sodium_ratio(-1.0), r"sodium adsorption ratio = -1 \(mmol/L\)\^½: is not"),
        (lambda: exchangeable_sodium_ratio([1.0, float("inf")]), "sodium adsorption ratio = inf"),
        (lambda: exchangeable_sodium_percentage(1.0, par=-2.0), "potassium adsorption ratio = -2"),
        (lambda: exchangeable_composition(-1.0, 2.0, 1.0, 1.0), "calcium, magnesium = -1 mmol/L"),
        (lambda: exchangeable_composition(0.0, 0.0, 1.0, 1.0), "calcium"),
        (lambda: exchangeable_composition(1.0, 0.0, -1.0, 1.0), "sodium"),
        (lambda: sodium_adsorption_ratio_beside(95.0, potassium_pct=5.0), "95 and 5 % of the exchange"),
        (lambda: sodium_adsorption_ratio_beside(60.0, potassium_pct=40.0), "60 and 40 % of the exchange"),
        (lambda: sodium_adsorption_ratio_beside([5.0, -1.0]), "-1 and 0 % of the exchange capacity"),
        (lambda: handbook_exchangeable_sodium_ratio(100.0), "ESP = 100 %"),
        (
            lambda: vanselow_from_gapon(0.01475, 1.0),
            "exchangeable sodium fraction = 1 of the exchange capacity",
        ),
        (lambda: gaines_thomas_from_gapon(-0.1, 0.5), "selectivity = -0.1"),
        (lambda: vanselow_isotherm(5.0, coefficient=0.0), "Vanselow coefficient = 0"),
        (
            lambda: sodium_adsorption_ratio_at_normality(50.0, 1.0),
            "sodium's share of the dissolved cations = 1",
        ),
        (lambda: sodium_adsorption_ratio_at_normality(0.0, 0.5), "total cations = 0"),
        (lambda: implied_selectivity([0, 1, 1, 1], [1, 1, 1, 1]), "exchangeable Ca, Mg, Na, K"),
        (lambda: implied_selectivity([1, 1, 1, 1], [1, 1, -1, 1]), "dissolved Ca, Mg, Na, K"),
    ],
)
def test_what_has_no_equilibrium_is_refused_by_name__analytic(refused, words):
    with pytest.raises(LimitError, match=words):
        refused()


def test_everything_about_other_conventions_is_reached_from_one_door__analytic():
    assert exchange_conventions.vanselow_isotherm is vanselow_isotherm


def test_one_missing_phase_of_an_ion_implies_nothing_of_it_and_all_of_the_others__analytic():
    plain = DEFAULT_SELECTIVITY
    held, dissolved = np.array([60.0, 30.0, 8.0, 2.0]), np.array([4.0, 1.0, 10.0, 0.5])
    per_ratio = 5**0.5 / 90
    # K_Mg = 30/60 · 4/1; K_Na = 8/10 · √5/90; K_K = 2/0.5 · √5/90
    whole = implied_selectivity(held, dissolved)
    assert (whole.magnesium, whole.sodium) == pytest.approx((2.0, 0.8 * per_ratio))
    assert whole.potassium == pytest.approx(4 * per_ratio)
    for phase in (held, dissolved):
        for row, name in ((1, "magnesium"), (2, "sodium"), (3, "potassium")):
            kept = phase[row]
            phase[row] = 0.0
            found = implied_selectivity(held, dissolved)
            phase[row] = kept
            assert getattr(found, name) == getattr(plain, name)
            for other in {"magnesium", "sodium", "potassium"} - {name}:
                assert getattr(found, other) != getattr(plain, other), (name, other)


@pytest.mark.parametrize(("esp", "potassium"), [(-0.5, 2.0), (20.0, -0.5), (94.0, 7.0)])
def test_an_exchanger_that_cannot_be_has_no_solution_beside_it__analytic(esp, potassium):
    with pytest.raises(LimitError, match="exchangeable sodium and potassium"):
        sodium_adsorption_ratio_beside(esp, potassium_pct=potassium)
