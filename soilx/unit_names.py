"""The units soilx knows, how they are defined, and every spelling people use for them.

Prefixes are not combined freely: "mt/ha" would then be a milli-tonne without a word. What is not in this
table is not read.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

#: unit -> (definition, symbol, further spellings). Definitions are exact by international agreement (yard and
#: pound, 1959) or by the meaning of the word.
UNITS: Mapping[str, tuple[str, str, str]] = MappingProxyType(
    {
        "kilogram": ("[mass]", "kg", "kilograms kgs"),
        "gram": ("0.001 * kilogram", "g", "grams"),
        "milligram": ("1e-6 * kilogram", "mg", "milligrams"),
        "microgram": ("1e-9 * kilogram", "ug", "micrograms"),
        "metric_ton": ("1000 * kilogram", "t", "tonne tonnes metric_tons Mg megagram megagrams"),
        "pound": ("0.45359237 * kilogram", "lb", "lbs pounds"),
        "short_ton": ("2000 * pound", "short_ton", "short_tons US_ton US_tons us_ton us_tons"),
        "long_ton": ("2240 * pound", "long_ton", "long_tons"),
        "hundred_gram": ("0.1 * kilogram", "hundred_gram", ""),
        "meter": ("[length]", "m", "meters metre metres"),
        "centimeter": ("0.01 * meter", "cm", "centimeters centimetre centimetres"),
        "millimeter": ("0.001 * meter", "mm", "millimeters millimetre millimetres"),
        "foot": ("0.3048 * meter", "ft", "feet"),
        "inch": ("0.0254 * meter", "in", "inches"),
        "hectare": ("10000 * meter ** 2", "ha", "hectares"),
        "acre": ("43560 * foot ** 2", "acre", "acres ac A"),
        "hundred_square_foot": ("100 * foot ** 2", "hundred_square_foot", ""),
        "thousand_square_foot": ("1000 * foot ** 2", "thousand_square_foot", ""),
        "hundred_square_meter": ("100 * meter ** 2", "hundred_square_meter", ""),
        "liter": ("0.001 * meter ** 3", "L", "l liters litre litres"),
        "milliliter": ("0.001 * liter", "mL", "ml milliliters millilitre millilitres"),
        "hundred_milliliter": ("0.1 * liter", "hundred_milliliter", ""),
        "gallon": ("231 * inch ** 3", "gal", "gallons"),
        "acre_inch": ("acre * inch", "acre_inch", "acre_inches acre_in"),
        "acre_foot": ("acre * foot", "acre_foot", "acre_feet acre_ft"),
        "mole": ("[substance]", "mol", "moles"),
        "centimole": ("0.01 * mole", "cmol", "centimoles"),
        "millimole": ("0.001 * mole", "mmol", "millimoles"),
        "micromole": ("1e-6 * mole", "umol", "micromoles"),
        "molar": ("mole / liter", "M", ""),
        "millimolar": ("0.001 * molar", "mM", ""),
        "mole_charge": ("[charge_amount]", "mol_c", "molc moles_charge"),
        "centimole_charge": ("0.01 * mole_charge", "cmol_c", "cmolc"),
        "millimole_charge": ("0.001 * mole_charge", "mmol_c", "mmolc"),
        "micromole_charge": ("1e-6 * mole_charge", "umol_c", "umolc"),
        "equivalent": ("mole_charge", "eq", "equivalents equiv"),
        "milliequivalent": ("0.001 * mole_charge", "meq", "mEq meqs milliequivalents mequiv"),
        "microequivalent": ("1e-6 * mole_charge", "ueq", "uEq microequivalents"),
        "siemens": ("[conductance]", "S", ""),
        "decisiemens": ("0.1 * siemens", "dS", "decisiemen"),
        "millisiemens": ("0.001 * siemens", "mS", "millisiemen"),
        "microsiemens": ("1e-6 * siemens", "uS", "microsiemen"),
        "millimho": ("0.001 * siemens", "mmho", "mmhos millimhos"),
        "micromho": ("1e-6 * siemens", "umho", "umhos micromhos"),
        "hour": ("[time]", "h", "hours hr hrs"),
        "minute": ("hour / 60", "min", "minutes mins"),
        "second": ("hour / 3600", "s", "seconds sec secs"),
        "day": ("24 * hour", "d", "days"),
        "week": ("168 * hour", "week", "weeks"),
        "kelvin": ("[temperature]", "K", ""),
        "degree_Celsius": ("kelvin; offset: 273.15", "degC", "°C celsius Celsius degrees_C C"),
        "degree_Fahrenheit": (
            "5 / 9 * kelvin; offset: 233.15 + 200 / 9",
            "degF",
            "°F fahrenheit Fahrenheit F",
        ),
        "percent": ("0.01", "%", "pct"),
        # A dimension of its own: whether mg/kg of soil or mg/L of water is decided by the kind wanted.
        "ppm": ("[parts]", "ppm", ""),
        "kilogram_per_kilogram": ("1", "kg_per_kg", ""),
        "pore_volume": ("[pore_volume]", "pore_volume", "pore_volumes PV"),
    }
)

SPELLINGS: Mapping[str, str] = MappingProxyType(
    {
        spelling: unit
        for unit, (_, symbol, more) in UNITS.items()
        for spelling in (unit, symbol, *more.split())
    }
)

#: What stands for an amount in a denominator: "meq/100 g", "lb/1000 ft²".
LOTS: Mapping[tuple[str, str, float], str] = MappingProxyType(
    {
        ("100", "gram", 1): "hundred_gram",
        ("100", "milliliter", 1): "hundred_milliliter",
        ("100", "foot", 2): "hundred_square_foot",
        ("1000", "foot", 2): "thousand_square_foot",
        ("100", "meter", 2): "hundred_square_meter",
    }
)

WRITTEN_LOTS: Mapping[str, str] = MappingProxyType(
    {
        "hundred_gram": "100 g",
        "hundred_milliliter": "100 mL",
        "hundred_square_foot": "100 ft^2",
        "thousand_square_foot": "1000 ft^2",
        "hundred_square_meter": "100 m^2",
        "kg_per_kg": "kg/kg",
    }
)

#: Spellings that other readers take without a word for something else.
AMBIGUOUS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        **dict.fromkeys(
            ("me", "mE", "ME"),
            (
                '"me" can mean milliequivalent or the charge of an electron',
                'write "meq", as in "meq/L" or "meq/100 g"',
            ),
        ),
        **dict.fromkeys(
            ("ton", "tons", "Ton", "Tons", "tn", "T", "mt", "MT", "Mt"),
            (
                "a ton is 2000 lb, 2240 lb or 1000 kg, depending on who writes it",
                'write "short_ton" (2000 lb) or "t" (1000 kg), as in "short_ton/acre" or "t/ha"',
            ),
        ),
        **dict.fromkeys(
            ("ML", "MG", "MS"),
            (
                "a capital M means a million and a small m a thousandth",
                'write it as in "mL", "mg" or "mS"',
            ),
        ),
    }
)
