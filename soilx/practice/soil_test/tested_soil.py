"""What a rate needs of a soil test, from a soil or from a laboratory's report, and no more than that."""

from dataclasses import dataclass

from soilx.column.fields import read_field
from soilx.column.soil import Soil
from soilx.column.soil_fields import SOIL_FIELD
from soilx.errors import LimitError
from soilx.practice.soil_test.report import Report
from soilx.practice.soil_test.reported_sodium import ReportedSodium, reported_sodium

Tested = Soil | Report
"""What was tested: a soil that the column can run, or a report that may say less."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TestedSoil:
    """What the hand formula knows of a soil.

    Attributes
    ----------
    name : str
    depth : float
        Sampled [mm].
    bulk_density : float
        [kg/L]
    sodium : ReportedSodium
    ph : float or None
        Of the saturated paste.
    lime : float or None
        Calcium carbonate, kg per kg of soil.
    """

    # Not a test, whatever its name says to a collector of tests.
    __test__ = False

    name: str
    depth: float
    bulk_density: float
    sodium: ReportedSodium
    ph: float | None = None
    lime: float | None = None


def tested(soil: Tested) -> TestedSoil:
    """What the hand formula needs, from whatever was tested.

    Parameters
    ----------
    soil : Soil or Report

    Raises
    ------
    LimitError
        If a report lacks something that a rate is made of; the message lists what.
    """
    if isinstance(soil, Report):
        return _of_report(soil)
    seen = {
        key: read_field(SOIL_FIELD[key], text)
        for key, text in soil.observations.items()
        if SOIL_FIELD[key].kind is not None
    }
    return TestedSoil(
        name=soil.name,
        depth=soil.depth,
        bulk_density=soil.bulk_density,
        sodium=reported_sodium(soil),
        ph=seen.get("ph"),
        lime=seen.get("lime"),
    )


def _of_report(report: Report) -> TestedSoil:
    capacity, density, depth = report.cation_exchange_capacity, report.bulk_density, report.depth
    held, esp = report.exchangeable.get("Na"), report.esp
    lacking = {
        "cation exchange capacity": capacity,
        "sampled depth": depth,
        "bulk density, or a texture to estimate it from": density,
        "exchangeable sodium, or an ESP or SAR": held if held is not None else esp,
    }
    if capacity is None or density is None or depth is None or (held is None and esp is None):
        raise LimitError(
            f"report {report.name}: lacks {', '.join(w for w, value in lacking.items() if value is None)}; "
            "the limit is the formula's, a rate is made of these; ask the laboratory for them."
        )
    if held is not None:
        exchangeable, basis = held.value, f"exchangeable sodium {held.origin}, over CEC {capacity.origin}"
    elif esp is not None:
        exchangeable, basis = capacity.value * esp.value / 100.0, f"ESP {esp.origin}"
    sodium = ReportedSodium(exchangeable=exchangeable, capacity=capacity.value, basis=basis)
    lime = report.calcium_carbonate_pct
    return TestedSoil(
        name=report.name,
        depth=depth,
        bulk_density=density.value,
        sodium=sodium,
        ph=report.ph,
        lime=None if lime is None else lime / 100.0,
    )
