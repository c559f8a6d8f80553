"""What would change a diagnosis: how far each number is from its limit, scatter, and the other convention."""

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from soilx.practice.judgement.finding import Finding
from soilx.practice.judgement.soil_class import class_of
from soilx.practice.judgement.thresholds import CONVENTIONS
from soilx.practice.soil_test.soil_test_scatter import SOIL_TEST_CV_PCT

if TYPE_CHECKING:
    from soilx.practice.judgement.diagnosis import Diagnosis


def would_change(diagnosis: "Diagnosis") -> tuple[str, ...]:
    """Sentences on what would change the class of a soil.

    Parameters
    ----------
    diagnosis : Diagnosis

    Notes
    -----
    One soil test scatters by a coefficient of variation of 9 to 13 %; the wider one, doubled, is what a
    repeat may bring in 19 of 20 cases.
    """
    numbers = (
        ("ESP", diagnosis.esp, "sodic"),
        ("SAR of the saturation extract", diagnosis.sar, "sodic"),
        ("conductivity of the saturation extract", diagnosis.salinity, "saline"),
    )
    said = [sentence for what, found, word in numbers for sentence in _distance(what, found, word)]
    for name, convention in CONVENTIONS.items():
        if name == diagnosis.convention.name:
            continue
        other = replace(
            diagnosis,
            convention=convention,
            esp=replace(diagnosis.esp, band=convention.esp),
            sar=replace(diagnosis.sar, band=convention.sar),
            salinity=replace(diagnosis.salinity, band=convention.ec),
        )
        found = class_of(saline=other.saline, sodic=other.sodic)
        if found is diagnosis.soil_class:
            said.append(f"The limits of {_country(name)} give the same class.")
        else:
            said.append(f"By the limits of {_country(name)} it is: {found.value}.")
    said += [f"Not known: {test}." for test in diagnosis.missing]
    return tuple(said)


def _distance(what: str, found: Finding, word: str) -> Iterator[str]:
    if found.estimate is None:
        return
    limit, value = found.band.high, found.estimate.value
    unit = f" {found.band.unit}" if found.band.unit else ""
    count = "not count" if found.over_limit else "count"
    over = "under" if found.over_limit else "over"
    if found.over_limit is None:
        yield (
            f"The {what}, {found.number}, reaches to both sides of {limit:.3g}{unit}. It is "
            f"{found.estimate.origin}; measured, it would decide whether the soil is {word}."
        )
        return
    yield f"The {what} is {value:.3g}{unit}. {over.capitalize()} {limit:.3g} it would {count} as {word}."
    scatter = 2.0 * SOIL_TEST_CV_PCT[1] / 100.0 * value
    if abs(value - limit) <= scatter:
        yield (
            f"That is within the scatter of soil tests (CV {SOIL_TEST_CV_PCT[0]:g} to "
            f"{SOIL_TEST_CV_PCT[1]:g} %): a second sample may read {value - scatter:.3g} to "
            f"{value + scatter:.3g}."
        )


def _country(name: str) -> str:
    return "the United States" if name == "US" else name
