"""What the fields of the bench plan offer: soils, waters, products, arms, and a soil from one's own file."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from soilx.column.files import demo_path, read_soils, read_waters
from soilx.column.scenario_toml import scenario_from_toml
from soilx.column.soil import Soil
from soilx.column.water import Water
from soilx.errors import FileError
from soilx.practice.dose.product import PURE, Product
from soilx.practice.dose.products_file import read_products
from soilx.show.entry import Entry
from soilx.show.page import Shown
from soilx.show.pick import Pick
from soilx.show.upload import Upload

OWN: Final = "own"
_INVENTED_BAG: Final = "white bag"
#: The dose that each soil's field starts with: that of the invented run for its own soil, else a target.
DOSES: Final[Mapping[str, str]] = MappingProxyType(
    {"Block C": "6.95 t/ha", "Block F": "6 %", "Lawn 2": "3 %", "Bed 7": "3.0 g/kg", OWN: "5 %"}
)
NO_IRRIGATION: Final = "none"
#: Arms as they are ticked; the control and the gypsum arm are always run.
ARMS_OFFERED: Final[Mapping[str, str]] = MappingProxyType(
    {
        "sodium chloride": "sodium chloride, as salty as gypsum water",
        "calcium chloride": "calcium chloride, as much calcium as the gypsum",
        "irrigation water": "your irrigation water, with gypsum and without",
        "blank": "blanks: paper and sand, and gypsum alone",
    }
)
INSTRUMENTS: Final[Mapping[str, str]] = MappingProxyType(
    {"kits": "field kits and pens", "laboratory": "a laboratory"}
)


def soils_offered() -> dict[str, str]:
    """The demonstration's soils as they are picked, and one's own."""
    return {**{name: f"{name} (invented)" for name in demo_soils()}, OWN: "your own, from a file"}


def waters_offered() -> dict[str, str]:
    """Irrigation waters as they are picked."""
    named = {name: f"{name} (invented)" for name in demo_waters() if name not in ("deionised", "Rain")}
    return {NO_IRRIGATION: "none at hand", **named}


def products_offered() -> dict[str, str]:
    """Gypsum products as they are picked."""
    named = {name: f"{name}: {_label(product)}" for name, product in products().items()}
    return {**named, OWN: "your own, by its label"}


@functools.cache
def products() -> Mapping[str, Product]:
    """Gypsum products by name: the invented run's, those of the table, and gypsum alone."""
    bag = Product(name=_INVENTED_BAG, purity=0.88, moisture=0.06)
    table = read_products(demo_path("products.csv"))
    gypsum = {name: product for name, product in table.items() if product.substance == "gypsum"}
    return MappingProxyType({_INVENTED_BAG: bag, **gypsum, PURE.name: PURE})


class SoilChoice:
    """The soil that is planned with: one of the demonstration, or that of a file which was brought.

    Attributes
    ----------
    soil : Soil
    """

    def __init__(self) -> None:
        self.soil: Soil = next(iter(demo_soils().values()))
        self._own: Soil | None = None
        self._seen: tuple[str, bytes] | None = None

    def choose(self, picked: str, file: tuple[str, bytes] | None, *, pick: Shown, brought: Shown) -> Soil:
        """The soil of a choice; a new file is taken at once, and picked.

        Parameters
        ----------
        picked : str
            Key of `soils_offered`.
        file : tuple of (str, bytes) or None
            Name and bytes of the file that was brought last.
        pick, brought : Shown
            As the page places the list and the upload.
        """
        if file is not None and file != self._seen:
            self._seen = file
            self._take(file, pick=pick, brought=brought)
        elif picked != OWN:
            self.soil = demo_soils()[picked]
        elif self._own is not None:
            self.soil = self._own
        else:
            _say(brought, f"No file yet: {self.soil.name} stays until you bring one.")
        return self.soil

    def _take(self, file: tuple[str, bytes], *, pick: Shown, brought: Shown) -> None:
        name, raw = file
        try:
            soil = scenario_from_toml(_text(name, raw), name=name).soil
        except FileError as refused:
            _say(brought, str(refused))
            return
        self._own = self.soil = soil
        _say(brought, f"Read: {soil.name}.")
        control = getattr(pick, "control", None)
        if isinstance(control, Pick):
            control.move(OWN)


def _label(product: Product) -> str:
    if product is PURE:
        return "nothing else in it"
    return f"{100 * product.purity:.3g} % gypsum when dry, {100 * product.moisture:.2g} % water"


def _say(brought: Shown, text: str) -> None:
    control = getattr(brought, "control", None)
    if isinstance(control, Upload):
        control.say(text)


def settle_dose(soil: Soil, dose: Shown) -> None:
    """The dose that a soil's field starts with; the field is moved there.

    Parameters
    ----------
    soil : Soil
    dose : Shown
        As the page places the field.
    """
    text = DOSES.get(soil.name, DOSES[OWN])
    control = getattr(dose, "control", None)
    if isinstance(control, Entry):
        control.move(text)


def _text(name: str, raw: bytes) -> str:
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileError(
            f"{name}: is not UTF-8 text at byte {error.start}; the limit is the format's; bring a "
            "scenario file."
        ) from error


@functools.cache
def demo_soils() -> Mapping[str, Soil]:
    """The demonstration's soils by name."""
    return MappingProxyType(read_soils(demo_path("soils.csv")))


@functools.cache
def demo_waters() -> Mapping[str, Water]:
    """The demonstration's waters by name."""
    return MappingProxyType(read_waters(demo_path("waters.csv")))
