"""Sodium's share through the years, or along the water, as one small drawing that stays readable in grey."""

from __future__ import annotations

from typing import Final

from soilx.column.run import Run
from soilx.handouts.line_drawing import Line, line_figure
from soilx.handouts.reader_facts import ReaderFacts
from soilx.handouts.readers import ReaderUnits
from soilx.practice.seasons.programme import Programme
from soilx.practice.seasons.programme_columns import NOTHING, TREATED
from soilx.units import Kind, express

_DAYS: Final = 365.25
SHARE: Final = "sodium’s share, %"


def path_figure(facts: ReaderFacts, programme: Programme | None, units: ReaderUnits) -> str:
    """The drawing of a page with its words; empty where no column was run.

    Parameters
    ----------
    facts : ReaderFacts
    programme : Programme or None
        Of the rate.
    units : ReaderUnits
    """
    target = facts.decision.target_esp_pct
    rules = [(f"target {target:.3g} %", target)]
    floor = facts.decision.floor_esp_pct
    if floor is not None:
        rules.append((f"water’s own {floor:.1f} %", floor))
    if programme is not None:
        lines = _years(programme)
        ends = [line.up[-1] for line in lines]
        said = (
            f"Sodium’s share over {programme.run.years} years in the model: it ends at {ends[0]:.1f} % with "
            f"gypsum and at {ends[1]:.1f} % without."
        )
        return line_figure(lines, rules, across="Years", up=SHARE, said=said)
    if facts.runs:
        lines = [
            _along(run, name, dash, units)
            for run, name, dash in zip(facts.runs, ("with gypsum", "without"), ("", "7 5"), strict=True)
        ]
        if facts.runs[0].scenario.gypsum == 0:
            lines = lines[:1]
            lines[0] = Line(name="no gypsum", across=lines[0].across, up=lines[0].up)
        said = (
            f"Sodium’s share in the column of the scenario: from {lines[0].up[0]:.1f} % to "
            + " and ".join(f"{line.up[-1]:.1f} % {line.name}" for line in lines)
        )
        return line_figure(lines, rules, across=f"Water given, {_unit(units)}", up=SHARE, said=f"{said}.")
    return ""


def _years(programme: Programme) -> list[Line]:
    began = programme.run.days[0]
    lines = []
    for column, name, dash in ((TREATED, "with gypsum", ""), (NOTHING, "nothing done", "7 5")):
        path = programme.path(column)
        across = [(day - began).days / _DAYS for day in path.days]
        lines.append(Line(name=name, across=across, up=[float(esp) for esp in path.esp_pct], dash=dash))
    return lines


def _along(run: Run, name: str, dash: str, units: ReaderUnits) -> Line:
    ground = run.scenario.ground
    across = [express(float(water), Kind.WATER, _unit(units), ground=ground) for water in run.applied_water]
    return Line(name=name, across=across, up=[float(esp) for esp in run.depth_average_esp_pct], dash=dash)


def _unit(units: ReaderUnits) -> str:
    return "in" if units.system == "us" else "mm"
