"""Scenarios as TOML: soil, waters and wettings embedded, every text as it was typed."""

import re
from collections.abc import Mapping
from typing import Final

import tomli_w

from soilx.column.fields import listed, refuse_unknown
from soilx.column.scenario import KEYS, Scenario
from soilx.column.soil import Soil
from soilx.column.toml_text import document_of, texts_of
from soilx.column.water import DEIONISED, Water
from soilx.column.wetting import KEYS as WETTING_KEYS
from soilx.errors import FileError, SoilxError

_TABLES: Final = ("scenario", "soil", "water", "wetting")
_COUNTS: Final = ("layers", "collect")
_COUNT: Final = re.compile(r"0|[1-9][0-9]{0,8}")


def scenario_to_toml(scenario: Scenario) -> str:
    """Text that `scenario_from_toml` reads back as an equal scenario.

    Parameters
    ----------
    scenario : Scenario
        Made by `Scenario.of` or `with_`, of a soil and waters made by their own `of`.

    Raises
    ------
    FileError
        If the texts kept do not make this scenario, as after `dataclasses.replace`.
    """
    waters: dict[str, Water] = {}
    for wetting in scenario.wettings:
        known = waters.setdefault(wetting.water.name, wetting.water)
        if known != wetting.water:
            raise FileError(
                f"water {known.name}: two waters have this name; the limit is a file's, where a wetting "
                "names its water; give one of them another name."
            )
    waters.pop(DEIONISED.name, None)
    blocks = [_block("[scenario]", dict(scenario.typed)), _block("[soil]", dict(scenario.soil.typed))]
    blocks.extend(_block("[[soil.change]]", {key: text}) for key, text in scenario.soil.changes)
    blocks.extend(_block("[[water]]", dict(water.typed)) for water in waters.values())
    for wetting in scenario.wettings:
        texts = dict(wetting.typed)
        amount = texts.pop("amount", "")
        blocks.append(_block("[[wetting]]", {"amount": amount, "water": wetting.water.name, **texts}))
    text = "\n".join(blocks)
    try:
        same = scenario_from_toml(text) == scenario
    except SoilxError:
        same = False
    if not same:
        raise FileError(
            f"scenario {scenario.title or scenario.soil.name}: the texts it keeps do not make it; the limit "
            "is ours, since a file has to be what was shown; make it with Scenario.of, Soil.of and "
            "Water.of, and change it with with_."
        )
    return text


def scenario_from_toml(text: str, *, name: str = "scenario") -> Scenario:
    """Scenario of a TOML text.

    Parameters
    ----------
    text : str
        Tables `[scenario]`, `[soil]` (with `[[soil.change]]`), `[[water]]`, `[[wetting]]`.
    name : str
        Of the file, for refusals.

    Raises
    ------
    FileError
        If it is not TOML, or a table or key is missing, unknown, in a wrong unit or outside its limits.
    """
    document = document_of(text, name=name)
    try:
        refuse_unknown(document, _TABLES, what="a scenario file")
    except SoilxError as error:
        raise FileError(f"{name}: {error}") from error
    changes = _take_changes(name, document)
    if "soil" not in document:
        raise FileError(f"{name}, [soil]: is missing; a scenario is of a soil; add the table.")
    soil_texts = texts_of(name, "[soil]", document["soil"])
    waters = {DEIONISED.name: DEIONISED}
    for number, table in enumerate(_list(name, "water", document), start=1):
        where = f"[[water]] {number}"
        texts = texts_of(name, where, table)
        water = _water(name, where, texts)
        if water.name in waters:
            raise FileError(
                f"{name}, {where}: a water {water.name} is there already; names are unique; rename one."
            )
        waters[water.name] = water
    wettings = []
    for number, table in enumerate(_list(name, "wetting", document), start=1):
        where = f"[[wetting]] {number}"
        given: dict[str, object] = dict(texts_of(name, where, table))
        try:
            refuse_unknown(given, WETTING_KEYS, what="a wetting")
        except SoilxError as error:
            raise FileError(f"{name}, {where}: {error}") from error
        called = given.pop("water", DEIONISED.name)
        if called not in waters:
            raise FileError(
                f"{name}, {where}, water = {called}: is not in this file; the waters are {listed(waters)}; "
                "add a [[water]] of that name."
            )
        wettings.append({**given, "water": waters[str(called)]})
    try:
        soil = Soil.of(changes=changes, **soil_texts)
    except SoilxError as error:
        raise FileError(f"{name}, [soil]: {error}") from error
    texts = texts_of(name, "[scenario]", document.get("scenario", {}))
    try:
        refuse_unknown(texts, KEYS, what="a scenario")
        return Scenario.of(soil, wettings=wettings, **texts)
    except SoilxError as error:
        raise FileError(f"{name}, [scenario] or [[wetting]]: {error}") from error


def _water(name: str, where: str, texts: Mapping[str, str]) -> Water:
    try:
        return Water.of(**texts)
    except SoilxError as error:
        raise FileError(f"{name}, {where}: {error}") from error


def _block(header: str, texts: Mapping[str, str]) -> str:
    """One table, whole numbers as numbers and all else as the text it was typed as."""
    table: dict[str, str | int] = {
        key: int(text) if key in _COUNTS and _COUNT.fullmatch(text) else text for key, text in texts.items()
    }
    return f"{header}\n{tomli_w.dumps(table)}"


def _list(name: str, key: str, document: Mapping[str, object]) -> list[object]:
    tables = document.get(key, [])
    if not isinstance(tables, list):
        raise FileError(f"{name}, [{key}]: stands alone; there may be several; write it as [[{key}]].")
    return tables


def _take_changes(name: str, document: dict[str, object]) -> tuple[tuple[str, str], ...]:
    """What was changed on the soil after it was made, in order; taken out of its table."""
    soil = document.get("soil")
    if not isinstance(soil, dict):
        return ()
    changes: list[tuple[str, str]] = []
    for number, table in enumerate(_list(name, "change", soil), start=1):
        changes.extend(texts_of(name, f"[[soil.change]] {number}", table).items())
    soil.pop("change", None)
    return tuple(changes)
