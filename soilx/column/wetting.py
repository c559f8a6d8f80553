"""One wetting: how much of which water, in what time, caught in which portions, and what dries after."""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Self

from soilx.column.fields import Given, Typed, refuse_unknown, typed_text
from soilx.column.water import DEIONISED, Water
from soilx.errors import LimitError, UnitKindError, refuse, require
from soilx.units import Ground, Kind, read

HOURS_PER_PORE_VOLUME: Final = 24.0
"""Time one pore volume takes to pass, unless given [h]; common practice, no published source."""

MOST_PORE_VOLUMES: Final = 400.0
MOST_PORTIONS: Final = 1000

# Not str.isdigit: it takes "²" too, which is no number.
_COUNT: Final = re.compile(r"[+-]?[0-9]{1,9}")

KEYS: Final = ("amount", "water", "hours", "collect", "evapotranspiration")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wetting:
    """One application of one water to a given column.

    Attributes
    ----------
    water : Water
    volume : float
        Applied, per kilogram of the column's soil [L/kg].
    hours : float
        Time it takes to pass, in which soil and water are in contact [h].
    portions : tuple of float
        The applied volumes during each of which leachate is caught apart; they add up to `volume` [L/kg].
    evapotranspiration : float
        Water, not salt, taken from the column afterwards [L/kg].
    typed : tuple of (str, str)
        As typed, without the water.
    defaults : tuple of (str, str)
        What was not given, and what was taken instead.

    Raises
    ------
    LimitError
        If an amount or a time is negative or absurd.
    """

    water: Water
    volume: float
    hours: float
    portions: tuple[float, ...]
    evapotranspiration: float = 0.0
    typed: Typed = ()
    defaults: Typed = ()

    def __post_init__(self) -> None:
        for name, value, unit, open_ in (
            ("water applied", self.volume, "L/kg", True),
            ("hours", self.hours, "h", True),
            ("evapotranspiration", self.evapotranspiration, "L/kg", False),
            *((("collected portion", portion, "L/kg", True)) for portion in self.portions),
        ):
            require(
                name,
                value,
                unit,
                low=0.0,
                high=1e5,
                low_open=open_,
                whose="a wetting",
                remedy=f"give the {name} of this wetting, or leave the wetting out",
            )
        if abs(sum(self.portions) - self.volume) > 1e-9 * self.volume:
            refuse(
                "collected portions",
                sum(self.portions),
                "L/kg",
                wrong=f"do not add up to the {self.volume:g} L/kg applied",
                limit="all applied water belongs to a portion",
                remedy="build the wetting with Wetting.of",
            )

    @classmethod
    def of(
        cls,
        amount: object,
        *,
        ground: Ground,
        water: Water = DEIONISED,
        hours: object = None,
        collect: object = None,
        evapotranspiration: object = None,
    ) -> Self:
        """Wetting of a given ground, from text with units or quantities.

        Parameters
        ----------
        amount : str or Quantity
            Water applied: "4 pore_volume", "60 mL", "3 in", "0.88 L/kg".
        ground : Ground
            The column: its soil turns depths, volumes and pore volumes into L/kg.
        water : Water
            Deionised unless given.
        hours : str or Quantity, optional
            Time it takes to pass; 24 h a pore volume unless given.
        collect : int, str or Quantity, optional
            In how many equal portions of applied water the leachate is caught, or the size of a portion
            (the last one takes what is left); one a pore volume unless given.
        evapotranspiration : str or Quantity, optional
            Water lost afterwards, as a depth or per soil; none unless given.

        Raises
        ------
        SoilxError
            If a unit is wrong or an amount is negative or absurd.
        """
        typed = [("amount", typed_text(amount, name="amount"))]
        defaults: list[tuple[str, str]] = []
        volume = read(typed[0][1], Kind.WATER, name="water applied", ground=ground)
        pores = volume / ground.drained_water if ground.drained_water else 1.0
        require(
            "water applied",
            pores,
            "pore volumes",
            low=0.0,
            high=MOST_PORE_VOLUMES,
            low_open=True,
            whose="one wetting",
            remedy="give the water of one wetting; check whether its unit is per soil, a depth or a volume",
        )
        if hours is None:
            time = HOURS_PER_PORE_VOLUME * pores
            defaults.append(("hours", f"{time:.4g} h, {HOURS_PER_PORE_VOLUME:g} h a pore volume"))
        else:
            typed.append(("hours", typed_text(hours, name="hours")))
            time = read(typed[-1][1], Kind.TIME, name="hours")
        if collect is None:
            count = max(1, math.ceil(pores - 1e-9))
            portions = (volume / count,) * count
            defaults.append(("collect", f"{count}, a portion for each pore volume begun"))
        else:
            typed.append(("collect", typed_text(collect, name="collect", plain=True)))
            portions = _portions(typed[-1][1], volume, ground)
        lost = 0.0
        if evapotranspiration is not None:
            typed.append(("evapotranspiration", typed_text(evapotranspiration, name="evapotranspiration")))
            lost = read(typed[-1][1], Kind.WATER, name="evapotranspiration", ground=ground)
        return cls(
            water=water,
            volume=volume,
            hours=time,
            portions=portions,
            evapotranspiration=lost,
            typed=tuple(typed),
            defaults=tuple(defaults),
        )


def wetting_on(ground: Ground, given: object, *, collect: int | Given | None = None) -> Wetting:
    """Wetting of a ground from any of the forms that a scenario takes.

    Parameters
    ----------
    ground : Ground
        The column it is applied to.
    given : str, Quantity, (amount, Water), mapping or Wetting
        A mapping has the keys `amount`, `water` (a Water), `hours`, `collect`, `evapotranspiration`. A
        wetting made on another ground is read again on this one, from its text.
    collect : int, str or Quantity, optional
        How leachate is caught where the wetting itself does not say.

    Raises
    ------
    SoilxError
        If it is none of these, or something in it is wrong.
    """
    parts: dict[str, object]
    if isinstance(given, Wetting):
        if not given.typed:
            raise LimitError(
                "wetting: has no text to be read again from; the limit is ours, since pore volumes and "
                "depths are another amount on another soil; build it with Wetting.of, or write its amount "
                "as text."
            )
        parts = {**dict(given.typed), "water": given.water}
    elif isinstance(given, Mapping):
        parts = dict(given)
    elif isinstance(given, tuple) and len(given) == 2:
        parts = {"amount": given[0], "water": given[1]}
    else:
        parts = {"amount": given}
    refuse_unknown(parts, KEYS, what="a wetting")
    water = parts.get("water", DEIONISED)
    if not isinstance(water, Water):
        raise UnitKindError(
            f"water = {water!r}: is not a Water; the limit is ours; give soilx.Water.of(...), or one of "
            "soilx.read_waters(...)."
        )
    if "amount" not in parts:
        raise LimitError(
            'amount: is missing; a wetting is an amount of a water; write it like "4 pore_volume".'
        )
    return Wetting.of(
        parts["amount"],
        ground=ground,
        water=water,
        hours=parts.get("hours"),
        collect=collect if parts.get("collect") is None else parts["collect"],
        evapotranspiration=parts.get("evapotranspiration"),
    )


def _portions(text: str, volume: float, ground: Ground) -> tuple[float, ...]:
    """Applied volumes during which leachate is caught apart [L/kg]."""
    if _COUNT.fullmatch(text):
        count = require(
            "collect",
            int(text),
            "portions",
            low=1,
            high=MOST_PORTIONS,
            whose="one wetting",
            remedy="give a number of portions, or the size of one",
        )
        return (volume / count,) * int(count)
    size = read(text, Kind.WATER, name="collect", ground=ground)
    require(
        "collect",
        size,
        "L/kg",
        low=volume / MOST_PORTIONS,
        high=volume * (1 + 1e-9),
        whose=f"a portion of the {volume:g} L/kg applied, and at most {MOST_PORTIONS} of them",
        remedy="give the size of a portion, or their number",
    )
    count = math.ceil(volume / size - 1e-9)
    return (*(size,) * (count - 1), volume - size * (count - 1))
