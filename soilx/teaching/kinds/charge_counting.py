"""Level 1, charge counting: from parts per million to charge, and the share of sodium."""

from __future__ import annotations

from typing import Final

from soilx.chemistry.ions import CALCIUM, IONS, SODIUM
from soilx.teaching.possible_soil import CATIONS, possible_soil
from soilx.teaching.problem import ONE_STEP, Asked, Level, Problem, Row, Seen, Solution, Told
from soilx.teaching.seeds import Draws
from soilx.teaching.working import Working, printed, shown
from soilx.units import Kind, express, read

_NAMES: Final = {symbol: IONS[symbol].name for symbol in CATIONS}


def charge_of(mg_per_kg: float, symbol: str) -> float:
    """Charge [cmol_c/kg] of an ion's mass per soil [mg/kg]."""
    ion = IONS[symbol]
    charge = read(f"{mg_per_kg!r} mg/kg", Kind.EXCHANGE_CAPACITY, name=ion.name, ion=ion)
    return express(charge, Kind.EXCHANGE_CAPACITY, "cmol_c/kg")


def mass_of(cmol_c_per_kg: float, symbol: str) -> float:
    """Mass per soil [mg/kg] of an ion's charge [cmol_c/kg]."""
    return cmol_c_per_kg * per_charge(symbol)


def per_charge(symbol: str) -> float:
    """Mass that carries 1 cmol_c of an ion [mg]."""
    ion = IONS[symbol]
    return 10.0 * ion.molar_mass / abs(ion.charge)


def _draw_ppm(draws: Draws) -> Seen | None:
    found = possible_soil(draws)
    symbol = draws.choice("ion", CATIONS)
    if found is None:
        return None
    ppm = printed(mass_of(found.exchangeable[symbol], symbol))
    return Seen(numbers={"ppm": ppm}, words={"ion": symbol}, report=found.report)


def _tell_ppm(seen: Seen) -> Told:
    name = _NAMES[seen.words["ion"]]
    return Told(
        statement=f"A soil report lists the exchangeable {name} in ppm, which is milligrams per kilogram of "
        f"soil. How much charge is that? Give it per kilogram, or per 100 g, of soil.",
        rows=(
            Row(what=f"exchangeable {name}", value=shown(seen["ppm"]), unit="ppm"),
            *(
                Row(
                    what=f"one mole of {_NAMES[symbol]}",
                    value=f"{IONS[symbol].molar_mass:.4g} g, charge {IONS[symbol].charge}",
                )
                for symbol in CATIONS
            ),
        ),
    )


def _asked_ppm(seen: Seen) -> tuple[Asked, ...]:
    ion = IONS[seen.words["ion"]]
    return (
        Asked(
            key="charge",
            words=f"charge of the exchangeable {ion.name}",
            kind=Kind.EXCHANGE_CAPACITY,
            unit="cmol_c/kg",
            tolerance=ONE_STEP,
            ion=ion,
            given=seen["ppm"],
            given_unit="mg/kg",
        ),
    )


def _solve_ppm(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    symbol = seen.words["ion"]
    ion = IONS[symbol]
    ppm, charge = seen["ppm"], abs(ion.charge)
    if work.made("M4"):
        # Sodium's mass of one charge is the one that people remember; for sodium itself, calcium's.
        other = SODIUM if ion is not SODIUM else CALCIUM
        mass, how = per_charge(other.symbol), f"{other.molar_mass:.4g} × 10 / {other.charge}"
    elif work.made("M5"):
        mass, how = 10.0 * ion.molar_mass, f"{ion.molar_mass:.4g} × 10"
    else:
        mass, how = per_charge(symbol), f"{ion.molar_mass:.4g} × 10 / {charge}"
    work.line(f"mass of 1 cmol of charge of {ion.name}", how, mass, "mg")
    right = charge_of(ppm, symbol) * per_charge(symbol) / mass
    work.line("charge", f"{shown(ppm)} / {shown(mass)}", right, "cmol_c/kg", answers="charge")
    return work.solution


PPM_TO_CHARGE: Final = Problem(
    number=0,
    key="ppm-to-charge",
    title="From ppm to charge",
    level=Level.CHARGE_COUNTING,
    confronts="ppm of different ions cannot be compared: each ion weighs something else for its charge.",
    mistakes=("M4",),
    sometimes=("M5",),
    sources=("lab_report_units",),
    draw=_draw_ppm,
    tell=_tell_ppm,
    asked=_asked_ppm,
    solve=_solve_ppm,
)


def _draw_share(draws: Draws) -> Seen | None:
    found = possible_soil(draws)
    if found is None:
        return None
    numbers = {symbol: printed(mass_of(found.exchangeable[symbol], symbol)) for symbol in CATIONS}
    return Seen(numbers=numbers, report=found.report)


def _tell_share(seen: Seen) -> Told:
    return Told(
        statement="These four cations sit on the clay; what was dissolved is taken off already. "
        "Together they fill its exchange capacity. Find the capacity, and sodium's share of its charge: the "
        "exchangeable sodium percentage, ESP.",
        rows=tuple(
            Row(what=f"exchangeable {_NAMES[symbol]}", value=shown(seen[symbol]), unit="mg/kg")
            for symbol in CATIONS
        ),
    )


def _asked_share(_: Seen) -> tuple[Asked, ...]:
    return (
        Asked(
            key="capacity",
            words="cation exchange capacity",
            kind=Kind.EXCHANGE_CAPACITY,
            unit="cmol_c/kg",
        ),
        Asked(key="esp", words="exchangeable sodium percentage", kind=Kind.FRACTION, unit="%"),
    )


def _solve_share(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    amounts = {}
    for symbol in CATIONS:
        if work.made("M4"):
            divisor = per_charge("Na")
        elif work.made("M5"):
            divisor = 10.0 * IONS[symbol].molar_mass
        else:
            divisor = per_charge(symbol)
        amount = charge_of(seen[symbol], symbol) * per_charge(symbol) / divisor
        how = f"{shown(seen[symbol])} / {shown(divisor)}"
        amounts[symbol] = work.line(f"charge of {_NAMES[symbol]}", how, amount, "cmol_c/kg")
    summed = [symbol for symbol in CATIONS if not (work.made("E6") and symbol == "Na")]
    capacity = sum(amounts[symbol] for symbol in summed)
    how = " + ".join(shown(amounts[symbol]) for symbol in summed)
    work.line("exchange capacity", how, capacity, "cmol_c/kg", answers="capacity")
    esp = 100.0 * amounts["Na"] / capacity
    work.line("ESP", f"100 × {shown(amounts['Na'])} / {shown(capacity)}", esp, "%", answers="esp")
    return work.solution


ESP_BY_CHARGE: Final = Problem(
    number=1,
    key="esp-by-charge",
    title="Sodium's share of the charge",
    level=Level.CHARGE_COUNTING,
    confronts="Shares of the clay are shares of charge, not of mass and not of particles.",
    mistakes=("M4", "M5", "E6"),
    sources=("course_set", "lab_report_units"),
    draw=_draw_share,
    tell=_tell_share,
    asked=_asked_share,
    solve=_solve_share,
)
