"""No cell that soilx writes is a spreadsheet's formula, and every cell is read back as it was typed."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

import soilx
from soilx.bench.record_reading import record_of_bytes
from soilx.bench.record_text import record_text
from soilx.column.inert_cells import as_typed, inert
from soilx.column.soil_table import soils_to_csv
from soilx.teaching.key import KeyRow, key_csv

RUNS = ("=", "+", "-", "@", "\t", "\r")
FORMULAS = ["=1+1", "+1+1", "-1+1", "@SUM(A1)", "=HYPERLINK(1)", "-", "=", "-cmd|' /C calc'!A0", "＝1+1"]
NUMBERS = ["-5", "+5", "-0.5", "-4,2", "−3", "-1e-3", "+.5", "5", "0"]


def is_a_number(cell):
    try:
        float(cell.replace("−", "-").replace(",", "."))
    except ValueError:
        return False
    return True


@pytest.mark.parametrize("cell", FORMULAS)
def test_a_formula_is_written_as_text_and_read_as_it_was__common_practice(cell):
    assert inert(cell) == f"'{cell}"
    assert as_typed(inert(cell)) == cell


@pytest.mark.parametrize("cell", [*NUMBERS, "Block C", "", "#", "5 %", "it's", "'quoted'", "don't = do"])
def test_numbers_and_plain_text_stay_as_they_are__analytic(cell):
    assert inert(cell) == cell
    assert as_typed(cell) == cell


cells = st.one_of(
    st.text(max_size=12),
    st.builds("{}{}".format, st.sampled_from(("'", "''", "", *RUNS)), st.text(max_size=6)),
    st.builds("{}{}{}".format, st.sampled_from(("'", "''")), st.sampled_from(RUNS), st.text(max_size=6)),
)


@given(cell=cells)
def test_every_cell_comes_back_and_none_runs__analytic(cell):
    written = inert(cell)
    assert as_typed(written) == cell
    assert not written.startswith(RUNS) or is_a_number(written)


def every_cell(text):
    return [cell for row in csv.reader(io.StringIO(text, newline="")) for cell in row]


@pytest.mark.parametrize("formula", FORMULAS)
def test_every_table_that_soilx_writes_is_inert_and_reads_back__common_practice(formula, tmp_path):
    record = record_text(
        [("soil", formula), ("by", "me", "", formula)],
        [{"arm": formula, "portion": "1", "volume_ml": "-1", "note": formula, "flags": formula}],
    )
    soil = soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]
    renamed = soilx.Soil.of(**(dict(soil.typed) | {"name": formula}))
    soils = soils_to_csv([renamed])
    key = key_csv(
        [
            KeyRow(
                student="S1",
                problem="p",
                fresh=0,
                part=formula,
                words=formula,
                answer="-5",
                unit="",
                allowance="",
            )
        ]
    )
    for text in (record, soils, key):
        for cell in every_cell(text):
            assert not cell.startswith(RUNS) or is_a_number(cell)
    read = record_of_bytes(record.encode(), name="r.csv")
    assert read.words["soil"] == formula
    assert formula in read.rows[-1]
    path = tmp_path / "soils.csv"
    path.write_text(soils, encoding="utf-8", newline="")
    assert list(soilx.read_soils(path)) == [formula]
