"""From a bench record to what a fit goes by: errors, limits, doubts, and the columns as scenarios."""

from dataclasses import replace

import numpy as np
import pytest
from synthetic_bench import cases

from soilx.bench.fit_columns import layers_of_bench
from soilx.bench.fit_soil import soil_by_totals
from soilx.bench.measured import Measured
from soilx.bench.observations import FLOORS, observe, rounding_error
from soilx.bench.record import ArmRecord, Instrument, Portion, Record
from soilx.bench.record_reading import read_record
from soilx.chemistry.ions import GYPSUM_MOLAR_MASS
from soilx.column.files import demo_path, read_soils
from soilx.column.leaching import leach
from soilx.column.water import Water
from soilx.errors import LimitError

BLOCK_C = read_soils(demo_path("soils.csv"))["Block C"]
RUN = read_record(demo_path("bench_block_c.csv"))


def with_words(record: Record, **words: str) -> Record:
    return replace(record, words={**record.words, **words})


def with_value(record: Record, key: str, value: float | None, *, arm: str = "") -> Record:
    values = {which: kept for which, kept in record.values.items() if which[0] != key or which[1] != arm}
    if value is not None:
        values[(key, arm, 0)] = Measured(value=value)
    return replace(record, values=values)


def with_arm(record: Record, name: str, *portions: Portion, only: bool = False) -> Record:
    arm = ArmRecord(name=name, replicates={1: portions})
    return replace(record, arms={name: arm} if only else {**record.arms, name: arm})


def test_the_demo_run_gives_a_reading_for_each_number_in_it__pinned():
    found = observe(RUN, BLOCK_C)
    assert [column.name for column in found.columns] == ["gypsum 1", "control 1"]
    assert len(found.readings) == 18
    assert found.quantities == ("sodium", "ec")
    assert found.left_out == ()
    assert found.calibration == {"sodium": 0.08, "ec": 0.03}
    first = found.readings[0]
    assert (first.arm, first.portion, first.quantity, first.value) == ("gypsum", 1, "sodium", 855.0)
    # 6 % of 855, with 1 mg/L and a last figure of 1 mg/L
    assert first.standard_error == pytest.approx((51.3**2 + 1 + 1 / 12) ** 0.5, rel=1e-12)


def test_cups_of_the_model_catch_the_volumes_as_measured__conservation():
    for column in observe(RUN, BLOCK_C).columns:
        run = leach(column.scenario)
        caught = run.leachate.volume * 1000 * RUN.soil_mass
        assert caught == pytest.approx([portion.volume_ml for portion in column.portions], rel=1e-9)


def test_the_dose_is_pure_and_dry_gypsum_per_soil__analytic():
    gypsum, control = observe(RUN, BLOCK_C).columns
    # 0.40 g of product, 88 % pure, 6 % wet, on 100 g
    assert gypsum.scenario.gypsum == pytest.approx(4.0 * 0.88 * 0.94 / GYPSUM_MOLAR_MASS * 1000, rel=1e-9)
    assert control.scenario.gypsum == 0.0


def test_hours_of_a_cup_are_those_since_the_one_before__analytic():
    gypsum = observe(RUN, BLOCK_C).columns[0]
    assert [wetting.hours for wetting in gypsum.scenario.wettings] == [4, 7, 7, 8, 8, 9]


def test_kept_water_is_what_the_first_cup_lacks__analytic():
    gypsum, control = observe(RUN, BLOCK_C).columns
    assert (gypsum.kept_ml, control.kept_ml) == (45.0, 46.0)
    assert gypsum.filling_ml == pytest.approx(16.0)


@pytest.mark.parametrize(
    ("value", "place"), [(26.0, 1.0), (5.4, 0.1), (0.12, 0.01), (1e-7, 1e-7), (2.5e-7, 1e-8), (475.0, 1.0)]
)
def test_rounding_counts_as_its_last_figure__analytic(value, place):
    assert rounding_error(value) == pytest.approx(place / 12**0.5, rel=1e-12)


def test_turbid_sodium_is_used_only_once_cleared__common_practice():
    caught = observe(with_words(RUN, sodium_read_on="as caught"), BLOCK_C)
    assert sorted({(r.arm, r.quantity) for r in caught.readings}) == [
        ("control", "ec"), ("gypsum", "ec"), ("gypsum", "sodium"),
    ]  # fmt: skip
    assert len(caught.left_out) == 3
    assert all("turbid" in said for said in caught.left_out)


def test_readings_beyond_an_instrument_are_limits__analytic():
    low, high = (
        Portion(number=number, volume_ml=20, sodium_mg_per_l=value, flags=(flag,))
        for number, value, flag in ((1, 5.0, "sodium below range"), (2, 900.0, "sodium above range"))
    )
    found = observe(with_arm(RUN, "control", low, high, only=True), BLOCK_C)
    assert [(reading.limit, reading.value) for reading in found.readings] == [
        ("below", 5.0),
        ("above", 900.0),
    ]


def test_floors_are_those_of_the_instruments__common_practice():
    kits, laboratory = (
        observe(with_words(RUN, measured_with=which), BLOCK_C).readings[1].floor
        for which in ("kits", "laboratory")
    )
    rounding = 0.1 / 12**0.5
    assert kits == pytest.approx((FLOORS["kits"]["ec"] ** 2 + rounding**2) ** 0.5)
    assert laboratory == pytest.approx((FLOORS["laboratory"]["ec"] ** 2 + rounding**2) ** 0.5)


def test_a_quantity_without_its_instrument_has_the_errors_of_kits__common_practice():
    found = observe(replace(RUN, instruments={}), BLOCK_C)
    assert found.readings[1].error == 0.02
    assert found.calibration["ec"] == 0.03


def test_an_instrument_without_error_is_refused__analytic():
    exact = Instrument(quantity="sodium", reading_error=0.0, calibration_error=0.0)
    with pytest.raises(LimitError, match=r"sodium_reading_error .* none is exact"):
        observe(replace(RUN, instruments={**RUN.instruments, "sodium": exact}), BLOCK_C)


def test_what_never_drips_says_nothing_and_is_said__common_practice():
    never = Portion(number=1, volume_ml=0.0, added_ml=60, flags=("no leachate",))
    found = observe(with_arm(RUN, "control", never), BLOCK_C)
    assert [column.arm for column in found.columns] == ["gypsum"]
    assert any("nothing dripped" in said for said in found.left_out)


def test_water_poured_before_the_first_drip_fills_the_column__conservation():
    never = Portion(number=1, volume_ml=0.0, added_ml=30.0, hours=5.0)
    first = Portion(number=2, volume_ml=12.0, added_ml=60.0, hours=9.0, electrical_conductivity=2.0)
    column = observe(with_arm(RUN, "control", never, first, only=True), BLOCK_C).columns[0]
    assert column.kept_ml == 78.0
    assert [wetting.hours for wetting in column.scenario.wettings] == [9.0]
    assert column.scenario.volume == pytest.approx(0.16 + 0.12)


def test_portions_after_a_missing_one_are_left_out__analytic():
    first, third = (Portion(number=number, volume_ml=20, electrical_conductivity=1.0) for number in (1, 3))
    found = observe(with_arm(RUN, "control", first, third, only=True), BLOCK_C)
    assert [reading.portion for reading in found.readings] == [1]
    assert any("portion 2 is not in the record" in said for said in found.left_out)
    assert found.columns[0].kept_ml is None
    assert any("times are not all written down" in said for said in found.notes)


def test_blanks_hold_no_soil__analytic():
    blank = Portion(number=1, volume_ml=20, electrical_conductivity=0.01)
    found = observe(with_arm(RUN, "blank", blank), BLOCK_C)
    assert any("holds no soil" in said for said in found.left_out)
    assert len(found.columns) == 2


SALTY = Portion(number=1, volume_ml=20, electrical_conductivity=3.0)


def test_a_salt_arm_gets_the_water_of_the_record__analytic():
    record = with_value(with_arm(RUN, "calcium chloride", SALTY, only=True), "water_calcium", 15.0)
    (column,) = observe(record, BLOCK_C).columns
    solution = column.scenario.wettings[0].water.solution
    assert (solution.ca, solution.cl) == pytest.approx((15.0, 30.0))


def test_water_stated_as_nothing_is_deionised__analytic():
    record = with_value(with_arm(RUN, "control", SALTY, only=True), "water_sodium", 0.0)
    assert observe(record, BLOCK_C).columns[0].scenario.wettings[0].water.name == "deionised"


@pytest.mark.parametrize(
    ("arm", "key", "value"),
    [
        ("sodium chloride", None, None),
        ("irrigation water", "water_sodium", 8.4),
        ("control", "water_sulfate", 5.0),
    ],
)
def test_an_arm_of_unknown_water_is_left_out_until_it_is_given__analytic(arm, key, value):
    record = with_arm(RUN, arm, SALTY, only=True)
    if key is not None:
        record = with_value(record, key, value)
    found = observe(record, BLOCK_C)
    assert found.columns == ()
    assert "give its water" in found.left_out[0]
    well = Water.of(name="well", sodium="8 mmol/L", chloride="8 mmol/L")
    assert observe(record, BLOCK_C, waters={arm: well}).columns[0].scenario.wettings[0].water == well


def test_a_gypsum_arm_without_its_dose_is_refused__analytic():
    with pytest.raises(LimitError, match="dose of record"):
        observe(with_value(RUN, "dose", None, arm="gypsum"), BLOCK_C)


def test_a_product_of_unknown_purity_is_taken_as_pure_and_that_is_said__common_practice():
    found = observe(with_value(with_value(RUN, "purity", None), "moisture", None), BLOCK_C)
    assert sum("of the product" in said for said in found.notes) == 2
    assert found.columns[0].scenario.gypsum == pytest.approx(4.0 / GYPSUM_MOLAR_MASS * 1000)


def test_layers_follow_from_the_depth_of_the_soil_in_its_container__common_practice():
    # 100 g at 1.40 kg/L under 9 cm: 11.2 mm; with 1 mm of dispersivity, 2.8 layers of half-displaced water
    assert layers_of_bench(RUN, BLOCK_C)[0] == 3
    assert observe(RUN, BLOCK_C).columns[0].scenario.layers == 3
    assert layers_of_bench(with_value(RUN, "bulk_density", None), BLOCK_C)[0] == 3
    assert layers_of_bench(with_value(RUN, "opening", None), BLOCK_C)[0] == 6
    assert layers_of_bench(with_value(RUN, "soil_mass", 5.0), BLOCK_C)[0] == 12


def test_waters_of_the_record_win_over_the_soils__analytic():
    column = observe(with_value(RUN, "initial_water", 0.05), BLOCK_C).columns[0]
    assert column.scenario.soil.initial_water == 0.05
    assert column.filling_ml == pytest.approx(21.0)
    assert column.scenario.soil.sodium == pytest.approx(BLOCK_C.sodium, rel=1e-12)
    silent = with_value(with_value(RUN, "initial_water", None), "drained_water", None)
    assert observe(silent, BLOCK_C).columns[0].scenario.soil == BLOCK_C


def test_a_soil_by_its_totals_is_the_same_soil__conservation():
    for case in cases().values():
        again = soil_by_totals(case.soil, name="again")
        assert again.inventory.amounts == pytest.approx(dict(case.soil.inventory.amounts), rel=1e-12)
        assert again.selectivity == case.soil.selectivity
        assert again.exchangeable_sodium_percentage == pytest.approx(
            case.soil.exchangeable_sodium_percentage, rel=1e-9
        )
        assert again.observations == case.soil.observations


def test_fewer_quantities_are_the_same_run_with_less_read__analytic():
    found = observe(RUN, BLOCK_C)
    assert len(found.only("ec").readings) == 9
    assert found.only("ec").columns == found.columns
    with pytest.raises(LimitError, match="quantities = colour"):
        found.only("colour")
    with pytest.raises(LimitError, match="quantities = none"):
        found.only()


def test_a_run_without_readings_has_none__analytic():
    bare = with_arm(RUN, "control", Portion(number=1, volume_ml=20), only=True)
    found = observe(bare, BLOCK_C)
    assert (found.readings, found.quantities, found.calibration) == ((), (), {})
    assert np.all([not said.startswith("near nothing") for said in found.notes])
