"""Variants: possible, consistent with the library, away from borders, spread, and the same everywhere."""

import json
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from soilx import LimitError, leach
from soilx.practice.dose.requirement import hand_requirement
from soilx.practice.judgement.irrigation_water import floor_esp_pct
from soilx.teaching.attempts import Attempt
from soilx.teaching.kinds.fake_recommendation import fake_lines
from soilx.teaching.possible_water import water_of
from soilx.teaching.problem import Level
from soilx.teaching.problems import BY_NUMBER, PROBLEMS, problems_of
from soilx.teaching.variants import variant
from tests.benchmarks.variants import COURSE, DIGESTS, FEW, digest_of, failing, student
from tests.homework_class import ALL, CLASS, IDS, right_replies


def near(value, share):
    return pytest.approx(value, rel=share)


def test_every_level_has_its_problems_and_every_problem_its_number__analytic():
    assert len(PROBLEMS) >= 12
    assert all(problems_of(level) for level in Level)
    assert sorted(BY_NUMBER) == list(range(len(PROBLEMS)))
    levels = [problem.level for problem in PROBLEMS.values()]
    assert levels == sorted(levels)


@pytest.mark.parametrize("made", ALL, ids=IDS)
def test_a_variant_is_solved_by_its_solution__analytic(made):
    attempt = Attempt(variant=made).answer(right_replies(made))
    assert attempt.at_first, attempt.sentences
    assert made.solution.lines
    assert made.told.rows
    assert set(made.solution.values) >= {part.key for part in made.asked}


@pytest.mark.parametrize("made", ALL, ids=IDS)
def test_the_report_behind_a_variant_passes_every_quality_check__common_practice(made):
    assert failing(made) == []


@pytest.mark.parametrize("key", PROBLEMS)
def test_a_code_makes_the_same_variant_and_another_code_another_one__analytic(key):
    from soilx.teaching import variants as module

    first = CLASS[key][0]
    module._made.cache_clear()
    again = variant(COURSE.lower(), key, student(0).lower())
    assert again is not first
    assert again.digest == first.digest
    assert again.told == first.told
    assert len({made.digest for made in CLASS[key]}) == len(CLASS[key])


@pytest.mark.parametrize("key", PROBLEMS)
def test_the_draws_are_as_committed__pinned(key):
    # Draws exactly, answers to five digits; `python -m tests.benchmarks.variants` looks at a thousand.
    known = json.loads(DIGESTS.read_text("utf-8"))
    assert set(known) == set(PROBLEMS)
    assert digest_of(CLASS[key][:FEW]) == known[key][str(FEW)]


def test_the_draws_are_as_committed_without_the_processor_s_special_instructions__pinned():
    from numpy._core._multiarray_umath import __cpu_dispatch__, __cpu_features__

    disabled = [name for name in __cpu_dispatch__ if __cpu_features__.get(name)]
    if not disabled:
        pytest.skip("this processor, or this numpy, has none to do without")
    code = (
        "from tests.benchmarks.variants import *; from soilx.teaching.problems import PROBLEMS;"
        "print(json.dumps({key: digest_of([variant(COURSE, key, student(n)) for n in range(FEW)])"
        " for key in PROBLEMS}))"
    )
    root = Path(__file__).resolve().parents[1]
    found = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "NPY_DISABLE_CPU_FEATURES": " ".join(disabled)},
        cwd=root,
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    )
    known = json.loads(DIGESTS.read_text("utf-8"))
    assert json.loads(found.stdout) == {key: known[key][str(FEW)] for key in PROBLEMS}


@pytest.mark.parametrize("key", PROBLEMS)
def test_answers_are_spread__analytic(key):
    variants = CLASS[key]
    numbers = [part.key for part in variants[0].asked if part.kind is not None]
    distinct = {tuple(made.solution.values[part] for part in numbers) for made in variants}
    # Saturated water holds as much calcium whatever was stirred in.
    assert len(distinct) >= (0.3 if key == "gypsum-in-water" else 0.9) * len(variants) or not numbers


@pytest.mark.parametrize("key", ["name-the-soil", "which-extract", "infiltration"])
def test_a_choice_does_not_hang_on_five_percent__analytic(key):
    for made in CLASS[key]:
        choice = next(part.key for part in made.asked if part.kind is None)
        for number in ("ec", "Na", "na"):
            if number not in made.seen.numbers:
                continue
            for times in (0.95, 1.05):
                moved = {**made.seen.numbers, number: made.seen[number] * times}
                found = made.problem.solve(replace(made.seen, numbers=moved), "")
                assert found.values[choice] == made.solution.values[choice]


def test_the_ratio_and_the_clay_are_the_report_s__conservation():
    for made in CLASS["sar-to-esp"]:
        report = made.seen.report
        # Half a last printed digit of the least ion, 0.2 meq/L, is 2.5 % of it and 1.3 % of a root.
        assert made.solution.values["sar"] == near(report.paste_sar.value, 1e-9)
        assert made.solution.values["esp"] == near(report.esp.value, 0.013)
    for key in ("esp-by-charge", "what-sits-on-the-clay", "name-the-soil"):
        for made in CLASS[key]:
            # Two decimals of at least 0.5 cmol_c/kg, and whole mg/kg.
            assert made.solution.values["esp"] == near(made.seen.report.esp.value, 0.015)


def test_one_portion_by_hand_is_the_column_s_first_step__conservation():
    for made in CLASS["one-portion"]:
        run = leach(made.seen.scenario)
        # Printed to 0.1 mmol/L.
        assert made.solution.values["leached"] == near(run.sodium_leached_mg_per_kg, 0.01)
        assert made.solution.values["left"] == near(run.sodium_left_mg_per_kg, 0.005)
        assert max(abs(balance.closing_error) for balance in run.balance.values()) < 1e-9


def test_the_cups_account_for_the_column_s_sodium__conservation():
    for made in CLASS["leachate-budget"]:
        run = leach(made.seen.scenario)
        assert made.solution.values["leached"] == near(run.sodium_leached_mg_per_kg, 0.0075)
        assert made.solution.values["left"] == near(run.sodium_left_mg_per_kg, 0.0085)
        assert max(abs(balance.closing_error) for balance in run.balance.values()) < 1e-9


def test_the_least_gypsum_reaches_the_target_and_less_does_not__conservation():
    for made in CLASS["least-gypsum"]:
        target, least = made.seen["target"], made.solution.values["gypsum"]
        for times, reached in ((1.001, True), (0.97, False)):
            run = leach(made.seen.scenario.with_(gypsum=f"{least * times!r} g/kg"))
            assert (run.final_esp_pct <= target) is reached
        assert least > made.problem.solve(made.seen, "A14").values["gypsum"]


def test_the_least_water_reaches_the_target_and_less_does_not__conservation():
    for made in CLASS["least-water"]:
        target, least = made.seen["target"], made.solution.values["water"]
        for times, reached in ((1.005, True), (0.97, False)):
            run = leach(made.seen.scenario.with_(wettings=[f"{least * times!r} pore_volume"]))
            assert (run.final_esp_pct <= target) is reached


@pytest.mark.parametrize("key", ["field-rate", "find-the-mistake"])
def test_the_rate_by_hand_is_the_report_s_requirement__analytic(key):
    for made in CLASS[key]:
        found = hand_requirement(
            made.seen.report, target_esp=made.seen["target"], depth=f"{made.seen['treated']!r} cm"
        )
        pure = float(found.pure.to("t/ha").magnitude)
        # ESP is printed to 0.1 %.
        drop = made.seen["esp"] - made.seen["target"]
        assert made.problem.solve(made.seen, "E9").values["product"] == near(pure, 0.06 / drop)


def test_a_fake_recommendation_is_wrong_in_the_line_that_is_asked_for__analytic():
    for made in CLASS["find-the-mistake"]:
        fake, at = fake_lines(made.seen), int(made.solution.values["line"])
        right = PROBLEMS["field-rate"].solve(made.seen, "").lines
        assert [line.text for line in fake[: at - 1]] == [line.text for line in right[: at - 1]]
        assert fake[at - 1].text != right[at - 1].text
        assert fake[-1].result != right[-1].result


def test_the_floor_by_hand_is_the_library_s__analytic():
    for made in CLASS["water-floor"]:
        ions = {"Na": made.seen["na"], "Ca": made.seen["ca"], "Mg": made.seen["mg"]}
        water = water_of({**ions, "Cl": sum(ions.values())})
        wanted = floor_esp_pct(water, concentration_factor=made.seen["times"])
        assert made.solution.values["esp"] == near(wanted, 1e-9)


def test_an_unknown_problem_is_refused_with_the_known_ones__analytic():
    with pytest.raises(LimitError, match="ppm-to-charge"):
        variant("C1", "no-such-problem", "S07")


def test_numbers_are_plain_floats__analytic():
    # A numpy scalar would print and hash by numpy's version.
    for made in ALL:
        for value in (*made.seen.numbers.values(), *made.solution.values.values()):
            assert not isinstance(value, np.generic)
