"""A small class of the homework: some variants of every problem, drawn once for all tests."""

from soilx.teaching.problems import PROBLEMS
from soilx.teaching.variants import variant
from tests.benchmarks.variants import COURSE, FEW, student

SLIDERS = ("least-gypsum", "least-water")
#: What a column's run costs decides how many are looked at here; the benchmark looks at a thousand.
CLASS = {
    key: [variant(COURSE, key, student(number)) for number in range(FEW if key in SLIDERS else 3 * FEW)]
    for key in PROBLEMS
}
ALL = [made for variants in CLASS.values() for made in variants]
IDS = [f"{made.problem.key}-{made.seed.student}" for made in ALL]


def right_replies(made):
    """The solution, typed as a student would."""
    values = made.solution.values
    return {
        part.key: values[part.key] if part.kind is None else f"{values[part.key]!r} {part.unit}".strip()
        for part in made.asked
    }
