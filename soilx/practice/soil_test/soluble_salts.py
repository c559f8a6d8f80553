"""What is dissolved is not exchangeable: the soluble-salt correction, line by line, and its opposite.

An extractant takes the exchangeable cations and the dissolved ones together. What was dissolved is known from
an extract and its water per soil; where that water was estimated, its range goes along.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from soilx.errors import require
from soilx.practice.estimate import Estimate

SOIL_CHARGE: Final = "mmol_c/kg"
CORRECTED: Final = "extractable less dissolved"


@dataclass(frozen=True, slots=True, kw_only=True)
class SolubleLine:
    """The correction of one cation.

    Attributes
    ----------
    symbol, name : str
        Of the cation.
    extractable : Estimate
        Taken by the extractant [mmol_c/kg].
    extract : Estimate
        Of the water extract [mmol_c/L].
    water : Estimate
        Water of that extract per oven-dry soil; of a paste, its saturation percentage [%].
    """

    symbol: str
    name: str
    extractable: Estimate
    extract: Estimate
    water: Estimate

    @property
    def soluble(self) -> Estimate:
        """Dissolved in the extract, per soil [mmol_c/kg]."""
        return dissolved(self.extract, self.water)

    @property
    def balance(self) -> float:
        """Extractable less dissolved; negative where the two cannot both be right [mmol_c/kg]."""
        return self.extractable.value - self.soluble.value

    @property
    def exchangeable(self) -> Estimate | None:
        """What is left for the exchanger [mmol_c/kg]; None where more is dissolved than was extracted."""
        if self.balance < 0:
            return None
        return less(self.extractable, self.soluble, origin=f"{CORRECTED}, water {self.water.origin}")

    @property
    def text(self) -> str:
        """The line as it is worked by hand, in cmol_c/kg, meq/L and %."""
        extracted, soluble = (amount.scaled(0.1, "cmol_c/kg") for amount in (self.extractable, self.soluble))
        left = self.exchangeable
        result = "less than nothing" if left is None else str(left.scaled(0.1, "cmol_c/kg"))
        return (
            f"{self.name}: {extracted} − {self.extract.value:.4g} meq/L × {self.water}/1000 = "
            f"{extracted} − {soluble} = {result}"
        )


def dissolved(extract: Estimate, water: Estimate) -> Estimate:
    r"""What an extract holds per kilogram of oven-dry soil.

    .. math:: s = c\,\frac{SP}{100}

    In cmol_c/kg, with meq/L and %, it is the hand formula's extract × SP/1000.

    Parameters
    ----------
    extract : Estimate
        Concentration of charge [mmol_c/L].
    water : Estimate
        Water of the extract per oven-dry soil [%].

    Returns
    -------
    Estimate
        [mmol_c/kg]

    References
    ----------
    common_practice
    """
    return Estimate(
        value=extract.value * water.value / 100.0,
        low=extract.low * water.low / 100.0,
        high=extract.high * water.high / 100.0,
        unit=SOIL_CHARGE,
        origin=f"dissolved, water {water.origin}",
        source=water.source,
    )


def less(extractable: Estimate, soluble: Estimate, *, origin: str) -> Estimate:
    """The difference of two amounts with its range [mmol_c/kg].

    Notes
    -----
    Where the range would reach below nothing it ends at nothing, and the origin says so: no soil holds a
    negative amount.

    Raises
    ------
    LimitError
        If the difference itself is negative.
    """
    value = require(
        "extractable less dissolved",
        extractable.value - soluble.value,
        SOIL_CHARGE,
        low=0.0,
        whose="an extractable amount holds the dissolved one",
        remedy="check the basis of the cations, and the units of the extract",
    )
    low, high = extractable.low - soluble.high, extractable.high - soluble.low
    if low < 0:
        origin = f"{origin}; the range ends at nothing"
    return Estimate(
        value=value,
        low=max(low, 0.0),
        high=high,
        unit=SOIL_CHARGE,
        origin=origin,
        source=soluble.source,
    )


def extractable(exchangeable: Estimate, extract: Estimate, water: Estimate) -> Estimate:
    """What an extractant takes from a soil: exchangeable and dissolved together [mmol_c/kg].

    Parameters
    ----------
    exchangeable : Estimate
        [mmol_c/kg]
    extract, water : Estimate
        As for `dissolved`.
    """
    soluble = dissolved(extract, water)
    return replace(
        exchangeable,
        value=exchangeable.value + soluble.value,
        low=exchangeable.low + soluble.low,
        high=exchangeable.high + soluble.high,
        origin="exchangeable and dissolved together",
    )


def naive_esp_pct(extractables: Mapping[str, Estimate]) -> float:
    """Extractable sodium over the sum of extractable cations: the ESP of a report that forgot its salts [%].

    It is shown beside the corrected one to be seen as wrong: in a saline soil it is half as high again.

    Parameters
    ----------
    extractables : mapping of str to Estimate
        Of "Ca", "Mg", "Na", "K" [mmol_c/kg].

    Raises
    ------
    LimitError
        If they add up to nothing.
    """
    total = require(
        "sum of the extractable cations",
        sum(extractables[symbol].value for symbol in ("Ca", "Mg", "Na", "K")),
        SOIL_CHARGE,
        low=0.0,
        low_open=True,
        whose="a soil that was extracted",
        remedy="give the cations as the laboratory printed them",
    )
    return 100.0 * extractables["Na"].value / total
