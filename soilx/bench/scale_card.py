"""One bench number beside its field equivalent, and back: dose and water, by soil mass."""

from dataclasses import dataclass

from soilx.bench.plan_scale import Scale


@dataclass(frozen=True, slots=True, kw_only=True)
class CardRow:
    """One number of the bench with what it is on the field.

    Attributes
    ----------
    name, bench, field : str
        What it is, and both amounts with their units.
    """

    name: str
    bench: str
    field: str


def dose_to_field(scale: Scale, product_g: float) -> CardRow:
    """A dose on the bench as a rate of product on the field.

    Parameters
    ----------
    scale : Scale
    product_g : float
        Product in a column [g].
    """
    rate = {unit: scale.product_rate(product_g, unit) for unit in ("t/ha", "short_ton/acre", "lb/1000 ft^2")}
    return CardRow(
        name="product",
        bench=f"{product_g:.3f} g ({product_g / scale.soil_mass:.2f} g/kg)",
        field=f"{rate['t/ha']:.2f} t/ha, {rate['short_ton/acre']:.2f} short ton/acre, "
        f"{rate['lb/1000 ft^2']:.0f} lb/1000 ft²",
    )


def dose_to_bench(scale: Scale, gypsum: float) -> CardRow:
    """A field rate of pure gypsum as the product that a column gets; the way back from `dose_to_field`.

    Parameters
    ----------
    scale : Scale
    gypsum : float
        Pure gypsum in the treated depth [mmol/kg].
    """
    return CardRow(
        name="product",
        bench=f"{scale.product_g(gypsum):.3f} g",
        field=f"{rates_in_words(scale, gypsum)}, pure",
    )


def water_to_field(scale: Scale, millilitres: float, *, name: str = "water") -> CardRow:
    """Water on the bench as depth on the field.

    Parameters
    ----------
    scale : Scale
    millilitres : float
        Poured on a column [mL].
    name : str
    """
    return CardRow(
        name=name,
        bench=f"{millilitres:.0f} mL, {scale.water(millilitres, 'pore_volume'):.2f} pore volumes",
        field=f"{scale.water(millilitres, 'mm'):.0f} mm, {scale.water(millilitres, 'in'):.1f} in",
    )


def water_to_bench(scale: Scale, water: float) -> CardRow:
    """Water on the field as what is poured on a column; the way back from `water_to_field`.

    Parameters
    ----------
    scale : Scale
    water : float
        Per soil [L/kg].
    """
    return water_to_field(scale, scale.millilitres(water))


def rates_in_words(scale: Scale, gypsum: float) -> str:
    """A dose of pure gypsum [mmol/kg] as rates on the field."""
    t_per_ha, lb = (scale.pure_rate(gypsum, unit) for unit in ("t/ha", "lb/1000 ft^2"))
    return f"{t_per_ha:.2f} t/ha, {lb:.0f} lb/1000 ft²"
