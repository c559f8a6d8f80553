"""From typed text to what a soil is built of: which origin, which defaults, which inventory."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from soilx.chemistry.cation_exchange import DEFAULT_SELECTIVITY, SELECTIVITY_RANGES, Selectivity
from soilx.column.fields import (
    COMMON_PRACTICE,
    Typed,
    listed,
    read_field,
    read_word,
    refuse_unknown,
)
from soilx.column.inventory import Inventory
from soilx.column.soil_fields import ORIGINS, REPORT, SELECTIVITIES, SOIL_FIELD, SUMMARY, TOTALS
from soilx.column.soil_report import inventory_of_report
from soilx.column.soil_summary import inventory_of_summary
from soilx.column.soil_totals import inventory_of_totals
from soilx.errors import LimitError

DRAINED_OVER_SATURATION: Final = 0.5
DRIEST_OVER_DRAINED: Final = 0.4

_TELLING: Final = {
    REPORT: ("exchangeable_sodium", "extract_sodium"),
    TOTALS: ("total_sodium",),
    SUMMARY: ("exchangeable_sodium_percentage", "electrical_conductivity"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What a soil is built of.

    Attributes
    ----------
    name : str
    values : mapping of str to float
        Internal floats by field key.
    inventory : Inventory
    initial_water, drained_water, driest_water : float
        [L/kg]
    selectivity : Selectivity
    stated_esp_pct : float or None
        As the report or summary states it [%].
    defaults : tuple of (str, str)
    typed : tuple of (str, str)
        In the order of the table of fields, the origin named.
    """

    name: str
    values: Mapping[str, float]
    inventory: Inventory
    initial_water: float
    drained_water: float
    driest_water: float
    selectivity: Selectivity
    stated_esp_pct: float | None
    defaults: Typed
    typed: Typed


def read_soil(typed: Mapping[str, str]) -> Reading:
    """What a soil is built of, from text by field key.

    Parameters
    ----------
    typed : mapping of str to str
        Keys of `soilx.column.soil_fields.SOIL_FIELD`.

    Raises
    ------
    SoilxError
        If something is missing, unknown, in a wrong unit, or contradicts the rest.
    """
    refuse_unknown(typed, tuple(SOIL_FIELD), what="a soil")
    origin = _origin(typed)
    named = {**typed, "origin": origin}
    _require_complete(named, origin)
    values = {
        key: read_field(SOIL_FIELD[key], text)
        for key, text in named.items()
        if SOIL_FIELD[key].kind is not None
    }
    words = {
        key: read_word(SOIL_FIELD[key], text) for key, text in named.items() if SOIL_FIELD[key].kind is None
    }
    initial, drained, driest, defaults = _waters(values)
    # A summary has no exchanger of its own to imply anything, so that its selectivity is known before.
    if origin == SUMMARY:
        selectivity = selectivity_of(named, implied=None)
        water = drained
        basis = words.get("conductivity_basis")
        if basis == "saturation extract":
            water = values.get("saturation_percentage", drained / DRAINED_OVER_SATURATION)
            if "saturation_percentage" not in values:
                defaults += (
                    (
                        "saturation_percentage",
                        f"{100 * water:.3g} %, twice the drained water ({COMMON_PRACTICE})",
                    ),
                )
        elif basis is None:
            defaults += (("conductivity_basis", "drained soil solution"),)
        inventory = inventory_of_summary(values, water=water, selectivity=selectivity)
        stated = 100 * values["exchangeable_sodium_percentage"]
    elif origin == TOTALS:
        inventory = inventory_of_totals(values)
        selectivity = selectivity_of(named, implied=None)
        stated = None
    else:
        inventory = inventory_of_report(values, extractable=words.get("exchangeable_basis") == "extractable")
        if "exchangeable_basis" not in words:
            defaults += (("exchangeable_basis", "exchangeable: what is dissolved was taken off"),)
        selectivity = selectivity_of(named, implied=inventory.implied_selectivity)
        inventory = _with_offer(inventory, used=selectivity)
        soluble = values["extract_sodium"] * values["saturation_percentage"]
        held = values["exchangeable_sodium"] - (
            soluble if words.get("exchangeable_basis") == "extractable" else 0.0
        )
        stated = 100 * held / values["cation_exchange_capacity"]
    if values.get("lime", 0.0) > 0:
        percent = 100 * values["lime"]
        lime = f"calcium carbonate = {percent:.3g} %: calcite is left out here, though it can give calcium"
        inventory = replace(inventory, yields=(*inventory.yields, lime))
    if not any(key in named for key in ("selectivity", *SELECTIVITIES)):
        defaults += (("selectivity", _selectivity_text(selectivity)),)
    return Reading(
        name=named["name"],
        values=values,
        inventory=inventory,
        initial_water=initial,
        drained_water=drained,
        driest_water=driest,
        selectivity=selectivity,
        stated_esp_pct=stated,
        defaults=defaults,
        typed=tuple((key, named[key]) for key in SOIL_FIELD if key in named),
    )


def selectivity_of(
    typed: Mapping[str, str], *, implied: Selectivity | None, start: Selectivity = DEFAULT_SELECTIVITY
) -> Selectivity:
    """Selectivities from their words and values.

    Parameters
    ----------
    typed : mapping of str to str
        Maybe `selectivity` ("default" or "implied"), and values for single ions, which win.
    implied : Selectivity or None
        What the soil's report implies.
    start : Selectivity
        What holds where nothing is said.

    Raises
    ------
    LimitError
        If "implied" is asked of a soil whose origin implies nothing.
    """
    selectivity = start
    if "selectivity" in typed:
        word = read_word(SOIL_FIELD["selectivity"], typed["selectivity"])
        if word == "default":
            selectivity = DEFAULT_SELECTIVITY
        elif implied is None:
            raise LimitError(
                "selectivity = implied: this soil implies none; the limit is its origin: it takes a report "
                "with all "
                'four cations, exchangeable and in the extract; write "default", or give the selectivities.'
            )
        else:
            selectivity = implied
    single = {
        key.removesuffix("_selectivity"): read_field(SOIL_FIELD[key], typed[key])
        for key in SELECTIVITIES
        if key in typed
    }
    return replace(selectivity, **single)


def _selectivity_text(selectivity: Selectivity) -> str:
    monovalent = f"K_Na {selectivity.sodium:.4g}, K_K {selectivity.potassium:.4g} (mmol/L)^-½"
    return f"{monovalent}, K_Mg {selectivity.magnesium:.4g}"


def _with_offer(inventory: Inventory, *, used: Selectivity) -> Inventory:
    """The inventory with a sentence on what selectivities its report implies, unless they are in use."""
    implied = inventory.implied_selectivity
    if implied is None or implied == used:
        return inventory
    outside = [
        f"{ion} outside the published {published.low:g} to {published.high:g}"
        for ion, published in SELECTIVITY_RANGES.items()
        if not published.holds(getattr(implied, ion))
    ]
    offer = f"exchanger and extract of this report imply {_selectivity_text(implied)}"
    offer += f" ({', '.join(outside)})" if outside else ""
    return replace(inventory, yields=(*inventory.yields, offer))


def _origin(typed: Mapping[str, str]) -> str:
    if "origin" in typed:
        return read_word(SOIL_FIELD["origin"], typed["origin"])
    found = [origin for origin, keys in _TELLING.items() if any(key in typed for key in keys)]
    if len(found) != 1:
        raise LimitError(
            f"soil {typed.get('name', '')}: can be read as {listed(found)}; the limit is one origin of "
            f"{listed(ORIGINS)}; name it with origin, or give the keys of one."
        )
    return found[0]


def _require_complete(typed: Mapping[str, str], origin: str) -> None:
    missing = [key for key, field in SOIL_FIELD.items() if origin in field.needed_by and not typed.get(key)]
    if "drained_water" not in typed and "saturation_percentage" not in typed:
        missing.append("drained_water (or saturation_percentage)")
    if missing:
        raise LimitError(
            f"soil {typed.get('name', '')}: lacks {', '.join(missing)}; the limit is what a soil by {origin} "
            "is made of; give each with its unit, or state the soil by another origin."
        )
    for key in typed:
        if origin not in SOIL_FIELD[key].allowed_in:
            raise LimitError(
                f"{key} of soil {typed['name']} = {typed[key]}: does not belong to a soil by {origin}; the "
                "limit is one origin for one soil, and this is said by "
                f"{listed(sorted(SOIL_FIELD[key].allowed_in))}; drop it, or change the origin."
            )


def _waters(values: Mapping[str, float]) -> tuple[float, float, float, Typed]:
    """Initial, drained and driest water content [L/kg], and which of them are defaults."""
    defaults: list[tuple[str, str]] = []
    if "drained_water" in values:
        drained = values["drained_water"]
    else:
        drained = DRAINED_OVER_SATURATION * values["saturation_percentage"]
        defaults.append(
            ("drained_water", f"{drained:.4g} L/kg, half the saturation percentage ({COMMON_PRACTICE})")
        )
    if "initial_water" in values:
        initial = values["initial_water"]
    else:
        initial = drained
        defaults.append(
            ("initial_water", f"{initial:.4g} L/kg, moistened to its drained water before the first wetting")
        )
    if "driest_water" in values:
        driest = values["driest_water"]
    else:
        driest = min(initial, DRIEST_OVER_DRAINED * drained)
        defaults.append(
            (
                "driest_water",
                f"{driest:.4g} L/kg, {DRIEST_OVER_DRAINED:g} of the drained water or the initial one if "
                f"less ({COMMON_PRACTICE})",
            )
        )
    return initial, drained, driest, tuple(defaults)
