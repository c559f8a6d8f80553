"""Spellings people use are read; what is ambiguous, foreign or hostile is refused in one sentence."""

import re
import time

import pytest

from soilx.errors import LimitError, SoilxError, UnitKindError
from soilx.unit_names import AMBIGUOUS, LOTS, SPELLINGS, UNITS, WRITTEN_LOTS
from soilx.unit_text import read_unit, split, written
from soilx.units import quantity

SAME = {
    "t/ha": "t / ha|t ha-1|t ha^-1|t·ha⁻¹|tonnes per hectare|Mg/ha|metric tons/ha|metric_ton / hectare"
    "|tonne/ha",
    "short_ton/acre": "short ton/acre|short tons per acre|US tons/ac|short-ton/A|short_tons/acres|us ton/ac",
    "lb/acre": "lbs/ac|lb/ac|pounds per acre|lb ac-1|lb./ac.|lb/A",
    "lb/1000 ft^2": "lb/1000 ft²|lb/1000ft2|lb/1000 sq ft|lbs per 1000 sq. ft.|lb/1000 square feet"
    "|lb/1000sqft|pound / thousand_square_foot",
    "lb/100 ft^2": "lb/100 ft²|lb/100ft2|lb / 100 sq ft",
    "g/m^2": "g/m²|g m-2|g/m2|g/sq m|grams per square meter",
    "cmol_c/kg": "cmolc/kg|cmol(+)/kg|cmol(c)/kg|cmol+/kg|cmol_c kg-1|cmol(+) kg⁻¹|cmol (+)/kg|cmolc per kg",
    "mmol_c/kg": "mmolc/kg|mmol(+)/kg|mmol_c kg^-1|mmol(c) kg−1",
    "mmol_c/L": "mmol(-)/L|mmolc L-1|mmol_c/l",
    "meq/100 g": "meq/100g|meq per 100 g|mEq/100 g|milliequivalents/100 grams|meq/100 g soil"
    "|meq / 100 g of dry soil",
    "meq/L": "meq/l|mEq/L|meq L-1|meq/litre|meq per liter",
    "mg/kg": "mg/kg soil|mg kg-1|milligrams per kilogram|mg/kg of oven-dry soil|mg/kg dry soil",
    "ppm": "ppm|ppm of soil",
    "dS/m": "dS m-1|dS m⁻¹|dS·m-1|dS/meter",
    "uS/cm": "µS/cm|μS/cm|uS cm-1|microsiemens/cm",
    "mS/m": "mS m-1|millisiemens per metre",
    "mmho/cm": "mmhos/cm|mmho cm-1|millimhos/cm",
    "mL": "ml|milliliters|mL water|mL of water",
    "cm": "cm of water|centimetres|cm water",
    "in": "in of water|inches|in. of water|inch",
    "pore_volume": "pore volume|pore volumes|PV|pore_volumes|pore-volume",
    "g/kg": "g per kg|g kg⁻¹|g/kg soil",
    "%": "percent|pct",
    "degC": "°C|ºC|C|celsius",
    "1/h": "/h|h-1|h^-1|1 / hour|per hour|h**-1",
    "(mmol/L)^-0.5": "(mmol/L)^-½|(mmol/L)**-0.5|(mmol/L)^(-1/2)|(mmol L-1)^-0.5|L^0.5/mmol^0.5",
    "(mmol/L)^0.5": "(mmol/L)^½|(mmol/L)½|(mmol/L)^1/2|mmol^0.5 L^-0.5",
    "acre_foot": "acre-foot|acre ft|acre-feet|acre foot",
    "kg/kg": "g/g|kg kg-1|kg / kg",
}


@pytest.mark.parametrize(("plain", "typed"), [(p, t) for p, many in SAME.items() for t in many.split("|")])
def test_spellings_in_use_are_one_unit__common_practice(plain, typed):
    assert read_unit(typed, name="it", given=typed) == read_unit(plain, name="it", given=plain)
    assert read_unit(plain, name="it", given=plain)


@pytest.mark.parametrize("plain", SAME)
def test_a_unit_may_touch_its_number__analytic(plain):
    apart, together = split(f"4.35 {plain}", name="it"), split(f"  4.35{plain} ", name="it")
    # "4.351/h" is another number: a unit that begins with a digit needs its blank.
    assert apart == (4.35, plain)
    assert together == ((4.351, "/h") if plain == "1/h" else (4.35, plain))


@pytest.mark.parametrize(
    ("text", "number"),
    [("5 g", 5.0), ("+5 g", 5.0), ("-5 g", -5.0), ("−5 g", -5.0), (".5 g", 0.5), ("5. g", 5.0),
     ("5e-3 g", 5e-3), ("5E+3g", 5e3), ("0 g", 0.0), ("0.000 g", 0.0), ("0e5 g", 0.0)],
)  # fmt: skip
def test_plain_decimal_numbers_are_read__analytic(text, number):
    assert split(text, name="it") == (number, "g")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("5 me/L", 'write "meq"'),
        ("5 me/100 g", 'write "meq"'),
        ("5 mE/L", 'write "meq"'),
        ("3 ton/acre", 'write "short_ton" (2000 lb) or "t" (1000 kg)'),
        ("3 tons/ha", 'write "short_ton" (2000 lb) or "t" (1000 kg)'),
        ("3 T/ac", 'write "short_ton" (2000 lb) or "t" (1000 kg)'),
        ("3 mt/ha", 'write "short_ton" (2000 lb) or "t" (1000 kg)'),
        ("60 ML", '"mL"'),
        ("3 meg/L", 'or "meq", write that'),
        ("3 kgg/ha", '"kg"'),
        ("3 gypsum", "is not known here"),
        ("4,35 t/ha", 'write it like "4.35 t/ha"'),
        ("2,000 lb/acre", "decimal to some and thousands to others"),
        ("5 000 t/ha", "gap inside its number"),
        ("5 100 g", "gap inside its number"),
        ("5 g 100 g", "second number, 100"),
        ("5 g/1000 g", "second number, 1000"),
        ("5-10 t/ha", "one number followed by a unit"),
        ("nan t/ha", "does not begin with a number"),
        ("inf t/ha", "does not begin with a number"),
        ("t/ha", "does not begin with a number"),
        ("", "says nothing"),
        (" \n\t ", "says nothing"),
        ("x" * 5000, "5000 characters long"),
        ("1" * 5000, "5000 characters long"),
        ("9**9**9 t/ha", "one number followed by a unit"),
        ("1 t**9**9/ha", "one number followed by a unit"),
        ("1 t^99/ha", "one number followed by a unit"),
        ("__import__('os').system('true') t/ha", "does not begin with a number"),
        ("1 if True else 2 t/ha", "is not known here"),
        ("<b>5</b> t/ha", "does not begin with a number"),
        ("5 <script>alert(1)</script>", "one number followed by a unit"),
        ("5 t/ha; rm -rf /", "one number followed by a unit"),
        ("5 t/ha\n6 t/ha", "one number followed by a unit"),
        ("5 t//ha", "one number followed by a unit"),
        ("5 t/", "one number followed by a unit"),
        ("5 (t/ha", "one number followed by a unit"),
        ("5 ((mmol/L)^0.5)^0.5", "one number followed by a unit"),
        ("0x10 g", "is not known here"),
        ("१ g", "does not begin with a number"),
        ("5 m*degC/K", "degrees cannot be multiplied or divided"),
        ("5 degF^2", "degrees cannot be multiplied or divided"),
        ("5 t/t", "divides a unit by itself"),
        ("5", "has no unit"),
    ],
    ids=lambda part: part[:24],
)
def test_what_cannot_be_read_is_refused_in_one_sentence__analytic(text, said):
    with pytest.raises(UnitKindError) as caught:
        quantity(text, name="gypsum rate")
    message = str(caught.value)
    assert said in message
    assert message.startswith("gypsum rate = ")
    assert message.endswith(".")
    assert len(message.splitlines()) == 1
    assert len(message) < 400


@pytest.mark.parametrize("text", ["1e999 t/ha", "-1e999 t/ha", "1e-999 t/ha", "1e9999 g"])
def test_a_number_beyond_floats_is_a_limit_not_an_infinity_or_a_zero__analytic(text):
    with pytest.raises(LimitError, match="too large or too small"):
        quantity(text)


def test_an_exponent_of_any_length_is_refused__analytic():
    with pytest.raises(SoilxError):
        quantity("1e99999999999 t/ha")


def test_hostile_text_is_refused_at_once__analytic():
    hostile = [
        "9**9**9 t/ha",
        "9" * 10**6,
        "(" * 10**6,
        "1 " + "(" * 70,
        "1 " + "mol+" * 19,
        "1" + " " * 10**6 + "g",
        "1 " + "short " * 12 + "x",
    ]
    start = time.perf_counter()
    for text in hostile:
        with pytest.raises(SoilxError):
            quantity(text)
    # An evaluated 9**9**9 would not end; a refusal takes about 0.1 ms.
    assert time.perf_counter() - start < 0.5


def test_a_unit_that_is_too_long_is_refused__analytic():
    with pytest.raises(UnitKindError, match="longer than"):
        quantity(1, "g" * 100)


def test_every_spelling_is_defined_once__analytic():
    spelled = [
        spelling for unit, (_, symbol, more) in UNITS.items() for spelling in {unit, symbol, *more.split()}
    ]
    assert sorted(spelled) == sorted(SPELLINGS)
    assert not set(AMBIGUOUS) & set(SPELLINGS)
    assert set(LOTS.values()) <= set(UNITS)


@pytest.mark.parametrize("spelling", SPELLINGS)
def test_every_spelling_in_the_table_is_read__analytic(spelling):
    assert read_unit(spelling, name="it", given=spelling) == {SPELLINGS[spelling]: 1.0}


@pytest.mark.parametrize("symbol", WRITTEN_LOTS)
def test_what_is_written_for_people_reads_back__analytic(symbol):
    # A share stands alone, and is refused in company: below a line "kg/kg" would be two divisions.
    unit, share = SPELLINGS[symbol], symbol == "kg_per_kg"
    plain = written(symbol if share else f"lb/{symbol}")
    assert symbol not in plain
    assert re.search(r"[a-z]+_", plain.replace("_c", "")) is None
    assert read_unit(plain, name="it", given=plain) == ({unit: 1.0} if share else {"pound": 1.0, unit: -1.0})
