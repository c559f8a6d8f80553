"""How often the 95 % intervals of a fit hold the truth, for runs made by the column of nested brackets.

Run with ``python -m tests.benchmarks.recovery [draws] [seed]``; 40 draws of each of five soils unless given.
Asked for: the truth within its interval in 90 to 99 % of cases, and no interval wider than 1.5 times the
linearised one. Exits with 1 where it is not so.
"""

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))  # where the tests keep what they share

from synthetic_bench import cases, perfect_cups, read_by

from soilx.bench.fit import fit

DRAWS = 40
SEED = 1


def main() -> int:
    """Coverage and widths, soil by soil and in all."""
    draws = int(sys.argv[1]) if len(sys.argv) > 1 else DRAWS
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else SEED
    held: list[bool] = []
    widths: list[float] = []
    methods: list[str] = []
    random = np.random.default_rng(seed)
    for name, case in cases().items():
        cups, truth = perfect_cups(case), case.truth()
        begun = time.perf_counter()
        found = [fit(case.observed(read_by(case, cups, random)), case.parameters) for _ in range(draws)]
        seconds = (time.perf_counter() - begun) / draws
        wide = np.mean([one.misfit > 1 for one in found])
        sys.stdout.write(f"{name}: {seconds:.2f} s a fit, {100 * wide:.0f} % widened for misfit\n")
        for key, value in truth.items():
            own = [one[key].interval.holds(value) for one in found]
            ratio = [one[key].interval.width / one[key].linearised.width for one in found]
            relative = np.median([one[key].interval.width / 2 / value for one in found])
            sys.stdout.write(
                f"  {key}: held {sum(own)} of {draws}; ± {100 * relative:.1f} % of the truth; width over "
                f"linearised {min(ratio):.3f} to {max(ratio):.3f}\n"
            )
            held += own
            widths += ratio
            methods += [one[key].interval.method for one in found]
    share = 100 * sum(held) / len(held)
    sys.stdout.write(
        f"in all: {sum(held)} of {len(held)} held, {share:.1f} % (asked 90 to 99); widest {max(widths):.3f} "
        f"of the linearised (asked 1.5); {sum(method == 'profile' for method in methods)} by profile\n"
    )
    return 0 if 90 <= share <= 99 and max(widths) <= 1.5 else 1


if __name__ == "__main__":
    sys.exit(main())
