"""Layers and columns over the whole domain of the model, for hypothesis and for seeded grids."""

from collections.abc import Mapping
from typing import Any

import numpy as np
from hypothesis import strategies as st
from numpy.typing import NDArray

from soilx.chemistry.layer_amounts import Equilibrium, Layers
from soilx.chemistry.layer_reference import equilibrate_reference
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.column.water import DEIONISED, Water

Array = NDArray[np.float64]

CATION_CHARGES = np.array([2.0, 2.0, 1.0, 1.0])


def state_of_choices(choices: Mapping[str, Any]) -> dict[str, Array]:
    """Totals, solution and exchanger of layers chosen by exchanger and salinity, so that each is possible.

    The Gapon equations and electroneutrality fix the solution beside a given exchanger in closed form:
    2D + r√D = c with r = (E_Na/K_Na + E_K/K_K)/E_D. Without solid gypsum this is what the solver has to find.
    """
    c = {key: np.asarray(value, dtype=float) for key, value in choices.items()}
    e_na = c["sodium_share"]
    e_k = (1 - e_na) * c["potassium_share"]
    e_d = 1 - e_na - e_k
    ratio = (e_na / c["sodium_selectivity"] + e_k / c["potassium_selectivity"]) / e_d
    root = 2 * c["charge"] / (np.sqrt(ratio**2 + 8 * c["charge"]) + ratio)
    divalent = root**2
    mg = divalent * c["magnesium_share"]
    ca = divalent - mg
    e_mg = e_d * c["magnesium_selectivity"] * mg / (ca + c["magnesium_selectivity"] * mg)
    na, k = (
        e / s / e_d * root for e, s in ((e_na, c["sodium_selectivity"]), (e_k, c["potassium_selectivity"]))
    )
    so4 = 0.5 * c["charge"] * c["sulfate_share"]
    others = c["charge"] * (1 - c["sulfate_share"])
    water, capacity = c["water"], c["capacity"]
    return {
        "sodium": water * na + capacity * e_na,
        "potassium": water * k + capacity * e_k,
        "magnesium": water * mg + 0.5 * capacity * e_mg,
        "sulfate": water * so4 + c["gypsum"],
        "chloride": water * others * c["chloride_share"],
        "bicarbonate": water * others * (1 - c["chloride_share"]),
        "concentrations": np.stack([ca, mg, na, k, so4]),
        "exchanger": np.stack([e_d - e_mg, e_mg, e_na, e_k]),
    }


TOTALS = ("sodium", "potassium", "magnesium", "sulfate", "chloride", "bicarbonate")
SETTINGS = ("capacity", "water", "sodium_selectivity", "potassium_selectivity", "magnesium_selectivity")


def given_to_reference(choices: Mapping[str, float]) -> dict[str, float]:
    """Arguments of `equilibrate_reference` for one layer."""
    state = state_of_choices(choices)
    return {name: float(state[name]) for name in TOTALS} | {name: float(choices[name]) for name in SETTINGS}


def layers_of(given: Mapping[str, Any]) -> Layers:
    """The same for the fast solver; any argument may be an array, shape (n,)."""
    names = (*TOTALS, *SETTINGS)
    rows = dict(zip(names, np.broadcast_arrays(*(np.atleast_1d(given[name]) for name in names)), strict=True))
    return Layers.of(
        monovalent=np.stack([rows["sodium"], rows["potassium"]]),
        magnesium=rows["magnesium"],
        sulfate=rows["sulfate"],
        other_anions=rows["chloride"] + rows["bicarbonate"],
        capacity=rows["capacity"],
        water=rows["water"],
        selectivity=np.stack([rows["sodium_selectivity"], rows["potassium_selectivity"]]),
        magnesium_selectivity=rows["magnesium_selectivity"],
    )


ROWS = ("sodium", "potassium", "magnesium", "sulfate", "other_anions", "capacity", "water")


def rows_of(layers: Layers) -> dict[str, Array]:
    """What layers hold, by name."""
    table = layers.table
    selectivities = zip(SETTINGS[2:], (table[7], table[8], table[11]), strict=True)
    return dict(zip(ROWS, table[:7], strict=True)) | dict(selectivities)


def amounts(
    concentrations: Array, exchanger: Array, gypsum: Array, *, capacity: Array, water: Array
) -> Array:
    """Dissolved Ca, Mg, Na, K, SO4, then exchangeable Ca, Mg, Na, K, then gypsum, shape (10, n) [mmol/kg]."""
    exchangeable = capacity * exchanger / CATION_CHARGES[:, np.newaxis]
    return np.concatenate([water * concentrations, exchangeable, gypsum[np.newaxis]])


def amounts_of(layers: Layers, found: Equilibrium) -> Array:
    """Amounts that the fast solver found."""
    row = rows_of(layers)
    return amounts(
        found.concentrations, found.exchanger, found.gypsum, capacity=row["capacity"], water=row["water"]
    )


def reference_amounts(given: Mapping[str, float]) -> Array:
    """Amounts in one layer by nested brackets, shape (10, 1)."""
    concentrations, exchanger, gypsum = equilibrate_reference(**given)
    return amounts(
        np.array(concentrations[:5])[:, np.newaxis],
        np.array(exchanger)[:, np.newaxis],
        np.array([gypsum]),
        capacity=np.array([given["capacity"]]),
        water=np.array([given["water"]]),
    )


def inventory(layers: Layers) -> Array:
    """Ca, Mg, Na, K, SO4 in all, calcium by charge balance, shape (5, n) [mmol/kg]."""
    row = rows_of(layers)
    spare = row["capacity"] + row["other_anions"] - row["sodium"] - row["potassium"]
    calcium = 0.5 * spare + row["sulfate"] - row["magnesium"]
    return np.stack([calcium, row["magnesium"], row["sodium"], row["potassium"], row["sulfate"]])


def total_charge(layers: Layers) -> Array:
    """Negative charge of exchanger, anions and gypsum, shape (n,) [mmol_c/kg]."""
    row = rows_of(layers)
    return row["capacity"] + row["other_anions"] + 2 * row["sulfate"]


def allowed(layers: Layers) -> Array:
    """How far amounts may be off, shape (10, n) [mmol/kg].

    1e-9 of an ion's inventory, or of all charge where there is none of it; and a floor for traces. Sodium,
    potassium and magnesium are explicit, and rounding alone leaves 1e-14 of all charge in them. Calcium, and
    sulfate beside gypsum, follow from electroneutrality: their error is that of all charge, 6e-12 at worst.
    """
    charge = total_charge(layers)
    own = inventory(layers)
    scale = 1e-9 * np.where(own > 0, own, charge)
    scale[1:4] += 1e-13 * charge
    scale[[0, 4]] += 3e-11 * charge
    return np.concatenate([scale, scale[:4], scale[4:]])


def balance_errors(layers: Layers, found: Array) -> Array:
    """Largest error of any balance over what is allowed, shape (n,).

    Elements as above, charges of solution and exchanger to 1e-9 of their own.
    """
    held = found[:5].copy()
    held[:4] += found[5:9]
    held[0] += found[9]
    held[4] += found[9]
    row = rows_of(layers)
    elements = np.abs(held - inventory(layers)) / allowed(layers)[:5]
    cations = 2 * (found[0] + found[1]) + found[2] + found[3]
    anions = 2 * found[4] + row["other_anions"]
    neutrality = 1e9 * np.abs(cations - anions) / (cations + anions)
    exchanger = 1e9 * np.abs((CATION_CHARGES[:, np.newaxis] * found[5:9]).sum(axis=0) / row["capacity"] - 1)
    return np.concatenate([elements, neutrality[np.newaxis], exchanger[np.newaxis]]).max(axis=0)


def _log(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(np.log(low), np.log(high)).map(lambda value: float(np.exp(value)))


def _below_one(low: float, high: float) -> st.SearchStrategy[float]:
    return _log(low, high).map(lambda value: 1 - value)


CHOICES: dict[str, st.SearchStrategy[float]] = {
    "capacity": _log(1.0, 600.0),
    "water": _log(0.02, 2.0),
    "sodium_share": st.one_of(st.just(0.0), _log(1e-9, 0.3), st.floats(1e-9, 0.97), _below_one(1e-3, 0.1)),
    "potassium_share": st.one_of(st.just(0.0), _log(1e-6, 0.6)),
    "magnesium_share": st.one_of(st.just(0.0), st.floats(1e-9, 0.99), _below_one(1e-8, 0.1)),
    "sodium_selectivity": _log(0.004, 0.06),
    "potassium_selectivity": _log(0.02, 0.6),
    "magnesium_selectivity": st.one_of(st.just(1.0), _log(0.3, 3.0)),
    "charge": st.one_of(_log(6e-4, 1.0), _log(1.0, 700.0)),
    # a trace of a trace, 1e-150 mmol/L, would try the brackets' arithmetic and nobody's soil
    "sulfate_share": st.one_of(st.just(0.0), st.just(1.0), st.floats(1e-9, 1.0)),
    "chloride_share": st.one_of(st.just(0.0), st.just(1.0), st.floats(0.0, 1.0)),
    "gypsum": st.one_of(st.just(0.0), _log(1e-6, 20.0), _log(20.0, 300.0)),
}

layer_choices = st.fixed_dictionaries(CHOICES)
"""One layer: near-pure water to strong, E_Na 1e-9 to 0.999, Mg = K = 0, K_Mg ≠ 1, sulfate 0 to all anions."""


def seeded_choices(seed: int, count: int) -> dict[str, Array]:
    """The same domain drawn by numpy, for grids of thousands, shape (count,) each."""
    rng = np.random.default_rng(seed)

    def log(low: float, high: float) -> Array:
        return np.exp(rng.uniform(np.log(low), np.log(high), count))

    def one_of(*options: Array | float) -> Array:
        return np.choose(
            rng.integers(len(options), size=count), np.broadcast_arrays(*options, np.zeros(count))[:-1]
        )

    return {
        "capacity": log(1.0, 600.0),
        "water": log(0.02, 2.0),
        "sodium_share": one_of(log(1e-9, 0.3), rng.uniform(0, 0.97, count), 1 - log(1e-3, 0.1)),
        "potassium_share": one_of(0.0, log(1e-6, 0.6)),
        "magnesium_share": one_of(0.0, rng.uniform(0, 0.99, count), 1 - log(1e-8, 0.1)),
        "sodium_selectivity": log(0.004, 0.06),
        "potassium_selectivity": log(0.02, 0.6),
        "magnesium_selectivity": one_of(1.0, log(0.3, 3.0)),
        "charge": one_of(log(6e-4, 1.0), log(1.0, 700.0)),
        "sulfate_share": one_of(0.0, 1.0, rng.uniform(0, 1, count)),
        "chloride_share": one_of(0.0, 1.0, rng.uniform(0, 1, count)),
        "gypsum": one_of(0.0, log(1e-6, 20.0), log(20.0, 300.0)),
    }


def seeded_layers(seed: int, count: int) -> Layers:
    """Layers of `seeded_choices`."""
    choices = seeded_choices(seed, count)
    return layers_of({**state_of_choices(choices), **{name: choices[name] for name in SETTINGS}})


def reference_given(layers: Layers, number: int) -> dict[str, float]:
    """Arguments of `equilibrate_reference` for one of many layers."""
    given = {name: float(row[number]) for name, row in rows_of(layers).items()}
    return {"chloride": given.pop("other_anions"), "bicarbonate": 0.0, **given}


def plain_soil(**changes: str) -> Soil:
    """An invented sodic soil by its totals, some of it changed."""
    given = {
        "name": "plain",
        "depth": "15 cm",
        "bulk_density": "1.38 kg/L",
        "cation_exchange_capacity": "14 cmol_c/kg",
        "drained_water": "0.22 L/kg",
        "total_sodium": "940 mg/kg",
        "total_potassium": "180 mg/kg",
        "magnesium_share": "30 %",
        "total_sulfate": "1 mmol/kg",
        "other_anions": "14 mmol_c/kg",
    }
    return Soil.of(**(given | changes))


def _number(value: float, unit: str) -> str:
    return f"{value!r} {unit}"


@st.composite
def waters(draw: st.DrawFn) -> Water:
    """Deionised, or a neutral water up to 60 mmol_c/L with some calcium."""
    if draw(st.booleans()):
        return DEIONISED
    charge = draw(_log(0.01, 60.0))
    sodium = draw(st.floats(0.0, 0.95))
    sulfate = draw(st.floats(0.0, min(0.5, 8.0 / charge)))  # below saturation with gypsum
    return Water.of(
        name="drawn",
        sodium=_number(charge * sodium, "mmol_c/L"),
        calcium=_number(charge * (1 - sodium), "mmol_c/L"),
        sulfate=_number(charge * sulfate, "mmol_c/L"),
        chloride=_number(charge * (1 - sulfate), "mmol_c/L"),
    )


@st.composite
def soils(draw: st.DrawFn) -> Soil:
    """Soils dry or moist, sodic up to nine tenths, with or without K, Mg and sulfate, K_Mg ≠ 1."""
    capacity = draw(_log(5.0, 400.0))
    drained = draw(st.floats(0.1, 0.3))
    initial = drained * draw(st.one_of(st.just(1.0), st.floats(0.4, 1.0)))
    # as dissolved salt where the soil is driest, this stays within the activity model
    anions = initial * draw(_log(1.0, 100.0))
    sodium = draw(st.one_of(st.just(0.0), st.floats(0.0, 0.9))) * (capacity + anions)
    potassium = draw(st.one_of(st.just(0.0), st.floats(0.0, 0.5))) * (capacity + anions - sodium)
    return plain_soil(
        bulk_density="1.3 kg/L",
        cation_exchange_capacity=_number(capacity, "mmol_c/kg"),
        drained_water=_number(drained, "L/kg"),
        initial_water=_number(initial, "L/kg"),
        driest_water=_number(0.4 * drained, "L/kg"),
        total_sodium=_number(sodium, "mmol/kg"),
        total_potassium=_number(potassium, "mmol/kg"),
        magnesium_share=_number(draw(st.one_of(st.just(0.0), st.floats(0.0, 95.0))), "%"),
        magnesium_selectivity=repr(draw(st.one_of(st.just(1.0), st.floats(0.6, 1.5)))),
        total_sulfate=_number(draw(st.one_of(st.just(0.0), st.floats(0.0, 3.0))), "mmol/kg"),
        other_anions=_number(anions, "mmol_c/kg"),
    )


@st.composite
def scenarios(draw: st.DrawFn) -> Scenario:
    """Columns of every placement, slow or fast gypsum or none, several waters, bypass, drying in between."""
    soil = draw(soils())
    placement = draw(st.sampled_from(("mixed", "top 4 cm", "surface", "water")))
    wettings = []
    for _ in range(draw(st.integers(1, 2))):
        wetting = {"amount": _number(draw(st.floats(0.3, 2.0)), "pore_volume"), "water": draw(waters())}
        if draw(st.booleans()):
            dried = draw(st.floats(0.01, 0.9)) * 0.3 * soil.drained_water
            wetting["evapotranspiration"] = _number(dried, "L/kg")
        wettings.append(wetting)
    # a dose in the water stays below what the strongest sulfate water dissolves
    dose = st.one_of(st.just(0.0), _log(1e-4, 0.3 if placement == "water" else 40.0))
    slow = placement != "water" and draw(st.booleans())
    return Scenario.of(
        soil,
        gypsum=_number(draw(dose), "mmol/kg"),
        placement=placement,
        wettings=wettings,
        layers=draw(st.integers(1, 6)),
        displaced_fraction=draw(st.one_of(st.just(1.0), st.floats(0.2, 1.0))),
        bypass_fraction=draw(st.one_of(st.just(0.0), st.floats(0.0, 0.9))),
        **({"dissolution": "first_order", "dissolution_rate": "0.05 1/h"} if slow else {}),
    )
