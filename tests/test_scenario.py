"""Scenarios: placement, wettings, layers and dispersivity, dissolution, and the defaults they show."""

from dataclasses import replace
from math import inf

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from soilx.chemistry.gypsum import gypsum_solubility
from soilx.chemistry.ions import GYPSUM_MOLAR_MASS
from soilx.column.dispersion import dispersivity_of, layers_and_fraction_for
from soilx.column.dissolution import DEFAULT_DISSOLUTION_RATE, rate_by_layer
from soilx.column.leaching import schedule_of
from soilx.column.scenario import Scenario
from soilx.column.soil import Soil
from soilx.column.water import DEIONISED, Water
from soilx.column.wetting import Wetting
from soilx.errors import LimitError, SoilxError, UnitKindError
from soilx.units import Ground, quantity

SOIL = Soil.of(
    name="loam",
    depth="15 cm",
    bulk_density="1.40 kg/L",
    cation_exchange_capacity="20 cmol_c/kg",
    drained_water="0.26 L/kg",
    initial_water="0.10 L/kg",
    exchangeable_sodium_percentage="18 %",
    electrical_conductivity="2.0 dS/m",
)
WELL = Water.of(name="well", sodium="8 mmol/L", calcium="1 mmol/L", chloride="10 mmol/L")


def scenario_of(**given: object) -> Scenario:
    """A scenario on the loam with four pore volumes unless told otherwise."""
    return Scenario.of(SOIL, **{"wettings": ["4 pore_volume"], **given})  # type: ignore[arg-type]


def test_an_area_rate_is_spread_over_the_columns_soil__analytic() -> None:
    # 7.05 t/ha over 15 cm at 1.40 kg/L is 705 g on 210 kg.
    scenario = scenario_of(gypsum="7.05 t/ha")
    assert scenario.gypsum == pytest.approx(705e3 / 210 / GYPSUM_MOLAR_MASS, rel=1e-12)
    assert scenario_of(gypsum=quantity(7.05, "t/ha")).gypsum == scenario.gypsum


def test_four_pore_volumes_are_four_times_the_drained_water__analytic() -> None:
    scenario = scenario_of()
    assert scenario.volume == pytest.approx(1.04)
    assert scenario.wettings[0].water == DEIONISED
    assert scenario.wettings[0].hours == pytest.approx(96.0)
    assert scenario.wettings[0].portions == pytest.approx((0.26,) * 4)


def test_water_may_be_a_depth_or_a_volume_on_a_mass_of_soil__analytic() -> None:
    by_depth = scenario_of(wettings=["21 mm"])  # 21 L on 210 kg
    by_volume = scenario_of(wettings=["10 mL"], soil_mass="100 g")
    assert by_depth.volume == pytest.approx(0.1)
    assert by_volume.volume == pytest.approx(0.1)
    assert by_volume.ground.soil_mass == pytest.approx(0.1)
    with pytest.raises(UnitKindError, match="mass"):
        scenario_of(wettings=["10 mL"])


def test_wettings_come_in_every_form_and_keep_their_order__pinned() -> None:
    scenario = scenario_of(
        wettings=[
            "1 pore_volume",
            quantity(2, "pore_volume"),
            ("30 mm", WELL),
            {"amount": "30 mm", "water": WELL, "hours": "6 h", "collect": 3, "evapotranspiration": "10 mm"},
        ]
    )
    assert [wetting.water.name for wetting in scenario.wettings] == ["deionised", "deionised", "well", "well"]
    last = scenario.wettings[-1]
    assert last.hours == 6.0
    assert last.portions == pytest.approx((30 / 210 / 3,) * 3)
    assert last.evapotranspiration == pytest.approx(10 / 210)
    again = scenario_of(wettings=scenario.wettings)
    assert again.wettings == scenario.wettings
    assert scenario_of(wettings="1 pore_volume").volume == pytest.approx(0.26)
    assert scenario_of(wettings=[]).wettings == ()


def test_leachate_is_caught_in_equal_portions_or_portions_of_a_size__analytic() -> None:
    assert scenario_of(collect=8).wettings[0].portions == pytest.approx((0.13,) * 8)
    sized = scenario_of(collect="1.5 pore_volume").wettings[0].portions
    assert sized == pytest.approx((0.39, 0.39, 0.26))
    exact = scenario_of(collect="0.5 pore_volume").wettings[0].portions
    assert len(exact) == 8
    recut = scenario_of(collect=8).with_(collect=2)
    assert len(recut.wettings[0].portions) == 2
    own = scenario_of(wettings=[{"amount": "1 pore_volume", "collect": 5}, "1 pore_volume"], collect=2)
    assert [len(wetting.portions) for wetting in own.wettings] == [5, 2]


@given(amount=st.floats(0.05, 50.0), count=st.integers(1, 40), size=st.floats(0.01, 1.0))
@settings(deadline=None, max_examples=50)
def test_portions_always_add_up_to_the_water_applied__conservation(
    amount: float, count: int, size: float
) -> None:
    for collect in (count, f"{size * amount!r} pore_volume"):
        wetting = scenario_of(wettings=[f"{amount!r} pore_volume"], collect=collect).wettings[0]
        assert sum(wetting.portions) == pytest.approx(wetting.volume, rel=1e-12)
        assert min(wetting.portions) > 0


@given(
    dose=st.floats(0.0, 20.0),
    layers=st.integers(1, 40),
    place=st.sampled_from(["mixed", "top 5 cm", "top 1 mm", "top 14.9 cm", "surface"]),
)
@settings(deadline=None, max_examples=50)
def test_placement_moves_gypsum_and_loses_none__conservation(dose: float, layers: int, place: str) -> None:
    scenario = scenario_of(gypsum=f"{dose!r} g/kg", placement=place, layers=layers)
    by_layer = scenario.gypsum_by_layer()
    assert by_layer.mean() == pytest.approx(scenario.gypsum, rel=1e-12)
    assert np.all(by_layer >= 0)
    assert np.all(np.diff(by_layer) <= 1e-9)


def test_a_layer_cut_by_the_treated_depth_gets_its_part__analytic() -> None:
    by_layer = scenario_of(gypsum="3 g/kg", placement="top 5 cm", layers=2).gypsum_by_layer()
    assert by_layer == pytest.approx([2 * 3000 / GYPSUM_MOLAR_MASS, 0.0])
    cut = scenario_of(gypsum="3 g/kg", placement="top 10 cm", layers=2).gypsum_by_layer()
    assert cut == pytest.approx([1.5 * 3000 / GYPSUM_MOLAR_MASS, 0.5 * 3000 / GYPSUM_MOLAR_MASS])
    assert scenario_of(placement="top 5 cm").top_fraction == pytest.approx(1 / 3)


def test_gypsum_in_the_water_is_dissolved_evenly_and_leaves_the_soil_alone__conservation() -> None:
    scenario = scenario_of(
        gypsum="1 g/kg", placement="water", wettings=["2 pore_volume", ("2 pore_volume", WELL)]
    )
    carried = 1000 / GYPSUM_MOLAR_MASS / 1.04
    assert scenario.inflows[0].ca - DEIONISED.solution.ca == pytest.approx(carried)
    assert scenario.inflows[1].so4 - WELL.solution.so4 == pytest.approx(carried)
    assert sum(scenario.gypsum_by_layer()) == 0.0
    assert scenario_of(gypsum="1 g/kg").inflows == (DEIONISED.solution,)


def test_more_gypsum_than_the_water_dissolves_is_refused_with_what_would_do__conservation() -> None:
    soluble = gypsum_solubility(DEIONISED.solution)
    with pytest.raises(LimitError, match=rf"{soluble:.4g} mmol/L, the solubility") as refusal:
        scenario_of(gypsum="3 g/kg", placement="water")
    assert f"at least {3000 / GYPSUM_MOLAR_MASS / soluble:.4g} L/kg" in str(refusal.value)
    most = soluble * 1.04 * GYPSUM_MOLAR_MASS / 1000
    assert scenario_of(gypsum=f"{0.999 * most} g/kg", placement="water").gypsum > 0
    with pytest.raises(LimitError, match="there is no water"):
        scenario_of(gypsum="1 g/kg", placement="water", wettings=[])


@given(alpha=st.floats(0.0, 70.0), depth=st.floats(50.0, 1500.0))
@settings(deadline=None, max_examples=50)
def test_layers_and_fraction_have_the_dispersivity_that_was_wanted__analytic(
    alpha: float, depth: float
) -> None:
    if 2 * alpha >= depth:
        with pytest.raises(LimitError, match="fewer layers, or less dispersivity"):
            layers_and_fraction_for(alpha, depth)
        return
    layers, fraction = layers_and_fraction_for(alpha, depth)
    assert 0 < fraction <= 1
    assert dispersivity_of(layers=layers, displaced_fraction=fraction, depth=depth) == pytest.approx(
        alpha, abs=1e-10
    )


def test_the_default_stack_has_an_eighth_of_a_layer_of_dispersivity_per_half__analytic() -> None:
    # Δx (1 − f)/2 with Δx 12.5 mm and f one half
    assert scenario_of().dispersivity == pytest.approx(3.125)
    for layers in (6, 12, 18, 23):
        scenario = scenario_of(dispersivity="3.125 mm", layers=layers)
        assert scenario.layers == layers
        assert scenario.dispersivity == pytest.approx(3.125)
    assert scenario_of(dispersivity="3.125 mm").displaced_fraction == pytest.approx(0.5)
    with pytest.raises(LimitError, match="25 layer"):
        scenario_of(dispersivity="3.125 mm", layers=25)
    with pytest.raises(LimitError, match="both given"):
        scenario_of(dispersivity="3 mm", displaced_fraction=0.4)


def test_the_default_rate_leaves_a_third_of_saturation_below_surface_laid_gypsum__analytic() -> None:
    scenario = scenario_of(gypsum="3 g/kg", placement="surface", dissolution="first_order")
    top = scenario.dissolution_rate_by_layer()[0] * 24 / scenario.layers
    assert top / (1 + top) == pytest.approx(1 / 3)
    assert scenario.dissolution_rate_by_layer()[1:] == pytest.approx(DEFAULT_DISSOLUTION_RATE)
    mixed = scenario_of(gypsum="3 g/kg", dissolution="first_order", dissolution_rate="0.1 1/h")
    assert mixed.dissolution_rate_by_layer() == pytest.approx(np.full(12, 0.1))
    assert np.all(scenario_of().dissolution_rate_by_layer() == inf)


def test_a_rate_follows_the_dose_into_part_of_the_column__analytic() -> None:
    # the upper 5 of 15 cm in 4 layers of 3.75 cm: one whole layer and a third of the next
    scenario = scenario_of(
        gypsum="3 g/kg", placement="top 5 cm", layers=4, dissolution="first_order", dissolution_rate="0.1 1/h"
    )
    assert scenario.dissolution_rate_by_layer() == pytest.approx([0.3, 0.1, 0.1, 0.1])
    assert scenario.gypsum_by_layer() == pytest.approx(scenario.gypsum * np.array([3.0, 1.0, 0.0, 0.0]))
    thin = rate_by_layer(0.1, np.array([3.2, 0.8, 0.0]))
    assert thin == pytest.approx([0.32, 0.08, 0.1])


def test_without_gypsum_all_else_stays__analytic() -> None:
    treated = scenario_of(gypsum="7.05 t/ha", title="pair", layers=8, bypass_fraction="10 %")
    untreated = treated.without_gypsum()
    assert untreated.gypsum == 0.0
    assert untreated.with_(gypsum="7.05 t/ha") == treated
    assert untreated.layers == 8
    assert untreated.bypass_fraction == 0.1
    assert treated.with_(layers=None).layers == 12


def test_a_changed_soil_takes_its_rates_and_pore_volumes_along__analytic() -> None:
    treated = scenario_of(gypsum="7.05 t/ha")
    wetter = Soil.of(**{**dict(SOIL.typed), "drained_water": "0.30 L/kg", "depth": "30 cm"})
    moved = treated.with_(soil=wetter)
    assert moved.volume == pytest.approx(1.2)
    assert moved.gypsum == pytest.approx(0.5 * treated.gypsum)


def test_every_default_in_use_is_listed_and_none_that_was_typed__pinned() -> None:
    plain = scenario_of().defaults
    for key in ("layers", "displaced_fraction", "bypass_fraction", "placement", "dissolution", "temperature"):
        assert key in plain
    assert plain["wetting hours"].startswith("96 h, 24 h a pore volume")
    assert plain["soil driest_water"].startswith("0.1 L/kg")
    typed = scenario_of(
        layers=9,
        displaced_fraction=0.4,
        bypass_fraction=0,
        placement="surface",
        dissolution="first_order",
        wettings=[{"amount": "1 pore_volume", "hours": "5 h", "collect": 1}],
    ).defaults
    assert set(typed) - {key for key in typed if key.startswith("soil ")} == {
        "dissolution_rate",
        "temperature",
    }
    assert "although surface-laid" in scenario_of(placement="surface").defaults["dissolution"]
    assert "displaced_fraction" not in scenario_of(dispersivity="2 mm").defaults
    two = scenario_of(wettings=["1 pore_volume", "1 pore_volume"]).defaults
    assert "wetting 2 hours" in two


def test_notes_of_soil_and_waters_are_shown_once__pinned() -> None:
    notes = scenario_of(wettings=[("1 pore_volume", WELL), ("1 pore_volume", WELL)]).notes
    assert sum("magnesium of well not given" in note for note in notes) == 1
    assert set(SOIL.notes) <= set(notes)


@pytest.mark.parametrize(
    ("other", "error", "words"),
    [
        ({"gypsum": "7.05"}, UnitKindError, "gypsum"),
        ({"gypsum": "-1 t/ha"}, LimitError, "gypsum = -"),
        ({"gypsum": "700 t/ha"}, LimitError, "is too high"),
        ({"gypsum": 7.05}, UnitKindError, "number without a unit"),
        ({"placement": "deep"}, LimitError, 'the places are "mixed", "top 5 cm"'),
        ({"placement": "top"}, LimitError, "is not a place"),
        ({"placement": "surface 5 cm"}, LimitError, "is not a place"),
        ({"placement": "top 20 cm"}, LimitError, "the column, 150 mm deep"),
        ({"layers": 0}, LimitError, "layers"),
        ({"layers": 201}, LimitError, "layers"),
        ({"gypsum": "103.4 g/kg"}, LimitError, "is too high"),
        ({"layers": 12.5}, LimitError, "not a whole number"),
        ({"layers": True}, UnitKindError, "layers"),
        ({"displaced_fraction": 0}, LimitError, "displaced_fraction"),
        ({"displaced_fraction": 1.01}, LimitError, "displaced_fraction"),
        ({"bypass_fraction": "99 %"}, LimitError, "bypass_fraction"),
        ({"dissolution": "fast"}, LimitError, '"equilibrium", "first_order"'),
        ({"dissolution_rate": "0.1 1/h"}, LimitError, "does not go with"),
        ({"title": 3}, UnitKindError, "title"),
        ({"wetings": []}, LimitError, "is not something said of a scenario"),
        ({"wettings": ["0 pore_volume"]}, LimitError, "water applied"),
        ({"wettings": ["900 pore_volume"]}, LimitError, "one wetting"),
        ({"wettings": [4]}, UnitKindError, "amount = 4"),
        ({"wettings": [("4 pore_volume", "well")]}, UnitKindError, "is not a Water"),
        ({"wettings": [{"water": WELL}]}, LimitError, "amount: is missing"),
        ({"wettings": [{"amount": "1 in", "of": WELL}]}, LimitError, "something said of a wetting"),
        ({"wettings": [{"amount": "1 in", "hours": "0 h"}]}, LimitError, "hours"),
        ({"wettings": [{"amount": "1 in", "evapotranspiration": "40 mm"}]}, LimitError, "evapotranspiration"),
        ({"collect": 0}, LimitError, "collect"),
        ({"collect": "5 pore_volume"}, LimitError, "collect"),
        ({"collect": 2.5}, UnitKindError, "collect = 2.5"),
    ],
)
def test_what_is_wrong_with_a_scenario_is_named__pinned(
    other: dict[str, object], error: type[SoilxError], words: str
) -> None:
    with pytest.raises(error, match=words):
        scenario_of(**other)


def test_a_scenario_or_wetting_made_by_hand_has_to_be_possible__pinned() -> None:
    scenario = scenario_of()
    with pytest.raises(LimitError, match="placement = beside"):
        replace(scenario, placement="beside")
    with pytest.raises(LimitError, match="do not add up"):
        replace(scenario.wettings[0], portions=(0.1,))
    bare = Wetting(water=DEIONISED, volume=0.1, hours=1.0, portions=(0.1,))
    with pytest.raises(LimitError, match="no text to be read again from"):
        scenario_of(wettings=[bare])
    assert Wetting.of("0.1 L/kg", ground=Ground()).portions == (0.1,)


def test_the_ends_of_what_a_column_may_be_are_allowed__common_practice() -> None:
    # 600 mmol/kg of pure gypsum is 103.303 g/kg
    assert scenario_of(gypsum="103.3 g/kg", layers=200).layers == 200
    whole = replace(scenario_of(), top_fraction=1.0)
    assert whole.top_fraction == 1.0
    with pytest.raises(LimitError, match="top_fraction"):
        replace(whole, top_fraction=1.01)
    long = Wetting(water=DEIONISED, volume=0.1, hours=1e5, portions=(0.1,))
    assert long.evapotranspiration == 0.0
    with pytest.raises(LimitError, match="hours"):
        replace(long, hours=100_001.0)


def test_hours_that_are_a_habit_say_so_and_what_is_counted_does_not__common_practice() -> None:
    found = scenario_of().defaults
    assert found["wetting hours"].endswith("(common practice, no published source)")
    assert "common practice" not in found["wetting collect"]


def test_the_steps_of_a_wetting_take_its_water_and_its_time__conservation() -> None:
    scenario = scenario_of(wettings=[{"amount": "2.3 pore_volume", "hours": "30 h"}, "1 pore_volume"])
    schedule = schedule_of(scenario, [(each, each.water.solution) for each in scenario.wettings])
    assert schedule.volume.sum() == pytest.approx(3.3 * 0.26, rel=1e-12)
    assert schedule.hours.sum() == pytest.approx(54.0, rel=1e-12)
    first = schedule.hours[:56]  # 2.3 pore volumes are 55.2 displacements of half of 12 layers
    assert first.sum() == pytest.approx(30.0, rel=1e-12)
    assert first[0] == pytest.approx(30 / 55.2, rel=1e-12)
