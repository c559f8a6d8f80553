"""A soil as the column needs it: geometry, water, exchanger, and what it holds of every ion."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Self

from soilx.chemistry.cation_exchange import DEFAULT_SELECTIVITY, Selectivity, unusual_selectivities
from soilx.chemistry.conductivity import electrical_conductivity
from soilx.chemistry.layer_equilibrium import LayerState, equilibrate_inventory
from soilx.chemistry.soil_solution import sodium_adsorption_ratio
from soilx.column.fields import Given, Typed, read_field, typed_text
from soilx.column.inventory import Inventory
from soilx.column.soil_changes import inventory_at_sodium, inventory_of_state
from soilx.column.soil_fields import CHANGES, OBSERVATIONS, SELECTIVITIES, SOIL_FIELD
from soilx.column.soil_limits import require_neutral_inventory, require_possible_soil
from soilx.column.soil_reading import Reading, read_soil, selectivity_of
from soilx.errors import LimitError
from soilx.units import Ground


@dataclass(frozen=True, slots=True, kw_only=True)
class Soil:
    """A soil layer of one kind, with what a kilogram of it holds.

    Attributes
    ----------
    name : str
        As on the screen.
    depth : float
        Depth of the column [mm].
    bulk_density : float
        Oven-dry [kg/L].
    cation_exchange_capacity : float
        [mmol_c/kg]
    initial_water, drained_water, driest_water : float
        Water at the start, held when drained (one pore volume), and left by evapotranspiration at least
        [L/kg].
    calcium, magnesium, sodium, potassium, sulfate, chloride, bicarbonate : float
        Totals: exchanger, solution and solid gypsum together [mmol/kg].
    selectivity : Selectivity
        How the exchanger chooses.
    implied_selectivity : Selectivity or None
        What exchanger and extract of the soil's own report say together.
    defaults : tuple of (str, str)
        What was not given, and what was taken instead.
    yields : tuple of str
        What gave way, was changed or should be known.
    typed, changes : tuple of (str, str)
        As typed, and what was changed afterwards, in order: the soil can be built from them again.

    Raises
    ------
    LimitError
        If a value is outside what a soil can be, or the totals are not electroneutral.
    """

    name: str
    depth: float
    bulk_density: float
    cation_exchange_capacity: float
    initial_water: float
    drained_water: float
    driest_water: float
    calcium: float
    magnesium: float
    sodium: float
    potassium: float
    sulfate: float
    chloride: float
    bicarbonate: float
    selectivity: Selectivity = DEFAULT_SELECTIVITY
    implied_selectivity: Selectivity | None = None
    defaults: Typed = ()
    yields: tuple[str, ...] = ()
    typed: Typed = ()
    changes: Typed = ()

    def __post_init__(self) -> None:
        require_possible_soil(
            self.name,
            depth=self.depth,
            bulk_density=self.bulk_density,
            capacity=self.cation_exchange_capacity,
            initial_water=self.initial_water,
            drained_water=self.drained_water,
            driest_water=self.driest_water,
        )
        require_neutral_inventory(self.name, self.inventory, capacity=self.cation_exchange_capacity)

    @classmethod
    def of(cls, *, changes: Iterable[tuple[str, str]] = (), **given: Given) -> Self:
        """Soil from what is known of it: text with units, or quantities.

        Parameters
        ----------
        changes : iterable of (str, str)
            Properties moved afterwards, in order; as a changed soil keeps them.
        **given : str or Quantity
            Keys of `soilx.column.soil_fields.SOIL_FIELDS`. Always: `name`, `depth`, `bulk_density`,
            `cation_exchange_capacity`, and `drained_water` or `saturation_percentage`. Then one of three
            origins, told from the keys or named by `origin`:

            "report"
                `saturation_percentage`, `exchangeable_calcium` (`_magnesium`, `_potassium`, `_sodium`),
                `extract_calcium` (`_magnesium`, `_sodium`, `_potassium`, `_bicarbonate`, `_chloride`,
                `_sulfate`).
            "totals"
                `total_sodium`, `total_potassium`, `total_sulfate`, `other_anions`, and `magnesium_share` or
                `total_magnesium`.
            "summary"
                `exchangeable_sodium_percentage`, `electrical_conductivity`.

        Returns
        -------
        Soil
            Its `notes` say what was taken by default and what yielded.

        Raises
        ------
        SoilxError
            If something is missing, unknown, in a wrong unit, or contradicts the rest.
        """
        typed = tuple((key, typed_text(text)) for key, text in given.items())
        reading = read_soil(dict(typed))
        soil = cls._from_reading(reading)
        # Here and not later: a solution too strong for the activity model is refused where it was typed.
        shift = _shift(reading.stated_esp_pct, soil.exchangeable_sodium_percentage, water=soil.drained_water)
        if shift:
            soil = replace(soil, yields=(*soil.yields, shift))
        for key, text in changes:
            soil = soil._changed(key, text)
        return soil

    @classmethod
    def _from_reading(cls, reading: Reading) -> Self:
        return cls(
            name=reading.name,
            depth=reading.values["depth"],
            bulk_density=reading.values["bulk_density"],
            cation_exchange_capacity=reading.values["cation_exchange_capacity"],
            initial_water=reading.initial_water,
            drained_water=reading.drained_water,
            driest_water=reading.driest_water,
            selectivity=reading.selectivity,
            implied_selectivity=reading.inventory.implied_selectivity,
            defaults=(*reading.defaults, *reading.inventory.defaults),
            yields=reading.inventory.yields,
            typed=reading.typed,
            **reading.inventory.amounts,
        )

    @property
    def inventory(self) -> Inventory:
        """What a kilogram holds in all, as one value."""
        return Inventory(
            calcium=self.calcium,
            magnesium=self.magnesium,
            sodium=self.sodium,
            potassium=self.potassium,
            sulfate=self.sulfate,
            chloride=self.chloride,
            bicarbonate=self.bicarbonate,
        )

    def _holding(self, inventory: Inventory, *, capacity: float) -> Self:
        return replace(self, cation_exchange_capacity=capacity, **inventory.amounts)

    @property
    def state(self) -> LayerState:
        """Solution, exchanger and solid gypsum at equilibrium at the drained water content."""
        return state_of(self, self.drained_water)

    @property
    def exchangeable_sodium_percentage(self) -> float:
        """100 × sodium's charge fraction of the exchanger, at drained water [%]."""
        return self.state.exchangeable_sodium_percentage

    @property
    def electrical_conductivity(self) -> float:
        """Of the soil solution at drained water, at 25 °C [dS/m]."""
        return float(electrical_conductivity(self.state.solution.as_array()))

    @property
    def sodium_adsorption_ratio(self) -> float:
        """Of the soil solution at drained water [(mmol/L)^½]."""
        solution = self.state.solution
        return float(sodium_adsorption_ratio(solution.na, solution.ca, solution.mg))

    @property
    def ground(self) -> Ground:
        """What an area rate, a depth of water or a pore volume refers to."""
        return Ground(depth=self.depth, bulk_density=self.bulk_density, drained_water=self.drained_water)

    @property
    def observations(self) -> dict[str, str]:
        """What was seen of the site, as typed; for a diagnosis, the column does not use it."""
        return {key: text for key, text in self.typed if key in OBSERVATIONS}

    @property
    def notes(self) -> tuple[str, ...]:
        """Sentences to show beside any result: defaults, yields, changes, unusual selectivities."""
        defaults = tuple(f"{key.replace('_', ' ')} not given: {value}" for key, value in self.defaults)
        return (*defaults, *self.yields, *unusual_selectivities(self.selectivity))

    def with_capacity(self, capacity: Given) -> Self:
        """The soil with another exchange capacity: fractions and solution stay, the exchanger is scaled.

        Parameters
        ----------
        capacity : str or Quantity
            Such as "30 cmol_c/kg".
        """
        return self._changed("cation_exchange_capacity", typed_text(capacity))

    def with_exchangeable_sodium_percentage(self, percentage: Given) -> Self:
        """The soil with another ESP at drained water and the same capacity.

        Sodium swaps charge for calcium and magnesium in their proportion. Potassium's share and the dissolved
        anions stay, and with them, nearly, the conductivity; the solution's cations follow.

        Parameters
        ----------
        percentage : str or Quantity
            Such as "15 %".
        """
        return self._changed("exchangeable_sodium_percentage", typed_text(percentage))

    def with_selectivity(self, selectivity: Selectivity | str) -> Self:
        """The soil, its inventory redistributed by other selectivities.

        Parameters
        ----------
        selectivity : Selectivity or str
            Values, or "implied" by the soil's own report, or "default".
        """
        if isinstance(selectivity, str):
            return self._changed("selectivity", selectivity)
        soil = self
        for key in SELECTIVITIES:
            value: float = getattr(selectivity, key.removesuffix("_selectivity"))
            soil = soil._changed(key, f"{value!r} {SOIL_FIELD[key].unit}".strip())
        return soil

    def _changed(self, key: str, text: str) -> Self:
        soil, defaults, capacity = self, self.defaults, self.cation_exchange_capacity
        if key == "cation_exchange_capacity":
            capacity = read_field(SOIL_FIELD[key], text)
            inventory = inventory_of_state(self.state, capacity=capacity, water=self.drained_water)
            soil = self._holding(inventory, capacity=capacity)
            note = f"CEC set to {text}: exchanger fractions and solution kept, the exchanger scaled"
        elif key == "exchangeable_sodium_percentage":
            inventory = inventory_at_sodium(
                self.state,
                read_field(SOIL_FIELD[key], text),
                capacity=capacity,
                water=self.drained_water,
                selectivity=self.selectivity,
                equilibrium=lambda held: self._holding(held, capacity=capacity).state,
            )
            soil = self._holding(inventory, capacity=capacity)
            note = (
                f"exchangeable sodium set to {text} at drained water: CEC, potassium's share and dissolved "
                "anions kept, sodium swapped for calcium and magnesium in their proportion"
            )
        elif key in CHANGES:
            selectivity = selectivity_of(
                {key: text}, implied=self.implied_selectivity, start=self.selectivity
            )
            soil = replace(self, selectivity=selectivity)
            defaults = tuple(default for default in defaults if default[0] != "selectivity")
            note = f"{key.replace('_', ' ')} set to {text}: the same inventory, redistributed"
        else:
            raise LimitError(
                f"{key}: cannot be changed on a soil that is made; the limit is ours: {', '.join(CHANGES)}; "
                "build another soil with Soil.of."
            )
        return replace(
            soil, defaults=defaults, changes=(*self.changes, (key, text)), yields=(*self.yields, note)
        )


def _shift(stated: float | None, found: float, *, water: float) -> str:
    """What becomes of a stated ESP [%] at the column's own water content [L/kg] and selectivities."""
    if stated is None or abs(found - stated) < 0.005:
        return ""
    return (
        f"ESP {stated:.2f} stated, {found:.2f} at {water:.3g} L/kg drained water by equilibrium with the "
        "selectivities in use"
    )


@lru_cache(maxsize=512)
def state_of(soil: Soil, water: float) -> LayerState:
    """Solution and exchanger of a soil's inventory at equilibrium with so much water.

    Parameters
    ----------
    soil : Soil
    water : float
        [L/kg]
    """
    return equilibrate_inventory(
        sodium=soil.sodium,
        potassium=soil.potassium,
        magnesium=soil.magnesium,
        sulfate=soil.sulfate,
        chloride=soil.chloride,
        bicarbonate=soil.bicarbonate,
        capacity=soil.cation_exchange_capacity,
        water=water,
        selectivity=soil.selectivity,
    )
