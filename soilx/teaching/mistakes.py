"""Known mistakes, each with its name and the line that went wrong; the answers they lead to are recomputed.

The published wrong answers are among them: a sodium adsorption ratio of 20.6 where 14.59 is right (the root
taken before the halving), and 16.125 t/ha of gypsum for all the sodium where 40 % of it was asked, 6.456.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final


@dataclass(frozen=True, slots=True, kw_only=True)
class Mistake:
    """A mistake that people make.

    Attributes
    ----------
    key : str
        E and a number for the trade's, M for misconceptions, A for slips of the pencil.
    name : str
        What was done, after "That is what comes out when".
    remedy : str
        What holds instead, in plain words.
    """

    key: str
    name: str
    remedy: str


_ROWS: Final = (
    ("E1", "the field's rate is scaled by the area of the pot",
     "A field's rate is for all the soil below it. Go by the mass of soil in the pot, not by its opening."),
    ("E2", "the sampled depth is taken for the treated one",
     "The sample tells what a kilogram of soil holds. The rate is for all the soil of the treated depth."),
    ("E3", "mg/L of the water is read as mg/kg of the soil",
     "A concentration in water has to be multiplied by the water that a kilogram of soil holds or drains."),
    ("E4", "the dissolved sodium is counted as exchangeable",
     "The extractant takes what is dissolved as well. Take it off: extract × saturation percentage / 1000."),
    ("E5", "calcium from lime or gypsum is counted as exchangeable",
     "Lime and gypsum dissolve in the extractant. Hold sodium against the measured CEC, not the sum."),
    ("E6", "the CEC is summed without sodium",
     "The exchange capacity is all that is held: calcium, magnesium, potassium and sodium."),
    ("E7", "ions of two different extracts are mixed, or the wrong one is used",
     "All ions of a ratio come from one extract, and this question is about the saturation extract."),
    ("E8", "the conductivity of the wide extract is judged as if it were of the saturation extract",
     "More water reads lower. Convert it to the saturation extract before a limit is held against it."),
    ("E9", "purity and moisture are forgotten",
     "The product is not all gypsum and not all dry. Divide by purity × (1 − moisture)."),
    ("E10", "air-dry soil is taken for oven-dry soil",
     "Air-dry soil holds water. Per kilogram of oven-dry soil there is more: × (100 + moisture)/100."),
    ("E11", "magnesium is left out",
     "Calcium and magnesium stand in this sum together."),
    ("E12", "salt is leached out before there is calcium",
     "Salt leaves sooner than sodium. Then the clay seals. Gypsum and water go together."),
    ("E16", "gypsum is spread where water cannot leave",
     "Sodium leaves with water only. Drainage comes first."),
    ("E22", "gypsum is given for what is not sodium's doing",
     "Salt without sodium wants water and drainage, and a soil without sodium wants no gypsum."),
    ("M4", "ppm of different ions are compared as if they weighed the same for their charge",
     "Divide each ion by its own mass of one charge before adding or comparing."),
    ("M5", "one sodium is traded for one calcium",
     "Charge is traded for charge: calcium carries two, so one calcium takes the place of two sodium."),
    ("M6", "SAR is taken for ESP",
     "SAR is of the water, ESP is of the clay. Gapon's equation leads from one to the other."),
    ("M7", "more gypsum is taken to give more calcium in the water without end",
     "Water takes up gypsum until it is saturated. What is left over stays solid."),
    ("M10", "dilution, or drying, is taken to change nothing",
     "Calcium and magnesium stand under a root, sodium does not: the ratio changes with the root of it."),
    ("M11", "a pore volume is taken for the volume of the soil",
     "A pore volume is the water that the soil holds when it is drained."),
    ("M13", "salty and sodic are taken for the same",
     "Salinity is judged by conductivity, sodicity by the share of sodium. Look at both numbers."),
    ("A1", "the root is taken before the halving",
     "Halve calcium and magnesium first, then take the root."),
    ("A2", "calcium and magnesium are not halved",
     "In meq/L their sum is halved under the root."),
    ("A3", "the ratio is changed by the whole dilution or concentration",
     "Sodium changes by all of it, and what stands under the root by its root: the ratio changes so too."),
    ("A4", "the ratio of sodium to the others is read as a share of the whole",
     "The share of the whole is ratio / (1 + ratio)."),
    ("A5", "gypsum is reckoned for all the sodium",
     "Only the sodium above the target has to go: the difference of the two percentages."),
    ("A6", "a percentage goes into the formula as it stands",
     "The formula asks for kilograms of water per kilogram of soil: 52 % is 0.52."),
    ("A7", "the milligrams in the cups are not brought to a kilogram of soil",
     "The cups drained from less than a kilogram. Divide by the mass of soil in the column."),
    ("A8", "the mean concentration is multiplied by all the water",
     "The strong portions and the weak ones have different volumes. Multiply portion by portion, then add."),
    ("A9", "moisture is multiplied on instead of divided off",
     "Of a wet product 1 − moisture is solid: divide by it."),
    ("A10", "the visits are rounded down",
     "The last part of a visit needs a visit of its own, or every visit passes the cap."),
    ("A11", "the metric tonne per hectare is taken for the short ton per acre",
     "One t/ha is 20.48 lb/1000 ft²; one short ton per acre is 45.91."),
    ("A12", "the one number that the others contradict is taken",
     "Bring all four to one unit first. Three agree, and the fourth is the slip."),
    ("A13", "solubility is reckoned as the root of the solubility product",
     "Ions shield each other and pair up: three times as much dissolves."),
    ("A14", "the hand formula is trusted to the gram",
     "Not every calcium meets a sodium: some leaves with the water, some takes the place of magnesium."),
    ("A15", "the gypsum is taken to dissolve as it does in a jar of pure water",
     "On sodic clay calcium leaves the water as soon as it is there, and more gypsum dissolves after it."),
    ("A17", "the water's floor is not looked at",
     "A soil ends where its water brings it. Below that floor gypsum does not last."),
    ("A18", "gypsum is mixed into soluble carbonate",
     "Above pH 9 carbonate takes up the calcium. That has to be dealt with first."),
    ("A16", "cmol_c/kg is taken for mmol_c/kg",
     "1 cmol_c/kg is 10 mmol_c/kg; 0.0086 goes with mmol_c/kg and 0.086 with cmol_c/kg."),
)  # fmt: skip

MISTAKES: Final[Mapping[str, Mistake]] = MappingProxyType(
    {key: Mistake(key=key, name=name, remedy=remedy) for key, name, remedy in _ROWS}
)
"""In an order that receipts count on: new ones go to the end."""
