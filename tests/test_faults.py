"""What is on a disk survives what goes wrong while it is written: killed, full, read-only, two at once."""

import errno
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

import soilx
from soilx import cli
from soilx.bench import file_lock
from soilx.bench.file_lock import only_writer
from soilx.bench.record_reading import read_record
from soilx.bench.record_text import record_text
from soilx.bench.record_writing import add_portions, begin_record, save_copy
from soilx.column import file_writing
from soilx.column.file_writing import write_text, write_whole
from soilx.errors import FileError

PAIR = soilx.demo_path("pair.toml")
ENVIRONMENT = os.environ | {"PYTHONPATH": str(Path(soilx.__file__).resolve().parents[1])}
POSIX = pytest.mark.skipif(sys.platform == "win32", reason="signals, limits and devices are POSIX's")


def row(number, **more):
    return {"arm": "gypsum", "replicate": "1", "portion": str(number), "volume_ml": "15", **more}


@pytest.fixture
def record(tmp_path):
    path = tmp_path / "bench.csv"
    begin_record(path, record_text([("soil", "Block C"), ("soil_mass", "100 g", "0.1 g")], [row(1), row(2)]))
    return path


def beside(path):
    return sorted(file.name for file in path.parent.iterdir())


# Stops where it is told to, after half of the new bytes are on the disk; the test then kills it there.
KILLED_HALFWAY = """
import os, sys, time
from pathlib import Path
from soilx.bench.record_writing import add_portions
real = os.fsync
def stop(handle):
    os.ftruncate(handle, os.fstat(handle).st_size // 2)
    print("half", flush=True)
    time.sleep(60)
os.fsync = stop
add_portions(sys.argv[1], [dict(arm="gypsum", replicate="1", portion="3", volume_ml="15")])
"""


@POSIX
def test_a_program_killed_while_it_saves_loses_nothing__analytic(record):
    before = record.read_bytes()
    killed = subprocess.Popen(
        [sys.executable, "-c", KILLED_HALFWAY, str(record)], env=ENVIRONMENT, stdout=subprocess.PIPE
    )
    assert killed.stdout.readline() == b"half\n"
    assert len(beside(record)) == 3  # the record, the lock, the part
    killed.send_signal(signal.SIGKILL)
    killed.wait(timeout=20)
    killed.stdout.close()
    assert record.read_bytes() == before
    # The next one to write waits for nobody, and clears away what was left.
    began = time.monotonic()
    after = add_portions(record, [row(3)])
    assert time.monotonic() - began < 5.0
    assert record.read_bytes().startswith(before)
    assert len(after.arms["gypsum"].portions) == 3
    assert beside(record) == ["bench.csv"]


WRITES_MANY = """
import sys
from soilx.bench.record_writing import add_portions
replicate = sys.argv[2]
for number in range(1, 16):
    add_portions(sys.argv[1], [dict(arm="control", replicate=replicate, portion=str(number), volume_ml="15")])
"""


def test_two_programs_that_write_one_record_lose_no_row__analytic(record):
    before = record.read_bytes()
    writers = [
        subprocess.Popen([sys.executable, "-c", WRITES_MANY, str(record), replicate], env=ENVIRONMENT)
        for replicate in "12"
    ]
    assert [writer.wait(timeout=120) for writer in writers] == [0, 0]
    assert record.read_bytes().startswith(before)
    found = read_record(record).arms["control"]
    assert {number: len(portions) for number, portions in found.replicates.items()} == {1: 15, 2: 15}
    assert beside(record) == ["bench.csv"]


def test_a_writer_that_is_kept_out_says_so_and_writes_nothing__analytic(record):
    before = record.read_bytes()
    with (
        only_writer(record),
        pytest.raises(FileError, match=r"one writer at a time"),
        only_writer(record, patience_s=0.05),
    ):
        pass
    assert record.read_bytes() == before


FULL = """
import resource, sys
resource.setrlimit(resource.RLIMIT_FSIZE, (400, 400))
from soilx.bench.record_writing import add_portions
from soilx.errors import FileError
try:
    add_portions(sys.argv[1], [dict(arm="gypsum", replicate="1", portion="3", note="x" * 500)])
except FileError as refused:
    print(refused)
"""


@POSIX
def test_a_full_disk_leaves_the_record_whole_and_is_told__analytic(record):
    before = record.read_bytes()
    done = subprocess.run(
        [sys.executable, "-c", FULL, str(record)], env=ENVIRONMENT, capture_output=True, text=True, check=True
    )
    assert "cannot be written: File too large" in done.stdout
    assert "nothing was changed" in done.stdout
    assert record.read_bytes() == before
    assert beside(record) == ["bench.csv"]


# A root user writes where modes forbid it: what a read-only disk answers is answered here in its place.
@pytest.mark.parametrize(("number", "says"), [(errno.EROFS, "Read-only"), (errno.EACCES, "denied")])
def test_a_read_only_folder_is_told__analytic(record, monkeypatch, number, says):
    before = record.read_bytes()

    def refuse(*_, **__):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(file_lock.os, "open", refuse)
    with pytest.raises(FileError, match=rf"cannot be written: .*{says}.*nothing was changed: .*download"):
        add_portions(record, [row(3)])
    with pytest.raises(FileError, match=rf"cannot be written: .*{says}.*nothing was changed"):
        write_text(record, "new")
    assert record.read_bytes() == before


@pytest.mark.parametrize("target", ["page", "key", "scenario"])
def test_an_older_file_survives_a_write_that_fails__analytic(tmp_path, monkeypatch, capsys, target):
    from soilx.handouts import write
    from soilx.teaching.problems import PROBLEMS

    # What is on the page takes its time, and is not what is asked here.
    monkeypatch.setattr(write, "page_of", lambda *_, **__: ("<html></html>", {}))
    old = tmp_path / {"page": "old.html", "key": "old.csv", "scenario": "old.toml"}[target]
    old.write_text("what was there", encoding="utf-8")
    codes = tmp_path / "codes.csv"
    codes.write_text("student\nS07\n", encoding="utf-8")

    def full(_):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(file_writing.os, "fsync", full)
    if target == "scenario":
        with pytest.raises(FileError, match="No space left"):
            soilx.write_scenario(soilx.read_scenario(PAIR), old)
    else:
        command = {
            "page": ["handout", str(PAIR), "-o", str(old)],
            "key": [
                "homework",
                "key",
                str(codes),
                "--course",
                "X-1",
                "--problem",
                next(iter(PROBLEMS)),
                "-o",
                str(old),
            ],
        }[target]
        assert cli.run_command(command) == 2
        said = capsys.readouterr().err
        assert said.startswith("soilx: ")
        assert said.count("\n") == 1
        assert "No space left" in said
    assert old.read_text("utf-8") == "what was there"
    assert not [name for name in beside(old) if name.endswith(".part")]


@POSIX
def test_a_device_is_written_to_and_not_replaced__analytic(tmp_path):
    write_whole(Path("/dev/null"), b"gone")
    assert Path("/dev/null").is_char_device()
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    reading = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    write_whole(pipe, b"through")
    assert os.read(reading, 20) == b"through"
    os.close(reading)
    assert pipe.is_fifo()


@POSIX
def test_an_output_without_room_is_one_line_and_no_traceback__analytic():
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "soilx.cli", "leach", str(PAIR)],
            env=ENVIRONMENT,
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
            timeout=60,
        )
    assert done.returncode == 2
    assert done.stderr.startswith(b"soilx: output: cannot be written: No space left on device")
    assert done.stderr.count(b"\n") == 1


@POSIX
def test_a_terminal_without_the_signs_still_gets_the_numbers__analytic():
    done = subprocess.run(
        [sys.executable, "-m", "soilx.cli", "leach", str(PAIR)],
        env=ENVIRONMENT | {"PYTHONIOENCODING": "ascii"},
        capture_output=True,
        check=False,
        timeout=60,
    )
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"711" in done.stdout


def test_a_character_without_a_place_in_the_file_is_refused_before_it_is_written__analytic(record):
    latin = record.with_name("latin.csv")
    latin.write_bytes(record.read_text("utf-8").replace("Block C", "Bödele").encode("cp1252"))
    before = latin.read_bytes()
    with pytest.raises(FileError, match=r"cannot stand in a file in cp1252; nothing was written"):
        add_portions(latin, [row(3, note="→ settled")])
    assert latin.read_bytes() == before


@pytest.mark.parametrize("note", ["\x00", "a\rb", "a\nb", "\ud800", "=1+1", "'=1", '"', "#"])
def test_a_note_of_any_text_is_kept_or_refused_and_never_breaks_the_record__analytic(record, note):
    before = record.read_bytes()
    try:
        add_portions(record, [row(3, note=note)])
    except FileError:
        assert record.read_bytes() == before
        return
    again = read_record(record)
    assert again.rows[-1][-1] == note
    assert len(again.arms["gypsum"].portions) == 3


def test_a_copy_never_overwrites_what_another_added__analytic(record):
    old = read_record(record)
    add_portions(record, [row(3)])
    before = record.read_bytes()
    with pytest.raises(FileError, match="changed by somebody else"):
        save_copy(old, before + b"\n", record)
    assert record.read_bytes() == before
