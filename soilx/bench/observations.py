"""What a bench run says to a fit: readings with their errors, and the column that each was caught from."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import sqrt
from types import MappingProxyType
from typing import Final

from soilx.bench.fit_columns import BenchColumn, bench_columns
from soilx.bench.record import Portion, Record
from soilx.bench.record_columns import KIT_ERRORS
from soilx.column.fields import listed
from soilx.column.soil import Soil
from soilx.column.water import Water
from soilx.errors import LimitError, require

FITTED_QUANTITIES: Final = ("sodium", "calcium", "ec")
UNITS: Final[Mapping[str, str]] = MappingProxyType({"sodium": "mg/L", "calcium": "mg/L", "ec": "dS/m"})

#: Standard error of a reading near nothing, by instrument [unit of the reading]; common practice, no source.
FLOORS: Final[Mapping[str, Mapping[str, float]]] = MappingProxyType(
    {
        "kits": MappingProxyType({"sodium": 1.0, "calcium": 2.0, "ec": 0.01}),
        "laboratory": MappingProxyType({"sodium": 0.1, "calcium": 0.1, "ec": 0.002}),
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """One reading of one portion.

    Attributes
    ----------
    arm, replicate, portion : str, int, int
        Which cup.
    quantity : str
        Of `FITTED_QUANTITIES`.
    value : float
        As read, or the end of the instrument's range [mg/L, or dS/m at 25 °C].
    error : float
        Standard error of the reading by itself, relative.
    floor : float
        Standard error near nothing: the last figure written down, and what the instrument sees of clean water
        [unit of the value].
    limit : str
        "" for a reading, "below" where the truth is at most the value, "above" where it is at least that.
    column, cup : int
        Place of the column in `Observations.columns`, and of the portion among its dripping ones.
    """

    arm: str
    replicate: int
    portion: int
    quantity: str
    value: float
    error: float
    floor: float
    limit: str
    column: int
    cup: int

    @property
    def standard_error(self) -> float:
        """Of the reading by itself, both parts together [unit of the value]."""
        return sqrt((self.error * self.value) ** 2 + self.floor**2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Observations:
    """All that a fit goes by.

    Attributes
    ----------
    soil : Soil
        The soil in the columns, before the fit.
    columns : tuple of BenchColumn
        Columns that dripped, each with the scenario that runs it.
    readings : tuple of Observation
    calibration : mapping of str to float
        By quantity: standard error that all its readings share, relative.
    left_out : tuple of str
        What was recorded and is not used, each with the reason.
    notes : tuple of str
        What was taken for granted.
    """

    soil: Soil
    columns: tuple[BenchColumn, ...]
    readings: tuple[Observation, ...]
    calibration: Mapping[str, float]
    left_out: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def quantities(self) -> tuple[str, ...]:
        """Quantities read, in the order of `FITTED_QUANTITIES`."""
        return tuple(name for name in FITTED_QUANTITIES if any(r.quantity == name for r in self.readings))

    def only(self, *quantities: str) -> "Observations":
        """The same run as if only these quantities had been read.

        Raises
        ------
        LimitError
            If a quantity is not one that a fit uses.
        """
        unknown = [name for name in quantities if name not in FITTED_QUANTITIES]
        if unknown or not quantities:
            raise LimitError(
                f"quantities = {', '.join(quantities) or 'none'}: are not all known; the limit is ours: "
                f"{listed(FITTED_QUANTITIES)}; name some of these."
            )
        kept = tuple(reading for reading in self.readings if reading.quantity in quantities)
        return replace(self, readings=kept)


def observe(
    record: Record, soil: Soil, *, waters: Mapping[str, Water] | None = None, layers: int | None = None
) -> Observations:
    """Observations of a bench record, for a soil as it was before the run.

    Parameters
    ----------
    record : Record
        Its own water contents, dose, purity and moisture are taken; soil mass has to be in it.
    soil : Soil
        From its report.
    waters : mapping of str to Water, optional
        By arm, for arms that got another water than the record's words say.
    layers : int, optional
        Of the column that is run; the usual number unless given.

    Returns
    -------
    Observations

    Raises
    ------
    LimitError
        If the record lacks what every column needs, or an instrument is said to make no error.

    Notes
    -----
    The measured volumes are not fitted: they say which part of the outflow each cup holds, and the column is
    given as much water as it gave, with what it took to fill up first. Sodium of a turbid portion is used
    only where the record says that it was settled or filtered before it was read.
    """
    columns, left_out, notes = bench_columns(record, soil, waters=waters or {}, layers=layers)
    measured_with = record.words.get("measured_with", "kits")
    floors = FLOORS.get(measured_with, FLOORS["kits"])
    readings: list[Observation] = []
    for number, column in enumerate(columns):
        for cup, portion in enumerate(column.portions):
            for quantity in FITTED_QUANTITIES:
                value = portion.reading(quantity)
                if value is None:
                    continue
                why = _doubt(record, portion, quantity)
                if why:
                    left_out.append(f"{quantity} of {column.name}, portion {portion.number}: {why}.")
                    continue
                readings.append(
                    Observation(
                        arm=column.arm,
                        replicate=column.replicate,
                        portion=portion.number,
                        quantity=quantity,
                        value=value,
                        error=_errors(record, quantity)[0],
                        floor=sqrt(floors[quantity] ** 2 + rounding_error(value) ** 2),
                        limit=_limit(portion, quantity),
                        column=number,
                        cup=cup,
                    )
                )
    read = {reading.quantity for reading in readings}
    if read:
        notes.append(
            "near nothing a reading is held to be good to "
            + ", ".join(f"{floors[q]:g} {UNITS[q]} for {q}" for q in FITTED_QUANTITIES if q in read)
            + " (common practice)."
        )
    return Observations(
        soil=soil,
        columns=tuple(columns),
        readings=tuple(readings),
        calibration={q: _errors(record, q)[1] for q in FITTED_QUANTITIES if q in read},
        left_out=tuple(left_out),
        notes=tuple(notes),
    )


def rounding_error(value: float) -> float:
    """Standard error from writing a value with so many figures: its last place over √12.

    Notes
    -----
    Of the shortest text of the number: of 26 the ones, of 0.12 the hundredths. A zero written at the end, as
    in 1.20, is not seen, and the error then is too large rather than too small.
    """
    text = repr(float(value)).partition("e")[0]
    digits = len(text.partition(".")[2]) if not text.endswith(".0") else 0
    exponent = int(repr(float(value)).partition("e")[2] or 0)
    return 10.0 ** (exponent - digits) / sqrt(12.0)


def _limit(portion: Portion, quantity: str) -> str:
    if portion.is_below_range(quantity):
        return "below"
    return "above" if portion.is_above_range(quantity) else ""


def _doubt(record: Record, portion: Portion, quantity: str) -> str:
    """Why a reading is not used; empty where it is."""
    cleared = record.words.get("sodium_read_on") in ("settled", "filtered")
    if quantity != "ec" and portion.is_turbid and not cleared:
        return "the portion is turbid, and the record does not say that it was settled or filtered before"
    return ""


def _errors(record: Record, quantity: str) -> tuple[float, float]:
    """Reading and calibration error, relative."""
    if quantity not in record.instruments:
        return KIT_ERRORS[quantity]
    instrument = record.instruments[quantity]
    require(
        f"{quantity}_reading_error of record {record.name}",
        100 * instrument.reading_error,
        "%",
        low=0.0,
        low_open=True,
        high=100.0,
        whose="a reading: none is exact, and it weighs by its error",
        remedy="write what the maker says, or leave the line out",
    )
    return instrument.reading_error, instrument.calibration_error
