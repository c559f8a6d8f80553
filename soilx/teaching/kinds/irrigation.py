"""Level 8, water: where a water brings a soil, whether it soaks in, and how much gypsum it takes."""

from __future__ import annotations

from math import sqrt
from typing import Final

from soilx.practice.dose.product import Product
from soilx.practice.judgement.infiltration import (
    HIGHEST_SAR,
    INFILTRATION,
    Restriction,
    infiltration_restriction,
)
from soilx.practice.judgement.irrigation_water import calcium_for_floor, gypsum_for_water
from soilx.teaching.kinds.hand_ratio import SELECTIVITY_ROW, ratio_line, share_lines
from soilx.teaching.kinds.one_beaker import asked_esp, asked_ratio
from soilx.teaching.possible_water import possible_water, water_of
from soilx.teaching.problem import Asked, Level, Problem, Row, Seen, Solution, Told
from soilx.teaching.seeds import Draws
from soilx.teaching.working import Working, is_clear_of, printed, shown
from soilx.units import GYPSUM_MOLAR_MASS, Kind

_RANGES: Final = {
    "sodium": ("2.0", "20.0", "0.1"),
    "calcium": ("0.5", "5.0", "0.1"),
    "magnesium": ("0.3", "3.0", "0.1"),
}
_ROOM: Final = 0.10


def _ion_rows(seen: Seen) -> tuple[Row, ...]:
    return (
        Row(what="sodium of the water", value=shown(seen["na"]), unit="meq/L"),
        Row(what="calcium of the water", value=shown(seen["ca"]), unit="meq/L"),
        Row(what="magnesium of the water", value=shown(seen["mg"]), unit="meq/L"),
    )


def _draw_floor(draws: Draws) -> Seen | None:
    found = possible_water(draws, **_RANGES)
    times = float(draws.choice("times", ("1.5", "2", "3", "4")))
    if found is None:
        return None
    numbers = {symbol.lower(): found.ions[symbol] for symbol in ("Na", "Ca", "Mg")}
    return Seen(numbers={**numbers, "times": times})


def _solve_floor(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    sar = ratio_line(
        work, na=seen["na"], ca=seen["ca"], mg=seen["mg"], answers="sar", what="SAR of the water"
    )
    times = seen["times"]
    if work.made("M10"):
        root = work.line("SAR in the root zone", f"{shown(sar)}, as in the water", sar)
    elif work.made("A3"):
        root = work.line("SAR in the root zone", f"{shown(sar)} × {times:g}", sar * times)
    else:
        root = work.line("SAR in the root zone", f"{shown(sar)} × √{times:g}", sar * sqrt(times))
    share_lines(work, root)
    return work.solution


WATER_FLOOR: Final = Problem(
    number=19,
    key="water-floor",
    title="Where a water brings a soil",
    level=Level.WATER,
    confronts="The water decides where the soil ends: no gypsum holds an ESP below the water's floor.",
    mistakes=("A3", "M10", "A1", "A2"),
    sometimes=("M6", "E11", "A4"),
    sources=("gapon1933", "arithmetic"),
    draw=_draw_floor,
    tell=lambda seen: Told(
        statement="A soil is watered with this water for years. Roots take up water and leave the salt, so "
        f"that the water in the root zone is {seen['times']:g} times as strong. Find the SAR of the water, "
        "and the ESP at which the soil ends up: the water's floor. Leave potassium out.",
        rows=(
            *_ion_rows(seen),
            Row(what="concentrated in the root zone", value=f"{seen['times']:g}", unit="times"),
            SELECTIVITY_ROW,
        ),
    ),
    asked=lambda _: (asked_ratio("SAR of the water"), asked_esp("floor of the water, as ESP")),
    solve=_solve_floor,
)

_CLASSES: Final = (
    (Restriction.NONE.value, "none"),
    (Restriction.SLIGHT_TO_MODERATE.value, "slight to moderate"),
    (Restriction.SEVERE.value, "severe"),
)


# Sodium, calcium and magnesium of weak, salty and sodic waters, so that every class comes.
_STRENGTHS: Final = {
    "very weak": (("0.3", "1.2", "0.1"), ("0.2", "0.6", "0.1"), ("0.1", "0.4", "0.1")),
    "weak": (("1.0", "6.0", "0.1"), ("0.3", "3.0", "0.1"), ("0.3", "2.0", "0.1")),
    "middle": (("4.0", "14.0", "0.1"), ("0.5", "6.0", "0.1"), ("0.3", "4.0", "0.1")),
    "salty": (("8.0", "40.0", "0.2"), ("3.0", "14.0", "0.2"), ("1.0", "6.0", "0.2")),
    "sodic": (("8.0", "26.0", "0.2"), ("0.3", "1.2", "0.1"), ("0.3", "0.8", "0.1")),
}


def _draw_infiltration(draws: Draws) -> Seen | None:
    sodium, calcium, magnesium = _STRENGTHS[draws.choice("strength", tuple(_STRENGTHS))]
    found = possible_water(draws, sodium=sodium, calcium=calcium, magnesium=magnesium)
    if found is None:
        return None
    seen = Seen(
        numbers={**{symbol.lower(): found.ions[symbol] for symbol in ("Na", "Ca", "Mg")}, "ec": found.ec}
    )
    sar = found.water.sodium_adsorption_ratio
    row = next(row for row in reversed(INFILTRATION) if sar >= row.sar_from)
    borders = [other.sar_from for other in INFILTRATION if other.sar_from > 0.0]
    clear = is_clear_of(sar, *borders, by=_ROOM) and is_clear_of(
        found.ec, row.none_above, row.severe_below, by=_ROOM
    )
    return seen if clear and sar < (1.0 - _ROOM) * HIGHEST_SAR else None


def _solve_infiltration(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    sar = ratio_line(work, na=seen["na"], ca=seen["ca"], mg=seen["mg"], answers="sar")
    # A wrong ratio can leave the table; its class is then the hardest.
    word = infiltration_restriction(min(sar, HIGHEST_SAR), seen["ec"]).value
    row = next(row for row in reversed(INFILTRATION) if sar >= row.sar_from)
    how = (
        f"from SAR {row.sar_from:g} on, none above {row.none_above:g}, severe below {row.severe_below:g} dS/m"
    )
    work.choose("restriction", f"{how}; here {shown(seen['ec'])}", word, word, answers="restriction")
    return work.solution


def _tell_infiltration(seen: Seen) -> Told:
    table = (
        Row(
            what=f"SAR {row.sar_from:g} and more" if row.sar_from else "SAR below 3",
            value=f"none above {row.none_above:g}, severe below {row.severe_below:g}",
            unit="dS/m",
        )
        for row in INFILTRATION
    )
    return Told(
        statement="Find the SAR of this water. Then look up in the table, by SAR and conductivity, how far "
        "it restricts infiltration.",
        rows=(
            *_ion_rows(seen),
            Row(what="conductivity of the water", value=shown(seen["ec"]), unit="dS/m"),
            *table,
        ),
    )


INFILTRATION_CLASS: Final = Problem(
    number=20,
    key="infiltration",
    title="Does this water soak in?",
    level=Level.WATER,
    confronts="Salt helps water in and sodium keeps it out: the purer of two waters can be the worse one.",
    mistakes=("A1", "A2"),
    sometimes=("E11",),
    sources=("ayers_westcot1985",),
    draw=_draw_infiltration,
    tell=_tell_infiltration,
    asked=lambda _: (
        asked_ratio(),
        Asked(key="restriction", words="restriction of infiltration", choices=_CLASSES),
    ),
    solve=_solve_infiltration,
)


def _draw_dose(draws: Draws) -> Seen | None:
    found = possible_water(draws, **_RANGES)
    wanted = float(draws.whole("floor", 5, 9))
    numbers = {
        "depth": draws.grid("depth", "100", "800", "50"),
        "area": draws.grid("area", "0.5", "12", "0.5"),
        "purity": draws.grid("purity", "80", "94", "1"),
    }
    if found is None:
        return None
    calcium = printed(calcium_for_floor(water_of(found.ions), esp_pct=wanted), 1)
    # What such a water still dissolves, with room.
    if not 1.0 <= calcium <= 18.0:
        return None
    return Seen(numbers={**numbers, "calcium": calcium, "floor": wanted})


def _solve_dose(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    volume = work.line(
        "water",
        f"10 × {shown(seen['depth'])} × {shown(seen['area'])}",
        10.0 * seen["depth"] * seen["area"],
        "m³",
    )
    grams = float(gypsum_for_water(f"{seen['calcium']!r} mmol_c/L", unit="g/L").magnitude)
    how = f"{shown(seen['calcium'])} × ({GYPSUM_MOLAR_MASS:.5g} / 2) / 1000"
    if work.made("M5"):
        grams, how = 2.0 * grams, f"{shown(seen['calcium'])} × {GYPSUM_MOLAR_MASS:.5g} / 1000"
    per_m3 = work.line("pure gypsum in a cubic metre", how, grams, "kg/m³")
    pure = work.line("pure gypsum", f"{shown(per_m3)} × {shown(volume)}", per_m3 * volume, "kg")
    purity = seen["purity"] / 100.0
    if work.made("E9"):
        work.line("product", f"{shown(pure)}, as it stands", pure, "kg", answers="product")
    else:
        product = Product(name="product", purity=purity, moisture=0.0).product_mass(pure)
        work.line("product", f"{shown(pure)} / {shown(purity)}", product, "kg", answers="product")
    return work.solution


WATER_DOSE: Final = Problem(
    number=21,
    key="gypsum-for-water",
    title="Gypsum into the water",
    level=Level.WATER,
    confronts="A water is mended by charge per litre: how much depends on all the water, not on the area.",
    mistakes=("M5", "E9"),
    sources=("usda_water_gypsum", "arithmetic"),
    draw=_draw_dose,
    tell=lambda seen: Told(
        statement=f"To bring the floor of a water down to ESP {seen['floor']:g} it needs more calcium. "
        "Gypsum is dissolved in all the water of one season. How much of the dry product does the season "
        "take? One millimetre of water on a hectare is 10 m³.",
        rows=(
            Row(what="calcium to add", value=shown(seen["calcium"]), unit="meq/L"),
            Row(what="water of the season", value=shown(seen["depth"]), unit="mm"),
            Row(what="area", value=shown(seen["area"]), unit="ha"),
            Row(what="gypsum in the product, which is dry", value=shown(seen["purity"]), unit="%"),
            Row(what="one mole of gypsum", value=f"{GYPSUM_MOLAR_MASS:.5g} g, one calcium, charge 2"),
        ),
    ),
    asked=lambda _: (Asked(key="product", words="product for the season", kind=Kind.MASS, unit="kg"),),
    solve=_solve_dose,
)
