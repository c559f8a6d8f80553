"""The share of an irrigation water that has to drain so that its salt does not build up in the soil."""

from soilx.errors import refuse, require


def leaching_requirement(
    ec_water: float, *, ec_threshold: float | None = None, ec_drainage: float | None = None
) -> float:
    """Share of the applied water that has to drain so that salt does not build up.

    Parameters
    ----------
    ec_water : float
        Conductivity of the irrigation water, ECw [dS/m].
    ec_threshold : float, optional
        What the plants stand in the saturation extract, ECe: ECw / (5 ECe − ECw) [dS/m].
    ec_drainage : float, optional
        Instead, what the draining water may carry, ECdw: ECw / ECdw [dS/m].

    Returns
    -------
    float
        Fraction of the applied water; not rounded.

    Raises
    ------
    LimitError
        If neither or both conductivities are given, or the water is so salty that no share of it is enough.

    References
    ----------
    ali2011, Example 8.6
    """
    if (ec_threshold is None) == (ec_drainage is None):
        refuse(
            "leaching requirement",
            "neither form" if ec_threshold is None else "both forms",
            "",
            wrong="has two published forms that answer differently",
            limit="one at a time",
            remedy="give ec_threshold (what the plants stand) or ec_drainage (what may drain)",
        )
    salt = _salt("conductivity of the water", ec_water, zero=True)
    if ec_drainage is not None:
        room = _salt("conductivity of the draining water", ec_drainage)
    else:
        room = 5.0 * _salt("conductivity that the plants stand", ec_threshold or 0.0) - salt
    if not salt < room:
        refuse(
            "conductivity of the water",
            salt,
            "dS/m",
            wrong="is so high that no share of it leaches enough",
            limit="a leaching requirement stays below 1",
            remedy="mix in a better water, or grow what stands more salt",
        )
    return salt / room


def water_for_leaching(evapotranspiration: float, *, leaching_fraction: float) -> float:
    """Water to apply so that a share of it drains below the roots: ET / (1 − LR).

    Parameters
    ----------
    evapotranspiration : float
        What plants and soil use, in any unit of depth.
    leaching_fraction : float
        Share that drains, as `leaching_requirement` gives it, 0 up to but not 1.

    Returns
    -------
    float
        [unit of `evapotranspiration`]

    References
    ----------
    ali2011, Example 8.6
    """
    used = require(
        "evapotranspiration", evapotranspiration, "", low=0.0, whose="water used", remedy="give what is used"
    )
    share = require(
        "leaching fraction",
        leaching_fraction,
        "",
        low=0.0,
        high=0.99,
        whose="water of which some is used",
        remedy="give a fraction such as 0.1",
    )
    return used / (1.0 - share)


def _salt(name: str, value: float, *, zero: bool = False) -> float:
    return require(
        name,
        value,
        "dS/m",
        low=0.0,
        low_open=not zero,
        whose="a water",
        remedy="give a conductivity at 25 °C",
    )
