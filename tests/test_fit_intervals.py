"""Intervals of a fit: exact where the model is straight, right where it bends, open where nothing holds."""

from dataclasses import dataclass, replace

import numpy as np
import pytest
from synthetic_bench import cases, perfect_cups, read_by

from soilx.bench.fit import fit
from soilx.bench.fit_intervals import (
    INTERPOLATED,
    LINEARISED,
    PROFILE,
    Interval,
    covariance,
    critical,
    linearised,
)
from soilx.bench.fit_profile import profile
from soilx.errors import ModelRangeError


@dataclass(frozen=True)
class Straight:
    """A parameter searched as it is."""

    low: float = -50.0
    high: float = 50.0

    def value(self, searched, _scenario):
        return searched

    def slope(self, _searched, _scenario):
        return 1.0

    def limits(self, _scenario):
        return self.low, self.high


@dataclass
class Unknowns:
    parameters: tuple
    scenario: None = None

    def bounds(self):
        return np.array([p.low for p in self.parameters]), np.array([p.high for p in self.parameters])


class Toy:
    """Residuals and their slopes from plain functions of one point."""

    def __init__(self, function, slopes, *parameters):
        self.function, self.derivatives, self.unknowns = function, slopes, Unknowns(parameters)
        self.rounds = 0

    def residuals_and_slopes(self, points):
        self.rounds += 1
        return (
            np.array([self.function(point) for point in points]),
            np.array([self.derivatives(point) for point in points]),
        )

    def profiled(self, point, *, reach=1.96):
        point = np.asarray(point, dtype=float)
        return profile(self, point, self.function(point), self.derivatives(point), reach=reach)


def straight_model(*, width=50.0):
    random = np.random.default_rng(1)
    design = random.standard_normal((12, 3)) * (1.0, 5.0, 0.2)
    noise = random.standard_normal(12)
    best = np.linalg.lstsq(design, noise, rcond=None)[0]
    parameters = (Straight(-width, width),) * 3
    return Toy(lambda x: design @ x - noise, lambda _: design, *parameters), design, best


def test_a_straight_model_has_its_textbook_intervals__analytic():
    model, design, best = straight_model()
    half = 1.96 * np.sqrt(np.diag(np.linalg.inv(design.T @ design)))
    found = model.profiled(best)
    slopes = design
    plain = linearised(model, best, slopes, reach=1.96)
    for place in range(3):
        # the search stops within 2 % of the rise; the plain ones know the width of the search
        assert found.intervals[place].high - best[place] == pytest.approx(half[place], rel=0.02)
        assert best[place] - found.intervals[place].low == pytest.approx(half[place], rel=0.02)
        assert plain[place].width == pytest.approx(2 * half[place], rel=1e-2)
        assert found.intervals[place].method == PROFILE
        assert plain[place].method == LINEARISED
    assert found.better is None


def test_a_bent_model_has_the_interval_of_its_own_square__analytic():
    # (e^x − 1)/0.3 rises to ±1.96 at ln(1 ± 0.588)
    model = Toy(
        lambda x: np.array([np.expm1(x[0]) / 0.3]),
        lambda x: np.array([[np.exp(x[0]) / 0.3]]),
        Straight(-9, 9),
    )
    (found,) = model.profiled([0.0]).intervals
    # a search ends within 2 % of the rise, which at the low end is 0.03 on the scale
    assert found.low == pytest.approx(np.log(1 - 0.588), abs=0.04)
    assert found.high == pytest.approx(np.log(1.588), abs=0.02)
    assert (found.open_low, found.open_high) == (False, False)


def test_what_nothing_depends_on_is_open_on_both_sides__analytic():
    model = Toy(
        lambda x: np.array([x[0], 0.0]),
        lambda _: np.array([[1.0, 0.0], [0.0, 0.0]]),
        Straight(),
        Straight(-3, 3),
    )
    one, other = model.profiled([0.0, 0.0]).intervals
    assert (one.low, one.high) == pytest.approx((-1.96, 1.96), rel=0.02)
    assert (other.low, other.high, other.open_low, other.open_high) == (-3, 3, True, True)


def test_a_limit_within_reach_opens_that_end_only__analytic():
    model = Toy(lambda x: np.array([x[0]]), lambda _: np.array([[1.0]]), Straight(-1.0, 9.0))
    (found,) = model.profiled([0.0]).intervals
    assert (found.low, found.open_low, found.open_high) == (-1.0, True, False)
    assert found.high == pytest.approx(1.96, rel=0.02)


def test_others_held_at_their_limits_do_not_widen_an_interval__analytic():
    # the second could take up all of the first, were it not at its limit
    design = np.array([[1.0, 1.0]])
    free = Toy(lambda x: design @ x, lambda _: design, Straight(-9, 9), Straight(-9, 9))
    held = Toy(lambda x: design @ x, lambda _: design, Straight(-9, 9), Straight(0, 9))
    assert free.profiled([0.0, 0.0]).intervals[0].open_high
    found = held.profiled([0.0, 0.0]).intervals[0]
    assert found.high == pytest.approx(1.96, rel=0.02)
    assert found.open_low


def test_a_better_point_is_reported__analytic():
    model = Toy(lambda x: np.array([x[0] - 1.5]), lambda _: np.array([[1.0]]), Straight())
    found = model.profiled([0.0])
    assert found.better is not None
    assert abs(found.better[0] - 1.5) < 1.5


def test_steps_to_where_nothing_runs_are_taken_back__analytic():
    model, _, best = straight_model()
    plain = model.residuals_and_slopes

    def narrow(points):
        if np.any(np.abs(points[:, 0] - best[0]) > 0.45):
            raise ModelRangeError("too far")
        return plain(points)

    model.residuals_and_slopes = narrow
    found = model.profiled(best).intervals
    assert all(np.isfinite([one.low, one.high]).all() for one in found)


def test_a_search_that_never_settles_says_so__analytic():
    """A model that jumps: within the target on one side, beyond it on the other, its slope neither's."""
    jump = Toy(
        lambda x: np.array([0.1 * x[0] + (2.5 if x[0] > 1.0 else 0.0)]),
        lambda _: np.array([[0.1]]),
        Straight(),
    )
    (found,) = jump.profiled([0.0]).intervals
    assert found.method == INTERPOLATED
    assert 0 < found.high <= 20
    blind = Toy(lambda x: np.array([np.abs(x[0]) ** 0.1]), lambda _: np.array([[1e-9]]), Straight())
    blind.residuals_and_slopes = lambda _points: (_ for _ in ()).throw(ModelRangeError("never"))
    (found,) = blind.profiled([0.0]).intervals
    assert found.method == LINEARISED


def test_a_misleading_slope_is_halved_away__analytic():
    wall = Toy(
        lambda x: np.array([0.2 * x[0] + np.expm1(max(x[0] - 2, 0.0) * 4)]),
        lambda x: np.array([[0.2 + (4 * np.exp((x[0] - 2) * 4) if x[0] > 2 else 0.0)]]),
        Straight(-20, 20),
    )
    (found,) = wall.profiled([0.0]).intervals
    # 0.2 x + e^(4(x−2)) − 1 = 1.96 at 2.232
    assert found.high == pytest.approx(2.232, abs=0.02)
    assert found.low == pytest.approx(-9.8, rel=0.02)


def test_covariance_stays_finite_where_nothing_is_known__analytic():
    bounds = (np.array([-1.0, -2.0]), np.array([1.0, 2.0]))
    found = covariance(np.array([[10.0, 0.0]]), bounds)
    assert found[0, 0] == pytest.approx(1 / (100 + 0.25))
    assert found[1, 1] == pytest.approx(16.0)


def test_reach_is_the_quantile_of_normal_or_student__analytic():
    assert critical(10, scaled=False) == pytest.approx(1.959964, abs=5e-7)
    assert critical(10, scaled=True) == pytest.approx(2.228139, abs=5e-7)


def test_open_ends_hold_what_lies_beyond__analytic():
    closed = Interval(low=1.0, high=2.0)
    assert [closed.holds(value) for value in (0.9, 1.0, 2.0, 2.1)] == [False, True, True, False]
    assert replace(closed, open_high=True).holds(5.0)
    assert replace(closed, open_low=True).holds(0.0)


def test_more_error_makes_wider_intervals_and_misfit_widens_them__analytic():
    case = replace(cases()["Lawn 2"], layers=2, portions=4)
    record = read_by(case, perfect_cups(case), np.random.default_rng(2))
    observed = case.observed(record)
    plain = fit(observed, case.parameters)
    coarse = replace(
        observed, readings=tuple(replace(r, error=3 * r.error, floor=3 * r.floor) for r in observed.readings)
    )
    fine = replace(
        observed, readings=tuple(replace(r, error=r.error / 6, floor=r.floor / 6) for r in observed.readings),
        calibration=dict.fromkeys(observed.calibration, 1e-3),
    )  # fmt: skip
    key = "cation_exchange_capacity"
    assert fit(coarse, case.parameters)[key].interval.width > 1.3 * plain[key].interval.width
    scaled = fit(fine, case.parameters)
    assert scaled.misfit > 2
    # the widened interval is of the size of the honest one
    assert 0.4 < scaled[key].interval.width / plain[key].interval.width < 2.5


def test_correlations_are_of_a_covariance__analytic():
    case = replace(cases()["Bed 7"], layers=2, portions=4)
    found = fit(case.observed(read_by(case, perfect_cups(case), None)), case.parameters)
    assert np.diag(found.correlation) == pytest.approx(1.0)
    assert found.correlation == pytest.approx(found.correlation.T)
    assert np.linalg.eigvalsh(found.correlation).min() > 0
