"""What is refused, and how it is said.

Every refusal is one sentence in one grammar::

    name = value unit: what is wrong; the limit and whose it is; what to do.

The family, so that a caller can catch as narrowly as the case asks::

    ValueError
    └── SoilxError              anything soilx refuses
        ├── UnitKindError       no unit, a unit of another kind, or text that is not a quantity
        ├── LimitError          a value outside a limit
        ├── ModelRangeError     a state outside the range in which the model holds
        ├── FileError           a file that cannot be read as what it should be
        ├── ConvergenceError    a solver that did not close
        └── TargetError         a target that nothing on offer reaches
"""

from __future__ import annotations

import math
from typing import NoReturn

#: What was given is quoted up to this many characters: enough to recognise it.
QUOTED_CHARACTERS = 60


class SoilxError(ValueError):
    """Anything soilx refuses; the message says what is wrong, whose limit it is and what to do."""


class UnitKindError(SoilxError):
    """A quantity arrived without a unit, in a unit of another kind, or as text that is not a quantity."""


class LimitError(SoilxError):
    """A value lies outside a limit of the world, of a report or of a definition."""


class ModelRangeError(SoilxError):
    """A state lies outside the range in which the model holds."""


class FileError(SoilxError):
    """A file, row or column cannot be read; the message names file, row, column, value, limit and remedy."""


class ConvergenceError(SoilxError):
    """A solver did not reach its stated tolerance."""


class TargetError(SoilxError):
    """No dose, water or time on offer reaches the target."""


def quoted(value: object) -> str:
    """The value as an error shows it: on one line, printable, and no longer than a reader needs.

    Parameters
    ----------
    value : object
        What was given. Floats are shown with up to six significant digits, text without control characters.

    Returns
    -------
    str
        At most `QUOTED_CHARACTERS` characters and an ellipsis.
    """
    if isinstance(value, bool):
        return str(value)
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, str):
        # Only the head is touched, so that a huge paste costs no more than a short one.
        head = value[: 4 * QUOTED_CHARACTERS]
        cut = len(value) > len(head)
    else:
        head = str(value)
        cut = False
    text = " ".join("".join(c if c.isprintable() else " " for c in head).split())
    if not text:
        return "(empty)"
    if len(text) > QUOTED_CHARACTERS or cut:
        return text[:QUOTED_CHARACTERS].rstrip() + "…"
    return text


def refuse(
    name: str,
    value: object,
    unit: str,
    *,
    wrong: str,
    limit: str,
    remedy: str,
    error: type[SoilxError] = LimitError,
) -> NoReturn:
    """Raise one refusal in the project's grammar.

    Parameters
    ----------
    name : str
        What the value was given for, in the words on the screen or in the file.
    value : object
        What was given.
    unit : str
        Its unit; empty where there is none.
    wrong, limit, remedy : str
        What is wrong, the limit and whose it is, and what to do. An empty limit is left out.
    error : type of SoilxError
        The member of the family to raise.

    Raises
    ------
    SoilxError
        Always; of the type given by `error`.
    """
    given = f"{name} = {quoted(value)} {unit}".rstrip()
    parts = [part.strip().rstrip(".;") for part in (wrong, limit, remedy)]
    raise error(f"{given}: {'; '.join(part for part in parts if part)}.")


def require(
    name: str,
    value: float,
    unit: str,
    *,
    low: float | None = None,
    high: float | None = None,
    low_open: bool = False,
    whose: str,
    remedy: str,
) -> float:
    """The value as a float, once it is known to be finite and within its limits.

    Parameters
    ----------
    name : str
        What the value was given for.
    value : float
        The value [unit].
    unit : str
        Its unit, as shown in a refusal.
    low, high : float, optional
        Limits, both included [unit].
    low_open : bool
        The lower limit itself is refused too.
    whose : str
        Whose limit it is, such as "an oven-dry soil" or "the Davies equation".
    remedy : str
        What to do when it is refused.

    Returns
    -------
    float
        The value, unchanged: nothing is clipped.

    Raises
    ------
    LimitError
        The value is not a finite number, or lies outside a limit.
    """
    try:
        number = float(value)
    except (TypeError, ValueError, OverflowError):
        refuse(name, value, unit, wrong="is not a number", limit=f"{whose} asks for one", remedy=remedy)
    if not math.isfinite(number):
        refuse(
            name,
            number,
            unit,
            wrong="is not finite",
            limit=f"{whose} asks for a finite number",
            remedy=remedy,
        )
    if low is not None and (number <= low if low_open else number < low):
        bound = f"the limit is {'more than' if low_open else 'at least'} {low:g} {unit}".rstrip()
        refuse(name, number, unit, wrong="is too low", limit=f"{bound} ({whose})", remedy=remedy)
    if high is not None and number > high:
        bound = f"the limit is at most {high:g} {unit}".rstrip()
        refuse(name, number, unit, wrong="is too high", limit=f"{bound} ({whose})", remedy=remedy)
    return number
