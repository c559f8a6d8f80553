"""A soil, gypsum, and the water it is given: everything a run, a screen, a file or a handout starts from."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import inf
from typing import Final, Self

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.soil_solution import Solution
from soilx.column.dispersion import (
    DEFAULT_DISPLACED_FRACTION,
    DEFAULT_LAYERS,
    dispersivity_of,
    fraction_of,
    read_stack,
    require_possible_column,
)
from soilx.column.dissolution import EQUILIBRIUM, rate_by_layer, read_dissolution, require_dissolution
from soilx.column.fields import Given, Typed, refuse_unknown, typed_text
from soilx.column.placement import (
    MIXED,
    WATER,
    gypsum_by_layer,
    read_placement,
    refuse_undissolved,
    require_placement,
)
from soilx.column.scenario_defaults import defaults_in_use
from soilx.column.soil import Soil
from soilx.column.wetting import Wetting, wetting_on
from soilx.errors import require
from soilx.units import Ground, Kind, Quantity, read

KEYS: Final[tuple[str, ...]] = (
    "title",
    "gypsum",
    "placement",
    "layers",
    "displaced_fraction",
    "dispersivity",
    "bypass_fraction",
    "dissolution",
    "dissolution_rate",
    "soil_mass",
)
"""What can be typed of a scenario, beside its soil and wettings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """One column, what is put into it, and the waters that run through it.

    Attributes
    ----------
    soil : Soil
    gypsum : float
        Pure gypsum over the whole column [mmol/kg].
    wettings : tuple of Wetting
        In the order of application; empty for a column before its first water.
    placement : str
        "mixed", "top", "surface" or "water".
    top_fraction : float
        Fraction of the depth into which gypsum is mixed; 1 but for "top".
    layers : int
        Number of stirred layers.
    displaced_fraction : float
        Share of each layer's water that one step displaces.
    bypass_fraction : float
        Share of each displacement that passes a layer unmixed.
    dissolution : str
        "equilibrium" or "first_order".
    dissolution_rate : float
        First-order rate constant κ of the whole dose; infinite at equilibrium [1/h].
    soil_mass : float or None
        Oven-dry soil in the container, for volumes in mL [kg].
    title : str
        For screens and handouts.
    typed : tuple of (str, str)
        As typed; with `soil.typed` and the wettings' texts, the scenario can be built from it again.

    Raises
    ------
    LimitError
        If a number is outside what a column can be, or the water cannot dissolve the gypsum it is to carry.
    """

    soil: Soil
    gypsum: float
    wettings: tuple[Wetting, ...]
    placement: str = MIXED
    top_fraction: float = 1.0
    layers: int = DEFAULT_LAYERS
    displaced_fraction: float = DEFAULT_DISPLACED_FRACTION
    bypass_fraction: float = 0.0
    dissolution: str = EQUILIBRIUM
    dissolution_rate: float = inf
    soil_mass: float | None = None
    title: str = ""
    typed: Typed = ()

    def __post_init__(self) -> None:
        require_possible_column(
            gypsum=self.gypsum,
            layers=self.layers,
            displaced_fraction=self.displaced_fraction,
            bypass_fraction=self.bypass_fraction,
        )
        require_placement(self.placement, self.top_fraction)
        require_dissolution(self.dissolution, self.dissolution_rate)
        spare = self.soil.drained_water - self.soil.driest_water
        for wetting in self.wettings:
            require(
                "evapotranspiration",
                wetting.evapotranspiration,
                "L/kg",
                low=0.0,
                high=spare * (1 + 1e-12),
                whose=f"what lies between drained and driest water of soil {self.soil.name}",
                remedy="take less, or wet the soil between",
            )
        if self.placement == WATER and self.gypsum > 0:
            refuse_undissolved(
                self.gypsum, volume=self.volume, waters=tuple(wetting.water for wetting in self.wettings)
            )

    @classmethod
    def of(
        cls,
        soil: Soil,
        *,
        gypsum: Given = "0 g/kg",
        wettings: Iterable[object] | str | Quantity = (),
        collect: int | Given | None = None,
        **given: Given | int | float,
    ) -> Self:
        """Scenario from text with units, or quantities.

        Parameters
        ----------
        soil : Soil
        gypsum : str or Quantity
            Pure gypsum: "7.05 t/ha", "3.0 g/kg". A rate per area is spread over the column's soil; a rate per
            soil is per kilogram of the whole column, wherever it is placed.
        wettings : iterable
            Each an amount ("4 pore_volume", deionised water), an (amount, Water), a mapping with `amount`,
            `water`, `hours`, `collect`, `evapotranspiration`, or a Wetting.
        collect : int, str or Quantity, optional
            In how many portions, or of what size, leachate is caught, for wettings that do not say it.
        **given : str, Quantity or number
            `placement` ("mixed", "top 5 cm", "surface", "water": dissolved evenly in all the water applied),
            `layers`, `displaced_fraction` or `dispersivity`, `bypass_fraction`, `dissolution`
            ("equilibrium", "first_order"), `dissolution_rate`, `soil_mass`, `title`.

        Returns
        -------
        Scenario

        Raises
        ------
        SoilxError
            If something is unknown, in a wrong unit, or outside its limits.
        """
        refuse_unknown(given, KEYS, what="a scenario")
        texts = {"gypsum": typed_text(gypsum, name="gypsum")}
        for key, value in given.items():
            texts[key] = typed_text(value, name=key, plain=key in _PLAIN)
        if isinstance(wettings, str | Quantity):
            wettings = (wettings,)
        ordered = {key: texts[key] for key in KEYS if key in texts}
        return cls._read(soil, ordered, tuple(wettings), collect)

    @classmethod
    def _read(
        cls, soil: Soil, texts: dict[str, str], wettings: tuple[object, ...], collect: int | Given | None
    ) -> Self:
        mass = read(texts["soil_mass"], Kind.MASS, name="soil_mass") if "soil_mass" in texts else None
        ground = replace(soil.ground, soil_mass=mass)
        placement, top_fraction = read_placement(texts.get("placement", MIXED), depth=soil.depth)
        layers, displaced = read_stack(texts, depth=soil.depth)
        dissolution, rate = read_dissolution(texts)
        return cls(
            soil=soil,
            gypsum=read(texts["gypsum"], Kind.GYPSUM_RATE, name="gypsum", ground=ground),
            wettings=tuple(wetting_on(ground, wetting, collect=collect) for wetting in wettings),
            placement=placement,
            top_fraction=top_fraction,
            layers=layers,
            displaced_fraction=displaced,
            bypass_fraction=fraction_of(texts, "bypass_fraction", default=0.0),
            dissolution=dissolution,
            dissolution_rate=rate,
            soil_mass=mass,
            title=texts.get("title", ""),
            typed=tuple(texts.items()),
        )

    def with_(self, **changes: object) -> Self:
        """The scenario read again with other things typed.

        Parameters
        ----------
        **changes
            `soil`, `wettings`, and whatever `Scenario.of` takes; None takes back what was typed. Pore
            volumes, depths and area rates mean the new soil's where the soil is changed.
        """
        wettings: tuple[object, ...] = self.wettings
        if "collect" in changes:
            wettings = tuple(
                {**dict(wetting.typed), "water": wetting.water, "collect": None} for wetting in self.wettings
            )
        given: dict[str, object] = {
            **dict(self.typed),
            "soil": self.soil,
            "wettings": wettings,
            **changes,
        }
        return type(self).of(**{key: value for key, value in given.items() if value is not None})  # type: ignore[arg-type]

    def without_gypsum(self) -> Self:
        """The same column and water, untreated."""
        return self.with_(gypsum="0 g/kg")

    @property
    def ground(self) -> Ground:
        """What rates, depths of water, volumes and pore volumes refer to."""
        return replace(self.soil.ground, soil_mass=self.soil_mass)

    @property
    def dispersivity(self) -> float:
        """Longitudinal dispersivity of the stack [mm]."""
        return dispersivity_of(
            layers=self.layers, displaced_fraction=self.displaced_fraction, depth=self.soil.depth
        )

    @property
    def volume(self) -> float:
        """All water applied [L/kg]."""
        return sum(wetting.volume for wetting in self.wettings)

    @property
    def inflows(self) -> tuple[Solution, ...]:
        """What enters the top layer in each wetting, gypsum dissolved in the water included [mmol/L]."""
        if self.placement != WATER or not self.gypsum > 0:
            return tuple(wetting.water.solution for wetting in self.wettings)
        carried = self.gypsum / self.volume
        return tuple(
            replace(
                wetting.water.solution,
                ca=wetting.water.solution.ca + carried,
                so4=wetting.water.solution.so4 + carried,
            )
            for wetting in self.wettings
        )

    def gypsum_by_layer(self) -> NDArray[np.float64]:
        """Solid gypsum put into each layer, shape (layers,) [mmol/kg of that layer]."""
        return gypsum_by_layer(
            self.gypsum, placement=self.placement, top_fraction=self.top_fraction, layers=self.layers
        )

    def dissolution_rate_by_layer(self) -> NDArray[np.float64]:
        """First-order rate constant of each layer's gypsum, shape (layers,) [1/h]; infinite at equilibrium.

        Notes
        -----
        The rate belongs to the dose: dosed into a part of the column, it works on that part's water alone, so
        that its constant there is larger by as much as the part is smaller, and what comes off surface-laid
        gypsum does not depend on the number of layers. Gypsum elsewhere, native or come down again, has the
        plain constant.
        """
        share = gypsum_by_layer(
            1.0, placement=self.placement, top_fraction=self.top_fraction, layers=self.layers
        )
        return rate_by_layer(self.dissolution_rate, share)

    @property
    def defaults(self) -> dict[str, str]:
        """Every default in use, by name, with its value."""
        return defaults_in_use(
            dict(self.typed),
            layers=self.layers,
            displaced_fraction=self.displaced_fraction,
            placement=self.placement,
            dissolution=self.dissolution,
            soil=self.soil.defaults,
            wettings=tuple(wetting.defaults for wetting in self.wettings),
        )

    @property
    def notes(self) -> tuple[str, ...]:
        """Sentences of the soil and the waters to show beside any result."""
        waters = {wetting.water.name: wetting.water for wetting in self.wettings}
        return (*self.soil.notes, *(note for water in waters.values() for note in water.notes))


_PLAIN: Final = ("layers", "displaced_fraction", "bypass_fraction")
