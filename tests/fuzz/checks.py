"""What must hold of anything that is read: refused in plain words, or finite, within limits, the same again.

Each check takes one input and says whether it was accepted. An exception of another family, or an
AssertionError, is a find.
"""

from __future__ import annotations

import atexit
import dataclasses
import math
import tempfile
from collections.abc import Callable, Iterator, Mapping
from enum import Enum
from pathlib import Path

import numpy as np

import soilx
from soilx.bench.record import Record
from soilx.bench.record_columns import COLUMN_FIELDS
from soilx.bench.record_reading import record_of_bytes
from soilx.bench.record_writing import add_portions, change_portion
from soilx.chemistry.ions import IONS
from soilx.column.files import read_soils, read_waters, scenario_from_toml, scenario_to_toml
from soilx.column.soil_table import soils_to_csv
from soilx.errors import SoilxError, UnitKindError
from soilx.practice.decision_file import decision_from_toml, decision_to_toml, read_decision
from soilx.practice.dose.products_file import read_products
from soilx.practice.seasons.climate_file import read_climates
from soilx.practice.soil_test.report import read_reports
from soilx.show.bench_text import with_change, with_line, with_portion
from soilx.units import Ground, Kind, as_text, express, quantity, read

GROUND = Ground(depth=150.0, bulk_density=1.4, drained_water=0.26, soil_mass=0.1)
CLOSING = 1e-9

_SHELF = tempfile.TemporaryDirectory(prefix="soilx-fuzz-")
atexit.register(_SHELF.cleanup)
_FILE = Path(_SHELF.name) / "given.csv"


def refused_well(refusal: SoilxError) -> None:
    """Assert that a refusal is something a person can read on one line of a screen."""
    said = " ".join(str(refusal).split())
    assert said
    assert len(said) < 5000, f"{len(said)} characters are no sentence"


def floats_of(thing: object, seen: int = 0) -> Iterator[float]:
    """Every float in a tree of dataclasses, mappings, sequences and arrays."""
    if seen > 12 or isinstance(thing, str | bytes | Enum | bool) or thing is None:
        return
    if isinstance(thing, float | int):
        yield float(thing)
    elif isinstance(thing, np.ndarray):
        if thing.dtype.kind == "f":
            yield from (float(value) for value in thing.ravel())
    elif isinstance(thing, Mapping):
        for value in thing.values():
            yield from floats_of(value, seen + 1)
    elif isinstance(thing, tuple | list):
        for value in thing:
            yield from floats_of(value, seen + 1)
    elif dataclasses.is_dataclass(thing):
        for field in dataclasses.fields(thing):
            yield from floats_of(getattr(thing, field.name), seen + 1)


def all_finite(thing: object) -> None:
    """Assert that no number in it is infinite or not a number."""
    assert all(math.isfinite(value) for value in floats_of(thing)), (
        f"{thing!r:.300} holds a number that is none"
    )


def alike(one: object, other: object) -> None:
    """Assert that two things hold the same numbers, to rounding."""
    ours, theirs = list(floats_of(one)), list(floats_of(other))
    assert len(ours) == len(theirs)
    for a, b in zip(ours, theirs, strict=True):
        assert math.isclose(a, b, rel_tol=1e-9, abs_tol=1e-12), f"{a!r} is not {b!r}"


def check_quantity(text: str) -> bool:
    """Text as a quantity of any unit: finite, and written it is read as the same."""
    try:
        made = quantity(text)
    except SoilxError as refusal:
        refused_well(refusal)
        return False
    assert math.isfinite(made.magnitude)
    again = quantity(as_text(made))
    assert again.magnitude == made.magnitude
    assert again.units == made.units
    return True


def check_reading(given: tuple[str, Kind, str | None, bool]) -> bool:
    """Text as one kind: finite, linear, and expressed in its own unit it is the number that was typed."""
    text, kind, symbol, on_ground = given
    ion, ground = IONS.get(symbol or ""), GROUND if on_ground else None
    try:
        value = read(text, kind, name="fuzzed", ion=ion, ground=ground)
    except SoilxError as refusal:
        refused_well(refusal)
        return False
    assert math.isfinite(value)
    number, unit = typed(text)
    shown = express(value, kind, unit, ion=ion, ground=ground)
    assert math.isclose(shown, number, rel_tol=1e-12, abs_tol=1e-11 if kind is Kind.TEMPERATURE else 1e-320)
    if kind is not Kind.TEMPERATURE and 1e-300 < abs(number) < 1e300 and kind is not Kind.FRACTION:
        assert math.isclose(
            read(f"{2 * number!r} {unit}", kind, name="fuzzed", ion=ion, ground=ground),
            2 * value,
            rel_tol=1e-12,
        )
        assert math.copysign(1.0, value) == math.copysign(1.0, number)
    return True


def typed(text: str) -> tuple[float, str]:
    """Number and unit of an accepted text, taken apart here by the longest head that is a Python number."""
    plain = text.strip().replace("−", "-")
    for end in range(len(plain), 0, -1):
        head = plain[:end]
        if head.isascii() and not head[-1].isspace() and "_" not in head:
            try:
                return float(head), plain[end:]
            except ValueError:
                continue
    raise AssertionError(f"{text!r} was read, and begins with no number")


# What one unit is in the internal one, reckoned from its definition and not from the library's table.
_ACRE, _LB, _FT2 = 4046.8564224, 0.45359237, 0.09290304
_SOIL = 150.0 * 1.4
_GYPSUM = 172.1712
KNOWN: dict[tuple[Kind, str], float] = {
    (Kind.GYPSUM_RATE, "t/ha"): 1e6 / 1e4 / _SOIL / _GYPSUM * 1000,
    (Kind.GYPSUM_RATE, "kg/ha"): 1e3 / 1e4 / _SOIL / _GYPSUM * 1000,
    (Kind.GYPSUM_RATE, "short_ton/acre"): 2000 * _LB * 1e3 / _ACRE / _SOIL / _GYPSUM * 1000,
    (Kind.GYPSUM_RATE, "lb/acre"): _LB * 1e3 / _ACRE / _SOIL / _GYPSUM * 1000,
    (Kind.GYPSUM_RATE, "lb/1000 ft^2"): _LB * 1e3 / (1000 * _FT2) / _SOIL / _GYPSUM * 1000,
    (Kind.GYPSUM_RATE, "lb/100 sq ft"): _LB * 1e3 / (100 * _FT2) / _SOIL / _GYPSUM * 1000,
    (Kind.GYPSUM_RATE, "g/m²"): 1 / _SOIL / _GYPSUM * 1000,
    (Kind.GYPSUM_RATE, "g/kg"): 1000 / _GYPSUM,
    (Kind.GYPSUM_RATE, "meq/100g"): 5.0,
    (Kind.GYPSUM_RATE, "cmol_c/kg"): 5.0,
    (Kind.EXCHANGE_CAPACITY, "cmol_c/kg"): 10.0,
    (Kind.EXCHANGE_CAPACITY, "meq/100 g"): 10.0,
    (Kind.EXCHANGE_CAPACITY, "mmol_c/kg"): 1.0,
    (Kind.CHARGE_CONCENTRATION, "meq/L"): 1.0,
    (Kind.CHARGE_CONCENTRATION, "mmol_c/L"): 1.0,
    (Kind.CONCENTRATION, "mmol/L"): 1.0,
    (Kind.CONCENTRATION, "mol/m³"): 1.0,
    (Kind.CONDUCTIVITY, "dS/m"): 1.0,
    (Kind.CONDUCTIVITY, "mS/cm"): 1.0,
    (Kind.CONDUCTIVITY, "µS/cm"): 1e-3,
    (Kind.DEPTH, "mm"): 1.0,
    (Kind.DEPTH, "cm"): 10.0,
    (Kind.DEPTH, "in"): 25.4,
    (Kind.DEPTH, "ft"): 304.8,
    (Kind.WATER, "pore_volume"): 0.26,
    (Kind.WATER, "mm"): 1.0 / _SOIL,
    (Kind.WATER, "in"): 25.4 / _SOIL,
    (Kind.WATER, "mL"): 0.001 / 0.1,
    (Kind.WATER, "mL/g"): 1.0,
    (Kind.WATER, "L/kg"): 1.0,
    (Kind.BULK_DENSITY, "g/cm³"): 1.0,
    (Kind.BULK_DENSITY, "kg/m^3"): 1e-3,
    (Kind.TIME, "d"): 24.0,
    (Kind.TIME, "min"): 1 / 60,
    (Kind.MASS, "lb"): _LB,
    (Kind.VOLUME, "US gal"): 3.785411784,
}


def check_known(given: tuple[str, tuple[Kind, str]]) -> bool:
    """A number in a unit whose size is known from elsewhere: read as exactly that."""
    number, (kind, unit) = given
    try:
        value = read(f"{number} {unit}", kind, name="fuzzed", ground=GROUND)
    except UnitKindError as refusal:
        refused_well(refusal)
        return False
    assert math.isclose(value, float(number) * KNOWN[kind, unit], rel_tol=2e-7), (
        f"{number} {unit} = {value!r}"
    )
    return True


def _table(raw: bytes, read_it: Callable[[Path], Mapping[str, object]]) -> Mapping[str, object] | None:
    _FILE.write_bytes(raw)
    try:
        return read_it(_FILE)
    except SoilxError as refusal:
        refused_well(refusal)
        assert _FILE.read_bytes() == raw
        return None


def check_soils(raw: bytes) -> bool:
    """A table of soils: finite, and written it is read as the same soils."""
    found = _table(raw, read_soils)
    if found is None:
        return False
    all_finite(dict(found))
    text = soils_to_csv(found.values())  # type: ignore[arg-type]
    _FILE.write_text(text, encoding="utf-8", newline="")
    again = read_soils(_FILE)
    assert list(again) == list(found)
    for name, soil in found.items():
        alike(soil, again[name])
    return True


def check_waters(raw: bytes) -> bool:
    """A table of waters: finite and neutral."""
    found = _table(raw, read_waters)
    if found is None:
        return False
    all_finite(dict(found))
    return True


def check_reports(raw: bytes) -> bool:
    """A table of reports: finite, and its column of soil is made or refused."""
    found = _table(raw, read_reports)
    if found is None:
        return False
    for report in found.values():
        all_finite(report)
        for ask in (lambda report: report.soil, lambda report: report.gaps, lambda report: report.checks):
            try:
                all_finite(ask(report))
            except SoilxError as refusal:
                refused_well(refusal)
    return True


def check_products(raw: bytes) -> bool:
    """A table of products: finite, with no more in a product than there can be."""
    found = _table(raw, read_products)
    if found is None:
        return False
    all_finite(dict(found))
    assert all(0 < product.purity <= 1 for product in found.values() if hasattr(product, "purity"))
    return True


def check_climates(raw: bytes) -> bool:
    """A table of climates: finite."""
    found = _table(raw, read_climates)
    if found is None:
        return False
    all_finite(dict(found))
    return True


def check_scenario(raw: bytes) -> bool:
    """A scenario file: finite, and written it is read as an equal scenario."""
    _FILE.write_bytes(raw)
    try:
        scenario = soilx.read_scenario(_FILE)
    except SoilxError as refusal:
        refused_well(refusal)
        return False
    # Gypsum in equilibrium dissolves at an infinite rate: the one infinity that is meant.
    all_finite(
        [
            getattr(scenario, field.name)
            for field in dataclasses.fields(scenario)
            if field.name != "dissolution_rate"
        ]
    )
    assert not math.isnan(scenario.dissolution_rate)
    assert scenario_from_toml(scenario_to_toml(scenario)) == scenario
    return True


def check_decision(raw: bytes) -> bool:
    """A decision file: written it is read as an equal decision."""
    _FILE.write_bytes(raw)
    try:
        decision = read_decision(_FILE)
    except SoilxError as refusal:
        refused_well(refusal)
        return False
    assert decision_from_toml(decision_to_toml(decision)) == decision
    return True


def check_leaching(raw: bytes) -> bool:
    """A scenario that was read, leached: refused, or every number finite and every balance closed."""
    _FILE.write_bytes(raw)
    try:
        run = soilx.leach(soilx.read_scenario(_FILE))
        summary = run.summary()
    except SoilxError as refusal:
        refused_well(refusal)
        return False
    all_finite(summary)
    assert all(abs(error) < CLOSING for error in summary["closing_error"].values())
    assert 0.0 <= summary["final_esp_pct"] <= 100.0 + 1e-9
    return True


def _within_limits(record: Record) -> None:
    limits = {field.key: (field.low, field.high) for field in COLUMN_FIELDS}
    named = {"sodium": "sodium_mg_per_l", "calcium": "calcium_mg_per_l", "sulfate": "sulfate_mg_per_l"}
    for arm in record.arms.values():
        for portion in arm.portions:
            assert 0.0 <= portion.volume_ml <= 100_000.0
            assert 1 <= portion.number <= 999
            for key, name in named.items():
                value = getattr(portion, name)
                assert value is None or limits[key][0] <= value <= limits[key][1]


def check_record(raw: bytes) -> bool:
    """A bench record: finite, within limits, every cell kept."""
    try:
        record = record_of_bytes(raw, name="fuzzed.csv")
    except SoilxError as refusal:
        refused_well(refusal)
        return False
    all_finite((record.arms, record.values, record.volume_error_ml))
    _within_limits(record)
    assert all(len(sentence) < 5000 for sentence in record.sentences)
    return True


def check_adding(given: tuple[bytes, dict[str, str]]) -> bool:
    """A portion added to a file: what was there stays byte for byte, what is new is read as it was typed."""
    raw, row = given
    _FILE.write_bytes(raw)
    try:
        before = record_of_bytes(raw, name="given.csv")
    except SoilxError:
        return False
    try:
        with_portion(raw, row, name="given.csv")
    except SoilxError as refusal:
        refused_well(refusal)
    try:
        after = add_portions(_FILE, [row])
    except SoilxError as refusal:
        refused_well(refusal)
        assert _FILE.read_bytes() == raw
        return False
    whole = _FILE.read_bytes()
    assert whole.startswith(raw)
    assert after.rows[: len(before.rows)] == before.rows
    assert record_of_bytes(whole, name="given.csv").rows == after.rows
    # A row of empty cells alone is a blank line, and nothing to be lost.
    cells = sorted(text.strip() for text in row.values() if text.strip())
    assert sorted(cell for cell in after.rows[-1] if cell) == cells
    return True


def check_changing(given: tuple[bytes, dict[str, str], int]) -> bool:
    """A portion changed in a file: it is read as it was typed, and no other line moves."""
    raw, row, which = given
    try:
        before = record_of_bytes(raw, name="given.csv")
    except SoilxError:
        return False
    table = [cells for cells in before.rows if any(cells) and not cells[0].startswith("#")]
    if len(table) < 2:
        return False
    header = ["_".join(cell.lower().split()) for cell in table[0]]
    old = table[1:][which % (len(table) - 1)]
    was = dict(zip(header, old, strict=False))
    _FILE.write_bytes(raw)
    for change in (with_change, None):
        try:
            if change is not None:
                change(raw, row, was, name="given.csv")
            else:
                after = change_portion(_FILE, row, was=was)
        except SoilxError as refusal:
            refused_well(refusal)
            if change is None:
                assert _FILE.read_bytes() == raw
                return False
    assert len(after.rows) == len(before.rows)
    moved = [at for at, pair in enumerate(zip(before.rows, after.rows, strict=True)) if pair[0] != pair[1]]
    assert len(moved) <= 1
    for at in moved:
        now = dict(zip(header, after.rows[at], strict=False))
        assert all(now.get(column, "") == text.strip() for column, text in row.items() if column in header)
    return True


def check_line(given: tuple[bytes, tuple[str, ...]]) -> bool:
    """A line put into a record: it is read as it was typed, and every portion stays."""
    raw, line = given
    try:
        before = record_of_bytes(raw, name="given.csv")
        whole = with_line(raw, line, name="given.csv")
        after = record_of_bytes(whole, name="given.csv")
    except SoilxError as refusal:
        refused_well(refusal)
        return False
    portions = [cells for cells in before.rows if any(cells) and not cells[0].startswith("#")]
    assert [cells for cells in after.rows if any(cells) and not cells[0].startswith("#")] == portions
    return True
