"""Electrical conductivity of a solution at 25 °C, from its ions, and readings brought to 25 °C."""

from math import pi
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from soilx.chemistry.ions import CHARGES
from soilx.chemistry.soil_solution import CONSTANTS, AqueousConstants, Speciation, speciate
from soilx.errors import ModelRangeError, refuse

Array = NDArray[np.float64]

# Limiting conductivities of Ca, Mg, Na, K, SO4, Cl, HCO3, per equivalent [S cm²/mol_c]: the table
# "CRC conductivity infinite dilution" of the `chemicals` library.
LIMITING_CONDUCTIVITIES: Final = (59.47, 53.0, 50.08, 73.48, 80.0, 76.31, 44.5)

# Water at 25 °C, from `chempy.properties`: relative permittivity (Bradley & Pitzer 1979) and viscosity
# (Korson et al. 1969) [Pa·s].
WATER_PERMITTIVITY: Final = 78.384
WATER_VISCOSITY: Final = 0.8903e-3

ION_SIZE: Final = 1.5
"""Ba of the denominator 1 + Ba√I, the convention of Scatchard †; an ion distance of 0.456 nm [(mol/L)^-½]."""

# Exact SI values, and the electric constant of CODATA 2018.
_AVOGADRO, _ELEMENTARY_CHARGE, _BOLTZMANN, _ELECTRIC_CONSTANT = (
    6.02214076e23,
    1.602176634e-19,
    1.380649e-23,
    8.8541878128e-12,
)
_THERMAL: Final = _BOLTZMANN * 298.15
_POLAR: Final = WATER_PERMITTIVITY * _ELECTRIC_CONSTANT * _THERMAL

# Inverse screening length at I = 1 mol/L [1/m], and the two Debye–Hückel–Onsager slopes that follow from it.
_SCREENING: Final = (2000.0 * _AVOGADRO * _ELEMENTARY_CHARGE**2 / _POLAR) ** 0.5
RELAXATION_SLOPE: Final = _ELEMENTARY_CHARGE**2 * _SCREENING / (12 * pi * _POLAR)
"""Relative loss by relaxation per √I and unit of the charge factor, 0.785 at 25 °C [(mol/L)^-½]."""
ELECTROPHORETIC_SLOPE: Final = (
    1e4 * _AVOGADRO * _ELEMENTARY_CHARGE**2 * _SCREENING / (6 * pi * WATER_VISCOSITY)
)
"""Conductivity lost by electrophoresis per √I and charge, 30.3 at 25 °C [S cm²/mol_c (mol/L)^-½]."""


def _pair_conductivity(cation: float, anion: float) -> float:
    # The pair moves like one sphere with the volume of its two ions, each of the Stokes radius |z|/λ.
    charges = (1.0, 2.0)
    radius_cubed = sum(
        (z / conductivity) ** 3 for z, conductivity in zip(charges, (cation, anion), strict=True)
    )
    return float(radius_cubed ** (-1 / 3))


# The nine charge carriers: the seven ions, NaSO4⁻, KSO4⁻.
_CHARGE: Final = np.array([*CHARGES, -1.0, -1.0])
_LIMITING: Final = np.array(
    [
        *LIMITING_CONDUCTIVITIES,
        _pair_conductivity(LIMITING_CONDUCTIVITIES[2], LIMITING_CONDUCTIVITIES[4]),
        _pair_conductivity(LIMITING_CONDUCTIVITIES[3], LIMITING_CONDUCTIVITIES[4]),
    ]
)
_MOBILITY: Final = _LIMITING / np.abs(_CHARGE)
_RECIPROCAL_SUM: Final = 1.0 / np.add.outer(_MOBILITY, _MOBILITY)

# Modes of the ion atmosphere lie between these for any mixture of the nine (tested); 1/(1 + √q) is followed
# there to 1e-6.
_MODES: Final = (
    float(_MOBILITY.min() / (_MOBILITY.min() + _MOBILITY.max())),
    float(_MOBILITY.max() / (_MOBILITY.min() + _MOBILITY.max())),
)
_RELAXATION_SERIES: Final = np.polynomial.Chebyshev.interpolate(
    lambda q: 1 / (1 + np.sqrt(q)), 7, domain=_MODES
).coef


def electrical_conductivity(
    concentrations: ArrayLike, *, constants: AqueousConstants = CONSTANTS, extrapolate: bool = False
) -> Array:
    """Electrical conductivity of solutions at 25 °C.

    Parameters
    ----------
    concentrations : array_like, shape (7, ...)
        Total dissolved concentrations, in the order of `soilx.chemistry.ions.ORDER` [mmol/L].
    constants : AqueousConstants
        Association constants, Debye–Hückel slope.
    extrapolate : bool
        Allow ionic strengths above 0.5 mol/L.

    Returns
    -------
    ndarray, shape (...)
        Electrical conductivity [dS/m].

    Raises
    ------
    ModelRangeError
        If an ionic strength is above 0.5 mol/L and `extrapolate` is not set.

    See Also
    --------
    conductivity_of_species : the equation, its assumptions and how well it does.
    """
    return conductivity_of_species(speciate(concentrations, constants=constants, extrapolate=extrapolate))


def conductivity_of_species(species: Speciation) -> Array:
    r"""Electrical conductivity at 25 °C of solutions whose ions and pairs are known.

    .. math::
        \kappa = \sum_i |z_i| c_i \left(\lambda_i^0 - \frac{b\,|z_i| \sqrt I}{1+Ba\sqrt I}\right)
                 \left(1 - \frac{a_r\, r_i \sqrt I}{1+Ba\sqrt I}\right)

    over the free ions and the charged pairs NaSO4⁻ and KSO4⁻; neutral CaSO4° and MgSO4° carry nothing.

    Parameters
    ----------
    species : Speciation
        Free ions, pairs, ionic strength I.

    Returns
    -------
    ndarray, shape (...)
        Electrical conductivity [dS/m].

    Notes
    -----
    The first bracket is electrophoresis (the ion swims against water dragged by its atmosphere), the second
    relaxation (the atmosphere lags behind it), both of Debye, Hückel and Onsager, joined as by Falkenhagen.
    The slopes b and a_r follow from the permittivity and viscosity of water; the factors r_i are Onsager's
    for a mixture (`relaxation_factors`), for one salt the textbook \|z₁z₂\| q/(1 + √q).

    No number is fitted to conductivities. Limiting conductivities are a library's table; those of the two
    charged pairs (34.9 and 38.1) are estimates by adding the ions' Stokes volumes †. Ba is a choice between
    the two conventions in common use: 1 (Güntelberg) leaves sodium sulfate of 50 mmol/kg 7.4 % short,
    1.5 (Scatchard) 3.3 %, and so 1.5 is taken.

    Against single salts of 1 to 50 mmol/kg, computed by another library from McCleskey 2011: NaCl −0.8 to
    +0.3 %, KCl −0.3 to +0.1, CaCl2 −1.3 to +0.7, Na2SO4 −3.3 to −0.5, gypsum to 15.2 mmol/kg −2.7 to +0.3,
    NaHCO3 −4.1 to −3.2 %. Most of the last is the two sources' difference in limiting conductivity, 4 %.
    Mixtures have not been held against measurements. Ions not followed (nitrate, H⁺, OH⁻) are missing.

    References
    ----------
    crc_conductivity, mccleskey2011, onsager_fuoss1932 †, falkenhagen1971 †, anderko_lencka1997 †
    """
    carriers = np.concatenate([species.free, species.pairs[2:]])
    # √I of the carriers themselves, over the ion-size denominator
    root = np.sqrt(species.ionic_strength)
    screening = root / (1.0 + ION_SIZE * root)
    column = (9,) + (1,) * species.ionic_strength.ndim
    charge = np.abs(_CHARGE).reshape(column)
    electrophoresis = ELECTROPHORETIC_SLOPE * charge * screening
    relaxation = RELAXATION_SLOPE * relaxation_factors(carriers) * screening
    equivalent = (_LIMITING.reshape(column) - electrophoresis) * (1.0 - relaxation)
    # mmol_c/L times S cm²/mol_c is 1e-3 dS/m
    return np.asarray(1e-3 * (charge * carriers * equivalent).sum(axis=0))


def relaxation_factors(carriers: ArrayLike) -> Array:
    r"""Onsager's relaxation factor of each charge carrier in a mixture.

    .. math:: r = -z \cdot \left[(1 + M^{1/2})^{-1} s\right]

    Parameters
    ----------
    carriers : array_like, shape (9, ...)
        Free Ca, Mg, Na, K, SO4, Cl, HCO3 and the pairs NaSO4⁻, KSO4⁻ [mmol/L].

    Returns
    -------
    ndarray, shape (9, ...)
        r_i [1]; 0.293 in a salt of two monovalent ions.

    Notes
    -----
    With μ_i the share of ion i in Σ c z² and ω_i = λ_i/\|z_i\|, continuity of every pair's distribution gives

    .. math::
        M_{ji} = \delta_{ji}\sum_l \frac{\mu_l\omega_l}{\omega_l+\omega_j}
                 - \frac{\mu_i\omega_j}{\omega_i+\omega_j},
        \qquad s_j = \sum_i \mu_i \frac{\omega_i z_i - \omega_j z_j}{\omega_i+\omega_j}

    The function of M is applied as a Chebyshev series, by products with one constant 9 × 9 matrix, so that
    no matrix is built per solution; a test compares it with the eigenvalues.
    """
    amounts = np.asarray(carriers, dtype=float)
    column = (9,) + (1,) * (amounts.ndim - 1)
    charge, mobility = _CHARGE.reshape(column), _MOBILITY.reshape(column)
    weights = amounts * np.square(charge)
    total = weights.sum(axis=0)
    share = weights / np.where(total > 0, total, 1.0)

    def summed(values: Array) -> Array:
        return np.asarray(np.tensordot(_RECIPROCAL_SUM, values, axes=(1, 0)))

    diagonal = summed(share * mobility)
    force = summed(share * mobility * charge) - mobility * charge * summed(share)
    low, high = _MODES

    def mapped(values: Array) -> Array:
        product = diagonal * values - mobility * summed(share * values)
        return np.asarray((2.0 * product - (low + high) * values) / (high - low))

    # Clenshaw's recurrence, from the last coefficient down
    ahead, further = np.zeros_like(force), np.zeros_like(force)
    for coefficient in _RELAXATION_SERIES[:0:-1]:
        ahead, further = coefficient * force + 2.0 * mapped(ahead) - further, ahead
    return np.asarray(-charge * (_RELAXATION_SERIES[0] * force + mapped(ahead) - further))


# McCleskey 2011, NaCl: Λ° and A as quadratics in °C (highest power first), B; from the `thermo` library.
_NACL_LIMITING: Final = (0.008967, 2.196, 67.03)
_NACL_SLOPE: Final = (0.00726, 1.762, 44.55)
_NACL_B: Final = 1.30
_NACL_MOLALITY: Final = 0.010
TEMPERATURE_RANGE: Final = (5.0, 90.0)
"""Of the measurements of McCleskey 2011 [°C]."""


def temperature_factor_to_25(temperature_c: ArrayLike) -> Array:
    r"""Factor that brings a conductivity read at some temperature to 25 °C.

    .. math:: \kappa_{25} = f(t)\,\kappa_t, \qquad
        f = \frac{\Lambda(25)}{\Lambda(t)}, \quad \Lambda(t) = \Lambda^0(t) - A(t)\frac{\sqrt m}{1 + B\sqrt m}

    Parameters
    ----------
    temperature_c : array_like
        Temperature of the reading, 5 to 90 [°C].

    Returns
    -------
    ndarray
        Factor [1]; above 1 in the cold.

    Raises
    ------
    ModelRangeError
        Outside 5 to 90 °C, where the measurements end.

    Notes
    -----
    Of sodium chloride at 10 mmol/kg, taken for every soil solution. Between 10 and 35 °C the other salts of
    the same source differ by up to 1.8 %.

    References
    ----------
    mccleskey2011
    """
    temperature = np.asarray(temperature_c, dtype=float)
    low, high = TEMPERATURE_RANGE
    wrong = ~((temperature >= low) & (temperature <= high))
    if np.any(wrong):
        refuse(
            "temperature",
            float(temperature[wrong].flat[0]),
            "°C",
            wrong="is outside the measurements behind the temperature factor",
            limit=f"they run from {low:g} to {high:g} °C (McCleskey 2011)",
            remedy="let the sample come near room temperature and read again",
            error=ModelRangeError,
        )
    return np.asarray(_sodium_chloride(np.asarray(25.0)) / _sodium_chloride(temperature))


def _sodium_chloride(temperature: Array) -> Array:
    root = _NACL_MOLALITY**0.5
    limiting, slope = np.polyval(_NACL_LIMITING, temperature), np.polyval(_NACL_SLOPE, temperature)
    return np.asarray(limiting - slope * root / (1.0 + _NACL_B * root))
