"""From wider extracts to the saturation extract: published factors, ranges, and refusal where gypsum is."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soilx.errors import LimitError, ModelRangeError
from soilx.practice.estimate import Estimate
from soilx.practice.soil_test.extracts import (
    paste_adsorption_ratio,
    paste_conductivity,
    slavich_petterson_factor,
)
from soilx.practice.soil_test.soluble_salts import (
    SolubleLine,
    dissolved,
    extractable,
    less,
    naive_esp_pct,
)
from soilx.practice.soil_test.soluble_sodium import sodium_of_cations
from soilx.practice.soil_test.texture import TEXTURES, usual
from soilx.sources import SOURCES

ONE = Estimate.measured(1.0, "dS/m")
PLAIN = Estimate.measured(10.0, "")


def percent(value: float) -> Estimate:
    return Estimate.measured(value, "%")


@pytest.mark.parametrize(
    ("paste", "factor"),
    # f = 2.46 + 3.03/θ, worked by hand: 3.03/0.25 = 12.12, /0.50 = 6.06, /0.75 = 4.04, /1.00 = 3.03.
    [(25, 14.58), (50, 8.52), (75, 6.50), (100, 5.49)],
)
def test_ece_is_f_times_ec_1_to_5__slavich_petterson1993(paste, factor):
    assert slavich_petterson_factor(percent(paste)).value == pytest.approx(factor, abs=5e-3)
    found = paste_conductivity(ONE, extract="1:5 extract", saturation_percentage=percent(paste))
    assert found.value == pytest.approx(factor, abs=5e-3)
    assert found.low < found.value < found.high
    assert found.origin.startswith("converted from a 1:5 extract")
    assert found.source == "slavich_petterson1993"
    assert found.unit == "dS/m"


@pytest.mark.parametrize(("extract", "factor"), [("1:1 extract", 1.21), ("1:5 extract", 2.22)])
def test_sar_of_the_paste_is_a_multiple_of_that_of_a_wider_extract__sar_extracts_122(extract, factor):
    found = paste_adsorption_ratio(PLAIN, extract=extract)
    assert found.value == pytest.approx(10 * factor, rel=1e-12)
    assert found.source == "sar_extracts_122"


def test_the_worse_correlation_carries_the_wider_range__sar_extracts_122():
    narrow = paste_adsorption_ratio(PLAIN, extract="1:1 extract")
    wide = paste_adsorption_ratio(PLAIN, extract="1:5 extract")
    # √(1 − 0.954) and √(1 − 0.828), by hand.
    assert narrow.high / narrow.value == pytest.approx(1.2145, abs=5e-5)
    assert wide.high / wide.value == pytest.approx(1.4147, abs=5e-5)


def test_ec_1_to_1_carries_the_spread_of_published_factors__ec_extracts_1_1():
    found = paste_conductivity(ONE, extract="1:1 extract")
    assert (found.low, found.value, found.high) == (1.6, 2.11, 3.35)
    # Every factor through the origin that was read lies in the range.
    for factor in (1.6, 1.85, 2.06, 2.42, 2.11, 2.78, 3.35):
        assert found.low <= factor <= found.high
    assert found.source in SOURCES


def test_paste_water_from_texture_widens_the_range__analytic():
    guess = usual(TEXTURES["loam"].saturation_percentage, "%", told_from="texture, loam")
    known = paste_conductivity(ONE, extract="1:5 extract", saturation_percentage=percent(guess.value))
    wide = paste_conductivity(ONE, extract="1:5 extract", saturation_percentage=guess)
    assert wide.low < known.low < known.value == wide.value < known.high < wide.high
    assert "estimated from texture, loam" in wide.origin


@pytest.mark.parametrize("extract", ["1:1 extract", "1:5 extract"])
def test_gypsum_forbids_every_conversion__common_practice(extract):
    with pytest.raises(ModelRangeError, match=r"gypsum is present.*have a saturation extract made"):
        paste_conductivity(ONE, extract=extract, saturation_percentage=percent(50), gypsum_present=True)
    with pytest.raises(ModelRangeError, match="gypsum"):
        paste_adsorption_ratio(PLAIN, extract=extract, gypsum_present=True)
    for known in (None, False):
        assert paste_adsorption_ratio(PLAIN, extract=extract, gypsum_present=known).value > 10


def test_other_extracts_and_a_missing_paste_water_are_refused__analytic():
    with pytest.raises(LimitError, match="no published conversion"):
        paste_conductivity(ONE, extract="saturation extract", saturation_percentage=percent(50))
    with pytest.raises(LimitError, match="no published conversion"):
        paste_adsorption_ratio(PLAIN, extract="1:2 extract")
    with pytest.raises(LimitError, match="measure it, or give texture or clay"):
        paste_conductivity(ONE, extract="1:5 extract")
    with pytest.raises(LimitError, match="a paste that holds water"):
        slavich_petterson_factor(percent(0))


# -- soluble salts ------------------------------------------------------------------------------------------


def charge(value: float, unit: str = "mmol_c/kg") -> Estimate:
    return Estimate.measured(value, unit)


def test_the_soluble_correction_is_extract_times_paste_water_over_a_thousand__common_practice():
    # In cmol_c/kg, meq/L and %: 5.1728 − 16.4 × 52/1000 = 4.32.
    line = SolubleLine(
        symbol="Na",
        name="sodium",
        extractable=charge(51.728),
        extract=charge(16.4, "mmol_c/L"),
        water=percent(52),
    )
    assert line.soluble.value / 10 == pytest.approx(16.4 * 52 / 1000, rel=1e-12)
    left = line.exchangeable
    assert left is not None
    assert left.value / 10 == pytest.approx(4.32, rel=1e-12)
    assert left.exact
    assert line.text == (
        "sodium: 5.173 cmol_c/kg − 16.4 meq/L × 52 %/1000 = "
        "5.173 cmol_c/kg − 0.8528 cmol_c/kg = 4.32 cmol_c/kg"
    )


def test_paste_water_from_texture_is_carried_into_the_line__analytic():
    water = usual((45, 60), "%", told_from="texture, clay loam")
    line = SolubleLine(
        symbol="Na",
        name="sodium",
        extractable=charge(51.728),
        extract=charge(16.4, "mmol_c/L"),
        water=water,
    )
    left = line.exchangeable
    assert left is not None
    assert left.low == pytest.approx(51.728 - 16.4 * 0.60)
    assert left.high == pytest.approx(51.728 - 16.4 * 0.45)
    assert "estimated from texture, clay loam" in left.origin
    assert left.source == "common_practice"


def test_more_dissolved_than_extracted_is_no_exchangeable_amount__analytic():
    line = SolubleLine(
        symbol="Ca",
        name="calcium",
        extractable=charge(5.0),
        extract=charge(30.0, "mmol_c/L"),
        water=percent(50),
    )
    assert line.exchangeable is None
    assert line.balance == pytest.approx(-10)
    assert line.text.endswith("less than nothing")
    with pytest.raises(LimitError, match="holds the dissolved one"):
        less(line.extractable, line.soluble, origin="a test")


def test_a_range_below_nothing_ends_there_and_says_so__analytic():
    soluble = Estimate(value=4, low=2, high=8, unit="mmol_c/kg", origin="dissolved")
    left = less(charge(5.0), soluble, origin="a test")
    assert (left.low, left.value, left.high) == (0, 1, 3)
    assert left.origin == "a test; the range ends at nothing"


@given(st.floats(0, 500), st.floats(0, 200), st.floats(10, 250))
def test_correction_undoes_extraction__conservation(held, solution, paste):
    taken = extractable(charge(held), charge(solution, "mmol_c/L"), percent(paste))
    back = less(taken, dissolved(charge(solution, "mmol_c/L"), percent(paste)), origin="back")
    assert back.value == pytest.approx(held, rel=1e-9, abs=1e-9)


def test_the_esp_of_w8_is_over_the_sum_with_sodium__course_set():
    cations = {"Ca": 5.4, "Mg": 1.4, "K": 2.6, "Na": 1.9}
    found = naive_esp_pct({symbol: charge(10 * amount) for symbol, amount in cations.items()})
    assert found == pytest.approx(16.81, abs=5e-3)
    with pytest.raises(LimitError, match="sum of the extractable cations"):
        naive_esp_pct({symbol: charge(0.0) for symbol in cations})


@given(st.floats(0.01, 500), st.floats(0, 200))
def test_sodium_beside_a_sar_makes_that_sar__analytic(cations, sar):
    sodium = sodium_of_cations(cations, sar)
    assert 0 <= sodium <= cations
    # The difference of two close numbers: compared where it keeps its digits.
    if sodium < 0.999 * cations:
        assert sodium / ((cations - sodium) / 2) ** 0.5 == pytest.approx(sar, rel=1e-6, abs=1e-12)
