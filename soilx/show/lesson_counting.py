"""Counting charge: sites on clay, and what the same milligrams carry. For the exchange lesson."""

from __future__ import annotations

from typing import Final

from soilx.chemistry.ions import CALCIUM, IONS, MAGNESIUM, POTASSIUM, SODIUM, Ion
from soilx.errors import require
from soilx.show.lesson_sites import CLAY_ROWS, SITES_ACROSS, WATER_ROWS
from soilx.show.live import Drawn
from soilx.show.tables import NumberTable, Record
from soilx.units import Kind, express, quantity, read

SITES: Final = SITES_ACROSS * len(CLAY_ROWS)
MMOL_PER_MARK: Final = 10.0
"""What one drawn ion stands for in a kilogram of soil, so that 24 sites are 24 cmol_c/kg [mmol/kg]."""

CATIONS: Final = (CALCIUM, MAGNESIUM, SODIUM, POTASSIUM)

_HALF: Final = 0.38


def sites(*, calcium: float) -> Drawn:
    """Clay that was all sodium once some calcium sits on it, ion by ion.

    Parameters
    ----------
    calcium : float
        Calcium ions on the clay, 0 to half the sites; taken to the nearest whole ion, as shown [1].

    Raises
    ------
    LimitError
        If there are no sites for that many.
    """
    require(
        "calcium on the clay",
        calcium,
        "ions",
        low=0,
        high=SITES // CALCIUM.charge,
        whose=f"the {SITES} sites drawn",
        remedy="each calcium needs two",
    )
    settled = int(calcium + 0.5)
    taken = settled * CALCIUM.charge
    released = taken // SODIUM.charge
    records = [_ion(CALCIUM, site, CLAY_ROWS) for site in range(0, taken, CALCIUM.charge)]
    records += [_ion(SODIUM, site, CLAY_ROWS) for site in range(taken, SITES)]
    records += [_ion(SODIUM, site, WATER_ROWS) for site in range(released)]
    on, off = settled * MMOL_PER_MARK, released * MMOL_PER_MARK
    mass_on = express(on, Kind.SOIL_CONTENT, "mg/kg", ion=CALCIUM)
    mass_off = express(off, Kind.SOIL_CONTENT, "mg/kg", ion=SODIUM)
    charge_on = express(on, Kind.SOIL_CONTENT, "cmol_c/kg", ion=CALCIUM)
    charge_off = express(off, Kind.SOIL_CONTENT, "cmol_c/kg", ion=SODIUM)
    return Drawn(
        records={"ions": records},
        signals={},
        caption=(
            f"{settled} calcium {'sits' if settled == 1 else 'sit'} on {taken} sites. "
            f"{released} sodium went into the water, {SITES - taken} are still on the clay. "
            f"Charge on = charge off = {taken}."
        ),
        table=NumberTable(
            titles=("Ion", "Drawn", "Amount, mmol/kg", "Mass, mg/kg", "Charge, meq/100 g"),
            rows=(
                ("calcium, onto the clay", f"{settled}", f"{on:.0f}", f"{mass_on:.0f}", f"{charge_on:.1f}"),
                ("sodium, off the clay", f"{released}", f"{off:.0f}", f"{mass_off:.0f}", f"{charge_off:.1f}"),
            ),
        ),
    )


def milligrams(*, each_mg_per_l: float) -> Drawn:
    """The charge that the same mass of four cations carries.

    Parameters
    ----------
    each_mg_per_l : float
        Calcium, magnesium, sodium and potassium in the water, of each [mg/L].
    """
    given = quantity(each_mg_per_l, "mg/L")
    amounts = {ion.name: read(given, Kind.CONCENTRATION, name=ion.name, ion=ion) for ion in CATIONS}
    charges = {ion.name: read(given, Kind.CHARGE_CONCENTRATION, name=ion.name, ion=ion) for ion in CATIONS}
    records: list[Record] = [
        {"name": ion.name, "value": round(charges[ion.name], 3), "text": f"{charges[ion.name]:.1f}"}
        for ion in CATIONS
    ]
    said = ", ".join(f"{ion.name} {charges[ion.name]:.1f}" for ion in CATIONS)
    return Drawn(
        records={"bars": records},
        signals={},
        caption=f"{each_mg_per_l:g} mg/L of each. Charge in meq/L: {said}.",
        table=NumberTable(
            titles=(
                "Ion",
                "Mass, mg/L",
                "Molar mass, mg/mmol",
                "Amount, mmol/L",
                "Charge of one ion",
                "Charge, meq/L",
            ),
            rows=tuple(
                (
                    ion.name,
                    f"{each_mg_per_l:g}",
                    f"{ion.molar_mass:.2f}",
                    f"{amounts[ion.name]:.2f}",
                    f"{ion.charge}",
                    f"{charges[ion.name]:.2f}",
                )
                for ion in CATIONS
            ),
        ),
    )


def mass_per_charge(symbol: str) -> float:
    """Milligrams of an ion that carry one millimole of charge [mg/mmol_c].

    Parameters
    ----------
    symbol : str
        Of `soilx.chemistry.ions.IONS`.
    """
    return float(express(1.0, Kind.CHARGE_CONCENTRATION, "mg/L", ion=IONS[symbol]))


def _ion(ion: Ion, first_site: int, rows: tuple[float, ...]) -> Record:
    """Where an ion is drawn that begins at a site, reading the rows like lines of text."""
    row = rows[first_site // SITES_ACROSS]
    left = float(first_site % SITES_ACROSS)
    right = left + ion.charge
    return {
        "symbol": ion.symbol,
        "left": left + 0.08,
        "middle": 0.5 * (left + right),
        "right": right - 0.08,
        "top": row - _HALF,
        "row": row,
        "bottom": row + _HALF,
    }
