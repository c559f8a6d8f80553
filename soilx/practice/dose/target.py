"""The exchangeable sodium percentage that is aimed at."""

from soilx.column.fields import Given
from soilx.errors import LimitError, require
from soilx.units import Kind, Quantity, read


def read_target(target_esp: float | Given) -> float:
    """Target ESP [%], from a number of per cent or from text.

    Parameters
    ----------
    target_esp : float, str or Quantity
        5 or "5 %".

    Raises
    ------
    SoilxError
        If it is no percentage from 0 to 99.
    """
    if isinstance(target_esp, int | float) and not isinstance(target_esp, bool):
        percent = float(target_esp)
    elif isinstance(target_esp, str | Quantity):
        percent = 100.0 * read(target_esp, Kind.FRACTION, name="target ESP")
    else:
        raise LimitError(
            f"target ESP = {target_esp!r}: is not a percentage; the limit is 0 to 99 %; write it like 5."
        )
    return require(
        "target ESP",
        percent,
        "%",
        low=0.0,
        high=99.0,
        whose="a share of the exchanger",
        remedy="5 to 10 are usual for crops (common practice, no published source)",
    )
