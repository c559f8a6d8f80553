"""One bench number as the field has it, and one field number as the bench has it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from soilx.bench.scale_card import CardRow, dose_to_bench, dose_to_field, water_to_bench, water_to_field
from soilx.show.entry import heard
from soilx.show.word_sheet import Sheet, grid, line
from soilx.units import Kind, read
from soilx.wording import CAUTION_RATE

if TYPE_CHECKING:
    from soilx.bench.plan import Plan


def cards_of(
    plan: Plan, *, bench_dose: str, bench_water: str, field_rate: str, field_water: str
) -> tuple[CardRow, ...]:
    """Two bench numbers on the field and two field numbers on the bench, by the plan's soil and product.

    Parameters
    ----------
    plan : Plan
    bench_dose, bench_water : str
        Product in a column, and water poured on it: "0.40 g", "60 mL".
    field_rate, field_water : str
        Pure gypsum and water on the field: "6.95 t/ha", "100 mm".

    Raises
    ------
    SoilxError
        If a text cannot be read.
    """
    scale = plan.scale
    dose = 1000.0 * read(bench_dose, Kind.MASS, name="bench dose")
    poured = read(bench_water, Kind.WATER, name="bench water", ground=scale.ground)
    rate = read(field_rate, Kind.GYPSUM_RATE, name="field rate", ground=scale.ground)
    depth = read(field_water, Kind.WATER, name="field water", ground=scale.ground)
    there, back = dose_to_field(scale, dose), dose_to_bench(scale, rate)
    wet_there, wet_back = water_to_field(scale, scale.millilitres(poured)), water_to_bench(scale, depth)
    return (
        CardRow(name="bench to field, product", bench=there.bench, field=there.field),
        CardRow(name="bench to field, water", bench=wet_there.bench, field=wet_there.field),
        CardRow(name="field to bench, product", bench=back.bench, field=back.field),
        CardRow(name="field to bench, water", bench=wet_back.bench, field=wet_back.field),
    )


def show_cards(
    sheet: Sheet,
    make: Callable[[], tuple[CardRow, ...]],
    fields: Mapping[str, object],
) -> tuple[CardRow, ...] | None:
    """Put the cards on a sheet; what cannot be read is said beside its field, and the cards stay.

    Parameters
    ----------
    sheet : Sheet
    make : callable
        Makes the cards.
    fields : mapping of str to Shown
        By the name with which a refusal of each begins.
    """
    elsewhere: list[str] = []
    rows = heard(make, fields, otherwise=elsewhere.append)
    if rows is not None:
        sheet.put(
            grid(
                ("", "on the bench", "on the field"),
                [(row.name, row.bench, row.field) for row in rows],
                caption="By soil mass, both ways",
            ),
            line(CAUTION_RATE, "caution"),
        )
    elif any(elsewhere):
        sheet.put(line(next(filter(None, elsewhere)), "stop"))
    return rows
