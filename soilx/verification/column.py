"""Outside checks of the column: tracers, exchange fronts, closed forms, and other people's columns as context."""

import math
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.gypsum import gypsum_solubility, saturated_with_gypsum
from soilx.chemistry.ions import ORDER
from soilx.column.files import demo_path, read_scenario, read_soils
from soilx.column.leaching import leach
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.column.sweep import sweep
from soilx.column.water import DEIONISED, Water
from soilx.units import Kind, express, read
from soilx.verification.claim import Claim, Label

Array = NDArray[np.float64]

_CL: Final = ORDER.index("Cl")
_NA: Final = ORDER.index("Na")

GYPSUM_WATER: Final = Water(name="gypsum water", solution=saturated_with_gypsum(DEIONISED.solution))
"""Deionised water that has dissolved all the gypsum it can."""


def tracer_run(*, layers: int, displaced_fraction: float, pore_volumes: float) -> Run:
    """A column that is given water with another chloride than its own; chloride is the tracer."""
    soil = Soil.of(
        name="tracer column",
        depth="12 cm",
        bulk_density="1.4 kg/L",
        cation_exchange_capacity="1 cmol_c/kg",
        drained_water="0.3 L/kg",
        initial_water="0.3 L/kg",
        total_sodium="50 mg/kg",
        total_potassium="0 mg/kg",
        magnesium_share="0 %",
        total_sulfate="0 mmol/kg",
        other_anions="3 mmol_c/kg",
        bicarbonate_share="0 %",
    )
    water = Water.of(name="tracer", sodium="10 mmol/L", calcium="10 mmol/L", chloride="30 mmol/L")
    return leach(
        Scenario.of(
            soil,
            wettings=[(f"{pore_volumes!r} pore_volume", water)],
            layers=layers,
            displaced_fraction=displaced_fraction,
        )
    )


def last_layer(run: Run) -> Array:
    """Share of the inflow's tracer in the last layer after every step, the start included."""
    chloride = run.concentrations[:, _CL, -1]
    inflow = run.scenario.wettings[0].water.solution.cl
    return np.asarray((chloride - chloride[0]) / (inflow - chloride[0]))


def after_steps(layers: int, displaced_fraction: float, steps: tuple[int, ...]) -> Mapping[str, float]:
    """Tracer in the last layer after so many steps, as a share of the inflow's."""
    volumes = max(steps) * displaced_fraction / layers
    share = last_layer(tracer_run(layers=layers, displaced_fraction=displaced_fraction, pore_volumes=volumes))
    return {f"step {step}": float(share[step]) for step in steps}


def to_zero(fractions: tuple[float, ...], values: list[Array]) -> Array:
    """Values at a displaced fraction of 0, by the polynomial through those at a few fractions (Neville's scheme)."""
    table = list(values)
    for order in range(1, len(fractions)):
        for at in range(len(fractions) - order):
            near, far = fractions[at + order], fractions[at]
            table[at] = (far * table[at + 1] - near * table[at]) / (far - near)
    return table[0]


def as_cascade(layers: tuple[int, ...], pore_volumes: tuple[float, ...], fractions: tuple[float, ...]) -> Mapping[str, float]:
    """Tracer in the last layer as the displaced fraction goes to 0, by layers and pore volumes."""
    table = {}
    for count in layers:
        curves = []
        for fraction in fractions:
            share = last_layer(
                tracer_run(layers=count, displaced_fraction=fraction, pore_volumes=max(pore_volumes))
            )
            curves.append(np.array([share[round(volumes * count / fraction)] for volumes in pore_volumes]))
        for volumes, share_at in zip(pore_volumes, to_zero(fractions, curves), strict=True):
            table[f"N {count}, T {volumes:g}"] = float(share_at)
    return table


def dispersivity_by_moments(layers: int, displaced_fraction: float) -> float:
    """Dispersivity [mm] from mean and variance of a tracer's arrival: L σ²/(2 μ²)."""
    run = tracer_run(layers=layers, displaced_fraction=displaced_fraction, pore_volumes=6.0)
    waiting = 1.0 - last_layer(run)
    steps = np.arange(waiting.size)
    mean = waiting.sum()
    # E[M²] = Σ (2m + 1) P(M > m)
    variance = ((2 * steps + 1) * waiting).sum() - mean**2
    return float(run.scenario.soil.depth * variance / (2 * mean**2))


@lru_cache(maxsize=8)
def front_run(layers: int) -> Run:
    """Calcium chloride displacing sodium at 30 mmol_c/L from a soil of CEC 20 cmol_c/kg and ESP 30, piston flow."""
    density, porosity, capacity, esp, charge = 1.3, 0.45, 200.0, 0.30, 30.0
    water = porosity / density
    # What the printed equilibrium solution and exchanger hold together.
    sodium = capacity * esp + water * 28.126
    soil = Soil.of(
        name="front",
        depth="20 cm",
        bulk_density=f"{density} kg/L",
        cation_exchange_capacity=f"{capacity} mmol_c/kg",
        drained_water=f"{water!r} L/kg",
        initial_water=f"{water!r} L/kg",
        total_sodium=f"{sodium!r} mmol/kg",
        total_potassium="0 mg/kg",
        magnesium_share="0 %",
        total_sulfate="0 mmol/kg",
        other_anions=f"{water * charge!r} mmol_c/kg",
        bicarbonate_share="0 %",
    )
    calcium_chloride = Water.of(name="calcium chloride", calcium="30 mmol_c/L", chloride="30 mmol_c/L")
    return leach(
        Scenario.of(soil, wettings=[("12 pore_volume", calcium_chloride)], layers=layers, displaced_fraction=1.0)
    )


def front_start() -> Mapping[str, float]:
    """Dissolved sodium and calcium before the front [mmol/L]."""
    before = front_run(20).concentrations[0, :, -1]
    return {"Na": float(before[_NA]), "Ca": float(before[ORDER.index("Ca")])}


def front_arrival(layers: tuple[int, ...]) -> Mapping[str, float]:
    """Pore volumes applied when dissolved sodium has fallen half way in the leachate."""
    table = {}
    for count in layers:
        run = front_run(count)
        sodium = run.concentrations[:, _NA, -1]
        half = sodium[0] / 2
        after = int(np.argmax(sodium < half))
        high, low = sodium[after - 1], sodium[after]
        share = (high - half) / (high - low)
        volumes = run.applied_pore_volumes
        # Water that leaves in a step is what the last layer held before it: half a step more, on average.
        step = volumes[after] - volumes[after - 1]
        table[f"{count} layers"] = float(volumes[after - 1] + share * step + step / 2)
    return table


@lru_cache(maxsize=8)
def demo_pair(file: str) -> tuple[Run, Run]:
    """Runs of a demo scenario with its gypsum and without."""
    scenario = read_scenario(demo_path(file))
    return leach(scenario), leach(scenario.without_gypsum())


def sodium_of_pair(file: str) -> Mapping[str, float]:
    """Sodium leached and left in a demo pair [mg/kg], and exchangeable sodium of the treated column [%]."""
    treated, untreated = demo_pair(file)
    return {
        "untreated, leached": untreated.sodium_leached_mg_per_kg,
        "untreated, left": untreated.sodium_left_mg_per_kg,
        "treated, leached": treated.sodium_leached_mg_per_kg,
        "treated, left": treated.sodium_left_mg_per_kg,
        "ESP, start": treated.initial_esp_pct,
        "ESP, treated": treated.final_esp_pct,
    }


def strongly_sodic_pair() -> Mapping[str, float]:
    """Sodium leached and left [mg/kg] of a strongly sodic soil, moistened and leached with four times its moisture."""
    soil = Soil.of(
        name="strongly sodic",
        depth="15 cm",
        bulk_density="1.4 kg/L",
        cation_exchange_capacity="16 cmol_c/kg",
        drained_water="0.20 L/kg",
        total_sodium="1100 mg/kg",
        total_potassium="0 mg/kg",
        magnesium_share="0 %",
        total_sulfate="0 mmol/kg",
        other_anions="15 mmol_c/kg",
    )
    treated = leach(Scenario.of(soil, gypsum="3.5 g/kg", wettings=["4 pore_volume"]))
    untreated = leach(treated.scenario.without_gypsum())
    return {
        "untreated, leached": untreated.sodium_leached_mg_per_kg,
        "untreated, left": untreated.sodium_left_mg_per_kg,
        "treated, leached": 100 * treated.sodium_leached_mg_per_kg / treated.sodium_initial_mg_per_kg,
        "treated, left": treated.sodium_left_mg_per_kg,
    }


def salt_removed(depth: str, water: tuple[str, ...]) -> Mapping[str, float]:
    """Chloride removed by deionised water [%] from a depth of the demo farm's saline loam."""
    salty = read_soils(demo_path("soils.csv"))["Block F"]
    soil = replace(salty, depth=read(depth, Kind.DEPTH, name="depth"))
    runs = sweep(Scenario.of(soil, wettings=[amount]) for amount in water)
    return {
        amount: 100 * run.balance["Cl"].leached / run.balance["Cl"].start
        for amount, run in zip(water, runs, strict=True)
    }


def water_until_dissolved(file: str) -> float:
    """Water applied until the mixed gypsum of a demo scenario is gone [cm]."""
    treated, _ = demo_pair(file)
    gone = int(np.argmax(treated.gypsum.max(axis=1) <= 0))
    if gone == 0:
        raise ValueError(f"{file}: gypsum is left at the end")
    ground = treated.scenario.ground
    return express(float(treated.applied_water[gone]), Kind.WATER, "cm", ground=ground)


def placements_by_water_needed(soil: str, gypsum: str, esp_pct: float, water: str) -> str:
    """Placements in the order of the water that brings the column to an ESP, least first."""
    given = read_soils(demo_path("soils.csv"))[soil]
    plain = Scenario.of(given, gypsum=gypsum, wettings=[water])
    third = f"top {given.depth / 30:.6g} cm"
    cases = {
        "mixed": plain,
        "top third": plain.with_(placement=third),
        "gypsum water": Scenario.of(given, wettings=[(water, GYPSUM_WATER)]),
        "surface": plain.with_(placement="surface", dissolution="first_order"),
        "water only": plain.without_gypsum(),
    }
    needed = {}
    for name, run in zip(cases, sweep(cases.values()), strict=True):
        reached = run.depth_average_esp_pct <= esp_pct
        needed[name] = float(run.applied_water[np.argmax(reached)]) if reached.any() else math.inf
    return " < ".join(sorted(needed, key=lambda name: needed[name]))


def saturation_below_surface_gypsum(gypsum: str, water: str) -> float:
    """Sulfate in the last water below surface-laid gypsum, as a share of gypsum's solubility, where little exchanges."""
    sand = Soil.of(
        name="sand",
        depth="12 cm",
        bulk_density="1.6 kg/L",
        cation_exchange_capacity="0.1 cmol_c/kg",
        drained_water="0.15 L/kg",
        total_sodium="1 mg/kg",
        total_potassium="0 mg/kg",
        magnesium_share="0 %",
        total_sulfate="0 mmol/kg",
        other_anions="0.1 mmol_c/kg",
    )
    run = leach(
        Scenario.of(sand, gypsum=gypsum, wettings=[water], placement="surface", dissolution="first_order")
    )
    return float(run.concentrations[-1, ORDER.index("SO4"), -1] / gypsum_solubility(DEIONISED.solution))


_BINOMIAL: Final = {
    "step 12": "0.000244", "step 18": "0.118942", "step 24": "0.580590", "step 30": "0.899756", "step 36": "0.985592",
    "step 48": "0.999889",
}
_ERLANG: Final = {
    "N 1, T 0.5": "0.393469", "N 1, T 0.8": "0.550671", "N 1, T 1": "0.632121", "N 1, T 1.5": "0.776870",
    "N 1, T 2": "0.864665",
    "N 5, T 0.5": "0.108822", "N 5, T 0.8": "0.371163", "N 5, T 1": "0.559507", "N 5, T 1.5": "0.867938",
    "N 5, T 2": "0.970747",
    "N 10, T 0.5": "0.031828", "N 10, T 0.8": "0.283376", "N 10, T 1": "0.542070", "N 10, T 1.5": "0.930146",
    "N 10, T 2": "0.995005",
    "N 20, T 0.5": "0.003454", "N 20, T 0.8": "0.187751", "N 20, T 1": "0.529743", "N 20, T 1.5": "0.978127",
    "N 20, T 2": "0.999824",
}

_PAIR: Final = {
    "untreated, leached": "282", "untreated, left": "658", "treated, leached": "711", "treated, left": "229",
    "ESP, start": "20.7", "ESP, treated": "7.1",
}
_STRONGLY_SODIC: Final = {
    "untreated, leached": "300", "untreated, left": "800", "treated, leached": "70–100", "treated, left": "270",
}

CLAIMS: Final = (
    Claim(
        id="column.tracer_binomial",
        claim="A tracer breaks through 12 stirred layers, half displaced a step, as P(Bin(m, ½) ≥ 12).",
        source="binomial",
        label=Label.EXACT,
        inputs={"layers": 12, "displaced_fraction": 0.5, "steps": (12, 18, 24, 30, 36, 48)},
        printed=_BINOMIAL,
        compute=after_steps,
    ),
    Claim(
        id="column.tracer_erlang",
        claim="As the displaced fraction goes to 0, layers become stirred tanks: P(N, NT) after T pore volumes.",
        source="erlang",
        label=Label.EXACT,
        inputs={
            "layers": (1, 5, 10, 20),
            "pore_volumes": (0.5, 0.8, 1.0, 1.5, 2.0),
            "fractions": (0.1, 0.05, 0.025, 0.0125),
        },
        printed=_ERLANG,
        compute=as_cascade,
        tolerance=1e-6,
        why_tolerance="the column cannot displace nothing: carried to 0 from four fractions, which leaves some 1e-7",
    ),
    Claim(
        id="column.dispersivity",
        claim="12 layers of 1 cm, half displaced a step, disperse by Δx(1 − f)/2 = 2.5 mm.",
        source="binomial",
        label=Label.EXACT,
        inputs={"layers": 12, "displaced_fraction": 0.5},
        printed="2.5000",
        compute=dispersivity_by_moments,
        unit="mm",
    ),
    Claim(
        id="column.advection_dispersion",
        claim="At one pore volume a cascade with a Péclet number of 20 is within 0.03 of the closed form.",
        source="ogata_banks1961",
        label=Label.EXACT,
        inputs={"layers": (10,), "pore_volumes": (1.0,), "fractions": (0.1, 0.05, 0.025, 0.0125)},
        printed={"N 10, T 1": "0.561607"},
        compute=as_cascade,
        tolerance=0.03,
        why_tolerance="0.03: stirred layers have another inlet than the closed form's first-type boundary",
    ),
    Claim(
        id="column.advection_dispersion_fine",
        claim="The same at a Péclet number of 100.",
        source="ogata_banks1961",
        label=Label.EXACT,
        inputs={"layers": (50,), "pore_volumes": (1.0,), "fractions": (0.2, 0.1)},
        printed={"N 50, T 1": "0.528070"},
        compute=as_cascade,
        tolerance=0.03,
        why_tolerance="0.03: stirred layers have another inlet than the closed form's first-type boundary",
    ),
    Claim(
        id="column.front_solution",
        claim="At 30 mmol_c/L a soil of CEC 20 cmol_c/kg and ESP 30 holds Na 28.126 and Ca 0.937 mmol/L in solution.",
        source="exchange_front",
        label=Label.EXACT,
        printed={"Na": "28.126", "Ca": "0.937"},
        compute=front_start,
        unit="mmol/L",
    ),
    Claim(
        id="column.exchange_front",
        claim="Calcium chloride clears that soil of sodium after R = 1 + (ρ_b/θ)(ΔQ/ΔC) = 7.163 pore volumes.",
        source="exchange_front",
        label=Label.EXACT,
        inputs={"layers": (20, 50)},
        printed={"20 layers": "7.163", "50 layers": "7.163"},
        compute=front_arrival,
        unit="pore volumes",
        tolerance=0.07163,
        why_tolerance="1 %: a front in stirred layers has a width, the closed form's has none",
    ),
    Claim(
        id="column.placement_order",
        claim="Gypsum mixed in needs least water, then mixed into the top third, saturated gypsum water, gypsum laid "
        "on the surface, water only.",
        source="frenkel1989",
        label=Label.SEEN,
        inputs={"soil": "Bed 7", "gypsum": "3.0 g/kg", "esp_pct": 10.0, "water": "60 pore_volume"},
        printed="mixed < top third < gypsum water < surface < water only",
        compute=placements_by_water_needed,
        gating=False,
        note="An invented soil, and deionised water by which it need not get there at all.",
    ),
    Claim(
        id="column.below_surface_gypsum",
        claim="Water below surface-laid solid gypsum carries about a third of saturation.",
        source="surface_gypsum",
        label=Label.SEEN,
        inputs={"gypsum": "30 g/kg", "water": "4 pore_volume"},
        printed="0.33",
        compute=saturation_below_surface_gypsum,
        gating=False,
        note="The default rate of slow dissolution is set to this, so that it is no prediction.",
    ),
    Claim(
        id="column.water_to_dissolve",
        claim="About 4 cm of water dissolve a dose of gypsum finer than 0.26 mm that is mixed into sodic soil.",
        source="hira_singh1980",
        label=Label.SEEN,
        inputs={"file": "block_c.toml"},
        printed="4",
        compute=water_until_dissolved,
        unit="cm",
        gating=False,
        note="Another soil; particle size is not followed.",
    ),
    Claim(
        id="column.salt_removed",
        claim="6, 12 and 24 inches of water per foot of soil remove 50, 80 and 90 % of the salt.",
        source="leaching_rule",
        label=Label.SEEN,
        inputs={"depth": "12 in", "water": ("6 in", "12 in", "24 in")},
        printed={"6 in": "50", "12 in": "80", "24 in": "90"},
        compute=salt_removed,
        unit="%",
        gating=False,
        note="Fields keep more salt than stirred layers without bypass do; nothing is tuned to hide it.",
    ),
    Claim(
        id="column.strongly_sodic",
        claim="Of about 1100 mg/kg sodium, four times the moisture takes about 300 and leaves about 800; with a full "
        "rate of gypsum over 70 % leaves and about 270 stays.",
        source="common_practice",
        label=Label.COMMON_PRACTICE,
        printed=_STRONGLY_SODIC,
        compute=strongly_sodic_pair,
        unit="mg/kg, %",
        tolerance={"untreated, leached": 50, "untreated, left": 50, "treated, leached": 0.5, "treated, left": 30},
        why_tolerance="about is not a digit: round hundreds are taken to half of one, 270 to 30",
        gating=False,
    ),
    Claim(
        id="column.demo_pair",
        claim="The demo pair, Bed 7: sodium leached and left, and exchangeable sodium.",
        source="pinned",
        label=Label.EXACT,
        inputs={"file": "pair.toml"},
        printed=_PAIR,
        compute=sodium_of_pair,
        unit="mg/kg, %",
        gating=False,
        note="By soilx's own bracketed solver, which shares no code with the fast one; nobody outside has confirmed it.",
    ),
)
