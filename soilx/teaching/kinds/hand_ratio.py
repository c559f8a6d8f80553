"""Lines by which a sodium adsorption ratio and the clay beside it are worked by hand, and their mistakes."""

from __future__ import annotations

from math import sqrt
from typing import Final

from soilx.chemistry.cation_exchange import DEFAULT_SELECTIVITY, exchangeable_sodium_percentage
from soilx.chemistry.soil_solution import sodium_adsorption_ratio
from soilx.teaching.problem import Row
from soilx.teaching.working import Working, shown

SELECTIVITY: Final = DEFAULT_SELECTIVITY.sodium

RATIO_MISTAKES: Final = ("A1", "A2", "E11")
"""Of the ratio, wherever one is worked."""

SELECTIVITY_ROW: Final = Row(
    what="Gapon's selectivity coefficient of sodium", value=f"{SELECTIVITY:g}", unit="(mmol/L)^-½"
)


def ratio_line(
    work: Working, *, na: float, ca: float, mg: float, answers: str = "", what: str = "SAR"
) -> float:
    """Sodium adsorption ratio as a line of work [(mmol/L)^½].

    Parameters
    ----------
    work : Working
        May be making A1, A2 or E11.
    na, ca, mg : float
        [meq/L]
    answers : str
        Key of what it answers.
    what : str
        Its name in the line.
    """
    both = f"{shown(ca)} + {shown(mg)}"
    if work.made("A1"):
        return work.line(what, f"{shown(na)} / (√({both}) / 2)", 2.0 * na / sqrt(ca + mg), answers=answers)
    if work.made("A2"):
        return work.line(what, f"{shown(na)} / √({both})", na / sqrt(ca + mg), answers=answers)
    if work.made("E11"):
        ratio = float(sodium_adsorption_ratio(na, 0.5 * ca, 0.0))
        return work.line(what, f"{shown(na)} / √({shown(ca)} / 2)", ratio, answers=answers)
    ratio = float(sodium_adsorption_ratio(na, 0.5 * ca, 0.5 * mg))
    return work.line(what, f"{shown(na)} / √(({both}) / 2)", ratio, answers=answers)


def share_lines(work: Working, sar: float, *, answers: str = "esp") -> float:
    """ESP beside a water by Gapon's equation, without potassium, as two lines of work [%].

    Parameters
    ----------
    work : Working
        May be making M6 or A4.
    sar : float
        [(mmol/L)^½]
    answers : str
        Key of what it answers.
    """
    if work.made("M6"):
        work.line("exchangeable sodium ratio", f"SAR = {shown(sar)}, as it is", sar)
        return work.line("ESP", shown(sar), sar, "%", answers=answers)
    ratio = SELECTIVITY * sar
    work.line("exchangeable sodium ratio", f"{SELECTIVITY:g} × {shown(sar)}", ratio)
    if work.made("A4"):
        return work.line("ESP", f"100 × {shown(ratio)}", 100.0 * ratio, "%", answers=answers)
    esp = float(exchangeable_sodium_percentage(sar))
    return work.line("ESP", f"100 × {shown(ratio)} / (1 + {shown(ratio)})", esp, "%", answers=answers)
