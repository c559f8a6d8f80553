"""A number with its range: what is refused, and that ranges go along with conversions."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soilx.errors import LimitError
from soilx.practice.estimate import Estimate
from soilx.practice.soil_test.texture import TEXTURES, texture_of, usual
from soilx.sources import SOURCES

NUMBERS = st.floats(-1e6, 1e6)


def between(low: float, value: float, high: float) -> Estimate:
    return Estimate(value=value, low=low, high=high, unit="%", origin="a test")


@given(st.lists(NUMBERS, min_size=3, max_size=3), NUMBERS)
def test_a_scaled_range_holds_its_value_whatever_the_sign__analytic(numbers, factor):
    low, value, high = sorted(numbers)
    scaled = between(low, value, high).scaled(factor, "g/kg")
    assert scaled.low <= scaled.value <= scaled.high
    assert scaled.value == value * factor
    assert scaled.unit == "g/kg"


def test_a_falling_function_turns_the_range_around__analytic():
    turned = between(20, 25, 50).through(lambda x: 100 / x, unit="", origin="turned", source="arithmetic")
    assert (turned.low, turned.value, turned.high) == (2, 4, 5)
    assert (turned.origin, turned.source) == ("turned", "arithmetic")


def test_a_measured_number_has_no_range_and_says_so__analytic():
    measured = Estimate.measured(52.0, "%")
    assert measured.exact
    assert measured.is_measured
    assert str(measured) == "52 %"
    assert str(Estimate.measured(8.6, "")) == "8.6"
    guess = between(20, 25, 30)
    assert str(guess) == "25 % (20 to 30)"
    assert not guess.exact
    assert not guess.is_measured
    assert guess.scaled(2.0).unit == "%"


@pytest.mark.parametrize(
    ("low", "value", "high", "words"),
    [
        (1, 5, 4, "outside its own range"),
        (6, 5, 7, "outside its own range"),
        (1, float("nan"), 2, "not finite"),
        (1, 2, float("inf"), "not finite"),
    ],
)
def test_a_range_that_misses_its_value_is_refused__analytic(low, value, high, words):
    with pytest.raises(LimitError, match=words):
        between(low, value, high)


@pytest.mark.parametrize(
    ("texture", "low", "high"),
    [("sand", 20, 30), ("loam", 35, 45), ("clay loam", 45, 60), ("clay", 60, 90)],
)
def test_paste_water_by_texture_is_as_the_trade_has_it__common_practice(texture, low, high):
    assert TEXTURES[texture].saturation_percentage == (low, high)
    guess = usual(TEXTURES[texture].saturation_percentage, "%", told_from=texture)
    assert (guess.low, guess.high) == (low, high)
    assert guess.source == "common_practice"
    assert guess.source in SOURCES
    assert guess.origin.startswith("estimated from")


@given(st.floats(0, 100))
def test_every_clay_content_has_a_texture_and_more_clay_holds_no_less_water__analytic(clay):
    found = texture_of(texture=None, clay_pct=clay)
    more = texture_of(texture=None, clay_pct=min(100.0, clay + 5))
    assert found is not None
    assert more is not None
    assert more[0].saturation_percentage >= found[0].saturation_percentage
    assert more[0].bulk_density <= found[0].bulk_density


def test_a_class_goes_before_clay_and_an_unknown_one_is_refused__analytic():
    assert texture_of(texture="sand", clay_pct=60.0)[0] is TEXTURES["sand"]
    assert texture_of(texture=None, clay_pct=None) is None
    with pytest.raises(LimitError, match="the classes are sand"):
        texture_of(texture="gravel", clay_pct=None)
    with pytest.raises(LimitError, match="clay"):
        texture_of(texture=None, clay_pct=101.0)
