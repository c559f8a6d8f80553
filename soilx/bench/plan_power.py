"""How many columns an arm needs before a predicted difference can be seen."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Final

from soilx.bench.measured import Instrument
from soilx.chemistry.ions import SODIUM
from soilx.column.run import Run
from soilx.errors import require
from soilx.practice.soil_test.soil_test_scatter import SOIL_TEST_CV_PCT

LEAST_REPLICATES: Final = 3
"""Fewer say nothing of their scatter; common practice, no source."""

COLUMN_CV: Final = 0.10
"""How much columns of one soil, packed alike, differ among themselves; common practice, no source."""

RISK: Final = 0.05
POWER: Final = 0.80


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """A predicted difference and what it takes to see it.

    Attributes
    ----------
    quantity, unit : str
    treated, control : float
        Predicted [unit].
    scatter : float
        Standard deviation of one column about its arm, instruments and columns together [unit].
    replicates : int or None
        Columns an arm needs; None where nothing differs.
    """

    quantity: str
    unit: str
    treated: float
    control: float
    scatter: float
    replicates: int | None

    @property
    def sentence(self) -> str:
        """The same in one sentence."""
        pair = f"{self.quantity}: {self.treated:.3g} {self.unit} with gypsum, {self.control:.3g} without"
        if self.replicates is None:
            return f"{pair}; no number of columns would show a difference."
        return (
            f"{pair}; one column scatters by {self.scatter:.2g} {self.unit}, so that {self.replicates} "
            f"columns an arm show it in at least {100 * POWER:.0f} of 100 runs (normal theory, two-sided "
            f"{100 * RISK:.0f} %)."
        )


def replicates_needed(
    difference: float,
    scatter: float,
    *,
    risk: float = RISK,
    power: float = POWER,
    least: int = LEAST_REPLICATES,
) -> int | None:
    r"""Columns an arm needs to see a difference of two means.

    .. math:: n = \left\lceil \frac{2\,(z_{1-\alpha/2} + z_{1-\beta})^2\,\sigma^2}{\Delta^2} \right\rceil

    Parameters
    ----------
    difference : float
        Δ, in any unit.
    scatter : float
        σ, standard deviation of one column about its arm, in the same unit.
    risk : float
        α, of seeing what is not there, two-sided.
    power : float
        1 − β, of seeing what is there.
    least : int
        No fewer are planned.

    Returns
    -------
    int or None
        None where nothing differs.

    Notes
    -----
    Normal theory: the scatter is taken as known. With three columns, whose own scatter is hardly known, the
    power is smaller than stated.
    """
    for name, value in (("risk", risk), ("power", power)):
        require(
            name,
            value,
            "",
            low=0.0,
            low_open=True,
            high=0.999,
            whose="a chance",
            remedy="give it as a fraction",
        )
    require("scatter", scatter, "", low=0.0, whose="a standard deviation", remedy="give it as an amount")
    if difference == 0:
        return None
    z = NormalDist().inv_cdf(1 - risk / 2) + NormalDist().inv_cdf(power)
    needed = 2.0 * (z * scatter / difference) ** 2
    return max(least, math.ceil(needed - 1e-12))


def differences_seen(
    treated: Run,
    control: Run,
    *,
    sodium: Instrument,
    conductivity: Instrument,
    column_cv: float = COLUMN_CV,
) -> tuple[Seen, ...]:
    """What of a predicted pair can be seen with the named instruments, and with how many columns.

    Parameters
    ----------
    treated, control : Run
        The same soil and portions, with gypsum and without.
    sodium, conductivity : Instrument
        Only their reading errors scatter; a calibration error is shared by both arms, so that it makes a
        difference larger or smaller but never makes one up.
    column_cv : float
        How columns of one arm differ among themselves, relative.
    """
    leached = [
        (run.sodium_leached_mg_per_kg, _scatter_of_sum(run, sodium.reading_error, column_cv))
        for run in (treated, control)
    ]
    share = SOIL_TEST_CV_PCT[1] / 100.0
    esp = [
        (run.final_esp_pct, run.final_esp_pct * math.hypot(share, column_cv)) for run in (treated, control)
    ]
    first = [
        (reading, reading * math.hypot(conductivity.reading_error, column_cv))
        for reading in (_first_conductivity(run) for run in (treated, control))
    ]
    return (
        _seen("sodium in all leachate", "mg/kg of soil", leached),
        _seen("conductivity of the first portion", "dS/m", first),
        _seen("ESP left in the soil", "%", esp),
    )


def _seen(quantity: str, unit: str, pair: Sequence[tuple[float, float]]) -> Seen:
    (treated, of_treated), (control, of_control) = pair
    scatter = math.sqrt((of_treated**2 + of_control**2) / 2.0)
    return Seen(
        quantity=quantity,
        unit=unit,
        treated=treated,
        control=control,
        scatter=scatter,
        replicates=replicates_needed(treated - control, scatter),
    )


def _scatter_of_sum(run: Run, reading_error: float, column_cv: float) -> float:
    """Standard deviation of the leached sodium of one column [mg/kg]."""
    leachate = run.leachate
    parts = [
        volume * sodium * reading_error
        for volume, sodium in zip(leachate.volume, leachate.concentrations[2], strict=True)
        if volume > 0
    ]
    from_readings = math.sqrt(sum(part * part for part in parts)) * SODIUM.molar_mass
    return math.hypot(from_readings, run.sodium_leached_mg_per_kg * column_cv)


def _first_conductivity(run: Run) -> float:
    leachate = run.leachate
    caught = leachate.electrical_conductivity[leachate.volume > 0]
    return float(caught[0]) if caught.size else 0.0
