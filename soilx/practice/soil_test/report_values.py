"""The numbers and words of a report as they were typed, read once; soil amounts per oven-dry soil."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final

from soilx.column.fields import Given, Typed, read_field, read_word, refuse_unknown, typed_text
from soilx.errors import LimitError, refuse
from soilx.practice.estimate import Estimate
from soilx.practice.soil_test.report_fields import AIR_DRY, CATIONS, REPORT_FIELD, YES
from soilx.practice.soil_test.texture import texture_of, usual
from soilx.units import Kind, express

_ANY_TEXTURE_MOISTURE: Final = (0.2, 8.0)
"""From the driest sand to the moistest clay of `texture`, common practice [%]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportValues:
    """A report, read.

    Attributes
    ----------
    typed : tuple of (str, str)
        In the order of the table of fields.
    numbers : mapping of str to float
        Internal floats by field key, as typed: not yet per oven-dry soil.
    words : mapping of str to str
        What was told in words.
    """

    typed: Typed
    numbers: Mapping[str, float]
    words: Mapping[str, str]

    @property
    def texture(self) -> str | None:
        """The texture class, where it is told."""
        return self.words.get("texture")

    def pct(self, key: str) -> float | None:
        """A share [%]; None where it is not told."""
        return 100.0 * self.numbers[key] if key in self.numbers else None

    def flag(self, key: str) -> bool | None:
        """Yes, no, or not told."""
        return self.words[key] == YES if key in self.words else None

    def from_texture(self, what: str, unit: str) -> Estimate | None:
        """What texture or clay says of a property; None where neither is told."""
        found = texture_of(texture=self.texture, clay_pct=self.pct("clay"))
        if found is None:
            return None
        return usual(getattr(found[0], what), unit, told_from=found[1])

    @property
    def moisture(self) -> Estimate | None:
        """Water of the air-dry soil, per oven-dry [%]; None where amounts are not of air-dry soil."""
        if self.words.get("soil_basis") != AIR_DRY:
            return None
        told = self.pct("air_dry_moisture")
        if told is not None:
            return Estimate.measured(told, "%")
        return self.from_texture("air_dry_moisture", "%") or usual(
            _ANY_TEXTURE_MOISTURE, "%", told_from="what soils of any texture hold"
        )

    def per_oven_dry(self, amount: float, unit: str) -> Estimate:
        r"""An amount of this report per kilogram of oven-dry soil.

        .. math:: a_{od} = a_{ad}\,\frac{100 + M}{100}

        Parameters
        ----------
        amount : float
            As typed, per kilogram of soil as it was dried [unit].
        unit : str
            Its unit.
        """
        moisture = self.moisture
        if moisture is None:
            return Estimate.measured(amount, unit)
        return moisture.through(
            lambda percent: amount * (100.0 + percent) / 100.0,
            unit=unit,
            origin=f"measured on air-dry soil, moisture {moisture.origin}",
            source=moisture.source,
        )

    def charge_of_soil(self, key: str) -> Estimate | None:
        """A charge per oven-dry soil [mmol_c/kg]; None where it is not told."""
        if key not in self.numbers:
            return None
        ion = REPORT_FIELD[key].ion
        charge = 1.0 if ion is None else float(abs(ion.charge))
        return self.per_oven_dry(self.numbers[key] * charge, "mmol_c/kg")

    def charge_of_extract(self, key: str) -> Estimate | None:
        """A charge concentration of the extract [mmol_c/L]; None where it is not told."""
        if key not in self.numbers:
            return None
        ion = REPORT_FIELD[key].ion
        charge = 1.0 if ion is None else float(abs(ion.charge))
        return Estimate.measured(self.numbers[key] * charge, "mmol_c/L")

    def oven_dry_text(self, key: str) -> str:
        """A soil amount as text in its field's unit, per oven-dry soil, exact to the last bit."""
        field = REPORT_FIELD[key]
        kind = field.kind or Kind.RATIO
        shown = express(self.numbers[key], kind, field.unit, ion=field.ion)
        return f"{self.per_oven_dry(shown, field.unit).value!r} {field.unit}"


def read_values(given: Mapping[str, Given]) -> ReportValues:
    """A report from text by field key.

    Parameters
    ----------
    given : mapping of str to str or Quantity
        Keys of `soilx.practice.soil_test.report_fields.REPORT_FIELD`.

    Raises
    ------
    SoilxError
        If a key is unknown, a value is outside its limits or in a wrong unit, a day is not a day, the name is
        missing, or one cation is told twice.
    """
    refuse_unknown(given, tuple(REPORT_FIELD), what="a soil report")
    texts = {key: typed_text(text, name=key) for key, text in given.items()}
    texts = {key: texts[key] for key in REPORT_FIELD if texts.get(key)}
    if "name" not in texts:
        raise LimitError(
            "name: is not given; the limit is ours, since a report is called by its name; give one, "
            'such as "Block C".'
        )
    numbers = {
        key: read_field(REPORT_FIELD[key], text) for key, text in texts.items() if REPORT_FIELD[key].is_number
    }
    words = {
        key: read_word(REPORT_FIELD[key], text)
        for key, text in texts.items()
        if not REPORT_FIELD[key].is_number
    }
    _require_day(words)
    for name in CATIONS.values():
        if {f"exchangeable_{name}", f"base_saturation_{name}"} <= set(texts):
            refuse(
                f"base_saturation_{name}",
                texts[f"base_saturation_{name}"],
                "",
                wrong=f"says again what exchangeable_{name} = {texts[f'exchangeable_{name}']} says",
                limit="one cation is told once",
                remedy="drop the share; it is the amount over the CEC",
            )
    return ReportValues(typed=tuple(texts.items()), numbers=numbers, words=words)


def _require_day(words: Mapping[str, str]) -> None:
    if "date" not in words:
        return
    try:
        date.fromisoformat(words["date"])
    except ValueError:
        refuse(
            "date",
            words["date"],
            "",
            wrong="is not a day",
            limit="days are written year-month-day, since 3/4 is read two ways",
            remedy="write it like 2024-03-31",
        )
