"""Three depths of water, each read off one run of the column, and the one that binds."""

import math
from dataclasses import replace

import numpy as np
import pytest

from soilx import DEIONISED, SoilxError, demo_path, leach, read_soils, read_waters
from soilx.column.scenario import Scenario
from soilx.practice.judgement.water_depths import (
    MOST_PORE_VOLUMES,
    Purpose,
    drainage_hours,
    saturation_extract_conductivity,
    sprinkler_hours,
    water_depths,
)


@pytest.fixture(scope="module")
def soils():
    return read_soils(demo_path("soils.csv"))


@pytest.fixture(scope="module")
def well():
    return read_waters(demo_path("waters.csv"))["Well 3"]


@pytest.fixture(scope="module")
def block_c(soils, well):
    return water_depths(soils["Block C"], gypsum="12 t/ha", water=well, target_esp=11)


def ends_after(soil, gypsum, water, amount):
    """The column leached anew with just so much water."""
    return leach(Scenario.of(soil, gypsum=gypsum, wettings=[(f"{amount!r} L/kg", water)]))


def test_a_depth_is_where_a_run_with_just_that_water_gets_there__analytic(block_c, soils, well):
    soil = soils["Block C"]
    for purpose, done in (
        (Purpose.DISSOLVE, lambda run: run.gypsum[-1].max() == 0),
        (Purpose.CARRY_OUT, lambda run: run.final_esp_pct <= 11),
        (Purpose.BRING_DOWN, lambda run: saturation_extract_conductivity(run)[-1] <= 4),
    ):
        water = block_c.depths[purpose]
        # One of 12 layers, half displaced: a step is 1/24 of a pore volume; two of them on the safe side.
        step = soil.drained_water / 24
        assert done(ends_after(soil, "12 t/ha", well, water + 2 * step))
        assert not done(ends_after(soil, "12 t/ha", well, water - 2 * step))


def test_the_binding_depth_is_the_largest__analytic(block_c):
    assert block_c.binding is Purpose.DISSOLVE
    assert block_c.water == max(block_c.depths.values())
    assert "The one that binds: to dissolve the gypsum." in block_c.sentences
    soil = block_c.run.scenario.soil
    assert block_c.express(Purpose.DISSOLVE, "mm") == pytest.approx(
        block_c.water * soil.bulk_density * soil.depth
    )
    assert block_c.express(Purpose.DISSOLVE, "pore_volume") == pytest.approx(block_c.water / 0.26)


def test_no_water_carries_sodium_below_its_floor_and_the_sentence_says_so__analytic(soils, well):
    found = water_depths(soils["Lawn 2"], gypsum="0.26 t/ha", water=well, target_esp="9 %", layers=4)
    assert found.depths[Purpose.CARRY_OUT] is None
    assert found.binding is Purpose.CARRY_OUT
    assert found.water is None
    assert found.express(Purpose.CARRY_OUT, "mm") is None
    tried = found.run.scenario.volume / found.run.scenario.soil.drained_water
    assert tried == pytest.approx(MOST_PORE_VOLUMES)
    assert any("40 pore volumes of Well 3 were tried" in said for said in found.sentences)
    assert found.depths[Purpose.BRING_DOWN] == 0.0


def test_salts_rise_before_they_fall_and_are_counted_to_the_last_time__analytic(soils):
    found = water_depths(soils["Block C"], gypsum="12 t/ha", water=DEIONISED, target_esp=11, ec_limit=2.5)
    salts = saturation_extract_conductivity(found.run)
    assert salts[0] < 2.5 < salts.max()
    water = found.depths[Purpose.BRING_DOWN]
    assert water > 0
    assert np.all(salts[found.run.applied_water >= water] <= 2.5)


def test_salts_still_too_high_at_the_end_have_no_depth__analytic(soils, well):
    # Well 3 itself is at 0.55 dS/m, thinned to a paste of twice the drained water.
    found = water_depths(
        soils["Lawn 2"], gypsum="0.26 t/ha", water=well, target_esp=12, ec_limit=0.3, layers=4
    )
    assert found.depths[Purpose.BRING_DOWN] is None
    assert found.binding is Purpose.BRING_DOWN


def test_the_extract_at_the_start_is_the_measured_one__conservation(soils):
    # The paste of Block C's report has 1.9 dS/m; the column's salts thinned to 52 % are the same salts, but
    # redistributed between clay and water.
    start = leach(Scenario.of(soils["Block C"], wettings=["0.1 pore_volume"]))
    assert saturation_extract_conductivity(start)[0] == pytest.approx(1.9, abs=0.05)


def test_without_a_saturation_percentage_the_paste_is_twice_the_drained_water__common_practice(soils):
    run = leach(Scenario.of(soils["Block F"], wettings=["0.1 pore_volume"]))
    typed = tuple(pair for pair in run.scenario.soil.typed if pair[0] != "saturation_percentage")
    # Block F's paste is twice its drained water: both ways agree.
    other = replace(run, scenario=replace(run.scenario, soil=replace(run.scenario.soil, typed=typed)))
    np.testing.assert_allclose(saturation_extract_conductivity(other), saturation_extract_conductivity(run))


def test_hours_of_sprinklers_and_of_the_ground__arithmetic():
    assert sprinkler_hours(30.0, rate=12.0) == 2.5
    # An 18 in hole that takes 6 h lets 76.2 mm through in an hour at most.
    assert drainage_hours(76.2, drain_test=6.0) == pytest.approx(1.0)
    assert drainage_hours(0.0, drain_test=6.0) == 0.0


@pytest.mark.parametrize(
    "ask",
    [
        lambda: sprinkler_hours(30.0, rate=0.0),
        lambda: sprinkler_hours(-1.0, rate=5.0),
        lambda: drainage_hours(30.0, drain_test=0.0),
        lambda: drainage_hours(math.nan, drain_test=1.0),
    ],
)
def test_hours_of_nothing_are_refused__analytic(ask):
    with pytest.raises(SoilxError):
        ask()


@pytest.mark.parametrize("given", [{"ec_limit": 0.0}, {"target_esp": 120}, {"gypsum": "5"}])
def test_what_cannot_be_read_is_refused__analytic(soils, given):
    asked = {"gypsum": "5 t/ha", "target_esp": 5, "water": DEIONISED} | given
    with pytest.raises(SoilxError):
        water_depths(soils["Block C"], **asked)
