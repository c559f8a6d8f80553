"""What is printed of a run: counts by kind, and the survivors."""

from __future__ import annotations

from collections.abc import Iterable

import click

from tests.mutants.places import KINDS
from tests.mutants.trials import CAUGHT, SLOW, SURVIVED, Trial, line_of
from tests.mutants.verdicts import EQUIVALENT


def counts(trials: Iterable[Trial]) -> dict[str, dict[str, int]]:
    """How many mutants of each kind came to what."""
    table = {kind: dict.fromkeys((CAUGHT, SLOW, SURVIVED, "equivalent"), 0) for kind in KINDS}
    for trial in trials:
        table[trial.place.kind][trial.outcome] += 1
        table[trial.place.kind]["equivalent"] += trial.outcome == SURVIVED and trial.key in EQUIVALENT
    return table


def report(trials: list[Trial]) -> None:
    """Print the table by kind, and the survivors."""
    table = counts(trials)
    total = {
        name: sum(row[name] for row in table.values()) for name in (CAUGHT, SLOW, SURVIVED, "equivalent")
    }
    click.echo(
        f"\n{'kind':12s}{'made':>7s}{'caught':>8s}{'(slow)':>8s}{'survived':>10s}{'(same)':>8s}{'share':>9s}"
    )
    for kind, row in {**table, "all": total}.items():
        made = row[CAUGHT] + row[SLOW] + row[SURVIVED]
        caught = row[CAUGHT] + row[SLOW]
        if made:
            click.echo(
                f"{kind:12s}{made:7d}{caught:8d}{row[SLOW]:8d}{row[SURVIVED]:10d}{row['equivalent']:8d}"
                f"{100 * caught / made:8.1f} %"
            )
    made, caught = len(trials), total[CAUGHT] + total[SLOW]
    pinned = sum(trial.by.endswith("__pinned") for trial in trials)
    click.echo(f"of {caught} caught, {total[SLOW]} by the time limit and {pinned} by pinned values alone")
    if total["equivalent"]:
        rest = made - total["equivalent"]
        click.echo(
            f"without the {total['equivalent']} judged the same (verdicts.py): {100 * caught / rest:.1f} %"
        )
    survivors = [trial for trial in trials if trial.outcome == SURVIVED]
    for title, chosen in (
        ("survivors", [trial for trial in survivors if trial.key not in EQUIVALENT]),
        ("survivors that compute the same", [trial for trial in survivors if trial.key in EQUIVALENT]),
    ):
        click.echo(f"\n{title}: {len(chosen)}")
        for trial in sorted(chosen, key=lambda one: (one.file, one.place.at)):
            why = EQUIVALENT.get(trial.key) or trial.by or f"{len(trial.tests)} tests pass"
            click.echo(f"{line_of(trial)}  ({why})")
