"""Many scenarios run as arrays."""

from collections.abc import Iterable

from soilx.column.leaching import leach_together
from soilx.column.run import Run
from soilx.column.scenario import Scenario

CHUNK = 400
"""Columns stepped as one array: enough to hide numpy's calls, few enough to stay in the processor's cache."""


def sweep(
    scenarios: Iterable[Scenario], *, extrapolate: bool = False, keep_steps: bool = True
) -> tuple[Run, ...]:
    """Runs of many scenarios, in their order.

    Parameters
    ----------
    scenarios : iterable of Scenario
        Any mixture; those with equally many layers are stepped together.
    extrapolate : bool
        Allow soil solutions above an ionic strength of 0.5 mol/L, where activities are rough.
    keep_steps : bool
        Keep every step of every layer; else only the first and the last, to save memory.

    Raises
    ------
    SoilxError
        As `soilx.leach` does for one of them.
    """
    every = tuple(scenarios)
    found: dict[int, Run] = {}
    for layers in sorted({scenario.layers for scenario in every}):
        # columns of like length together, so that few wait for the longest
        numbers = sorted(
            (number for number, scenario in enumerate(every) if scenario.layers == layers),
            key=lambda number: every[number].volume / every[number].soil.drained_water,
        )
        for first in range(0, len(numbers), CHUNK):
            chunk = numbers[first : first + CHUNK]
            runs = leach_together(
                [every[number] for number in chunk], extrapolate=extrapolate, keep_steps=keep_steps
            )
            found.update(zip(chunk, runs, strict=True))
    return tuple(found[number] for number in range(len(every)))
