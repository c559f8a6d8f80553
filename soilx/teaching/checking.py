"""An answer judged: its dimension first, then its value, then the known mistake or factor that is in it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from soilx.errors import SoilxError
from soilx.teaching.homework_words import NO_REPLY_YET, NOT_YET, RIGHT
from soilx.teaching.mistakes import MISTAKES
from soilx.teaching.problem import Asked
from soilx.teaching.readings import LONGEST_REPLY, calm, near, readings, repeats
from soilx.teaching.recomputed import WrongAnswer
from soilx.teaching.variants import Variant
from soilx.units import Kind

FACTORS: Final[Mapping[float, str]] = MappingProxyType(
    {
        2.0: "look at a charge of two, or at lb/acre against ppm",
        10.0: "look at cmol_c against mmol_c, at mm against cm, or at 100 g against a kilogram",
        100.0: "look at a percentage against a fraction, or at cm against m",
        2.242: "look at short tons per acre against t/ha",
        43.56: "look at lb/acre against lb/1000 ft²",
        45.914: "look at short tons per acre against lb/1000 ft²",
        20.482: "look at t/ha against lb/1000 ft²",
    }
)
"""Ratios of a wrong answer to the right one that betray where it comes from."""

_RATES: Final = (Kind.GYPSUM_RATE, Kind.PRODUCT_RATE)
_PURE_NUMBERS: Final = (Kind.FRACTION, Kind.ADSORPTION_RATIO, Kind.RATIO)
_FACTOR_ROOM: Final = 0.02


class Outcome(StrEnum):
    """What became of an answer; the value is the word on the screen."""

    RIGHT = "right"
    WRONG = "not yet"
    UNREAD = "not read"


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What is said to one answer.

    Attributes
    ----------
    part : str
        Key of what was asked.
    outcome : Outcome
        An answer that is not read is no try.
    sentences : tuple of str
        For the student.
    mistake : str
        Key of the known mistake that it is; empty for none.
    factor : float or None
        The known factor by which it is off.
    """

    part: str
    outcome: Outcome
    sentences: tuple[str, ...]
    mistake: str = ""
    factor: float | None = None

    @property
    def text(self) -> str:
        """The sentences as one."""
        return " ".join(self.sentences)


def judge(variant: Variant, part: str, reply: str, *, others: Mapping[str, str] | None = None) -> Judged:
    """What is to be said to one answer.

    Parameters
    ----------
    variant : Variant
    part : str
        Key of what is asked.
    reply : str
        As typed; anything.
    others : mapping of str to str, optional
        Replies to the other parts, which can tell two mistakes apart.

    Returns
    -------
    Judged

    Raises
    ------
    LimitError
        If the problem asks for no such part.
    """
    asked = variant.part(part)
    if not reply.strip():
        return Judged(part=part, outcome=Outcome.UNREAD, sentences=(NO_REPLY_YET,))
    if asked.kind is None:
        return _judge_choice(variant, asked, reply)
    try:
        values = readings(asked, reply)
    except SoilxError as refusal:
        return Judged(part=part, outcome=Outcome.UNREAD, sentences=(calm(refusal, reply),))
    if repeats(asked, reply):
        said = f"That is what the question gives. It asks for the same as charge, such as in {asked.unit}."
        return Judged(part=part, outcome=Outcome.UNREAD, sentences=(said,))
    right = variant.solution.values[part]
    if any(near(value, right, asked.tolerance) for value in values):
        return Judged(part=part, outcome=Outcome.RIGHT, sentences=(RIGHT,))
    return _judge_wrong(variant, asked, values, others or {})


def _judge_wrong(
    variant: Variant, asked: Asked, values: tuple[float, ...], others: Mapping[str, str]
) -> Judged:
    found = [
        wrong
        for wrong in variant.wrong
        if asked.key in wrong.values
        and any(near(value, wrong.values[asked.key], asked.tolerance) for value in values)
    ]
    if found:
        best = max(found, key=lambda wrong: _agreeing(variant, wrong, asked, others))
        return _named(asked, best)
    right = variant.solution.values[asked.key]
    factor = _factor(asked, values, right) if isinstance(right, float) else None
    if factor is not None:
        said = f"Your number is off by a factor of {factor:.4g}: {FACTORS[factor]}."
        return Judged(part=asked.key, outcome=Outcome.WRONG, sentences=(NOT_YET, said), factor=factor)
    return Judged(part=asked.key, outcome=Outcome.WRONG, sentences=(NOT_YET, _start(variant)))


def _named(asked: Asked, wrong: WrongAnswer) -> Judged:
    mistake = MISTAKES[wrong.mistake.key]
    # What holds instead is said in words: the right calculation would be the answer.
    line = f"The line that went wrong: {wrong.went_wrong.text}."
    return Judged(
        part=asked.key,
        outcome=Outcome.WRONG,
        sentences=(NOT_YET, f"That is what comes out when {mistake.name}.", line, mistake.remedy),
        mistake=mistake.key,
    )


def _agreeing(variant: Variant, wrong: WrongAnswer, asked: Asked, others: Mapping[str, str]) -> int:
    """How many other replies are what this mistake would have led to."""
    count = 0
    for other in variant.asked:
        reply = others.get(other.key, "")
        if other.key == asked.key or other.kind is None or not reply.strip():
            continue
        wanted = wrong.values.get(other.key, variant.solution.values[other.key])
        try:
            count += any(near(value, wanted, other.tolerance) for value in readings(other, reply))
        except SoilxError:
            continue
    return count


def _factor(asked: Asked, values: Iterable[float], right: float) -> float | None:
    """The known factor between a value and the right one, either way."""
    # Between areas go rates only, and a percentage has no tens of units in it.
    known = [
        factor
        for factor in FACTORS
        if asked.tolerance > 0
        and (factor in (2.0, 10.0, 100.0) or asked.kind in _RATES)
        and (factor != 10.0 or asked.kind not in _PURE_NUMBERS)
    ]
    for value in values:
        if value <= 0 or right <= 0:
            continue
        ratio = max(value / right, right / value)
        for factor in known:
            if abs(ratio / factor - 1.0) <= _FACTOR_ROOM:
                return factor
    return None


def _start(variant: Variant) -> str:
    first = variant.solution.lines[0].what
    second = variant.solution.lines[1].what if len(variant.solution.lines) > 1 else ""
    return f"Start again with {first}{f', then {second}' if second else ''}."


def _judge_choice(variant: Variant, asked: Asked, reply: str) -> Judged:
    said = " ".join(reply[:LONGEST_REPLY].split()).casefold()
    numbered = {str(number): key for number, (key, _) in enumerate(asked.choices, start=1)}
    keys = {key.casefold(): key for key, _ in asked.choices}
    words = {text.casefold(): key for key, text in asked.choices}
    chosen = keys.get(said) or words.get(said) or numbered.get(said)
    if len(reply) > LONGEST_REPLY or chosen is None:
        offered = ", ".join(key for key, _ in asked.choices)
        said = f"That is none of the choices; write one of {offered}."
        return Judged(part=asked.key, outcome=Outcome.UNREAD, sentences=(said,))
    if chosen == variant.solution.values[asked.key]:
        return Judged(part=asked.key, outcome=Outcome.RIGHT, sentences=(RIGHT,))
    for wrong in variant.wrong:
        if wrong.values.get(asked.key) == chosen:
            return _named(asked, wrong)
    return Judged(part=asked.key, outcome=Outcome.WRONG, sentences=(NOT_YET, _start(variant)))
