"""A published value as data: what is claimed, by whom, and whether soilx still computes it."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType
from typing import Any, Final

from soilx.sources import SOURCES, cite
from soilx.verification.printed import difference, half_last_digit, parse_printed


class Label(StrEnum):
    """How a printed value was come by; it stays beside the value wherever the value goes."""

    SEEN = "seen"
    """Read in a retrieved text."""
    LIBRARY = "library"
    """Computed with a general-purpose library's own tables."""
    RECALLED = "recalled"
    """From memory, not confirmed in a copy (†)."""
    EXACT = "exact"
    """Arithmetic or a closed form."""
    COMMON_PRACTICE = "common practice"
    """A fact of the trade without a published source."""


GATING_LABELS: Final = frozenset({Label.SEEN, Label.LIBRARY, Label.EXACT})
"""Labels whose values the library may be held to."""

OWN: Final = "soilx"
"""Source of a value that soilx computed itself; it is no outside check and never gates."""
OWN_CITATION: Final = "soilx's own bracketed solver; nobody outside has confirmed it."

# A printed half digit is a decimal fraction: without this slack the binary image of 0.05 would refuse a value
# on the border.
_BINARY_SLACK: Final = 1e-12


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """One outside check; a table is one claim.

    Attributes
    ----------
    id : str
        Topic and name, as in "gypsum.naive_solubility".
    claim : str
        What is claimed, in one sentence.
    source : str
        Key of `soilx.sources.SOURCES`, or `OWN`.
    label : Label
        How the printed value was come by.
    inputs : mapping
        Handed to `compute` by name, as printed.
    printed : str or mapping of str
        Exactly as printed, alone or by entry of a table.
    compute : callable
        Calls the public functions of soilx with the inputs; returns a number or a word, or for a table a
        mapping with the keys of `printed`.
    unit : str
        Of printed and computed.
    tolerance : float or mapping, optional
        Half the last printed digit unless given.
    why_tolerance : str
        Why the tolerance is not the printed digits; needed with `tolerance`.
    gating : bool
        A failure fails the verification. Context is shown beside with its difference and never gates.
    note : str
        What a reader must know to judge the row.
    """

    id: str
    claim: str
    source: str
    label: Label
    inputs: Mapping[str, Any] = field(default_factory=dict)
    printed: str | Mapping[str, str]
    compute: Callable[..., float | str | Mapping[str, float | str]]
    unit: str = ""
    tolerance: float | Mapping[str, float] | None = None
    why_tolerance: str = ""
    gating: bool = True
    note: str = ""

    def __post_init__(self) -> None:
        if self.source not in SOURCES and self.source != OWN:
            raise KeyError(f"{self.id}: source {self.source!r} is not in soilx.sources")
        if self.gating and self.source == OWN:
            raise ValueError(f"{self.id}: what soilx computed itself is context, it cannot gate")
        if self.gating and self.label not in GATING_LABELS:
            raise ValueError(f"{self.id}: a {self.label} value is context, it cannot gate")
        if (self.tolerance is None) != (not self.why_tolerance):
            raise ValueError(f"{self.id}: a tolerance needs its reason, and a reason its tolerance")

    @property
    def citation(self) -> str:
        """Where the printed value stands, in words."""
        return OWN_CITATION if self.source == OWN else cite(self.source)

    @property
    def topic(self) -> str:
        """The part of the id before the first dot."""
        return self.id.partition(".")[0]

    @property
    def entries(self) -> Mapping[str, str]:
        """What is printed, by entry; a claim that is no table has one entry, named ""."""
        return {"": self.printed} if isinstance(self.printed, str) else self.printed

    @property
    def tolerances(self) -> Mapping[str, float]:
        """Tolerance of each entry [unit]."""
        if self.tolerance is None:
            return {name: half_last_digit(text) for name, text in self.entries.items()}
        if isinstance(self.tolerance, Mapping):
            return self.tolerance
        return dict.fromkeys(self.entries, float(self.tolerance))


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """A claim beside what soilx computes for it now.

    Attributes
    ----------
    claim : Claim
        What was checked.
    computed : mapping
        By entry; empty where the computation failed.
    failure : str
        Why nothing could be computed; empty when it could.
    """

    claim: Claim
    computed: Mapping[str, float | str]
    failure: str = ""

    @property
    def differences(self) -> Mapping[str, float]:
        """Computed minus printed, by entry [unit]; an entry that was not computed is infinitely far off."""
        return {
            name: difference(parse_printed(text), self.computed[name]) if name in self.computed else math.inf
            for name, text in self.claim.entries.items()
        }

    def holds(self, entry: str) -> bool:
        """Whether an entry lies within its tolerance.

        Parameters
        ----------
        entry : str
            One of the claim's.
        """
        # Also false for a NaN, which is never an agreement.
        return abs(self.differences[entry]) <= self.claim.tolerances[entry] * (1 + _BINARY_SLACK)

    @property
    def ok(self) -> bool:
        """Every entry lies within its tolerance, and no entry was computed that is not printed."""
        within = all(map(self.holds, self.claim.entries))
        return within and not self.failure and set(self.computed) == set(self.claim.entries)

    @property
    def worst(self) -> str:
        """The entry that uses most of its tolerance."""
        tolerances = self.claim.tolerances
        used = {
            name: abs(off) / tolerances[name] if tolerances[name] else abs(off)
            for name, off in self.differences.items()
        }
        return max(used, key=lambda name: used[name])

    def as_row(self) -> dict[str, Any]:
        """The verdict in plain values, as `soilx verify --json` prints it.

        Returns
        -------
        dict
            id, claim, source, label, inputs, printed, computed, tolerance, ok, gating, and beside them topic,
            unit, citation, difference, why_tolerance, note, failure. A table's values are mappings by entry;
            a band is a list of its two ends; a number that does not exist is None.
        """
        claim = self.claim

        def whole(by_entry: Mapping[str, Any]) -> Any:
            plain = {name: _plain(value) for name, value in by_entry.items()}
            return plain if not isinstance(claim.printed, str) else plain.get("")

        return {
            "id": claim.id,
            "claim": claim.claim,
            "source": claim.source,
            "label": str(claim.label),
            "inputs": {name: _plain(value) for name, value in claim.inputs.items()},
            "printed": whole({name: parse_printed(text) for name, text in claim.entries.items()}),
            "computed": whole(self.computed),
            "tolerance": whole(claim.tolerances),
            "ok": self.ok,
            "gating": claim.gating,
            "topic": claim.topic,
            "unit": claim.unit,
            "citation": claim.citation,
            "difference": whole(self.differences),
            "why_tolerance": claim.why_tolerance,
            "note": claim.note,
            "failure": self.failure,
        }


def _plain(value: Any) -> Any:
    """The value as JSON can say it."""
    if isinstance(value, Mapping):
        return {str(name): _plain(one) for name, one in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(one) for one in value]
    if isinstance(value, float):
        return float(value) if math.isfinite(value) else None
    return value if isinstance(value, str | int | bool) or value is None else str(value)


def examine(claim: Claim) -> Verdict:
    """The claim computed anew, with its verdict.

    Parameters
    ----------
    claim : Claim
        What to check.

    Notes
    -----
    A computation that raises is a check that failed: the verdict says so and the others are still examined.
    """
    try:
        computed = claim.compute(**claim.inputs)
    except Exception as failure:
        why = f"{type(failure).__name__}: {failure}"
        return Verdict(claim=claim, computed=MappingProxyType({}), failure=why)
    entries = computed if isinstance(computed, Mapping) else {"": computed}
    plain = {name: value if isinstance(value, str) else float(value) for name, value in entries.items()}
    return Verdict(claim=claim, computed=MappingProxyType(plain))
