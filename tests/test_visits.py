"""Plans of visits: what they add up to, the caps they keep, and the water that follows."""

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from soilx.column.files import demo_path, read_soils
from soilx.errors import LimitError, SoilxError, UnitKindError
from soilx.practice.dose.product import PURE, Product
from soilx.practice.seasons.covers import COVERS
from soilx.practice.seasons.visit_plans import incorporated, split
from soilx.practice.seasons.visits import Visit, VisitPlan, day_of, months_later
from soilx.units import Kind, express, read

SOILS = read_soils(demo_path("soils.csv"))
SOIL = SOILS["Block C"]
SAND = SOILS["Lawn 2"]
PIT = Product.of("pit gypsum", purity="88 %", moisture="6 %")
FIRST = date(2026, 3, 15)

products = st.builds(
    Product,
    name=st.just("some"),
    purity=st.floats(0.5, 1.0),
    moisture=st.floats(0.0, 0.3),
)


def product_lb(plan: VisitPlan, visit: Visit) -> float:
    return express(plan.product_of(visit.gypsum), Kind.PRODUCT_RATE, "lb/1000 ft^2", ground=plan.ground)


@settings(max_examples=60, deadline=None)
@given(
    rate=st.floats(0.05, 6.0),
    cap=st.floats(15.0, 60.0),
    share=st.floats(0.05, 0.4),
    every=st.integers(1, 4),
    product=products,
)
def test_a_split_adds_up_and_keeps_its_cap_and_its_water__conservation(rate, cap, share, every, product):
    plan = split(
        SOIL, gypsum=f"{rate!r} t/ha", first=FIRST, cap=f"{cap!r} lb/1000 ft^2", instalment=share,
        days_between=7, leach_every=every, product=product, water="10 mm", leach="40 mm",
    )  # fmt: skip
    total = read(f"{rate!r} t/ha", Kind.GYPSUM_RATE, name="rate", ground=SOIL.ground)
    assert sum(visit.gypsum for visit in plan.visits) == pytest.approx(total, rel=1e-12)
    assert plan.total == pytest.approx(total, rel=1e-12)
    assert max(product_lb(plan, visit) for visit in plan.visits) <= cap * (1 + 1e-9)
    assert sum(plan.by_year) == pytest.approx(total, rel=1e-12)
    assert max(plan.by_year) <= 2 * share * total * (1 + 1e-9)
    # never less water than stated, leaching after every few visits and after the last
    areal = SOIL.depth * SOIL.bulk_density
    for number, visit in enumerate(plan.visits, start=1):
        assert visit.water * areal == pytest.approx(10.0, rel=1e-9)
        wanted = 40.0 if number % every == 0 or number == len(plan.visits) else 0.0
        assert visit.leach * areal == pytest.approx(wanted, rel=1e-9)
    days = [visit.day for visit in plan.visits]
    assert days == sorted(set(days))
    assert plan.cumulative_share[-1] == pytest.approx(1.0, rel=1e-12)


def test_no_visit_is_needed_where_the_cap_allows_the_instalment__analytic():
    # 161 lb/1000 ft², a full rate for a strongly sodic soil: a quarter is 40.25, below 50 and above 25
    for cover, count in (("tolerant lawn", 4), ("fine turf", 8)):
        plan = split(SOIL, gypsum="161 lb/1000 ft^2", first=FIRST, cover=cover)
        assert len(plan.visits) == count
        assert plan.rows()[0]["product_lb_per_1000_ft2"] == pytest.approx(161 / count, rel=1e-9)
        assert plan.rows()[-1]["share_so_far_pct"] == pytest.approx(100.0, rel=1e-12)


def test_established_plantings_get_a_quarter_twice_a_year__common_practice():
    plan = split(SOIL, gypsum="5 t/ha", first=FIRST, cover="shrubs", product=PIT)
    assert [visit.day for visit in plan.visits] == [
        date(2026, 3, 15), date(2026, 9, 15), date(2027, 3, 15), date(2027, 9, 15),
    ]  # fmt: skip
    assert [visit.gypsum / plan.total for visit in plan.visits] == pytest.approx([0.25] * 4, rel=1e-12)
    assert plan.by_year == pytest.approx((plan.total / 2,) * 2, rel=1e-12)
    assert plan.placement == "surface"
    assert any("top 6 in; monitor" in what for what, _ in plan.practice)
    for what, label in plan.practice:
        assert label == "common practice, no published source †", what


def test_a_cap_of_ones_own_is_not_called_common_practice__analytic():
    plan = split(SOIL, gypsum="5 t/ha", first=FIRST, cover="vegetables", cap="60 lb/1000 ft^2")
    assert [label for what, label in plan.practice if "at most" in what] == ["your own cap"]


def test_the_cap_is_of_product_and_not_of_pure_gypsum__analytic():
    pure = split(SOIL, gypsum="40 lb/1000 ft^2", first=FIRST, instalment=1.0, instalments_a_year=1)
    pit = split(
        SOIL, gypsum="40 lb/1000 ft^2", first=FIRST, instalment=1.0, instalments_a_year=1, product=PIT
    )
    wet = split(
        SOIL, gypsum="45 lb/1000 ft^2", first=FIRST, instalment=1.0, instalments_a_year=1, product=PIT
    )
    # 40 / (0.88 × 0.94) is 48.4 of product, still one visit; 45 is 54.4, two
    assert (len(pure.visits), len(pit.visits), len(wet.visits)) == (1, 1, 2)
    assert pit.rows()[0]["product_lb_per_1000_ft2"] == pytest.approx(40 / (0.88 * 0.94), rel=1e-9)


def test_an_annual_limit_makes_instalments_smaller_and_more__analytic():
    free = split(SOIL, gypsum="8 t/ha", first=FIRST)
    kept = split(SOIL, gypsum="8 t/ha", first=FIRST, annual_limit="2.24 t/ha")
    assert max(kept.by_year) < max(free.by_year)
    yearly = [express(pure, Kind.GYPSUM_RATE, "t/ha", ground=kept.ground) for pure in kept.by_year]
    assert yearly == pytest.approx([2.24, 2.24, 2.24, 1.28], rel=1e-9)
    assert any("instalments of 14 %" in note for note in kept.notes)
    loose = split(SOIL, gypsum="8 t/ha", first=FIRST, annual_limit="5 t/ha")
    assert loose.visits == free.visits
    assert not loose.notes


def test_the_retest_comes_after_the_first_third__common_practice():
    assert split(SOIL, gypsum="5 t/ha", first=FIRST).retest_after == 2
    assert split(SOIL, gypsum="6 t/ha", first=FIRST, cover="fine turf").retest_after == 3
    # three equal thirds: the first of them is a third, whatever rounding says
    assert split(SOIL, gypsum="3 t/ha", first=FIRST, instalment=1 / 3).retest_after == 1
    assert incorporated(SOIL, gypsum="5 t/ha", day=FIRST).retest_after == 1


def test_a_full_rate_is_worked_in_at_once__common_practice():
    plan = incorporated(SOIL, gypsum="5.64 t/ha", day="2026-03-15", placement="top 10 cm", product=PIT)
    (visit,) = plan.visits
    assert (plan.placement, visit.day) == ("top", FIRST)
    assert plan.top_fraction == pytest.approx(100 / 150, rel=1e-12)
    (row,) = plan.rows()
    assert row["pure_t_per_ha"] == pytest.approx(5.64, rel=1e-9)
    assert row["product_t_per_ha"] == pytest.approx(5.64 / (0.88 * 0.94), rel=1e-9)
    assert row["water_in_mm"] == pytest.approx(12.7, rel=1e-9)
    assert row["leach_mm"] == pytest.approx(0.26 * 210, rel=1e-9)  # a pore volume of 210 kg/m²
    assert plan.water == pytest.approx(visit.water + visit.leach)
    for _, label in plan.practice:
        assert "common practice, no published source" in label
    with pytest.raises(LimitError, match="placement = surface: is not worked into the soil"):
        incorporated(SOIL, gypsum="5 t/ha", day=FIRST, placement="surface")


def test_a_column_of_another_depth_than_six_inches_is_pointed_out__analytic():
    assert not split(SOIL, gypsum="5 t/ha", first=FIRST).notes
    (note,) = split(SAND, gypsum="0.3 t/ha", first=FIRST).notes
    assert note.startswith("the rate belongs to the column's 100 mm")
    rarely = split(SOIL, gypsum="5 t/ha", first=FIRST, leach_every=4)
    assert rarely.notes == ("leached after every 4 visits, where common practice leaches after 2 to 3",)


@pytest.mark.parametrize(
    ("more", "match"),
    [
        ({"gypsum": "0 t/ha"}, "gypsum = 0 mmol/kg: is too low"),
        (
            {"gypsum": "60 t/ha", "cover": "fine turf"},
            "visits of instalment 1 = 13: do not fit before the next",
        ),
        ({"cover": "vegetables"}, "cover = vegetables: has no cap of its own"),
        ({"cover": "moss"}, "cover = moss: is not known"),
        ({"cap": "0 lb/1000 ft^2"}, "cap = 0 g/kg: is too low"),
        ({"cap": "5 mm"}, "cap"),
        ({"annual_limit": "0 t/ha"}, "annual_limit = 0 g/kg"),
        ({"instalment": "120 %"}, "instalment = 1.2"),
        ({"instalments_a_year": 13}, "instalments_a_year = 13: is too high"),
        ({"days_between": 0}, "days_between = 0: is too low"),
        ({"leach_every": 2.5}, "leach_every = 2.5: is not a whole number"),
        ({"first": "2026-02-30"}, "first = 2026-02-30: is not a day"),
        ({"water": "-3 mm"}, "water"),
    ],
)
def test_a_split_that_cannot_be_is_refused__analytic(more, match):
    with pytest.raises(SoilxError, match=match):
        split(SOIL, **{"gypsum": "5 t/ha", "first": FIRST, **more})


def test_the_last_instalment_may_run_on__analytic():
    # one instalment in all: nothing comes after it that its visits could run into
    plan = split(
        SOIL, gypsum="3 t/ha", first=FIRST, cap="4 lb/1000 ft^2", instalment=1.0, instalments_a_year=1
    )
    assert len(plan.visits) == 16
    assert {(b.day - a.day).days for a, b in zip(plan.visits, plan.visits[1:], strict=False)} == {28}


def two_visits(**more: object) -> VisitPlan:
    visits = (Visit(day=FIRST, gypsum=2.0), Visit(day=FIRST + timedelta(days=30), gypsum=1.0))
    return VisitPlan(
        **{
            "ground": SOIL.ground,
            "product": PURE,
            "total": 3.0,
            "visits": visits,
            "placement": "surface",
            **more,
        }
    )


@pytest.mark.parametrize(
    ("more", "match"),
    [
        ({"total": 3.1}, "gypsum of all visits = 3 mmol/kg: is not the total"),
        ({"visits": ()}, "visits: there is none"),
        ({"visits": two_visits().visits[::-1]}, "out of order"),
        (
            {"cap": 0.3},
            "product of visit 1 = .* is too much at once; the limit is this plan's cap of a visit",
        ),
        ({"annual_limit": 0.5}, "product of year 1 = .* is too much at once"),
        ({"placement": "beside"}, "placement = beside: is not known"),
    ],
)
def test_a_plan_made_by_hand_is_held_to_its_own_limits__analytic(more, match):
    two_visits()
    with pytest.raises(LimitError, match=match):
        two_visits(**more)


def test_a_cap_holds_even_when_a_plan_is_changed_afterwards__analytic():
    plan = split(SOIL, gypsum="5 t/ha", first=FIRST)
    doubled = tuple(replace(visit, gypsum=2 * visit.gypsum) for visit in plan.visits)
    with pytest.raises(LimitError, match="cap of a visit, 50 lb/1000"):
        replace(plan, visits=doubled, total=2 * plan.total)


def test_years_of_a_plan_are_counted_from_its_first_visit__conservation():
    # a first visit on a day that later months lack
    plan = split(SOIL, gypsum="5 t/ha", first="2026-08-31", cover="fine turf", instalment="10 %")
    assert Counter(round(pure / plan.total, 9) for pure in plan.by_year) == {0.2: 5}
    assert plan.visits[0].day == date(2026, 8, 31)


def test_months_later_keeps_to_days_that_every_month_has__analytic():
    assert months_later(date(2026, 8, 31), 6) == date(2027, 2, 28)
    assert months_later(date(2026, 3, 15), 0) == date(2026, 3, 15)
    assert months_later(date(2026, 12, 1), 1) == date(2027, 1, 1)
    assert day_of(" 2026-03-15 ", name="day") == FIRST


@pytest.mark.parametrize("field", ["gypsum", "water", "leach"])
def test_a_visit_without_sense_is_refused__analytic(field):
    with pytest.raises(LimitError, match="is too low"):
        Visit(**{"day": FIRST, "gypsum": 1.0, field: -1.0})


def test_a_bare_number_is_no_rate__analytic():
    with pytest.raises(UnitKindError):
        split(SOIL, gypsum="5", first=FIRST)
    assert COVERS["fine turf"].cap_high == 25.0
