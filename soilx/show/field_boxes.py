"""The boxes of the page's forms: every field that a report, a water, a product or a plan may have."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from soilx.column.fields import Field
from soilx.column.water import WATER_FIELD
from soilx.practice.dose.product_label import DRY, WET
from soilx.practice.soil_test.jar_test import WORDS as JAR_WORDS
from soilx.practice.soil_test.report_fields import REPORT_FIELD
from soilx.show.field_form import Box, Group
from soilx.units import Kind

# What stands on most reports, in the order in which one is read; labels in a gardener's words.
_LABELS: Final = {
    "name": "What you call this soil",
    "depth": "Sampled to a depth of",
    "depth_from": "Sampled from (0 at the surface)",
    "date": "Day of sampling",
    "laboratory": "Laboratory",
    "texture": "Texture",
    "clay": "Clay",
    "bulk_density": "Bulk density, oven-dry",
    "ph": "pH of the saturated paste",
    "lime": "Lime (calcium carbonate)",
    "cation_exchange_capacity": "Cation exchange capacity, CEC",
    "cec_basis": "How the CEC was come by",
    "exchangeable_basis": "Are dissolved salts taken off the cations?",
    "extractant": "Extractant",
    "exchangeable_sodium": "Sodium, Na",
    "exchangeable_calcium": "Calcium, Ca",
    "exchangeable_magnesium": "Magnesium, Mg",
    "exchangeable_potassium": "Potassium, K",
    "exchangeable_sodium_percentage": "ESP, where the report prints it",
    "extract_basis": "Which extract",
    "extract_conductivity": "EC of the extract at 25 °C",
    "extract_adsorption_ratio": "SAR, where the report prints it",
    "extract_sodium": "Sodium of the extract",
    "extract_calcium": "Calcium of the extract",
    "extract_magnesium": "Magnesium of the extract",
    "extract_potassium": "Potassium of the extract",
    "extract_bicarbonate": "Bicarbonate of the extract",
    "extract_carbonate": "Carbonate of the extract",
    "extract_chloride": "Chloride of the extract",
    "extract_sulfate": "Sulfate of the extract",
    "saturation_percentage": "Saturation percentage, SP",
    "drain_test": "An 18 in hole, filled twice, drains in",
    "jar_test": "Jar test in rain water",
    "gypsum_present": "Is solid gypsum in the soil?",
    "gypsum_recently_applied": "Gypsum spread in the last 12 months?",
}
_HINTS: Final = {
    "name": "like Front lawn",
    "depth": "like 15 cm or 6 in",
    "depth_from": "like 0 cm",
    "date": "like 2024-03-31",
    "extractant": "like ammonium acetate",
    "bulk_density": "like 1.40 kg/L; guessed from the texture if empty",
    "ph": "a plain number, like 8.6",
    "cation_exchange_capacity": "like 24 cmol_c/kg or 24 meq/100g",
    "exchangeable_sodium": "like 4.32 cmol_c/kg, 4.32 meq/100g or 990 ppm",
    "extract_conductivity": "like 1.9 dS/m or 1900 µS/cm",
    "extract_adsorption_ratio": "a plain number, like 15.6",
    "extract_sodium": "like 16.4 meq/L or 377 mg/L",
    "drain_test": "like 6 h or 20 min",
    "jar_test": f"{JAR_WORDS[0]}, {JAR_WORDS[1]} or {JAR_WORDS[2]}",
}
_BY_KIND: Final = {
    Kind.CONCENTRATION: "like 2.4 meq/L or 48 mg/L",
    Kind.CHARGE_CONCENTRATION: "like 0.2 meq/L",
    Kind.SOIL_CONTENT: "like 2.1 cmol_c/kg, 2.1 meq/100g or 90 ppm",
    Kind.FRACTION: "like 12 %",
}
_WATER_LABELS: Final = {"name": "What you call this water", "ph": "pH of the water"}
_GROUPS: Final = {
    "The sample": (
        "name", "depth", "depth_from", "texture", "clay", "bulk_density", "date", "laboratory",
    ),
    "Seen in the field": (
        "drain_test", "jar_test", "gypsum_present", "gypsum_recently_applied", "ph", "lime",
    ),
    "Cations on the clay": (
        "cation_exchange_capacity", "cec_basis", "exchangeable_basis", "extractant", "exchangeable_sodium",
        "exchangeable_calcium", "exchangeable_magnesium", "exchangeable_potassium",
        "exchangeable_sodium_percentage",
    ),
    "The water extract": (
        "extract_basis", "extract_conductivity", "saturation_percentage", "extract_sodium",
        "extract_calcium", "extract_magnesium", "extract_potassium", "extract_bicarbonate",
        "extract_carbonate", "extract_chloride", "extract_sulfate", "extract_adsorption_ratio",
    ),
}  # fmt: skip

RARE: Final = "Rarely on a report"


def report_groups() -> list[Group]:
    """Boxes for everything a report may say; the rare ones behind a line that opens."""
    shown = {key for keys in _GROUPS.values() for key in keys}
    rare = tuple(key for key in REPORT_FIELD if key not in shown)
    return [
        *(Group(title=title, boxes=_boxes(keys)) for title, keys in _GROUPS.items()),
        Group(title=RARE, boxes=_boxes(rare), folded=True),
    ]


def water_groups() -> list[Group]:
    """Boxes for the analysis of a water."""
    boxes = tuple(
        Box(
            key=key,
            label=_WATER_LABELS.get(key, _capital(field.title).removesuffix(" of the water")),
            hint=_hint(field),
        )
        for key, field in WATER_FIELD.items()
    )
    return [Group(title="The water's analysis", boxes=boxes)]


def aim_groups() -> list[Group]:
    """Boxes for what is aimed at."""
    return [
        Group(
            title="What is aimed at",
            boxes=(
                Box(key="target", label="Target ESP", hint="like 5 %; the convention's own if empty"),
                Box(key="depth", label="Depth to treat", hint="like 10 cm or 4 in; as sampled if empty"),
                Box(
                    key="factor",
                    label="Factor for calcium that misses sodium",
                    hint="1.1 to 1.3 † is usual, 1.25 in print; 1 for none",
                ),
                Box(
                    key="concentration",
                    label="How many times the roots concentrate the water",
                    hint="1 is the water as it is; 2 to 3 in a root zone (common practice)",
                ),
                Box(
                    key="pot",
                    label="Oven-dry soil in a pot",
                    hint="like 100 g or 5 lb, for a dose by mass",
                ),
            ),
        )
    ]


def product_groups() -> list[Group]:
    """Boxes for the product that is spread."""
    return [
        Group(
            title="The product, from its label",
            boxes=(
                Box(key="name", label="Name of the product"),
                Box(key="purity", label="Purity: gypsum in the dried product", hint="like 88 %"),
                Box(
                    key="sulfur",
                    label="Or its sulfur, where no purity is printed",
                    hint="like 16.4 %; × 5.37 is the purity",
                ),
                Box(key="moisture", label="Moisture", hint="like 6 %"),
                Box(
                    key="moisture_basis",
                    label="Moisture per mass of",
                    hint="wet: as it comes",
                    words=(WET, DRY),
                ),
                Box(key="bag", label="One bag holds", hint="like 50 lb or 22.7 kg; empty for bulk"),
            ),
        )
    ]


def plan_groups() -> list[Group]:
    """Boxes for the dates and caps of a plan."""
    return [
        Group(
            title="Dates and limits",
            boxes=(
                Box(key="first", label="Day of the first visit", hint="year-month-day, like 2027-03-15"),
                Box(
                    key="cap",
                    label="Product of one visit at most",
                    hint="like 25 lb/1000 ft^2; the cover's usual cap if empty",
                ),
                Box(
                    key="annual_limit",
                    label="Product of a year at most",
                    hint="like 100 lb/1000 ft^2; no limit if empty",
                ),
                Box(key="water", label="Water after each visit", hint="like 0.5 in or 12 mm"),
                Box(key="leach", label="Water to leach with", hint="like 1 pore_volume or 50 mm"),
            ),
        )
    ]


def _boxes(keys: Iterable[str]) -> tuple[Box, ...]:
    return tuple(
        Box(
            key=key,
            label=_LABELS.get(key, _capital(REPORT_FIELD[key].title)),
            hint=_HINTS.get(key, _hint(REPORT_FIELD[key])),
            words=REPORT_FIELD[key].words,
        )
        for key in keys
    )


def _hint(field: Field) -> str:
    if field.words or field.kind is None:
        return ""
    return _BY_KIND.get(field.kind, f"with its unit, {field.unit}" if field.unit else "a plain number")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
