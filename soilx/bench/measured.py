"""A value with its error, and the errors of the instruments it comes from."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A value with its standard error.

    Attributes
    ----------
    value, error : float
        In the internal unit of what is measured; the error is one standard deviation.
    text : str
        As it was typed.
    stated : bool
        False where no error was typed: `error` is then 0 and whoever uses it has to say so.
    """

    value: float
    error: float = 0.0
    text: str = ""
    stated: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """How far the readings of one instrument can be trusted.

    Attributes
    ----------
    quantity : str
        One of `soilx.bench.record.QUANTITIES`.
    reading_error : float
        Standard error of each reading by itself, relative.
    calibration_error : float
        Standard error that all readings of the run share, relative.
    lowest, highest : float or None
        Range of the instrument, in the unit of the portion's field.
    typed : bool
        False where the errors are common practice.
    """

    quantity: str
    reading_error: float
    calibration_error: float
    lowest: float | None = None
    highest: float | None = None
    typed: bool = True

    @property
    def error(self) -> float:
        """Standard error of one reading in all, relative."""
        return float((self.reading_error**2 + self.calibration_error**2) ** 0.5)
