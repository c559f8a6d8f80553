"""Limits that a soil or a water is judged by: bands with their sources, by convention, as data.

No limit of this trade is a sharp truth. Each one here is a band: below `low` nobody worries, above `high`
the class is given, and between them it depends on the soil. Exactly on a border counts as between.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from soilx.chemistry.cation_exchange import ussl_line_sar
from soilx.errors import refuse, require
from soilx.practice.judgement.bands import Band


@dataclass(frozen=True, slots=True, kw_only=True)
class Convention:
    """By whose limits a soil is called saline or sodic.

    Attributes
    ----------
    name : str
        Key of `CONVENTIONS`.
    title : str
        For screens.
    esp, sar, ec : Band
        Exchangeable sodium percentage [%], SAR of the saturation extract, and its conductivity [dS/m].
    target_esp_pct : float
        What is aimed for where nobody says otherwise, common practice [%].
    """

    name: str
    title: str
    esp: Band
    sar: Band
    ec: Band
    target_esp_pct: float


_SALINE: Final = Band(
    title="conductivity of the saturation extract",
    unit="dS/m",
    low=2.0,
    high=4.0,
    source="kstate_classes, recalled",
    note="saline above 4; sensitive plants suffer from 2 on †. For saturation extracts: a 1:1 or 1:5 extract "
    "of the same soil reads lower",
)

US: Final = Convention(
    name="US",
    title="United States: sodic above ESP 15 or SAR 13",
    esp=Band(
        title="exchangeable sodium percentage",
        unit="%",
        low=5.0,
        high=15.0,
        source="kstate_classes, osu_pss2226, common_practice",
        note="sodic above 15; some Oklahoma soils disperse at 7; below 5 nobody expects harm (common "
        "practice)",
    ),
    sar=Band(
        title="SAR of the saturation extract",
        unit="",
        low=3.0,
        high=13.0,
        source="kstate_classes, common_practice",
        note="sodic above 13; below 3 nobody expects harm (common practice)",
    ),
    ec=_SALINE,
    target_esp_pct=5.0,
)

AUSTRALIA: Final = Convention(
    name="Australia",
    title="Australia: sodic above ESP 6",
    esp=Band(
        title="exchangeable sodium percentage",
        unit="%",
        low=5.0,
        high=6.0,
        source="naidu1993, common_practice",
        note="sodic above 6; below 5 nobody expects harm (common practice)",
    ),
    sar=Band(
        title="SAR of the saturation extract",
        unit="",
        low=3.0,
        high=float(ussl_line_sar(6.0)),
        source="naidu1993, ussl1954, common_practice",
        note="the SAR of a saturation extract beside ESP 6, by Handbook 60's line; limits printed for 1:5 "
        "extracts are not used here",
    ),
    ec=_SALINE,
    target_esp_pct=6.0,
)

CONVENTIONS: Final[Mapping[str, Convention]] = MappingProxyType({"US": US, "Australia": AUSTRALIA})

MAGNESIUM_SHARE: Final = Band(
    title="magnesium on the exchanger",
    unit="% of CEC",
    low=25.0,
    high=40.0,
    source="recalled",
    note="above 40 % magnesium disperses much as sodium does †, from 25 % on in some soils †",
)

EXCHANGE_CAPACITY: Final = Band(
    title="exchange capacity",
    unit="cmol_c/kg",
    low=5.0,
    high=10.0,
    source="common_practice",
    note="below 5 the soil is a sand that holds little sodium, whatever its ESP",
)

ALKALINITY: Final = Band(
    title="pH",
    unit="",
    low=8.5,
    high=9.0,
    source="kstate_classes, trade_texts",
    note="sodic soils are often above 8.5; above 9 there is soluble carbonate, which takes up calcium",
)

DRAIN_TEST: Final = Band(
    title="time in which an 18 in test hole drains",
    unit="h",
    low=1.0,
    high=24.0,
    source="trade_texts",
    note="within 1 h is good, over a day is poor",
)

RESIDUAL_CARBONATE: Final = Band(
    title="residual sodium carbonate",
    unit="mmol_c/L",
    low=1.25,
    high=2.5,
    source="recalled",
    note="below 1.25 fine †, above 2.5 unsuitable untreated †",
)

# Roots are hindered from the first density on and stopped at the second †, by clay up to a percentage.
_BULK_DENSITY: Final = ((20.0, 1.63, 1.80), (35.0, 1.60, 1.75), (45.0, 1.49, 1.58), (100.0, 1.39, 1.47))

HABIT_DOSE: Final = "50 lb/1000 ft^2"
"""What is spread on a lawn by habit; common practice, no published source."""

HABIT_DOSE_TOO_MUCH: Final = 2.0
"""A dose that carries so many times the calcium that all exchangeable sodium asks for; our own limit."""


def bulk_density_band(clay_pct: float) -> Band:
    """Bulk density that hinders roots, and that stops them, by clay content †.

    Parameters
    ----------
    clay_pct : float
        [%]

    Raises
    ------
    LimitError
        If it is not a percentage.
    """
    clay = require("clay", clay_pct, "%", low=0.0, high=100.0, whose="a percentage", remedy="give clay in %")
    low, high = next((low, high) for most, low, high in _BULK_DENSITY if clay <= most)
    return Band(
        title="bulk density",
        unit="kg/L",
        low=low,
        high=high,
        source="recalled",
        note=f"with {clay:.3g} % clay roots are hindered from {low:g} kg/L on and stopped at {high:g} †",
    )


def convention_of(name: str) -> Convention:
    """The convention of a name.

    Parameters
    ----------
    name : str
        Key of `CONVENTIONS`.

    Raises
    ------
    LimitError
        If there is none of this name.
    """
    if name not in CONVENTIONS:
        refuse(
            "convention",
            name,
            "",
            wrong="is not one of ours",
            limit=f"they are {' and '.join(CONVENTIONS)}",
            remedy="name one of them",
        )
    return CONVENTIONS[name]
