"""Level 7, field: a rate cut into visits that keep a cap."""

from __future__ import annotations

from math import ceil, floor
from typing import Final

from soilx.practice.dose.product import Product
from soilx.teaching.kinds.field_rates import ground_of
from soilx.teaching.problem import Asked, Level, Problem, Row, Seen, Solution, Told
from soilx.teaching.seeds import Draws
from soilx.teaching.working import Working, shown
from soilx.units import Kind, express, read

_CAPS: Final = ("10", "15", "20", "25", "40", "50")
"""Product of one visit at most, from fine turf to tolerant lawns; common practice [lb/1000 ft²]."""
AREA_UNIT: Final = "lb/1000 ft^2"
_FROM_WHOLE: Final = 0.06
_ROUNDING: Final = 1e-9
# The ground of the plots: only rates per area are asked, and for them its depth cancels out.
_GROUND: Final = ground_of(15.24, 1.4)


def lb_per_1000_ft2(rate: float, unit: str = "t/ha") -> float:
    """A rate per area in pounds per 1000 square feet."""
    given = read(f"{rate!r} {unit}", Kind.PRODUCT_RATE, name="rate", ground=_GROUND)
    return express(given, Kind.PRODUCT_RATE, AREA_UNIT, ground=_GROUND)


def _draw(draws: Draws) -> Seen | None:
    seen = Seen(
        numbers={
            "pure": draws.grid("pure", "1.0", "8.0", "0.1"),
            "purity": draws.grid("purity", "70", "92", "2"),
            "moisture": draws.grid("moisture", "2", "20", "2"),
            "cap": float(draws.choice("cap", _CAPS)),
        }
    )
    parts = lb_per_1000_ft2(_product(seen["pure"], seen)) / seen["cap"]
    away = abs(parts - round(parts))
    # Near a whole number of visits rounding on the way would decide.
    return seen if 2.0 < parts < 13.0 and away > _FROM_WHOLE else None


def _product(pure: float, seen: Seen) -> float:
    product = Product(name="product", purity=seen["purity"] / 100.0, moisture=seen["moisture"] / 100.0)
    return product.product_mass(pure)


def _tell(seen: Seen) -> Told:
    return Told(
        statement="A lawn is to get this rate of pure gypsum, spread as a product. No visit may bring more "
        "product than the cap. How many equal visits are needed, and how much product does each one bring?",
        rows=(
            Row(what="pure gypsum in all", value=shown(seen["pure"]), unit="t/ha"),
            Row(what="gypsum in the dried product", value=shown(seen["purity"]), unit="%"),
            Row(what="water in the product as it comes", value=shown(seen["moisture"]), unit="%"),
            Row(what="cap of one visit, product", value=shown(seen["cap"]), unit="lb/1000 ft²"),
            Row(what="1 t/ha", value=shown(lb_per_1000_ft2(1.0)), unit="lb/1000 ft²"),
        ),
    )


def _asked(_: Seen) -> tuple[Asked, ...]:
    return (
        Asked(key="visits", words="number of visits", kind=Kind.RATIO, tolerance=0.0),
        Asked(
            key="each",
            words="product of each visit",
            kind=Kind.PRODUCT_RATE,
            unit=AREA_UNIT,
            ground=_GROUND,
        ),
    )


def _solve(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    pure = seen["pure"]
    if work.made("E9"):
        product = work.line("product", f"{shown(pure)}, as it stands", pure, "t/ha")
    else:
        purity, dry = seen["purity"] / 100.0, 1.0 - seen["moisture"] / 100.0
        how = f"{shown(pure)} / ({shown(purity)} × {shown(dry)})"
        product = work.line("product", how, _product(pure, seen), "t/ha")
    unit = "short_ton/acre" if work.made("A11") else "t/ha"
    total = work.line(
        "in all",
        f"{shown(product)} × {shown(lb_per_1000_ft2(1.0, unit))}",
        lb_per_1000_ft2(product, unit),
        "lb/1000 ft²",
    )
    parts = total / seen["cap"]
    down = work.made("A10")
    visits = float(floor(parts) if down else ceil(parts - _ROUNDING))
    how = f"{shown(total)} / {shown(seen['cap'])} = {shown(parts, 3)}, rounded {'down' if down else 'up'}"
    work.line("visits", how, visits, answers="visits")
    work.line("each", f"{shown(total)} / {visits:g}", total / visits, "lb/1000 ft²", answers="each")
    return work.solution


SPLIT_PROGRAMME: Final = Problem(
    number=16,
    key="split-programme",
    title="A rate in visits",
    level=Level.FIELD,
    confronts="Plants bear so much in one visit: a rate is a sum of visits, not one of them.",
    mistakes=("A10", "A11"),
    sometimes=("E9",),
    sources=("common_practice", "us_customary"),
    draw=_draw,
    tell=_tell,
    asked=_asked,
    solve=_solve,
)
