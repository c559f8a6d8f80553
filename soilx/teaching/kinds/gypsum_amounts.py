"""Level 4, gypsum: how much goes into water, and how much takes the place of sodium."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from soilx.chemistry.gypsum import gypsum_solubility, naive_gypsum_solubility
from soilx.chemistry.ions import CALCIUM
from soilx.teaching.possible_soil import possible_soil
from soilx.teaching.problem import Asked, Level, Problem, Row, Seen, Solution, Told
from soilx.teaching.seeds import Draws
from soilx.teaching.working import Working, is_clear_of, printed, shown
from soilx.units import GYPSUM_MOLAR_MASS, Kind, express

EQUIVALENT: Final = GYPSUM_MOLAR_MASS / 2.0
"""Gypsum that carries one mole of charge of calcium [g/mol_c]."""

LEAST_SODIUM: Final = 1.0
"""Exchangeable sodium to be replaced, at least: below it printed digits are too coarse [cmol_c/kg]."""


@lru_cache(maxsize=1)
def solubility() -> float:
    """Gypsum in pure water at 25 °C [mmol/L]."""
    return float(gypsum_solubility())


def gypsum_line(
    work: Working, *, capacity: float, esp: float, target: float, answers: str = "", what: str = "gypsum"
) -> float:
    """Pure gypsum per kilogram of soil for a drop of ESP, as three lines of work [g/kg].

    Parameters
    ----------
    work : Working
        May be making A5, M5 or A16.
    capacity : float
        [cmol_c/kg]
    esp, target : float
        [%]
    answers, what : str
        Key of what it answers, and its name in the line.
    """
    if work.made("A5"):
        drop = work.line("share to go", f"{shown(esp)}, all of it", esp, "%")
    else:
        drop = work.line("share to go", f"{shown(esp)} − {shown(target)}", esp - target, "%")
    sodium = work.line(
        "sodium to go", f"{shown(drop)} / 100 × {shown(capacity)}", drop / 100.0 * capacity, "cmol_c/kg"
    )
    if work.made("A16"):
        sodium = work.line("in mmol_c/kg", f"{shown(sodium)}, as it stands", sodium, "mmol_c/kg")
    else:
        sodium = work.line("in mmol_c/kg", f"10 × {shown(sodium)}", 10.0 * sodium, "mmol_c/kg")
    if work.made("M5"):
        mass, how = GYPSUM_MOLAR_MASS / 1000.0, f"{GYPSUM_MOLAR_MASS:.5g} / 1000"
    else:
        mass, how = EQUIVALENT / 1000.0, f"({GYPSUM_MOLAR_MASS:.5g} / 2) / 1000"
    grams = sodium * mass
    return work.line(what, f"{shown(sodium)} × {how}", grams, "g/kg", answers=answers)


def _draw_charge(draws: Draws) -> Seen | None:
    found = possible_soil(draws, esp=("12", "45", "0.5"))
    target = float(draws.whole("target", 3, 10))
    if found is None:
        return None
    esp = printed(100.0 * found.exchangeable["Na"] / found.capacity, 1)
    if (esp - target) / 100.0 * found.capacity < LEAST_SODIUM:
        return None
    return Seen(numbers={"capacity": found.capacity, "esp": esp, "target": target}, report=found.report)


def _tell_charge(seen: Seen) -> Told:
    return Told(
        statement="Calcium from gypsum is to take the place of sodium on the clay until the ESP is down at "
        "the target. Suppose that every calcium finds a sodium. How much pure gypsum does one kilogram of "
        "soil take? Gypsum is CaSO4·2H2O.",
        rows=(
            Row(what="cation exchange capacity", value=shown(seen["capacity"]), unit="cmol_c/kg"),
            Row(what="ESP now", value=shown(seen["esp"]), unit="%"),
            Row(what="target ESP", value=shown(seen["target"]), unit="%"),
            Row(what="one mole of gypsum", value=f"{GYPSUM_MOLAR_MASS:.5g} g, one calcium"),
        ),
    )


def _asked_charge(_: Seen) -> tuple[Asked, ...]:
    return (
        Asked(key="gypsum", words="pure gypsum per kilogram of soil", kind=Kind.GYPSUM_RATE, unit="g/kg"),
    )


def _solve_charge(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    gypsum_line(work, capacity=seen["capacity"], esp=seen["esp"], target=seen["target"], answers="gypsum")
    return work.solution


GYPSUM_BY_CHARGE: Final = Problem(
    number=8,
    key="gypsum-by-charge",
    title="Gypsum, charge for charge",
    level=Level.GYPSUM,
    confronts="One calcium takes the place of two sodium, and only the sodium above the target has to go.",
    mistakes=("M5", "A16"),
    sometimes=("A5",),
    sources=("course_set", "ussl1954"),
    draw=_draw_charge,
    tell=_tell_charge,
    asked=_asked_charge,
    solve=_solve_charge,
)


def _draw_water(draws: Draws) -> Seen | None:
    plenty = draws.choice("dose", ("little", "plenty")) == "plenty"
    volume = draws.grid("volume", "100", "500", "50")
    grams = draws.grid("grams", *(("0.40", "4.00", "0.05") if plenty else ("0.05", "1.00", "0.01")))
    whole = 1000.0 * grams / GYPSUM_MOLAR_MASS / (volume / 1000.0)
    if plenty != (whole > solubility()) or not is_clear_of(whole, solubility(), by=0.2):
        return None
    return Seen(numbers={"grams": grams, "volume": volume})


def _tell_water(seen: Seen) -> Told:
    per_litre = solubility() * GYPSUM_MOLAR_MASS / 1000.0
    return Told(
        statement="Fine gypsum is stirred into deionised water at 25 °C until nothing changes any more. "
        "What is the concentration of calcium in the clear water?",
        rows=(
            Row(what="gypsum", value=f"{seen['grams']:.2f}", unit="g"),
            Row(what="water", value=shown(seen["volume"]), unit="mL"),
            Row(what="a litre of pure water dissolves at most", value=f"{per_litre:.3g}", unit="g of gypsum"),
            Row(what="one mole of gypsum", value=f"{GYPSUM_MOLAR_MASS:.5g} g, one calcium, charge 2"),
            Row(what="solubility product of gypsum", value="2.58 × 10⁻⁵", unit="(mol/L)²"),
        ),
    )


def _asked_water(_: Seen) -> tuple[Asked, ...]:
    return (
        Asked(
            key="calcium",
            words="calcium in the water",
            kind=Kind.CHARGE_CONCENTRATION,
            unit="mmol_c/L",
            ion=CALCIUM,
        ),
    )


def _solve_water(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    litres = seen["volume"] / 1000.0
    added = work.line(
        "gypsum stirred in",
        f"1000 × {shown(seen['grams'])} / {GYPSUM_MOLAR_MASS:.5g} / {shown(litres)}",
        1000.0 * seen["grams"] / GYPSUM_MOLAR_MASS / litres,
        "mmol/L",
    )
    most = naive_gypsum_solubility() if work.made("A13") else solubility()
    how = f"1000 × {most * GYPSUM_MOLAR_MASS / 1000.0:.3g} / {GYPSUM_MOLAR_MASS:.5g}"
    if work.made("A13"):
        how = "√(2.58 × 10⁻⁵) × 1000"
    work.line("the most that dissolves", how, most, "mmol/L")
    taken = added if work.made("M7") else min(added, most)
    dissolved = work.line(
        "dissolved", "all of it" if taken == added else "the most that dissolves", taken, "mmol/L"
    )
    charge = express(dissolved, Kind.CONCENTRATION, "mmol_c/L", ion=CALCIUM)
    if work.made("M5"):
        charge = work.line(
            "calcium", f"{shown(dissolved)}, as it stands", dissolved, "mmol_c/L", answers="calcium"
        )
    else:
        charge = work.line("calcium", f"2 × {shown(dissolved)}", charge, "mmol_c/L", answers="calcium")
    return work.solution


GYPSUM_IN_WATER: Final = Problem(
    number=9,
    key="gypsum-in-water",
    title="How much gypsum does water take up?",
    level=Level.GYPSUM,
    confronts="More gypsum is not more calcium in the water: water is full at about 30 mmol_c/L.",
    mistakes=(),
    sometimes=("M7", "M5", "A13"),
    sources=("bennett_adams1972", "lebedev_kosorukov2017"),
    draw=_draw_water,
    tell=_tell_water,
    asked=_asked_water,
    solve=_solve_water,
)
