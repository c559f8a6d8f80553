"""Values exactly as a source prints them: numbers, bands, words, tables; and how far off another is."""

import math
import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Final

Value = float | str | tuple[float, float]
"""A number, a word, or a band (low, high)."""

_BAND: Final = re.compile(r"(?P<low>\S+)–(?P<high>\S+)")


def parse_printed(text: str) -> Value:
    """The number, band ("14.7–18.2") or word that a source prints.

    Parameters
    ----------
    text : str
        Exactly as printed.
    """
    band = _BAND.fullmatch(text)
    try:
        return (float(band["low"]), float(band["high"])) if band else float(text)
    except ValueError:
        return text


def half_last_digit(text: str) -> float:
    """Half the last printed digit; of the coarser end where a band is printed, 0 for a word.

    Parameters
    ----------
    text : str
        Exactly as printed.
    """
    value = parse_printed(text)
    if isinstance(value, str):
        return 0.0
    ends = text.split("–") if isinstance(value, tuple) else [text]
    return max(0.5 * 10.0 ** int(Decimal(end).as_tuple().exponent) for end in ends)


def share_of(printed: Mapping[str, str], share: float) -> dict[str, float]:
    """Tolerances of a table that are a share of each printed number.

    Parameters
    ----------
    printed : mapping of str
        Entries as printed.
    share : float
        Tolerance per printed number [fraction].
    """
    return {name: share * abs(float(text)) for name, text in printed.items()}


def table(text: str) -> dict[str, str]:
    """Entries of a printed table, named "column row".

    Parameters
    ----------
    text : str
        Rows of cells parted by blanks; the first row titles the columns, the first cell of a row is its
        title. "–" stands where nothing is printed.
    """
    (_, *columns), *rows = (line.split() for line in text.strip().splitlines())
    return {
        f"{column} {row}": cell
        for row, *cells in rows
        for column, cell in zip(columns, cells, strict=True)
        if cell != "–"
    }


def difference(printed: Value, computed: float | str) -> float:
    """Computed minus printed; outside a band, the distance to its nearer end; for words 0 or infinity.

    Parameters
    ----------
    printed : float, str or tuple
        As `parse_printed` gives it.
    computed : float or str
        What soilx gives.
    """
    if isinstance(printed, str) or isinstance(computed, str):
        return 0.0 if printed == computed else math.inf
    if isinstance(printed, tuple):
        low, high = printed
        return computed - min(max(computed, low), high)
    return computed - printed


def signed(value: float, form: str) -> str:
    """A difference with its sign; none where it rounds to nothing.

    Parameters
    ----------
    value : float
        Any, not finite too.
    form : str
        A format of numbers, without sign.
    """
    shown = f"{abs(value):{form}}"
    if not value or (math.isfinite(value) and float(shown) == 0):
        return shown
    return f"−{shown}" if value < 0 else f"+{shown}"
