"""The sheet on which a bench run is written down: typed portion by portion, or loaded as a file."""

from __future__ import annotations

import base64
import json
from collections.abc import Callable, Mapping
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Final

import anywidget
import marimo as mo
import traitlets

from soilx.bench.budget_field import scale_of
from soilx.bench.record_columns import ARMS, COLUMN, LINE_FIELDS, MOST_ROWS
from soilx.bench.record_reading import LARGEST_FILE, is_line
from soilx.bench.record_text import header_of
from soilx.errors import FileError, SoilxError, quoted
from soilx.show.bench_keep import Keep
from soilx.show.page import Shown
from soilx.show.upload import file_of

if TYPE_CHECKING:
    from soilx.bench.record import Record

_STATIC: Final = files("soilx.show") / "static"
_MOST_SHOWN: Final = 300
_LONGEST_CELL: Final = 500

TITLES: Final[Mapping[str, str]] = {
    "arm": "Arm",
    "replicate": "Replicate",
    "portion": "Portion",
    "added_ml": "Poured on, mL",
    "volume_ml": "Caught, mL (1 g is 1 mL)",
    "mass_g": "Caught, g",
    "time_h": "Time since first water, h",
    "ec_ds_per_m": "EC, dS/m",
    "ec_temperature_c": "EC read at, °C",
    "sodium_mg_per_l": "Sodium, mg/L",
    "calcium_mg_per_l": "Calcium, mg/L",
    "sulfate_mg_per_l": "Sulfate, mg/L",
    "turbidity_ntu": "Turbidity, NTU",
    "flags": "Flags",
    "note": "Note",
}
"""What each column of a record is called on the sheet."""


class _SheetWidget(anywidget.AnyWidget):
    """The part in the browser: it shows what is kept, and sends what is to be kept."""

    _esm = (_STATIC / "bench_sheet.js").read_text(encoding="utf-8")
    _css = (_STATIC / "bench_sheet.css").read_text(encoding="utf-8")
    wire = traitlets.Unicode().tag(sync=True)
    sent = traitlets.Dict().tag(sync=True)


class Sheet(mo.ui.anywidget):
    """Portions as they are written down; ``value`` is the record.

    Parameters
    ----------
    keep : Keep
        Where the record is kept.
    begun : callable
        Text of a record that is begun: what the plan knows before the first portion.
    """

    def __init__(self, keep: Keep, *, begun: Callable[[], str]) -> None:
        self._keep_ = keep
        self._begun = begun
        self._serial = 0
        widget = _SheetWidget()
        super().__init__(widget)
        widget.observe(self._heard, names="sent")
        self._show(answer={})

    @property
    def shown(self) -> Shown:
        """What a page layout places; a cell that reads only this is not run again by a portion."""
        return Shown(self)

    # The base class gives every trait of its widget as a dictionary; a sheet has one record to give.
    @property  # type: ignore[misc]
    def value(self) -> Record:  # type: ignore[override]
        """The record as it is kept."""
        return self._keep_.record

    @property
    def is_example(self) -> bool:
        """Whether it is the invented run."""
        return self._keep_.is_example

    def _heard(self, change: Mapping[str, Any]) -> None:
        sent = change["new"]
        if not isinstance(sent, dict) or "what" not in sent:
            return
        what = str(sent["what"])
        try:
            self._show(answer={"what": what, "ok": True, "said": self._done(what, sent)})
        except SoilxError as refused:
            self._show(answer={"what": what, "ok": False, "said": str(refused)})

    def _done(self, what: str, sent: Mapping[str, Any]) -> str:
        keep = self._keep_
        if what == "add":
            row = _texts(sent.get("row"))
            keep.add(row)
            return f"Written down: {_called(row)}."
        if what == "change":
            row, was = _texts(sent.get("row")), _texts(sent.get("was"))
            keep.change(row, was)
            return f"Changed: {_called({**was, **row})}."
        if what == "line":
            line = [str(cell)[:_LONGEST_CELL].strip() for cell in list(sent.get("line") or ())[:6]]
            keep.line(line or [""])
            return f"Written down: {quoted(line[0].replace('_', ' '))}."
        if what == "begin":
            keep.begin(str(sent.get("name", "")), self._begun())
            return f"Begun: {keep.record.name}. What the plan knows is in it; type the first portion."
        if what == "open":
            keep.open(str(sent.get("name", "")))
            return f"Read: {keep.record.name}, {_portions(keep.record)}."
        file = file_of(sent)
        if what != "load" or file is None:
            raise FileError(
                "The file could not be read in the browser; nothing was changed; choose it again."
            )
        keep.load(*file)
        back = "Brought back from this tab" if sent.get("restored") else "Loaded"
        return f"{back}: {keep.record.name}, {_portions(keep.record)}."

    def _show(self, *, answer: Mapping[str, object]) -> None:
        self._serial += 1
        content = sheet_content(self._keep_) | {"answer": {**answer, "serial": self._serial}}
        self.widget.wire = json.dumps(content, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def sheet_content(keep: Keep) -> dict[str, Any]:
    """Everything that the sheet shows of a record.

    Parameters
    ----------
    keep : Keep
    """
    record = keep.record
    header = header_of(record.rows)
    table = [(at, row) for at, row in enumerate(record.rows, start=1) if any(row) and not is_line(row)][1:]
    troubled: dict[str, list[str]] = {}
    for problem in record.problems:
        if problem.row is not None:
            troubled.setdefault(str(problem.row), []).append(problem.column)
    arms = dict.fromkeys([*(arm for arm in record.arms if arm in ARMS), *ARMS, *record.arms])
    return {
        "name": record.name,
        "where": keep.where,
        "folder": keep.folder is not None,
        "example": keep.is_example,
        "names": keep.names,
        "header": header,
        "titles": [TITLES.get(column, column) for column in header],
        "numeric": [column in COLUMN and COLUMN[column].is_number for column in header],
        "rows": [list(row) + [""] * (len(header) - len(row)) for _, row in table[:_MOST_SHOWN]],
        "numbers": [at for at, _ in table[:_MOST_SHOWN]],
        "left": _left(len(table)),
        "troubled": troubled,
        "problems": list(record.sentences),
        "notes": list(record.notes),
        "arms": list(arms),
        "mm_per_ml": _field_mm(record),
        "lines": [_line(row) for row in record.rows if is_line(row) and any(row[1:])],
        "keys": [
            {"key": field.key, "title": field.title, "unit": field.unit or " or ".join(field.words)}
            for field in LINE_FIELDS
        ],
        "most": LARGEST_FILE,
        "data": base64.b64encode(keep.raw).decode("ascii"),
    }


def _line(row: tuple[str, ...]) -> list[str]:
    key, *rest = (*row, "", "", "", "", "")[:6]
    return [key.lstrip("# "), *rest]


def _left(rows: int) -> str:
    if rows <= _MOST_SHOWN:
        return ""
    read = "are kept and used" if rows <= MOST_ROWS else f"are kept; the first {MOST_ROWS} are used"
    return f"{rows} rows {read}; the first {_MOST_SHOWN} are shown here."


def _field_mm(record: Record) -> float:
    """Field depth that a millilitre on the bench stands for [mm]; 0 where the record does not tell."""
    try:
        return scale_of(record).water(1.0, "mm")
    except SoilxError:
        return 0.0


def _portions(record: Record) -> str:
    count = sum(len(arm.portions) for arm in record.arms.values())
    arms = len(record.arms)
    return f"{count} portion{'s' * (count != 1)} in {arms} arm{'s' * (arms != 1)}"


def _called(row: Mapping[str, str]) -> str:
    arm, replicate, portion = (quoted(row.get(key) or "1") for key in ("arm", "replicate", "portion"))
    return f"{arm} {replicate}, portion {portion}"


def _texts(sent: object) -> dict[str, str]:
    """A row as a browser sent it, as plain texts of bounded length."""
    if not isinstance(sent, dict):
        return {}
    return {str(key)[:80]: str(cell)[:_LONGEST_CELL].strip() for key, cell in list(sent.items())[:60]}
