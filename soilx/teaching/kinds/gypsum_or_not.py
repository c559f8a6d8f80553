"""Level 7, field: gypsum or not, and which number decided it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from soilx.practice.judgement.thresholds import US
from soilx.practice.judgement.verdict import Decision, decide
from soilx.practice.judgement.verdict_words import Verdict
from soilx.teaching.possible_soil import possible_soil
from soilx.teaching.possible_water import possible_water
from soilx.teaching.problem import Asked, Level, Problem, Row, Seen, Solution, Told
from soilx.teaching.seeds import Draws
from soilx.teaching.working import Working, is_clear_of, printed, shown

ANSWERS: Final[Mapping[Verdict, tuple[str, str, str]]] = {
    Verdict.DRAINAGE_FIRST: ("drainage", "drainage first", "drain"),
    Verdict.GYPSUM: ("gypsum", "gypsum", "esp"),
    Verdict.GYPSUM_AND_LEACHING: ("gypsum-and-leaching", "gypsum and leaching together", "ec"),
    Verdict.NO_SODIUM_PROBLEM: ("nothing", "no gypsum: there is no sodium problem", "esp"),
    Verdict.LEACH: ("leach", "no gypsum: leach the salt", "ec"),
    Verdict.FIX_THE_WATER: ("water", "no gypsum: fix the water", "floor"),
    Verdict.CARBONATE_FIRST: ("carbonate", "deal with the soluble carbonate first", "ph"),
}
"""Verdicts that a variant may have: key, words, and which number decides."""

NUMBERS: Final = (
    ("drain", "the hours of the drain test"),
    ("esp", "the ESP of the soil"),
    ("ec", "the conductivity of the saturation extract"),
    ("floor", "the floor of the water, above the ESP"),
    ("ph", "the pH"),
)
_CHOICES: Final = tuple((key, words) for key, words, _ in ANSWERS.values())
_WORDS: Final = dict(_CHOICES)
_NUMBER_WORDS: Final = dict(NUMBERS)
_ROOM: Final = 0.12

_SALTY: Final = ("5.0", "9.0", "0.1")
_FRESH: Final = ("0.8", "1.6", "0.1")
_SODIC: Final = ("19", "35", "0.5")
_LITTLE: Final = ("1.5", "4", "0.5")
_PH: Final = ("7.6", "8.4", "0.1")
_SLOW: Final = ("2", "16", "1")
# Case: ESP, conductivity, pH, hours of the drain test, jar.
_CASES: Final = {
    "gypsum": (_SODIC, _FRESH, _PH, _SLOW, "cloudy"),
    "together": (_SODIC, _SALTY, _PH, _SLOW, "clear, cloudy after three rinses"),
    "drainage": (_SODIC, _FRESH, _PH, ("36", "96", "6"), "cloudy"),
    "nothing": (_LITTLE, _FRESH, ("7.2", "8.2", "0.1"), _SLOW, "clear"),
    "leach": (_LITTLE, _SALTY, ("7.2", "8.2", "0.1"), _SLOW, "clear"),
    "water": (("7", "12", "0.5"), _FRESH, _PH, _SLOW, "milky edge"),
    "carbonate": (_SODIC, _FRESH, ("9.2", "9.7", "0.1"), _SLOW, "cloudy"),
}
_GOOD_WATER: Final = (("1.0", "4.0", "0.1"), ("1.5", "4.0", "0.1"))
_SODIC_WATER: Final = (("9.0", "20.0", "0.1"), ("0.5", "1.2", "0.1"))


def _draw(draws: Draws) -> Seen | None:
    case = draws.choice("case", tuple(_CASES))
    esp, ec, ph, hours, jar = _CASES[case]
    sodium, calcium = _SODIC_WATER if case == "water" else _GOOD_WATER
    water = possible_water(draws, sodium=sodium, calcium=calcium, magnesium=("0.3", "1.5", "0.1"))
    acidity, drained = draws.grid("ph", *ph), draws.grid("hours", *hours)
    typed = {"ph": f"{acidity:g}", "drain_test": f"{drained:g} h", "jar_test": jar}
    found = possible_soil(draws, esp=esp, ec=ec, typed=typed)
    if found is None or water is None:
        return None
    decision = decide(found.report, water=water.water)
    floor = decision.floor_esp_pct
    share = 100.0 * found.exchangeable["Na"] / found.capacity
    if floor is None or decision.verdict not in ANSWERS or decision.missing:
        return None
    if not is_clear_of(share, US.esp.low, US.esp.high, floor, by=_ROOM):
        return None
    if not is_clear_of(found.ec, US.ec.low, US.ec.high, by=_ROOM):
        return None
    return Seen(
        numbers={
            "esp": printed(share, 1),
            "sar": printed(found.report.paste_sar.value, 1) if found.report.paste_sar is not None else 0.0,
            "ec": found.ec,
            "ph": acidity,
            "hours": drained,
            "floor": printed(floor, 1),
            "magnesium": printed(100.0 * found.exchangeable["Mg"] / found.capacity),
        },
        words={"jar": jar, "verdict": decision.verdict.name, "because": decision.because, **_then(decision)},
        report=found.report,
    )


def _then(decision: Decision) -> dict[str, str]:
    return {} if decision.then is None else {"then": decision.then.value}


def _tell(seen: Seen) -> Told:
    return Told(
        statement="Ask in this order. Can water leave? A test hole that takes over 24 hours says no. Is "
        "there a sodium problem? Below ESP 5 nobody worries, above 15 everybody does, and between them the "
        "jar tells. Is the ESP at or below the water's floor already? Then the water brings the sodium back. "
        "Is the pH above 9? Is the soil saline, above 4 dS/m? What is to be done first, and which number "
        "decided?",
        rows=(
            Row(what="drain test, the hole is empty after", value=shown(seen["hours"]), unit="h"),
            Row(what="ESP", value=shown(seen["esp"]), unit="%"),
            Row(what="SAR of the saturation extract", value=shown(seen["sar"])),
            Row(what="conductivity of the saturation extract", value=shown(seen["ec"]), unit="dS/m"),
            Row(what="pH", value=shown(seen["ph"])),
            Row(what="magnesium's share of the CEC", value=shown(seen["magnesium"]), unit="%"),
            Row(what="jar test", value=seen.words["jar"]),
            Row(what="floor of the irrigation water, as ESP", value=shown(seen["floor"]), unit="%"),
        ),
    )


_INSTEAD: Final = {
    "E16": (Verdict.DRAINAGE_FIRST, "gypsum", "esp", "the hole takes long, but there is sodium"),
    "E22": (None, "gypsum", "esp", "something is wrong, and gypsum is what one gives"),
    "E12": (Verdict.GYPSUM_AND_LEACHING, "leach", "ec", "the salt is there: leach it"),
    "A17": (Verdict.FIX_THE_WATER, "gypsum", "esp", "there is sodium, whatever the water brings"),
    "A18": (Verdict.CARBONATE_FIRST, "gypsum", "esp", "there is sodium, whatever the pH"),
}
_WITHOUT_SODIUM: Final = (Verdict.NO_SODIUM_PROBLEM, Verdict.LEACH)


def _solve(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    verdict = Verdict[seen.words["verdict"]]
    key, words, number = ANSWERS[verdict]
    how = seen.words["because"]
    instead = _INSTEAD.get(mistake)
    if instead is not None and (instead[0] is verdict or (instead[0] is None and verdict in _WITHOUT_SODIUM)):
        _, key, number, how = instead
        words = _WORDS[key]
    work.choose("what to do", how.rstrip("."), key, words, answers="verdict")
    work.choose(
        "what decided", "the first question that was answered so", number, _NUMBER_WORDS[number],
        answers="number",
    )  # fmt: skip
    return work.solution


GYPSUM_OR_NOT: Final = Problem(
    number=18,
    key="gypsum-or-not",
    title="Gypsum or not, and which number decided it",
    level=Level.FIELD,
    confronts="Gypsum is one answer among several, and it comes late in the order of questions.",
    mistakes=(),
    sometimes=tuple(_INSTEAD),
    sources=("trade_texts", "kstate_classes", "common_practice"),
    draw=_draw,
    tell=_tell,
    asked=lambda _: (
        Asked(key="verdict", words="what is to be done first", choices=_CHOICES),
        Asked(key="number", words="the number that decided it", choices=NUMBERS),
    ),
    solve=_solve,
)
