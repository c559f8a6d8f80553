"""Charts name their axes, tell their lines apart without colour, and compute nothing."""

import itertools
import json
from functools import partial

import pytest
import vl_convert

import soilx
from soilx.chemistry.ions import ORDER
from soilx.show import charts, kept_records, stage_charts, stage_records, tables
from soilx.show.kept import Kept
from soilx.show.marks import ARM_DASHES, ION_MARKS, SODIUM_RAMP, TREATED, UNTREATED

WHITE, NEAR_BLACK = "#FFFFFF", "#181C1A"
BUILT = {
    "soil_columns": charts.soil_columns,
    "exchangeable_sodium_by_depth": charts.exchangeable_sodium_by_depth,
    "leachate_curve": partial(stage_charts.leachate_curve, title="Na, mmol/L", ion="Na"),
}


def luminance(colour):
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def within(spec, key):
    """Every value of a key, at any depth."""
    if isinstance(spec, dict):
        for name, value in spec.items():
            if name == key:
                yield value
            yield from within(value, key)
    elif isinstance(spec, list):
        for value in spec:
            yield from within(value, key)


@pytest.fixture(scope="module")
def arms():
    soil = soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]
    treated = soilx.Scenario.of(soil=soil, gypsum="7.05 t/ha", wettings=["4 pore_volume"])
    return tables.arms_of(treated=soilx.leach(treated), untreated=soilx.leach(treated.without_gypsum()))


def test_contrast_of_black_on_white_is_21__wcag22():
    assert contrast("#000000", WHITE) == pytest.approx(21)
    assert contrast("#777777", WHITE) == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("ion", ORDER)
def test_every_ion_line_reaches_3_to_1_in_bright_and_dark_rooms__wcag22(ion):
    assert contrast(ION_MARKS[ion].colour, WHITE) >= 3
    assert contrast(ION_MARKS[ion].colour, NEAR_BLACK) >= 3


def test_ions_differ_in_colour_and_dash_and_marker__common_practice():
    assert set(ION_MARKS) == set(ORDER)
    for one, other in itertools.combinations(ION_MARKS.values(), 2):
        assert one.colour != other.colour
        assert one.dash != other.dash
        assert one.marker != other.marker


def test_untreated_is_broken_as_no_ion_is__common_practice():
    assert ARM_DASHES[TREATED] == ION_MARKS["Na"].dash
    assert ARM_DASHES[UNTREATED] not in {mark.dash for mark in ION_MARKS.values()}


def test_more_sodium_is_darker_also_in_grey__wcag22():
    shades = [luminance(colour) for colour in SODIUM_RAMP]
    assert all(lighter > 1.5 * darker for lighter, darker in itertools.pairwise(shades))


@pytest.mark.parametrize("share", [at / 100 for at in range(101)])
def test_layer_numbers_reach_4_5_to_1_on_every_shade__wcag22(share):
    # The scale runs straight between neighbouring colours.
    place = share * (len(SODIUM_RAMP) - 1)
    at = min(int(place), len(SODIUM_RAMP) - 2)
    one, other = ([int(colour[k : k + 2], 16) for k in (1, 3, 5)] for colour in SODIUM_RAMP[at : at + 2])
    mixed = [round(a + (place - at) * (b - a)) for a, b in zip(one, other, strict=True)]
    shade = "#" + "".join(f"{part:02X}" for part in mixed)
    assert contrast(shade, WHITE if share > charts.WHITE_NUMBERS_ABOVE else "#000000") >= 4.5


@pytest.mark.parametrize("name", BUILT)
def test_axes_say_quantity_and_unit__common_practice(name):
    titles = {
        axis["title"]
        for side in ("x", "y")
        for axis in within(BUILT[name]().to_dict(), side)
        if "title" in axis
    }
    assert titles
    units = ("%", "cm", "mmol/L", "pore volumes")
    assert all(title.rsplit(", ", 1)[-1] in units for title in titles)


@pytest.mark.parametrize("name", BUILT)
def test_charts_choose_rows_and_compute_nothing__common_practice(name):
    spec = BUILT[name]().to_dict()
    steps = [step for steps in within(spec, "transform") for step in steps]
    assert all(set(step) == {"filter"} for step in steps)
    assert not list(within(spec, "aggregate"))
    assert not list(within(spec, "bin"))


@pytest.mark.parametrize("name", BUILT)
def test_only_data_and_axis_ends_differ_between_an_empty_and_a_full_chart__analytic(name, arms):
    records = {
        "layers": tables.layer_records(arms),
        "columns": tables.column_records(arms),
        "start": tables.start_records(arms),
        "leachate": stage_records.curve_records(arms, "Na"),
        "before": stage_records.profile_before(arms[TREATED]),
        "kept": kept_records.profiles([Kept(letter="A", run=arms[TREATED])]),
        "guess": kept_records.guess(12.5),
    }
    empty = BUILT[name]().to_dict()
    sources = {data["name"] for data in within(empty, "data")}
    assert sources <= set(records)
    full = BUILT[name](**{source: records[source] for source in sources}).to_dict()
    assert full != empty
    for data in within(full, "data"):
        assert data["values"] == json.loads(json.dumps(records[data["name"]]))
        data["values"] = []
    assert full == empty


def test_the_drawn_columns_show_every_layers_number__analytic(arms):
    chart = charts.soil_columns(tables.layer_records(arms), tables.column_records(arms))
    drawn = vl_convert.vegalite_to_svg(chart.to_dict())
    for run in arms.values():
        for esp in run.final_esp_by_layer_pct:
            assert f">{esp:.1f}<" in drawn
    assert f">{TREATED}<" in drawn
    assert f">{UNTREATED}<" in drawn


def test_lines_are_named_where_they_run__common_practice(arms):
    profile = charts.exchangeable_sodium_by_depth(tables.layer_records(arms), tables.start_records(arms))
    leachate = BUILT["leachate_curve"](stage_records.curve_records(arms, "Na"))
    for chart, names in ((profile, (TREATED, UNTREATED, "start")), (leachate, (TREATED, UNTREATED))):
        drawn = vl_convert.vegalite_to_svg(chart.to_dict())
        assert all(f">{name}<" in drawn for name in names)
