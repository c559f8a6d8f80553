"""A small run of the fuzzing that `python -m tests.fuzz` does at length: the same targets, fewer inputs."""

import pytest

from soilx.errors import SoilxError
from tests.fuzz import checks
from tests.fuzz.driver import fuzz
from tests.fuzz.targets import TARGETS, Target

INPUTS = 1500
START = 8


@pytest.mark.parametrize("target", TARGETS, ids=lambda target: target.name)
def test_whatever_is_read_is_refused_in_words_or_is_the_same_again__common_practice(target):
    count = fuzz(target, inputs=max(10, round(INPUTS * target.share)), start=START, most_finds=1)
    assert not count.finds, count.finds[0]
    assert count.inputs >= 10


def test_shares_of_the_targets_are_a_whole__analytic():
    assert sum(target.share for target in TARGETS) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (lambda _: 1 // 0, "ZeroDivisionError"),
        (lambda _: checks.all_finite([float("nan")]), "AssertionError"),
        (lambda _: checks.alike([1.0], [1.1]), "AssertionError"),
        (lambda _: checks.refused_well(SoilxError("x" * 6000)), "AssertionError"),
    ],
)
def test_a_fault_is_found_and_told_with_its_input__analytic(wrong, says):
    target = Target(name="wrong", inputs=TARGETS[0].inputs, check=wrong, share=1.0)
    count = fuzz(target, inputs=10, start=START, most_finds=1)
    assert len(count.finds) == 1
    assert count.finds[0].startswith(says)
    assert "input: " in count.finds[0]


# Each of these was found by the fuzzing, and was an exception or a wrong reading before.
@pytest.mark.parametrize(
    ("check", "given"),
    [
        (checks.check_quantity, "0.0hundred_gram"),
        (checks.check_quantity, "0%%3"),
        (checks.check_quantity, "0.0(degC)^-0.5"),
        (checks.check_quantity, "0/A2/A2"),
        (checks.check_scenario, b"x = " + b"[" * 5000),
        (checks.check_scenario, b"x = " + b"9" * 5000),
        (
            checks.check_climates,
            b"name,month,rain_mm,reference_evapotranspiration_mm,rains\nA,1,1,1," + b"9" * 400,
        ),
        (checks.check_record, b"# soil_mass,100 g,,a,\xc2\xb2\narm,portion,volume_ml\na,1," + b"<" * 3000),
        (checks.check_record, "arm,portion,volume_ml\na,1,5\n# dose,1 g,,a,²\n".encode()),
        (
            checks.check_changing,
            (b"arm,replicate,portion,volume_ml\ngypsum,1,1,15\n", {"arm": "a\nb"}, 0),
        ),
        (
            checks.check_adding,
            (b"arm,replicate,portion,volume_ml,note\ngypsum,1,1,15,\n", {"arm": "a", "note": "x\ry"}),
        ),
        (
            checks.check_adding,
            ("arm,replicate,portion,volume_ml,note\nö,1,1,15,\n".encode("cp1252"), {"arm": "a", "note": "→"}),
        ),
    ],
)
def test_what_was_found_stays_mended__pinned(check, given):
    check(given)
