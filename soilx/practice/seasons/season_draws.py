"""The same field as it may be: columns drawn from what is known of soil, weather and water."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final

import numpy as np

from soilx.column.fields import COMMON_PRACTICE, close_to, listed
from soilx.column.water import DEIONISED
from soilx.errors import LimitError, refuse
from soilx.practice.dose.uncertain_columns import drawn_columns
from soilx.practice.dose.uncertain_inputs import APPLIED, InputRange, draw_inputs, input_ranges
from soilx.practice.seasons.season_arms import SeasonArm

DRAWS: Final = 19
"""With n draws, the next one lies within their range in (n − 1)/(n + 1) of cases: 9 of 10 here."""
SEED: Final = 1954
DRAWN: Final = ", draw "
"""Between the name of a column and the number of its draw."""

RAIN: Final = "rain"
IRRIGATION: Final = "irrigation"
EVAPOTRANSPIRATION: Final = "evapotranspiration"
BYPASS: Final = "bypass_fraction"


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldRange:
    """What one thing of a field may be; drawn from a triangle that is highest at the value in use.

    Attributes
    ----------
    key : str
        A key of `FIELD_RANGES`.
    low, high : float
        Times the field's own; for `bypass_fraction` the fraction itself.
    label : str
        How well the range is known.

    Raises
    ------
    LimitError
        If the key is unknown, or the range ends before it begins or below 0.
    """

    key: str
    low: float
    high: float
    label: str = "given"

    def __post_init__(self) -> None:
        keys = (RAIN, IRRIGATION, EVAPOTRANSPIRATION, BYPASS)
        if self.key not in keys:
            raise LimitError(
                f"range of {self.key}: is not drawn for a field; what is drawn is {listed(keys)}; write "
                f"one of them{close_to(self.key, keys)}."
            )
        inside = 0 <= self.low <= self.high < 1 if self.key == BYPASS else 0 < self.low <= 1 <= self.high
        if not inside:
            refuse(
                f"range of {self.key}",
                f"{self.low:g} to {self.high:g}",
                "",
                wrong="is not a range about the field's own",
                limit="factors lie about 1, and a bypass fraction from 0 to below 1",
                remedy="give low and high, such as 0.8 and 1.2",
            )


FIELD_RANGES: Final[Mapping[str, FieldRange]] = MappingProxyType(
    {
        key: FieldRange(key=key, low=low, high=high, label=f"{COMMON_PRACTICE} †")
        for key, low, high in (
            (RAIN, 0.75, 1.25),
            (IRRIGATION, 0.85, 1.15),
            (EVAPOTRANSPIRATION, 0.85, 1.15),
            (BYPASS, 0.0, 0.3),
        )
    }
)


def drawn_arms(
    arms: Sequence[SeasonArm],
    *,
    draws: int = DRAWS,
    seed: int = SEED,
    known: Iterable[InputRange] = (),
    field: Iterable[FieldRange] = (),
) -> tuple[SeasonArm, ...]:
    """Each column as it may be, so many times; draw k of all columns is one and the same field.

    Parameters
    ----------
    arms : sequence of SeasonArm
        Of one soil.
    draws, seed : int
        The same seed gives the same draws.
    known : iterable of InputRange
        Of the soil, where it is known better or worse than `input_ranges` takes it.
    field : iterable of FieldRange
        In place of `FIELD_RANGES`.

    Returns
    -------
    tuple of SeasonArm
        All draws of the first column, then of the second; called "name, draw k".

    Notes
    -----
    Rates and waters are per area: a denser soil gets less of them per kilogram. Inputs are drawn
    independently of each other, which makes the band wider than it is where they go together.
    """
    # A wetting gives the scenario something to draw; the field's own water is drawn apart from it.
    wetted = arms[0].scenario.with_(wettings=[("1 pore_volume", DEIONISED)])
    ranges = [each for each in input_ranges(wetted, known=known) if each.key != APPLIED]
    soils = [
        each.soil for each in drawn_columns(wetted, draw_inputs(ranges, draws=draws, seed=seed)).scenarios
    ]
    spans = {**FIELD_RANGES, **{each.key: each for each in field}}
    generator = np.random.default_rng(seed)
    # every column's value is the middle of its triangle; only bypass may differ from 1
    places = {key: generator.uniform(size=draws) for key in FIELD_RANGES}
    return tuple(
        replace(
            arm,
            name=f"{arm.name}{DRAWN}{number + 1}",
            scenario=replace(
                arm.scenario,
                soil=soils[number],
                bypass_fraction=_placed(spans[BYPASS], arm.scenario.bypass_fraction, places[BYPASS][number]),
            ),
            rain=arm.rain * _placed(spans[RAIN], 1.0, places[RAIN][number]),
            irrigation=arm.irrigation * _placed(spans[IRRIGATION], 1.0, places[IRRIGATION][number]),
            evapotranspiration=arm.evapotranspiration
            * _placed(spans[EVAPOTRANSPIRATION], 1.0, places[EVAPOTRANSPIRATION][number]),
        )
        for arm in arms
        for number in range(draws)
    )


def _placed(span: FieldRange, value: float, place: float) -> float:
    """Quantile of the triangle from low over the value to high; a value beyond an end moves that end."""
    low, high = min(span.low, value), max(span.high, value)
    if high == low:
        return value
    peak = (value - low) / (high - low)
    if place < peak:
        return float(low + (high - low) * np.sqrt(place * peak))
    return float(high - (high - low) * np.sqrt((1 - place) * (1 - peak)))
