"""Bench records read: every kind of bad record says one clear sentence and loses nothing."""

from pathlib import Path

import pytest

from soilx.bench.record import FLAGS
from soilx.bench.record_cells import read_cell
from soilx.bench.record_columns import COLUMN, COLUMN_FIELDS, HEADER, MOST_ROWS
from soilx.bench.record_reading import LARGEST_FILE, read_record, record_of_bytes
from soilx.chemistry.conductivity import temperature_factor_to_25
from soilx.column.files import demo_path
from soilx.errors import FileError

DEMO = demo_path("bench_block_c.csv")
TEXT = DEMO.read_text(encoding="utf-8")
HEAD = (
    "arm,replicate,portion,volume_ml,time_h,ec_ds_per_m,ec_temperature_c,sodium_mg_per_l,"
    "turbidity_ntu,flags\n"
)


def record(text, name="bench.csv"):
    return record_of_bytes(text.encode(), name=name)


def bad(tmp_path, text):
    """What a file comes to, its one sentence, and that the file and every cell of it are still there."""
    path = tmp_path / "bench.csv"
    path.write_bytes(text.encode())
    found = read_record(path)
    assert path.read_bytes() == text.encode()
    kept = {cell for row in found.rows for cell in row}
    for problem in found.problems:
        assert not problem.text or problem.text in kept
    (sentence,) = found.sentences
    assert sentence.startswith("bench.csv, row ")
    assert sentence.endswith(".")
    assert sentence.count("; ") >= 2  # what is wrong; the limit; what to do
    return found, sentence


def test_the_demo_record_is_read_whole__pinned():
    found = read_record(DEMO)
    assert not found.problems
    assert not found.notes
    assert list(found.arms) == ["gypsum", "control"]
    gypsum, control = found.arms["gypsum"].replicates[1], found.arms["control"].replicates[1]
    assert [portion.volume_ml for portion in gypsum] == [15, 58, 58, 59, 59, 58]
    assert [portion.sodium_mg_per_l for portion in gypsum] == [855, 475, 242, 114, 59, 26]
    assert [portion.electrical_conductivity for portion in control] == [1.6, 0.72, 0.33]
    assert control[2].is_above_range("turbidity")
    assert control[2].is_turbid
    assert not gypsum[5].is_turbid
    assert found.soil_mass == pytest.approx(0.1)
    after = found.known("exchangeable_sodium_after", arm="gypsum", replicate=1)
    assert (after.value, after.error) == (pytest.approx(21.6), pytest.approx(1.5))
    assert found.instruments["sodium"].error == pytest.approx(0.1)
    assert found.volume_error_ml == pytest.approx(0.2)


def test_text_in_a_number_is_named_and_its_row_still_counts__analytic(tmp_path):
    found, sentence = bad(tmp_path, HEAD + "gypsum,1,1,58,4,,,about 40,20,\n")
    assert "column sodium_mg_per_l = about 40: is not a number" in sentence
    (portion,) = found.arms["gypsum"].portions
    assert portion.sodium_mg_per_l is None
    assert (portion.volume_ml, portion.turbidity_ntu) == (58, 20)


def test_a_negative_volume_is_named_and_the_other_portions_stay__analytic(tmp_path):
    found, sentence = bad(tmp_path, HEAD + "gypsum,1,1,-58,4,,,40,,\ngypsum,1,2,58,8,,,20,,\n")
    assert "row 2, column volume_ml = -58: is negative" in sentence
    assert [portion.number for portion in found.arms["gypsum"].portions] == [2]


def test_portions_out_of_order_are_read_by_their_number__analytic():
    found = record(HEAD + "gypsum,1,2,58,8,,,20,,\ngypsum,1,1,57,4,,,40,,\n")
    assert [portion.number for portion in found.arms["gypsum"].portions] == [1, 2]
    (note,) = found.notes
    assert "row 3: portion 1 of arm gypsum, replicate 1 stands out of order" in note
    assert not found.problems


def test_times_that_run_backwards_are_named_and_not_used__analytic(tmp_path):
    found, sentence = bad(tmp_path, HEAD + "gypsum,1,1,58,8,,,20,,\ngypsum,1,2,57,4,,,40,,\n")
    assert "row 3, column time_h = 4: is earlier than a portion before it" in sentence
    assert [portion.hours for portion in found.arms["gypsum"].portions] == [8, None]


@pytest.mark.parametrize(
    ("volume", "words"), [("58", "stands twice;"), ("59", "stands twice, and the two differ")]
)
def test_a_duplicate_portion_is_named_and_the_first_one_used__analytic(tmp_path, volume, words):
    found, sentence = bad(tmp_path, HEAD + f"gypsum,1,1,58,,,,20,,\ngypsum,1,1,{volume},,,,20,,\n")
    assert words in sentence
    assert "row 2 is portion 1" in sentence
    assert [portion.volume_ml for portion in found.arms["gypsum"].portions] == [58]


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("gypsum,1,1,58,,5400,25,,,", "5400 µS/cm would be 5.4 dS/m"),
        ("gypsum,1,1,58,,5.4 ppm,25,,,", "has the wrong unit (ppm); conductivity as read is read in dS/m"),
        ("gypsum,1,1,58 g,,,,,,", "has the wrong unit (g)"),
        ("gypsum,1,1,58,,,,3 mmol/kg,,", "column sodium_mg_per_l = 3 mmol/kg: has the wrong unit"),
    ],
)
def test_a_wrong_unit_is_named_with_the_right_one__analytic(tmp_path, row, words):
    found, sentence = bad(tmp_path, HEAD + row + "\n")
    assert words in sentence
    assert found.rows[1] == tuple(row.split(","))


def test_a_unit_of_the_right_kind_is_converted_and_said__arithmetic():
    found = record(HEAD + "gypsum,1,1,0.058 L,30 min,5400 uS/cm,25,20.68 mmol/L,,\n")
    (portion,) = found.arms["gypsum"].portions
    assert portion.volume_ml == pytest.approx(58)
    assert portion.hours == pytest.approx(0.5)
    assert portion.electrical_conductivity == pytest.approx(5.4)
    assert portion.sodium_mg_per_l == pytest.approx(475.4, abs=0.1)
    assert len(found.notes) == 4
    assert not found.problems


def test_a_header_in_another_unit_is_named_and_its_column_kept__analytic(tmp_path):
    found, sentence = bad(tmp_path, "arm,portion,volume_ml,ec_us_per_cm\ngypsum,1,58,5400\n")
    assert "column ec_us_per_cm: has the wrong unit in its header" in sentence
    assert "write ec_ds_per_m" in sentence
    assert found.rows[1][3] == "5400"
    assert found.arms["gypsum"].portions[0].volume_ml == 58


def test_ten_thousand_rows_are_read_up_to_a_limit_in_one_sentence__analytic(tmp_path):
    rows = [f"gypsum,{1 + n // 500},{1 + n % 500},5,,,,20,," for n in range(10_000)]
    found, sentence = bad(tmp_path, HEAD + "\n".join(rows) + "\n")
    assert "there are 10000" in sentence
    assert f"at most {MOST_ROWS} portions" in sentence
    assert len(found.rows) == 10_001
    assert len(found.arms["gypsum"].portions) == MOST_ROWS


def test_ten_thousand_bad_cells_are_one_sentence__analytic(tmp_path):
    rows = [f"gypsum,{1 + n // 500},{1 + n % 500},5,,,,much,," for n in range(MOST_ROWS)]
    _, sentence = bad(tmp_path, HEAD + "\n".join(rows) + "\n")
    assert f"the same holds {MOST_ROWS - 1} more times (rows 3 to {MOST_ROWS + 1})" in sentence


@pytest.mark.parametrize("text", ["", "\n\n", ",,,\n", "# soil,Block C\n"])
def test_an_empty_file_is_refused_in_one_sentence__analytic(tmp_path, text):
    path = tmp_path / "bench.csv"
    path.write_text(text)
    with pytest.raises(
        FileError, match=r"bench\.csv, row 1: the file is empty of portions and headers; .+\."
    ):
        read_record(path)
    assert path.read_text() == text


def test_a_spreadsheet_s_decimal_commas_are_read_and_said__pinned():
    lines = [line.replace(",", ";").replace(".", ",") for line in TEXT.splitlines()]
    found = record("\n".join(lines), name="bench_block_c.csv")
    assert found.sentences == ()
    (note,) = found.notes
    assert "has semicolons between its columns; its decimal commas were read as decimal points" in note
    assert found.arms == read_record(DEMO).arms


def test_a_decimal_comma_between_commas_is_named__analytic(tmp_path):
    found, sentence = bad(tmp_path, HEAD + 'gypsum,1,1,58,,"5,4",25,"85,5",,\n')
    assert "column ec_ds_per_m = 5,4: has a decimal comma" in sentence
    assert "write 5.4; the same holds once more (row 2)" in sentence
    assert found.arms["gypsum"].portions[0].volume_ml == 58


def test_an_unquoted_decimal_comma_keeps_its_row_out__analytic(tmp_path):
    found, sentence = bad(tmp_path, HEAD + "gypsum,1,1,58,4,5,4,25,855,20,turbid\n")
    assert "has more cells than there are headers; 11 cells under 10 headers" in sentence
    assert not found.arms
    assert "855" in found.rows[1]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (HEAD + "gypsum,1,1,58,,5.4,,,,\n", "column ec_ds_per_m = 5.4: has no temperature"),
        (HEAD + "gypsum,1,1,58,,5.4,99,,,\n", "column ec_temperature_c = 99: is outside what can be"),
        (HEAD + "gypsum,1,1,-58 mL,,,,,,\n", "column volume_ml = -58 mL: is negative"),
        ("arm,portion,volume_ml,,\ngypsum,1,58,855,\n", "row 2 = 855: stands in a column without a header"),
        (HEAD + ",1,1,58,,,,,,\n", "column arm: is empty"),
        (HEAD + "gypsum,1,,58,,,,,,\n", "column portion: is empty"),
        (HEAD + "gypsum,1,1,,,,,20,,\n", "column volume_ml: is empty"),
        (HEAD + "gypsum,1,1.5,58,,,,20,,\n", "column portion = 1.5: is not a whole number"),
        (HEAD + "gypsum,1,> 1,58,,,,20,,\n", "column portion = > 1: is not a whole number"),
        (HEAD + "gypsum,one,1,58,,,,20,,\n", "column replicate = one: is not a number"),
        (HEAD + "gypsum,1,1,> 58,,,,20,,\n", "column volume_ml = > 58: is a limit, not a volume"),
        (HEAD + "gypsum,1,1,58,,,,20,,muddy\n", "column flags = muddy: is not a flag"),
        (HEAD + "gypsum,1,1,58,,,,20,,no leachate\n", "column flags = no leachate: stands beside a volume"),
        (HEAD.replace("time_h", "volume_ml") + "gypsum,1,1,58,,,,20,,\n", "column volume_ml: stands twice"),
        (
            HEAD.replace("time_h", "colour") + "gypsum,1,1,58,,,,20,,\n",
            "column colour: is not a column known",
        ),
        ("# soil_mass,100 potatoes\n" + HEAD, "column soil_mass = 100 potatoes"),
        ("# soil_mass,100 t\n" + HEAD, "column soil_mass = 100 t: is outside what can be"),
        ("# soil_mass,-100 g\n" + HEAD, "column soil_mass = -100 g: is negative"),
        ("# soil_mas,100 g\n" + HEAD, '(did you mean "soil_mass"'),
        ("# soil_mass,100 g\n# soil_mass,200 g\n" + HEAD, "column soil_mass = 200 g: stands twice"),
        ("# dose,0.4 g,,gypsum,first\n" + HEAD, "has no number as its replicate (first)"),
        ("# measured_with,guess\n" + HEAD, '"kits", "laboratory"'),
        ("# soil_mass,100 g,3 h\n" + HEAD, "column soil_mass = 100 g"),
    ],
)
def test_what_else_goes_wrong_is_one_sentence__analytic(tmp_path, text, words):
    _, sentence = bad(tmp_path, text)
    assert words in sentence


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (b"portion,volume_ml\n1,58\n", "has no column for arm"),
        (b"arm,portion,volume_l\ngypsum,1,58\n", "volume_l: convert the numbers to mL and write volume_ml"),
        (b"arm,portion\ngypsum,1\n", "has no column for volume or mass"),
        (b"arm,portion,volume_ml\n\x00\x01", "holds bytes that are not text"),
        (b'arm,portion,volume_ml\n"gypsum,1,58\n', "is not comma-separated text"),
        (b"x" * (LARGEST_FILE + 1), "is larger than"),
    ],
)
def test_what_is_no_record_is_refused__analytic(raw, words):
    with pytest.raises(FileError, match="bench") as caught:
        record_of_bytes(raw, name="bench.csv")
    assert words in str(caught.value)


def test_a_file_that_is_not_there_is_refused__analytic(tmp_path):
    with pytest.raises(FileError, match="cannot be read: No such file"):
        read_record(tmp_path / "none.csv")


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_a_spreadsheet_s_encodings_are_read__analytic(encoding):
    text = HEAD.replace("flags", "flags,note") + "gypsum,1,1,58,,,,20,,,trübe\n"
    found = record_of_bytes(text.encode(encoding), name="bench.csv")
    assert found.rows[1][-1] == "trübe"
    assert not found.problems
    assert bool(found.notes) == (encoding != "utf-8-sig")


def test_a_conductivity_is_brought_to_25_degrees__mccleskey2011():
    found = record(HEAD + "gypsum,1,1,58,,5.0,20,,,\n")
    (portion,) = found.arms["gypsum"].portions
    assert portion.electrical_conductivity == pytest.approx(5.0 * float(temperature_factor_to_25(20.0)))
    assert portion.electrical_conductivity == pytest.approx(5.0 * 1.113, abs=0.003)  # printed to 0.001
    compensated = record("# ec_at_25,yes\n" + HEAD + "gypsum,1,1,58,,5.0,20,,,\n")
    assert compensated.arms["gypsum"].portions[0].electrical_conductivity == 5.0


def test_limits_and_flags_are_one_thing_in_two_spellings__analytic():
    found = record(
        "# sodium_highest,1000 mg/L\n# sodium_lowest,5 mg/L\n"
        + HEAD
        + "gypsum,1,1,58,,,,> 900,,\ngypsum,1,2,58,,,,900,,sodium above range\ngypsum,1,3,58,,,,1200,,\n"
        + "gypsum,1,4,58,,,,2,< 1,turbid; above range\ncontrol,1,1,,,,,,,no leachate\n"
    )
    assert not found.problems
    one, two, three, four = found.arms["gypsum"].portions
    assert one.is_above_range("sodium")
    assert two.is_above_range("sodium")
    assert (three.sodium_mg_per_l, three.flags) == (1000, ("sodium above range",))
    assert four.is_below_range("sodium")
    assert four.sodium_mg_per_l == 5
    assert four.is_below_range("turbidity")
    assert set(four.flags) <= set(FLAGS)
    (dry,) = found.arms["control"].portions
    assert dry.volume_ml == 0


def test_mass_stands_for_volume_and_a_missing_replicate_is_the_first__analytic():
    found = record("arm,portion,mass_g,replicate\nGypsum ,1,58.2,\n")
    assert found.arms["gypsum"].replicates[1][0].volume_ml == 58.2


def test_an_arm_by_an_unusual_name_is_read_and_said__analytic():
    found = record("arm,portion,volume_ml\ngypsun,1,58\n")
    assert 'did you mean "gypsum"' in found.notes[0]
    assert found.arms["gypsun"].portions


def test_volumes_by_eye_are_told_with_their_error__common_practice():
    found = record("# volumes_by,eye\narm,portion,volume_ml\ngypsum,1,58\n")
    assert found.volume_error_ml == 5.0
    assert "by eye" in found.notes[0]


def test_the_laboratory_s_errors_are_smaller_than_a_kit_s__common_practice():
    head = "arm,portion,volume_ml\ngypsum,1,58\n"
    kit = record(head).instruments
    lab = record("# measured_with,laboratory\n" + head).instruments
    assert all(lab[quantity].error < kit[quantity].error for quantity in kit)
    assert not kit["sodium"].typed


def test_what_is_not_in_the_record_is_refused_with_the_line_to_write__analytic():
    found = record("arm,portion,volume_ml\ngypsum,1,58\n")
    with pytest.raises(ValueError, match=r"soil_mass of record bench\.csv: is not in it"):
        _ = found.soil_mass
    with pytest.raises(FileError, match='the arms are "gypsum"'):
        found.arm("control")


def test_what_is_known_of_a_replicate_goes_before_its_arm_and_the_run__analytic():
    found = record(
        "# dose,1 g\n# dose,2 g,,gypsum\n# dose,3 g,,gypsum,2\n# saturation_percentage,52 %,2 %\n"
        "# purity,88 %,2 %\n# soil_mass,100 g,2 %\narm,portion,volume_ml\n"
    )
    doses = [found.known("dose", arm="gypsum", replicate=r).value for r in (1, 2)]
    assert doses == pytest.approx([0.002, 0.003])
    assert found.known("dose", arm="control").value == pytest.approx(0.001)
    assert found.known("first_drip") is None
    assert found.known("saturation_percentage").error == pytest.approx(0.02)
    assert found.known("purity").error == pytest.approx(0.02)
    assert found.known("soil_mass").error == pytest.approx(0.002)


def test_every_column_reads_its_own_limits_and_refuses_beyond__analytic():
    for field in COLUMN_FIELDS:
        if field.is_number:
            assert read_cell(field, f"{field.low}").value == field.low
            assert read_cell(field, f"{field.high}").value == field.high
            assert read_cell(field, f"{field.high * 1.1}").wrong
            assert read_cell(field, "−5").wrong
    assert set(HEADER) < set(COLUMN)


def test_demo_header_is_that_of_a_record_begun_here__analytic():
    header = next(line for line in TEXT.splitlines() if line.startswith("arm,"))
    assert tuple(header.split(",")) == HEADER
    assert Path(DEMO).name in demo_path("README.md").read_text(encoding="utf-8")
