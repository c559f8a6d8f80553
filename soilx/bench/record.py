"""A bench record: what was caught from every arm, and what is known of soil and instruments.

Nothing here reads or writes files: `soilx.bench.record_reading` and `soilx.bench.record_writing` do.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from soilx.bench.measured import Instrument, Measured
from soilx.bench.record_problem import Problem, told
from soilx.errors import FileError, LimitError

TURBID: Final = "turbid"
NO_LEACHATE: Final = "no leachate"
BELOW_RANGE: Final = "below range"
ABOVE_RANGE: Final = "above range"

QUANTITIES: Final = ("ec", "sodium", "calcium", "sulfate", "turbidity")
"""What an instrument may read of a portion; the words in front of a flag such as "sodium above range"."""

FLAGS: Final = (
    TURBID,
    NO_LEACHATE,
    *(f"{quantity} {range_}" for range_ in (BELOW_RANGE, ABOVE_RANGE) for quantity in QUANTITIES),
)
"""Every flag a portion may carry."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Portion:
    """One portion caught from one column.

    Attributes
    ----------
    number : int
        Counted from 1 as the water was poured.
    volume_ml : float
        Leachate caught; 0 where nothing dripped.
    hours : float or None
        From the first water to the end of the portion.
    added_ml : float or None
        Water poured on for this portion.
    electrical_conductivity : float or None
        At 25 °C [dS/m].
    sodium_mg_per_l, calcium_mg_per_l, sulfate_mg_per_l, turbidity_ntu : float or None
        As read. Where a flag says "above range" the value is the upper end of the range, where it says "below
        range" the lower end: a limit, not a reading.
    flags : tuple of str
        Of `FLAGS`.
    row : int or None
        Where it stands in its file, counted from 1 as a spreadsheet does.
    """

    number: int
    volume_ml: float
    hours: float | None = None
    added_ml: float | None = None
    electrical_conductivity: float | None = None
    sodium_mg_per_l: float | None = None
    calcium_mg_per_l: float | None = None
    sulfate_mg_per_l: float | None = None
    turbidity_ntu: float | None = None
    flags: tuple[str, ...] = ()
    row: int | None = None

    def reading(self, quantity: str) -> float | None:
        """What was read of one of `QUANTITIES`, in the unit of its field; None if nothing was."""
        by_quantity = {
            "ec": self.electrical_conductivity,
            "sodium": self.sodium_mg_per_l,
            "calcium": self.calcium_mg_per_l,
            "sulfate": self.sulfate_mg_per_l,
            "turbidity": self.turbidity_ntu,
        }
        return by_quantity[quantity]

    def is_below_range(self, quantity: str) -> bool:
        """True where only an upper limit of the quantity is known."""
        return f"{quantity} {BELOW_RANGE}" in self.flags

    def is_above_range(self, quantity: str) -> bool:
        """True where only a lower limit of the quantity is known."""
        return f"{quantity} {ABOVE_RANGE}" in self.flags

    @property
    def is_turbid(self) -> bool:
        """True where the portion was flagged turbid, or its turbidity is beyond what a probe should meet."""
        return TURBID in self.flags or (self.turbidity_ntu or 0.0) >= TURBID_NTU


TURBID_NTU: Final = 100.0
"""From here on a portion is settled or filtered before its sodium is read; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ArmRecord:
    """All portions of one arm.

    Attributes
    ----------
    name : str
        Such as "gypsum" or "control".
    replicates : mapping of int to tuple of Portion
        Portions of each column, in the order in which the water was poured.
    """

    name: str
    replicates: Mapping[int, tuple[Portion, ...]]

    @property
    def portions(self) -> tuple[Portion, ...]:
        """Portions of all replicates, one replicate after the other."""
        return tuple(portion for portions in self.replicates.values() for portion in portions)


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """One bench run as it was written down.

    Attributes
    ----------
    name : str
        Name of its file, or of the grid it was typed into.
    arms : mapping of str to ArmRecord
        By arm, in the order of first mention.
    words : mapping of str to str
        What is said in words: `soil`, `water`, `product`, `volumes_by`, ...
    values : mapping of (str, str, int) to Measured
        What is known in numbers, by key, arm and replicate; arm "" and replicate 0 mean all of them.
    instruments : mapping of str to Instrument
        By quantity; common practice where the record is silent.
    volume_error_ml : float
        Standard error of each volume.
    problems : tuple of Problem
        What could not be used as it stands; each cell and row of it is still in `rows`.
    notes : tuple of str
        What was taken for granted, or should be known when the record is read.
    rows : tuple of tuple of str
        Every row of the file, cell by cell, as it was typed, comments and headers included.
    digest : str
        Of the file's bytes: whether it is still the same when it is written again.
    """

    name: str
    arms: Mapping[str, ArmRecord]
    words: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[tuple[str, str, int], Measured] = field(default_factory=dict)
    instruments: Mapping[str, Instrument] = field(default_factory=dict)
    volume_error_ml: float = 0.0
    problems: tuple[Problem, ...] = ()
    notes: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    digest: str = ""

    def known(self, key: str, *, arm: str = "", replicate: int = 0) -> Measured | None:
        """What the record says of a key: of the replicate, else of its arm, else of the whole run.

        Parameters
        ----------
        key : str
            Such as "exchangeable_sodium_after".
        arm : str
            Empty for the whole run.
        replicate : int
            0 for all of them.

        Returns
        -------
        Measured or None
            In the internal unit of the key; None where the record is silent.
        """
        for which in ((key, arm, replicate), (key, arm, 0), (key, "", 0)):
            if which in self.values:
                return self.values[which]
        return None

    def needed(self, key: str, *, arm: str = "", replicate: int = 0, why: str) -> Measured:
        """The same, refused where the record is silent.

        Raises
        ------
        LimitError
            It says what to write, and where.
        """
        found = self.known(key, arm=arm, replicate=replicate)
        if found is None:
            raise LimitError(
                f"{key} of record {self.name}: is not in it; {why}; write a line such as "
                f'"# {key},value with its unit,error" above the table.'
            )
        return found

    @property
    def soil_mass(self) -> float:
        """Oven-dry soil in each column [kg]."""
        return self.needed("soil_mass", why="every amount is told per kilogram of oven-dry soil").value

    def arm(self, name: str) -> ArmRecord:
        """One arm by its name.

        Raises
        ------
        FileError
            If there is no such arm; the message lists those there are.
        """
        if name not in self.arms:
            listed = ", ".join(f'"{known}"' for known in self.arms) or "none"
            raise FileError(
                f"{self.name}, arm {name}: is not in the record; the arms are {listed}; write one of these."
            )
        return self.arms[name]

    @property
    def sentences(self) -> tuple[str, ...]:
        """The problems, one sentence for each kind: the first is told, the others are counted."""
        return told(self.problems)
