"""The truth lies within the stated intervals: a small part of `tests/benchmarks/recovery.py`."""

import numpy as np
from synthetic_bench import cases, perfect_cups, read_by

from soilx.bench.fit import fit
from soilx.bench.fit_intervals import PROFILE

DRAWS = 4


def test_intervals_hold_the_truth_and_are_no_wider_than_they_must__analytic():
    """Five soils, four draws each, 18 parameters in all.

    At 95 % a count of 72 cases falls below 61 or, were they independent, above all of them hardly ever; those
    of one draw are not independent, so that the lower limit is four standard deviations down, and none above.
    """
    random = np.random.default_rng(11)
    held, widths, settled = [], [], []
    for case in cases().values():
        cups, truth = perfect_cups(case), case.truth()
        for _ in range(DRAWS):
            found = fit(case.observed(read_by(case, cups, random)), case.parameters)
            for key, value in truth.items():
                held.append(found[key].interval.holds(value))
                widths.append(found[key].interval.width / found[key].linearised.width)
                settled.append(found[key].interval.method == PROFILE)
    count = len(held)
    assert count == 72
    assert sum(held) >= 0.95 * count - 4 * (count * 0.95 * 0.05) ** 0.5
    assert max(widths) <= 1.5
    assert np.mean(settled) > 0.95
