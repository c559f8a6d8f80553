"""Bench budgets: sodium in and out with errors, what the clay gave up, and when nobody can tell."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from soilx import demo_path
from soilx.bench.budget import Closing, Displaced, budget_of
from soilx.bench.budget_field import field_rows, scale_of
from soilx.bench.budget_pair import pair_of
from soilx.bench.budget_words import sentences_of
from soilx.bench.record_reading import read_record, record_of_bytes
from soilx.bench.uncertain import NOTHING, Uncertain, mean, total
from soilx.errors import FileError, LimitError
from soilx.wording import DEIONISED_IS_HARSH

TEXT = demo_path("bench_block_c.csv").read_text(encoding="utf-8")
DEMO = budget_of(read_record(demo_path("bench_block_c.csv")))
HEAD = "arm,replicate,portion,added_ml,volume_ml,sodium_mg_per_l,calcium_mg_per_l,sulfate_mg_per_l,flags\n"
SOIL = (
    "# water,deionised\n# soil_mass,100 g,0 g\n# drained_water,0.26 L/kg\n# volumes_by,weight\n"
    "# cation_exchange_capacity,24 cmol_c/kg,3 %\n# exchangeable_sodium,4.32 cmol_c/kg,3 %\n"
    "# soluble_sodium,0.85 cmol_c/kg,5 %\n# sodium_read_on,settled\n"
)


def budget(text):
    return budget_of(record_of_bytes(text.encode(), name="bench.csv"))


def changed(*changes):
    """Budget of the demo record with some of its text changed."""
    text = TEXT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return budget(text)


def said(found, word):
    return [sentence for sentence in sentences_of(found) if word in sentence]


def test_the_invented_run_closes_at_98_percent_with_an_error_bar__pinned():
    gypsum = DEMO.columns["gypsum", 1]
    assert 100 * gypsum.closure.value == pytest.approx(98, abs=2)
    assert 3 < 100 * gypsum.closure.error < 8
    assert gypsum.closing is Closing.CLOSES
    (sentence,) = said(DEMO, ": the budget closes")
    assert sentence == (
        "gypsum 1: 98 ± 12 % of the sodium was found again: the budget closes (85 to 115 % with these "
        "instruments)."
    )


def test_the_leached_sodium_is_the_sum_over_portions__arithmetic():
    portions = [(15, 855), (58, 475), (58, 242), (59, 114), (59, 59), (58, 26)]
    milligrams = sum(volume * sodium for volume, sodium in portions) / 1000
    gypsum = DEMO.columns["gypsum", 1].amounts
    assert gypsum.leached.value == pytest.approx(milligrams / 22.98977 / 0.1)
    # calibration is shared by all readings; readings, volumes and soil are not
    readings = math.sqrt(sum((0.06 * volume * sodium) ** 2 for volume, sodium in portions)) / 1000
    volumes = math.sqrt(sum((0.2 * sodium) ** 2 for _, sodium in portions)) / 1000
    expected = math.hypot(readings, volumes, 0.08 * milligrams, 0.001 * milligrams)
    assert gypsum.leached.error == pytest.approx(expected / 22.98977 / 0.1)


def test_the_invented_control_gave_up_nothing_measurable_from_the_clay__pinned():
    control = DEMO.columns["control", 1]
    assert control.displacement is Displaced.NOTHING
    assert control.closing is Closing.CANNOT_TELL
    (sentence,) = said(DEMO, "the clay gave up nothing measurable")
    assert sentence.startswith("control 1: ")
    assert "what came out had been dissolved before" in sentence
    assert any("cannot tell whether the budget closes" in one for one in said(DEMO, "control 1"))


def test_dissolved_sodium_is_told_from_displaced__pinned():
    gypsum = DEMO.columns["gypsum", 1]
    assert gypsum.displacement is Displaced.YES
    assert gypsum.amounts.soluble.value == pytest.approx(16.4 * 0.52)
    assert gypsum.displaced_by_soil.value == pytest.approx(21.6)
    assert abs(gypsum.displaced.value - 21.6) < gypsum.displaced.half_width
    (sentence,) = said(DEMO, "besides")
    assert "0.85 ± 0.08 that were dissolved from the start" in sentence
    assert "which agrees" in sentence


def test_water_and_soil_that_disagree_are_told__analytic():
    found = changed(("2.16 mmol_c/100 g,0.15 mmol_c/100 g", "3.60 mmol_c/100 g,0.15 mmol_c/100 g"))
    assert "does not agree" in said(found, "besides")[0]
    assert found.columns["gypsum", 1].closing is Closing.OPEN
    assert said(found, "does not close")


def test_esp_afterwards_stands_on_the_capacity_of_before__arithmetic():
    gypsum = DEMO.columns["gypsum", 1]
    assert gypsum.esp_before_pct.value == pytest.approx(18.0)
    assert gypsum.esp_after_pct.value == pytest.approx(9.0)
    assert said(DEMO, "more than two soil tests differ by scatter alone")
    # E17: undissolved gypsum counted as exchangeable calcium does not swell the capacity
    inflated = changed(
        ("# measured_with,kits", "# exchangeable_calcium_after,30 cmol_c/kg,3 %,gypsum\n# measured_with,kits")
    )
    assert inflated.columns["gypsum", 1].esp_after_pct.value == pytest.approx(9.0)
    assert said(inflated, "gypsum that had not dissolved was counted with it")


def test_a_small_change_of_esp_is_no_success__trade_texts():
    # E21
    found = changed(("2.16 mmol_c/100 g,0.15", "4.00 mmol_c/100 g,0.15"))
    assert said(found, "no more than two soil tests differ by scatter alone")


def test_gypsum_minus_control_shares_its_calibration__analytic():
    pair = pair_of(DEMO)
    value = pair.leached.value
    assert value.value == pytest.approx(pair.leached.treated.value - pair.leached.control.value)
    assert value.parts["sodium calibration"] == pytest.approx(0.08 * value.value)
    assert value.error < math.hypot(pair.leached.treated.error, pair.leached.control.error)
    assert pair.leached.is_seen
    assert pair.displaced.is_seen
    assert pair.water_ml == (307, 69)
    assert said(DEMO, "let 307 mL through and the control 69 mL")


def test_one_replicate_says_so_and_three_bring_their_scatter__common_practice():
    # E20
    assert said(DEMO, "1 replicate of an arm")
    rows = "".join(
        f"{arm},{number},1,60,{50 + number},{sodium * (1 + 0.1 * (number - 2))},,,\n"
        for arm, sodium in (("gypsum", 600), ("control", 100))
        for number in (1, 2, 3)
    )
    three = budget(SOIL + HEAD + rows)
    pair = pair_of(three)
    assert pair.replicates == 3
    assert not said(three, "replicate of an arm")
    values = [column.amounts.leached.value for column in three.of("gypsum")]
    scatter = np.std(values, ddof=1) / math.sqrt(3)
    assert pair.leached.treated.parts["leached of gypsum, scatter of replicates"] == pytest.approx(scatter)


def test_turbid_leachate_on_the_probe_widens_the_error__common_practice():
    # E19
    settled = DEMO.columns["control", 1].amounts.leached
    caught = changed(("sodium_read_on,settled", "sodium_read_on,as caught"))
    silent = changed(("# sodium_read_on,settled", "# a remark"))
    for found in (caught, silent):
        control = found.columns["control", 1].amounts.leached
        portion = "sodium of control 1, portion 2"
        assert control.parts[portion] == pytest.approx(2 * settled.parts[portion])
        assert said(found, "turbid leachate went straight onto the sodium probe")
        assert found.columns["gypsum", 1].amounts.leached.error == pytest.approx(
            DEMO.columns["gypsum", 1].amounts.leached.error
        )
    assert not said(DEMO, "turbid leachate")


def test_volumes_by_eye_widen_the_error_and_are_told__common_practice():
    # E18
    found = changed(("# volume_error,0.2 mL", "# a remark"), ("volumes_by,weight", "volumes_by,eye"))
    assert found.columns["gypsum", 1].closure.error > DEMO.columns["gypsum", 1].closure.error
    assert any("by eye" in note for note in found.record.notes)


def test_tap_water_is_told__common_practice():
    # E13
    found = changed(("# water,deionised", "# water,tap water"))
    assert said(found, "The water was tap water: its own calcium and sodium take part")
    assert said(found, "nobody wrote how much sodium the water holds")
    # E14
    assert DEIONISED_IS_HARSH in sentences_of(DEMO)
    assert DEIONISED_IS_HARSH not in sentences_of(found)


def test_sodium_of_the_water_is_counted__conservation():
    found = changed(("# water,deionised", "# water,Well 3\n# water_sodium,8.4 mmol/L,5 %"))
    column = found.columns["gypsum", 1]
    assert column.amounts.added.value == pytest.approx(8.4 * 0.360 / 0.1)
    assert column.closure.value < DEMO.columns["gypsum", 1].closure.value
    unknown = changed(
        ("# water,deionised", "# water,Well 3\n# water_sodium,8.4 mmol/L,5 %"),
        ("gypsum,1,3,60,", "gypsum,1,3,,"),
    )
    assert unknown.columns["gypsum", 1].amounts.added is None
    assert unknown.columns["gypsum", 1].closing is Closing.CANNOT_TELL
    assert said(unknown, "water poured on gypsum 1 was not written down")


def test_a_blank_is_taken_off__conservation():
    rows = "gypsum,1,1,60,50,500,,,\nblank,1,1,60,60,10,,,\nblank,2,1,60,60,20,,,\nblank,3,1,60,60,,,,\n"
    found = budget(SOIL + HEAD + rows)
    with_blank = found.columns["gypsum", 1].amounts.leached.value
    without = budget(SOIL + HEAD + "gypsum,1,1,60,50,500,,,\n").columns["gypsum", 1].amounts.leached.value
    assert without - with_blank == pytest.approx(60 * 15 / 1000 / 22.98977 / 0.1)
    assert said(found, "of the blank was taken off")


def test_above_range_is_a_lower_bound_and_cannot_tell__analytic():
    found = changed(("gypsum,1,1,60,15,4,5.4,,855,", "gypsum,1,1,60,15,4,5.4,,> 800,"))
    column = found.columns["gypsum", 1]
    assert column.amounts.at_least
    assert column.closing is Closing.CANNOT_TELL
    assert said(found, "is above the range of the instrument")
    assert said(found, "at least: cannot tell")
    assert pair_of(found).leached.value is None
    assert said(found, "Gypsum minus control, sodium in the leachate: cannot tell")
    assert pair_of(found).leached.is_seen is None
    # far too much already, whatever lies above the range
    much = changed(("gypsum,1,2,60,58,11,2.7,,475,", "gypsum,1,2,60,58,11,2.7,,> 5000,"))
    assert much.columns["gypsum", 1].closing is Closing.OPEN


def test_below_range_is_anything_from_nothing_to_the_end__analytic():
    one = budget(SOIL + HEAD + "gypsum,1,1,60,50,< 10,,,\n").columns["gypsum", 1].amounts.leached
    assert one.value == pytest.approx(5 * 0.05 / 22.98977 / 0.1)
    assert one.parts["sodium of gypsum 1, portion 1"] == pytest.approx(
        10 / math.sqrt(12) * 0.05 / 22.98977 / 0.1
    )


def test_a_portion_that_was_not_read_leaves_the_sum_open__analytic():
    found = changed(("gypsum,1,3,60,58,18,1.2,,242,", "gypsum,1,3,60,58,18,1.2,,,"))
    assert found.columns["gypsum", 1].closing is Closing.CANNOT_TELL
    assert said(found, "sodium of portion 3 of gypsum 1 was not read")
    none = budget(SOIL + HEAD + "gypsum,1,1,60,50,,,,\n")
    assert none.columns["gypsum", 1].amounts.leached is None
    assert none.columns["gypsum", 1].displacement is Displaced.CANNOT_TELL
    assert said(none, "cannot tell dissolved from displaced sodium")


def test_a_control_that_never_drips_leached_nothing__zhang2023():
    found = budget(SOIL + HEAD + "control,1,1,60,,,,,no leachate\ncontrol,1,2,60,0,,,,no leachate\n")
    column = found.columns["control", 1]
    assert column.amounts.leached.value == 0
    assert column.amounts.leached.error == 0
    # how much sodium its water holds nobody has read
    assert column.closing is Closing.CANNOT_TELL
    assert column.displacement is Displaced.CANNOT_TELL


def test_a_wide_error_closes_nothing__analytic():
    loose = changed(("# sodium_calibration_error,8 %", "# sodium_calibration_error,30 %"))
    assert loose.columns["gypsum", 1].closure.value == pytest.approx(0.98, abs=0.02)
    assert loose.columns["gypsum", 1].closing is Closing.CANNOT_TELL
    assert said(loose, "most of the error is from sodium calibration")
    laboratory = changed(("# measured_with,kits", "# measured_with,laboratory"))
    assert laboratory.columns["gypsum", 1].band == (0.95, 1.05)
    assert laboratory.columns["gypsum", 1].closing is Closing.CANNOT_TELL


def test_a_clay_that_is_hidden_by_the_errors_cannot_be_told__analytic():
    loose = changed(("# extract_sodium,16.4 mmol_c/L,3 %", "# extract_sodium,16.4 mmol_c/L,150 %"))
    assert loose.columns["control", 1].displacement is Displaced.CANNOT_TELL
    assert said(loose, "cannot tell whether sodium came off the clay")
    near = changed(("control,1,2,60,46,26,0.72,,148,", "control,1,2,60,46,26,0.72,,220,"))
    assert near.columns["control", 1].displacement is Displaced.NOTHING
    assert said(near, "would not be seen")


def test_calcium_and_sulfate_are_counted_where_they_were_read__conservation():
    lines = (
        "# dose,0.4 g,0.01 g,gypsum\n# purity,88 %,2 %\n# moisture,6 %,1 %\n# exchangeable_calcium,12 "
        "cmol_c/kg,3 %\n# soluble_calcium,0.07 cmol_c/kg,3 %\n# soluble_sulfate,0.28 cmol_c/kg,3 %\n"
    )
    found = budget(SOIL + lines + HEAD + "gypsum,1,1,60,50,500,100,1500,\n")
    calcium, sulfate = (found.others[element, "gypsum", 1] for element in ("calcium", "sulfate"))
    dose = 0.4 * 0.88 * 0.94 * 1000 / 172.1712 / 0.1
    assert calcium.amounts.dosed.value == pytest.approx(dose)
    assert calcium.into.value == pytest.approx(60 + 0.35 + dose)
    assert sulfate.into.value == pytest.approx(1.4 + dose)
    assert sulfate.amounts.leached.value == pytest.approx(1500 * 0.05 / 96.0626 / 0.1, rel=1e-4)
    assert calcium.esp_before_pct is None
    assert calcium.displaced is None
    (of_calcium,) = said(found, "on the clay, dissolved or as gypsum")
    assert "should still be in the soil" in of_calcium
    bare = budget(SOIL + "# dose,0.4 g,,gypsum\n" + HEAD + "gypsum,1,1,60,50,500,100,,\n")
    assert said(bare, "what was there at the start is not known")
    assert said(bare, "purity or moisture of the product was not written down")
    assert said(bare, "Sulfate was not read in the leachate")


def test_errors_that_nobody_wrote_are_told__common_practice():
    found = budget(SOIL.replace(",3 %", "") + HEAD + "gypsum,1,1,60,50,500,,,\n")
    assert said(found, "No error was written for exchangeable sodium")
    assert said(found, "are common practice, not yours")
    assert not said(DEMO, "No error was written")


def test_water_left_is_weighed_or_bounded__analytic():
    base = HEAD + "gypsum,1,1,60,50,500,,,\n"
    weighed = budget(SOIL + "# water_left,0.30 L/kg,0.01 L/kg\n" + base).columns["gypsum", 1].amounts
    assert weighed.left_in_water.value == pytest.approx(0.30 * 500 / 22.98977 / 2)
    bounded = budget(SOIL + "# initial_water,0.26 L/kg\n# saturation_percentage,52 %,0 %\n" + base)
    # between 0.26 drained and 0.26 + 10 mL on 100 g
    assert bounded.columns["gypsum", 1].amounts.left_in_water.value == pytest.approx(
        0.31 * 500 / 22.98977 / 2
    )
    unknown = budget(SOIL.replace("# drained_water,0.26 L/kg\n", "") + base)
    assert unknown.columns["gypsum", 1].amounts.left_in_water is None
    assert said(unknown, "cannot tell dissolved from displaced")


def test_every_bench_number_has_its_field_equivalent__arithmetic():
    rows = {row.name: row for row in field_rows(DEMO)}
    assert len(rows) == 7
    assert rows["gypsum 1, product"].bench == "0.400 g (4.00 g/kg)"
    assert rows["gypsum 1, product"].field.startswith("8.40 t/ha")
    assert rows["gypsum 1, water that came through"].field == "645 mm, 25.4 in"
    assert rows["gypsum 1, sodium leached"].bench == "66.1 ± 11.1 mg"
    # 661 mg/kg in 2100 t/ha of soil
    assert rows["gypsum 1, sodium leached"].field.startswith("1389 ± ")
    assert scale_of(DEMO.record).area_factor == pytest.approx(13.4, abs=0.05)
    unread = changed(("335", ""), ("148", ""), ("70,", ","))
    assert "control 1, sodium leached" not in {row.name for row in field_rows(unread)}
    pure = changed(("# purity,88 %,2 %", "# a remark"))
    assert scale_of(pure.record).product.purity == 1.0
    dry = changed(("# moisture,6 %,1 %", "# a remark"))
    assert scale_of(dry.record).product.moisture == 0.0


def test_what_a_budget_needs_is_asked_for__analytic():
    bare = "arm,portion,volume_ml,sodium_mg_per_l\ngypsum,1,50,500\n"
    with pytest.raises(LimitError, match="soil_mass of record bench"):
        budget(bare)
    with pytest.raises(LimitError, match="depth of record bench"):
        scale_of(record_of_bytes(("# soil_mass,100 g\n" + bare).encode(), name="bench.csv"))
    with pytest.raises(FileError, match='the arms are "gypsum", "control"'):
        pair_of(DEMO, treated="calcium chloride")
    alone = budget("# soil_mass,100 g\n" + bare)
    assert alone.columns["gypsum", 1].closure is None
    assert alone.columns["gypsum", 1].esp_after_pct is None
    assert not said(alone, "Gypsum minus control")


number = st.floats(0.5, 20)
error = st.floats(0, 0.01)


@given(a=number, b=number, c=number, ea=error, eb=error, ec=error)
def test_errors_are_propagated_as_drawn_ones_are__analytic(a, b, c, ea, eb, ec):
    one, two, three = (
        Uncertain.of(value, size * value, name)
        for value, size, name in ((a, ea, "a"), (b, eb, "b"), (c, ec, "c"))
    )
    mixed = (one * two + three * 2.0) / (two - three * 0.01) - one
    step = 1e-6
    slopes = []
    for at in range(3):
        moved = [a, b, c]
        moved[at] += step
        slopes.append((_mixed(*moved) - _mixed(a, b, c)) / step)
    expected = math.hypot(
        *(slope * size * value for slope, size, value in zip(slopes, (ea, eb, ec), (a, b, c), strict=True))
    )
    assert mixed.value == pytest.approx(_mixed(a, b, c))
    assert mixed.error == pytest.approx(expected, rel=1e-3, abs=1e-6)


def _mixed(a, b, c):
    return (a * b + c * 2.0) / (b - c * 0.01) - a


def test_a_shared_error_cancels_and_others_do_not__analytic():
    one, two = Uncertain.of(10.0, 1.0, "calibration"), Uncertain.of(10.0, 1.0, "calibration")
    assert (one - two).error == 0
    assert (one + two).error == pytest.approx(2.0)
    assert (one - Uncertain.of(10.0, 1.0, "other")).error == pytest.approx(math.sqrt(2))
    assert total([]) == NOTHING
    assert NOTHING.largest() == ""
    assert one.interval == pytest.approx((8.04, 11.96))
    assert mean([one, two]).error == pytest.approx(1.0)
    scattered = mean([Uncertain(1.0), Uncertain(3.0)], source="scatter")
    assert (scattered.value, scattered.error) == (2.0, pytest.approx(1.0))


def test_the_stated_interval_holds_the_truth__analytic():
    """Records drawn with the stated errors: the 95 % interval of the closure holds 1 as often as it says."""
    rng = np.random.default_rng(11)
    volumes, strengths = np.array([15, 58, 58, 59, 59, 58.0]), np.array([855, 475, 242, 114, 59, 26.0])
    leached = (volumes * strengths).sum() / 1000 / 22.98977 / 0.1
    left = 0.30 * 26 / 22.98977 / 2
    clay_after = 21.6
    clay = leached + left + clay_after - 8.5
    inside = 0
    for _ in range(200):
        read = strengths * (1 + 0.08 * rng.normal()) * (1 + 0.06 * rng.normal(size=6))
        weighed = volumes + 0.2 * rng.normal(size=6)
        rows = "".join(f"gypsum,1,{n + 1},60,{weighed[n]:.6f},{read[n]:.6f},,,\n" for n in range(6))
        lines = (
            "# water,deionised\n# soil_mass,100 g,0 g\n# drained_water,0.26 L/kg\n# volumes_by,weight\n"
            f"# exchangeable_sodium,{clay * (1 + 0.03 * rng.normal()):.6f} mmol_c/kg,3 %\n"
            f"# soluble_sodium,{8.5 * (1 + 0.05 * rng.normal()):.6f} mmol_c/kg,5 %\n"
            f"# exchangeable_sodium_after,{clay_after + 1.5 * rng.normal():.6f} mmol_c/kg,1.5 mmol_c/kg\n"
            f"# water_left,0.30 L/kg,0 L/kg\n"
        )
        low, high = budget(lines + HEAD + rows).columns["gypsum", 1].closure.interval
        inside += low <= 1.0 <= high
    # 190 expected; four standard errors of 200 draws
    assert 178 <= inside <= 200
