"""Level 1, charge counting: the same soil in the forms of four laboratories, one of which slipped."""

from __future__ import annotations

from typing import Final

from soilx.chemistry.ions import SODIUM
from soilx.teaching.kinds.charge_counting import charge_of, mass_of, per_charge
from soilx.teaching.possible_soil import possible_soil
from soilx.teaching.problem import ONE_STEP, Asked, Level, Problem, Row, Seen, Solution, Told
from soilx.teaching.seeds import Draws
from soilx.teaching.working import Working, printed, shown
from soilx.unit_kinds import REPORT_SOIL_LB_PER_ACRE
from soilx.units import Kind

LABORATORIES: Final = ("A", "B", "C", "D")
PPM_PER_LB_PER_ACRE: Final = 1e6 / REPORT_SOIL_LB_PER_ACRE

_SLIPS: Final = {"doubled": 2.0, "halved": 0.5, "a digit too low": 0.7, "a digit too high": 1.4}
_CHOICES: Final = tuple((letter, f"laboratory {letter}") for letter in LABORATORIES)


def _draw(draws: Draws) -> Seen | None:
    found = possible_soil(draws, textures=("clay loam", "clay"))
    moisture = draws.grid("moisture", "5", "8", "0.5")
    slipped = draws.choice("slipped", LABORATORIES)
    slip = _SLIPS[draws.choice("slip", tuple(_SLIPS))]
    if found is None:
        return None
    sodium, capacity = found.exchangeable["Na"], found.capacity
    ppm = mass_of(sodium, "Na")
    told = {
        "A": printed(ppm / (1.0 + moisture / 100.0)),
        "B": printed(sodium, 2),
        "C": printed(ppm / PPM_PER_LB_PER_ACRE),
        "D": printed(100.0 * sodium / capacity, 1),
    }
    digits = {"A": 0, "B": 2, "C": 0, "D": 1}
    told[slipped] = printed(told[slipped] * slip, digits[slipped])
    if told["D"] >= 95.0:
        return None
    numbers = {letter: float(value) for letter, value in told.items()}
    return Seen(
        numbers={**numbers, "moisture": moisture, "capacity": capacity},
        words={"slipped": slipped},
        report=found.report,
    )


def _tell(seen: Seen) -> Told:
    return Told(
        statement="Four laboratories print the exchangeable sodium of one soil, each in its own form. Three "
        "of them agree. Bring all four to cmol_c per kilogram of oven-dry soil: which one slipped, and how "
        "much exchangeable sodium is there?",
        rows=(
            Row(what="laboratory A, per air-dry soil", value=shown(seen["A"]), unit="ppm"),
            Row(what="water of the air-dry soil, per oven-dry", value=shown(seen["moisture"]), unit="%"),
            Row(what="laboratory B, per oven-dry soil", value=shown(seen["B"]), unit="meq/100 g"),
            Row(
                what="laboratory C, on 2 000 000 lb of oven-dry soil", value=shown(seen["C"]), unit="lb/acre"
            ),
            Row(what="laboratory D, sodium's share of the CEC", value=shown(seen["D"]), unit="%"),
            Row(what="laboratory D, CEC", value=shown(seen["capacity"]), unit="cmol_c/kg"),
            Row(what="one mole of sodium", value=f"{SODIUM.molar_mass:.4g} g, charge 1"),
        ),
    )


def _asked(_: Seen) -> tuple[Asked, ...]:
    return (
        Asked(key="slipped", words="the laboratory that slipped", choices=_CHOICES),
        Asked(
            key="sodium",
            words="exchangeable sodium, per oven-dry soil",
            kind=Kind.EXCHANGE_CAPACITY,
            unit="cmol_c/kg",
            tolerance=ONE_STEP,
            ion=SODIUM,
        ),
    )


def _solve(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    wet = 1.0 if work.made("E10") else 1.0 + seen["moisture"] / 100.0
    dry = "" if work.made("E10") else f" × {shown(100.0 * wet, 5)}/100"
    found = {
        "A": work.line(
            "A",
            f"{shown(seen['A'])}{dry} / {shown(per_charge('Na'))}",
            charge_of(seen["A"] * wet, "Na"),
            "cmol_c/kg",
        ),
        "B": work.line("B", f"{shown(seen['B'])} meq/100 g", seen["B"], "cmol_c/kg"),
        "C": work.line(
            "C",
            f"{shown(seen['C'])} / 2 / {shown(per_charge('Na'))}",
            charge_of(seen["C"] * PPM_PER_LB_PER_ACRE, "Na"),
            "cmol_c/kg",
        ),
        "D": work.line(
            "D",
            f"{shown(seen['D'])} % of {shown(seen['capacity'])}",
            seen["D"] / 100.0 * seen["capacity"],
            "cmol_c/kg",
        ),
    }
    slipped = odd_one(found)
    agreeing = [letter for letter in LABORATORIES if letter != slipped]
    work.choose(
        "the one that differs",
        f"{', '.join(f'{letter} {shown(found[letter], 3)}' for letter in LABORATORIES)}",
        slipped,
        f"laboratory {slipped}",
        answers="slipped",
    )
    if work.made("A12"):
        taken, how = found[slipped], f"laboratory {slipped}'s number"
    elif work.made("E10"):
        taken, how = found["A"], "laboratory A's number"
    else:
        taken = sum(found[letter] for letter in agreeing) / 3.0
        how = f"the mean of {', '.join(agreeing)}"
    work.line("exchangeable sodium", how, taken, "cmol_c/kg", answers="sodium")
    return work.solution


def odd_one(found: dict[str, float]) -> str:
    """The laboratory whose amount is furthest from the middle of all."""
    middle = sorted(found.values())
    centre = 0.5 * (middle[1] + middle[2])
    return max(found, key=lambda letter: abs(found[letter] / centre - 1.0))


FOUR_LABORATORIES: Final = Problem(
    number=2,
    key="four-laboratories",
    title="One soil in four laboratories' forms",
    level=Level.CHARGE_COUNTING,
    confronts="A number without its basis says nothing: ppm, lb/acre, meq/100 g and percent can be one "
    "amount.",
    mistakes=("A12",),
    sometimes=("E10",),
    sources=("lab_report_units",),
    draw=_draw,
    tell=_tell,
    asked=_asked,
    solve=_solve,
)
