"""The live column of the problems that are solved on it: one slider, two charts and one sentence."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Final

from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.show.control import Control, Reading
from soilx.show.pair import View
from soilx.show.presets import water_readings
from soilx.show.runs_together import TURNS
from soilx.show.word_sheet import Sheet, line
from soilx.teaching.attempts import Attempt
from soilx.teaching.kinds.sliders import LEAST_GYPSUM, LEAST_WATER
from soilx.units import GYPSUM_MOLAR_MASS, Kind, express

ON_THE_COLUMN: Final = (LEAST_GYPSUM.key, LEAST_WATER.key)
"""Keys of the problems that have a live column."""

MOST_PORE_VOLUMES: Final = 15.0
_LEAST_PORE_VOLUMES: Final = 0.1
_TIMES_ALL_SODIUM: Final = 3.0
"""Where the gypsum slider ends: so many times what all sodium on the clay would take by charge. It must not
tell the answer, nor end before it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slid:
    """Where the column stands.

    Attributes
    ----------
    run : Run
    target : float
        Mean ESP to be reached [%].
    """

    run: Run
    target: float

    @property
    def sentence(self) -> str:
        """What the column comes to."""
        end = self.run.final_esp_pct
        met = "met" if end <= self.target else "not met"
        return (
            f"The column's mean ESP goes from {self.run.initial_esp_pct:.1f} to {end:.2f} %. "
            f"The target of {self.target:g} % is {met}."
        )


def gypsum_control() -> Control:
    """The slider of the least gypsum."""
    return Control("Pure gypsum", "g/kg", low=0, high=30, step=0.02, value=0, digits=2)


def water_control() -> Control:
    """The slider of the least water."""
    return Control(
        "Water",
        "pore volumes",
        low=_LEAST_PORE_VOLUMES,
        high=MOST_PORE_VOLUMES,
        step=0.05,
        value=1,
        digits=2,
    )


class LiveColumn:
    """The column of the problem that is on the desk; another problem puts its slider where it starts."""

    def __init__(self) -> None:
        self._problem = ""

    def show(
        self,
        attempt: Attempt | None,
        *,
        gypsum: object,
        water: object,
        sheet: Sheet,
        views: tuple[View, ...],
    ) -> Slid | None:
        """Run the column as its slider says, and show it.

        Parameters
        ----------
        attempt : Attempt or None
        gypsum, water : object
            `Control.shown` of both sliders, of which a problem has one.
        sheet : Sheet
            For the sentence.
        views : tuple of View
            For the pair of columns.

        Returns
        -------
        Slid or None
            None where the problem has no column.
        """
        scenario = None if attempt is None else attempt.variant.seen.scenario
        if attempt is None or scenario is None or attempt.variant.problem.key not in ON_THE_COLUMN:
            return None
        own = attempt.variant
        of_gypsum = own.problem.key == LEAST_GYPSUM.key
        slider = getattr(gypsum if of_gypsum else water, "control", None)
        if isinstance(slider, Control) and own.seed.text != self._problem:
            self._problem = own.seed.text
            _settle(slider, scenario, of_gypsum=of_gypsum)
        value = float(slider.value) if isinstance(slider, Control) else 1.0
        change = {"gypsum": f"{value!r} g/kg"} if of_gypsum else {"wettings": [f"{value!r} pore_volume"]}
        moved = scenario.with_(**change)
        treated, untreated = TURNS.run([moved, moved.without_gypsum()])
        slid = Slid(run=treated, target=own.seen["target"])
        sheet.put(line(slid.sentence, "strong"), spoken=slid.sentence)
        for view in views:
            view.show(treated=treated, untreated=untreated)
        return slid


def _settle(slider: Control, scenario: Scenario, *, of_gypsum: bool) -> None:
    soil = scenario.soil
    if not of_gypsum:
        slider.span(_LEAST_PORE_VOLUMES, MOST_PORE_VOLUMES, step=0.05, value=1.0)
        slider.read_in("pore volumes", water_readings(soil))
        return
    sodium = soil.cation_exchange_capacity * soil.exchangeable_sodium_percentage / 100.0
    most = ceil(_TIMES_ALL_SODIUM * sodium * GYPSUM_MOLAR_MASS / 2000.0)
    slider.span(0.0, float(most), step=0.02, value=0.0)
    one = express(1000.0 / GYPSUM_MOLAR_MASS, Kind.GYPSUM_RATE, "t/ha", ground=soil.ground)
    slider.read_in("g/kg", [Reading(unit="t/ha", factor=one, step=0.05, digits=2)])
