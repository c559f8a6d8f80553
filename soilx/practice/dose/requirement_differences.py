"""Why the hand formula and the column ask for different amounts, as an account that adds up."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from soilx.chemistry.ions import CALCIUM
from soilx.column.leaching import leach
from soilx.column.placement import WATER
from soilx.column.run import Run
from soilx.errors import refuse
from soilx.practice.dose.dose_search import dosed, most_gypsum
from soilx.practice.dose.requirement import Requirement
from soilx.practice.dose.requirement_column import ColumnRequirement
from soilx.practice.judgement.irrigation_water import floor_esp_pct
from soilx.units import Ground, Kind, express

_CA: Final = 0
_CLEAR_OF_ROUNDING: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One line of the account.

    Attributes
    ----------
    name : str
        What the calcium did, or what it was reckoned from.
    charge : float
        Calcium of gypsum by charge; negative where it saves gypsum [mmol_c/kg].
    why : str
        One sentence.
    """

    name: str
    charge: float
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Hand formula and column side by side, with what lies between them.

    Attributes
    ----------
    hand : Requirement
    column : ColumnRequirement
    differences : tuple of Difference
        From the hand formula's gypsum to the column's: the charges add up.
    hand_run : Run
        The column with the hand formula's dose, its factor applied, and the same water.
    used_up_after_pore_volumes : float or None
        When that dose's gypsum is gone; None where some is left.
    floor_esp_pct : float
        ESP that the last water of the column leads to in the end, by itself [%].
    """

    hand: Requirement
    column: ColumnRequirement
    differences: tuple[Difference, ...]
    hand_run: Run
    used_up_after_pore_volumes: float | None
    floor_esp_pct: float

    @property
    def hand_charge(self) -> float:
        """Calcium of the hand formula's gypsum, without its factor [mmol_c/kg]."""
        return 2.0 * self.hand.gypsum

    @property
    def column_charge(self) -> float:
        """Calcium of the column's gypsum [mmol_c/kg]."""
        return 2.0 * self.column.gypsum

    def in_t_per_ha(self, difference: Difference) -> float:
        """A line of the account as pure gypsum over the depth [t/ha]."""
        ground = self.column.scenario.soil.ground
        return express(difference.charge / 2.0, Kind.GYPSUM_RATE, "t/ha", ground=ground)

    def records(self) -> list[dict[str, str | float]]:
        """The account as plain rows, the two totals first and last."""
        ground = self.column.scenario.soil.ground

        def row(name: str, charge: float, why: str) -> dict[str, str | float]:
            rate = express(charge / 2.0, Kind.GYPSUM_RATE, "t/ha", ground=ground)
            return {"name": name, "cmol_c_per_kg": charge / 10.0, "t_per_ha": rate, "why": why}

        return [
            row("hand formula", self.hand_charge, "Every calcium displaces two sodium, and none is lost."),
            *(row(line.name, line.charge, line.why) for line in self.differences),
            row("column", self.column_charge, "What the column needs with this water."),
        ]

    @property
    def sentences(self) -> tuple[str, ...]:
        """The account in words."""
        ground = self.column.scenario.soil.ground
        hand = express(self.hand.gypsum, Kind.GYPSUM_RATE, "t/ha", ground=ground)
        column = express(self.column.gypsum, Kind.GYPSUM_RATE, "t/ha", ground=ground)
        water = self.column.scenario.wettings[-1].water.name
        said = [
            f"The hand formula asks for {hand:.3g} t/ha of pure gypsum, the column for {column:.3g} t/ha "
            f"with {self.column.pore_volumes:.3g} pore volumes of {water}."
        ]
        said += [
            f"{line.name[0].upper()}{line.name[1:]}: {self.in_t_per_ha(line):+.3g} t/ha. {line.why}"
            for line in self.differences
            if abs(line.charge) > 0.005 * self.column_charge
        ]
        if self.hand.gypsum > 0:
            said.append(self._hand_dose_in_words(ground))
        if self.floor_esp_pct > self.hand.target_esp_pct:
            said.append(
                f"The water itself leads to ESP {self.floor_esp_pct:.3g} in the end: a target of "
                f"{self.hand.target_esp_pct:.3g} can be reached for a season, not kept."
            )
        return tuple(said)

    def _hand_dose_in_words(self, ground: Ground) -> str:
        dose = express(self.hand.gypsum_with_factor, Kind.GYPSUM_RATE, "t/ha", ground=ground)
        factor = f" (factor {self.hand.factor:g})" if self.hand.factor != 1.0 else ""
        gone = self.used_up_after_pore_volumes
        why = "some of its gypsum is left"
        if gone is not None:
            why = f"its gypsum is used up after {gone:.3g} pore volumes"
        return (
            f"With the hand formula's {dose:.3g} t/ha{factor} and the same water the column ends at ESP "
            f"{self.hand_run.final_esp_pct:.3g}: {why}."
        )


def why_they_differ(
    hand: Requirement, column: ColumnRequirement, *, concentration_factor: float = 1.0
) -> Comparison:
    """What lies between the hand formula's gypsum and the column's, computed from the column's balance.

    Parameters
    ----------
    hand : Requirement
        Of the same soil, depth and target.
    column : ColumnRequirement
    concentration_factor : float
        How many times the root zone concentrates the water, for its floor.

    Returns
    -------
    Comparison
        Its lines add up to the difference; nothing is tuned to make the two agree.

    Raises
    ------
    LimitError
        If the two are not of the same depth or target.

    Notes
    -----
    Calcium of gypsum that dissolves ends on the exchanger, in the column's water or in what drains. What it
    ends on the exchanger for is sodium, magnesium and potassium: the capacity holds no more than it held.
    """
    _require_alike(hand, column)
    run, soil = column.run, column.scenario.soil
    capacity = soil.cation_exchange_capacity
    start = soil.state
    clay = start.exchanger
    before = np.array([clay.ca, clay.mg, clay.na, clay.k])
    freed = capacity * (before - run.exchanger[-1].mean(axis=1))
    calcium = run.balance[CALCIUM.symbol]
    dissolved = float((run.water_content[-1] * run.concentrations[-1, _CA]).mean())
    in_water = calcium.leached - calcium.added + dissolved - soil.drained_water * start.solution.ca
    carried = column.gypsum if column.scenario.placement == WATER else 0.0
    left = float(run.gypsum[-1].mean()) - start.gypsum
    shift = capacity * soil.exchangeable_sodium_percentage / 100.0 - hand.sodium.exchangeable
    wanted = 2.0 * hand.gypsum
    lines = (
        Difference(
            name="start",
            charge=shift,
            why="Exchangeable sodium at the column's own water content against that of the report.",
        ),
        Difference(
            name="beyond the target",
            charge=float(freed[2]) - wanted - shift,
            why="Sodium that left the clay beyond what was asked for.",
        ),
        Difference(
            name="magnesium",
            charge=float(freed[1]),
            why="Calcium that took magnesium's places instead of sodium's.",
        ),
        Difference(
            name="potassium",
            charge=float(freed[3]),
            why="Calcium that took potassium's places instead of sodium's.",
        ),
        Difference(
            name="calcium in the water",
            charge=2.0 * (in_water + carried),
            why="Calcium that drained away or is still dissolved, less what was dissolved and what came.",
        ),
        Difference(name="left undissolved", charge=2.0 * left, why="Gypsum still solid at the end."),
    )
    return Comparison(
        hand=hand,
        column=column,
        differences=lines,
        hand_run=(hand_run := _hand_run(hand, column)),
        used_up_after_pore_volumes=_used_up(hand_run),
        floor_esp_pct=floor_esp_pct(
            column.scenario.wettings[-1].water,
            concentration_factor=concentration_factor,
            selectivity=soil.selectivity,
        ),
    )


def _require_alike(hand: Requirement, column: ColumnRequirement) -> None:
    for name, one, other, unit in (
        ("target ESP", hand.target_esp_pct, column.target_esp_pct, "%"),
        ("depth", hand.ground.depth or 0.0, column.scenario.soil.depth, "mm"),
    ):
        if abs(one - other) > _CLEAR_OF_ROUNDING * abs(other):
            refuse(
                f"{name} of the hand formula",
                one,
                unit,
                wrong=f"is not the column's {other:g} {unit}".rstrip(),
                limit="only like can be compared with like",
                remedy=f"reckon both for the same {name}",
            )


def _hand_run(hand: Requirement, column: ColumnRequirement) -> Run:
    dose = min(hand.gypsum_with_factor, most_gypsum(column.scenario))
    return leach(dosed(column.scenario, dose))


def _used_up(run: Run) -> float | None:
    """Pore volumes applied when the last gypsum is gone; None where some is left or none was solid."""
    solid = run.gypsum.mean(axis=1)
    if not solid[0] > 0 or solid[-1] > _CLEAR_OF_ROUNDING * solid[0]:
        return None
    return float(run.applied_pore_volumes[int(np.argmax(solid <= _CLEAR_OF_ROUNDING * solid[0]))])
