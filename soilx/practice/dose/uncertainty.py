"""How far a rate, or where it ends, may lie from the best estimate: draws from the inputs' ranges."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.column.fields import Given
from soilx.column.scenario import Scenario
from soilx.errors import LimitError, require
from soilx.practice.dose.drawn_bands import Band, Influence, influences_on
from soilx.practice.dose.drawn_doses import ends, least_doses
from soilx.practice.dose.target import read_target
from soilx.practice.dose.uncertain_columns import DrawnColumns, drawn_columns
from soilx.practice.dose.uncertain_inputs import InputRange, draw_inputs, input_ranges
from soilx.units import GYPSUM_MOLAR_MASS

Array = NDArray[np.float64]
Progress = Callable[[float], None]

DRAWS: Final = 2000
LEAST_DRAWS: Final = 50
MOST_DRAWS: Final = 20_000

_T_PER_HA: Final = GYPSUM_MOLAR_MASS * 1e-5
"""Of one mmol/kg of gypsum in one kilogram of soil under a square metre: 1 mg/m² is 1e-5 t/ha."""


@dataclass(frozen=True, kw_only=True, eq=False)
class RequirementBand:
    """Requirement over the ranges of its inputs.

    Attributes
    ----------
    target_esp_pct : float
    hand, column : Band
        Pure gypsum by the hand formula, without a factor, and by the column [t/ha].
    unreachable_share : float
        Share of the draws that no dose brings to the target with this water.
    influences : tuple of Influence
        On the column's requirement, the strongest first.
    ranges : tuple of InputRange
        What was drawn from.
    draws, seed : int
    hand_t_per_ha, column_t_per_ha : ndarray, shape (draws,)
        Every draw; infinite where no dose reaches the target [t/ha].
    """

    target_esp_pct: float
    hand: Band
    column: Band
    unreachable_share: float
    influences: tuple[Influence, ...]
    ranges: tuple[InputRange, ...]
    draws: int
    seed: int
    hand_t_per_ha: Array
    column_t_per_ha: Array


@dataclass(frozen=True, kw_only=True, eq=False)
class OutcomeBand:
    """Where a chosen rate and water end over the ranges of the inputs.

    Attributes
    ----------
    final_esp : Band
        Depth average at the end [%].
    reaching_share : float or None
        Share of the draws that end at the target or below; None without a target.
    influences : tuple of Influence
        On the final ESP, the strongest first.
    ranges : tuple of InputRange
    draws, seed : int
    final_esp_pct : ndarray, shape (draws,)
        Every draw [%].
    """

    final_esp: Band
    reaching_share: float | None
    influences: tuple[Influence, ...]
    ranges: tuple[InputRange, ...]
    draws: int
    seed: int
    final_esp_pct: Array


def requirement_band(
    scenario: Scenario,
    *,
    target_esp_pct: float | Given,
    ranges: Sequence[InputRange] | None = None,
    draws: int = DRAWS,
    seed: int = 0,
    progress: Progress | None = None,
) -> RequirementBand:
    """Band of the gypsum requirement, by hand and by the column, and which input matters most.

    Parameters
    ----------
    scenario : Scenario
        Soil, waters, placement and stack; its own gypsum is not looked at.
    target_esp_pct : float, str or Quantity
    ranges : sequence of InputRange, optional
        `input_ranges(scenario)` unless given; what is not in it does not vary.
    draws, seed : int
        The same seed gives the same draws.
    progress : callable, optional
        Told the finished share, from 0 to 1.

    Raises
    ------
    LimitError
        If there is no water, too few or too many draws, or a draw is no possible soil.

    Notes
    -----
    Every draw is a column of its own, run with a dose near its least one: `soilx.practice.dose.drawn_doses`.
    """
    target = read_target(target_esp_pct)
    ranges, inputs, columns = _drawn(scenario, ranges, draws, seed)
    excess = np.maximum(columns.sodium - target / 100.0 * columns.capacity, 0.0)
    doses = least_doses(
        columns,
        target_esp_pct=target,
        inputs=np.stack(list(inputs.values())),
        tell=_teller(progress, expected=1.3 * draws + 512),
    )
    per_area = columns.areal_soil * _T_PER_HA
    hand, column = excess / 2.0 * per_area, doses * per_area
    if progress is not None:
        progress(1.0)
    return RequirementBand(
        target_esp_pct=target,
        hand=Band.of(hand, "t/ha"),
        column=Band.of(column, "t/ha"),
        unreachable_share=float(np.isinf(doses).mean()),
        influences=influences_on(column, inputs),
        ranges=tuple(ranges),
        draws=draws,
        seed=seed,
        hand_t_per_ha=hand,
        column_t_per_ha=column,
    )


def outcome_band(
    scenario: Scenario,
    *,
    target_esp_pct: float | Given | None = None,
    ranges: Sequence[InputRange] | None = None,
    draws: int = DRAWS,
    seed: int = 0,
    progress: Progress | None = None,
) -> OutcomeBand:
    """Band of the final ESP of a scenario's own rate and water, and which input matters most.

    Parameters
    ----------
    scenario : Scenario
        Its gypsum is a rate per area: a denser soil gets less of it per kilogram.
    target_esp_pct : float, str or Quantity, optional
        To count the draws that reach it.
    ranges, draws, seed, progress
        As for `requirement_band`.

    Raises
    ------
    LimitError
        As `requirement_band` does.
    """
    target = None if target_esp_pct is None else read_target(target_esp_pct)
    ranges, inputs, columns = _drawn(scenario, ranges, draws, seed)
    own = scenario.soil.bulk_density * scenario.soil.depth
    dose = scenario.gypsum * own / columns.areal_soil
    esp = ends(columns, dose, np.arange(draws), tell=_teller(progress, expected=draws))
    return OutcomeBand(
        final_esp=Band.of(esp, "%"),
        reaching_share=None if target is None else float((esp <= target).mean()),
        influences=influences_on(esp, inputs),
        ranges=tuple(ranges),
        draws=draws,
        seed=seed,
        final_esp_pct=esp,
    )


def _drawn(
    scenario: Scenario, ranges: Sequence[InputRange] | None, draws: int, seed: int
) -> tuple[Sequence[InputRange], dict[str, Array], DrawnColumns]:
    if not scenario.wettings:
        raise LimitError(
            "wettings: there are none; the limit is that water carries calcium down and sodium off; add a "
            'wetting such as "4 pore_volume".'
        )
    require(
        "draws",
        draws,
        "",
        low=LEAST_DRAWS,
        high=MOST_DRAWS,
        whose="a band of nine in ten",
        remedy=f"{DRAWS} draws do",
    )
    ranges = input_ranges(scenario) if ranges is None else ranges
    inputs = draw_inputs(ranges, draws=draws, seed=seed)
    if not inputs:
        raise LimitError("ranges: are none; the limit is a band's, which comes from them; give one at least.")
    return ranges, inputs, drawn_columns(scenario, inputs)


def _teller(progress: Progress | None, *, expected: float) -> Callable[[int], None] | None:
    if progress is None:
        return None
    run = 0

    def tell(columns: int) -> None:
        nonlocal run
        run += columns
        # How many columns need a second run is not known before: the last stretch is told as it is done.
        progress(min(0.99 if run < expected else 1.0, run / expected))

    return tell
