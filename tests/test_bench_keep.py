"""Where a bench record is kept: a named folder at once, else nowhere; bad ones are said, nothing is lost."""

import base64
import itertools
import json
from pathlib import Path
from types import SimpleNamespace

import pytest

import soilx
from soilx.bench.plan import Plan
from soilx.bench.plan_record import record_begun
from soilx.errors import FileError
from soilx.show.bench_folder import file_name, folder_of, host_of
from soilx.show.bench_keep import EXAMPLE, Keep
from soilx.show.bench_sheet import Sheet, sheet_content

_TIMES = itertools.count()
ROW = {
    "arm": "gypsum",
    "replicate": "1",
    "portion": "1",
    "volume_ml": "20",
    "ec_ds_per_m": "5.1",
    "ec_temperature_c": "25",
}


@pytest.fixture(scope="module")
def begun():
    soil = soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]
    return record_begun(Plan.of(soil, gypsum="7 t/ha", arms=("control", "gypsum")))


def sheet_of(keep, begun=""):
    return Sheet(keep, begun=lambda: begun)


def answer(sheet, **sent):
    """What the sheet says to a message of the browser, and whether it did it."""
    # every message of a browser has its time, so that the same one is heard twice
    sheet.widget.sent = {**sent, "at": next(_TIMES)}
    said = json.loads(sheet.widget.wire)["answer"]
    return said["said"], said["ok"]


def test_it_opens_on_the_invented_example__pinned():
    keep = Keep()
    assert keep.is_example
    assert keep.record.name == EXAMPLE
    assert "An invented example: load yours" in keep.where


def test_without_a_folder_nothing_is_written__analytic(tmp_path, monkeypatch, begun):
    monkeypatch.chdir(tmp_path)
    keep = Keep()
    keep.begin("mine", begun)
    keep.add(ROW)
    assert keep.record.arms["gypsum"].portions[0].volume_ml == 20
    assert "Nothing is saved on the computer that serves this page" in keep.where
    assert list(tmp_path.iterdir()) == []


def test_with_a_folder_each_portion_is_in_the_file_at_once__analytic(tmp_path, begun):
    keep = Keep(tmp_path)
    keep.begin("mine", begun)
    keep.add(ROW)
    assert "gypsum,1,1" in (tmp_path / "mine.csv").read_text(encoding="utf-8")
    assert str(tmp_path / "mine.csv") in keep.where
    keep.change({"volume_ml": "21"}, ROW)
    again = Keep(tmp_path)
    assert again.record.name == "mine.csv"
    assert again.record.arms["gypsum"].portions[0].volume_ml == 21
    assert again.record == keep.record


def test_the_example_is_not_saved_over__common_practice(tmp_path):
    keep = Keep(tmp_path)
    with pytest.raises(FileError, match="invented example is not saved"):
        keep.add(ROW)
    assert list(tmp_path.iterdir()) == []


def test_a_record_that_is_there_is_not_begun_over__analytic(tmp_path, begun):
    keep = Keep(tmp_path)
    keep.begin("mine", begun)
    keep.add(ROW)
    before = (tmp_path / "mine.csv").read_bytes()
    with pytest.raises(FileError):
        Keep(tmp_path).begin("mine", begun)
    assert (tmp_path / "mine.csv").read_bytes() == before


@pytest.mark.parametrize(
    "name", ["../outside.csv", "a/b.csv", "a\\b.csv", ".hidden.csv", "", "x" * 200, "run\x00.csv", "con:.csv"]
)
def test_a_name_never_leaves_the_folder__analytic(name):
    with pytest.raises(FileError, match="is not a file's name here"):
        file_name(name)


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "::1", None])
def test_the_folder_is_for_who_sits_at_the_computer__analytic(tmp_path, host):
    assert folder_of(str(tmp_path), host=host) == (tmp_path.resolve(), "")


@pytest.mark.parametrize("host", ["192.168.0.7", "soil.example.org", "", "127.0.0.1.example.org"])
def test_reached_from_elsewhere_nothing_is_written__analytic(tmp_path, host):
    folder, said = folder_of(str(tmp_path), host=host)
    assert folder is None
    assert "served to other computers" in said


def test_a_folder_that_is_not_there_is_said__analytic(tmp_path):
    folder, said = folder_of(str(tmp_path / "none"), host=None)
    assert folder is None
    assert said.startswith(f"folder = {tmp_path / 'none'}: is not there")
    assert folder_of(None, host=None) == (None, "")


def test_the_host_is_that_of_the_address__analytic():
    assert host_of(SimpleNamespace(url={"hostname": "localhost"})) == "localhost"
    assert host_of(SimpleNamespace(url={})) == ""
    assert host_of(None) is None


def test_a_portion_typed_on_the_sheet_is_written_and_said__analytic(tmp_path, begun):
    sheet = sheet_of(Keep(tmp_path), begun)
    assert answer(sheet, what="begin", name="run one")[1]
    said, ok = answer(sheet, what="add", row=ROW)
    assert ok
    assert said == "Written down: gypsum 1, portion 1."
    assert sheet.value.arms["gypsum"].portions[0].electrical_conductivity == 5.1
    said, ok = answer(sheet, what="add", row=ROW)
    assert not ok
    assert "is there already" in said
    assert (tmp_path / "run one.csv").read_text(encoding="utf-8").count("gypsum,1,1") == 1


BAD = {
    "text in a number": (b"arm,replicate,portion,volume_ml\ngypsum,1,1,much\n", "much"),
    "negative volume": (b"arm,replicate,portion,volume_ml\ngypsum,1,1,-5\n", "-5"),
    "out of order": (b"arm,replicate,portion,volume_ml\ngypsum,1,2,5\ngypsum,1,1,5\n", "order"),
    "duplicate": (b"arm,replicate,portion,volume_ml\ngypsum,1,1,5\ngypsum,1,1,6\n", "twice"),
    "wrong unit": (b"arm,replicate,portion,volume_ml,sodium_me_per_l\ngypsum,1,1,5,3\n", "sodium_me_per_l"),
    "decimal commas": (b"arm;replicate;portion;volume_ml\ngypsum;1;1;5,5\n", "decimal"),
}


@pytest.mark.parametrize("what", BAD)
def test_a_bad_record_is_said_in_one_sentence_and_loses_nothing__analytic(tmp_path, what):
    raw, about = BAD[what]
    keep = Keep(tmp_path)
    keep.load("brought.csv", raw)
    content = sheet_content(keep)
    said = [*content["problems"], *content["notes"]]
    assert sum(about in sentence for sentence in said) == 1
    assert (tmp_path / "brought.csv").read_bytes() == raw
    assert len(content["rows"]) == raw.count(b"gypsum")


@pytest.mark.parametrize("raw", [b"", b"\n\n", b"\x89PNG\r\n\x1a\n"])
def test_a_file_without_a_table_leaves_the_record_as_it_was__analytic(tmp_path, raw, begun):
    keep = Keep(tmp_path)
    keep.begin("mine", begun)
    before = keep.record
    sheet = sheet_of(keep)
    encoded = base64.b64encode(raw).decode()
    said, ok = answer(sheet, what="load", name="brought.csv", data=encoded)
    assert not ok
    assert "brought.csv" in said
    assert sheet.value == before
    assert [file.name for file in tmp_path.iterdir() if file.suffix == ".csv"] == ["mine.csv"]


def test_ten_thousand_rows_are_kept_and_the_sheet_says_what_it_shows__analytic():
    rows = "".join(f"gypsum,{1 + n // 500},{1 + n % 500},5\n" for n in range(10_000))
    keep = Keep()
    keep.load("long.csv", f"arm,replicate,portion,volume_ml\n{rows}".encode())
    content = sheet_content(keep)
    assert len(content["rows"]) == 300
    assert content["left"].startswith("10000 rows are kept")
    assert keep.text.count("\n") == 10_001


def test_text_of_a_record_is_sent_as_data_alone__common_practice():
    keep = Keep()
    keep.load("x.csv", b"arm,replicate,portion,volume_ml,note\ngypsum,1,1,5,<img src=x onerror=alert(1)>\n")
    assert sheet_content(keep)["rows"][0][-1] == "<img src=x onerror=alert(1)>"
    script = (Path(soilx.__file__).parent / "show/static/bench_sheet.js").read_text(encoding="utf-8")
    assert "innerHTML" not in script
