"""Soils that could be, run forward: exchanger, saturation extract and report of one inventory agree."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from soilx.chemistry.conductivity import electrical_conductivity
from soilx.chemistry.ions import IONS
from soilx.chemistry.layer_equilibrium import LayerState
from soilx.column.soil import Soil, state_of
from soilx.errors import SoilxError
from soilx.practice.soil_test.quality_check import Verdict
from soilx.practice.soil_test.report import Report
from soilx.teaching.possible_inventory import Drawn, totals_of
from soilx.teaching.seeds import Draws
from soilx.teaching.working import printed

CATIONS: Final = ("Ca", "Mg", "K", "Na")
EXTRACT_IONS: Final = ("Na", "Ca", "Mg", "K", "HCO3", "Cl", "SO4")


@dataclass(frozen=True, slots=True, kw_only=True)
class Class:
    """Ranges that a soil of one texture is drawn from: low, high and step as decimals.

    Attributes
    ----------
    word : str
        On the report.
    clay, saturation, capacity, density : tuple of str
        Clay [%], paste water [%], CEC [cmol_c/kg], bulk density [kg/L].
    """

    word: str
    clay: tuple[str, str, str]
    saturation: tuple[str, str, str]
    capacity: tuple[str, str, str]
    density: tuple[str, str, str]


# fmt: off
CLASSES: Final[Mapping[str, Class]] = {
    "sandy loam": Class(word="sandy loam", clay=("11", "19", "1"), saturation=("26", "38", "1"),
                        capacity=("6", "12", "0.5"), density=("1.40", "1.60", "0.05")),
    "loam": Class(word="loam", clay=("21", "26", "1"), saturation=("36", "44", "1"),
                  capacity=("10", "20", "0.5"), density=("1.30", "1.50", "0.05")),
    "clay loam": Class(word="clay loam", clay=("28", "39", "1"), saturation=("46", "58", "1"),
                       capacity=("16", "28", "0.5"), density=("1.25", "1.45", "0.05")),
    "clay": Class(word="clay", clay=("42", "58", "1"), saturation=("62", "84", "1"),
                  capacity=("24", "42", "0.5"), density=("1.10", "1.40", "0.05")),
}
# fmt: on


@dataclass(frozen=True, slots=True, kw_only=True)
class PossibleSoil:
    """A soil that could be, with everything that is printed of it.

    Attributes
    ----------
    soil : Soil
        What it holds; the column's own.
    report : Report
        Read from what is printed.
    capacity, saturation_pct, depth_cm, density : float
        As printed [cmol_c/kg], [%], [cm], [kg/L].
    exchangeable : mapping of str to float
        As printed [cmol_c/kg].
    extract : mapping of str to float
        Saturation extract, as printed [meq/L].
    ec : float
        Of the saturation extract, as printed [dS/m].
    """

    soil: Soil
    report: Report
    capacity: float
    saturation_pct: float
    depth_cm: float
    density: float
    exchangeable: Mapping[str, float]
    extract: Mapping[str, float]
    ec: float

    def state_at(self, water: float) -> LayerState:
        """Solution and exchanger with so much water [L/kg]."""
        return state_of(self.soil, water)


def possible_soil(
    draws: Draws,
    *,
    esp: tuple[str, str, str] = ("8", "40", "0.5"),
    ec: tuple[str, str, str] = ("1.0", "8.0", "0.1"),
    textures: tuple[str, ...] = tuple(CLASSES),
    depths: tuple[str, str, str] = ("10", "30", "5"),
    potassium: bool = True,
    typed: Mapping[str, str] | None = None,
) -> PossibleSoil | None:
    """A soil from draws, or None where nature or a laboratory would not have it.

    Parameters
    ----------
    draws : Draws
    esp, ec : tuple of str
        Low, high and step: exchangeable sodium [%], and a tenth of the saturation extract's cations, which is
        about its conductivity [dS/m].
    textures : tuple of str
        Keys of `CLASSES`.
    depths : tuple of str
        Low, high and step of the sampled depth [cm].
    potassium : bool
        Whether there is any.
    typed : mapping of str to str, optional
        More for the report: keys of a report's fields.

    Returns
    -------
    PossibleSoil or None
        None where the draws make no soil, or its report does not pass every quality check.
    """
    kind = CLASSES[draws.choice("texture", textures)]
    capacity = draws.grid("capacity", *kind.capacity)
    saturation = draws.grid("saturation", *kind.saturation)
    density = draws.grid("density", *kind.density)
    depth = draws.grid("depth", *depths)
    clay = draws.grid("clay", *kind.clay)
    drawn = Drawn(
        capacity=capacity,
        saturation_pct=saturation,
        sodium_pct=draws.grid("esp", *esp),
        potassium_pct=draws.grid("potassium", "1.5", "5", "0.5") if potassium else 0.0,
        # Cations of some 10 meq/L to a dS/m; what conductivity they make is computed.
        charge=10.0 * draws.grid("ec", *ec),
        calcium_to_magnesium=draws.grid("calcium_to_magnesium", "1.2", "3.2", "0.1"),
        sulfate_pct=draws.grid("sulfate", "5", "25", "5"),
        bicarbonate_pct=draws.grid("bicarbonate", "5", "20", "5"),
    )
    ground = {
        "name": "your soil",
        "depth": f"{depth:g} cm",
        "bulk_density": f"{density:g} kg/L",
        "cation_exchange_capacity": f"{capacity:g} cmol_c/kg",
        "saturation_percentage": f"{saturation:g} %",
    }
    try:
        soil = Soil.of(changes=(), **ground, **totals_of(drawn))
        state = state_of(soil, saturation / 100.0)
        exchangeable = printed_exchangeable(state, capacity)
        extract = printed_extract(state)
        conductivity = printed(float(electrical_conductivity(state.solution.as_array())), 2)
        report = Report.of(
            **ground,
            **_cations(exchangeable),
            **_ions(extract),
            exchangeable_basis="exchangeable",
            extract_basis="saturation extract",
            cec_basis="measured",
            extract_conductivity=f"{conductivity:g} dS/m",
            clay=f"{clay:g} %",
            **(dict(typed) if typed is not None else {}),
        )
    except SoilxError:
        return None
    if any(check.verdict is not Verdict.GOOD for check in report.checks):
        return None
    return PossibleSoil(
        soil=soil,
        report=report,
        capacity=capacity,
        saturation_pct=saturation,
        depth_cm=depth,
        density=density,
        exchangeable=exchangeable,
        extract=extract,
        ec=conductivity,
    )


def printed_exchangeable(state: LayerState, capacity: float) -> dict[str, float]:
    """Exchangeable cations as a laboratory prints them, from their shares of a CEC [cmol_c/kg]."""
    held = state.exchanger
    shares = {"Ca": held.ca, "Mg": held.mg, "K": held.k, "Na": held.na}
    return {symbol: printed(share * capacity, 2) for symbol, share in shares.items()}


def printed_extract(state: LayerState, digits: int = 2) -> dict[str, float]:
    """Ions of an extract as a laboratory prints them, to so many decimals [meq/L]."""
    dissolved = dict(zip(IONS, state.solution.as_array(), strict=True))
    return {
        symbol: printed(float(dissolved[symbol]) * abs(IONS[symbol].charge), digits)
        for symbol in EXTRACT_IONS
    }


def _cations(told: Mapping[str, float]) -> dict[str, str]:
    return {f"exchangeable_{IONS[symbol].name}": f"{value!r} cmol_c/kg" for symbol, value in told.items()}


def _ions(told: Mapping[str, float]) -> dict[str, str]:
    return {f"extract_{IONS[symbol].name}": f"{value!r} mmol_c/L" for symbol, value in told.items()}
