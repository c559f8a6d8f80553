"""A soil by its summary: CEC, ESP and EC, and nothing else."""

from collections.abc import Callable
from math import exp, inf, log, sqrt

from soilx.chemistry.cation_exchange import Selectivity
from soilx.chemistry.conductivity import electrical_conductivity
from soilx.chemistry.soil_solution import Solution, speciate
from soilx.column.fields import COMMON_PRACTICE
from soilx.column.inventory import Inventory, Values
from soilx.errors import ModelRangeError, refuse


def inventory_of_summary(given: Values, *, water: float, selectivity: Selectivity) -> Inventory:
    r"""What a soil holds, from CEC, ESP and EC alone.

    .. math:: \mathrm{SAR} = \frac{E_{Na}}{K_{Na}(1-E_{Na}-E_K)}

    and one scale for all concentrations that gives the conductivity.

    Parameters
    ----------
    given : mapping of str to float
        CEC [mmol_c/kg], ESP and shares as fractions, conductivity [dS/m], Ca per Mg.
    water : float
        Water content to which the conductivity belongs [L/kg].
    selectivity : Selectivity
        By which exchanger and solution belong together.

    Raises
    ------
    LimitError
        If the shares add up to more than all, or the solution would be above saturation with gypsum.
    ModelRangeError
        If no solution within the activity model has the conductivity.
    """
    capacity, e_na = given["cation_exchange_capacity"], given["exchangeable_sodium_percentage"]
    e_k = given.get("potassium_share", 0.02)
    per_magnesium = given.get("calcium_to_magnesium", 2.0)
    sulfate_share, bicarbonate_share = given.get("sulfate_share", 0.0), given.get("bicarbonate_share", 0.0)
    defaults = tuple(
        (key, value)
        for key, value in (
            ("potassium_share", f"2 % of the CEC ({COMMON_PRACTICE})"),
            ("calcium_to_magnesium", f"2, by moles in solution ({COMMON_PRACTICE})"),
            ("sulfate_share", "0 %: the anions are chloride"),
            ("bicarbonate_share", "0 %: the anions are chloride"),
        )
        if key not in given
    )
    for name, share, rest in (
        ("exchangeable sodium and potassium", e_na + e_k, "calcium and magnesium"),
        ("sulfate_share and bicarbonate_share", sulfate_share + bicarbonate_share - 1e-12, "chloride"),
    ):
        if not share < 1:
            refuse(
                name,
                100 * share,
                "%",
                wrong=f"leaves nothing for {rest}",
                limit="shares of one whole add up to 100 %",
                remedy="lower one of them",
            )
    e_divalent = 1 - e_na - e_k
    sodium_ratio, potassium_ratio = (
        e_na / (e_divalent * selectivity.sodium),
        e_k / (e_divalent * selectivity.potassium),
    )

    def solution(divalent: float) -> Solution:
        root = sqrt(divalent)
        na, k = sodium_ratio * root, potassium_ratio * root
        anions = na + k + 2 * divalent
        mg = divalent / (1 + per_magnesium)
        return Solution(
            ca=per_magnesium * mg,
            mg=mg,
            na=na,
            k=k,
            so4=0.5 * anions * sulfate_share,
            cl=anions * (1 - sulfate_share - bicarbonate_share),
            hco3=anions * bicarbonate_share,
        )

    wanted = given["electrical_conductivity"]
    found = solution(_divalent_of_conductivity(solution, wanted))
    if float(speciate(found.as_array()).gypsum_saturation_index) > 0:
        refuse(
            "sulfate_share",
            100 * sulfate_share,
            "%",
            wrong=f"puts a solution of {wanted:.3g} dS/m above saturation with gypsum",
            limit="the solubility of gypsum",
            remedy="lower sulfate_share, or state the soil by a report with its native_gypsum",
        )
    ratio_mg = selectivity.magnesium / per_magnesium
    e_ca = e_divalent / (1 + ratio_mg)
    return Inventory(
        calcium=0.5 * capacity * e_ca + found.ca * water,
        magnesium=0.5 * capacity * (e_divalent - e_ca) + found.mg * water,
        sodium=capacity * e_na + found.na * water,
        potassium=capacity * e_k + found.k * water,
        sulfate=found.so4 * water,
        chloride=found.cl * water,
        bicarbonate=found.hco3 * water,
        defaults=defaults,
        yields=(
            f"concentrations follow from {wanted:.4g} dS/m and SAR {sodium_ratio:.4g}: Na {found.na:.4g}, "
            f"Ca {found.ca:.4g}, Mg {found.mg:.4g}, K {found.k:.4g} mmol/L",
        ),
    )


def _divalent_of_conductivity(solution: Callable[[float], Solution], wanted: float) -> float:
    """Dissolved Ca + Mg at which a one-parameter solution has the wanted conductivity [mmol/L].

    Conductivity rises with concentration, so that the bracket holds one root; Illinois steps on ln D.
    """

    def off(log_divalent: float) -> float:
        try:
            conductivity = electrical_conductivity(solution(exp(log_divalent)).as_array())
        except ModelRangeError:
            # Too strong for the activity model is stronger than any conductivity asked for here.
            return inf
        return log(float(conductivity) / wanted)

    low, high = log(1e-7), log(300.0)
    off_low, off_high = off(low), off(high)
    while off_high == inf and high - low > 1e-9:
        middle = 0.5 * (low + high)
        at = off(middle)
        if at < 0:
            low, off_low = middle, at
        else:
            high, off_high = middle, at
    if not (off_low < 0 < off_high < inf):
        refuse(
            "electrical_conductivity",
            wanted,
            "dS/m",
            wrong="is reached by no solution with this sodium",
            limit="the Davies equation, an ionic strength of 0.5 mol/L",
            remedy="give a lower conductivity or a lower exchangeable sodium percentage",
            error=ModelRangeError,
        )
    middle, at = low, off_low
    # Illinois steps close superlinearly, so that one of the two ends is always reached.
    while abs(at) > 1e-13 and high - low > 1e-14:
        middle = (low * off_high - high * off_low) / (off_high - off_low)
        at = off(middle)
        if at < 0:
            low, off_low, off_high = middle, at, 0.5 * off_high
        else:
            high, off_high, off_low = middle, at, 0.5 * off_low
    return exp(middle)
