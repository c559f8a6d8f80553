"""A soil with one property moved, built again, and refused by name."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from soilx.chemistry.cation_exchange import DEFAULT_SELECTIVITY, Selectivity
from soilx.chemistry.layer_equilibrium import LayerState
from soilx.chemistry.soil_solution import Solution
from soilx.column.files import demo_path, read_soils
from soilx.column.inventory import calcium_left
from soilx.column.soil import Soil
from soilx.errors import LimitError, SoilxError, UnitKindError
from soilx.units import quantity

SOILS = read_soils(demo_path("soils.csv"))
REPORT = {key: text for key, text in SOILS["Block C"].typed if key != "origin"}
TOTALS = {key: text for key, text in SOILS["Bed 7"].typed if key not in ("origin", "saturation_percentage")}
SUMMARY = {
    "name": "slider soil",
    "depth": "15 cm",
    "bulk_density": "1.40 kg/L",
    "cation_exchange_capacity": "20 cmol_c/kg",
    "drained_water": "0.25 L/kg",
    "exchangeable_sodium_percentage": "18 %",
    "electrical_conductivity": "2.0 dS/m",
}


def soil_of(base: dict[str, str], **other: str | None) -> Soil:
    """A soil of a base with some keys changed, or left out where None."""
    return Soil.of(**{key: text for key, text in {**base, **other}.items() if text is not None})


def assert_neutral(soil: Soil) -> None:
    """The totals and the solution of a soil balance in charge."""
    cations = 2 * (soil.calcium + soil.magnesium) + soil.sodium + soil.potassium
    anions = soil.cation_exchange_capacity + 2 * soil.sulfate + soil.chloride + soil.bicarbonate
    assert cations == pytest.approx(anions, rel=1e-12)
    assert abs(soil.state.solution.charge_imbalance) < 1e-9


def assert_inventory_is_state(soil: Soil, state: LayerState | None = None) -> None:
    """What exchanger, solution and solid hold at equilibrium is what the soil holds in all."""
    state = soil.state if state is None else state
    on, dissolved, water = state.exchanger, state.solution, soil.drained_water
    capacity = soil.cation_exchange_capacity
    assert capacity * on.na + dissolved.na * water == pytest.approx(soil.sodium, rel=1e-9, abs=1e-9)
    assert capacity * on.k + dissolved.k * water == pytest.approx(soil.potassium, rel=1e-9, abs=1e-9)
    assert 0.5 * capacity * on.mg + dissolved.mg * water == pytest.approx(soil.magnesium, rel=1e-9, abs=1e-9)
    calcium = 0.5 * capacity * on.ca + dissolved.ca * water + state.gypsum
    assert calcium == pytest.approx(soil.calcium, rel=1e-9, abs=1e-9)
    assert dissolved.so4 * water + state.gypsum == pytest.approx(soil.sulfate, rel=1e-9, abs=1e-9)


def test_the_helpers_of_these_tests_can_fail__analytic() -> None:
    soil = soil_of(TOTALS)
    off = replace(soil, sodium=soil.sodium * (1 + 1e-10))
    with pytest.raises(AssertionError):
        assert_neutral(off)
    with pytest.raises(AssertionError):
        assert_inventory_is_state(soil, soil.with_exchangeable_sodium_percentage("5 %").state)


@given(capacity=st.floats(0.5, 150.0), base=st.sampled_from([REPORT, TOTALS, SUMMARY]))
@settings(deadline=None, max_examples=50)
def test_moving_cec_keeps_fractions_and_solution_and_scales_the_exchanger__analytic(
    capacity: float, base: dict[str, str]
) -> None:
    soil = soil_of(base)
    moved = soil.with_capacity(quantity(capacity, "cmol_c/kg"))
    assert moved.cation_exchange_capacity == pytest.approx(10 * capacity)
    for ion in ("ca", "mg", "na", "k"):
        assert getattr(moved.state.exchanger, ion) == pytest.approx(
            getattr(soil.state.exchanger, ion), abs=1e-9
        )
        assert getattr(moved.state.solution, ion) == pytest.approx(
            getattr(soil.state.solution, ion), rel=1e-7
        )
    change = moved.cation_exchange_capacity - soil.cation_exchange_capacity
    assert moved.sodium - soil.sodium == pytest.approx(change * soil.state.exchanger.na, rel=1e-9, abs=1e-9)
    assert moved.chloride == pytest.approx(soil.chloride, rel=1e-12)
    assert_neutral(moved)


@given(esp=st.floats(0.0, 90.0), base=st.sampled_from([REPORT, TOTALS, SUMMARY]))
@settings(deadline=None, max_examples=50)
def test_moving_esp_reaches_it_and_keeps_cec_potassium_and_anions__analytic(
    esp: float, base: dict[str, str]
) -> None:
    soil = soil_of(base)
    moved = soil.with_exchangeable_sodium_percentage(f"{esp} %")
    assert moved.exchangeable_sodium_percentage == pytest.approx(esp, abs=1e-7)
    assert moved.cation_exchange_capacity == soil.cation_exchange_capacity
    assert moved.state.exchanger.k == pytest.approx(soil.state.exchanger.k, abs=1e-9)
    ratio = soil.state.exchanger.mg / soil.state.exchanger.ca
    assert moved.state.exchanger.mg / moved.state.exchanger.ca == pytest.approx(ratio, rel=1e-7)
    assert moved.state.solution.anion_charge == pytest.approx(soil.state.solution.anion_charge, rel=1e-9)
    assert_neutral(moved)


@pytest.mark.parametrize("esp", [2.0, 10.0, 40.0])
def test_moving_esp_reaches_it_beside_solid_gypsum_too__conservation(esp: float) -> None:
    soil = soil_of(REPORT, native_gypsum="10 g/kg")
    moved = soil.with_exchangeable_sodium_percentage(f"{esp} %")
    assert moved.exchangeable_sodium_percentage == pytest.approx(esp, abs=1e-7)
    assert moved.state.gypsum > 0
    assert moved.sulfate == pytest.approx(soil.sulfate, rel=1e-12)
    assert_neutral(moved)


def test_an_esp_that_potassium_leaves_no_room_for_is_refused__analytic() -> None:
    soil = soil_of(SUMMARY, potassium_share="30 %", exchangeable_sodium_percentage="10 %")
    with pytest.raises(LimitError, match="what potassium leaves"):
        soil.with_exchangeable_sodium_percentage("75 %")


@pytest.mark.parametrize(
    ("name", "gypsum", "esp"), [("Lawn 2", "100 g/kg", "50 %"), ("Block F", "20 g/kg", "85 %")]
)
def test_an_esp_that_solid_gypsum_forbids_is_refused__conservation(name: str, gypsum: str, esp: str) -> None:
    soil = soil_of(dict(SOILS[name].typed), native_gypsum=gypsum)
    with pytest.raises(LimitError, match="not reached beside this soil's solid gypsum; gypsum gives calcium"):
        soil.with_exchangeable_sodium_percentage(esp)


def test_other_selectivities_redistribute_the_same_inventory__conservation() -> None:
    soil = soil_of(REPORT)
    moved = soil.with_selectivity(Selectivity(sodium=0.010, potassium=0.05, magnesium=0.7))
    assert moved.selectivity == Selectivity(sodium=0.010, potassium=0.05, magnesium=0.7)
    assert moved.sodium == soil.sodium
    assert moved.exchangeable_sodium_percentage < soil.exchangeable_sodium_percentage
    assert_inventory_is_state(moved)
    assert moved.with_selectivity("default").selectivity == DEFAULT_SELECTIVITY
    assert not any(key == "selectivity" for key, _ in moved.defaults)


def test_unusual_selectivities_are_noted_and_allowed__pinned() -> None:
    soil = soil_of(REPORT, sodium_selectivity="0.03 (mmol/L)^-0.5")
    assert soil.selectivity.sodium == 0.03
    assert any("outside the published range" in note for note in soil.notes)


def test_a_soil_is_built_again_from_its_texts__analytic() -> None:
    for base in (REPORT, TOTALS, SUMMARY):
        soil = (
            soil_of(base)
            .with_capacity(quantity(31.7, "cmol_c/kg"))
            .with_exchangeable_sodium_percentage("12.3 %")
            .with_selectivity(Selectivity(sodium=0.0123, potassium=0.1, magnesium=0.9))
        )
        assert Soil.of(changes=soil.changes, **dict(soil.typed)) == soil


def test_drained_water_defaults_to_half_the_saturation_percentage__common_practice() -> None:
    soil = soil_of(REPORT, drained_water=None, initial_water=None)
    assert soil.drained_water == pytest.approx(0.26)
    assert soil.initial_water == soil.drained_water
    assert dict(soil.defaults)["drained_water"].startswith("0.26 L/kg, half the saturation percentage")


@pytest.mark.parametrize(
    ("base", "other", "error", "words"),
    [
        (REPORT, {"exchangeable_sodium": "4.32"}, UnitKindError, "exchangeable_sodium"),
        (REPORT, {"depth": "15 kg"}, UnitKindError, "depth"),
        (REPORT, {"exchangable_sodium": "4.32 cmol_c/kg"}, LimitError, "did you mean .*exchangeable_sodium"),
        (REPORT, {"extract_chloride": None, "depth": None}, LimitError, "lacks depth, extract_chloride"),
        (REPORT, {"total_sodium": "940 mg/kg"}, LimitError, 'can be read as "report", "totals"'),
        (
            REPORT,
            {"origin": "report", "total_sodium": "940 mg/kg"},
            LimitError,
            "does not belong to a soil by report",
        ),
        (REPORT, {"origin": "reports"}, LimitError, 'did you mean "report"'),
        (REPORT, {"depth": "-15 cm"}, LimitError, "depth = -15 cm: is negative"),
        (REPORT, {"cation_exchange_capacity": "240 mol_c/kg"}, LimitError, "cmol_c/kg: is absurd"),
        (REPORT, {"initial_water": "0.30 L/kg"}, LimitError, "initial_water of soil Block C"),
        (REPORT, {"drained_water": "0.52 L/kg"}, LimitError, "the pores left at 1.4 kg/L"),
        (TOTALS, {"drained_water": None}, LimitError, "lacks drained_water"),
        (SUMMARY, {"ph": "acid"}, SoilxError, "ph"),
        ({"name": "x"}, {}, LimitError, "can be read as none"),
    ],
)
def test_what_is_wrong_with_a_soil_is_named__pinned(
    base: dict[str, str], other: dict[str, str | None], error: type[SoilxError], words: str
) -> None:
    with pytest.raises(error, match=words):
        soil_of(base, **other)


def test_numbers_without_a_unit_are_refused__pinned() -> None:
    with pytest.raises(UnitKindError, match="number without a unit"):
        soil_of(REPORT).with_capacity(30)  # type: ignore[arg-type]


def test_a_soil_made_by_hand_has_to_be_possible__conservation() -> None:
    soil = soil_of(TOTALS)
    with pytest.raises(LimitError, match="cations are not equal"):
        replace(soil, calcium=soil.calcium + 1)
    with pytest.raises(LimitError, match="sodium of soil Bed 7"):
        replace(soil, sodium=-1.0)
    with pytest.raises(LimitError, match="cannot be changed"):
        Soil.of(changes=(("depth", "20 cm"),), **TOTALS)


def test_a_soil_holds_no_more_water_than_its_pores__analytic() -> None:
    # 1/1.40 − 1/2.65 = 0.33693 L/kg is left by quartz
    assert soil_of(SUMMARY, drained_water="0.3369 L/kg").drained_water == 0.3369
    with pytest.raises(LimitError, match="drained_water of soil slider soil"):
        soil_of(SUMMARY, drained_water="0.3370 L/kg")
    full = soil_of(SUMMARY, initial_water="0.25 L/kg", driest_water="0.25 L/kg")
    assert full.initial_water == full.driest_water == full.drained_water
    for key in ("initial_water", "driest_water"):
        with pytest.raises(LimitError, match=f"{key} of soil slider soil"):
            soil_of(SUMMARY, **{key: "0.2501 L/kg"})


def test_charge_balance_may_leave_little_calcium_but_some__conservation() -> None:
    cations = {"sodium": 60.0, "potassium": 19.0}
    # (100 + 20 − 79)/2 = 20.5 mmol/kg of calcium and magnesium
    left = calcium_left(100.0, **cations, magnesium=20.3, anions=20.0)
    assert left == pytest.approx(0.2)
    assert 2 * (left + 20.3) + 79.0 == pytest.approx(120.0)
    with pytest.raises(LimitError, match="charge balance leaves none"):
        calcium_left(100.0, **cations, magnesium=20.5, anions=20.0)


def test_what_was_seen_of_the_site_is_kept__pinned() -> None:
    soil = soil_of(REPORT, ph="8.6", jar_test="cloudy", drain_test="6 h")
    seen = {"clay": "34 %", "ph": "8.6", "lime": "1.2 %", "drain_test": "6 h", "jar_test": "cloudy"}
    assert soil.observations == seen
    assert soil.ground.depth == 150.0
    assert soil.sodium_adsorption_ratio == pytest.approx(soil_of(REPORT).sodium_adsorption_ratio)
    assert isinstance(soil.state.solution, Solution)


def test_a_soil_with_solid_gypsum_keeps_it_where_its_cec_is_moved__conservation() -> None:
    soil = soil_of(REPORT, native_gypsum="5 g/kg")
    moved = soil.with_capacity("30 cmol_c/kg")
    assert moved.state.gypsum == pytest.approx(soil.state.gypsum, rel=1e-9)
    assert moved.sulfate == pytest.approx(soil.sulfate, rel=1e-9)
    assert_inventory_is_state(moved)
