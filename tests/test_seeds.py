"""Draws: hashed integers on decimal grids, the same on every machine, and codes that are no names."""

import decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from soilx import LimitError
from soilx.teaching.seeds import MOST_FRESH, Draws, Seed, course_code, hashed, student_code

SEED = Seed.of("SOIL-24", "sar-to-esp", "S07")
PINNED = [940186, 1.55, "sand"]


def test_a_draw_is_sha_256_of_its_seed_and_label__analytic():
    # By the standard library alone; no generator, nothing of numpy.
    import hashlib

    text = "SOIL-24/sar-to-esp/S07/0\x1f3\x1fcapacity"
    wanted = int.from_bytes(hashlib.sha256(text.encode()).digest(), "big")
    assert hashed("SOIL-24/sar-to-esp/S07/0", 3, "capacity") == wanted
    assert Draws(SEED, 3).whole("capacity", 0, 10**9) == wanted % (10**9 + 1)


def test_draws_are_pinned__pinned():
    # Computed once here: a change of these moves every student's problem.
    draws = Draws(SEED)
    found = [
        draws.whole("one", 0, 999999),
        draws.grid("two", "0.5", "9.5", "0.05"),
        draws.choice("three", ("clay", "loam", "sand")),
    ]
    assert found == PINNED
    assert draws.record == {"one": str(PINNED[0]), "two": f"{PINNED[1]:.2f}", "three": PINNED[2]}


def test_a_draw_does_not_depend_on_the_draws_before_it__analytic():
    late, alone = Draws(SEED), Draws(SEED)
    late.whole("first", 0, 10)
    assert late.whole("capacity", 0, 1000) == alone.whole("capacity", 0, 1000)


def test_the_process_s_decimal_context_changes_nothing__analytic():
    usual = Draws(SEED).grid("value", "0.001", "12.345", "0.001")
    with decimal.localcontext() as context:
        context.prec = 2
        assert Draws(SEED).grid("value", "0.001", "12.345", "0.001") == usual


@given(number=st.integers(0, 10**6), low=st.integers(-50, 50), steps=st.integers(0, 400))
@settings(max_examples=50, deadline=None)
def test_a_grid_draw_lies_on_its_grid__analytic(number, low, steps):
    first, size = decimal.Decimal(low) / 10, decimal.Decimal("0.05")
    high = first + size * steps
    drawn = Draws(Seed.of("C1", "x", f"S{number}")).grid("value", str(first), str(high), str(size))
    count = (decimal.Decimal(repr(drawn)) - first) / size
    assert count == int(count)
    assert 0 <= count <= steps


def test_draws_are_spread_evenly__analytic():
    # 6000 throws of a die: each face 1000 times, with a standard deviation of 29.
    seen = [Draws(Seed.of("C1", "die", f"S{number}")).whole("face", 1, 6) for number in range(6000)]
    assert all(abs(seen.count(face) - 1000) < 150 for face in range(1, 7))


def test_a_label_is_drawn_once__analytic():
    draws = Draws(SEED)
    draws.whole("capacity", 0, 10)
    with pytest.raises(ValueError, match="drawn twice"):
        draws.whole("capacity", 0, 10)


@pytest.mark.parametrize("other", [("soil-25", "S07", 0), ("SOIL-24", "S08", 0), ("SOIL-24", "S07", 1)])
def test_another_code_is_another_problem__analytic(other):
    course, student, fresh = other
    drawn = Draws(Seed.of(course, "sar-to-esp", student, fresh)).whole("value", 0, 10**12)
    assert drawn != Draws(SEED).whole("value", 0, 10**12)


def test_codes_are_read_alike_in_small_letters__analytic():
    assert Seed.of(" soil-24 ", "sar-to-esp", "s07") == SEED


@pytest.mark.parametrize("name", ["Maria", "ana.silva", "Bob"])
def test_a_code_without_a_digit_may_be_a_name_and_is_refused__analytic(name):
    with pytest.raises(LimitError, match="may be a name"):
        student_code(name)


@pytest.mark.parametrize(
    "text", ["", " ", "S 07", "S07/../x", "<b>1</b>", "🙂1", "S" * 25 + "1", "-1", "1" * 5000]
)
def test_what_is_no_code_is_refused_in_one_line__analytic(text):
    for read in (course_code, student_code):
        with pytest.raises(LimitError) as refusal:
            read(text)
        assert "\n" not in str(refusal.value)
        assert len(str(refusal.value)) < 400


@pytest.mark.parametrize("fresh", [-1, MOST_FRESH + 1])
def test_fresh_variants_have_a_number_that_a_receipt_holds__analytic(fresh):
    with pytest.raises(LimitError, match="fresh variant"):
        Seed.of("C1", "sar-to-esp", "S07", fresh)
