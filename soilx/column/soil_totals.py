"""A soil by its totals: cations on the clay and in the water together, CEC and anions."""

from soilx.column.fields import Typed
from soilx.column.inventory import Inventory, Values, calcium_left
from soilx.errors import LimitError


def inventory_of_totals(given: Values) -> Inventory:
    """What a soil holds, from cations in all, CEC and anions.

    Parameters
    ----------
    given : mapping of str to float
        Sodium, potassium, sulfate in all [mmol/kg]; CEC and other anions [mmol_c/kg]; magnesium in all
        [mmol/kg] or its share of the divalent moles; bicarbonate's share of the other anions, 0 unless given.

    Raises
    ------
    LimitError
        If magnesium is given twice or not at all, or if charge balance leaves no calcium.
    """
    capacity, others, sulfate = (
        given["cation_exchange_capacity"],
        given["other_anions"],
        given["total_sulfate"],
    )
    sodium, potassium = given["total_sodium"], given["total_potassium"]
    if ("magnesium_share" in given) == ("total_magnesium" in given):
        raise LimitError(
            "magnesium: is given twice or not at all; the limit is charge balance, which needs it once; "
            "give either total_magnesium or magnesium_share."
        )
    divalent = 0.5 * (capacity + others - sodium - potassium) + sulfate
    magnesium = (
        given["total_magnesium"] if "total_magnesium" in given else given["magnesium_share"] * divalent
    )
    calcium = calcium_left(
        capacity, sodium=sodium, potassium=potassium, magnesium=magnesium, anions=others + 2 * sulfate
    )
    yields: list[str] = []
    if "total_calcium" in given and abs(given["total_calcium"] - calcium) > 1e-6 * capacity:
        yields.append(
            f"calcium yields: {given['total_calcium']:.5g} mmol/kg reported, {calcium:.5g} taken, so that "
            "charges balance with sodium, CEC and anions as reported"
        )
    defaults: Typed = ()
    if "bicarbonate_share" not in given:
        defaults = (("bicarbonate_share", "0 %: the anions other than sulfate are chloride"),)
    share = given.get("bicarbonate_share", 0.0)
    return Inventory(
        calcium=calcium,
        magnesium=magnesium,
        sodium=sodium,
        potassium=potassium,
        sulfate=sulfate,
        chloride=others * (1 - share),
        bicarbonate=others * share,
        defaults=defaults,
        yields=tuple(yields),
    )
