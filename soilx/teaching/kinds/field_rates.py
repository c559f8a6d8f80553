"""Level 7, field: a rate for a field with the product that is bought, and the same rate in a pot."""

from __future__ import annotations

from math import pi
from typing import Final

from soilx.practice.dose.product import Product
from soilx.teaching.kinds.gypsum_amounts import LEAST_SODIUM, gypsum_line
from soilx.teaching.possible_soil import possible_soil
from soilx.teaching.problem import Asked, Level, Problem, Row, Seen, Solution, Told
from soilx.teaching.seeds import Draws
from soilx.teaching.working import Working, printed, shown
from soilx.units import Ground, Kind, express, read


def ground_of(depth_cm: float, density: float) -> Ground:
    """Ground of a treated depth [cm] and a bulk density [kg/L]."""
    return Ground(depth=10.0 * depth_cm, bulk_density=density)


def t_per_ha(g_per_kg: float, ground: Ground) -> float:
    """Gypsum per area [t/ha] of gypsum per soil [g/kg]."""
    pure = read(f"{g_per_kg!r} g/kg", Kind.GYPSUM_RATE, name="gypsum")
    return express(pure, Kind.GYPSUM_RATE, "t/ha", ground=ground)


def field_numbers(draws: Draws) -> Seen | None:
    """Soil, depths, target and product of a field; None where they make no clear case."""
    found = possible_soil(draws, esp=("12", "40", "0.5"), depths=("20", "30", "5"))
    target = float(draws.whole("target", 3, 8))
    treated = draws.grid("treated", "10", "20", "5")
    purity = draws.grid("purity", "70", "92", "2")
    moisture = draws.grid("moisture", "4", "30", "2")
    if found is None or treated >= found.depth_cm:
        return None
    esp = printed(100.0 * found.exchangeable["Na"] / found.capacity, 1)
    if (esp - target) / 100.0 * found.capacity < LEAST_SODIUM:
        return None
    return Seen(
        numbers={
            "capacity": found.capacity,
            "esp": esp,
            "target": target,
            "sampled": found.depth_cm,
            "treated": treated,
            "density": found.density,
            "purity": purity,
            "moisture": moisture,
        },
        report=found.report,
    )


def field_rows(seen: Seen) -> tuple[Row, ...]:
    """The table of a field."""
    return (
        Row(what="cation exchange capacity", value=shown(seen["capacity"]), unit="cmol_c/kg"),
        Row(what="ESP now", value=shown(seen["esp"]), unit="%"),
        Row(what="target ESP", value=shown(seen["target"]), unit="%"),
        Row(what="sampled depth", value=f"0–{seen['sampled']:g}", unit="cm"),
        Row(what="depth to be treated", value=f"0–{seen['treated']:g}", unit="cm"),
        Row(what="bulk density", value=shown(seen["density"]), unit="kg/L, which is t/m³"),
        Row(what="gypsum in the dried product", value=shown(seen["purity"]), unit="%"),
        Row(what="water in the product as it comes", value=shown(seen["moisture"]), unit="%"),
    )


def asked_rates(seen: Seen) -> tuple[Asked, ...]:
    """Pure gypsum and product per area."""
    ground = ground_of(seen["treated"], seen["density"])
    return (
        Asked(key="pure", words="pure gypsum per hectare", kind=Kind.GYPSUM_RATE, unit="t/ha", ground=ground),
        Asked(
            key="product",
            words="product per hectare, as it comes",
            kind=Kind.PRODUCT_RATE,
            unit="t/ha",
            ground=ground,
        ),
    )


def solve_field(seen: Seen, mistake: str) -> Solution:
    """Lines from a soil test to tonnes of product on a hectare."""
    work = Working(mistake)
    grams = gypsum_line(
        work,
        capacity=seen["capacity"],
        esp=seen["esp"],
        target=seen["target"],
        what="gypsum in a kilogram of soil",
    )
    depth = seen["sampled"] if work.made("E2") else seen["treated"]
    # 1 cm of soil on a hectare is 100 m³.
    soil = work.line(
        "soil on a hectare",
        f"100 × {shown(depth)} × {shown(seen['density'])}",
        100.0 * depth * seen["density"],
        "t",
    )
    pure = work.line(
        "pure gypsum",
        f"{shown(grams)} × {shown(soil)} / 1000",
        t_per_ha(grams, ground_of(depth, seen["density"])),
        "t/ha",
        answers="pure",
    )
    purity, moisture = seen["purity"] / 100.0, seen["moisture"] / 100.0
    if work.made("E9"):
        work.line("product", f"{shown(pure)}, as it stands", pure, "t/ha", answers="product")
    elif work.made("A9"):
        how = f"{shown(pure)} / {shown(purity)} × (1 + {shown(moisture)})"
        work.line("product", how, pure / purity * (1.0 + moisture), "t/ha", answers="product")
    else:
        product = Product(name="product", purity=purity, moisture=moisture)
        how = f"{shown(pure)} / ({shown(purity)} × (1 − {shown(moisture)}))"
        work.line("product", how, product.product_mass(pure), "t/ha", answers="product")
    return work.solution


FIELD_RATE: Final = Problem(
    number=14,
    key="field-rate",
    title="Gypsum for a field, pure and as it is bought",
    level=Level.FIELD,
    confronts="A rate belongs to a depth, a density and a product: forget one and it is another rate.",
    mistakes=("E2", "E9", "M5", "A16"),
    sometimes=("A5", "A9"),
    sources=("ussl1954", "homework_hectare", "textbook_acre"),
    draw=field_numbers,
    tell=lambda seen: Told(
        statement="Find the pure gypsum that this field takes, charge for charge, and how much of the "
        "product that is. Nothing is added for calcium that misses its sodium.",
        rows=field_rows(seen),
    ),
    asked=asked_rates,
    solve=solve_field,
)


def _draw_pot(draws: Draws) -> Seen | None:
    rate = draws.grid("rate", "2.0", "12.0", "0.25")
    depth = draws.grid("depth", "10", "30", "5")
    density = draws.grid("density", "1.20", "1.55", "0.05")
    opening = draws.grid("opening", "7", "16", "0.5")
    height = draws.grid("height", "2", "8", "0.5")
    # A pot that could stand there, filled somewhat looser than the field.
    soil = 10.0 * printed(0.9 * density * height * pi / 4.0 * opening**2 / 10.0)
    return Seen(numbers={"rate": rate, "depth": depth, "density": density, "opening": opening, "soil": soil})


def _tell_pot(seen: Seen) -> Told:
    return Told(
        statement="A field gets this rate of pure gypsum, mixed into the treated depth. A pot with soil of "
        "the same field shall get what the field's soil gets. How many grams of pure gypsum go into the pot?",
        rows=(
            Row(what="rate of pure gypsum", value=shown(seen["rate"]), unit="t/ha"),
            Row(what="treated depth", value=shown(seen["depth"]), unit="cm"),
            Row(what="bulk density of the field", value=shown(seen["density"]), unit="kg/L, which is t/m³"),
            Row(what="oven-dry soil in the pot", value=shown(seen["soil"]), unit="g"),
            Row(what="opening of the pot, across", value=shown(seen["opening"]), unit="cm"),
        ),
    )


def _solve_pot(seen: Seen, mistake: str) -> Solution:
    work = Working(mistake)
    rate = seen["rate"]
    if work.made("E1"):
        area = pi / 4.0 * seen["opening"] ** 2
        share = work.line("area of the pot", f"π/4 × {shown(seen['opening'])}²", area, "cm²")
        # 1 t/ha is 0.01 g/cm².
        work.line(
            "gypsum in the pot", f"{shown(rate)} / 100 × {shown(share)}", rate / 100.0 * area, "g",
            answers="gypsum",
        )  # fmt: skip
        return work.solution
    ground = ground_of(seen["depth"], seen["density"])
    soil = work.line(
        "soil on a hectare",
        f"100 × {shown(seen['depth'])} × {shown(seen['density'])}",
        100.0 * seen["depth"] * seen["density"],
        "t",
    )
    pure = read(f"{rate!r} t/ha", Kind.GYPSUM_RATE, name="rate", ground=ground)
    per_kg = work.line(
        "gypsum in a kilogram of soil",
        f"1000 × {shown(rate)} / {shown(soil)}",
        express(pure, Kind.GYPSUM_RATE, "g/kg"),
        "g/kg",
    )
    grams = express(pure, Kind.GYPSUM_RATE, "g", ground=Ground(soil_mass=seen["soil"] / 1000.0))
    how = f"{shown(per_kg)} × {shown(seen['soil'] / 1000.0)}"
    work.line("gypsum in the pot", how, grams, "g", answers="gypsum")
    return work.solution


POT_DOSE: Final = Problem(
    number=15,
    key="pot-dose",
    title="A field's rate in a pot",
    level=Level.FIELD,
    confronts="A bench result times an area is not a field: go by the mass of soil.",
    mistakes=("E1",),
    sources=("ali2011", "us_customary"),
    draw=_draw_pot,
    tell=_tell_pot,
    asked=lambda _: (Asked(key="gypsum", words="pure gypsum for the pot", kind=Kind.MASS, unit="g"),),
    solve=_solve_pot,
)
