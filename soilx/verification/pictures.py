"""Checks that are better looked at: an isotherm, a breakthrough, conductivities, gypsum in salt water."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from soilx.chemistry.cation_exchange import exchangeable_sodium_percentage
from soilx.chemistry.conductivity import electrical_conductivity
from soilx.chemistry.exchange_conventions import ussl_line_esp
from soilx.verification import conductivity, exchange, gypsum, transport
from soilx.verification.claim import Claim
from soilx.verification.picture_chart import band, beside_print, filled, line, word
from soilx.verification.printed import parse_printed, signed


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A chart of computed lines and printed marks, with its words and numbers.

    Attributes
    ----------
    heading : str
        What is shown, with its unit.
    checks : tuple of str
        Ids of the claims whose printed values are drawn.
    spec : mapping
        Of the chart.
    content : mapping
        Records, caption and table, as `soilx.handouts.page_parts.figure` takes them.
    """

    heading: str
    checks: tuple[str, ...]
    spec: Mapping[str, Any]
    content: Mapping[str, Any]


def isotherm() -> Picture:
    """Handbook 60's printed line, and what the model computes beside it."""
    printed = _numbers(exchange.CLAIMS, "exchange.handbook_line")
    points = [(float(entry.split()[0]), esp) for entry, esp in printed.items()]
    sar = np.linspace(1.0, 65.0, 65)
    model = exchangeable_sodium_percentage(sar)
    at = {one: float(exchangeable_sodium_percentage(one)) for one, _ in points}
    off = {one: at[one] - esp for one, esp in points}
    most = max(off, key=lambda one: abs(off[one]))
    ours, theirs = "the model", "Handbook 60's line"
    return Picture(
        heading="Exchangeable sodium beside a water's SAR, %",
        checks=("exchange.handbook_line", "exchange.model_beside_the_line"),
        spec=beside_print(
            (ours, theirs),
            x="SAR, √(mmol/L)",
            y="Exchangeable sodium, % of CEC",
            x_ends=(0, 70),
            y_ends=(0, 55),
        ),
        content={
            "records": filled(
                lines=[*line(ours, sar, model), *line(theirs, sar, ussl_line_esp(sar))],
                marks=[{"name": theirs, "x": one, "y": esp} for one, esp in points],
                words=[
                    word(ours, 33, float(exchangeable_sodium_percentage(33)), align="right", dy=-12),
                    word(f"{theirs}, □ as printed", 33, float(ussl_line_esp(33)), dy=16),
                ],
            ),
            "caption": (
                "Squares are the printed line from SAR 1 to 65, the broken line is the same formula in "
                "soilx. The model's line has no intercept, so that a soil without sodium has none: it lies "
                f"{signed(off[most], '.2f')} % of CEC from the printed line at SAR {most:g}, where they "
                f"differ most, and {signed(off[13.0], '.2f')} at SAR 13."
            ),
            "table": {
                "titles": ("SAR", "Line, printed", "Line, soilx", "Model", "Model minus printed"),
                "rows": tuple(
                    (
                        f"{one:g}",
                        f"{esp:.3f}",
                        f"{float(ussl_line_esp(one)):.3f}",
                        f"{at[one]:.3f}",
                        signed(off[one], ".3f"),
                    )
                    for one, esp in points
                ),
                "caption": "exchangeable sodium, % of CEC",
            },
        },
    )


LAYERS: Final = 12
FRACTION: Final = 0.5


def breakthrough() -> Picture:
    """A tracer leaving twelve stirred layers, the analytic curves, and the printed values."""
    from scipy.special import betainc, erfc, erfcx  # loaded only by whoever draws

    printed = _numbers(transport.CLAIMS, "column.tracer_binomial")
    at_step = {int(entry.split()[0]): share for entry, share in printed.items()}
    column = transport.last_layer(
        transport.tracer_run(layers=LAYERS, displaced_fraction=FRACTION, pore_volumes=2.5)
    )
    steps = np.arange(LAYERS, column.size)
    volumes = steps * FRACTION / LAYERS
    binomial = betainc(LAYERS, steps - LAYERS + 1.0, FRACTION)
    # Dispersivity is Δx (1 − f)/2, so that the Péclet number L/α of the stack is 2N/(1 − f).
    peclet = 2 * LAYERS / (1 - FRACTION)
    smooth = np.linspace(0.3, 2.5, 111)
    spread = 2 * np.sqrt(smooth / peclet)
    # exp(Pe) erfc(z) without its overflow
    behind = erfcx((1 + smooth) / spread) * np.exp(peclet - ((1 + smooth) / spread) ** 2)
    closed = 0.5 * (erfc((1 - smooth) / spread) + behind)
    off = {step: float(column[step]) - share for step, share in at_step.items()}
    stack, dispersion = "soilx, 12 stirred layers", "advection and dispersion"
    worst = float(np.abs(column[LAYERS:] - binomial).max())
    apart = float(np.abs(np.interp(volumes, smooth, closed) - column[LAYERS:]).max())
    return Picture(
        heading="A tracer breaks through: share of the inflow in the last layer",
        checks=("column.tracer_binomial", "column.dispersivity"),
        spec=beside_print(
            (stack, dispersion),
            x="Water applied, pore volumes",
            y="Share of the inflow's tracer",
            x_ends=(0, 2.5),
            y_ends=(0, 1.05),
        ),
        content={
            "records": filled(
                lines=[*line(stack, volumes, column[LAYERS:]), *line(dispersion, smooth, closed)],
                marks=[
                    {"name": stack, "x": step * FRACTION / LAYERS, "y": share}
                    for step, share in at_step.items()
                ],
                words=[
                    word(f"{stack}, ○ as printed", 1.08, 0.62),
                    word(f"{dispersion}", 0.72, 0.2, align="right", dy=-8),
                ],
            ),
            "caption": (
                "Circles are the printed values of the binomial law P(Bin(m, ½) ≥ 12) after m steps, the "
                f"whole line is the column itself: from the exact law it is nowhere further than "
                f"{worst:.1e}. The broken line is the closed form of advection and dispersion in a column "
                f"without layers at the same dispersivity (Péclet number {peclet:g}); it has another inlet "
                f"and no steps, and is up to {apart:.2f} away."
            ),
            "table": {
                "titles": ("Steps", "Pore volumes", "Printed", "soilx", "Difference"),
                "rows": tuple(
                    (
                        f"{step}",
                        f"{step * FRACTION / LAYERS:.2f}",
                        f"{share:.6f}",
                        f"{column[step]:.6f}",
                        signed(off[step], ".1e"),
                    )
                    for step, share in at_step.items()
                ),
                "caption": "share of the inflow's tracer in the last layer",
            },
        },
    )


def conductivities() -> Picture:
    """Six salts by a library's table, and what soilx computes."""
    printed = _numbers(conductivity.CLAIMS, "conductivity.single_salts")
    rows = [(entry.split()[0], float(entry.split()[1]), value) for entry, value in printed.items()]
    salts = tuple(dict.fromkeys(salt for salt, _, _ in rows))
    most = {salt: max(strength for one, strength, _ in rows if one == salt) for salt in salts}
    grid = {salt: np.linspace(0.2, most[salt], 40) for salt in salts}
    computed = {(salt, strength): _ec(salt, strength) for salt, strength, _ in rows}
    off = {(salt, strength): 100 * (computed[salt, strength] / value - 1) for salt, strength, value in rows}
    worst = max(off, key=lambda key: abs(off[key]))
    return Picture(
        heading="Electrical conductivity of single salts at 25 °C, dS/m",
        checks=("conductivity.single_salts",),
        spec=beside_print(
            salts,
            x="Salt, mmol/kg of water",
            y="Conductivity, dS/m",
            x_ends=(0, 62),
            y_ends=(0, 11),
        ),
        content={
            "records": filled(
                lines=[
                    row
                    for salt in salts
                    for row in line(salt, grid[salt], [_ec(salt, float(one)) for one in grid[salt]])
                ],
                marks=[{"name": salt, "x": strength, "y": value} for salt, strength, value in rows],
                words=[
                    word(
                        salt,
                        most[salt],
                        computed[salt, most[salt]],
                        dy=16 if salt == "CaSO4" else 0,
                    )
                    for salt in salts
                ],
            ),
            "caption": (
                "Marks are the library's table, lines what soilx computes. They are furthest apart for "
                f"{worst[1]:g} mmol/kg of {worst[0]}, by {signed(off[worst], '.1f')} %; the tolerance is 5 "
                "%, because the two start from different tables of the single ions."
            ),
            "table": {
                "titles": ("Salt and mmol/kg", "Library, dS/m", "soilx, dS/m", "Difference, %"),
                "rows": tuple(
                    (
                        f"{salt} {strength:g}",
                        f"{value:g}",
                        f"{computed[salt, strength]:.4g}",
                        signed(off[salt, strength], ".1f"),
                    )
                    for salt, strength, value in sorted(rows, key=lambda row: (row[0], row[1]))
                ),
                "caption": "conductivity at 25 °C",
            },
        },
    )


STRENGTHS: Final = (0.0, 10.0, 25.0, 50.0, 75.0, 100.0)


def gypsum_in_salt() -> Picture:
    """How much gypsum three salt waters dissolve, with the ranges that others give."""
    salts = ("NaCl", "Na2SO4", "CaCl2")
    grid = np.linspace(0.0, STRENGTHS[-1], 21)
    pure = gypsum.solubility()
    dissolved = {
        (salt, strength): gypsum.solubility(salt, strength) for salt in salts for strength in STRENGTHS
    }
    published = _range(gypsum.CLAIMS, "gypsum.solubility_published")
    factors = _range(gypsum.CLAIMS, "gypsum.rises_in_sodium_chloride")
    recalled = (factors[0] * pure, factors[1] * pure)
    salty = dissolved["NaCl", STRENGTHS[-1]]
    return Picture(
        heading="Gypsum that a salt water dissolves at 25 °C, mmol/L",
        checks=("gypsum.solubility_published", "gypsum.common_ion", "gypsum.rises_in_sodium_chloride"),
        spec=beside_print(
            salts,
            x="Salt in the water, mmol/L",
            y="Gypsum dissolved, mmol/L",
            x_ends=(-4, 108),
            y_ends=(0, 26),
        ),
        content={
            "records": filled(
                lines=[
                    row
                    for salt in salts
                    for row in line(salt, grid, [gypsum.solubility(salt, float(one)) for one in grid])
                ],
                bands=[
                    band("NaCl", 0.0, published),
                    band("NaCl", STRENGTHS[-1], recalled),
                ],
                words=[
                    word("published", 1, published[1], dy=-12),
                    word("recalled †", STRENGTHS[-1], recalled[1], align="right", dy=-12),
                    *(
                        word(salt, 70, gypsum.solubility(salt, 70.0), align="center", dy=dy)
                        for salt, dy in zip(salts, (16, -14, 16), strict=True)
                    ),
                ],
            ),
            "caption": (
                f"Pure water dissolves {pure:.2f} mmol/L; published estimates span {published[0]:g} to "
                f"{published[1]:g} (left bar). In 100 mmol/L of sodium chloride it is {salty:.2f}, "
                f"{salty / pure:.2f} times as much; {factors[0]:g} to {factors[1]:g} times is recalled † "
                "(right bar). Salts that share an ion with gypsum hold it back: with 10 mmol/L of sodium "
                f"sulfate {dissolved['Na2SO4', 10.0]:.2f}, of calcium chloride "
                f"{dissolved['CaCl2', 10.0]:.2f} mmol/L."
            ),
            "table": {
                "titles": ("Salt, mmol/L", *salts),
                "rows": tuple(
                    (f"{strength:g}", *(f"{dissolved[salt, strength]:.2f}" for salt in salts))
                    for strength in STRENGTHS
                ),
                "caption": "gypsum dissolved, mmol/L",
            },
        },
    )


PICTURES: Final[tuple[Callable[[], Picture], ...]] = (
    isotherm,
    breakthrough,
    conductivities,
    gypsum_in_salt,
)


def _ec(salt: str, strength: float) -> float:
    return float(electrical_conductivity(conductivity.single_salt(salt, strength).as_array()))


def _numbers(claims: tuple[Claim, ...], wanted: str) -> dict[str, float]:
    """What a claim prints, as numbers by entry."""
    (claim,) = (claim for claim in claims if claim.id == wanted)
    return {entry: float(text) for entry, text in claim.entries.items()}


def _range(claims: tuple[Claim, ...], wanted: str) -> tuple[float, float]:
    (claim,) = (claim for claim in claims if claim.id == wanted)
    found = parse_printed(claim.entries[""])
    if not isinstance(found, tuple):
        raise TypeError(f"{wanted}: prints no range")
    return found
