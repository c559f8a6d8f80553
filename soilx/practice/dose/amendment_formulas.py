"""Masses of chemical formulas, from the weights of their atoms."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

ATOMIC_WEIGHTS: Final[Mapping[str, float]] = MappingProxyType(
    {
        "H": 1.00794,
        "C": 12.0107,
        "N": 14.0067,
        "O": 15.9994,
        "Mg": 24.305,
        "Al": 26.9815386,
        "S": 32.065,
        "Cl": 35.453,
        "K": 39.0983,
        "Ca": 40.078,
        "Fe": 55.845,
    }
)
"""Conventional atomic weights, as in the `chemicals` library's element table: those of the ions [g/mol]."""


def molar_mass(composition: Mapping[str, int]) -> float:
    """Mass of one mole of a formula [g/mol].

    Parameters
    ----------
    composition : mapping of str to int
        Atoms of each element in the formula, water of crystallisation with it.

    References
    ----------
    chemicals
    """
    return sum(ATOMIC_WEIGHTS[element] * count for element, count in composition.items())
