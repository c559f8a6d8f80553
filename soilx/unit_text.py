"""How people write a number and its unit, read with a grammar of our own.

Text is matched, never evaluated: one plain number, then units from the table of `soilx.unit_names`.
"""

from __future__ import annotations

import difflib
import math
import re
from typing import NoReturn

from soilx.errors import LimitError, UnitKindError, refuse
from soilx.unit_names import AMBIGUOUS, LOTS, SPELLINGS, WRITTEN_LOTS

#: Longer text is no quantity; the cap also bounds the work done on text from outside.
LONGEST_TEXT = 80

_NUMBER = re.compile(r"([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,4})?)(.*)", re.DOTALL)
_FACTOR = re.compile(
    r"\s*(?P<joint>/|\*)?\s*(?P<lot>1000|100)?\s*(?P<name>%|°?[A-Za-z_]+)"
    r"(?:(?:\s*(?:\^|\*\*)\s*)?(?P<power>[+-]?(?:[1-3](?:\.[05])?|0\.5))(?![0-9.]))?"
)
_HIGHEST_POWER = 3.5
_ROOT = re.compile(r"\((?P<inside>[^()]*)\)\s*(?:\^|\*\*)\s*\(?(?P<sign>[+-]?)(?:0?\.5|1/2)\)?")

# Typography and trade idiom, made plain before the grammar looks at them.
_PLAIN = str.maketrans(
    {
        "µ": "u",
        "μ": "u",
        "−": "-",
        "–": "-",
        "⁻": "-",
        "¹": "1",
        "²": "2",
        "³": "3",
        "·": "*",
        "⋅": "*",
        "×": "*",
        "º": "°",
    }
)
_IDIOMS: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(pattern), plain)
    for pattern, plain in (
        (r"\^?(-?)½", r"^\g<1>0.5"),
        (r"mol\s*(?:\(\s*[+c-]\s*\)|\+)", "mol_c"),
        # "lb./ac.", but not the point of "0.5".
        (r"(?<=[A-Za-z])\.(?=[\s/]|$)", ""),
        (r"(?<![A-Za-z_])(?:sq|square)\s*(ft|feet|foot|m|meters?|metres?)\b", r"\g<1>^2"),
        (
            r"(?<![A-Za-z_])(short|long|metric|US|us|pore|acre)[\s-]+(tons?|volumes?|in(?:ch(?:es)?)?|f(?:oo|ee)?t)\b",
            r"\1_\2",
        ),
        (r"\s+(?:of\s+)?(?:(?:oven-?)?dry\s+)?(?:water|soil)$", ""),
        (r"\bper\b", "/"),
        (r"\s+", " "),
    )
)


def read_unit(text: str, *, name: str, given: object) -> dict[str, float]:
    """The units and their powers that a spelling stands for.

    Parameters
    ----------
    text : str
        A unit alone, such as "cmol_c/kg", "dS m-1", "lb/1000 sq ft" or "(mmol/L)^-0.5".
    name, given : str, object
        What the whole was given for, and what was given; for the refusal.

    Returns
    -------
    dict of str to float
        Keys of `unit_names.UNITS` and their powers; empty where there is no text.

    Raises
    ------
    UnitKindError
        The spelling is not known, is known to be ambiguous, or is not a unit at all.
    """
    if len(text) > LONGEST_TEXT:
        _refuse(name, given, f"is longer than the {LONGEST_TEXT} characters a quantity can need")
    plain = text.translate(_PLAIN).strip()
    for pattern, replacement in _IDIOMS:
        plain = pattern.sub(replacement, plain)
    plain = plain.strip()
    root = _ROOT.fullmatch(plain)
    if root:
        inside = read_unit(root["inside"], name=name, given=given)
        half = -0.5 if root["sign"] == "-" else 0.5
        halves = {unit: power * half for unit, power in inside.items()}
        _refuse_odd(halves, name=name, given=given)
        return halves
    if re.match(r"1\s*/", plain):
        plain = plain[1:].strip()
    powers: dict[str, float] = {}
    at = 0
    while at < len(plain):
        factor = _FACTOR.match(plain, at)
        if factor is None or (factor["joint"] == "*" and at == 0):
            _refuse(name, given, "is not one number followed by a unit")
        unit = _unit_named(factor["name"], name=name, given=given)
        power = float(factor["power"] or 1)
        if factor["lot"]:
            lot = LOTS.get((factor["lot"], unit, power))
            # Only below the line: "5 100 g" could be a thousands gap.
            if lot is None or factor["joint"] != "/":
                _refuse(name, given, f"has a second number, {factor['lot']}, that is no part of a known unit")
            unit, power = lot, 1.0
        powers[unit] = powers.get(unit, 0.0) + (-power if factor["joint"] == "/" else power)
        at = factor.end()
    kept = {unit: power for unit, power in powers.items() if power}
    if powers and not kept:
        if set(powers) <= {"kilogram", "gram"}:
            return {"kilogram_per_kilogram": 1.0}
        _refuse(name, given, "divides a unit by itself, so that nothing says what the number counts")
    _refuse_odd(kept, name=name, given=given)
    return kept


def _refuse_odd(powers: dict[str, float], *, name: str, given: object) -> None:
    """Raise where units stand together as no quantity has them, and could not be written and read again."""
    if any(abs(power) > _HIGHEST_POWER or (2.0 * power) % 1.0 for power in powers.values()):
        _refuse(name, given, "has a unit to a power that no quantity here has")
    alone = [*powers.values()] == [1.0]
    if powers.keys() & {"degree_Celsius", "degree_Fahrenheit"} and not alone:
        # Their zero is not zero: 20 °C is not twice 10 °C.
        _refuse(name, given, "has degrees with another unit, and degrees cannot be multiplied or divided")
    if "kilogram_per_kilogram" in powers and not alone:
        _refuse(name, given, "has a share of a mass with another unit")


def split(text: str, *, name: str) -> tuple[float, str]:
    """The number at the head of a text, and the rest, which should be a unit.

    Parameters
    ----------
    text : str
        Such as "4.35 t/ha"; the unit may be missing.
    name : str
        What it was given for.

    Returns
    -------
    tuple of float and str
        A finite number, and the unit's spelling ("" when there is none).

    Raises
    ------
    UnitKindError
        The text is empty, too long, or does not begin with one plain decimal number.
    LimitError
        The number is too large or too small to be held.
    """
    if len(text) > LONGEST_TEXT:
        _refuse(name, text, f"is {len(text)} characters long, and a quantity needs at most {LONGEST_TEXT}")
    plain = text.strip()
    if not plain:
        _refuse(name, text, "says nothing")
    found = _NUMBER.fullmatch(plain.replace("−", "-"))
    if found is None:
        _refuse(name, text, "does not begin with a number")
    digits, rest = found[1], found[2].strip()
    if rest[:1] == ",":
        refuse(
            name,
            text,
            "",
            wrong="has a comma in its number, which means a decimal to some and thousands to others",
            limit="soilx reads a point for decimals and nothing between thousands",
            remedy='write it like "4.35 t/ha" or "2000 lb/acre"',
            error=UnitKindError,
        )
    if rest[:1].isdigit() and not re.match(r"1\s*/", rest):
        _refuse(name, text, "has a gap inside its number, or two numbers")
    number = float(digits)
    if not math.isfinite(number) or (number == 0.0 and re.search(r"[1-9]", re.split("[eE]", digits)[0])):
        refuse(
            name,
            text,
            "",
            wrong="is too large or too small to compute with",
            limit="floating-point numbers end near 1e308 and 1e-308",
            remedy="write an amount that soil and water can hold",
            error=LimitError,
        )
    return number, rest


def written(symbols: str) -> str:
    """A unit made of symbols as people write it, such as "lb/1000 ft^2"; `read_unit` reads it back."""
    for symbol, plain in WRITTEN_LOTS.items():
        # Where it is read so: an amount once below the line, a share alone. Elsewhere its own name stands.
        once = r"\A{}\Z" if "/" in plain else r"(?<=/){}(?![\w*])"
        symbols = re.sub(once.format(symbol), plain, symbols)
    return symbols.replace("**", "^")


def _unit_named(spelling: str, *, name: str, given: object) -> str:
    if spelling not in SPELLINGS:
        _refuse_unit(spelling, name=name, given=given)
    return SPELLINGS[spelling]


def _refuse_unit(spelling: str, *, name: str, given: object) -> NoReturn:
    shown = spelling[:20]
    wrong = f'the unit "{shown}" is not known here'
    near = difflib.get_close_matches(shown, SPELLINGS, n=2, cutoff=0.6)
    hint = " or ".join(f'"{word}"' for word in near)
    remedy = f"if you meant {hint}, write that" if hint else 'write a unit such as "t/ha", "g/kg" or "meq/L"'
    wrong, remedy = AMBIGUOUS.get(spelling, (wrong, remedy))
    refuse(name, given, "", wrong=wrong, limit="", remedy=remedy, error=UnitKindError)


def _refuse(name: str, given: object, wrong: str) -> NoReturn:
    refuse(
        name,
        given,
        "",
        wrong=wrong,
        limit="",
        remedy='write one number and its unit, like "4.35 t/ha" or "24 cmol_c/kg"',
        error=UnitKindError,
    )
