"""The bibliography says no more than is known, and marks what was recalled."""

import ast
import re
from pathlib import Path

import pytest

import soilx.sources
from soilx.errors import SoilxError
from soilx.sources import LABELS, SOURCES, cite


@pytest.mark.parametrize("key", SOURCES)
def test_every_source_is_whole__analytic(key):
    source = SOURCES[key]
    assert source.key == key
    assert re.fullmatch(r"[a-z][a-z0-9_]*", key)
    assert source.label in LABELS
    assert source.citation == " ".join(source.citation.split())
    assert source.note == " ".join(source.note.split())


def test_no_key_is_written_twice__analytic():
    tree = ast.parse(Path(soilx.sources.__file__).read_text("utf-8"))
    rows = [
        row[0]
        for node in tree.body
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.Tuple)
        for row in ast.literal_eval(node.value)
        if isinstance(row, tuple)
    ]
    assert sorted(rows) == sorted(SOURCES)


@pytest.mark.parametrize("key", [key for key, source in SOURCES.items() if source.label == "recalled"])
def test_a_recalled_source_is_never_cited_without_its_mark__analytic(key):
    assert "†" in cite(key)


def test_a_seen_source_is_cited_as_it_stands__analytic():
    assert cite("frenkel1989") == "Frenkel et al. 1989."


def test_an_unknown_key_lists_what_may_be_meant__analytic():
    with pytest.raises(SoilxError, match="ussl1954"):
        cite("usl1954")
    with pytest.raises(SoilxError, match=r"SOURCES"):
        cite("?")


def test_the_bibliography_cannot_be_changed_in_passing__analytic():
    with pytest.raises(TypeError):
        SOURCES["new"] = SOURCES["ussl1954"]
