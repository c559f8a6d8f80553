"""What was picked last on the page, and the sentences and sheets that follow a move."""

from __future__ import annotations

from collections.abc import Mapping

from soilx.column.run import Run
from soilx.practice.dose.product import Product
from soilx.practice.judgement.thresholds import CONVENTIONS
from soilx.practice.soil_test.report import Report
from soilx.show.control import Control
from soilx.show.field_answer import Answer
from soilx.show.field_choices import (
    OWN_PRODUCT,
    OWN_WATER,
    aims_of,
    demo_products,
    demo_reports,
    demo_waters,
    product_texts,
)
from soilx.show.field_form import Form
from soilx.show.field_map import LEAST_PORE_VOLUMES
from soilx.show.field_programme import FIELD, HABITS
from soilx.show.field_rate_words import amount, chosen_units, why_no_rate
from soilx.show.pick import Pick
from soilx.show.presets import rate_readings, water_readings
from soilx.show.word_sheet import Sheet, folded, line
from soilx.units import Kind, express
from soilx.wording import CAUTION_RATE

SPRINKLER_MM_PER_H = 12.0


def conventions_offered() -> dict[str, str]:
    """Whose limits to judge by, as they are picked."""
    return {
        name: f"{convention.title.partition(':')[0]}: ESP {convention.esp.high:g}"
        for name, convention in CONVENTIONS.items()
    }


def rate_control() -> Control:
    """The slider of the chosen rate."""
    return Control(
        "Pure gypsum", "t/ha", low=0, high=25, step=0.125, value=7.05, digits=2, readings=rate_readings()
    )


def water_control() -> Control:
    """The slider of the water that follows."""
    soil = demo_reports()["Block C"].soil()
    return Control(
        "Water",
        "pore volumes",
        low=LEAST_PORE_VOLUMES,
        high=6.0,
        step=0.1,
        value=4.0,
        digits=1,
        readings=water_readings(soil),
    )


class Picked:
    """Which of two lists was picked from last: the demonstration's soils, or those of a loaded table."""

    def __init__(self) -> None:
        self._last: tuple[str, str] = ("", "")

    def fill(
        self,
        picked: str,
        table: Mapping[str, Report],
        row: str,
        *,
        form: object,
        aims: object,
        cover: object,
        way: object,
    ) -> str:
        """Fill the forms with the soil that was picked last, and give its name.

        Parameters
        ----------
        picked : str
            Of the demonstration, or one's own.
        table : mapping of str to Report
            What was loaded.
        row : str
            Picked from it.
        form, aims, cover, way : object
            `shown` of the soil test's form, the aim's form, and the lists of cover and way.
        """
        from_table = row in table and (row != self._last[1] or picked == self._last[0])
        self._last = (picked, row)
        name = row if from_table else picked
        report = table[row] if from_table else demo_reports().get(picked)
        habit = FIELD if from_table else HABITS.get(picked, FIELD)
        _fill(form, {} if report is None else dict(report.typed), opened=report is None)
        _fill(aims, aims_of("" if from_table else picked))
        _move(cover, habit.cover)
        _move(way, habit.way)
        return name


def fill_water(picked: str, form: object) -> str:
    """Fill the water's form with the water that was picked, and give its name.

    Parameters
    ----------
    picked : str
    form : object
        `Form.shown`.
    """
    known = demo_waters().get(picked)
    _fill(form, {} if known is None else dict(known.typed), opened=picked == OWN_WATER)
    return picked


def fill_product(picked: str, form: object) -> str:
    """Fill the product's form with the product that was picked, and give its name.

    Parameters
    ----------
    picked : str
    form : object
        `Form.shown`.
    """
    known = demo_products().get(picked)
    _fill(form, {} if known is None else product_texts(known), opened=picked == OWN_PRODUCT)
    return picked


def table_pick(table: Mapping[str, Report]) -> Pick:
    """List of the soils of a loaded table.

    Parameters
    ----------
    table : mapping of str to Report
    """
    names = {name: name for name in table} or {"": "no table loaded"}
    return Pick("Soil of your table", names, value=next(iter(names)))


def show_chosen(sheet: Sheet, answer: Answer, run: Run | None, product: Product) -> None:
    """Say what the chosen rate and water come to.

    Parameters
    ----------
    sheet : Sheet
    answer : Answer
    run : Run or None
        Of the chosen point.
    product : Product
    """
    blocked = why_no_rate(answer)
    if run is None:
        sheet.put(line(answer.why.get("surface", "")))
        return
    rate = express(run.scenario.gypsum, Kind.GYPSUM_RATE, "t/ha", ground=run.scenario.soil.ground)
    water = express(run.scenario.volume, Kind.WATER, "mm", ground=run.scenario.soil.ground)
    target = answer.aim.target_esp_pct
    met = run.final_esp_pct <= target
    said = (
        f"{amount(rate)} t/ha of pure gypsum with {run.applied_pore_volumes[-1]:.1f} pore volumes "
        f"({water:.0f} mm) of "
        f"{run.scenario.wettings[-1].water.name}: ESP goes from {run.initial_esp_pct:.1f} to "
        f"{run.final_esp_pct:.1f}. The target of {target:.3g} is {'met' if met else 'not met'}."
    )
    if blocked:
        when = "Once water can leave" if answer.rate_later else "For learning, not for spreading"
        sheet.put(line(f"{when}: {said}"), spoken=said)
        return
    sheet.put(
        line(said, "strong"),
        line(CAUTION_RATE, "caution"),
        folded("The chosen rate in every unit", chosen_units(answer, rate, product)),
        spoken=said,
    )


def show_wanting(sheet: Sheet, why: str) -> None:
    """Say why a section has nothing to show; an empty text clears the sheet.

    Parameters
    ----------
    sheet : Sheet
    why : str
    """
    sheet.put(*((line(why, "stop"),) if why else ()))


def value_of(shown: object, otherwise: float) -> float:
    """The number on a slider as the page places it; a move of it runs nothing that only asks so.

    Parameters
    ----------
    shown : object
        `Control.shown`.
    otherwise : float
        Where it is no slider.
    """
    control = getattr(shown, "control", None)
    return float(control.value) if isinstance(control, Control) else otherwise


def _fill(form: object, texts: Mapping[str, str], *, opened: bool = False) -> None:
    control = getattr(form, "control", None)
    if isinstance(control, Form):
        control.fill(texts, opened=opened)


def _move(pick: object, value: str) -> None:
    control = getattr(pick, "control", None)
    if isinstance(control, Pick):
        control.move(value)
