"""What the leachate of one bench column carried out, with the errors of its readings."""

from typing import Final

from soilx.bench.record import Portion, Record
from soilx.bench.uncertain import Uncertain, total
from soilx.chemistry.ions import CALCIUM, SODIUM, SULFATE

ELEMENTS: Final = {"sodium": SODIUM, "calcium": CALCIUM, "sulfate": SULFATE}
"""What a budget can be made of."""

BLANK: Final = "blank"

TURBID_FACTOR: Final = 2.0
"""How much wider a reading is that met turbid leachate as it was caught; common practice, no source."""


def per_litre(record: Record, portion: Portion, element: str, column: str) -> Uncertain | None:
    """Concentration of a portion with reading and calibration error apart [mmol/L].

    Parameters
    ----------
    record : Record
    portion : Portion
    element : str
    column : str
        Name of the column, under which its readings' errors go.
    """
    read = portion.reading(element)
    ion = ELEMENTS[element]
    if read is None:
        return None
    source = f"{element} of {column}, portion {portion.number}"
    if portion.is_below_range(element):
        # anything from nothing to the lower end is as likely
        return Uncertain.of(read / 2.0 / ion.molar_mass, read / 12**0.5 / ion.molar_mass, source)
    instrument = record.instruments[element]
    strength = read / ion.molar_mass
    wider = TURBID_FACTOR if met_turbid(record, portion) else 1.0
    return Uncertain(
        strength,
        {
            source: strength * instrument.reading_error * wider,
            f"{element} calibration": strength * instrument.calibration_error,
        },
    )


def met_turbid(record: Record, portion: Portion) -> bool:
    """True where a probe met turbid leachate as it was caught, or nobody said that it did not."""
    return portion.is_turbid and record.words.get("sodium_read_on", "as caught") == "as caught"


def leached(
    record: Record, arm: str, replicate: int, element: str
) -> tuple[Uncertain | None, list[str], bool]:
    """Element in all portions of a column, the blank taken off.

    Parameters
    ----------
    record : Record
    arm, replicate
        Which column.
    element : str
        Key of `ELEMENTS`.

    Returns
    -------
    tuple
        Amount [mmol], None where no portion was read; what has to be said; whether the amount is only a lower
        bound, a portion being above range or not read.
    """
    portions = record.arm(arm).replicates[replicate]
    out, said, at_least = _sum(record, f"{arm} {replicate}", portions, element)
    if out is None:
        return None, said, at_least
    if element == "sodium" and any(met_turbid(record, portion) for portion in portions):
        said.append(
            f"{arm} {replicate}: turbid leachate went straight onto the sodium probe, or nobody wrote that "
            f"it did not; its reading error is taken {TURBID_FACTOR:g} times as large (common practice); let "
            "it "
            'settle or filter it, and write "# sodium_read_on,settled".'
        )
    blanks = record.arms.get(BLANK)
    if blanks is not None and arm != BLANK:
        # what paper or sand gives off by itself, the same from each container
        sums = [
            _sum(record, f"{BLANK} {number}", each, element)[0] for number, each in blanks.replicates.items()
        ]
        known = [each for each in sums if each is not None]
        if known:
            out = out - total(known) / len(known)
            said.append(f"{element} of the blank was taken off.")
    return out, said, at_least


def _sum(
    record: Record, column: str, portions: tuple[Portion, ...], element: str
) -> tuple[Uncertain | None, list[str], bool]:
    caught: list[Uncertain] = []
    said: list[str] = []
    unread: list[str] = []
    above = False
    for portion in portions:
        if portion.volume_ml == 0:
            continue
        strength = per_litre(record, portion, element, column)
        if strength is None:
            unread.append(str(portion.number))
            continue
        caught.append(strength * _volume(record, portion, column))
        if portion.is_above_range(element):
            above = True
            said.append(
                f"{element} of portion {portion.number} of {column} is above the range of the instrument: "
                "the sum is at least this much; dilute such a portion tenfold and read it again."
            )
    if unread and not caught:
        return None, said, True
    if unread:
        said.append(
            f"{element} of portion {', '.join(unread)} of {column} was not read: the sum is at least "
            "this much."
        )
    return total(caught), said, above or bool(unread)


def _volume(record: Record, portion: Portion, column: str) -> Uncertain:
    source = f"volume of {column}, portion {portion.number}"
    return Uncertain.of(portion.volume_ml, record.volume_error_ml, source) / 1000.0
