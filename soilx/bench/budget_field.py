"""What a bench run was on the field: its doses, its water and its sodium, by soil mass."""

from soilx.bench.budget import Budget
from soilx.bench.plan_scale import Scale
from soilx.bench.record import Record
from soilx.bench.scale_card import CardRow, dose_to_field, water_to_field
from soilx.chemistry.ions import SODIUM
from soilx.practice.dose.product import PURE, Product
from soilx.units import Ground


def scale_of(record: Record) -> Scale:
    """Bench and field of a record.

    Parameters
    ----------
    record : Record

    Raises
    ------
    LimitError
        If depth, bulk density, drained water, soil mass or opening is not in it; it says what to write.
    """
    why = "a bench number is told as a field rate by depth, bulk density and soil mass"
    ground = Ground(
        depth=record.needed("depth", why=why).value,
        bulk_density=record.needed("bulk_density", why=why).value,
        drained_water=record.needed("drained_water", why=why).value,
        soil_mass=record.soil_mass,
    )
    purity, moisture = record.known("purity"), record.known("moisture")
    product = PURE
    if purity is not None:
        product = Product(
            name=record.words.get("product", "product"),
            purity=purity.value,
            moisture=0.0 if moisture is None else moisture.value,
        )
    return Scale(ground=ground, opening=record.needed("opening", why=why).value, product=product)


def field_rows(budget: Budget) -> tuple[CardRow, ...]:
    """Dose, water and sodium of every column with their field equivalents.

    Parameters
    ----------
    budget : Budget

    Raises
    ------
    LimitError
        As `scale_of` does.
    """
    record = budget.record
    scale = scale_of(record)
    rows: list[CardRow] = []
    for (arm, number), column in budget.columns.items():
        name = f"{arm} {number}"
        dose = record.known("dose", arm=arm, replicate=number)
        if dose is not None and dose.value > 0:
            row = dose_to_field(scale, 1000.0 * dose.value)
            rows.append(CardRow(name=f"{name}, product", bench=row.bench, field=row.field))
        caught = sum(portion.volume_ml for portion in record.arms[arm].replicates[number])
        rows.append(water_to_field(scale, caught, name=f"{name}, water that came through"))
        for words, amount in (
            ("sodium leached", column.amounts.leached),
            ("sodium off the clay", column.displaced),
        ):
            if amount is not None:
                # 1 mg/kg over kg/m² is 0.01 kg/ha
                per_ha = amount * SODIUM.molar_mass * scale.field_soil_per_m2 * 0.01
                grams = amount * SODIUM.molar_mass * scale.soil_mass
                rows.append(
                    CardRow(
                        name=f"{name}, {words}",
                        bench=f"{grams.value:.1f} ± {grams.half_width:.1f} mg",
                        field=f"{per_ha.value:.0f} ± {per_ha.half_width:.0f} kg of sodium per ha",
                    )
                )
    return tuple(rows)
