"""What a report cannot decide, the cheapest next test, profiles by layer, and when two reports compare."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soilx.column.files import demo_path
from soilx.errors import LimitError
from soilx.practice.soil_test.report import Report, read_reports
from soilx.practice.soil_test.report_fields import REPORT_FIELD
from soilx.practice.soil_test.report_gap import Effort
from soilx.practice.soil_test.report_gaps import next_test
from soilx.practice.soil_test.report_layers import differences, layers_of, require_comparable

REPORTS = read_reports(demo_path("soils.csv"))
WHOLE = {
    **dict(REPORTS["Block C"].typed),
    "cec_basis": "measured",
    "date": "2024-03-31",
    "laboratory": "County laboratory",
    "extractant": "ammonium acetate",
    "gypsum_present": "no",
    "gypsum_recently_applied": "no",
    "site": "Block C",
}


def without(*keys: str, **given_: str) -> Report:
    typed = {**WHOLE, **given_}
    return Report.of(**{key: text for key, text in typed.items() if key not in keys})


EXCHANGEABLE = [key for key in WHOLE if key.startswith("exchangeable_")]
EXTRACT = [key for key in WHOLE if key.startswith("extract_")]


def test_a_whole_report_leaves_nothing_open__analytic():
    report = Report.of(**WHOLE)
    assert report.gaps == ()
    assert next_test(report) is None


@pytest.mark.parametrize(
    ("missing", "key", "effort"),
    [
        (["drain_test"], "drainage", Effort.LOOK),
        (["jar_test"], "dispersion", Effort.LOOK),
        (["cec_basis"], "bases", Effort.ASK),
        (["soil_basis"], "bases", Effort.ASK),
        (["exchangeable_basis"], "bases", Effort.ASK),
        (["extract_basis"], "bases", Effort.ASK),
        (["extract_conductivity"], "salinity", Effort.HOME),
        (["depth"], "ground", Effort.ASK),
        (["bulk_density"], "ground", Effort.HOME),
        (["lime"], "lime", Effort.HOME),
        (["gypsum_present"], "gypsum", Effort.SIMPLE_LAB),
        (["gypsum_recently_applied"], "gypsum", Effort.ASK),
        (["site"], "deeper", Effort.FULL_LAB),
        (["date"], "retest", Effort.ASK),
        (["cation_exchange_capacity", "exchangeable_calcium"], "rate", Effort.FULL_LAB),
    ],
)
def test_what_is_missing_is_found_with_its_cheapest_test__common_practice(missing, key, effort):
    (gap,) = without(*missing).gaps
    assert gap.key == key
    assert gap.effort is effort
    # What was taken away is among what would decide it; a sum stands in for a CEC.
    assert set(gap.missing) & set(missing)
    assert gap.question
    assert gap.why
    assert gap.effort.words
    assert next_test(without(*missing)) == gap


def test_without_sodium_neither_the_problem_nor_the_rate_is_decided__analytic():
    report = without(*EXCHANGEABLE, *EXTRACT)
    assert [gap.key for gap in report.gaps] == ["sodium", "salinity", "rate"]
    assert "saturation extract" in report.gaps[0].test
    assert next_test(report).key == "salinity"  # the cheaper of the two
    # An extract without its kind: a question to the laboratory comes before a new analysis.
    unknown = without(*EXCHANGEABLE, "extract_basis")
    assert [gap.key for gap in unknown.gaps] == ["bases", "rate"]
    assert "which extract was made" in unknown.gaps[0].test


def test_extractable_sodium_without_an_extract_is_not_decided__common_practice():
    report = without(*EXTRACT, exchangeable_basis="extractable")
    found = {gap.key: gap for gap in report.gaps}
    assert "soluble_salts" in found
    assert "raises ESP by half" in found["soluble_salts"].why
    assert "exchangeable_sodium" in found["rate"].missing


def test_paste_water_from_texture_or_none_is_a_gap_only_where_it_counts__analytic():
    assert without("saturation_percentage").gaps == ()
    estimated = without("saturation_percentage", exchangeable_basis="extractable")
    (gap,) = estimated.gaps
    assert gap.key == "paste_water"
    assert "estimated from texture" in gap.why
    unknown = without("saturation_percentage", "clay", exchangeable_basis="extractable")
    assert "no texture" in next(gap for gap in unknown.gaps if gap.key == "paste_water").why


def test_a_wider_extract_that_gypsum_spoils_asks_for_a_saturation_extract__common_practice():
    report = without(extract_basis="1:5 extract", gypsum_present="yes")
    (gap,) = report.gaps
    assert gap.key == "salinity"
    assert gap.test == "EC of a saturation extract"


def test_a_name_alone_asks_for_everything_in_the_order_of_decisions__analytic():
    gaps = Report.of(name="nothing").gaps
    assert gaps[0].key == "drainage"
    assert [gap.pressing for gap in gaps] == sorted(gap.pressing for gap in gaps)
    assert {"sodium", "dispersion", "salinity", "rate", "ground", "lime", "gypsum", "retest"} <= {
        gap.key for gap in gaps
    }


OPTIONAL = sorted(set(WHOLE) - {"name"})


@given(st.sets(st.sampled_from(OPTIONAL)))
def test_any_part_of_a_report_is_read_checked_and_told_its_gaps__analytic(missing):
    report = without(*missing)
    assert all(set(gap.missing) <= set(REPORT_FIELD) for gap in report.gaps)
    assert len({found.key for found in report.checks}) == len(report.checks)
    try:
        soil = report.soil()
    except LimitError as error:
        assert "report Block C: says too little" in str(error)  # noqa: PT017
    else:
        assert soil.name == "Block C"


# -- profiles and comparisons ---------------------------------------------------------------


def sample(name: str, depth_from: str, depth: str | None = "15 cm", site: str = "South") -> Report:
    typed = {"name": name, "site": site, "depth_from": depth_from}
    return Report.of(**typed, **({} if depth is None else {"depth": depth}))


def test_samples_of_a_site_are_layers_from_the_top_down__common_practice():
    # E25
    below, top = sample("15–30", "15 cm"), sample("0–15", "0 cm")
    assert layers_of([below, top, sample("elsewhere", "0 cm", site="North")], "South") == (top, below)
    assert layers_of([top], "South") == (top,)


@pytest.mark.parametrize(
    ("reports", "words"),
    [
        ([], "no report is of it"),
        ([sample("A", "0 cm"), sample("B", "20 cm")], "A ends at 15 cm and B begins at 20 cm"),
        ([sample("A", "0 cm"), sample("B", "10 cm")], "layers that touch"),
        ([sample("A", "0 cm"), sample("B", "15 cm", None)], "depth of B is not reported"),
    ],
)
def test_a_profile_with_holes_or_overlaps_is_refused__analytic(reports, words):
    with pytest.raises(LimitError, match=words):
        layers_of(reports, "South")


def test_the_same_season_depth_laboratory_and_method_compare__common_practice():
    require_comparable(without(), without(date="2025-04-20"))
    assert differences(without(date="2024-12-20"), without(date="2025-01-10")) == ()  # across New Year


@pytest.mark.parametrize(
    ("later", "words"),
    [
        ({"date": "2024-09-30"}, "182 days of the year apart"),
        ({"depth": "30 cm"}, "0–15 cm before, 0–30 cm after"),
        ({"depth_from": "15 cm"}, "0–15 cm before, 15–30 cm after"),
        ({"laboratory": "Another"}, "the laboratory: County laboratory before, Another after"),
        ({"extract_basis": "1:5 extract"}, "the extract: saturation extract before, 1:5 extract after"),
        ({"exchangeable_basis": "extractable"}, "whether dissolved salts were taken off"),
        ({"extractant": "barium chloride"}, "the extractant"),
    ],
)
def test_another_season_depth_laboratory_or_method_is_no_change_of_the_soil__common_practice(later, words):
    # E26
    with pytest.raises(LimitError, match=r"not comparable: .*" + words):
        require_comparable(without(), without(**later))


def test_what_is_not_told_cannot_be_known_to_be_the_same__analytic():
    found = differences(without("date", "depth", "laboratory"), without())
    assert found == (
        "depth: not reported for both",
        "the laboratory: not stated for both",
        "season: the day of sampling is not told for both",
    )
    bare = Report.of(name="bare")
    assert not any("extractant" in text for text in differences(bare, bare))
