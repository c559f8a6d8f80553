"""Clear, may cloud, cloudy: thresholds by ESP and the band between them."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from soilx.chemistry.clarity import (
    HIGHEST_PUBLISHED_ESP_PCT,
    Clarity,
    beyond_published_thresholds,
    clarity,
    extension_note,
    threshold_electrolyte_concentration,
    turbidity_concentration,
)
from soilx.errors import LimitError

# ESP %, threshold mmol_c/L: recalled †.
THRESHOLDS = ((0, 0.6), (5.8, 2.3), (8.9, 3.1), (21, 9.5), (35, 18))

percentage = st.floats(min_value=0, max_value=100)
electrolyte = st.floats(min_value=0, max_value=1e3)


@pytest.mark.parametrize(("esp_pct", "threshold"), THRESHOLDS)
def test_thresholds_pass_through_the_published_points__quirk_schofield1955(esp_pct, threshold):
    assert threshold_electrolyte_concentration(esp_pct) == pytest.approx(threshold, abs=1e-12)
    # turbid water at roughly a quarter †
    assert turbidity_concentration(esp_pct) == pytest.approx(threshold / 4, abs=1e-12)


def test_thresholds_are_straight_between_points__analytic():
    assert threshold_electrolyte_concentration(15.0) == pytest.approx(3.1 + 6.4 * (15 - 8.9) / 12.1)


def test_beyond_esp_35_the_last_slope_goes_on_and_is_said__analytic():
    slope = (18 - 9.5) / (35 - 21)
    assert threshold_electrolyte_concentration([45.0, 100.0]) == pytest.approx(
        [18 + 10 * slope, 18 + 65 * slope]
    )
    assert beyond_published_thresholds([35.0, 35.1]).tolist() == [False, True]
    assert extension_note([10.0, 35.0]) == ""
    assert extension_note([10.0, 46.2]) == (
        "ESP reaches 46 %: clay thresholds are published up to 35 % "
        "and are extended here along their last slope."
    )
    assert HIGHEST_PUBLISHED_ESP_PCT == 35.0


@given(low=percentage, high=percentage)
@settings(max_examples=50)
def test_more_sodium_asks_for_more_electrolyte__analytic(low, high):
    low, high = min(low, high), max(low, high)
    assert 0.6 <= threshold_electrolyte_concentration(low) <= threshold_electrolyte_concentration(high)


@given(esp_pct=percentage, weak=electrolyte, strong=electrolyte)
@settings(max_examples=50)
def test_stronger_water_is_never_cloudier__analytic(esp_pct, weak, strong):
    order = [Clarity.CLOUDY, Clarity.MAY_CLOUD, Clarity.CLEAR]
    weaker, stronger = clarity(esp_pct, sorted((weak, strong)))
    assert order.index(weaker) <= order.index(stronger)


def test_borders_belong_to_the_clearer_side__analytic():
    states = clarity(21.0, [9.5, 9.499, 2.375, 2.374, 0.0])
    assert states.tolist() == ["clear", "may cloud", "may cloud", "cloudy", "cloudy"]


def test_clarity_broadcasts_over_portions_and_scenarios__analytic():
    states = clarity(np.array([[0.0], [20.0]]), np.array([0.05, 0.7, 30.0]))
    assert states.tolist() == [["cloudy", "clear", "clear"], ["cloudy", "cloudy", "clear"]]


def test_a_sodic_soil_starts_clear_on_its_salts_and_clouds_without_them__quirk_schofield1955():
    salts = np.array([40.0, 12.0, 5.0, 1.0])
    assert clarity(22.0, salts).tolist() == ["clear", "clear", "may cloud", "cloudy"]


@pytest.mark.parametrize("esp_pct", [-0.1, 100.1, float("nan")])
def test_an_esp_that_is_no_percentage_is_refused__analytic(esp_pct):
    for function in (threshold_electrolyte_concentration, turbidity_concentration, extension_note):
        with pytest.raises(LimitError, match=r"ESP = .*%: is not a percentage"):
            function([10.0, esp_pct])


@pytest.mark.parametrize("given_electrolyte", [-1.0, float("nan"), float("inf")])
def test_an_electrolyte_that_is_no_concentration_is_refused__analytic(given_electrolyte):
    with pytest.raises(LimitError, match=r"electrolyte = .* mmol_c/L: is not a concentration"):
        clarity(10.0, given_electrolyte)
