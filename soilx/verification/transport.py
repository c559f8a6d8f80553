"""Outside checks of transport: tracers, dispersion and the exchange front against closed forms."""

from collections.abc import Mapping
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.ions import ORDER
from soilx.column.leaching import leach
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.column.water import Water
from soilx.verification.claim import Claim, Label
from soilx.verification.printed import table

Array = NDArray[np.float64]

_CA: Final = ORDER.index("Ca")
_NA: Final = ORDER.index("Na")
_CL: Final = ORDER.index("Cl")


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
    return {f"{step} share": float(share[step]) for step in steps}


def to_zero(fractions: tuple[float, ...], values: list[Array]) -> Array:
    """Values at a displaced fraction of 0, by the polynomial through a few others (Neville's scheme)."""
    tableau = list(values)
    for order in range(1, len(fractions)):
        for at in range(len(fractions) - order):
            near, far = fractions[at + order], fractions[at]
            tableau[at] = (far * tableau[at + 1] - near * tableau[at]) / (far - near)
    return tableau[0]


def as_cascade(
    layers: tuple[int, ...], pore_volumes: tuple[float, ...], fractions: tuple[float, ...]
) -> Mapping[str, float]:
    """Tracer in the last layer as the displaced fraction goes to 0, by layers and pore volumes."""
    found = {}
    for count in layers:
        curves = []
        for fraction in fractions:
            share = last_layer(
                tracer_run(layers=count, displaced_fraction=fraction, pore_volumes=max(pore_volumes))
            )
            curves.append(np.array([share[round(volumes * count / fraction)] for volumes in pore_volumes]))
        for volumes, share_at in zip(pore_volumes, to_zero(fractions, curves), strict=True):
            found[f"{volumes:g} {count}"] = float(share_at)
    return found


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
    """Calcium chloride displacing sodium at 30 mmol_c/L from CEC 20 cmol_c/kg and ESP 30, in piston flow."""
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
        Scenario.of(
            soil, wettings=[("12 pore_volume", calcium_chloride)], layers=layers, displaced_fraction=1.0
        )
    )


def front_start() -> Mapping[str, float]:
    """Dissolved sodium and calcium before the front [mmol/L]."""
    before = front_run(20).concentrations[0, :, -1]
    return {"Na": float(before[_NA]), "Ca": float(before[_CA])}


def front_arrival(layers: tuple[int, ...]) -> Mapping[str, float]:
    """Pore volumes applied when dissolved sodium has fallen half way in the leachate."""
    found = {}
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
        found[f"{count} layers"] = float(volumes[after - 1] + share * step + step / 2)
    return found


_BINOMIAL: Final = table("""
step   12        18        24        30        36        48
share  0.000244  0.118942  0.580590  0.899756  0.985592  0.999889
""")
_ERLANG: Final = table("""
N   0.5       0.8       1         1.5       2
1   0.393469  0.550671  0.632121  0.776870  0.864665
5   0.108822  0.371163  0.559507  0.867938  0.970747
10  0.031828  0.283376  0.542070  0.930146  0.995005
20  0.003454  0.187751  0.529743  0.978127  0.999824
""")
_FRACTIONS: Final = (0.1, 0.05, 0.025, 0.0125)

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
        claim=(
            "As the displaced fraction goes to 0, layers become stirred tanks: P(N, NT) after T pore volumes."
        ),
        source="erlang",
        label=Label.EXACT,
        inputs={
            "layers": (1, 5, 10, 20),
            "pore_volumes": (0.5, 0.8, 1.0, 1.5, 2.0),
            "fractions": _FRACTIONS,
        },
        printed=_ERLANG,
        compute=as_cascade,
        tolerance=1e-6,
        why_tolerance=(
            "the column cannot displace nothing: carried to 0 from four fractions, which leaves some 1e-7"
        ),
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
        claim="At one pore volume N stirred tanks are within 0.03 of the closed form at Péclet number 2N.",
        source="ogata_banks1961",
        label=Label.EXACT,
        inputs={"layers": (10, 50), "pore_volumes": (1.0,), "fractions": (0.1, 0.05, 0.025)},
        printed={"1 10": "0.561607", "1 50": "0.528070"},
        compute=as_cascade,
        tolerance=0.03,
        why_tolerance="0.03: stirred layers have another inlet than the closed form's first-type boundary",
    ),
    Claim(
        id="column.front_solution",
        claim=(
            "At 30 mmol_c/L a soil of CEC 20 cmol_c/kg and ESP 30 holds Na 28.126 and Ca 0.937 mmol/L in "
            "solution."
        ),
        source="exchange_front",
        label=Label.EXACT,
        printed={"Na": "28.126", "Ca": "0.937"},
        compute=front_start,
        unit="mmol/L",
    ),
    Claim(
        id="column.exchange_front",
        claim=(
            "Calcium chloride clears that soil of sodium after R = 1 + (ρ_b/θ)(ΔQ/ΔC) = 7.163 pore volumes."
        ),
        source="exchange_front",
        label=Label.EXACT,
        inputs={"layers": (20, 50)},
        printed={"20 layers": "7.163", "50 layers": "7.163"},
        compute=front_arrival,
        unit="pore volumes",
        tolerance=0.07163,
        why_tolerance="1 %: a front in stirred layers has a width, the closed form's has none",
    ),
)
