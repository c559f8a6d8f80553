"""One number of a report beside its limit: where it lies, how sure that is, and the sentence that says so."""

from dataclasses import dataclass

from soilx.practice.estimate import Estimate
from soilx.practice.judgement.bands import Band, Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """A number judged by a band.

    Attributes
    ----------
    band : Band
        What it is judged by.
    estimate : Estimate or None
        The number with its range, in the band's unit; None where the report does not have it.
    """

    band: Band
    estimate: Estimate | None

    @property
    def place(self) -> Place | None:
        """Where the value lies; None where it is not known."""
        return None if self.estimate is None else self.band.place(self.estimate.value)

    @property
    def surely_above(self) -> bool:
        """Whether the whole range lies above the band."""
        return self.estimate is not None and self.band.place(self.estimate.low) is Place.ABOVE

    @property
    def surely_below(self) -> bool:
        """Whether the whole range lies below the band."""
        return self.estimate is not None and self.band.place(self.estimate.high) is Place.BELOW

    @property
    def over_limit(self) -> bool | None:
        """Whether the upper limit is passed; None where the number is not known or its range crosses it."""
        if self.estimate is None:
            return None
        if self.band.over(self.estimate.low):
            return True
        return None if self.band.over(self.estimate.high) else False

    @property
    def number(self) -> str:
        """The number with its range, as a sentence shows it."""
        if self.estimate is None:
            return "not known"
        unit = f" {self.band.unit}" if self.band.unit else ""
        if self.estimate.exact:
            return f"{self.estimate.value:.3g}{unit}"
        return f"{self.estimate.value:.3g}{unit} ({self.estimate.low:.3g} to {self.estimate.high:.3g})"

    @property
    def sentence(self) -> str:
        """What was found, with the number, its origin, the band and its source."""
        title = f"{self.band.title[0].upper()}{self.band.title[1:]}"
        if self.estimate is None:
            return f"{title}: not known."
        where = {
            Place.BELOW: f"below {self.band.low:.3g}",
            Place.BETWEEN: f"within {self.band.words}",
            Place.ABOVE: f"above {self.band.high:.3g}",
        }[self.band.place(self.estimate.value)]
        crosses = "" if self.band.holds_one_place(self.estimate.low, self.estimate.high) else ", not surely"
        return f"{title}: {self.number}, {self.estimate.origin}; {where}{crosses} ({self.band.note})."
