"""The conversion trail of a report: what was typed, what it was taken for, and the multiplier between."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from soilx.column.fields import Field
from soilx.errors import SoilxError
from soilx.practice.estimate import Estimate
from soilx.practice.soil_test.report_fields import AIR_DRY, REPORT_FIELD
from soilx.units import Kind, as_text, express, quantity, read

UNSTATED: Final = "not stated"

_OF_THE_SOLUTION: Final = (
    Kind.CONCENTRATION,
    Kind.CHARGE_CONCENTRATION,
    Kind.CONDUCTIVITY,
    Kind.ADSORPTION_RATIO,
)
_SAMPLE: Final = ("clay", "ph", "lime", "saturation_percentage", "air_dry_moisture")


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One conversion, as a reader can follow it.

    Attributes
    ----------
    key : str
        Which field of the report.
    what : str
        What it is, in words.
    before : str
        As typed, or the result of the step before.
    multiplier : float or None
        What the number before was multiplied by; None where it was not by a multiplication.
    after : str
        The number taken, with its unit and range.
    basis : str
        What the number is of: soil or extract, its ratio, dried how, depth and date.
    why : str
        What was done.
    """

    key: str
    what: str
    before: str
    multiplier: float | None
    after: str
    basis: str
    why: str

    @property
    def text(self) -> str:
        """The step as one line."""
        times = "" if self.multiplier is None else f" × {self.multiplier:.6g}"
        return f"{self.what}: {self.before}{times} = {self.after} ({self.basis}; {self.why})"


def unit_steps(typed: Mapping[str, str]) -> tuple[Step, ...]:
    """One step for every number of a report, in its order: from its own unit to the one shown here.

    Parameters
    ----------
    typed : mapping of str to str
        Keys of `REPORT_FIELD` and texts that were read already.
    """
    return tuple(
        _unit_step(REPORT_FIELD[key], text, basis_of(key, typed))
        for key, text in typed.items()
        if REPORT_FIELD[key].is_number
    )


def _unit_step(field: Field, text: str, basis: str) -> Step:
    kind = field.kind or Kind.RATIO
    value = express(read(text, kind, name=field.key, ion=field.ion), kind, field.unit, ion=field.ion)
    number, unit = _apart(text)
    one = read(f"1 {unit}".strip(), kind, name=field.key, ion=field.ion)
    multiplier = express(one, kind, field.unit, ion=field.ion)
    same = unit == field.unit or (not number and not unit)
    return Step(
        key=field.key,
        what=field.title,
        before=text,
        multiplier=multiplier,
        after=f"{value:.6g} {field.unit}".strip(),
        basis=basis,
        why="as typed" if same else f"{unit or 'a plain number'} to {field.unit or 'a plain number'}",
    )


def _apart(text: str) -> tuple[float, str]:
    """Number and unit of a text that was read already."""
    try:
        whole = as_text(quantity(text))
    except SoilxError:
        # A bare number, which only kinds that custom writes so have come through.
        return float(text), ""
    number, _, unit = whole.partition(" ")
    return float(number), unit


def basis_of(key: str, typed: Mapping[str, str]) -> str:
    """What a number of a report is of, in words; what is not stated is said to be so.

    Parameters
    ----------
    key : str
        Key of `REPORT_FIELD`.
    typed : mapping of str to str
        The whole report.
    """
    field = REPORT_FIELD[key]
    if key.startswith("extract_") or key == "electrical_conductivity":
        told = typed.get("extract_basis" if key.startswith("extract_") else "conductivity_basis", UNSTATED)
        parts = ["which extract: not stated" if told == UNSTATED else told]
    elif field.kind in (Kind.SOIL_CONTENT, Kind.EXCHANGE_CAPACITY, Kind.GYPSUM_RATE):
        dried = typed.get("soil_basis", UNSTATED)
        parts = [f"soil, {'dried how: not stated' if dried == UNSTATED else dried}"]
        if key.startswith("exchangeable_"):
            told = typed.get("exchangeable_basis", UNSTATED)
            parts.append("dissolved salts: not stated" if told == UNSTATED else told)
            parts.append(f"extractant: {typed.get('extractant', UNSTATED)}")
        if key == "cation_exchange_capacity":
            parts.append(f"CEC basis: {typed.get('cec_basis', UNSTATED)}")
    elif key in _SAMPLE or key.startswith("base_saturation_") or key == "exchangeable_sodium_percentage":
        parts = ["soil"]
    else:
        return "the site"
    top, depth = typed.get("depth_from"), typed.get("depth")
    if depth:
        parts.append(f"sampled {depth} deep" + (f" from {top}" if top else ""))
    parts.append(typed.get("date", "date not stated"))
    return ", ".join(parts)


def dried_step(key: str, before: str, after: str, *, moisture: Estimate, typed: Mapping[str, str]) -> Step:
    """The step from a kilogram of air-dry soil to one of oven-dry soil.

    Parameters
    ----------
    key : str
        Which field.
    before, after : str
        With their unit.
    moisture : Estimate
        Water of the air-dry soil, per oven-dry [%].
    typed : mapping of str to str
        The whole report.
    """
    return Step(
        key=key,
        what=REPORT_FIELD[key].title,
        before=before,
        multiplier=(100.0 + moisture.value) / 100.0,
        after=after,
        basis=basis_of(key, typed).replace(AIR_DRY, "oven-dry"),
        why=f"air-dry to oven-dry, × (100 + M)/100 with M {moisture}, {moisture.origin}",
    )
