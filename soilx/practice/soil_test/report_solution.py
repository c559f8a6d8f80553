"""The water side of a report: the paste's water, its ions, conductivity and SAR, converted where needed."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from soilx.chemistry.soil_solution import sodium_adsorption_ratio
from soilx.errors import ModelRangeError, SoilxError
from soilx.practice.estimate import Estimate
from soilx.practice.soil_test.extracts import paste_adsorption_ratio, paste_conductivity
from soilx.practice.soil_test.report_fields import ANIONS, CATIONS, EXTRACT_WATER_PCT, PASTE
from soilx.practice.soil_test.report_values import ReportValues


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportSolution:
    """What a report says of the water in the soil.

    Attributes
    ----------
    basis : str or None
        Which extract was analysed; None where it is not stated.
    saturation_percentage : Estimate or None
        Measured, or estimated from texture [%].
    water : Estimate or None
        Water of the extract that was analysed, per oven-dry soil [%].
    extract : mapping of str to Estimate
        Charge concentrations of that extract by symbol [mmol_c/L].
    extract_ec, extract_sar : Estimate or None
        Of that extract [dS/m], [(mmol/L)^½].
    paste : mapping of str to Estimate
        The same where it is a saturation extract, else empty: single ions are not converted [mmol_c/L].
    paste_ec, paste_sar : Estimate or None
        Of the saturation extract, measured or converted [dS/m], [(mmol/L)^½].
    notes : tuple of str
        What could not be converted, and why.
    """

    basis: str | None
    saturation_percentage: Estimate | None
    water: Estimate | None
    extract: Mapping[str, Estimate]
    extract_ec: Estimate | None
    extract_sar: Estimate | None
    paste: Mapping[str, Estimate]
    paste_ec: Estimate | None
    paste_sar: Estimate | None
    notes: tuple[str, ...]


def gypsum_in(values: ReportValues) -> bool | None:
    """Whether solid gypsum is in the soil, as told in words or by its amount; None where neither is told."""
    told = values.flag("gypsum_present")
    if told is None and "native_gypsum" in values.numbers:
        return values.numbers["native_gypsum"] > 0
    return told


def solution_of(values: ReportValues) -> ReportSolution:
    """The water side of a report.

    Parameters
    ----------
    values : ReportValues
        The report, read.

    Notes
    -----
    An extract whose kind is not stated is converted to nothing and judged by nothing: it is kept as it is.
    """
    basis = values.words.get("extract_basis")
    paste_water = _paste_water(values)
    extract = {
        symbol: found
        for symbol, name in (*CATIONS.items(), *ANIONS.items())
        if (found := values.charge_of_extract(f"extract_{name}")) is not None
    }
    extract_ec = None
    if "extract_conductivity" in values.numbers:
        extract_ec = Estimate.measured(values.numbers["extract_conductivity"], "dS/m")
    extract_sar = _ratio_of(extract, values)
    paste_ec: Estimate | None = None
    paste_sar: Estimate | None = None
    notes: list[str] = []
    if basis == PASTE:
        paste_ec, paste_sar = extract_ec, extract_sar
    elif basis is not None:
        # Gypsum spread within the year counts as present: what is left of it dissolves in the wider extract.
        gypsum = gypsum_in(values) or values.flag("gypsum_recently_applied")
        try:
            if extract_ec is not None:
                paste_ec = paste_conductivity(
                    extract_ec, extract=basis, saturation_percentage=paste_water, gypsum_present=gypsum
                )
        except SoilxError as error:
            notes.append(str(error))
        try:
            if extract_sar is not None:
                paste_sar = paste_adsorption_ratio(extract_sar, extract=basis, gypsum_present=gypsum)
        except ModelRangeError as error:
            notes.append(str(error))
    elif extract or extract_ec or extract_sar:
        notes.append(
            "extract_basis is not stated: the extract's numbers are kept and nothing is judged by them, "
            "since a 1:5 extract reads several times lower than a saturation extract"
        )
    if paste_ec is None and "electrical_conductivity" in values.numbers:
        if values.words.get("conductivity_basis") == PASTE:
            paste_ec = Estimate.measured(values.numbers["electrical_conductivity"], "dS/m")
        else:
            notes.append(
                "electrical_conductivity is not said to be of a saturation extract: it is not judged by that "
                "extract's limits"
            )
    return ReportSolution(
        basis=basis,
        saturation_percentage=paste_water,
        water=_extract_water(basis, paste_water),
        extract=MappingProxyType(extract),
        extract_ec=extract_ec,
        extract_sar=extract_sar,
        paste=MappingProxyType(extract if basis == PASTE else {}),
        paste_ec=paste_ec,
        paste_sar=paste_sar,
        notes=tuple(notes),
    )


def _paste_water(values: ReportValues) -> Estimate | None:
    """Saturation percentage, measured or estimated from texture [%]."""
    told = values.pct("saturation_percentage")
    if told is not None:
        return Estimate.measured(told, "%")
    return values.from_texture("saturation_percentage", "%")


def _extract_water(basis: str | None, paste_water: Estimate | None) -> Estimate | None:
    if basis == PASTE:
        return paste_water
    if basis is None:
        return None
    return Estimate.measured(EXTRACT_WATER_PCT[basis], "%", origin=f"of a {basis}")


def _ratio_of(extract: Mapping[str, Estimate], values: ReportValues) -> Estimate | None:
    """SAR of the extract, from its ions or as reported [(mmol/L)^½]."""
    divalent = [extract[symbol].value for symbol in ("Ca", "Mg") if symbol in extract]
    if "Na" in extract and len(divalent) == 2 and sum(divalent) > 0:
        ratio = sodium_adsorption_ratio(
            extract["Na"].value, extract["Ca"].value / 2.0, extract["Mg"].value / 2.0
        )
        return Estimate.measured(float(ratio), "", origin="measured, from the ions of the extract")
    if "extract_adsorption_ratio" in values.numbers:
        return Estimate.measured(values.numbers["extract_adsorption_ratio"], "")
    return None
