"""The part of a page that moves: sliders over a grid of real runs, and what follows them."""

from __future__ import annotations

import functools
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from soilx.handouts import live_words
from soilx.handouts.grid_reading import DIGITS
from soilx.handouts.grid_text import SIGNS, places, text_of
from soilx.handouts.page_text import text, verbatim
from soilx.handouts.still_drawing import COLOURS
from soilx.show import charts, stage_charts
from soilx.show.drawing_library import with_library
from soilx.show.marks import PLACES
from soilx.show.stage_records import PROPERTIES
from soilx.show.tables import MARKERS, axis_top
from soilx.units import Kind, express

if TYPE_CHECKING:
    from soilx.handouts.settings_axes import Axis
    from soilx.handouts.settings_grid import Grid

_STATIC: Final = files("soilx.handouts") / "static"

METRIC, US = "metric", "us"
_DEPTH_UNITS: Final = {METRIC: "cm", US: "in"}

#: What may stand on the same charts elsewhere: the setting before, kept curves, a guess.
_ABSENT: Final = frozenset({"before", "kept", "guess"})
#: Room to the right of the starting value, so that a line's name fits beside it.
_HEADROOM: Final = 1.5
_SMALL: Final = 190


@dataclass(frozen=True, slots=True, kw_only=True)
class LivePart:
    """What moves on a page, in three pieces: the last two stand on a page once, however many parts it has.

    Attributes
    ----------
    markup : str
        A section with its sliders, its charts and their data; seen where scripts run, and not on paper.
    script : str
        Drawing library and what moves the charts.
    style : str
        Its style sheet.
    """

    markup: str
    script: str
    style: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Chart:
    """One chart of a live part.

    Attributes
    ----------
    kind : str
        How its records are made: "depth", "curve" or "places".
    heading : str
        What is shown, with its unit.
    spec : dict
        Of the drawing.
    of : str
        Of a curve: "na" or "ec".
    height : int
        Kept open for the drawing [px].
    titles : tuple of str
        Of its table.
    caption : str
        Of its table.
    """

    kind: str
    heading: str
    spec: dict[str, Any]
    height: int
    titles: tuple[str, ...]
    caption: str = ""
    of: str = ""


def live_part(
    grid: Grid, *, units: str = METRIC, gypsum_unit: str | None = None, few: bool = False, number: int = 1
) -> LivePart:
    """Sliders over a grid, with charts, one sentence, text summaries and tables that follow.

    Parameters
    ----------
    grid : Grid
    units : str
        "metric" or "us": of depths.
    gypsum_unit : str, optional
        That of the grid, which was made for it.
    few : bool
        The short form: gypsum and water, two small charts.
    number : int
        Of the part on its page, so that no two share a name.

    Raises
    ------
    ValueError
        If the grid's rates are in another unit.
    """
    if gypsum_unit not in (None, grid.gypsum.unit):
        raise ValueError(f"the grid's rates are in {grid.gypsum.unit}; make it with grid_of(gypsum_unit=…)")
    shown = _charts(units, few=few)
    data = json.dumps(
        _data(grid, shown, units=units, few=few), ensure_ascii=True, allow_nan=False, separators=(",", ":")
    ).replace("<", "\\u003c")
    name = f"live{number}"
    sliders = "".join(_slider(axis, name) for axis in _moved(grid, few=few))
    figures = "".join(_figure(chart, f"{name}-chart{at}") for at, chart in enumerate(shown, start=1))
    beyond = ""
    if grid.water.own < len(grid.water.values) - 1:
        own = live_words.value_text(grid.water, grid.water.own, depths=_water_depths(grid, units), few=few)
        beyond = f" {live_words.MORE_WATER.format(water=own)}"
    markup = (
        f'<section class="live" aria-labelledby="{name}"><h2 id="{name}">Move the sliders</h2>'
        f"<p>{text(live_words.INTRODUCTION + beyond)}</p>"
        f'<div class="live-top"><div class="live-sliders" role="group" aria-label="Setting">{sliders}</div>'
        f'<p class="live-sentence"></p></div>'
        f'<p class="live-said" role="status" aria-live="polite"></p>'
        f'<p class="live-back"><button type="button">{text(live_words.BACK)}</button></p>'
        f'<div class="live-charts">{figures}</div>'
        f'<p class="small">{text(live_words.PAPER)}</p>'
        f'<script type="application/json">{data}</script></section>'
    )
    return LivePart(markup=markup, script=_script(), style=_static("live.css"))


def _moved(grid: Grid, *, few: bool) -> Sequence[Axis]:
    return [
        axis
        for axis in grid.axes
        if len(axis.values) > 1 and not (few and axis.key in ("capacity", "sodium"))
    ]


def _slider(axis: Axis, name: str) -> str:
    called = live_words.NAMES[axis.key]
    less, more = live_words.FEWER[axis.key]
    at = f"{name}-{axis.key}"
    return (
        f'<div class="live-slider" data-axis="{axis.key}"><label for="{at}">{text(called)}</label>'
        f'<output for="{at}"></output>'
        f'<button type="button" aria-label="{less}">−</button>'
        f'<input type="range" id="{at}" min="0" max="{len(axis.values) - 1}" step="1" value="{axis.own}">'
        f'<button type="button" aria-label="{more}">+</button></div>'
    )


def _figure(chart: _Chart, name: str) -> str:
    return (
        f'<div class="live-chart"><figure><h3>{text(chart.heading)}</h3>'
        f'<div class="live-plot" role="img" aria-label="{verbatim(chart.heading)}" '
        f'aria-describedby="{name}" style="min-height:{chart.height}px"></div>'
        f'<figcaption id="{name}"></figcaption></figure>'
        f"<details><summary>{text(live_words.TABLE)}</summary>"
        f'<div class="numbers" role="group" aria-label="{verbatim(chart.heading)}" tabindex="0"></div>'
        f"</details></div>"
    )


def _charts(units: str, *, few: bool) -> tuple[_Chart, ...]:
    depth_unit = _DEPTH_UNITS[units]
    arms = (live_words.WORDS["treated"], live_words.WORDS["untreated"])
    height = _SMALL if few else charts.HEIGHT
    depth = _Chart(
        kind="depth",
        heading="Exchangeable sodium by depth",
        spec=_lean(charts.specification(charts.exchangeable_sodium_by_depth, height=height), depth_unit),
        height=height + 50,
        titles=(f"Depth, {depth_unit}", *arms),
        caption="Exchangeable sodium, %",
    )
    where = _Chart(
        kind="places",
        heading="Where the sodium is, mg/kg",
        spec=_lean(charts.specification(stage_charts.sodium_places), depth_unit),
        height=260,
        titles=("At this setting", *arms),
    )
    if few:
        return (depth, where)
    curves = tuple(
        _Chart(
            kind="curve",
            of=symbol.lower(),
            heading=heading,
            spec=_lean(
                charts.specification(
                    stage_charts.leachate_curve,
                    title=PROPERTIES[symbol].title,
                    ion="Na" if symbol == "Na" else None,
                ),
                depth_unit,
            ),
            height=stage_charts.CURVE_HEIGHT + 50,
            titles=("After pore volumes of water", *arms),
            caption=f"{PROPERTIES[symbol].title}, as it drains",
        )
        for symbol, heading in (("Na", "Sodium in what drains"), ("EC", "Salt (EC) in what drains"))
    )
    return (depth, *curves, where)


def _lean(whole: dict[str, Any], depth_unit: str) -> dict[str, Any]:
    """A chart's specification without what these pages never fill, its axes where they are."""
    written = json.dumps(whole).replace("Depth, cm", f"Depth, {depth_unit}")
    # On the smallest phones a name goes to the left of its line sooner.
    written = written.replace(" < 0.7 * esp_top", " < (width < 250 ? 0.55 : 0.7) * esp_top")
    for from_page, on_paper in COLOURS:
        written = written.replace(from_page, on_paper)
    spec: dict[str, Any] = json.loads(written)
    spec["layer"] = [part for part in spec["layer"] if part.get("data", {}).get("name") not in _ABSENT]
    # Nothing is laid out anew while data move: axes end where they end for the whole slider.
    spec["autosize"] = {"type": "fit-x", "contains": "padding"}
    spec["config"]["axisY"] = {"minExtent": 34}
    return spec


def _water_depths(grid: Grid, units: str) -> tuple[str, ...]:
    unit = _DEPTH_UNITS[units]
    soil = grid.scenario.soil
    return tuple(
        f"{express(water * soil.drained_water, Kind.WATER, unit, ground=soil.ground):.1f}"
        f"\N{NO-BREAK SPACE}{unit}"
        for water in grid.water.values
    )


def _data(grid: Grid, shown: Sequence[_Chart], *, units: str, few: bool) -> dict[str, Any]:
    """All that the page's script draws from."""
    where = places(grid.numbers.values(), DIGITS)
    reasons = list(dict.fromkeys(grid.refusals.values()))
    depths = _water_depths(grid, units)
    soil, unit = grid.scenario.soil, _DEPTH_UNITS[units]
    bottom = express(soil.depth, Kind.DEPTH, unit)
    layers = grid.scenario.layers
    return {
        "axes": [
            {
                "key": axis.key,
                "own": axis.own,
                "texts": [
                    live_words.value_text(axis, at, depths=depths, few=few) for at in range(len(axis.values))
                ],
            }
            for axis in (grid.gypsum, grid.capacity, grid.sodium, grid.water)
        ],
        "bare": grid.gypsum.values.index(0.0),
        "waters": grid.water.texts,
        "signs": SIGNS,
        "places": {name: asdict(place) for name, place in where.items()},
        "runs": [
            text_of(grid.numbers[node], where) if node in grid.numbers else reasons.index(grid.refusals[node])
            for node in grid.nodes
        ],
        "reasons": reasons,
        "layers": [[round(bottom * (at + part) / layers, 3) for part in (0, 0.5, 1)] for at in range(layers)],
        "line": {
            "water": grid.rows.line_water,
            "upto": [sum(row <= stop for row in grid.rows.line) for stop in grid.rows.stops],
            "stops": grid.rows.stops,
        },
        "brought": [f"{amount:.0f}" for amount in grid.brought],
        "tops": _tops(grid),
        "water_top": axis_top(round(grid.water.values[-1], 6)),
        "depth_bottom": round(bottom, 3),
        "markers": MARKERS,
        "shares": list(PLACES),
        "words": dict(live_words.WORDS),
        "charts": [
            {
                "kind": chart.kind,
                "of": chart.of,
                "heading": chart.heading,
                "titles": chart.titles,
                "caption": chart.caption,
                "spec": chart.spec,
            }
            for chart in shown
        ],
    }


def _tops(grid: Grid) -> dict[str, list[float]]:
    """Ends of axes for each stop of sodium at the start: they stay while all else moves."""

    def top(of: Callable[[Mapping[str, Any]], float]) -> list[float]:
        highest = np.zeros(len(grid.sodium.values))
        for (_, _, sodium), numbers in grid.numbers.items():
            highest[sodium] = max(highest[sodium], of(numbers))
        return [axis_top(float(one)) for one in highest]

    def most(name: str) -> Callable[[Mapping[str, Any]], float]:
        return lambda numbers: float(np.nan_to_num(numbers[name], nan=0.0).max())

    return {
        "esp": top(lambda numbers: max(_HEADROOM * float(numbers["esp_start"]), most("esp_layers")(numbers))),
        "na": top(most("na_line")),
        "ec": top(most("ec_line")),
        "sodium": top(
            lambda numbers: float((numbers["on_clay"] + numbers["in_water"] + numbers["leached"]).max())
        ),
    }


def _static(name: str) -> str:
    return (_STATIC / name).read_text(encoding="utf-8")


@functools.cache
def _script() -> str:
    """The drawing library and what moves the charts, once for a page."""
    script = with_library(_static("live.js"))
    return script.replace("</script", "<\\/script").replace("<!--", "<\\!--")
