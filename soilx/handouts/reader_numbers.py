"""The three numbers that decided a verdict, each with what is normal."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from soilx.handouts.readers import US, Reader
from soilx.practice.judgement.bands import Place
from soilx.practice.judgement.finding import Finding
from soilx.practice.judgement.verdict import Decision
from soilx.practice.judgement.verdict_words import Verdict

NOT_KNOWN: Final = "not known"

_WHERE: Final = {Place.BELOW: "fine", Place.BETWEEN: "in between", Place.ABOVE: "trouble"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Deciding:
    """One number beside its limits.

    Attributes
    ----------
    title : str
        In the reader's words.
    value : str
        As printed; "not known" where nobody measured it.
    normal : str
        What is normal, in words.
    low, high : float
        Up to the first it is fine, from the second on it is trouble.
    at : float or None
        The number itself, in the unit of the limits.
    low_words, high_words : str
        The limits as printed.
    """

    title: str
    value: str
    normal: str
    low: float
    high: float
    at: float | None
    low_words: str
    high_words: str

    @property
    def place(self) -> Place | None:
        """Where it lies; exactly on a limit counts as between."""
        if self.at is None:
            return None
        if self.at < self.low:
            return Place.BELOW
        return Place.ABOVE if self.at > self.high else Place.BETWEEN

    @property
    def word(self) -> str:
        """Where it lies, in a word."""
        return NOT_KNOWN if self.place is None else _WHERE[self.place]


def deciding_numbers(decision: Decision, reader: Reader, *, units: str) -> tuple[Deciding, ...]:
    """The three numbers that a verdict rests on, the first question first.

    Parameters
    ----------
    decision : Decision
    reader : Reader
    units : str
        "metric" or "us".
    """
    chosen = _CHOSEN[decision.verdict]
    if decision.verdict is Verdict.DRAINAGE_FIRST and not decision.diagnosis.saline:
        chosen = ("drainage", "esp", "floor")
    return tuple(_NUMBERS[key](decision, reader, units) for key in chosen)


def hours_in_words(hours: float) -> str:
    """A time as people say it: 20 min, 6 h, 3 days."""
    if hours < 1.0:
        return f"{60 * hours:.0f} min"
    return f"{hours:.3g} h" if hours <= 48.0 else f"{hours / 24:.2g} days"


def _of(
    found: Finding,
    title: str,
    *,
    unit: str,
    above: str,
    number: Callable[[float], str] = "{:.3g}".format,
) -> Deciding:
    band, known = found.band, found.estimate
    tail = f" {unit}" if unit else ""
    low, high = number(band.low), number(band.high)
    value = NOT_KNOWN
    if known is not None:
        value = f"{number(known.value)}{tail}"
        if not known.exact:
            value += f" ({number(known.low)} to {number(known.high)})"
    return Deciding(
        title=title,
        value=value,
        normal=f"Under {low}{tail} is fine. Over {high}{tail} {above}.",
        low=band.low,
        high=band.high,
        at=None if known is None else known.value,
        low_words=low,
        high_words=high,
    )


def _esp(decision: Decision, reader: Reader, _units: str) -> Deciding:
    title = "Sodium’s share of the places on the clay (ESP)"
    if reader is Reader.STUDENT:
        title = "Exchangeable sodium percentage, ESP"
    return _of(decision.diagnosis.esp, title, unit="%", above="most clays suffer")


def _drainage(decision: Decision, _reader: Reader, units: str) -> Deciding:
    hole = "18 in" if units == US else "45 cm"
    return _of(
        decision.diagnosis.drainage,
        f"Time in which a test hole {hole} deep drains",
        unit="",
        above="is too slow",
        number=hours_in_words,
    )


def _salt(decision: Decision, _reader: Reader, _units: str) -> Deciding:
    return _of(
        decision.diagnosis.salinity,
        "Salt in the soil (EC of the saturated paste)",
        unit="dS/m",
        above="is salty",
    )


def _ratio(decision: Decision, _reader: Reader, _units: str) -> Deciding:
    return _of(
        decision.diagnosis.sar,
        "Sodium against calcium in the soil’s water (SAR)",
        unit="",
        above="is too much",
    )


def _magnesium(decision: Decision, _reader: Reader, _units: str) -> Deciding:
    return _of(
        decision.diagnosis.magnesium,
        "Magnesium’s share of the places on the clay",
        unit="%",
        above="acts much like sodium",
    )


def _alkalinity(decision: Decision, _reader: Reader, _units: str) -> Deciding:
    return _of(decision.diagnosis.alkalinity, "pH of the soil", unit="", above="means soda in the soil")


def _floor(decision: Decision, _reader: Reader, _units: str) -> Deciding:
    """The share of sodium that the water brings: what is normal is the target, what is trouble the soil."""
    title = "Share of sodium that your water brings any soil to"
    target, floor, esp = decision.target_esp_pct, decision.floor_esp_pct, decision.diagnosis.esp.estimate
    now = target if esp is None else max(esp.value, target)
    said = f"At or under the target, {target:.3g} %, gypsum’s gain lasts."
    if now > target:
        said += f" Near or over the soil’s own {now:.3g} % it does not."
    return Deciding(
        title=title,
        value=NOT_KNOWN if floor is None else f"{floor:.1f} %",
        normal=said,
        low=target,
        high=now,
        at=floor,
        low_words=f"{target:.3g}",
        high_words=f"{now:.3g}",
    )


_NUMBERS: Final[Mapping[str, Callable[[Decision, Reader, str], Deciding]]] = MappingProxyType(
    {
        "esp": _esp,
        "drainage": _drainage,
        "salt": _salt,
        "ratio": _ratio,
        "magnesium": _magnesium,
        "alkalinity": _alkalinity,
        "floor": _floor,
    }
)

_CHOSEN: Final[Mapping[Verdict, tuple[str, str, str]]] = MappingProxyType(
    {
        Verdict.CANNOT_DECIDE: ("drainage", "esp", "floor"),
        Verdict.DRAINAGE_FIRST: ("drainage", "esp", "salt"),
        Verdict.NO_SODIUM_PROBLEM: ("esp", "ratio", "salt"),
        Verdict.LEACH: ("salt", "esp", "ratio"),
        Verdict.MAGNESIUM: ("magnesium", "esp", "ratio"),
        Verdict.AT_TARGET: ("drainage", "esp", "floor"),
        Verdict.FIX_THE_WATER: ("drainage", "esp", "floor"),
        Verdict.GYPSUM_THERE: ("drainage", "esp", "floor"),
        Verdict.CARBONATE_FIRST: ("alkalinity", "esp", "drainage"),
        Verdict.KEEP_THE_SALT: ("esp", "salt", "drainage"),
        Verdict.GYPSUM: ("drainage", "esp", "floor"),
        Verdict.GYPSUM_AND_LEACHING: ("esp", "salt", "floor"),
    }
)
