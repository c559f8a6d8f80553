"""The command `python -m tests.mutants`: makes mutants, runs tests on them, prints what none noticed."""

from __future__ import annotations

import json
import random
from pathlib import Path

import click

from tests.mutants import processes
from tests.mutants.coverage_map import ROOT, test_files
from tests.mutants.report import counts, report
from tests.mutants.trials import SURVIVED, Trials


@click.command()
@click.option("--sample", type=int, help="So many mutants, drawn at random; all unless given.")
@click.option("--seed", type=int, default=7, show_default=True, help="Of the draw.")
@click.option(
    "--change", default=0.05, show_default=True, help="By how much a float is changed, relative to it."
)
@click.option(
    "--budget", default=20.0, show_default=True, help="Seconds of tests per mutant, quickest first."
)
@click.option("--only", default="", help="Part of the file names to mutate.")
@click.option(
    "--again", type=click.Path(exists=True, path_type=Path), help="The survivors of an earlier report."
)
@click.option("--json", "json_path", type=click.Path(path_type=Path), help="Where the report is written.")
@click.option(
    "--cache",
    type=click.Path(path_type=Path),
    default=ROOT / ".pytest_cache" / "mutants",
    help="What is learnt.",
)
def main(
    sample: int | None,
    seed: int,
    change: float,
    budget: float,
    only: str,
    again: Path | None,
    json_path: Path | None,
    cache: Path,
) -> None:
    """Mutate soilx/chemistry and soilx/column, one small mistake at a time, and see whether tests notice."""
    processes.at_home(cache)
    trials = Trials(cache, change=change, budget=budget)
    trials.learn()
    chosen = [trial for trial in trials.every() if only in trial.file]
    if again:
        wanted = {
            tuple(each[name] for name in ("file", "function", "row", "before", "after"))
            for each in json.loads(again.read_text("utf-8"))["mutants"]
            if each["outcome"] == SURVIVED and not each["equivalent"]
        }
        chosen = [trial for trial in chosen if trial.key in wanted]
    there = len(chosen)
    if sample is not None and sample < there:
        chosen = random.Random(seed).sample(chosen, sample)
    click.echo(f"{len(chosen)} of {there} mutants (seed {seed}), floats by {100 * change:g} %")
    click.echo(f"tests: {len(trials.map.seconds)} functions of {len(test_files())} files")
    for rule, number in trials.left_out.items():
        click.echo(f"left out: {number} ({rule})")
    for test in trials.map.failing:
        click.echo(f"not used, it fails without a mutant: {test}")
    trials.run(chosen)
    report(chosen)
    if json_path:
        told = {
            "seed": seed,
            "sample": sample,
            "change": change,
            "budget": budget,
            "left_out": trials.left_out,
            "counts": counts(chosen),
            "mutants": [trial.told() for trial in chosen],
        }
        json_path.write_text(json.dumps(told, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
