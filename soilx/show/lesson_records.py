"""Rows for the lesson's curves: lines, names beside them, where the slider stands, where the guess was."""

from __future__ import annotations

from collections.abc import Iterable

from numpy.typing import ArrayLike

from soilx.show.tables import NumberTable, Record


def line(name: str, kind: str, x: Iterable[float], y: Iterable[float]) -> list[Record]:
    """One curve, a row per point.

    Parameters
    ----------
    name, kind : str
        Of the curve, and of `soilx.show.lesson_charts.LINES`.
    x, y : iterable of float
        In the units of the axes.
    """
    return [
        {"line": name, "kind": kind, "x": round(float(across), 5), "y": round(float(up), 5)}
        for across, up in zip(x, y, strict=True)
    ]


def band(x: Iterable[float], low: Iterable[float], high: Iterable[float]) -> list[Record]:
    """What lies between two curves, a row per point.

    Parameters
    ----------
    x, low, high : iterable of float
        In the units of the axes.
    """
    return [
        {"x": round(float(across), 5), "low": round(float(under), 5), "high": round(float(over), 5)}
        for across, under, over in zip(x, low, high, strict=True)
    ]


def words(
    x: ArrayLike, y: ArrayLike, text: str, *, align: str = "left", dy: int = 0, kind: str = ""
) -> Record:
    """Words at a point.

    Parameters
    ----------
    x, y : float
        In the units of the axes.
    text : str
        What stands there.
    align : str
        "left" puts them right of the point, "right" left of it.
    dy : int
        How far below the point [px].
    kind : str
        Of the curve the point lies on.
    """
    return {"x": float(x), "y": float(y), "text": text, "align": align, "dy": dy, "kind": kind}  # type: ignore[arg-type]


def now(x: float, y: float, text: str, *, middle: float, kind: str = "first", dy: int = -14) -> Record:
    """Where the slider stands, its number on the side where there is room.

    Parameters
    ----------
    x, y : float
        In the units of the axes.
    text : str
        The number, with its unit.
    middle : float
        From here on there is more room on the left.
    kind, dy
        As in `words`.
    """
    return words(x, y, text, align="left" if x < middle else "right", dy=dy, kind=kind)


def guess(x: float, y: float | None, *, align: str = "left", dy: int = -14) -> list[Record]:
    """Where the reader's guess lies; no row where there was none.

    Parameters
    ----------
    x : float
        Where the question asked, in the unit of the axis.
    y : float, optional
        The guess, in the unit of the axis.
    align, dy
        As in `words`.
    """
    return [] if y is None else [words(x, y, "your guess", align=align, dy=dy)]


def table(titles: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> NumberTable:
    """The numbers of a chart, a row per line.

    Parameters
    ----------
    titles : tuple of str
        Quantity and unit of each column.
    rows : iterable of tuple of str
        As printed.
    """
    return NumberTable(titles=titles, rows=tuple(rows))
