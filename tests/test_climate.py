"""Months of rain and evapotranspiration, what covers take, and a year's irrigation."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from soilx.column.files import demo_path, read_soils, read_waters
from soilx.column.water import Water
from soilx.errors import FileError, LimitError, SoilxError, UnitKindError
from soilx.practice.judgement.irrigation_water import gypsum_for_water
from soilx.practice.seasons.climate import MONTHS, Climate, days_of, even_days
from soilx.practice.seasons.climate_file import read_climates
from soilx.practice.seasons.covers import COVERS, cover_of, uptake_share
from soilx.practice.seasons.field_water import FieldWater
from soilx.practice.seasons.irrigation import Irrigation

CLIMATES = read_climates(demo_path("climate.csv"))
DRY = CLIMATES["Dry summers"]
SOIL = read_soils(demo_path("soils.csv"))["Block C"]
WATERS = read_waters(demo_path("waters.csv"))
WELL = WATERS["Well 3"]
LAWN = COVERS["tolerant lawn"]
HEADER = "name,month,rain_mm,reference_evapotranspiration_mm,rains\n"


def table(rows: list[str]) -> str:
    return HEADER + "\n".join(rows) + "\n"


PLAIN = [f"Here,{month},10,50,1" for month in range(1, 13)]


def test_the_demo_climates_are_what_they_are_called__pinned():
    # invented; pinned so that a change is seen
    assert list(CLIMATES) == ["Dry summers", "Summer rains"]
    assert (DRY.annual_rain, DRY.annual_reference_evapotranspiration) == (410.0, 1302.0)
    wet = CLIMATES["Summer rains"]
    assert (wet.annual_rain, wet.annual_reference_evapotranspiration) == (736.0, 1244.0)
    assert max(DRY.rain[4:9]) < min(DRY.rain[:3])
    assert min(wet.rain[4:8]) > max(wet.rain[:3])


@settings(max_examples=50)
@given(
    start=st.dates(date(2023, 1, 1), date(2027, 12, 31)),
    first=st.integers(0, 500),
    second=st.integers(0, 500),
)
def test_evapotranspiration_of_spans_adds_up__analytic(start, first, second):
    middle, end = start + timedelta(days=first), start + timedelta(days=first + second)
    parts = DRY.reference_between(start, middle) + DRY.reference_between(middle, end)
    assert parts == pytest.approx(DRY.reference_between(start, end), abs=1e-9)


@pytest.mark.parametrize("year", [2023, 2024])
def test_a_year_holds_its_rain_and_evapotranspiration__analytic(year):
    whole = DRY.reference_between(date(year, 1, 1), date(year + 1, 1, 1))
    assert whole == pytest.approx(DRY.annual_reference_evapotranspiration, abs=1e-9)
    rains = DRY.rain_of(year)
    assert sum(depth for _, depth in rains) == pytest.approx(DRY.annual_rain, abs=1e-9)
    assert len(rains) == sum(DRY.rains)
    for month in range(1, 13):
        mine = [depth for day, depth in rains if day.month == month]
        assert sum(mine) == pytest.approx(DRY.rain[month - 1], abs=1e-9)
    assert [day for day, _ in rains] == sorted({day for day, _ in rains})


def test_days_of_months_and_even_days__analytic():
    assert [days_of(date(2024, month, 28)) for month in (1, 2, 4, 12)] == [31, 29, 30, 31]
    assert even_days(date(2025, 6, 1), date(2025, 7, 1), 3) == [date(2025, 6, day) for day in (6, 16, 26)]
    assert even_days(date(2025, 6, 1), date(2025, 7, 1), 0) == []


def test_without_rain_and_without_evapotranspiration__analytic():
    assert DRY.without_rain().rain_of(2025) == []
    assert DRY.without_evapotranspiration().reference_between(date(2025, 1, 1), date(2026, 1, 1)) == 0.0


def test_the_top_quarter_of_the_roots_takes_four_tenths__ayers_westcot1985():
    # the pattern 40, 30, 20, 10 % is recalled †
    assert [uptake_share(depth, rooting_depth=600.0) for depth in (150, 300, 450, 600, 900)] == pytest.approx(
        [0.4, 0.7, 0.9, 1.0, 1.0], abs=1e-12
    )
    assert uptake_share(75.0, rooting_depth=600.0) == pytest.approx(0.2, abs=1e-12)
    with pytest.raises(LimitError, match="rooting depth = 0 mm"):
        uptake_share(150.0, rooting_depth=0.0)


def test_every_cover_says_that_it_is_common_practice__common_practice():
    for cover in COVERS.values():
        assert "common practice, no published source" in cover.label
        assert "†" in cover.label
        assert cover.crop_factor_low < cover.crop_factor < cover.crop_factor_high
    caps = {name: (cover.cap_low, cover.cap_high) for name, cover in COVERS.items() if cover.is_established}
    assert caps["fine turf"] == (10.0, 25.0)
    assert caps["tolerant lawn"] == caps["shrubs"] == (40.0, 50.0)
    assert not COVERS["vegetables"].is_established
    with pytest.raises(LimitError, match='did you mean "fine turf"'):
        cover_of("fine turff")


@pytest.mark.parametrize(
    ("changes", "match"),
    [
        ({"rain": (1.0,) * 11}, "= 11 months: is not a year"),
        ({"rain": (-1.0,) + (1.0,) * 11}, "rain of climate Here in January = -1 mm: is too low"),
        ({"rain": (float("nan"),) + (1.0,) * 11}, "is not finite"),
        ({"reference_evapotranspiration": (900.0,) * 12}, "is too high; the limit is at most 450 mm"),
        ({"rains": (0,) + (1,) * 11}, "does not go with 1 mm of rain"),
        ({"rain": (0.0,) * 12}, "does not go with 0 mm of rain"),
        ({"rains": (1.5,) + (1,) * 11}, "rains of climate Here in January = 1.5"),
    ],
)
def test_a_year_that_cannot_be_is_refused__analytic(changes, match):
    plain = {
        "name": "Here",
        "rain": (1.0,) * 12,
        "reference_evapotranspiration": (50.0,) * 12,
        "rains": (1,) * 12,
    }
    Climate(**plain)
    with pytest.raises(LimitError, match=match):
        Climate(**{**plain, **changes})


def test_a_table_is_read_whatever_the_order_of_its_columns_and_rows__analytic(tmp_path):
    path = tmp_path / "climate.csv"
    rows = [f"{month},1,Here,50.5,{month}.5" for month in range(12, 0, -1)]
    header = "month,rains,name,reference_evapotranspiration_mm,rain_mm\n"
    path.write_text("\ufeff" + header + "\n".join(rows) + "\n\n", encoding="utf-8")
    found = read_climates(path)["Here"]
    assert found.rain == tuple(month + 0.5 for month in range(1, 13))
    with pytest.raises(FileError, match='climate There: is not there; the climates are "Here"'):
        read_climates(path)["There"]


@pytest.mark.parametrize(
    ("text", "match"),
    [
        (table(PLAIN[:11]), "lacks December"),
        (table([*PLAIN, PLAIN[0]]), "row 14, column month = 1: stands twice"),
        (table([*PLAIN[:11], "Here,13,10,50,1"]), "row 13, column month = 13: is not a month"),
        (table([*PLAIN[:11], "Here,1.5,10,50,1"]), "is not a month"),
        (table(['Here,1,"1,5",50,1', *PLAIN[1:]]), "row 2, column rain_mm = 1,5: is not a number"),
        (table(["Here,1,nan,50,1", *PLAIN[1:]]), "row 2, column rain_mm = nan: is not a number"),
        (table(["Here,1,,50,1", *PLAIN[1:]]), "row 2, column rain_mm = : is empty"),
        (table(["Here,1,10,50,1.5", *PLAIN[1:]]), "row 2, column rains = 1.5: is not a whole number"),
        (table([",1,10,50,1", *PLAIN[1:]]), "row 2, column name: is empty"),
        (table(["Here,1,10,50", *PLAIN[1:]]), "row 2: has 4 cells under 5 headers"),
        (table(["Here,1,-10,50,1", *PLAIN[1:]]), "rain of climate Here in January = -10 mm: is too low"),
        (table([]), "there is no climate"),
        ("", "row 1, column name: is unknown or missing"),
        (
            HEADER.replace("rains", "rain days"),
            'column rain days: is unknown or missing.*did you mean "rains"',
        ),
        (HEADER.replace("rains", "rains,rains"), "a column that stands twice"),
        (HEADER + '"Here,1', "is not comma-separated text"),
    ],
)
def test_a_table_that_cannot_be_read_says_where_and_why__analytic(tmp_path, text, match):
    path = tmp_path / "climate.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(FileError, match=match):
        read_climates(path)


def test_a_file_that_is_not_there_or_not_text_is_refused__analytic(tmp_path):
    with pytest.raises(FileError, match="cannot be read: No such file"):
        read_climates(tmp_path / "none.csv")
    (tmp_path / "bytes.csv").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(FileError, match="is not UTF-8 text at byte 0"):
        read_climates(tmp_path / "bytes.csv")


def test_irrigation_every_so_many_days__analytic():
    irrigation = Irrigation.every(
        7, depth="1 in", water=WELL, ground=SOIL.ground, first="05-01", last="05-29"
    )
    assert irrigation.days == ((5, 1), (5, 8), (5, 15), (5, 22), (5, 29))
    assert irrigation.annual_depth == pytest.approx(5 * 25.4, abs=1e-9)
    assert irrigation.of_year(2031)[-1] == (date(2031, 5, 29), pytest.approx(25.4))
    assert irrigation.by_month()["May"] == pytest.approx(5 * 25.4)
    assert sum(irrigation.by_month().values()) == pytest.approx(irrigation.annual_depth)
    assert list(irrigation.by_month()) == list(MONTHS)


def test_irrigation_meets_what_rain_leaves_short__analytic():
    irrigation = Irrigation.to_meet(
        DRY, cover=LAWN, water=WELL, ground=SOIL.ground, depth="25 mm", leaching_fraction="20 %"
    )
    for number, (month, depth) in enumerate(irrigation.by_month().items()):
        short = LAWN.crop_factor * DRY.reference_evapotranspiration[number] - DRY.rain[number]
        assert depth == pytest.approx(max(0.0, short) / 0.8, abs=1e-9), month
    assert max(irrigation.depths) <= 25.0 + 1e-9
    with pytest.raises(LimitError, match="none is needed"):
        Irrigation.to_meet(
            DRY.without_evapotranspiration(), cover=LAWN, water=WELL, ground=SOIL.ground, depth="25 mm"
        )


def test_gypsum_in_the_water_is_234_lb_per_acre_foot_and_meq__usda_water_gypsum():
    # 1 mmol_c/L in a foot of water over one hectare
    irrigation = Irrigation(water=WELL, days=((6, 1),), depths=(304.8,), gypsum=0.5)
    per_acre_foot = gypsum_for_water("1 meq/L").magnitude
    assert per_acre_foot == pytest.approx(234.1, abs=0.05)
    kg_per_ha = per_acre_foot * 0.45359237 / 0.40468564224
    # the foot is the international one; the acre-foot of the trade may be the surveyor's
    assert irrigation.annual_gypsum_kg_per_ha == pytest.approx(kg_per_ha, rel=1e-4)


@pytest.mark.parametrize(
    ("make", "match"),
    [
        (lambda: Irrigation(water=WELL, days=((6, 2), (6, 1)), depths=(1.0, 1.0)), "out of order"),
        (lambda: Irrigation(water=WELL, days=((6, 1),), depths=()), "as many as depths"),
        (lambda: Irrigation(water=WELL, days=((2, 29),), depths=(5.0,)), "02-29: is not in every year"),
        (lambda: Irrigation(water=WELL, days=((13, 1),), depths=(5.0,)), "13-01: is not in every year"),
        (lambda: Irrigation(water=WELL, days=((6, 1),), depths=(0.0,)), "is too low"),
        (lambda: Irrigation(water=WELL, days=((6, 1),), depths=(9.0,), gypsum=30.0), "what Well 3 dissolves"),
        (lambda: Irrigation(water=WELL, days=((6, 1),), depths=(9.0,), gypsum=-1.0), "is too low"),
        (lambda: every(7, first="6-31"), "first = 6-31: is not a day of every year"),
        (lambda: every(7, first="10-01", last="05-01"), "is before the first day"),
        (lambda: every(0), "days between irrigations = 0"),
        (lambda: every(7, depth="25 dS/m"), "dS/m"),
        (lambda: meet(depth="0.5 mm"), "depth of an irrigation = 0.5 mm: is too low"),
        (lambda: meet(leaching_fraction="95 %"), "leaching_fraction = 0.95: is too high"),
    ],
)
def test_irrigation_that_cannot_be_is_refused__analytic(make, match):
    with pytest.raises(SoilxError, match=match):
        make()


def every(days: int, **more: str) -> Irrigation:
    return Irrigation.every(days, **{"depth": "25 mm", **more}, water=WELL, ground=SOIL.ground)


def meet(**more: str) -> Irrigation:
    return Irrigation.to_meet(DRY, cover=LAWN, water=WELL, ground=SOIL.ground, **more)


def test_a_field_knows_what_waters_gypsum_in__analytic():
    irrigation = every(7)
    tank = Water.of(name="Tank", sodium="1 mmol/L", chloride="1 mmol/L")
    given = {"climate": DRY, "rain": WATERS["Rain"], "cover": LAWN}
    assert FieldWater(**given).watering is WATERS["Rain"]
    assert FieldWater(**given, irrigation=irrigation).watering is WELL
    assert FieldWater(**given, irrigation=irrigation, visit_water=tank).watering is tank
    assert "no irrigation" in FieldWater(**given).notes
    assert any("25 mm every 7 days" in note for note in FieldWater(**given, irrigation=irrigation).notes)


def test_the_column_is_asked_for_its_share_of_the_covers_water__analytic():
    field = FieldWater(climate=DRY, rain=WATERS["Rain"], cover=LAWN)
    year = field.demand(date(2025, 1, 1), date(2026, 1, 1), depth=125.0)
    # a quarter of 500 mm of roots: four tenths of 0.6 × 1302 mm
    assert year == pytest.approx(0.4 * 0.6 * 1302.0, abs=1e-9)


def test_a_cover_that_cannot_be_is_refused__analytic():

    with pytest.raises(LimitError, match="crop factor of tolerant lawn = 3"):
        FieldWater(climate=DRY, rain=WATERS["Rain"], cover=replace(LAWN, crop_factor=3.0))
    with pytest.raises(LimitError, match="rooting depth = -1 mm"):
        FieldWater(climate=DRY, rain=WATERS["Rain"], cover=replace(LAWN, rooting_depth=-1.0))
    with pytest.raises(UnitKindError, match="depth of an irrigation"):
        every(7, depth="25")
