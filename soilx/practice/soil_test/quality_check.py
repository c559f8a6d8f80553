"""One quality check of a report: what was found, against which limit, and what it means."""

from dataclasses import dataclass
from enum import StrEnum


class Verdict(StrEnum):
    """What a check found."""

    GOOD = "good"
    TOLERABLE = "tolerable"
    LOOK_AGAIN = "look again"


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One check.

    Attributes
    ----------
    key, title : str
    value : float or None
        What was found [unit]; None where it is no number.
    unit : str
    limit : str
        In words, with whose it is.
    verdict : Verdict
    means : str
        What it means, and where it failed what it probably comes from and what to do.
    source : str
        Key of `soilx.sources.SOURCES`.
    """

    key: str
    title: str
    value: float | None
    unit: str
    limit: str
    verdict: Verdict
    means: str
    source: str = "common_practice"
