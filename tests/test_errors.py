"""What is refused says what is wrong, whose limit it is and what to do, in one line."""

import math

import pytest

from soilx.errors import (
    ConvergenceError,
    FileError,
    LimitError,
    ModelRangeError,
    SoilxError,
    TargetError,
    UnitKindError,
    quoted,
    refuse,
    require,
)

FAMILY = (UnitKindError, LimitError, ModelRangeError, FileError, ConvergenceError, TargetError)


@pytest.mark.parametrize("member", FAMILY)
def test_every_refusal_is_a_soilx_error_and_a_value_error__analytic(member):
    assert issubclass(member, SoilxError)
    assert issubclass(member, ValueError)


def test_no_member_of_the_family_catches_another__analytic():
    assert all(not issubclass(a, b) for a in FAMILY for b in FAMILY if a is not b)


def test_a_refusal_follows_the_grammar__analytic():
    with pytest.raises(ModelRangeError) as caught:
        refuse(
            "ionic strength",
            0.61234567,
            "mol/L",
            wrong="is too strong",
            limit="0.5 mol/L, the Davies equation",
            remedy="dilute it.",
            error=ModelRangeError,
        )
    assert str(caught.value) == (
        "ionic strength = 0.612346 mol/L: is too strong; 0.5 mol/L, the Davies equation; dilute it."
    )


def test_an_empty_part_leaves_no_stray_marks__analytic():
    with pytest.raises(LimitError) as caught:
        refuse("depth", "", "", wrong="says nothing", limit="", remedy="write a depth")
    assert str(caught.value) == "depth = (empty): says nothing; write a depth."


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (1.0, "1"),
        (1 / 3, "0.333333"),
        (math.nan, "nan"),
        (True, "True"),
        (None, "None"),
        ("a\nb\t c\x00d", "a b c d"),
        ("x" * 60, "x" * 60),
        ("x" * 61, "x" * 60 + "…"),
        ("   ", "(empty)"),
        (" " * 5000, "(empty)"),
    ],
)
def test_what_was_given_is_quoted_on_one_short_line__analytic(value, shown):
    assert quoted(value) == shown


@pytest.mark.parametrize("value", [0.0, 0.5, 1.0])
def test_a_value_within_limits_comes_back_unchanged__analytic(value):
    assert require("x", value, "", low=0, high=1, whose="a fraction", remedy="r") == value


@pytest.mark.parametrize(
    ("value", "limits", "said"),
    [
        (-0.1, {"low": 0}, "is too low; the limit is at least 0 kg (soil); weigh it"),
        (0.0, {"low": 0, "low_open": True}, "is too low; the limit is more than 0 kg (soil); weigh it"),
        (2.0, {"high": 1}, "is too high; the limit is at most 1 kg (soil); weigh it"),
        (math.nan, {}, "is not finite"),
        (math.inf, {}, "is not finite"),
        (-math.inf, {"low": 0}, "is not finite"),
        ("two", {}, "is not a number"),
        (None, {}, "is not a number"),
    ],
)
def test_a_value_outside_its_limits_is_refused_not_clipped__analytic(value, limits, said):
    with pytest.raises(LimitError, match=r"^mass = .*: ") as caught:
        require("mass", value, "kg", **limits, whose="soil", remedy="weigh it")
    assert said in str(caught.value)
