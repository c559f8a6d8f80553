"""Cautions are all there, and in words that everyone can read."""

import re

import pytest

from soilx import wording

SENTENCES = {name: text for name, text in vars(wording).items() if name.isupper() and isinstance(text, str)}
CAUTIONS = {name: text for name, text in SENTENCES.items() if name.startswith("CAUTION_")}


def grade(text: str) -> float:
    """Flesch–Kincaid grade; syllables are counted as groups of vowels, a silent e left out."""
    sentences = len(re.findall(r"[.!?:;](?=\s|$)", text))
    words = re.findall(r"[A-Za-z][A-Za-z'’]*", text)
    syllables = sum(
        max(1, len(re.findall(r"[aeiouy]+", re.sub(r"(?<=[^aeiouyl])e$", "", word.lower()))))
        for word in words
    )
    return 0.39 * len(words) / sentences + 11.8 * syllables / len(words) - 15.59


def test_the_grade_tells_plain_from_heavy_prose__analytic():
    assert grade("The dog ran to the tree. It sat in the sun.") < 1
    assert grade("Exchangeable sodium percentage determination necessitates saturation extraction.") > 20


@pytest.mark.parametrize("name", [name for name in SENTENCES if name != "CAUTION_RATE"])
def test_shared_sentences_read_at_grade_nine__common_practice(name):
    assert grade(SENTENCES[name]) <= 9.5


def test_the_rate_caution_is_printed_word_for_word__common_practice():
    assert wording.CAUTION_RATE == (
        "Educational estimate; confirm with a qualified local adviser and your laboratory before spreading, "
        "draining or acidifying. Local rules apply."
    )


def test_every_caution_is_in_the_list_once__analytic():
    assert sorted(wording.ALL_CAUTIONS) == sorted(CAUTIONS.values())


@pytest.mark.parametrize(
    ("caution", "words"),
    [
        ("CAUTION_DUST", ("mask", "goggles", "wet", "silica", "safety sheet")),
        ("CAUTION_ACID", ("trained", "licensed", "Acid goes into water")),
        (
            "CAUTION_LEACHATE",
            ("sodium", "chloride", "sulfate", "nitrate", "boron", "drains", "groundwater", "permits", "law"),
        ),
        ("CAUTION_NUTRIENTS", ("magnesium", "potassium", "nitrate", "Test", "Fertilise")),
        ("CAUTION_LIVESTOCK", ("off the paddock", "washed off")),
        ("CAUTION_BYPRODUCT", ("heavy metals", "analysis")),
        ("CAUTION_BENCH", ("goggles", "gloves", "not drinking water")),
    ],
)
def test_a_caution_names_its_hazard_and_its_guard__common_practice(caution, words):
    assert [word for word in words if word not in CAUTIONS[caution]] == []


def test_what_the_model_leaves_out_is_said_whole__analytic():
    for part in wording.LEFT_OUT:
        assert part in wording.MODEL_LEAVES_OUT
    for part in (
        "calcite",
        "pH",
        "carbon dioxide",
        "organic matter",
        "anion exclusion",
        "hysteresis",
        "cracks",
    ):
        assert part in wording.MODEL_LEAVES_OUT
