"""What is dissolved: composition, activities, ion pairs, ionic strength, SAR and PAR."""

from dataclasses import dataclass
from typing import Final, Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from soilx.chemistry.ions import CHARGES, MOLAR_MASSES, ORDER
from soilx.errors import ConvergenceError, LimitError, ModelRangeError

Array = NDArray[np.float64]

DAVIES_LIMIT: Final = 0.5
"""Ionic strength above which the Davies equation is refused [mol/L]."""

# Debye-Hückel A (log10) by temperature, computed with `chempy.electrolytes.A` / ln 10 (label: library).
_A_TEMPERATURE: Final = (0.0, 10.0, 20.0, 25.0, 30.0, 40.0)
_A_VALUE: Final = (0.4908, 0.4979, 0.5057, 0.5100, 0.5145, 0.5241)

PURE_WATER_FLOOR: Final = 1e-4
"""What "deionised" water still carries of each ion, so that no ratio divides by zero [mmol/L]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AqueousConstants:
    """Equilibrium constants of the solution at 25 °C.

    Attributes
    ----------
    gypsum_pksp : float
        −log10 of the solubility product of gypsum [mol²/L²].
    calcium_sulfate, magnesium_sulfate, sodium_sulfate, potassium_sulfate : float
        log10 of the association constants of the sulfate pairs [L/mol].
    debye_hueckel_a : float
        Debye–Hückel slope, log10 form [(mol/L)^-½].

    References
    ----------
    gypsum_pksp: bennett_adams1972. The pair constants are recalled from the literature †.
    """

    gypsum_pksp: float = 4.588
    calcium_sulfate: float = 2.30
    magnesium_sulfate: float = 2.23
    sodium_sulfate: float = 0.70
    potassium_sulfate: float = 0.85
    debye_hueckel_a: float = 0.5100

    @property
    def gypsum_ksp(self) -> float:
        """Solubility product of gypsum [mmol²/L²]."""
        return float(10.0 ** (6.0 - self.gypsum_pksp))

    @property
    def associations(self) -> Array:
        """Association constants of CaSO4, MgSO4, NaSO4 and KSO4, shape (4,) [L/mmol]."""
        return np.array(self.association_list)

    @property
    def association_list(self) -> tuple[float, float, float, float]:
        """Association constants of CaSO4, MgSO4, NaSO4 and KSO4 as plain numbers [L/mmol]."""
        return (
            10.0 ** (self.calcium_sulfate - 3.0),
            10.0 ** (self.magnesium_sulfate - 3.0),
            10.0 ** (self.sodium_sulfate - 3.0),
            10.0 ** (self.potassium_sulfate - 3.0),
        )


CONSTANTS: Final = AqueousConstants()


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """What is dissolved, per litre of soil solution.

    Attributes
    ----------
    ca, mg, na, k, so4, cl, hco3 : float
        Total dissolved concentrations, free and paired [mmol/L]. Carbonate is counted with
        bicarbonate as charge.

    Raises
    ------
    LimitError
        If a concentration is negative or not finite.
    """

    ca: float = PURE_WATER_FLOOR
    mg: float = PURE_WATER_FLOOR
    na: float = PURE_WATER_FLOOR
    k: float = PURE_WATER_FLOOR
    so4: float = PURE_WATER_FLOOR
    cl: float = PURE_WATER_FLOOR
    hco3: float = 3 * PURE_WATER_FLOOR

    def __post_init__(self) -> None:
        for symbol, value in zip(ORDER, self.as_array(), strict=True):
            if not (np.isfinite(value) and value >= 0):
                raise LimitError(
                    f"{symbol} = {value} mmol/L: is not a concentration; the limit is nature's, a finite "
                    "number that is not negative; give what the laboratory measured, or 0."
                )

    @classmethod
    def from_array(cls, concentrations: Array) -> Self:
        """Solution with the seven concentrations of an array, shape (7,) [mmol/L]."""
        ca, mg, na, k, so4, cl, hco3 = (float(value) for value in concentrations)
        return cls(ca=ca, mg=mg, na=na, k=k, so4=so4, cl=cl, hco3=hco3)

    def as_array(self) -> Array:
        """Concentrations in the order of `soilx.chemistry.ions.ORDER`, shape (7,) [mmol/L]."""
        return np.array([self.ca, self.mg, self.na, self.k, self.so4, self.cl, self.hco3])

    @property
    def cation_charge(self) -> float:
        """Sum of cations [mmol_c/L]."""
        return 2 * (self.ca + self.mg) + self.na + self.k

    @property
    def anion_charge(self) -> float:
        """Sum of anions [mmol_c/L]."""
        return 2 * self.so4 + self.cl + self.hco3

    @property
    def charge_imbalance(self) -> float:
        """(cations − anions) / (cations + anions), between −1 and 1; 0 for an empty solution."""
        total = self.cation_charge + self.anion_charge
        return (self.cation_charge - self.anion_charge) / total if total > 0 else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Speciation:
    """Free ions and sulfate pairs of a solution.

    Attributes
    ----------
    free : ndarray, shape (7, ...)
        Free ions, in the order of `soilx.chemistry.ions.ORDER` [mmol/L].
    pairs : ndarray, shape (4, ...)
        CaSO4°, MgSO4°, NaSO4⁻, KSO4⁻ [mmol/L].
    ionic_strength : ndarray, shape (...)
        Of free and paired species [mol/L].
    gypsum_saturation_index : ndarray, shape (...)
        log10 of the ion activity product over the solubility product; −inf where Ca or SO4 is nil.
    """

    free: Array
    pairs: Array
    ionic_strength: Array
    gypsum_saturation_index: Array


def sodium_adsorption_ratio(na: ArrayLike, ca: ArrayLike, mg: ArrayLike) -> Array:
    r"""Sodium adsorption ratio of a solution, on total dissolved concentrations.

    .. math:: \mathrm{SAR} = \frac{[Na]}{\sqrt{[Ca]+[Mg]}}

    With concentrations in mmol/L this is the same number as the usual
    :math:`Na/\sqrt{(Ca+Mg)/2}` in mmol_c/L.

    Parameters
    ----------
    na, ca, mg : array_like, shape (...)
        Total dissolved concentrations [mmol/L].

    Returns
    -------
    ndarray, shape (...)
        Sodium adsorption ratio [(mmol/L)^½].

    Raises
    ------
    LimitError
        If calcium plus magnesium is not above zero: the ratio has no value there.

    References
    ----------
    ussl1954
    """
    return _adsorption_ratio(na, ca, mg)


def potassium_adsorption_ratio(k: ArrayLike, ca: ArrayLike, mg: ArrayLike) -> Array:
    """Potassium adsorption ratio K/√(Ca + Mg) of a solution [(mmol/L)^½].

    Parameters, shapes, errors and source are those of `sodium_adsorption_ratio`.
    """
    return _adsorption_ratio(k, ca, mg)


def _adsorption_ratio(monovalent: ArrayLike, ca: ArrayLike, mg: ArrayLike) -> Array:
    divalent = np.asarray(ca, dtype=float) + np.asarray(mg, dtype=float)
    if not np.all(divalent > 0):
        raise LimitError(
            f"calcium + magnesium = {float(np.min(divalent)):g} mmol/L: an adsorption ratio divides by its "
            "root; the limit is arithmetic's, above 0; give the calcium and magnesium of the solution."
        )
    return np.asarray(np.asarray(monovalent, dtype=float) / np.sqrt(divalent))


def total_dissolved_solids(concentrations: ArrayLike) -> Array:
    """Sum of the masses of the seven ions [mg/L].

    Parameters
    ----------
    concentrations : array_like, shape (7, ...)
        Total dissolved concentrations [mmol/L].

    Returns
    -------
    ndarray, shape (...)
        Dissolved solids [mg/L]; what the seven ions do not hold (silica, nitrate) is not in it.
    """
    return np.asarray(np.tensordot(MOLAR_MASSES, np.asarray(concentrations, dtype=float), axes=(0, 0)))


def debye_hueckel_a(temperature_c: ArrayLike = 25.0) -> Array:
    """Debye–Hückel slope of water, log10 form [(mol/L)^-½].

    Parameters
    ----------
    temperature_c : array_like
        Temperature, 0 to 40 [°C].

    Raises
    ------
    ModelRangeError
        Outside 0 to 40 °C, the range of the table.

    Notes
    -----
    Linear between tabulated temperatures. Values computed with the `chempy` library.
    """
    temperature = np.asarray(temperature_c, dtype=float)
    low, high = _A_TEMPERATURE[0], _A_TEMPERATURE[-1]
    if not np.all((temperature >= low) & (temperature <= high)):
        raise ModelRangeError(
            f"temperature = {temperature} °C: is outside the table of the Debye–Hückel slope; "
            f"its limits are {low:g} and {high:g} °C; give a temperature between them."
        )
    return np.asarray(np.interp(temperature, _A_TEMPERATURE, _A_VALUE))


def davies_log10_activity_coefficient(
    charge: ArrayLike,
    ionic_strength: ArrayLike,
    *,
    debye_hueckel_a: float = CONSTANTS.debye_hueckel_a,
    extrapolate: bool = False,
) -> Array:
    r"""Log10 of the activity coefficient of an ion by the Davies equation.

    .. math:: \log\gamma = -A z^2\left(\frac{\sqrt I}{1+\sqrt I} - 0.3\,I\right)

    Parameters
    ----------
    charge : array_like
        Charge number z.
    ionic_strength : array_like
        Ionic strength I [mol/L].
    debye_hueckel_a : float
        Slope A [(mol/L)^-½].
    extrapolate : bool
        Allow ionic strengths above 0.5 mol/L.

    Raises
    ------
    ModelRangeError
        If I is above 0.5 mol/L and `extrapolate` is not set.

    References
    ----------
    davies1962, with the coefficient 0.3.
    """
    strength = np.asarray(ionic_strength, dtype=float)
    if not extrapolate:
        refuse_strong_solution(strength)
    root = np.sqrt(strength)
    return np.asarray(-debye_hueckel_a * np.square(charge) * (root / (1 + root) - 0.3 * strength))


def davies_activity_coefficient(
    charge: ArrayLike, ionic_strength: ArrayLike, *, extrapolate: bool = False
) -> Array:
    """Activity coefficient of an ion; see `davies_log10_activity_coefficient`."""
    log = davies_log10_activity_coefficient(charge, ionic_strength, extrapolate=extrapolate)
    return np.asarray(10.0**log)


def refuse_strong_solution(ionic_strength: ArrayLike, *, where: str = "the solution") -> None:
    """Raise `ModelRangeError` where the ionic strength is beyond the Davies equation.

    Parameters
    ----------
    ionic_strength : array_like
        Ionic strength [mol/L].
    where : str
        What the message says the solution is.
    """
    largest = float(np.max(ionic_strength, initial=0.0))
    if not largest <= DAVIES_LIMIT:
        raise ModelRangeError(
            f"ionic strength = {largest:.3g} mol/L: {where} is too salty for the activity model; the limit "
            f"of the Davies equation is {DAVIES_LIMIT} mol/L; start from a wetter soil or a less salty one, "
            " or pass extrapolate=True where it is offered and treat the result as rough."
        )


def stoichiometric_ionic_strength(concentrations: ArrayLike) -> Array:
    """Ionic strength if no ions were paired, an upper bound of the true one [mol/L].

    Parameters
    ----------
    concentrations : array_like, shape (7, ...)
        Total dissolved concentrations [mmol/L].
    """
    weights = np.square(CHARGES) / 2000.0
    return np.asarray(np.tensordot(weights, np.asarray(concentrations, dtype=float), axes=(0, 0)))


def speciate(
    concentrations: ArrayLike, *, constants: AqueousConstants = CONSTANTS, extrapolate: bool = False
) -> Speciation:
    """Free ions, sulfate pairs, ionic strength and gypsum saturation index of solutions.

    Parameters
    ----------
    concentrations : array_like, shape (7, ...)
        Total dissolved concentrations [mmol/L].
    constants : AqueousConstants
        Solubility product, association constants, Debye–Hückel slope.
    extrapolate : bool
        Allow ionic strengths above 0.5 mol/L.

    Raises
    ------
    ModelRangeError
        If an ionic strength is above 0.5 mol/L and `extrapolate` is not set.
    ConvergenceError
        If free sulfate and ionic strength do not settle.

    Notes
    -----
    Two nested unknowns. At a given ionic strength the sulfate balance is increasing and concave in
    free sulfate, so that Newton's method rises to its one root from the lower bound used here; the
    ionic strength follows by fixed point, which contracts because pairing moves it little.
    """
    total = np.asarray(concentrations, dtype=float)
    cations, sulfate, others = total[:4], total[4], total[5] + total[6]
    tail = (1,) * (total.ndim - 1)
    association = constants.associations.reshape(4, *tail)
    # γ of each pairing reaction: γ2² for the neutral pairs, γ2 for the charged ones
    reaction = np.array([2.0, 2.0, 1.0, 1.0]).reshape(4, *tail)
    strength = stoichiometric_ionic_strength(total)
    if extrapolate is False and float(np.max(strength, initial=0.0)) > 4 * DAVIES_LIMIT:
        refuse_strong_solution(strength)
    free_sulfate = np.zeros_like(sulfate)
    for _ in range(200):
        log_gamma2 = davies_log10_activity_coefficient(
            2, strength, debye_hueckel_a=constants.debye_hueckel_a, extrapolate=True
        )
        beta = association * 10.0 ** (reaction * log_gamma2)
        lowest = sulfate / (1 + (cations * beta).sum(axis=0))
        free_sulfate = np.maximum(free_sulfate, lowest)
        share = beta / (1 + beta * free_sulfate)
        residual = free_sulfate * (1 + (cations * share).sum(axis=0)) - sulfate
        slope = 1 + (cations * share / (1 + beta * free_sulfate)).sum(axis=0)
        new_sulfate = np.maximum(free_sulfate - residual / slope, lowest)
        pairs = cations * beta * new_sulfate / (1 + beta * new_sulfate)
        free_cations = cations - pairs
        monovalent = cations[2] + cations[3] + others
        new_strength = (4 * (free_cations[0] + free_cations[1] + new_sulfate) + monovalent) / 2000.0
        moved = np.abs(new_strength - strength) > 4e-15 * new_strength
        moved |= np.abs(new_sulfate - free_sulfate) > 4e-15 * sulfate + 1e-300
        strength, free_sulfate = new_strength, new_sulfate
        if not np.any(moved):
            break
    else:
        if float(np.max(strength, initial=0.0)) <= DAVIES_LIMIT:
            raise ConvergenceError(
                "free sulfate: ion pairs and ionic strength did not settle in 200 rounds; the limit is the "
                "solver's; please report the concentrations that were given."
            )
    if not extrapolate:
        refuse_strong_solution(strength)
    free = np.concatenate([free_cations, free_sulfate[np.newaxis], total[5:]])
    with np.errstate(divide="ignore"):
        product = np.log10(free_cations[0]) + np.log10(free_sulfate)
    index = product + 2 * log_gamma2 - np.log10(constants.gypsum_ksp)
    return Speciation(free=free, pairs=pairs, ionic_strength=strength, gypsum_saturation_index=index)
