"""Two soils, one difference: columns side by side that differ in one thing, a question and a rule to each."""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.sweep import sweep
from soilx.column.water import Water
from soilx.show.presets import presets, waters, wettings
from soilx.units import quantity

_PORTION: Final = 0.5
_RATE_T_PER_HA: Final = 7.05
_SALT_MMOL_PER_L: Final = 18.12
"""Sodium chloride that conducts as well as 15 mmol/L of dissolved gypsum does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contrast:
    """Columns that differ in one thing.

    Attributes
    ----------
    name : str
        What differs.
    same : str
        What does not.
    question : str
    rule : str
        In one sentence, to be shown after the question was thought about.
    scenarios : callable
        The columns by the name of what is theirs alone.
    """

    name: str
    same: str
    question: str
    rule: str
    scenarios: Callable[[], Mapping[str, Scenario]]

    def runs(self) -> dict[str, Run]:
        """The columns as they end, by name."""
        made = self.scenarios()
        return dict(zip(made, sweep(list(made.values())), strict=True))


def _scenario(
    *,
    gypsum_t_per_ha: float = _RATE_T_PER_HA,
    pore_volumes: float = 4.0,
    water: Water | None = None,
    capacity_cmol_c_per_kg: float | None = None,
    placement: str = "mixed",
) -> Scenario:
    soil = presets()["Block C"].soil
    if capacity_cmol_c_per_kg is not None:
        soil = soil.with_capacity(quantity(capacity_cmol_c_per_kg, "cmol_c/kg"))
    return Scenario.of(
        soil=soil,
        gypsum=quantity(gypsum_t_per_ha, "t/ha"),
        placement=placement,
        wettings=wettings(pore_volumes, of=water or waters()["deionised"], portion=_PORTION),
    )


def _capacities() -> dict[str, Scenario]:
    return {f"CEC {cec:g}": _scenario(capacity_cmol_c_per_kg=cec) for cec in (12.0, 24.0, 36.0)}


def _strengths() -> dict[str, Scenario]:
    # Each has SAR 3: sodium grows with the root of calcium.
    made = {}
    for name, calcium, sodium in (("thin", 0.25, 1.5), ("medium", 4.0, 6.0), ("strong", 25.0, 15.0)):
        water = Water.of(
            name=f"{name} water of SAR 3",
            calcium=f"{calcium} mmol/L",
            sodium=f"{sodium} mmol/L",
            chloride=f"{2 * calcium + sodium} mmol/L",
        )
        made[name] = _scenario(gypsum_t_per_ha=0.0, water=water)
    return made


def _placements() -> dict[str, Scenario]:
    return {
        "mixed in": _scenario(pore_volumes=2.0),
        "on top": _scenario(pore_volumes=2.0, placement="surface"),
    }


def _pure_and_real() -> dict[str, Scenario]:
    return {"deionised": _scenario(), "Well 3": _scenario(water=waters()["Well 3"])}


def _salt_and_calcium() -> dict[str, Scenario]:
    gypsum = Water.of(name="gypsum water", calcium="15 mmol/L", sulfate="15 mmol/L")
    salt = f"{_SALT_MMOL_PER_L} mmol/L"
    table_salt = Water.of(name="table salt water", sodium=salt, chloride=salt)
    return {
        "gypsum water": _scenario(gypsum_t_per_ha=0.0, water=gypsum),
        "table salt": _scenario(gypsum_t_per_ha=0.0, water=table_salt),
    }


def _doses() -> dict[str, Scenario]:
    return {
        f"{rate:g} t/ha": _scenario(gypsum_t_per_ha=rate, pore_volumes=2.0)
        for rate in (_RATE_T_PER_HA, 5 * _RATE_T_PER_HA)
    }


CONTRASTS: Final = (
    Contrast(
        name="Same share of sodium, three exchange capacities",
        same="Block C with 7.05 t/ha of gypsum and 4 pore volumes of water. CEC in meq/100 g.",
        question="All three began at the same share of sodium. Why do they not end there?",
        rule="The same share on more clay is more sodium, so the same drop takes more gypsum.",
        scenarios=_capacities,
    ),
    Contrast(
        name="Same SAR, three strengths of water",
        same="Block C without gypsum, 4 pore volumes of water of SAR 3, with 2, 14 and 65 meq/L of salt.",
        question="SAR says all three waters are alike. What did the strong one do that the thin one did not?",
        rule="SAR says where the clay is heading; the strength of the water says how fast, and whether the "
        "clay holds together.",
        scenarios=_strengths,
    ),
    Contrast(
        name="Gypsum mixed in, gypsum on top",
        same="Block C with 7.05 t/ha of gypsum, 2 pore volumes of water.",
        question="Where in the column is the sodium after the first water, and where is it not?",
        rule="On top, gypsum clears the top first and the bottom waits its turn; mixed in, every depth gets "
        "some at once.",
        scenarios=_placements,
    ),
    Contrast(
        name="Deionised water, well water",
        same="Block C with 7.05 t/ha of gypsum and 4 pore volumes of water.",
        question="Which water leaves less sodium on the clay, and which leaves the water clear?",
        rule="Pure water brings no sodium and lets the clay fall apart; real water brings some sodium, and "
        "the salt that holds clay together.",
        scenarios=_pure_and_real,
    ),
    Contrast(
        name="Gypsum, and table salt of the same EC",
        same="Block C, 4 pore volumes of one of two waters with the same EC.",
        question="Both waters are equally salty. Is it the salt that helps, or the calcium?",
        rule="Salt of any kind keeps the water clear; only calcium takes sodium's place on the clay.",
        scenarios=_salt_and_calcium,
    ),
    Contrast(
        name="Five times the dose",
        same="Block C with 2 pore volumes of water.",
        question="Five times the gypsum. Did five times the sodium wash out?",
        rule="Water dissolves only so much gypsum: more gypsum lasts longer, it does not wash sodium out "
        "faster.",
        scenarios=_doses,
    ),
)


@functools.cache
def contrast_runs(at: int) -> Mapping[str, Run]:
    """The columns of a contrast, run once a process.

    Parameters
    ----------
    at : int
        Its place in `CONTRASTS`.
    """
    return MappingProxyType(CONTRASTS[at].runs())
