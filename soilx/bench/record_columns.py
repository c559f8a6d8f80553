"""What a bench record may hold: its columns, and the lines about soil, dose and instruments above them."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from soilx.chemistry.ions import CALCIUM, SODIUM, SULFATE, Ion
from soilx.column.fields import Field, by_key
from soilx.units import Kind

FIRST_LINE: Final = "# soilx bench record"
"""First cell of a record that was begun here; not needed to read one."""

ARMS: Final = (
    "control",
    "gypsum",
    "sodium chloride",
    "calcium chloride",
    "irrigation water",
    "gypsum, irrigation water",
    "blank",
    "gypsum blank",
)
"""Names of the arms as a plan gives them; a record may have others."""

MOST_ROWS: Final = 2000
"""A class's bench runs have some hundred portions."""


def _read(key: str, title: str, ion: Ion) -> Field:
    return Field(
        key=key,
        column=f"{key}_mg_per_l",
        title=f"{title} of the leachate",
        unit="mg/L",
        kind=Kind.MASS_CONCENTRATION,
        ion=ion,
        low=0.0,
        high=200_000.0,
    )


# fmt: off
COLUMN_FIELDS: Final[tuple[Field, ...]] = (
    Field(key="arm", column="arm", title="name of the arm"),
    Field(key="replicate", column="replicate", title="number of the column of this arm", kind=Kind.RATIO,
          low=1, high=99),
    Field(key="portion", column="portion", title="number of the portion", kind=Kind.RATIO, low=1, high=999),
    Field(key="added", column="added_ml", title="water poured on", unit="mL", kind=Kind.VOLUME,
          low=0.0, high=100_000.0),
    Field(key="volume", column="volume_ml", title="volume caught", unit="mL", kind=Kind.VOLUME,
          low=0.0, high=100_000.0),
    Field(key="mass", column="mass_g", title="mass caught, taken as 1 g/mL", unit="g", kind=Kind.MASS,
          low=0.0, high=100_000.0),
    Field(key="hours", column="time_h", title="time since the first water", unit="h", kind=Kind.TIME,
          low=0.0, high=10_000.0),
    Field(key="ec", column="ec_ds_per_m", title="conductivity as read", unit="dS/m", kind=Kind.CONDUCTIVITY,
          low=0.0, high=200.0),
    Field(key="temperature", column="ec_temperature_c", title="temperature of that reading", unit="degC",
          kind=Kind.TEMPERATURE, low=5.0, high=90.0),
    _read("sodium", "sodium", SODIUM), _read("calcium", "calcium", CALCIUM),
    _read("sulfate", "sulfate", SULFATE),
    Field(key="turbidity", column="turbidity_ntu", title="turbidity in NTU", kind=Kind.RATIO,
          low=0.0, high=100_000.0),
    Field(key="flags", column="flags", title="flags, with semicolons between them"),
    Field(key="note", column="note", title="anything else"),
)
# fmt: on
COLUMN: Final[Mapping[str, Field]] = MappingProxyType({field.column: field for field in COLUMN_FIELDS})
HEADER: Final = tuple(field.column for field in COLUMN_FIELDS if field.key != "mass")
"""The columns of a record begun here."""


def _word(key: str, title: str, *words: str) -> Field:
    return Field(key=key, column=key, title=title, words=words)


def _number(
    key: str, title: str, unit: str, kind: Kind, low: float, high: float, ion: Ion | None = None
) -> Field:
    return Field(key=key, column=key, title=title, unit=unit, kind=kind, ion=ion, low=low, high=high)


def _charge(key: str, title: str, ion: Ion) -> Field:
    return _number(key, title, "cmol_c/kg", Kind.EXCHANGE_CAPACITY, 0.0, 200.0, ion)


def _dissolved(key: str, title: str, ion: Ion) -> Field:
    return _number(key, title, "mmol/L", Kind.CONCENTRATION, 0.0, 3000.0, ion)


_IONS: Final = (("sodium", SODIUM), ("calcium", CALCIUM), ("sulfate", SULFATE))

# fmt: off
LINE_FIELDS: Final[tuple[Field, ...]] = (
    _word("soil", "name of the soil"),
    _word("date", "day of the first water"),
    _word("by", "who kept the record"),
    _word("water", "water poured on"),
    _word("product", "product as named on the bag"),
    _word("measured_with", "what sodium was read with", "kits", "laboratory"),
    _word("volumes_by", "how volumes were taken", "weight", "cylinder", "eye"),
    _word("sodium_read_on", "how leachate was treated before its sodium was read",
          "as caught", "settled", "filtered"),
    _word("ec_at_25", "whether the conductivity is at 25 °C as read", "yes", "no"),
    _number("soil_mass", "oven-dry soil in each column", "kg", Kind.MASS, 0.001, 1000.0),
    _number("opening", "width of the container's opening", "mm", Kind.DEPTH, 5.0, 2000.0),
    _number("depth", "depth treated in the field", "mm", Kind.DEPTH, 1.0, 5000.0),
    _number("bulk_density", "bulk density in the field", "kg/L", Kind.BULK_DENSITY, 0.2, 2.5),
    _number("initial_water", "water in the soil before the first portion", "L/kg", Kind.WATER_CONTENT,
            0.0, 3.0),
    _number("drained_water", "water the soil holds when drained", "L/kg", Kind.WATER_CONTENT, 0.01, 3.0),
    _number("saturation_percentage", "water of the saturated paste", "%", Kind.WATER_CONTENT, 5.0, 300.0),
    _charge("cation_exchange_capacity", "exchange capacity before the run", SODIUM),
    _number("purity", "gypsum in the dry product", "%", Kind.FRACTION, 1.0, 100.0),
    _number("moisture", "water in the product, of its wet mass", "%", Kind.FRACTION, 0.0, 90.0),
    _number("dose", "product put into a column", "g", Kind.MASS, 0.0, 100_000.0),
    _number("volume_error", "standard error of a volume", "mL", Kind.VOLUME, 0.0, 1000.0),
    _number("first_drip", "time of the first drip", "h", Kind.TIME, 0.0, 10_000.0),
    _number("stopped", "time at which the arm was stopped", "h", Kind.TIME, 0.0, 10_000.0),
    _number("water_left", "water in the soil after the run", "L/kg", Kind.WATER_CONTENT, 0.0, 3.0),
    *(_charge(f"exchangeable_{name}", f"exchangeable {name} before the run", ion) for name, ion in _IONS[:2]),
    *(_charge(f"exchangeable_{name}_after", f"exchangeable {name} after the run", ion)
      for name, ion in _IONS[:2]),
    *(_charge(f"soluble_{name}", f"{name} dissolved before, per soil", ion) for name, ion in _IONS),
    *(_dissolved(f"extract_{name}", f"{name} of the saturation extract before", ion) for name, ion in _IONS),
    *(_dissolved(f"water_{name}", f"{name} of the water poured on", ion) for name, ion in _IONS),
    *(_number(f"{name}_{part}_error", f"standard error of a reading of {name}, {words}", "%", Kind.FRACTION,
              0.0, 100.0)
      for name in ("ec", "sodium", "calcium", "sulfate", "turbidity")
      for part, words in (("reading", "each by itself"), ("calibration", "shared by all readings"))),
    *(_number(f"{name}_{end}", f"{end} {name} that the instrument reads", "mg/L", Kind.MASS_CONCENTRATION,
              0.0, 200_000.0, ion) for name, ion in _IONS for end in ("lowest", "highest")),
)
# fmt: on
LINE: Final[Mapping[str, Field]] = MappingProxyType(dict(by_key(LINE_FIELDS)))

#: Reading and calibration error of kits, relative, as makers state them; common practice, no source.
KIT_ERRORS: Final[Mapping[str, tuple[float, float]]] = MappingProxyType(
    {
        "ec": (0.02, 0.03),
        "sodium": (0.06, 0.08),
        "calcium": (0.08, 0.06),
        "sulfate": (0.10, 0.10),
        "turbidity": (0.15, 0.15),
    }
)
#: The same for a laboratory.
LABORATORY_ERRORS: Final[Mapping[str, tuple[float, float]]] = MappingProxyType(
    {
        "ec": (0.01, 0.01),
        "sodium": (0.015, 0.015),
        "calcium": (0.015, 0.015),
        "sulfate": (0.02, 0.02),
        "turbidity": (0.05, 0.05),
    }
)
#: Standard error of one volume by how it was taken [mL]; common practice, no published source.
VOLUME_ERRORS_ML: Final[Mapping[str, float]] = MappingProxyType({"weight": 0.2, "cylinder": 1.0, "eye": 5.0})
