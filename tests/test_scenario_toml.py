"""Scenarios as TOML: there and back exactly, and refused by table and key."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from soilx.chemistry.cation_exchange import Selectivity
from soilx.column.files import (
    demo_path,
    read_scenario,
    read_soils,
    read_waters,
    scenario_from_toml,
    scenario_to_toml,
    write_scenario,
)
from soilx.column.scenario import Scenario
from soilx.column.water import DEIONISED, Water
from soilx.errors import FileError
from soilx.units import quantity

SOILS = read_soils(demo_path("soils.csv"))
WATERS = read_waters(demo_path("waters.csv"))
DEMOS = sorted(
    path.name
    for path in demo_path("soils.csv").parent.glob("*.toml")
    if not path.name.startswith("decision_")
)


@pytest.mark.parametrize("name", DEMOS)
def test_demo_scenarios_are_their_own_rewriting_and_hold_demo_soils__analytic(
    name: str, tmp_path: Path
) -> None:
    scenario = read_scenario(demo_path(name))
    write_scenario(scenario, tmp_path / name)
    assert (tmp_path / name).read_bytes() == demo_path(name).read_bytes()
    assert scenario.soil == SOILS[scenario.soil.name]
    for wetting in scenario.wettings:
        assert wetting.water == WATERS[wetting.water.name]


def test_the_demo_pair_is_bed_7_with_3_g_per_kg_and_four_pore_volumes_in_eight_portions__pinned() -> None:
    pair = read_scenario(demo_path("pair.toml"))
    assert pair.soil.name == "Bed 7"
    assert pair.gypsum == pytest.approx(quantity("3.0 g/kg").magnitude * 1000 / 172.171, rel=1e-5)
    assert pair.volume == pytest.approx(0.88)
    assert pair.wettings[0].portions == pytest.approx((0.11,) * 8)
    assert (pair.layers, pair.displaced_fraction, pair.placement) == (12, 0.5, "mixed")


amounts = st.one_of(
    st.floats(0.01, 10.0).map(lambda value: f"{value!r} pore_volume"),
    st.floats(0.01, 10.0).map(lambda value: quantity(value, "pore_volume")),
    st.floats(1.0, 200.0).map(lambda value: quantity(value, "mm")),
    st.sampled_from(["0.3 L/kg", "2 in", "60 mL", "4 pore_volumes", "  12.50 cm "]),
)
wettings = st.fixed_dictionaries(
    {"amount": amounts, "water": st.sampled_from([DEIONISED, *WATERS.values()])},
    optional={
        "hours": st.floats(0.1, 500.0).map(lambda value: f"{value} h"),
        "collect": st.integers(1, 20),
        "evapotranspiration": st.sampled_from(["1 mm", "0.01 L/kg"]),
    },
)
changes = st.lists(
    st.one_of(
        st.floats(2.0, 60.0).map(lambda value: ("capacity", quantity(value, "cmol_c/kg"))),
        st.floats(0.0, 50.0).map(lambda value: ("esp", f"{value} %")),
        st.floats(0.005, 0.02).map(lambda value: ("selectivity", Selectivity(sodium=value))),
    ),
    max_size=3,
)


@st.composite
def scenarios(draw: st.DrawFn) -> Scenario:
    """Scenarios of demo soils, changed and not, with everything that can be typed."""
    soil = SOILS[draw(st.sampled_from(list(SOILS)))]
    for what, value in draw(changes):
        if what == "capacity":
            soil = soil.with_capacity(value)
        elif what == "esp":
            soil = soil.with_exchangeable_sodium_percentage(value)
        else:
            soil = soil.with_selectivity(value)
    given = draw(
        st.fixed_dictionaries(
            {"soil_mass": st.sampled_from(["100 g", "0.25 kg", "1 lb"])},
            optional={
                "title": st.text(st.characters(exclude_categories=["Cs"]), max_size=20),
                "placement": st.sampled_from(["mixed", "surface", "top 5 cm", "top 2.5 in"]),
                "layers": st.integers(1, 24),
                "displaced_fraction": st.floats(0.05, 1.0),
                "bypass_fraction": st.sampled_from(["10 %", 0.25, 0]),
                "dissolution": st.sampled_from(["equilibrium", "first_order"]),
            },
        )
    )
    gypsum = draw(
        st.one_of(
            st.floats(0.0, 40.0).map(lambda value: quantity(value, "t/ha")),
            st.sampled_from(["0 g/kg", "2.5 short_ton/acre", "150 lb/1000 ft2", "3 g/kg"]),
        )
    )
    return Scenario.of(soil, gypsum=gypsum, wettings=draw(st.lists(wettings, max_size=3)), **given)


@given(scenario=scenarios())
@settings(deadline=None, max_examples=60)
def test_a_scenario_survives_toml_exactly__analytic(scenario: Scenario) -> None:
    text = scenario_to_toml(scenario)
    again = scenario_from_toml(text)
    assert again == scenario
    assert scenario_to_toml(again) == text


def test_what_was_typed_stands_in_the_file_as_it_was_typed__pinned() -> None:
    scenario = Scenario.of(
        SOILS["Bed 7"].with_capacity("16.50 cmol_c/kg"),
        gypsum=" 7.050 t/ha ",
        wettings=[("4.00 pore_volumes", WATERS["Rain"])],
        layers=8,
        collect=4,
        title='the "pair"',
    )
    text = scenario_to_toml(scenario)
    for line in (
        'gypsum = "7.050 t/ha"',
        "layers = 8",
        '[[soil.change]]\ncation_exchange_capacity = "16.50 cmol_c/kg"',
        'amount = "4.00 pore_volumes"\nwater = "Rain"\ncollect = 4',
        'title = "the \\"pair\\""',
    ):
        assert line in text


def test_a_file_written_by_hand_may_leave_out_what_has_a_default__pinned() -> None:
    bed = scenario_to_toml(Scenario.of(SOILS["Bed 7"])).split("\n\n")[1]
    scenario = scenario_from_toml(
        f'{bed}\n[scenario]\ndisplaced_fraction = 0.4\n[[wetting]]\namount = "1 pore_volume"\n'
    )
    assert scenario.gypsum == 0.0
    assert scenario.displaced_fraction == 0.4
    assert scenario.wettings[0].water == DEIONISED


PAIR = demo_path("pair.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("[scenario]", "[scenario", "is not TOML"),
        ("[scenario]", "[plan]", "plan: is not something said of a scenario file"),
        ("[soil]", "[scenario.soil]", "[soil]: is missing"),
        ("[[wetting]]", "[wetting]", "write it as [[wetting]]"),
        ("[soil]", "[[soil]]", "[soil]: is not a table"),
        ('"3.0 g/kg"', '"3.0 g"', "gypsum"),
        ('"3.0 g/kg"', "3.0", "gypsum"),
        ('"3.0 g/kg"', "[3.0]", "gypsum = [3.0]: is not text"),
        ("collect = 8", "collect = true", "collect = True: is not text"),
        ("collect = 8", "collect = -8", "collect = -8"),
        ("collect = 8", "portions = 8", "portions: is not something said of a wetting"),
        ('water = "deionised"', 'water = "Well 4"', "water = Well 4: is not in this file"),
        ('depth = "15 cm"', 'dept = "15 cm"', "[soil]: dept: is not something"),
        ('depth = "15 cm"', 'depth = "15 kg"', "[soil]: depth"),
        ("[[wetting]]", '[[water]]\nname = "W"\nsodium = "1 mmol/L"\n[[wetting]]', "[[water]] 1: charge"),
        ("[[wetting]]", '[[water]]\nname = "deionised"\nsodium = "1 mmol/L"\n[[wetting]]', "[[water]] 1"),
        ('title = "', 'titel = "', "titel: is not something said of a scenario"),
        ("[[wetting]]", '[[soil.change]]\ndepth = "2 cm"\n[[wetting]]', "depth: cannot be changed"),
    ],
)  # fmt: skip
def test_a_wrong_scenario_file_is_refused_by_table_and_key__pinned(old: str, new: str, words: str) -> None:
    with pytest.raises(FileError) as caught:
        scenario_from_toml(PAIR.replace(old, new, 1), name="pair.toml")
    assert str(caught.value).startswith("pair.toml")
    assert words in str(caught.value)


def test_two_waters_of_one_name_are_refused_both_ways__pinned() -> None:
    other = Water.of(name="Rain", sodium="1 mmol/L", chloride="1 mmol/L")
    scenario = Scenario.of(
        SOILS["Bed 7"], wettings=[("1 pore_volume", other), ("1 pore_volume", WATERS["Rain"])]
    )
    with pytest.raises(FileError, match="two waters have this name"):
        scenario_to_toml(scenario)
    block = '[[water]]\nname = "Rain"\nsodium = "1 mmol/L"\nchloride = "1 mmol/L"\n'
    with pytest.raises(FileError, match="a water Rain is there already"):
        scenario_from_toml(PAIR.replace("[[wetting]]", block + block + "[[wetting]]"))


def test_a_scenario_whose_texts_do_not_make_it_is_not_written__analytic() -> None:
    scenario = read_scenario(demo_path("pair.toml"))
    with pytest.raises(FileError, match="the texts it keeps do not make it"):
        scenario_to_toml(replace(scenario, gypsum=1.0))
    bare = replace(scenario.soil, typed=())
    with pytest.raises(FileError, match="the texts it keeps do not make it"):
        scenario_to_toml(replace(scenario, soil=bare))


@given(
    start=st.integers(0, len(PAIR)),
    length=st.integers(0, 30),
    put=st.one_of(
        st.text(max_size=8), st.sampled_from(['"', "[", "\n", "= 1", "1e300", "-", "inf", "{}", "0"])
    ),
)
@settings(max_examples=150)
def test_a_damaged_scenario_is_read_or_refused_and_nothing_else__analytic(
    start: int, length: int, put: str
) -> None:
    try:
        scenario = scenario_from_toml(PAIR[:start] + put + PAIR[start + length :], name="pair.toml")
    except FileError as error:
        assert str(error).startswith("pair.toml")  # noqa: PT017 either outcome is right
    else:
        assert scenario_from_toml(scenario_to_toml(scenario)) == scenario
