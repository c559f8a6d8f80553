"""Quantities with units: the only door by which they come in and go out.

Inside, every number is a float in the internal units L, kg, mmol, mmol_c, mm, h and dS/m. `read` converts
what a person typed, once, by the kind of quantity that is wanted; `express` goes back. Both use one factor,
so that a round trip is exact to rounding. Moles of charge (mol_c, eq) are a dimension of their own: going
between moles and charge takes an ion.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING, Any, NoReturn, cast

import pint
from pint.util import UnitsContainer

from soilx.errors import LimitError, UnitKindError, refuse
from soilx.unit_kinds import (
    BARE,
    BRIDGES,
    GYPSUM,
    GYPSUM_MOLAR_MASS,
    SHAPES,
    Context,
    Formula,
    Ground,
    IonLike,
    Kind,
)
from soilx.unit_names import UNITS
from soilx.unit_text import read_unit, split, written

__all__ = [
    "GYPSUM",
    "GYPSUM_MOLAR_MASS",
    "Formula",
    "Ground",
    "IonLike",
    "Kind",
    "Quantity",
    "as_quantity",
    "as_text",
    "express",
    "quantity",
    "read",
]

if TYPE_CHECKING:

    class Quantity(pint.Quantity[float]):
        """A number with its unit; at run time pint's own class, which takes no type argument there."""

else:
    Quantity = pint.Quantity


def _canonical(text: str) -> str:
    """The registry's own words for a spelling, so that `Quantity.to` takes all that `quantity` takes."""
    return " * ".join(
        f"{unit} ** {power:g}" for unit, power in read_unit(text, name="unit", given=text).items()
    )


def _registry() -> pint.UnitRegistry[Any]:
    # Our own table: pint's default one takes "me/L" for milli-electron-charges and "ton" for short tons.
    registry: pint.UnitRegistry[Any] = pint.UnitRegistry(None, preprocessors=[_canonical])
    for unit, (definition, symbol, _) in UNITS.items():
        registry.define(f"{unit} = {definition}" + (f" = {symbol}" if symbol != unit else ""))
    return registry


_REGISTRY = _registry()


@lru_cache(maxsize=512)
def _units(text: str) -> UnitsContainer:
    return UnitsContainer(read_unit(text, name="unit", given=text))


@lru_cache(maxsize=512)
def _shape(units: UnitsContainer) -> tuple[UnitsContainer, str]:
    """What decides whether two units are of one kind: dimension, and for pure numbers their manner."""
    dimension = _REGISTRY.get_dimensionality(units)
    if dimension or not units:
        return dimension, ""
    if set(units) == {"percent"}:
        return dimension, "percent"
    counted = {str(_REGISTRY.get_dimensionality(UnitsContainer({unit: 1}))) for unit in units}
    return dimension, "per mass" if counted <= {"[mass]", "dimensionless"} else "cancelled"


def _made(number: float, units: UnitsContainer) -> Quantity:
    return cast("Quantity", _REGISTRY.Quantity(number, units))


@lru_cache(maxsize=512)
def _scale(units: UnitsContainer, wanted: UnitsContainer) -> float:
    return float(_REGISTRY.convert(1.0, units, wanted))


def _factor(kind: Kind, units: UnitsContainer, context: Context) -> float:
    """How many internal units of a kind one of the given units is."""
    shape = _shape(units)
    internal = _units(kind.unit)
    if shape == _shape(internal):
        return _scale(units, internal)
    for text, rule in BRIDGES.get(kind, {}).items():
        bridge = _units(text)
        # As a concentration only lb/acre has a soil mass by convention; any other rate per area stays a rate.
        if units == bridge if text == "lb/acre" else shape == _shape(bridge):
            return _scale(units, bridge) * rule(context)
    return _refuse_kind(kind, shape, context)


def _refuse_kind(kind: Kind, shape: tuple[UnitsContainer, str], context: Context) -> NoReturn:
    counted = (words for text, words in SHAPES.items() if _shape(_units(text)) == shape)
    found = next(counted, "something else")
    context.refuse(f"is {found}, not {kind.words}", limit="", remedy=f'write it like "{kind.example}"')


def _taken_apart(given: object, *, name: str, example: str) -> tuple[float, UnitsContainer]:
    """Number and units of text, a quantity (from any registry) or a bare number."""
    if isinstance(given, str):
        number, spelling = split(given, name=name)
        return number, UnitsContainer(read_unit(spelling, name=name, given=given))
    units = UnitsContainer({})
    magnitude: object = given
    if isinstance(given, pint.Quantity):
        magnitude = given.magnitude
        if given._REGISTRY is _REGISTRY:
            units = given._units
        elif not given.unitless:
            units = UnitsContainer(read_unit(f"{given.units:D}", name=name, given=given))
    try:
        number = math.nan if isinstance(magnitude, bool) else float(magnitude)  # type: ignore[arg-type]
    except (TypeError, ValueError, OverflowError):
        number = math.nan
    if not math.isfinite(number):
        remedy = f'write it like "{example}"'
        refuse(name, given, "", wrong="is not one finite number", limit="", remedy=remedy, error=LimitError)
    return number, units


def quantity(value: str | float | Quantity, unit: str | None = None, *, name: str = "quantity") -> Quantity:
    """A quantity with its unit, from text such as "7.05 t/ha" or from a number and a unit.

    Parameters
    ----------
    value : str, float or Quantity
        Text that carries its unit, or a number (also as text) whose unit is given apart.
    unit : str, optional
        Unit of a bare number; a quantity is converted to it.
    name : str
        What it is for, in the words of a refusal.

    Returns
    -------
    Quantity
        As it was written; `Quantity.to` takes every spelling that is read here.

    Raises
    ------
    UnitKindError
        No unit, two units, an unknown or ambiguous unit, or text that is not a quantity.
    LimitError
        Not one finite number.
    """
    number, units = _taken_apart(value, name=name, example="7.05 t/ha")
    if unit is None:
        if not units:
            refuse(
                name,
                value,
                "",
                wrong="has no unit",
                limit="soilx guesses none",
                remedy='write the unit with the number, like "7.05 t/ha" or "24 cmol_c/kg"',
                error=UnitKindError,
            )
        return _made(number, units)
    wanted = UnitsContainer(read_unit(unit, name=name, given=f"{value} {unit}"))
    if not units:
        return _made(number, wanted)
    if isinstance(value, str) or _shape(units) != _shape(wanted):
        remedy = f"give a bare number in {unit or 'no unit'}, or the text alone"
        refuse(
            name,
            value,
            "",
            wrong="has a unit of its own already",
            limit="",
            remedy=remedy,
            error=UnitKindError,
        )
    return _made(_scale(units, wanted) * number, wanted)


def read(
    given: str | float | Quantity,
    kind: Kind,
    *,
    name: str,
    ion: IonLike | None = None,
    ground: Ground | None = None,
) -> float:
    """What was typed, as a float in the internal unit of the kind that is wanted.

    Parameters
    ----------
    given : str, float or Quantity
        Text with a unit, or a quantity. Bare numbers: only for kinds in `BARE`.
    kind : Kind
        What is wanted. It also decides what ppm (mg/kg of soil, mg/L of water) and lb/acre mean.
    name : str
        What it is for, in the words of a refusal.
    ion : IonLike, optional
        The ion that is counted, to go between mass, amount and charge.
    ground : Ground, optional
        The soil that an area rate, a depth or volume of water, or a pore volume refers to.

    Returns
    -------
    float
        In `kind.unit`.

    Raises
    ------
    UnitKindError
        No unit, a unit of another kind, or a unit that needs an ion or a ground that was not given.
    LimitError
        Not one finite number, or a bare fraction above 1.

    Notes
    -----
    As a concentration in the soil, lb/acre is taken on 2 000 000 lb of soil, as reports do: mg/kg × 2.
    """
    number, units = _taken_apart(given, name=name, example=kind.example)
    context = Context(name=name, given=given, ion=ion, ground=ground)
    if not units and kind not in BARE:
        context.refuse("has no unit", limit="soilx guesses none", remedy=f'write it like "{kind.example}"')
    if kind is Kind.FRACTION and not units and number > 1:
        refuse(
            name,
            given,
            "",
            wrong="is more than the whole",
            limit="a bare fraction lies between 0 and 1",
            remedy=f'write a percentage with its sign, like "{kind.example}"',
        )
    if kind is Kind.TEMPERATURE and _shape(units) == _shape(_units("degC")):
        value = float(_REGISTRY.Quantity(number, units).to(_units("degC")).magnitude)
    else:
        value = number * _factor(kind, units, context)
    if not math.isfinite(value):
        remedy = "write an amount that soil and water can hold"
        refuse(name, given, "", wrong="is too large to compute with", limit="", remedy=remedy)
    return value


def express(
    value: float, kind: Kind, unit: str, *, ion: IonLike | None = None, ground: Ground | None = None
) -> float:
    """An internal value in a unit of the trade: the way back from `read`.

    Parameters
    ----------
    value : float
        In `kind.unit`.
    kind : Kind
        What the value counts.
    unit : str
        Any spelling that `read` takes for this kind; empty for a bare number.
    ion, ground : optional
        As for `read`.

    Returns
    -------
    float
        In `unit`.

    Raises
    ------
    UnitKindError
        The unit is of another kind, or needs an ion or a ground that was not given.
    """
    units = UnitsContainer(read_unit(unit, name="unit", given=unit))
    context = Context(name="unit", given=unit, ion=ion, ground=ground)
    if kind is Kind.TEMPERATURE and _shape(units) == _shape(_units("degC")):
        return float(_REGISTRY.Quantity(value, _units("degC")).to(units).magnitude)
    return value / _factor(kind, units, context)


def as_quantity(
    value: float, kind: Kind, unit: str, *, ion: IonLike | None = None, ground: Ground | None = None
) -> Quantity:
    """An internal value as a quantity in a unit of the trade; parameters and refusals as for `express`."""
    return _made(express(value, kind, unit, ion=ion, ground=ground), _units(unit))


def as_text(given: Quantity) -> str:
    """A quantity as text from which `quantity` makes the same one again, to the last bit."""
    number, units = _taken_apart(given, name="quantity", example="7.05 t/ha")
    return f"{number!r} {written(f'{_REGISTRY.Unit(units):~C}')}".strip()
