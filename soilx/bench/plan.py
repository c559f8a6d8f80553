"""A bench run planned: what each column gets, in which portions, and what the model expects of it."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Final, Self

from soilx.bench.measured import Instrument
from soilx.bench.plan_arms import Arm, arms_of
from soilx.bench.plan_column import dose_of, treated_column
from soilx.bench.plan_power import LEAST_REPLICATES, Seen, differences_seen
from soilx.bench.plan_scale import Scale
from soilx.bench.record_columns import KIT_ERRORS, LABORATORY_ERRORS
from soilx.column.fields import Given, listed
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.column.sweep import sweep
from soilx.column.water import Water
from soilx.errors import LimitError, require
from soilx.practice.dose.product import PURE, Product
from soilx.units import Kind, read

LEAST_PORTION_ML: Final = 20.0
"""What conductivity, sodium and turbidity together take of a cup; common practice, no source."""

MOST_REPLICATES: Final = 30


@dataclass(frozen=True, kw_only=True)
class Plan:
    """A bench run before its first drop.

    Attributes
    ----------
    soil : Soil
    scale : Scale
        Bench and field side by side.
    treated : Scenario
        The gypsum column: pre-wetting, then equal portions of deionised water.
    portions : int
        Number of portions.
    replicates : int
        Columns of each arm.
    resolution_g : float
        Smallest step of the balance.
    instruments : mapping of str to Instrument
        What will be read with.
    measured_with : str
        "kits" or "laboratory".
    irrigation : Water or None
        The real water, for two arms of its own.
    chosen : tuple of str
        Names of the arms that are run.
    """

    soil: Soil
    scale: Scale
    treated: Scenario
    portions: int
    replicates: int = LEAST_REPLICATES
    resolution_g: float = 0.01
    measured_with: str = "kits"
    irrigation: Water | None = None
    chosen: tuple[str, ...] = field(default=())

    def __post_init__(self) -> None:
        require(
            "replicates",
            self.replicates,
            "columns",
            low=1,
            high=MOST_REPLICATES,
            whose="an arm that can be watched",
            remedy=f"plan {LEAST_REPLICATES} or some more",
        )
        require(
            "balance",
            self.resolution_g,
            "g",
            low=0.0,
            low_open=True,
            whose="a balance that reads something",
            remedy='give its smallest step, like "0.01 g"',
        )
        if self.measured_with not in ("kits", "laboratory"):
            raise LimitError(
                f'measured_with = {self.measured_with}: is not a kind of reading; the kinds are "kits", '
                '"laboratory"; write one of them.'
            )
        known = [arm.name for arm in self.every_arm]
        for name in self.chosen:
            if name not in known:
                raise LimitError(
                    f"arm {name}: is not in the plan; the arms are {listed(known)}; write one of them, or "
                    "give the irrigation water."
                )

    @classmethod
    def of(
        cls,
        soil: Soil,
        *,
        soil_mass: Given = "100 g",
        opening: Given = "9 cm",
        gypsum: Given | None = None,
        target_esp: float | Given | None = None,
        water: Given = "4 pore_volume",
        portions: int = 8,
        product: Product = PURE,
        replicates: int = LEAST_REPLICATES,
        balance: Given = "0.01 g",
        measured_with: str = "kits",
        irrigation: Water | None = None,
        arms: Iterable[str] = (),
    ) -> Self:
        """Plan from what is at hand.

        Parameters
        ----------
        soil : Soil
        soil_mass, opening : str or Quantity
            Oven-dry soil in a column, and the inner width of its container.
        gypsum : str or Quantity, optional
            Pure gypsum: "5.64 t/ha", "3.0 g/kg". Give this or `target_esp`.
        target_esp : float, str or Quantity, optional
            What the hand formula is to reach.
        water : str or Quantity
            Poured after the pre-wetting: "4 pore_volume", "360 mL".
        portions : int
            In how many equal parts.
        product : Product
            What is weighed.
        replicates : int
            Columns of each arm.
        balance : str or Quantity
            Smallest step of the balance.
        measured_with : str
            "kits" or "laboratory": whose errors the readings have.
        irrigation : Water, optional
            The real water, for arms of its own.
        arms : iterable of str, optional
            Which arms are run; all of them unless given.

        Raises
        ------
        SoilxError
            If something is in a wrong unit or impossible, or there is nothing to show: no dose, or ESP at the
            target already.
        """
        mass = read(soil_mass, Kind.MASS, name="soil_mass")
        dose = dose_of(soil, gypsum=gypsum, target_esp=target_esp)
        ground = replace(soil.ground, soil_mass=mass)
        volume = read(water, Kind.WATER, name="water", ground=ground)
        count = require(
            "portions",
            portions,
            "",
            low=1,
            high=100,
            whose="cups on a bench",
            remedy="give a number such as 8",
        )
        treated = treated_column(soil, gypsum=dose, soil_mass=mass, water=volume, portions=int(count))
        return cls(
            soil=soil,
            scale=Scale(ground=ground, opening=read(opening, Kind.DEPTH, name="opening"), product=product),
            treated=treated,
            portions=int(count),
            replicates=replicates,
            resolution_g=1000.0 * read(balance, Kind.MASS, name="balance"),
            measured_with=measured_with,
            irrigation=irrigation,
            chosen=tuple(arms),
        )

    @cached_property
    def every_arm(self) -> tuple[Arm, ...]:
        """All arms that could be run."""
        return arms_of(self.treated, irrigation=self.irrigation)

    @property
    def arms(self) -> tuple[Arm, ...]:
        """The arms that are run, the pair first."""
        return tuple(arm for arm in self.every_arm if not self.chosen or arm.name in self.chosen)

    def arm(self, name: str) -> Arm:
        """One arm by its name, run or not.

        Raises
        ------
        LimitError
            If there is no such arm.
        """
        for arm in self.every_arm:
            if arm.name == name:
                return arm
        names = listed(arm.name for arm in self.every_arm)
        raise LimitError(f"arm {name}: is not in the plan; the arms are {names}; write one of them.")

    @property
    def gypsum(self) -> float:
        """Pure gypsum [mmol/kg]."""
        return self.treated.gypsum

    @property
    def product_g(self) -> float:
        """Product that a gypsum column gets, by soil mass [g]."""
        return self.scale.product_g(self.gypsum)

    @property
    def prewet_ml(self) -> float:
        """Water that brings a column to its drained content before the first portion [mL]."""
        return self.scale.millilitres(max(0.0, self.soil.drained_water - self.soil.initial_water))

    @property
    def portion_ml(self) -> float:
        """Water of each portion [mL]."""
        return self.scale.millilitres(self.treated.wettings[-1].volume) / self.portions

    @property
    def pore_volume_ml(self) -> float:
        """Water that a column holds when drained [mL]."""
        return self.scale.millilitres(self.soil.drained_water)

    @property
    def instruments(self) -> dict[str, Instrument]:
        """What will be read with, by quantity; common practice."""
        errors = KIT_ERRORS if self.measured_with == "kits" else LABORATORY_ERRORS
        return {
            name: Instrument(quantity=name, reading_error=reading, calibration_error=calibration, typed=False)
            for name, (reading, calibration) in errors.items()
        }

    @cached_property
    def runs(self) -> dict[str, Run]:
        """What the model expects of every arm with soil, by name."""
        arms = [arm for arm in self.every_arm if arm.scenario is not None]
        runs = sweep([arm.scenario for arm in arms if arm.scenario is not None])
        return {arm.name: run for arm, run in zip(arms, runs, strict=True)}

    @cached_property
    def seen(self) -> tuple[Seen, ...]:
        """What of the predicted pair the named instruments can see, and with how many columns."""
        return differences_seen(
            self.runs["gypsum"],
            self.runs["control"],
            sodium=self.instruments["sodium"],
            conductivity=self.instruments["ec"],
        )

    @property
    def notes(self) -> tuple[str, ...]:
        """What has to be known before the run is set up."""
        notes = [self.scale.why_not_by_area, *self.treated.notes]
        if self.portion_ml < LEAST_PORTION_ML:
            notes.append(
                f"A portion of {self.portion_ml:.0f} mL is little for three readings ({LEAST_PORTION_ML:g} "
                "mL, common practice): pour fewer portions, or take more soil."
            )
        if self.replicates < LEAST_REPLICATES:
            notes.append(
                f"{self.replicates} column{'s' if self.replicates > 1 else ''} of an arm cannot tell gypsum "
                f"from luck: plan {LEAST_REPLICATES} or more."
            )
        if self.irrigation is None:
            notes.append("No irrigation water was named: run it too if you can, deionised water is harsher.")
        return tuple(notes)
