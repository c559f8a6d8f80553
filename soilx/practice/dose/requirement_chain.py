"""The hand formula's multipliers, one a line, from exchange capacity to product."""

from dataclasses import dataclass
from typing import Final

from soilx.errors import refuse
from soilx.practice.dose.product import PURE, Product
from soilx.practice.soil_test.reported_sodium import ReportedSodium
from soilx.units import GYPSUM, Ground

TIMES: Final = "×"
OVER: Final = "÷"

GYPSUM_PER_CMOL_C: Final = GYPSUM.molar_mass / GYPSUM.charge / 100.0
"""Pure gypsum that carries a centimole of charge of calcium: 0.86086 [g/cmol_c]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Multiplier:
    """One line of the chain.

    Attributes
    ----------
    name : str
        What it is.
    operation : str
        "×" or "÷"; empty for the first line.
    value : float
        [unit]
    unit : str
        As printed.
    result : float
        Product of the chain so far [result_unit].
    result_unit : str
        As printed.
    why : str
        One sentence.
    source : str
        Key of `soilx.sources.SOURCES`; empty where it was given.
    """

    name: str
    operation: str
    value: float
    unit: str
    result: float
    result_unit: str
    why: str
    source: str = ""

    def as_row(self) -> dict[str, str | float]:
        """The line as plain values, for tables and JSON."""
        return {
            "name": self.name,
            "operation": self.operation,
            "value": self.value,
            "unit": self.unit,
            "result": self.result,
            "result_unit": self.result_unit,
            "why": self.why,
            "source": self.source,
        }


def chain_of(
    *, sodium: ReportedSodium, target_esp_pct: float, ground: Ground, factor: float, product: Product
) -> tuple[Multiplier, ...]:
    """Chain of multipliers of the hand formula; those that were not asked for are left out.

    Parameters
    ----------
    sodium : ReportedSodium
    target_esp_pct : float
        [%]
    ground : Ground
        Treated depth and bulk density.
    factor : float
        Left out where 1.
    product : Product
        Purity and moisture are left out for pure gypsum.

    Raises
    ------
    LimitError
        If the ground has no depth or bulk density.
    """
    if ground.depth is None or ground.bulk_density is None:
        refuse(
            "ground",
            "no depth or bulk density",
            "",
            wrong="is no rate per area",
            limit="a rate treats so much soil",
            remedy="give both",
        )
    share = sodium.above(target_esp_pct) / sodium.capacity
    lines: list[Multiplier] = []

    def add(
        name: str,
        operation: str,
        value: float,
        unit: str,
        gives: str,
        why: str,
        source: str = "",
        *,
        scale: float = 1.0,
    ) -> None:
        before = lines[-1].result if lines else 1.0
        result = scale * (before / value if operation == OVER else before * value)
        lines.append(
            Multiplier(
                name=name,
                operation=operation,
                value=value,
                unit=unit,
                result=result,
                result_unit=gives,
                why=why,
                source=source,
            )
        )

    add(
        "cation exchange capacity",
        "",
        sodium.capacity / 10.0,
        "cmol_c/kg",
        "cmol_c/kg",
        "Places on the clay, as the laboratory measured them before any gypsum.",
    )
    add(
        "share of the places that sodium is to leave",
        TIMES,
        share,
        "",
        "cmol_c/kg of sodium",
        f"From ESP {sodium.esp_pct:.4g} to {target_esp_pct:.4g} %; {sodium.basis}.",
    )
    add(
        "pure gypsum per charge",
        TIMES,
        GYPSUM_PER_CMOL_C,
        "g/cmol_c",
        "g/kg of pure gypsum",
        "Half a mole of gypsum brings the calcium that takes one mole of sodium's places.",
        "chemicals",
    )
    add(
        "bulk density",
        TIMES,
        ground.bulk_density,
        "kg/L",
        "g/L of pure gypsum",
        "Soil in a litre of field: per kilogram becomes per volume.",
    )
    # g/L is kg/m³, and over one centimetre of a hectare (100 m³) it is 0.1 t.
    add(
        "depth treated",
        TIMES,
        ground.depth / 10.0,
        "cm",
        "t/ha of pure gypsum",
        "A centimetre of a hectare is 100 m³, so that g/L times cm is 0.1 t/ha.",
        scale=0.1,
    )
    if factor != 1.0:
        add(
            "factor",
            TIMES,
            factor,
            "",
            "t/ha of pure gypsum",
            "For calcium that displaces something else or leaves with the water; once.",
            "recalled",
        )
    if product != PURE:
        add(
            "purity",
            OVER,
            product.purity,
            "",
            "t/ha of dry product",
            f"Gypsum in a kilogram of dried {product.name}.",
        )
        add(
            "dry share, 1 − moisture",
            OVER,
            1.0 - product.moisture,
            "",
            "t/ha of product as it comes",
            f"{product.name} is {100 * product.moisture:.3g} % water by its own wet mass.",
        )
    return tuple(lines)
