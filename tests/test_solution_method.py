"""The solution method for brine soils: its published example, its derivation, and when it applies."""

import math

import pytest

import soilx
from soilx import LimitError
from soilx.practice.dose.solution_method import (
    PRINTED_BULK_DENSITY,
    PRINTED_CONSTANT,
    solution_gypsum,
    solution_requirement,
)
from soilx.practice.soil_test.report import read_reports
from soilx.units import Ground, Kind, express

REPORTS = read_reports(soilx.demo_path("soils.csv"))


def test_a_brine_soil_of_100_meq_per_litre_takes_39_4_t_per_ha__ashworth1999():
    # W10: a 100, c 20, b 7, saturation 65.7 %; 15 cm.
    found = solution_gypsum(sodium=100, sar=20, target_sar=7, saturation_pct=65.7)
    ground = Ground(depth=150, bulk_density=PRINTED_BULK_DENSITY)
    assert express(found, Kind.GYPSUM_RATE, "t/ha", ground=ground) == pytest.approx(39.4, abs=0.05)
    printed = PRINTED_CONSTANT * 100**2 * (1 / 7**2 - 1 / 20**2) * 65.7
    assert express(found, Kind.GYPSUM_RATE, "t/ha", ground=ground) == pytest.approx(printed, rel=1e-12)


def test_the_printed_constant_is_of_a_soil_at_1_3_kg_per_litre__analytic():
    assert pytest.approx(1.297, abs=5e-4) == PRINTED_BULK_DENSITY


def test_the_gypsum_makes_the_wanted_sar__conservation():
    sodium, sar, target, paste = 73.2, 20.4, 7.0, 0.40
    added = solution_gypsum(sodium=sodium, sar=sar, target_sar=target, saturation_pct=100 * paste) / paste
    divalent = (sodium / sar) ** 2 + added
    assert sodium / math.sqrt(divalent) == pytest.approx(target, rel=1e-12)
    assert solution_gypsum(sodium=sodium, sar=5, target_sar=7, saturation_pct=40) == 0.0


@pytest.mark.parametrize("name", ["sodium", "sar", "target_sar", "saturation_pct"])
def test_nothing_or_less_is_refused__analytic(name):
    given = {"sodium": 100.0, "sar": 20.0, "target_sar": 7.0, "saturation_pct": 65.7}
    for bad in (0.0, -1.0, math.nan):
        with pytest.raises(LimitError):
            solution_gypsum(**{**given, name: bad})


def test_it_is_for_brine_soils_whose_sodium_is_in_the_water__common_practice():
    brine = solution_requirement(REPORTS["Block F"], target_sar=7)
    assert brine.applies
    assert "misses what is in the water" in brine.reasons[0]
    assert float(brine.pure.to("t/ha").magnitude) > 10
    sodic = solution_requirement(REPORTS["Block C"], target_sar=7)
    assert not sodic.applies
    assert any("the exchanger decides" in reason for reason in sodic.reasons)
    sand = solution_requirement(REPORTS["Lawn 2"], target_sar=8)
    assert not sand.applies
    assert any("a brine begins" in reason for reason in sand.reasons)
    assert any("at the target" in reason for reason in sand.reasons)


def test_it_does_not_apply_where_gypsum_is_or_the_exchanger_is_unknown__analytic():
    known = dict(REPORTS["Block F"].typed)
    with_gypsum = REPORTS["Block F"].with_(gypsum_present="yes")
    assert any("gypsum in the soil" in r for r in solution_requirement(with_gypsum, target_sar=7).reasons)
    keys = [k for k in known if not k.startswith("exchangeable_") and k != "cation_exchange_capacity"]
    thin = type(with_gypsum).of(**{k: known[k] for k in keys})
    found = solution_requirement(thin, target_sar=7)
    assert not found.applies
    assert any("was not measured" in reason for reason in found.reasons)


def test_a_report_without_an_extract_is_refused_by_what_is_missing__analytic():
    with pytest.raises(LimitError, match="report Bed 7 = sodium of the saturation extract"):
        solution_requirement(REPORTS["Bed 7"], target_sar=7)
