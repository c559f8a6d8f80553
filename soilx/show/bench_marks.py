"""How an arm of a bench run looks: the ion's colour, with a dash and a marker of the arm's own."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

#: By arm: lengths of line and gap [px], Vega symbol, and whether the marker is filled.
ARM_LOOKS: Final[Mapping[str, tuple[tuple[int, ...], str, bool]]] = MappingProxyType(
    {
        "gypsum": ((1, 0), "circle", True),
        "control": ((7, 5), "circle", False),
        "sodium chloride": ((3, 3), "diamond", False),
        "calcium chloride": ((12, 3, 3, 3), "square", True),
        "irrigation water": ((14, 6), "triangle-up", False),
        "gypsum, irrigation water": ((9, 3, 2, 3, 2, 3), "triangle-up", True),
    }
)
OTHER_LOOK: Final = ((2, 5), "cross", False)
"""Of an arm that no plan has; its name stands beside it as everywhere."""


def marker_of(arm: str) -> dict[str, str | bool]:
    """Fields of a record that draw an arm's marker.

    Parameters
    ----------
    arm : str
    """
    _, shape, filled = ARM_LOOKS.get(arm, OTHER_LOOK)
    return {"shape": shape, "filled": filled}
