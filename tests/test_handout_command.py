"""`soilx handout`: a page of each kind of file, a page made again, and every refusal in one line."""

import json
import re

import pytest

import soilx
from soilx import cli
from soilx.handouts.key_numbers import Change, changes
from soilx.handouts.record_in_page import PageRecord, page_record, read_page, with_record
from soilx.handouts.write import write_handout
from tests.page_as_read import HOSTILE, Page

BLOCK_C = soilx.read_scenario(soilx.demo_path("block_c.toml"))
SHELL = "<!DOCTYPE html><html><body><main></main>\n</body></html>"
PLAIN = PageRecord(kind="scenario", name="a.toml", text="text", options={"units": "us"}, numbers={"a": 1.5})


def run(*arguments):
    return cli.run_command([str(argument) for argument in arguments])


@pytest.fixture(scope="module")
def short(tmp_path_factory):
    """A scenario that is quickly run, on disk."""
    path = tmp_path_factory.mktemp("source") / "short.toml"
    scenario = BLOCK_C.with_(wettings=["1 pore_volume"], layers=4, displaced_fraction=0.5)
    soilx.write_scenario(scenario, path)
    return path


@pytest.fixture(scope="module")
def made(short, tmp_path_factory):
    """A page of it."""
    page = tmp_path_factory.mktemp("page") / "page.html"
    assert run("handout", short, "-o", page) == 0
    return page


def test_the_command_writes_the_page_and_replaces_an_older_one__analytic(short, tmp_path, capsys):
    page = tmp_path / "page.html"
    page.write_text("older", encoding="utf-8")
    assert run("handout", short, "-o", page) == 0
    said = capsys.readouterr()
    # No bar where nobody looks.
    assert said.err == ""
    assert said.out == f"{page}: {page.stat().st_size / 1000:.0f} kB\n"
    assert page.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


def test_a_page_runs_its_own_script_and_loads_nothing__common_practice(made):
    markup = made.read_text(encoding="utf-8")
    page = Page(markup)
    policy = next(each["content"] for each in page.named("meta") if each.get("http-equiv"))
    assert "default-src 'none'" in policy
    (scripts,) = re.findall(r"script-src ([^;]+)", policy)
    assert re.fullmatch(r"'sha256-[\w+/=]{44}' 'sha256-[\w+/=]{44}'", scripts.strip())
    kinds = [each.get("type", "") for each in page.named("script")]
    assert sorted(kinds) == ["", "", "application/json", "application/json"]
    for tag, attributes in page.elements:
        assert not any(name.startswith("on") for name in attributes)
        assert not {"src", "action", "srcset", "poster"} & attributes.keys(), tag
        assert attributes.get("href", "#").startswith(("data:", "#"))
    assert page.words.count("Move the sliders") == 1


def test_json_says_the_same__analytic(short, tmp_path, capsys):
    page = tmp_path / "page.html"
    assert run("handout", short, "-o", page, "--json") == 0
    assert json.loads(capsys.readouterr().out) == {"page": str(page), "bytes": page.stat().st_size}


def test_us_units_reach_the_sliders__analytic(short, tmp_path):
    page = tmp_path / "page.html"
    write_handout(short, page, units="us")
    markup = page.read_text(encoding="utf-8")
    assert "short ton/acre" in markup
    assert "Depth, in" in markup


def test_a_page_is_made_again_from_itself__analytic(made, tmp_path, capsys):
    new = tmp_path / "new.html"
    assert run("handout", made, "--again", "-o", new) == 0
    assert re.search(
        r"None of \d\d key figures has changed since it was made on 20\d\d-\d\d-\d\d with soilx",
        capsys.readouterr().out,
    )
    assert new.read_bytes() == made.read_bytes()
    assert read_page(new).text == read_page(made).text


def test_a_page_that_is_made_again_says_what_changed__analytic(made, tmp_path, capsys):
    record = read_page(made)
    key = "with gypsum: exchangeable sodium at the end, %"
    held = record.numbers[key]
    old = tmp_path / "old.html"
    markup = made.read_text(encoding="utf-8")
    assert markup.count(json.dumps(held)) == 1
    old.write_text(markup.replace(json.dumps(held), json.dumps(held * 0.9)), encoding="utf-8")
    assert run("handout", old, "--again", "--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert told["page"] == str(old)
    assert told["compared"] == len(record.numbers)
    assert told["changed"] == [{"name": key, "before": held * 0.9, "now": held}]
    # It was made again in its own place.
    assert old.read_bytes() == made.read_bytes()


def test_changes_are_told_by_size_and_by_what_is_new_or_gone__analytic():
    found = changes(
        {"a": 2.0, "b": 1.0, "c": "clear", "e": None}, {"a": 2.2, "b": 1.0 + 1e-12, "d": 3, "e": None}
    )
    assert found == (
        Change(name="a", before=2.0, now=2.2),
        Change(name="c", before="clear", now=None),
        Change(name="d", before=None, now=3),
    )
    assert [str(one) for one in found] == [
        "a: 2 before, 2.2 now (+10 %)",
        "c: clear before, none now",
        "d: none before, 3 now",
    ]


@pytest.mark.parametrize("name", HOSTILE.values(), ids=HOSTILE)
def test_a_record_is_read_as_it_was_put_in_and_does_nothing__common_practice(name, tmp_path):
    record = PageRecord(
        kind="scenario", name=name[:150], text=f"{name}</script><!--", numbers={name[:150]: 1.5}
    )
    markup = with_record(SHELL, record)
    assert [tag for tag, _ in Page(markup).elements] == ["html", "body", "main", "script"]
    path = tmp_path / "page.html"
    path.write_text(markup, encoding="utf-8")
    read = read_page(path)
    assert (read.name, read.text, dict(read.numbers)) == (record.name, record.text, dict(record.numbers))


def held(**changed):
    """A page with a record of which some parts are others."""
    (plain,) = re.findall(r"<script[^>]*>(.*)</script>", with_record(SHELL, PLAIN))
    parts = {**json.loads(plain), **changed}
    return SHELL.replace("</body>", f'<script id="soilx-record">{json.dumps(parts)}</script></body>')


@pytest.mark.parametrize(
    ("markup", "said"),
    [
        ("", "carries no record"),
        (SHELL, "carries no record"),
        ("<" * 5000, "carries no record"),
        (with_record(with_record(SHELL, PLAIN), PLAIN), "carries several records"),
        (with_record(SHELL, PLAIN).replace('"kind"', "kind"), "is not whole"),
        (with_record(SHELL, PLAIN).replace("1.5", "NaN"), "is not whole"),
        (with_record(SHELL, PLAIN).replace("1.5", "1e999"), "holds a number that is none"),
        (with_record(SHELL, PLAIN).replace("1.5", "[" * 100_000), "is not whole"),
        (held(kind="notebook"), "which is nothing soilx makes"),
        (held(kind=7), "holds something that is no text"),
        (held(text=["a"]), "holds something that is no text"),
        (held(more="a"), "has other parts than it was made with"),
        (held(text="a" * 1_000_001), "is too long"),
        (held(name="a" * 1000), "is too long"),
        (held(options={"shell": "rm"}), "asks for what is not known"),
        (held(options={"units": 3}), "asks for what is not known"),
        (held(numbers=[1]), "holds too many numbers"),
        (held(numbers={str(at): 1 for at in range(501)}), "holds too many numbers"),
        (held(numbers={"a": True}), "holds a number that is none"),
        (held(numbers={"a": {"b": 1}}), "holds a number that is none"),
        (held(numbers={"a": 10**400}), "holds a number that is none"),
    ],
    ids=range(21),
)
def test_a_page_that_was_changed_is_refused_in_one_line__common_practice(tmp_path, capsys, markup, said):
    page = tmp_path / "page.html"
    page.write_text(markup, encoding="utf-8")
    assert run("handout", page, "--again") == 2
    told = capsys.readouterr()
    assert (told.out, told.err.count("\n")) == ("", 1)
    assert said in told.err
    assert page.read_text(encoding="utf-8") == markup


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"text": "what is this?"}, "is not TOML"),
        ({"text": "[soil]\nname = 'x'"}, "a.toml"),
        ({"kind": "bench record"}, "has no column for"),
        ({"kind": "decision", "text": "[decision]"}, "a.toml"),
        ({"options": {"reader": "king"}, "text": BLOCK_C.title}, "reader = king"),
    ],
)
def test_what_a_changed_page_carries_is_read_as_a_file_is__common_practice(tmp_path, capsys, changed, said):
    page = tmp_path / "page.html"
    page.write_text(held(**changed), encoding="utf-8")
    assert run("handout", page, "--again") == 2
    told = capsys.readouterr()
    assert (told.out, told.err.count("\n")) == ("", 1)
    assert said in told.err


def test_a_file_that_is_no_page_is_refused__common_practice(tmp_path, capsys):
    page = tmp_path / "page.html"
    page.write_bytes(b"\xff\xfe\x00")
    assert run("handout", page, "--again") == 2
    assert "is not text" in capsys.readouterr().err
    with page.open("wb") as large:
        large.truncate(12_000_001)
    assert run("handout", page, "--again") == 2
    assert "no page of soilx is larger" in capsys.readouterr().err
    assert run("handout", tmp_path / "none.html", "--again") == 2
    assert "cannot be read" in capsys.readouterr().err


def test_the_largest_page_of_a_record_is_looked_at_once__common_practice(tmp_path):
    # A page of nothing but openings is read in the time of its length.
    assert page_record(with_record("<b>" * 200_000 + SHELL, PLAIN), tmp_path).name == "a.toml"


@pytest.mark.parametrize(
    ("source", "page", "said"),
    [
        ("pair.toml", "", "is a folder"),
        ("pair.toml", "nowhere/page.html", "is in a folder that does not exist"),
        ("pair.toml", "pair.toml", "is not named as a web page"),
        ("README.md", "page.html", "is neither a scenario nor a notebook"),
        ("soils.csv", "page.html", "has no column for arm, portion, volume or mass"),
        ("nothing.toml", "page.html", "cannot be read"),
        ("nothing.csv", "page.html", "cannot be read"),
        ("nothing.py", "page.html", "cannot be read"),
    ],
)
def test_a_wrong_path_is_one_line_and_exit_2__common_practice(tmp_path, capsys, source, page, said):
    folder = soilx.demo_path("pair.toml").parent
    assert run("handout", folder / source, "-o", tmp_path / page) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert said in told.err
    assert told.err.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("page.html", "--again", "--for", "grower"), "--for: is of no use with --again"),
        (("page.html", "--again", "--units", "us"), "--units: is of no use with --again"),
        (("pair.toml",), "-o: is missing"),
        (("pair.toml", "-o", "page.html", "--for", "king"), "king"),
    ],
)
def test_options_that_do_not_go_together_are_refused__common_practice(capsys, arguments, said):
    assert run("handout", *arguments) == 2
    told = capsys.readouterr()
    assert said in told.err
    assert told.err.count("\n") == 1


def test_a_place_that_cannot_be_written_is_one_line_and_exit_2__common_practice(
    short, tmp_path, capsys, monkeypatch
):
    def refused(*_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("soilx.column.file_writing.os.open", refused)
    assert run("handout", short, "-o", tmp_path / "page.html") == 2
    assert "cannot be written: Permission denied" in capsys.readouterr().err


def test_a_notebook_is_no_readers_page__common_practice(tmp_path, capsys):
    notebook = cli.offered_notebooks()["lecture"]
    assert run("handout", notebook, "-o", tmp_path / "page.html", "--for", "grower") == 2
    assert "is a notebook" in capsys.readouterr().err
