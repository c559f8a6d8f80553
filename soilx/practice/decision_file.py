"""A field decision on disk: one TOML file that holds every text as it was typed."""

from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import Final, TypeVar

import tomli_w

from soilx.column.fields import refuse_unknown
from soilx.column.file_writing import write_text
from soilx.column.table_file import text_of
from soilx.column.toml_text import document_of, texts_of
from soilx.errors import FileError, SoilxError
from soilx.practice.decision_record import AIM_KEYS, PLAN_KEYS, PRODUCT_KEYS, DecisionRecord

_Made = TypeVar("_Made")

HEAD: Final = "decision"
"""The table that makes a TOML file a decision, and not a scenario."""

_TABLES: Final = (HEAD, "soil", "water", "product", "plan")
_KEYS: Final[Mapping[str, tuple[str, ...]]] = {HEAD: AIM_KEYS, "product": PRODUCT_KEYS, "plan": PLAN_KEYS}


def read_decision(path: str | Path) -> DecisionRecord:
    """Decision of a TOML file.

    Parameters
    ----------
    path : str or Path

    Raises
    ------
    FileError
        It names file, table, value, limit and remedy.
    """
    return decision_from_toml(text_of(Path(path)), name=Path(path).name)


def write_decision(record: DecisionRecord, path: str | Path) -> None:
    """Write a decision as TOML that reads back as an equal one, the same bytes each time."""
    write_text(Path(path), decision_to_toml(record))


def is_decision(text: str) -> bool:
    """Whether a TOML text is a decision; False too where it is no TOML.

    Parameters
    ----------
    text : str
    """
    try:
        return HEAD in document_of(text, name="decision")
    except FileError:
        return False


def decision_to_toml(record: DecisionRecord) -> str:
    """Text that `decision_from_toml` reads back as an equal decision.

    Parameters
    ----------
    record : DecisionRecord
    """
    parts = {
        HEAD: record.aim,
        "soil": record.soil,
        "water": record.water,
        "product": record.product,
        "plan": record.plan,
    }
    return "\n".join(
        f"[{table}]\n{tomli_w.dumps(dict(texts))}" for table, texts in parts.items() if texts or table == HEAD
    )


def decision_from_toml(text: str, *, name: str = "decision") -> DecisionRecord:
    """Decision of a TOML text.

    Parameters
    ----------
    text : str
        Tables `[decision]`, `[soil]`, `[water]`, `[product]`, `[plan]`; all but the first two may be missing.
    name : str
        Of the file, for refusals.

    Raises
    ------
    FileError
        If it is not TOML, or a table or key is missing, unknown, in a wrong unit or outside its limits.
    """
    document = document_of(text, name=name)
    _told(name, lambda: refuse_unknown(document, _TABLES, what="a decision file"))
    for table in (HEAD, "soil"):
        if table not in document:
            raise FileError(
                f"{name}, [{table}]: is missing; a decision is about a soil and says so; add the table."
            )
    texts: dict[str, dict[str, str]] = {
        table: texts_of(name, f"[{table}]", document[table]) for table in _TABLES if table in document
    }
    for table, keys in _KEYS.items():
        given = texts.get(table, {})
        _told(f"{name}, [{table}]", partial(refuse_unknown, given, keys, what=f"[{table}]"))
    # Soil and water have tables of their own, and refusals that name neither file nor table.
    soil_alone = _told(f"{name}, [soil]", lambda: DecisionRecord.of(texts["soil"]))
    if "water" in texts:
        _told(f"{name}, [water]", lambda: DecisionRecord.of(dict(soil_alone.soil), water=texts["water"]))
    return _told(
        name,
        lambda: DecisionRecord.of(
            texts["soil"],
            water=texts.get("water"),
            aim=texts.get(HEAD),
            product=texts.get("product"),
            plan=texts.get("plan"),
        ),
    )


def _told(where: str, make: Callable[[], _Made]) -> _Made:
    try:
        return make()
    except SoilxError as error:
        raise FileError(f"{where}: {error}") from error
