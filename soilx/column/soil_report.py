"""A soil by its report: exchangeable cations and a saturation extract."""

from collections.abc import Mapping
from typing import Final

from soilx.chemistry.cation_exchange import Selectivity, implied_selectivity
from soilx.chemistry.ions import IONS
from soilx.chemistry.soil_solution import Solution
from soilx.column.charges import CHARGE_DIFFERENCE_LIMIT, require_charge_balance
from soilx.column.fields import COMMON_PRACTICE
from soilx.column.inventory import Inventory, Values, calcium_left
from soilx.errors import refuse

LEAST_BASES_OVER_CAPACITY: Final = 0.90
MOST_BASES_OVER_CAPACITY: Final = 1.15
"""Sum of exchangeable cations over CEC: below, unlisted acidity is held; above, lime or salts."""

CHARGE_PER_CONDUCTIVITY: Final = (8.0, 14.0)
"""Usual cations per conductivity [mmol_c/L per dS/m]; to 14 near saturation with gypsum."""


def inventory_of_report(given: Values, *, extractable: bool) -> Inventory:
    """What a soil holds, from exchangeable cations and a saturation extract.

    Parameters
    ----------
    given : mapping of str to float
        Exchangeable cations [mmol/kg], extract [mmol/L], water of the saturated paste [L/kg], CEC
        [mmol_c/kg].
    extractable : bool
        The cations are extractable: what is dissolved is still in them and is taken off here.

    Returns
    -------
    Inventory
        Exchanger and extract together; sodium, CEC and anions stand, calcium yields.

    Raises
    ------
    LimitError
        If the charges of the extract, or the cations and the CEC, differ by more than practice tolerates.
    """
    paste, capacity = given["saturation_percentage"], given["cation_exchange_capacity"]
    carbonate = given.get("extract_carbonate", 0.0)
    extract = Solution(
        ca=given["extract_calcium"],
        mg=given["extract_magnesium"],
        na=given["extract_sodium"],
        k=given["extract_potassium"],
        so4=given["extract_sulfate"],
        cl=given["extract_chloride"],
        hco3=given["extract_bicarbonate"] + carbonate,
    )
    require_charge_balance(extract, what="the saturation extract")
    held = {ion: given[f"exchangeable_{ion}"] for ion in ("calcium", "magnesium", "sodium", "potassium")}
    dissolved = {"calcium": extract.ca, "magnesium": extract.mg, "sodium": extract.na, "potassium": extract.k}
    yields: list[str] = []
    if extractable:
        for ion, before in held.items():
            soluble = dissolved[ion] * paste
            held[ion] = before - soluble
            yields.append(
                f"exchangeable {ion}: {before:.4g} − {soluble:.4g} dissolved = {held[ion]:.4g} mmol/kg"
            )
            if held[ion] < 0:
                refuse(
                    f"extractable {ion}",
                    before,
                    "mmol/kg",
                    wrong=f"is less than the {soluble:.4g} mmol/kg that the extract alone holds",
                    limit="an extractable amount holds the dissolved one",
                    remedy="check the basis of the cations and the units of the extract",
                )
    bases = 2 * (held["calcium"] + held["magnesium"]) + held["sodium"] + held["potassium"]
    _require_bases_match(bases, capacity)
    if bases > 1.1 * capacity:
        yields.append(
            f"the exchangeable cations are {bases / capacity:.2f} of the CEC: above 1.1 suspect lime or "
            f"salts ({COMMON_PRACTICE})"
        )
    gypsum = given.get("native_gypsum", 0.0)
    sodium, potassium, magnesium = (
        held[ion] + dissolved[ion] * paste for ion in ("sodium", "potassium", "magnesium")
    )
    chloride, bicarbonate, sulfate = extract.cl * paste, extract.hco3 * paste, extract.so4 * paste + gypsum
    calcium = calcium_left(
        capacity,
        sodium=sodium,
        potassium=potassium,
        magnesium=magnesium,
        anions=chloride + bicarbonate + 2 * sulfate,
    )
    reported = held["calcium"] + extract.ca * paste + gypsum
    if abs(calcium - reported) > 1e-6 * capacity:
        yields.append(
            f"calcium yields: {reported:.5g} mmol/kg reported, {calcium:.5g} taken, so that charges balance "
            "with sodium, CEC and anions as reported"
        )
    yields.extend(_extract_remarks(given, extract))
    return Inventory(
        calcium=calcium,
        magnesium=magnesium,
        sodium=sodium,
        potassium=potassium,
        sulfate=sulfate,
        chloride=chloride,
        bicarbonate=bicarbonate,
        implied_selectivity=_implied(held, dissolved),
        yields=tuple(yields),
    )


def _require_bases_match(bases: float, capacity: float) -> None:
    ratio = bases / capacity
    if not LEAST_BASES_OVER_CAPACITY <= ratio <= MOST_BASES_OVER_CAPACITY:
        refuse(
            "exchangeable cations in all",
            bases / 10,
            "cmol_c/kg",
            wrong=f"are {ratio:.2f} of a CEC of {capacity / 10:.4g} cmol_c/kg",
            limit=f"the limit is {LEAST_BASES_OVER_CAPACITY:g} to {MOST_BASES_OVER_CAPACITY:g} "
            f"({COMMON_PRACTICE})",
            remedy="too few: acidity is not listed, or a unit is wrong; too many: lime, gypsum or salts were "
            "extracted, "
            'so subtract them, or write exchangeable_basis "extractable" where only what is dissolved is in '
            "them",
        )


def _implied(held: Mapping[str, float], dissolved: Mapping[str, float]) -> Selectivity | None:
    """Selectivities by which exchangeable and dissolved cations are in equilibrium; None if one is nil."""
    cations = [ion for ion in IONS.values() if ion.charge > 0]
    if not all(phase[ion.name] > 0 for phase in (held, dissolved) for ion in cations):
        return None
    return implied_selectivity(
        [ion.charge * held[ion.name] for ion in cations], [dissolved[ion.name] for ion in cations]
    )


def _extract_remarks(given: Values, extract: Solution) -> list[str]:
    remarks = []
    if abs(extract.charge_imbalance) > 0.5 * CHARGE_DIFFERENCE_LIMIT:
        remarks.append(
            f"the charges of the extract differ by {100 * extract.charge_imbalance:+.1f} % of their sum: "
            f"tolerable, not good ({COMMON_PRACTICE})"
        )
    if given.get("extract_conductivity"):
        ratio = extract.cation_charge / given["extract_conductivity"]
        low, high = CHARGE_PER_CONDUCTIVITY
        if not low <= ratio <= high:
            remarks.append(
                f"cations over conductivity of the extract = {ratio:.3g} mmol_c/L per dS/m: usual are "
                f"{low:g} to {high:g} ({COMMON_PRACTICE}); check both"
            )
    if extract.hco3 > 2 * (extract.ca + extract.mg):
        remarks.append(
            f"residual sodium carbonate of the extract = {extract.hco3 - 2 * (extract.ca + extract.mg):.3g} "
            "mmol_c/L, above 0: lime would form as water leaves, and calcite is left out here"
        )
    return remarks
