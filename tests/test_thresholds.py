"""Limits are bands with sources, by convention; two soil tests differ by scatter alone."""

import math
from dataclasses import replace

import numpy as np
import pytest

from soilx import LimitError
from soilx.practice.judgement import thresholds
from soilx.practice.judgement.bands import Band, Place
from soilx.practice.judgement.thresholds import (
    ALKALINITY,
    AUSTRALIA,
    CONVENTIONS,
    DRAIN_TEST,
    EXCHANGE_CAPACITY,
    MAGNESIUM_SHARE,
    RESIDUAL_CARBONATE,
    US,
    bulk_density_band,
    convention_of,
)
from soilx.practice.soil_test.soil_test_scatter import SOIL_TEST_CV_PCT, scatter_of_difference

BANDS = [value for value in vars(thresholds).values() if isinstance(value, Band)] + [
    band for convention in CONVENTIONS.values() for band in (convention.esp, convention.sar, convention.ec)
]


def test_the_united_states_call_sodic_above_esp_15_or_sar_13__kstate_classes():
    assert (US.esp.high, US.sar.high, US.ec.high) == (15.0, 13.0, 4.0)


def test_australia_calls_sodic_above_esp_6__naidu1993():
    assert AUSTRALIA.esp.high == 6.0
    # Handbook 60's line at ESP 6, solved by hand: (0.06/0.94 + 0.0126)/0.01475.
    assert AUSTRALIA.sar.high == pytest.approx(5.182, abs=5e-4)


def test_nobody_worries_below_esp_5_and_sar_3__common_practice():
    for convention in CONVENTIONS.values():
        assert (convention.esp.low, convention.sar.low) == (5.0, 3.0)


def test_limits_of_practice_are_the_printed_ones__trade_texts():
    assert (DRAIN_TEST.low, DRAIN_TEST.high) == (1.0, 24.0)
    assert (RESIDUAL_CARBONATE.low, RESIDUAL_CARBONATE.high) == (1.25, 2.5)
    assert ALKALINITY.high == 9.0
    assert (EXCHANGE_CAPACITY.low, MAGNESIUM_SHARE.high) == (5.0, 40.0)


@pytest.mark.parametrize("band", BANDS, ids=lambda band: band.title)
def test_a_band_says_whose_it_is_and_marks_what_was_recalled__analytic(band):
    assert band.note
    if "recalled" in band.source.split(", "):
        assert "†" in band.note
    for end in {band.low, band.high}:
        assert band.place(end) is Place.BETWEEN
        # 3 cmol_c/kg on 20 is 15.000000000000002 %: still the border.
        assert band.place(math.nextafter(end, -math.inf)) is band.place(math.nextafter(end, math.inf))
    assert band.place(0.99999 * band.low) is Place.BELOW
    assert band.place(1.00001 * band.high) is Place.ABOVE


def test_a_value_known_as_a_range_may_lie_in_two_places__analytic():
    assert US.esp.holds_one_place(6, 14)
    assert US.esp.holds_one_place(16, 30)
    assert not US.esp.holds_one_place(14, 16)


def test_a_band_in_words__analytic():
    assert US.esp.words == "5 to 15 %"
    assert US.sar.words == "3 to 13"
    assert replace(US.esp, low=15.0).words == "15 %"


def test_a_band_without_order_value_or_source_is_refused__analytic():
    with pytest.raises(LimitError, match="ends before it begins"):
        replace(US.esp, low=20.0)
    with pytest.raises(KeyError, match="nowhere"):
        replace(US.esp, source="nowhere")
    for wrong in (math.nan, math.inf):
        with pytest.raises(LimitError, match="exchangeable sodium percentage"):
            US.esp.place(wrong)


def test_an_unknown_convention_names_those_there_are__analytic():
    assert convention_of("US") is US
    with pytest.raises(LimitError, match=r"convention = Mars: .*US and Australia"):
        convention_of("Mars")


def test_clay_lets_roots_stop_at_less_density__recalled():
    stopped = [bulk_density_band(clay).high for clay in (0, 20, 20.1, 35, 40, 45, 60, 100)]
    assert stopped == sorted(stopped, reverse=True)
    assert (stopped[0], stopped[-1]) == (1.80, 1.47)
    for clay in (-1, 101, math.nan):
        with pytest.raises(LimitError, match="clay"):
            bulk_density_band(clay)


def test_a_change_of_esp_by_2_is_within_the_scatter_of_two_tests__trade_texts():
    # E21: at ESP 18 and a CV of 9 to 13 % nobody can tell 16 from 18.
    for cv in SOIL_TEST_CV_PCT:
        assert scatter_of_difference(18, 16, cv_pct=cv) > 18 - 16
        assert scatter_of_difference(18, 7, cv_pct=cv) < 18 - 7


def test_one_pair_in_twenty_differs_by_more_than_the_scatter__analytic():
    draw = np.random.default_rng(7)
    first, second = (10 * (1 + 0.13 * draw.standard_normal(40000)) for _ in range(2))
    beyond = np.mean(np.abs(first - second) > scatter_of_difference(10, 10))
    # 5 % ± three standard errors of a share of 40 000 draws
    assert beyond == pytest.approx(0.05, abs=0.0035)


@pytest.mark.parametrize("cv", [-1, 101, math.nan])
def test_a_scatter_that_is_none_is_refused__analytic(cv):
    with pytest.raises(LimitError, match="coefficient of variation"):
        scatter_of_difference(18, 16, cv_pct=cv)
