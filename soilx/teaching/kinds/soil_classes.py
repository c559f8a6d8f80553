"""Level 2, one beaker: saline, sodic, both or neither; two numbers, not one."""

from __future__ import annotations

from typing import Final

from soilx.practice.judgement.thresholds import US
from soilx.teaching.kinds.one_beaker import asked_esp
from soilx.teaching.possible_soil import CATIONS, possible_soil
from soilx.teaching.problem import Asked, Level, Problem, Row, Seen, Solution, Told
from soilx.teaching.seeds import Draws
from soilx.teaching.working import Working, is_clear_of, shown

CLASSES: Final = (
    ("neither", "neither saline nor sodic"),
    ("saline", "saline, not sodic"),
    ("sodic", "sodic, not saline"),
    ("saline-sodic", "saline and sodic"),
)
_WORDS: Final = dict(CLASSES)
_ROOM: Final = 0.12

# Low and high of ESP and of conductivity, so that all four classes come as often.
_RANGES: Final = {
    "neither": (("3", "12", "0.5"), ("0.8", "3.4", "0.1")),
    "saline": (("3", "12", "0.5"), ("4.6", "9.0", "0.1")),
    "sodic": (("18", "40", "0.5"), ("0.8", "3.4", "0.1")),
    "saline-sodic": (("18", "40", "0.5"), ("4.6", "9.0", "0.1")),
}


def class_of_numbers(esp_pct: float, ec: float) -> str:
    """Key of the class by ESP [%] and the conductivity of the saturation extract [dS/m]."""
    saline, sodic = ec > US.ec.high, esp_pct > US.esp.high
    return ("saline-sodic" if sodic else "saline") if saline else ("sodic" if sodic else "neither")


def _draw(draws: Draws) -> Seen | None:
    esp, ec = _RANGES[draws.choice("class", tuple(_RANGES))]
    found = possible_soil(draws, esp=esp, ec=ec)
    if found is None:
        return None
    numbers = {**found.exchangeable, "ec": found.ec}
    share = 100.0 * found.exchangeable["Na"] / sum(found.exchangeable.values())
    if not (is_clear_of(found.ec, US.ec.high, by=_ROOM) and is_clear_of(share, US.esp.high, by=_ROOM)):
        return None
    return Seen(numbers=numbers, report=found.report)


def _tell(seen: Seen) -> Told:
    names = {"Ca": "calcium", "Mg": "magnesium", "K": "potassium", "Na": "sodium"}
    return Told(
        statement="Find the ESP of this soil. Then name it: saline soils have more than 4 dS/m in the "
        "saturation extract, sodic soils have an ESP above 15.",
        rows=(
            *(
                Row(what=f"exchangeable {names[symbol]}", value=shown(seen[symbol]), unit="cmol_c/kg")
                for symbol in CATIONS
            ),
            Row(what="conductivity of the saturation extract", value=shown(seen["ec"]), unit="dS/m"),
        ),
    )


def _asked(_: Seen) -> tuple[Asked, ...]:
    return (asked_esp(), Asked(key="class", words="what the soil is called", choices=CLASSES))


def _solve(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    summed = [symbol for symbol in CATIONS if not (work.made("E6") and symbol == "Na")]
    capacity = work.line(
        "exchange capacity",
        " + ".join(shown(seen[symbol]) for symbol in summed),
        sum(seen[symbol] for symbol in summed),
        "cmol_c/kg",
    )
    esp = work.line(
        "ESP",
        f"100 × {shown(seen['Na'])} / {shown(capacity)}",
        100.0 * seen["Na"] / capacity,
        "%",
        answers="esp",
    )
    if work.made("M13"):
        saline = seen["ec"] > US.ec.high
        key = "saline-sodic" if saline else "neither"
        how = f"{shown(seen['ec'])} dS/m alone"
    else:
        key = class_of_numbers(esp, seen["ec"])
        how = f"{shown(seen['ec'])} dS/m against {US.ec.high:g}, ESP {shown(esp, 3)} against {US.esp.high:g}"
    work.choose("the soil is called", how, key, _WORDS[key], answers="class")
    return work.solution


NAME_THE_SOIL: Final = Problem(
    number=5,
    key="name-the-soil",
    title="Saline, sodic, both or neither",
    level=Level.ONE_BEAKER,
    confronts="Sodic does not mean salty: salt is read off the conductivity, sodium off its share.",
    mistakes=(),
    sometimes=("E6", "M13"),
    sources=("kstate_classes", "course_set"),
    draw=_draw,
    tell=_tell,
    asked=_asked,
    solve=_solve,
)
