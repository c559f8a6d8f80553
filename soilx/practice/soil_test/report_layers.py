"""Samples of one profile by depth, how deep a report speaks for, and when two reports compare."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from soilx.errors import LimitError, refuse

if TYPE_CHECKING:
    from soilx.practice.soil_test.report import Report

_METHODS: Final = (
    ("laboratory", "the laboratory"),
    ("extractant", "the extractant"),
    ("soil_basis", "how the soil was dried"),
    ("exchangeable_basis", "whether dissolved salts were taken off"),
    ("extract_basis", "the extract"),
    ("cec_basis", "how the CEC was come by"),
)
SEASON_DAYS: Final = 45
"""Days of the year by which two samplings may differ and still be of one season; our own limit."""
_DEPTH_ALIKE: Final = 1.0
"""Depths within so much are the same [mm]."""


def require_sampled(report: Report, depth: float) -> None:
    """Raise where a depth reaches below the sampled one: nothing is known there.

    Parameters
    ----------
    report : Report
        Of the sample.
    depth : float
        Depth to be treated, from the top of the sampled layer [mm].

    Raises
    ------
    LimitError
        If no depth is reported, or the depth is deeper.
    """
    if report.depth is None:
        refuse(
            "depth to treat",
            depth / 10.0,
            "cm",
            wrong=f"cannot be held against the sample of {report.name}",
            limit="the report does not say how deep it was taken",
            remedy="ask who took it; a rate is for the depth that was sampled",
        )
    if depth > report.depth + _DEPTH_ALIKE:
        refuse(
            "depth to treat",
            depth / 10.0,
            "cm",
            wrong=f"is deeper than the {report.depth / 10.0:.4g} cm that {report.name} was sampled",
            limit="one ESP does not hold for the whole depth: the limit is the sample's",
            remedy="treat the sampled depth, or sample the layer below and give it as a report of its own",
        )


def layers_of(reports: Iterable[Report], site: str) -> tuple[Report, ...]:
    """Reports of one site from the top down.

    Parameters
    ----------
    reports : iterable of Report
        Those of a file, or of several.
    site : str
        As the reports tell it.

    Raises
    ------
    LimitError
        If there is none of this site, one has no depth, or two overlap or leave a gap between them.
    """
    found = [report for report in reports if report.site == site]
    if not found:
        raise LimitError(
            f"site = {site}: no report is of it; the limit is what the reports tell; write it in the site of "
            "each of its samples."
        )
    deep = [(report.top or 0.0, report.depth, report) for report in found if report.depth is not None]
    if len(deep) < len(found):
        names = ", ".join(report.name for report in found if report.depth is None)
        raise LimitError(
            f"site = {site}: the depth of {names} is not reported; the limit is a profile without holes; "
            "give depth_from and depth."
        )
    deep.sort(key=lambda one: one[0])
    for (top, depth, above), (below, _, under) in pairwise(deep):
        if abs(top + depth - below) > _DEPTH_ALIKE:
            raise LimitError(
                f"site = {site}: {above.name} ends at {(top + depth) / 10.0:.4g} cm and {under.name} "
                f"begins at {below / 10.0:.4g} cm; the limit is layers that touch; check their depths."
            )
    return tuple(report for _, _, report in deep)


def differences(before: Report, after: Report) -> tuple[str, ...]:
    """Why two reports of one place do not compare: season, depth, laboratory or method; empty where they do.

    Parameters
    ----------
    before, after : Report
        The earlier and the later one.

    Notes
    -----
    What neither report tells is a difference too: it cannot be known to be the same.
    """
    found = []
    if before.depth is None or after.depth is None:
        found.append("depth: not reported for both")
    elif (
        abs(before.depth - after.depth) > _DEPTH_ALIKE
        or abs((before.top or 0.0) - (after.top or 0.0)) > _DEPTH_ALIKE
    ):
        found.append(
            f"depth: {_span(before.top, before.depth)} before, {_span(after.top, after.depth)} after"
        )
    for key, title in _METHODS:
        one, other = getattr(before, key), getattr(after, key)
        if one is None or other is None:
            if key != "extractant" or before.reported or after.reported:
                found.append(f"{title}: not stated for both")
        elif one != other:
            found.append(f"{title}: {one} before, {other} after")
    return (*found, *_season(before.date, after.date))


def _span(top: float | None, depth: float) -> str:
    start = top or 0.0
    return f"{start / 10.0:.4g}–{(start + depth) / 10.0:.4g} cm"


def _season(before: str | None, after: str | None) -> tuple[str, ...]:
    if before is None or after is None:
        return ("season: the day of sampling is not told for both",)
    first, second = date.fromisoformat(before), date.fromisoformat(after)
    apart = abs(first.timetuple().tm_yday - second.timetuple().tm_yday)
    apart = min(apart, 365 - apart)
    if apart > SEASON_DAYS:
        return (f"season: {before} and {after} are {apart} days of the year apart",)
    return ()


def require_comparable(before: Report, after: Report) -> None:
    """Raise where two reports differ in more than time.

    Raises
    ------
    LimitError
        It lists what differs.
    """
    found = differences(before, after)
    if found:
        refuse(
            f"{after.name} against {before.name}",
            "not comparable",
            "",
            wrong="; ".join(found),
            limit="tests compare where season, depth, laboratory and method are the same (common practice)",
            remedy="have both samples analysed alike, or state both and compare with that said",
        )
