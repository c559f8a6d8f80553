"""Bench records written: whole or not at all, never over what somebody else has written."""

import multiprocessing
import os
import stat
import sys
import threading
import time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soilx.bench.file_lock import only_writer
from soilx.bench.record_columns import HEADER
from soilx.bench.record_reading import read_record, record_of_bytes
from soilx.bench.record_text import record_text
from soilx.bench.record_writing import add_portions, begin_record, change_portion, save_copy
from soilx.column import file_writing
from soilx.column.file_writing import write_whole
from soilx.column.files import demo_path
from soilx.errors import FileError

BEGUN = record_text([("soil", "Block C"), ("soil_mass", "100 g", "0.1 g")])
NO_ROOT = pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write anywhere"
)


def row(portion, arm="gypsum", **cells):
    return {"arm": arm, "replicate": "1", "portion": str(portion), "volume_ml": "58", **cells}


@pytest.fixture
def begun(tmp_path):
    path = tmp_path / "bench.csv"
    begin_record(path, BEGUN)
    return path


def beside(path):
    """Everything in the folder of a record, to see that nothing is left behind."""
    return sorted(file.name for file in path.parent.iterdir())


def test_a_record_begun_is_read_back_and_is_never_begun_twice__analytic(begun):
    found = read_record(begun)
    assert found.words == {"soil": "Block C"}
    assert found.soil_mass == pytest.approx(0.1)
    assert not found.arms
    assert not found.problems
    with pytest.raises(FileError, match="is there already; a record that was begun is never overwritten"):
        begin_record(begun, BEGUN)
    assert begun.read_text() == BEGUN
    assert beside(begun) == ["bench.csv"]


def test_portions_are_added_behind_what_is_there_byte_for_byte__conservation(begun):
    before = begun.read_bytes()
    found = add_portions(begun, [row(1, sodium_mg_per_l="855"), row(2, note="slow, then slower")])
    assert begun.read_bytes().startswith(before)
    assert found == read_record(begun)
    assert [portion.sodium_mg_per_l for portion in found.arms["gypsum"].portions] == [855, None]
    again = add_portions(begun, [row(1, arm="control", flags="no leachate", volume_ml="")])
    assert [len(arm.portions) for arm in again.arms.values()] == [2, 1]
    assert beside(begun) == ["bench.csv"]


def test_a_portion_is_written_down_once__analytic(begun):
    add_portions(begun, [row(1)])
    before = begun.read_bytes()
    for rows in ([row(2), row(1)], [row(3), row(3)], [row(1, arm=" Gypsum", replicate="")]):
        with pytest.raises(FileError, match="is there already; a portion is written down once"):
            add_portions(begun, rows)
        assert begun.read_bytes() == before


def test_what_has_no_column_is_refused_and_not_dropped__analytic(begun):
    before = begun.read_bytes()
    with pytest.raises(FileError, match="sodium = 855: has no column in the record"):
        add_portions(begun, [row(1, sodium="855")])
    with pytest.raises(FileError, match="arm = #2: would be read as a remark"):
        add_portions(begun, [row(1, arm="#2")])
    assert begun.read_bytes() == before


def test_rows_that_could_not_be_read_stay_where_they_are__conservation(tmp_path):
    path = tmp_path / "bench.csv"
    text = "# a remark, with a comma\r\narm,portion,volume_ml,colour\r\ngypsum,1,-58,blue\r\n,,lost,"
    path.write_bytes(text.encode())
    found = add_portions(path, [{"arm": "gypsum", "portion": "2", "volume_ml": "58"}])
    assert path.read_bytes().decode() == text + "\ngypsum,2,58,\n"
    assert [problem.column for problem in found.problems] == ["colour", "volume_ml", "arm"]
    assert found.arms["gypsum"].portions[0].number == 2


def test_one_portion_is_changed_and_every_other_line_stays__conservation(tmp_path):
    path = tmp_path / "bench.csv"
    path.write_bytes(demo_path("bench_block_c.csv").read_bytes())
    before = path.read_text().splitlines()
    was = dict(zip(HEADER, before[38].split(","), strict=True))
    found = change_portion(path, {"sodium_mg_per_l": "850", "note": 'a "quoted"\nnote'}, was=was)
    first = found.arms["gypsum"].portions[0]
    assert (first.number, first.sodium_mg_per_l, first.volume_ml) == (1, 850, 15)
    after = path.read_text().splitlines()
    assert after[:38] == before[:38]
    assert after[40:] == before[39:]
    # a note over two lines is one row, before and after
    change_portion(path, {"note": ""}, was={**was, "sodium_mg_per_l": "850", "note": 'a "quoted"\nnote'})
    assert (
        path.read_text().splitlines()[:38] + path.read_text().splitlines()[39:] == before[:38] + before[39:]
    )


def test_a_change_keeps_what_stands_beyond_and_beside_its_columns__conservation(tmp_path):
    path = tmp_path / "bench.csv"
    path.write_bytes("\ufeffarm;portion;volume_ml;colour;colour\r\ngypsum;1;58;blue;red;7\r\n".encode())
    change_portion(path, {"volume_ml": "59"}, was={"arm": "gypsum", "portion": "1", "volume_ml": "58"})
    assert (
        path.read_bytes().decode()
        == "\ufeffarm;portion;volume_ml;colour;colour\r\ngypsum;1;59;blue;red;7\r\n"
    )
    add_portions(path, [{"arm": "gypsum", "portion": "2", "volume_ml": "1,5"}])
    assert read_record(path).arms["gypsum"].portions[0].volume_ml == 1.5
    assert path.read_bytes().count("\ufeff".encode()) == 1


def test_a_change_over_somebody_else_s_is_refused__analytic(begun):
    add_portions(begun, [row(1, sodium_mg_per_l="855"), row(2)])
    change_portion(begun, {"sodium_mg_per_l": "850"}, was=row(1, sodium_mg_per_l="855"))
    before = begun.read_bytes()
    with pytest.raises(FileError, match="sodium_mg_per_l = 850: was changed by somebody else"):
        change_portion(begun, {"sodium_mg_per_l": "800"}, was=row(1, sodium_mg_per_l="855"))
    with pytest.raises(FileError, match="would take the number of another portion"):
        change_portion(begun, {"portion": "2"}, was=row(1))
    with pytest.raises(FileError, match="is not in the file any more"):
        change_portion(begun, {"note": "x"}, was=row(9))
    assert begun.read_bytes() == before


def test_a_whole_record_is_replaced_only_if_nobody_wrote_meanwhile__analytic(begun):
    old = read_record(begun)
    add_portions(begun, [row(1)])
    with pytest.raises(FileError, match="was changed by somebody else since it was read"):
        save_copy(old, BEGUN.encode(), begun)
    assert read_record(begun).arms
    now = read_record(begun)
    saved = save_copy(now, (BEGUN + "gypsum,1,1,60,57,,,,,,,,,\n").encode(), begun)
    assert saved.arms["gypsum"].portions[0].volume_ml == 57
    elsewhere = save_copy(now, BEGUN.encode(), begun.with_name("other.csv"))
    assert elsewhere.soil_mass == pytest.approx(0.1)


def test_files_that_cannot_be_kept_are_left_alone__analytic(tmp_path):
    with pytest.raises(FileError, match="cannot be read: No such file"):
        add_portions(tmp_path / "none.csv", [row(1)])
    odd = tmp_path / "odd.csv"
    odd.write_bytes(b"arm,portion,volume_ml\ngypsum,1,58 \x81\n")
    with pytest.raises(FileError, match="holds bytes that are not cp1252 text; they would be lost"):
        add_portions(odd, [{"arm": "gypsum", "portion": "2", "volume_ml": "58"}])
    with pytest.raises(FileError, match="cannot be written"):
        begin_record(tmp_path / "no folder" / "bench.csv", BEGUN)
    with pytest.raises(FileError, match="cannot be written"):
        write_whole(tmp_path / "no folder" / "bench.csv", b"")


def test_utf_16_of_a_spreadsheet_is_added_to__analytic(tmp_path):
    path = tmp_path / "bench.csv"
    path.write_bytes("arm\tportion\tvolume_ml\ngypsum\t1\t58\n".encode("utf-16"))
    if sys.byteorder == "little":
        found = add_portions(path, [{"arm": "gypsum", "portion": "2", "volume_ml": "59"}])
        assert [portion.volume_ml for portion in found.arms["gypsum"].portions] == [58, 59]


def add_many(path, arm, count, started):
    started.wait()
    for portion in range(1, count + 1):
        add_portions(path, [row(portion, arm=arm)])


def test_two_programs_that_write_one_record_lose_no_row__conservation(begun):
    context = multiprocessing.get_context("fork" if sys.platform == "linux" else "spawn")
    started = context.Barrier(2)
    writers = [
        context.Process(target=add_many, args=(begun, arm, 25, started)) for arm in ("gypsum", "control")
    ]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join(timeout=60)
        assert writer.exitcode == 0
    found = read_record(begun)
    assert not found.problems
    for arm in ("gypsum", "control"):
        assert [portion.number for portion in found.arms[arm].portions] == list(range(1, 26))
    assert beside(begun) == ["bench.csv"]


def test_a_writer_that_waits_too_long_says_so_and_writes_nothing__analytic(begun):
    before = begun.read_bytes()
    with only_writer(begun):
        words = r"another program has been writing it for 0\.05 s"
        with pytest.raises(FileError, match=words), only_writer(begun, patience_s=0.05):
            pytest.fail("two writers at once")
        waited = threading.Timer(0.0, add_portions, [begun, [row(1)]])
        waited.start()
        time.sleep(0.05)
        assert begun.read_bytes() == before
    waited.join(timeout=30)
    assert read_record(begun).arms["gypsum"].portions


def crash(path, locked):
    with only_writer(Path(path)):
        locked.set()
        os._exit(1)


def test_a_program_that_dies_while_it_writes_leaves_no_lock__analytic(begun):
    context = multiprocessing.get_context("fork" if sys.platform == "linux" else "spawn")
    locked = context.Event()
    writer = context.Process(target=crash, args=(begun, locked))
    writer.start()
    writer.join(timeout=60)
    assert locked.is_set()
    add_portions(begun, [row(1)])
    assert beside(begun) == ["bench.csv"]


def test_a_write_that_fails_half_way_leaves_the_old_file_whole__analytic(begun, monkeypatch):
    before = begun.read_bytes()

    def no_space(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(file_writing.os, "fsync", no_space)
    with pytest.raises(FileError, match=r"No space left on device; .+; nothing was changed"):
        add_portions(begun, [row(1)])
    assert begun.read_bytes() == before
    assert beside(begun) == ["bench.csv"]


@pytest.mark.skipif(sys.platform == "win32", reason="links and modes are POSIX's")
def test_a_link_stays_a_link_and_a_file_keeps_its_mode__analytic(begun):
    begun.chmod(0o640)
    link = begun.with_name("link.csv")
    link.symlink_to(begun)
    add_portions(link, [row(1)])
    assert link.is_symlink()
    assert read_record(begun).arms
    assert stat.S_IMODE(begun.stat().st_mode) == 0o640


cell = st.text(
    st.characters(blacklist_categories=("Cs", "Cc"), blacklist_characters="\ufeff"), max_size=12
).map(str.strip)


@given(notes=st.lists(cell, min_size=1, max_size=4), flags=cell)
def test_what_is_typed_is_what_is_kept__conservation(notes, flags):
    rows = [row(number, note=note, flags=flags) for number, note in enumerate(notes, start=1)]
    found = record_of_bytes(record_text([], rows).encode(), name="bench.csv")
    header = list(HEADER)
    kept = [dict(zip(header, cells, strict=True)) for cells in found.rows[3:]]
    assert [cells["note"] for cells in kept] == notes
    assert {cells["flags"] for cells in kept} == {flags}
    assert len(found.arms["gypsum"].portions) == len(notes)
