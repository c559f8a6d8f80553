"""What a soil or a water may be given as: one table for text, scenario files and CSV columns alike."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from typing import Final

from soilx.chemistry.ions import Ion
from soilx.errors import FileError, LimitError, UnitKindError, refuse
from soilx.units import Kind, Quantity, as_text, express, read

Given = str | Quantity
"""What a public constructor accepts: text with its unit, or a quantity."""

Typed = tuple[tuple[str, str], ...]
"""Names and texts as they were typed; whatever was built from them can be built again, digit for digit."""

COMMON_PRACTICE: Final = "common practice, no published source"


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One thing that can be said of a soil or a water.

    Attributes
    ----------
    key : str
        Its name in a constructor and in a scenario file.
    column : str
        Its header in a CSV file, with the unit.
    title : str
        What it is, in words.
    unit : str
        Unit of the CSV column and of the limits; empty for ratios and words.
    kind : Kind or None
        What kind of quantity it is; None for words.
    ion : Ion or None
        The ion it is about, by which charge turns into amount.
    low, high : float or None
        Limits, included [unit].
    words : tuple of str
        The words it may be; empty where it is a quantity.
    needed_by, allowed_in : frozenset of str
        Origins that ask for it, and origins that may have it.
    """

    key: str
    column: str
    title: str
    unit: str = ""
    kind: Kind | None = None
    ion: Ion | None = None
    low: float | None = None
    high: float | None = None
    words: tuple[str, ...] = ()
    needed_by: frozenset[str] = frozenset()
    allowed_in: frozenset[str] = frozenset()

    @property
    def is_number(self) -> bool:
        """True where a CSV cell holds a number."""
        return self.kind is not None


def typed_text(given: object, *, name: str = "value", plain: bool = False) -> str:
    """Text that reads back as exactly what was given.

    Parameters
    ----------
    given : str or Quantity
        As handed to a constructor.
    name : str
        What it was given for, for a refusal.
    plain : bool
        Whether a bare number has a meaning here, as counts and fractions have.

    Returns
    -------
    str
        Text without surrounding blanks; a quantity as its shortest exact number and its unit.

    Raises
    ------
    UnitKindError
        If it is neither text nor a quantity.
    """
    if isinstance(given, str):
        return given.strip()
    if isinstance(given, Quantity):
        return as_text(given)
    if plain and isinstance(given, int | float) and not isinstance(given, bool):
        return repr(given)
    wrong = (
        "is a number without a unit" if isinstance(given, int | float) else "is neither text nor a quantity"
    )
    raise UnitKindError(
        f"{name} = {given!r}: {wrong}; the limit is ours, since bare numbers have misled before; "
        'write text such as "7.05 t/ha", or soilx.quantity(7.05, "t/ha").'
    )


def _kind_of(field: Field) -> Kind:
    if field.kind is None:
        raise UnitKindError(
            f"{field.key}: is told in words; the limit is the table of fields; read it with read_word."
        )
    return field.kind


@lru_cache(maxsize=512)
def _internal_limit(field: Field, bound: float) -> float:
    return read(f"{bound!r} {field.unit}", _kind_of(field), name=field.key, ion=field.ion)


def read_field(field: Field, text: str) -> float:
    """Value of one field in internal units, once it lies within the field's limits.

    Parameters
    ----------
    field : Field
        What is read.
    text : str
        As typed, with its unit.

    Returns
    -------
    float
        In the internal unit of the field's kind.

    Raises
    ------
    UnitKindError
        If the text has no unit, or one of another kind.
    LimitError
        If the value lies outside the field's limits.
    """
    kind = _kind_of(field)
    value = read(text, kind, name=field.key, ion=field.ion)
    if field.low is None or field.high is None:
        return value
    if not _internal_limit(field, field.low) <= value <= _internal_limit(field, field.high):
        limits = f"{field.low:g} to {field.high:g} {field.unit}".rstrip()
        refuse(
            field.key,
            express(value, kind, field.unit, ion=field.ion),
            field.unit,
            wrong="is negative" if value < 0 else "is absurd",
            limit=f"{field.title} is {limits} in any soil or water taken here",
            remedy=f"give {field.key} as the laboratory printed it, with its own unit",
        )
    return value


def read_word(field: Field, text: str) -> str:
    """One of the words a field may be.

    Raises
    ------
    LimitError
        If it is another word; the message lists the words.
    """
    if field.words and text not in field.words:
        refuse(
            field.key,
            text,
            "",
            wrong="is not a word known here",
            limit=f"the words are {listed(field.words)}",
            remedy=f"write one of them{close_to(text, field.words)}",
        )
    return text


def listed(names: Iterable[str]) -> str:
    """Names in quotes, in their order, as an error lists them."""
    return ", ".join(f'"{name}"' for name in names) or "none"


def close_to(name: str, names: Iterable[str]) -> str:
    """A parenthesis with the most similar names, or nothing.

    Parameters
    ----------
    name : str
        What was written.
    names : iterable of str
        What could have been meant.
    """
    by_lower = {known.lower(): known for known in names}
    near = get_close_matches(name.lower(), by_lower, n=3, cutoff=0.6)
    return f" (did you mean {listed(by_lower[match] for match in near)}?)" if near else ""


def refuse_unknown(given: Iterable[str], known: Sequence[str], *, what: str) -> None:
    """Raise where a name is not among the known ones.

    Parameters
    ----------
    given, known : iterable of str
        Names written, and names there are.
    what : str
        What the names belong to, such as "a soil".

    Raises
    ------
    LimitError
        The message lists what there is and what is nearest.
    """
    for name in given:
        if name not in known:
            raise LimitError(
                f"{name}: is not something said of {what}; the limit is ours: {', '.join(known)}; drop it or "
                f"rename it{close_to(name, known)}."
            )


def by_key(fields: Iterable[Field]) -> Mapping[str, Field]:
    """Fields by their key.

    Raises
    ------
    FileError
        If two fields share a key: the table itself is then wrong.
    """
    table: dict[str, Field] = {}
    for field in fields:
        if field.key in table:
            raise FileError(f"{field.key}: stands twice in the table of fields; keys are unique; rename one.")
        table[field.key] = field
    return table
