"""What a scenario takes by default, in words that can be shown beside its results."""

from collections.abc import Mapping, Sequence

from soilx.column.dissolution import DEFAULT_DISSOLUTION_RATE, EQUILIBRIUM, FIRST_ORDER
from soilx.column.fields import COMMON_PRACTICE, Typed
from soilx.column.placement import MIXED, SURFACE
from soilx.column.wetting import HOURS_PER_PORE_VOLUME


def defaults_in_use(
    typed: Mapping[str, str],
    *,
    layers: int,
    displaced_fraction: float,
    placement: str,
    dissolution: str,
    soil: Typed,
    wettings: Sequence[Typed],
) -> dict[str, str]:
    """Every default in use, by name, with its value.

    Parameters
    ----------
    typed : mapping of str to str
        What was typed of the scenario; none of it is a default.
    layers : int
        Number of layers.
    displaced_fraction : float
        Share of each layer's water that one step displaces.
    placement, dissolution : str
        As in use.
    soil : tuple of (str, str)
        The soil's own defaults.
    wettings : sequence of tuples of (str, str)
        Those of each wetting.
    """
    found = {
        "layers": str(layers),
        "displaced_fraction": f"{displaced_fraction:g}",
        "bypass_fraction": "0: no water passes a layer unmixed",
        "placement": MIXED,
        "dissolution": f"{EQUILIBRIUM}: fine gypsum, the water saturated while it lasts",
    }
    if placement == SURFACE:
        found["dissolution"] = f"{EQUILIBRIUM}, although surface-laid gypsum is slower: see {FIRST_ORDER}"
    if dissolution == FIRST_ORDER:
        found["dissolution_rate"] = (
            f"{DEFAULT_DISSOLUTION_RATE:.4g} 1/h: a third of saturation below surface-laid gypsum at "
            f"{HOURS_PER_PORE_VOLUME:g} h a pore volume"
        )
    for key in typed:
        found.pop(key, None)
    if "dispersivity" in typed:
        found.pop("displaced_fraction", None)
    found["temperature"] = "25 °C"
    for key, value in soil:
        found[f"soil {key}"] = value
    for number, defaults in enumerate(wettings, start=1):
        where = f"wetting {number} " if len(wettings) > 1 else "wetting "
        for key, value in defaults:
            found[f"{where}{key}"] = f"{value} ({COMMON_PRACTICE})" if key == "hours" else value
    return found
