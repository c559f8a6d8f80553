"""Trials: one mutant each, the tests that could notice it, and what came of it."""

from __future__ import annotations

import time
from collections import Counter
from pathlib import Path

import click

from tests.mutants import processes
from tests.mutants.coverage_map import ROOT, CoverageMap, Names, modules
from tests.mutants.places import Place, mutated, places_of
from tests.mutants.verdicts import EQUIVALENT

CAUGHT, SLOW, SURVIVED = "caught", "caught by the time limit", "survived"


class Trial:
    """One mutant, the tests that could notice it, and what came of it."""

    def __init__(self, file: str, place: Place) -> None:
        self.file, self.place = file, place
        self.tests: list[str] = []
        self.outcome, self.by = "", ""

    @property
    def key(self) -> tuple[str, str, str, str, str]:
        """What names this mutant while lines move."""
        return self.file, self.place.function, self.place.row, self.place.before, self.place.after

    def told(self) -> dict[str, object]:
        """For the report."""
        place = self.place
        return {
            "file": self.file,
            "line": place.at,
            "function": place.function,
            "kind": place.kind,
            "row": place.row,
            "before": place.before,
            "after": place.after,
            "outcome": self.outcome,
            "by": self.by,
            "tests": len(self.tests),
            "equivalent": EQUIVALENT.get(self.key, "") if self.outcome == SURVIVED else "",
        }


class Trials:
    """All trials of a run: chosen, ordered, run, counted."""

    def __init__(self, cache: Path, *, change: float, budget: float) -> None:
        self.cache, self.change, self.budget = cache, change, budget
        self.map = CoverageMap.load(cache / "map.json.gz")
        self.catches: Counter[tuple[str, str]] = Counter()
        self.sources = {file: (ROOT / file).read_text("utf-8") for file in modules()}
        self.left_out: Counter[str] = Counter()
        self.begun = time.monotonic()

    def learn(self) -> None:
        """Bring the map of lines and tests up to date."""
        files = self.map.stale()
        if not files:
            return
        click.echo(f"learning which lines {len(files)} test files run ...")
        learnt = processes.forked(lambda: processes.learn(files), seconds=3600)
        if not isinstance(learnt, dict) or not learnt.get("seconds"):
            raise click.ClickException("the tests could not be run to learn what they cover")
        self.map.take(learnt, files)
        self.map.save(self.cache / "map.json.gz")

    def every(self) -> list[Trial]:
        """A trial for each mutant there is."""
        found = []
        for file, source in self.sources.items():
            places, left_out = places_of(source, change=self.change)
            self.left_out += left_out
            found += [Trial(file, place) for place in places]
        return found

    def ordered(self, trial: Trial) -> list[str]:
        """Tests of a trial: quick ones first and those that caught others in the file; pinned values last."""
        seconds = self.map.seconds

        def rank(test: str) -> tuple[bool, float]:
            caught = self.catches[trial.file, test]
            return test.endswith("__pinned"), (0.01 + seconds[test]) / (1 + caught)

        chosen, spent = [], {True: 0.0, False: 0.0}
        for test in sorted(trial.tests, key=rank):
            pinned = rank(test)[0]
            spent[pinned] += seconds[test]
            if spent[pinned] <= self.budget or not chosen:
                chosen.append(test)
        return chosen

    def settle(self, trial: Trial, answer: object) -> None:
        """Note what came of a trial."""
        if not isinstance(answer, dict):
            trial.outcome, trial.by = SLOW, "time limit"
        elif answer["failed"]:
            trial.outcome, trial.by = CAUGHT, answer["failed"][0]
            self.catches[trial.file, trial.by] += 1
        else:
            trial.outcome = SURVIVED

    def run(self, trials: list[Trial]) -> None:
        """Run trials: of functions in forks of one collected session, of what is made at import apart."""
        names, cold, warm = Names(), [], []
        for trial in trials:
            lines = range(trial.place.line, trial.place.last + 1)
            trial.tests = sorted(self.map.tests_of(trial.file, lines, names))
            if not trial.tests:
                trial.outcome, trial.by = SURVIVED, "no test runs it"
            else:
                early = not trial.place.function or self.map.runs_at_import(trial.file, lines)
                (cold if early else warm).append(trial)
        quick = [test for test, spent in self.map.seconds.items() if spent < 0.05]
        files = sorted({test.partition("::")[0] for trial in warm for test in trial.tests})
        processes.warm(
            files, lambda tried: self._each(warm, tried, at=len(trials) - len(warm) - len(cold)), quick=quick
        )
        # What tests make while they are collected was made without the mutant: tried again from import on.
        again = [
            trial
            for trial in warm
            if trial.outcome == SURVIVED
            and not self.map.at_collection.get(trial.file, set()).isdisjoint(
                range(trial.place.line, trial.place.last + 1)
            )
        ]
        self._each([*again, *cold], None, at=len(trials) - len(cold) - len(again))

    def _each(self, trials: list[Trial], tried: object, *, at: int) -> None:
        for number, trial in enumerate(trials, start=at + 1):
            tests = self.ordered(trial)
            limit = 5 + 3 * sum(self.map.seconds[test] for test in tests)
            try:
                tree = mutated(self.sources[trial.file], trial.place.number, change=self.change)
                code = compile(tree, str(ROOT / trial.file), "exec")
            except (SyntaxError, ValueError) as error:
                trial.outcome, trial.by = CAUGHT, f"does not compile: {error}"
                continue
            if tried is None:
                work = lambda: processes.first_failure(trial.file, code, tests)  # noqa: B023, E731 - called at once
            else:
                work = lambda: tried(code, tests)  # noqa: B023, E731 - called at once
            self.settle(trial, processes.forked(work, seconds=limit))
            if trial.outcome == SURVIVED or number % 50 == 0:
                spent = time.monotonic() - self.begun
                click.echo(f"{number:5d} {spent:6.0f} s  {trial.outcome}: {line_of(trial)}")


def line_of(trial: Trial) -> str:
    """A trial as one line of the list."""
    place = trial.place
    return f"{trial.file}:{place.at} [{place.kind}] {place.before:.90} → {place.after:.90}"
