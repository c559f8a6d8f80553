"""One layer's equilibrium by nested brackets: slow, plain, with a provable root at every level.

This is what the fast solver is held to. Outermost, the saturation index falls monotonically with the
gypsum left solid; within, charge balance in x; within the saturation index, ionic strength; innermost,
free sulfate. Each level is `scipy.optimize.brentq` on a bracket that holds exactly one root.
"""

import math
from collections.abc import Callable

from soilx.chemistry.ions import CHARGES
from soilx.chemistry.soil_solution import CONSTANTS, AqueousConstants
from soilx.errors import ConvergenceError

_TIGHT = 1e-15


def _root(function: Callable[[float], float], low: float, high: float) -> float:
    from scipy.optimize import brentq  # loaded on first use: importing it costs as much as soilx itself

    at_low, at_high = function(low), function(high)
    if at_low == 0.0:
        return low
    if at_high == 0.0:
        return high
    if at_low * at_high > 0:
        raise ConvergenceError(
            f"bracket = [{low:g}, {high:g}]: does not hold a root; the limit is the reference solver's; "
            "please report the layer that was given."
        )
    return float(brentq(function, low, high, xtol=_TIGHT * max(abs(low), abs(high)) * 1e-3, rtol=4 * 2.3e-16))


def saturation_index_reference(
    concentrations: tuple[float, ...], constants: AqueousConstants = CONSTANTS
) -> tuple[float, float]:
    """Gypsum saturation index and ionic strength [mol/L] of one solution, by two nested brackets.

    Parameters
    ----------
    concentrations : tuple of 7 float
        Total dissolved concentrations, Ca, Mg, Na, K, SO4, Cl, HCO3 [mmol/L].
    """
    cations, sulfate = concentrations[:4], concentrations[4]
    associations = [float(k) for k in constants.associations]
    powers = (2, 2, 1, 1)

    def log_gamma2(strength: float) -> float:
        root = math.sqrt(strength)
        return -4 * constants.debye_hueckel_a * (root / (1 + root) - 0.3 * strength)

    def free_sulfate(strength: float) -> tuple[float, list[float]]:
        gamma2 = math.pow(10.0, log_gamma2(strength))
        beta = [k * gamma2**power for k, power in zip(associations, powers, strict=True)]

        def surplus(free: float) -> float:
            paired = sum(c * b * free / (1 + b * free) for c, b in zip(cations, beta, strict=True))
            return free + paired - sulfate

        return _root(surplus, 0.0, sulfate), beta

    def strength_surplus(strength: float) -> float:
        free, beta = free_sulfate(strength)
        paired = [c * b * free / (1 + b * free) for c, b in zip(cations, beta, strict=True)]
        divalent = cations[0] + cations[1] - paired[0] - paired[1] + free
        monovalent = cations[2] + cations[3] + concentrations[5] + concentrations[6]
        return (4 * divalent + monovalent) / 2000.0 - strength

    upper = sum(c * z * z for c, z in zip(concentrations, CHARGES, strict=True)) / 2000.0
    strength = _root(strength_surplus, 1e-12 * upper, upper * (1 + 1e-12))
    free, beta = free_sulfate(strength)
    free_calcium = cations[0] / (1 + beta[0] * free)
    if free_calcium * free <= 0:
        return -math.inf, strength
    index = math.log10(free_calcium * free / constants.gypsum_ksp) + 2 * log_gamma2(strength)
    return index, strength


def equilibrate_reference(
    *,
    sodium: float,
    potassium: float,
    magnesium: float,
    sulfate: float,
    chloride: float,
    bicarbonate: float,
    capacity: float,
    water: float,
    sodium_selectivity: float,
    potassium_selectivity: float,
    magnesium_selectivity: float,
    constants: AqueousConstants = CONSTANTS,
) -> tuple[tuple[float, ...], tuple[float, float, float, float], float]:
    """Solution, exchanger and gypsum of one layer by nested brackets.

    Parameters
    ----------
    sodium, potassium, magnesium, sulfate, chloride, bicarbonate : float
        Totals per soil: dissolved, exchangeable, and for sulfate also solid gypsum [mmol/kg].
    capacity : float
        Cation exchange capacity [mmol_c/kg].
    water : float
        Water content [L/kg].
    sodium_selectivity, potassium_selectivity : float
        Gapon selectivities [(mmol/L)^-½].
    magnesium_selectivity : float
        K_Mg of E_Mg/E_Ca = K_Mg Mg/Ca.
    constants : AqueousConstants

    Returns
    -------
    concentrations : tuple of 7 float [mmol/L]
    exchanger : tuple of 4 float
        Charge fractions of Ca, Mg, Na, K.
    gypsum : float [mmol/kg]

    Raises
    ------
    ConvergenceError
        If a bracket does not hold a root: the totals are then not those of a possible soil.
    """

    def explicit(log_x: float) -> tuple[float, float, float, float]:
        x = math.exp(log_x)
        na = sodium / (water + capacity * sodium_selectivity * x)
        k = potassium / (water + capacity * potassium_selectivity * x)
        return na, k, 1.0 - x * (sodium_selectivity * na + potassium_selectivity * k), x

    def solution(gypsum: float) -> tuple[tuple[float, ...], tuple[float, float, float, float]]:
        so4 = (sulfate - gypsum) / water
        anions = 2 * so4 + (chloride + bicarbonate) / water

        def surplus(log_x: float) -> float:
            na, k, e_d, x = explicit(log_x)
            if e_d <= 0:
                return -anions
            return na + k + 2 * (e_d / x) ** 2 - anions

        na, k, e_d, x = explicit(_root(surplus, -30.0, 30.0))
        d = (e_d / x) ** 2

        def magnesium_surplus(mg: float) -> float:
            exchanged = e_d * magnesium_selectivity * mg / (d + (magnesium_selectivity - 1) * mg)
            return water * mg + 0.5 * capacity * exchanged - magnesium

        mg = _root(magnesium_surplus, 0.0, d) if magnesium > 0 else 0.0
        e_mg = e_d * magnesium_selectivity * mg / (d + (magnesium_selectivity - 1) * mg)
        concentrations = (d - mg, mg, na, k, so4, chloride / water, bicarbonate / water)
        exchanger = (e_d - e_mg, e_mg, x * sodium_selectivity * na, x * potassium_selectivity * k)
        return concentrations, exchanger

    def index(gypsum: float) -> float:
        return saturation_index_reference(solution(gypsum)[0], constants)[0]

    gypsum = 0.0
    if sulfate > 0 and index(0.0) > 0:
        total_calcium = 0.5 * (capacity + chloride + bicarbonate - sodium - potassium) + sulfate - magnesium
        gypsum = _root(index, 0.0, min(sulfate, total_calcium) * (1 - 1e-12))
    concentrations, exchanger = solution(gypsum)
    return concentrations, exchanger, gypsum
