"""Forms read: soil test, water, aim and product; what cannot be read is said beside its box."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final, TypeVar

from soilx.column.fields import read_field
from soilx.column.water import WATER_FIELD, Water
from soilx.errors import LimitError, SoilxError, refuse
from soilx.practice.dose.product import PURE, Product
from soilx.practice.dose.target import read_target
from soilx.practice.judgement.thresholds import convention_of
from soilx.practice.soil_test.report import Report
from soilx.practice.soil_test.report_fields import REPORT_FIELD
from soilx.show.field_choices import Aim, demo_products, demo_waters, product_texts
from soilx.show.field_form import Form
from soilx.units import Kind, read

_Made = TypeVar("_Made")

UNNAMED: Final = "My soil"
KEPT: Final = "Until then the page keeps what was there before."


class Desk:
    """What lies on the desk: the last of each form that could be read.

    What cannot be read is said beside its box, and the page goes on with what was there before.
    """

    def __init__(self) -> None:
        self._kept: dict[str, object] = {}
        self._presses: dict[str, int] = {}

    def pressed(self, what: str, count: int) -> bool:
        """Whether a button was pressed since this was last asked.

        Parameters
        ----------
        what : str
            Which button.
        count : int
            How often it was pressed up to now.
        """
        before, self._presses[what] = self._presses.get(what, 0), count
        return count > before

    def report(self, texts: Mapping[str, str], form: object) -> Report:
        """The soil test of a form.

        Parameters
        ----------
        texts : mapping of str to str
            Keys of `soilx.practice.soil_test.report_fields.REPORT_FIELD`.
        form : object
            `Form.shown`.
        """
        named = {"name": UNNAMED, **texts}

        def checked(key: str, text: str) -> object:
            return read_field(REPORT_FIELD[key], text) if REPORT_FIELD[key].is_number else None

        found = self._read(
            "report", form, named, lambda: Report.of(**named), lambda: Report.of(name=UNNAMED), checked
        )
        return found if isinstance(found, Report) else Report.of(name=UNNAMED)

    def water(self, picked: str, texts: Mapping[str, str], form: object) -> Water | None:
        """The water of a form; None where nothing is known of it.

        Parameters
        ----------
        picked : str
            One of `soilx.show.field_choices.waters_offered`.
        texts : mapping of str to str
            Keys of `soilx.column.water.WATER_FIELD`.
        form : object
            `Form.shown`.
        """
        known = demo_waters().get(picked)
        if known is not None and dict(known.typed) == dict(texts):
            self._kept["water"] = known
            _say(form, {}, "")
            return known
        if not set(texts) - {"name"}:
            self._kept["water"] = None
            _say(form, {}, "")
            return None
        named = {"name": "My water", **texts}

        def checked(key: str, text: str) -> object:
            return read_field(WATER_FIELD[key], text) if WATER_FIELD[key].kind else None

        found = self._read("water", form, named, lambda: Water.of(**named), lambda: None, checked)
        return found if isinstance(found, Water) else None

    def aim(self, texts: Mapping[str, str], form: object, *, convention: str) -> Aim:
        """What is aimed at, from a form.

        Parameters
        ----------
        texts : mapping of str to str
            Keys of the boxes of `soilx.show.field_boxes.aim_groups`.
        form : object
            `Form.shown`.
        convention : str
            Whose target stands in where none is typed.
        """
        own = convention_of(convention).target_esp_pct

        def made() -> Aim:
            return Aim(
                target_esp_pct=_aimed(texts["target"]) if "target" in texts else own,
                depth=texts.get("depth"),
                factor=_plain(texts.get("factor", "1"), "factor", 1.0, 2.0),
                concentration=_plain(texts.get("concentration", "1"), "concentration", 1.0, 20.0),
                pot=texts.get("pot"),
                asked="target" in texts,
            )

        checks: dict[str, Callable[[str], object]] = {
            "target": _aimed,
            "depth": lambda text: read(text, Kind.DEPTH, name="depth"),
            "factor": lambda text: _plain(text, "factor", 1.0, 2.0),
            "concentration": lambda text: _plain(text, "concentration", 1.0, 20.0),
            "pot": lambda text: _positive(text, Kind.MASS, "pot"),
        }
        # The target follows the convention where none is typed, whatever was kept.
        found = self._read(
            "aim", form, texts, made, lambda: Aim(target_esp_pct=own), lambda key, text: checks[key](text)
        )
        return found if isinstance(found, Aim) else Aim(target_esp_pct=own)

    def product(self, picked: str, texts: Mapping[str, str], form: object) -> Product:
        """The product of a form; pure gypsum where nothing is told of it.

        Parameters
        ----------
        picked : str
            One of `soilx.show.field_choices.gypsum_offered`.
        texts : mapping of str to str
            Keys of the boxes of `soilx.show.field_boxes.product_groups`.
        form : object
            `Form.shown`.
        """
        known = demo_products().get(picked)
        if known is not None and product_texts(known) == dict(texts):
            self._kept["product"] = known
            _say(form, {}, "")
            return known
        if not {"purity", "sulfur"} & set(texts):
            self._kept["product"] = PURE
            _say(form, {}, "")
            return PURE
        given = {"name": "my product", **texts}
        name = given.pop("name")
        build: Callable[..., Product] = Product.of

        def checked(key: str, text: str) -> object:
            if key in ("purity", "sulfur", "moisture"):
                return read(text, Kind.FRACTION, name=key)
            return _positive(text, Kind.MASS, key) if key == "bag" else None

        found = self._read("product", form, given, lambda: build(name, **given), lambda: PURE, checked)
        return found if isinstance(found, Product) else PURE

    def _read(
        self,
        what: str,
        form: object,
        texts: Mapping[str, str],
        made: Callable[[], _Made],
        otherwise: Callable[[], _Made | None],
        checked: Callable[[str, str], object],
    ) -> object:
        refusals: dict[str, str] = {}
        whole = ""
        for key, text in texts.items():
            try:
                checked(key, text)
            except SoilxError as refused:
                refusals[key] = f"{refused} {KEPT}"
        if not refusals:
            try:
                self._kept[what] = made()
            except SoilxError as refused:
                whole = f"{refused} {KEPT}"
        _say(form, refusals, whole)
        return self._kept[what] if what in self._kept else otherwise()


def _say(form: object, refusals: Mapping[str, str], whole: str) -> None:
    control = getattr(form, "control", None)
    if isinstance(control, Form):
        control.refuse(refusals, whole)


def _aimed(text: str) -> float:
    try:
        number: float | str = float(text)
    except ValueError:
        number = text
    return read_target(number)


def _plain(text: str, name: str, low: float, high: float) -> float:
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not low <= value <= high:
        refuse(
            name,
            text,
            "",
            wrong="is not such a number",
            limit=f"it goes from {low:g} to {high:g}",
            remedy="write a plain number in between",
        )
    return value


def _positive(text: str, kind: Kind, name: str) -> float:
    value = read(text, kind, name=name)
    if not value > 0:
        raise LimitError(
            f"{name} = {text}: is nothing; the limit is what can be weighed; leave it empty, or weigh it."
        )
    return value
