"""Selectivities of Gapon's equation: defaults, published ranges, and those that a soil report implies."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from soilx.chemistry.exchange_conventions import USSL_SLOPE
from soilx.errors import refuse, require


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedRange:
    """Between which values a selectivity has been published, for screens and for warnings.

    Attributes
    ----------
    low, high : float
        Smallest and largest published value found, in the unit of the selectivity.
    unit : str
        That unit; empty where there is none.
    source : str
        Keys of `soilx.sources`, separated by a comma.
    note : str
        What the range covers.
    """

    low: float
    high: float
    unit: str
    source: str
    note: str

    def holds(self, value: float) -> bool:
        """Whether the value lies in the range, its ends included."""
        return self.low <= value <= self.high


SELECTIVITY_RANGES: Final[Mapping[str, PublishedRange]] = MappingProxyType(
    {
        "sodium": PublishedRange(
            low=0.0085,
            high=0.0163,
            unit="(mmol/L)^-½",
            source="cjss1982",
            note="slopes at 1057 and at 39 meq/L: it falls as the solution grows stronger",
        ),
        "potassium": PublishedRange(
            low=0.022,
            high=0.1051,
            unit="(mmol/L)^-½",
            source="shaviv1985, ussl1954",
            note="where five potassium-fixing soils level off, and the Handbook 60 slope †; "
            "soils holding little potassium can lie above",
        ),
        "magnesium": PublishedRange(
            low=0.6,
            high=1.5,
            unit="",
            source="magnesium_selectivities",
            note="published selectivities of magnesium over calcium",
        ),
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Selectivity:
    """How strongly an exchanger holds sodium, potassium and magnesium, by Gapon's equation.

    Attributes
    ----------
    sodium : float
        K_Na of E_Na/(E_Ca + E_Mg) = K_Na·SAR; the Handbook 60 slope [(mmol/L)^-½].
    potassium : float
        K_K of E_K/(E_Ca + E_Mg) = K_K·PAR; the Handbook 60 slope, recalled † [(mmol/L)^-½].
    magnesium : float
        K_Mg of E_Mg/E_Ca = K_Mg·Mg/Ca [1].

    Raises
    ------
    LimitError
        If one is not a finite number above zero. A value outside its published range is allowed:
        see `unusual_selectivities`.

    References
    ----------
    ussl1954
    """

    sodium: float = USSL_SLOPE
    potassium: float = 0.1051
    magnesium: float = 1.0

    def __post_init__(self) -> None:
        for ion, published in SELECTIVITY_RANGES.items():
            require(
                f"{ion} selectivity",
                getattr(self, ion),
                published.unit,
                low=0.0,
                low_open=True,
                whose="Gapon's equation",
                remedy=f"published values run from {published.low:g} to {published.high:g}",
            )


DEFAULT_SELECTIVITY: Final = Selectivity()


def unusual_selectivities(selectivity: Selectivity) -> tuple[str, ...]:
    """One sentence for each selectivity outside its published range, to show beside results."""
    sentences = []
    for ion, published in SELECTIVITY_RANGES.items():
        value = getattr(selectivity, ion)
        if not published.holds(value):
            given = f"{ion} selectivity = {value:.3g} {published.unit}".rstrip()
            sentences.append(
                f"{given}: outside the published range found, {published.low:g} to {published.high:g} "
                f"({published.note})"
            )
    return tuple(sentences)


def implied_selectivity(exchangeable: ArrayLike, concentrations: ArrayLike) -> Selectivity:
    """Selectivities that put a measured exchanger in equilibrium with its measured solution.

    Parameters
    ----------
    exchangeable : array_like, shape (4,)
        Exchangeable Ca, Mg, Na, K in any one unit of charge, such as mmol_c/kg.
    concentrations : array_like, shape (4,)
        Dissolved Ca, Mg, Na, K [mmol/L].

    Returns
    -------
    Selectivity
        This soil's own; a default where either phase holds none of that ion, so that nothing is implied.

    Raises
    ------
    LimitError
        If calcium is not above zero in both, or an amount is negative.
    """
    held, dissolved = np.asarray(exchangeable, dtype=float), np.asarray(concentrations, dtype=float)
    for name, values, unit in (("exchangeable", held, "mmol_c/kg"), ("dissolved", dissolved, "mmol/L")):
        if not (np.all(np.isfinite(values)) and np.all(values >= 0) and values[0] > 0):
            refuse(
                f"{name} Ca, Mg, Na, K",
                values.tolist(),
                unit,
                wrong="implies no selectivity",
                limit="Gapon's equation needs calcium above 0 and the others not negative",
                remedy="give both phases of one sample",
            )
    if held[1] > 0 and dissolved[1] > 0:
        magnesium = float(held[1] / held[0] * dissolved[0] / dissolved[1])
    else:
        magnesium = DEFAULT_SELECTIVITY.magnesium
    per_ratio = np.sqrt(dissolved[0] + dissolved[1]) / (held[0] + held[1])
    sodium, potassium = (
        float(held[i] / dissolved[i] * per_ratio) if held[i] > 0 and dissolved[i] > 0 else default
        for i, default in ((2, DEFAULT_SELECTIVITY.sodium), (3, DEFAULT_SELECTIVITY.potassium))
    )
    return Selectivity(sodium=sodium, potassium=potassium, magnesium=magnesium)
