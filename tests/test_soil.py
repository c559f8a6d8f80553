"""A soil by report, totals or summary, and a soil with one property moved."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from soilx.chemistry.cation_exchange import DEFAULT_SELECTIVITY, Selectivity
from soilx.chemistry.soil_solution import Solution
from soilx.column.soil import Soil
from soilx.errors import LimitError, ModelRangeError, SoilxError, UnitKindError
from soilx.units import quantity

REPORT = {
    "name": "Block C",
    "depth": "15 cm",
    "bulk_density": "1.40 kg/L",
    "cation_exchange_capacity": "24.0 cmol_c/kg",
    "saturation_percentage": "52 %",
    "initial_water": "0.10 L/kg",
    "drained_water": "0.26 L/kg",
    "exchangeable_calcium": "11.98 cmol_c/kg",
    "exchangeable_magnesium": "6.80 cmol_c/kg",
    "exchangeable_potassium": "0.90 cmol_c/kg",
    "exchangeable_sodium": "4.32 cmol_c/kg",
    "extract_sodium": "16.4 mmol_c/L",
    "extract_calcium": "1.3 mmol_c/L",
    "extract_magnesium": "0.9 mmol_c/L",
    "extract_potassium": "0.4 mmol_c/L",
    "extract_bicarbonate": "6.1 mmol_c/L",
    "extract_chloride": "7.6 mmol_c/L",
    "extract_sulfate": "5.3 mmol_c/L",
}
TOTALS = {
    "name": "Bed 7",
    "depth": "15 cm",
    "bulk_density": "1.38 kg/L",
    "cation_exchange_capacity": "14.0 cmol_c/kg",
    "drained_water": "0.22 L/kg",
    "total_sodium": "940 mg/kg",
    "total_potassium": "180 mg/kg",
    "magnesium_share": "30 %",
    "total_sulfate": "1.0 mmol/kg",
    "other_anions": "14 mmol_c/kg",
}
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


def assert_inventory_is_state(soil: Soil) -> None:
    """What exchanger, solution and solid hold at equilibrium is what the soil holds in all."""
    on, dissolved, water = soil.state.exchanger, soil.state.solution, soil.drained_water
    capacity = soil.cation_exchange_capacity
    assert capacity * on.na + dissolved.na * water == pytest.approx(soil.sodium, rel=1e-9, abs=1e-9)
    assert capacity * on.k + dissolved.k * water == pytest.approx(soil.potassium, rel=1e-9, abs=1e-9)
    assert 0.5 * capacity * on.mg + dissolved.mg * water == pytest.approx(soil.magnesium, rel=1e-9, abs=1e-9)
    calcium = 0.5 * capacity * on.ca + dissolved.ca * water + soil.state.gypsum
    assert calcium == pytest.approx(soil.calcium, rel=1e-9, abs=1e-9)
    assert dissolved.so4 * water + soil.state.gypsum == pytest.approx(soil.sulfate, rel=1e-9, abs=1e-9)


def test_a_report_holds_its_exchanger_and_its_extract_at_the_saturation_percentage__analytic() -> None:
    soil = soil_of(REPORT)
    assert soil.sodium == pytest.approx(43.2 + 16.4 * 0.52, rel=1e-12)
    assert soil.potassium == pytest.approx(9.0 + 0.4 * 0.52, rel=1e-12)
    assert soil.magnesium == pytest.approx(34.0 + 0.45 * 0.52, rel=1e-12)
    assert soil.calcium == pytest.approx(59.9 + 0.65 * 0.52, rel=1e-12)
    assert soil.sulfate == pytest.approx(2.65 * 0.52, rel=1e-12)
    assert_neutral(soil)
    assert_inventory_is_state(soil)


def test_the_demo_report_implies_its_own_selectivities__analytic() -> None:
    implied = soil_of(REPORT).implied_selectivity
    assert implied is not None
    assert implied.sodium == pytest.approx(0.0147, abs=0.00005)
    assert implied.magnesium == pytest.approx(0.82, abs=0.005)
    assert implied.potassium == pytest.approx(0.126, abs=0.0005)
    notes = " ".join(soil_of(REPORT).notes)
    assert "imply K_Na 0.01471" in notes
    assert "potassium outside the published" in notes


def test_with_its_implied_selectivities_a_report_is_its_own_equilibrium__analytic() -> None:
    # Drained water is set to the paste's, so that nothing is diluted or concentrated.
    soil = soil_of(REPORT, drained_water="52 %", bulk_density="1.0 kg/L", selectivity="implied")
    assert soil.exchangeable_sodium_percentage == pytest.approx(18.0, abs=1e-8)
    assert soil.state.solution.na == pytest.approx(16.4, rel=1e-9)
    assert soil.state.solution.ca == pytest.approx(0.65, rel=1e-9)
    assert soil.state.exchanger.mg == pytest.approx(6.8 / 24, rel=1e-9)
    assert not any("stated" in note for note in soil.notes)


def test_drying_a_report_from_paste_to_drained_water_raises_its_esp_and_says_so__pinned() -> None:
    # Computed with this project's own solver; nobody else confirmed it.
    soil = soil_of(REPORT)
    assert soil.exchangeable_sodium_percentage == pytest.approx(18.30, abs=0.005)
    assert any(note.startswith("ESP 18.00 stated, 18.30 at 0.26 L/kg") for note in soil.notes)


def test_extractable_cations_less_what_is_dissolved_are_the_exchangeable_ones__analytic() -> None:
    extractable = {
        f"exchangeable_{ion}": f"{held + dissolved * 0.052!r} cmol_c/kg"
        for ion, held, dissolved in (
            ("calcium", 11.98, 1.3),
            ("magnesium", 6.80, 0.9),
            ("potassium", 0.90, 0.4),
            ("sodium", 4.32, 16.4),
        )
    }
    soil = soil_of({**REPORT, **extractable}, exchangeable_basis="extractable")
    plain = soil_of(REPORT)
    for ion in ("calcium", "magnesium", "sodium", "potassium"):
        assert getattr(soil, ion) == pytest.approx(getattr(plain, ion), rel=1e-12)
    assert any("exchangeable sodium: 51.73 − 8.528 dissolved = 43.2 mmol/kg" in note for note in soil.notes)
    with pytest.raises(LimitError, match=r"extractable sodium = 1 mmol/kg: is less than the 8\.528"):
        soil_of(REPORT, exchangeable_sodium="0.1 cmol_c/kg", exchangeable_basis="extractable")


def test_calcium_yields_to_a_tolerable_charge_difference_and_says_so__conservation() -> None:
    soil = soil_of(REPORT, extract_chloride="9.5 mmol_c/L")
    plain = soil_of(REPORT)
    assert soil.sodium == plain.sodium
    assert soil.chloride == pytest.approx(9.5 * 0.52)
    assert soil.calcium - plain.calcium == pytest.approx(0.5 * 1.9 * 0.52, rel=1e-9)
    assert any(
        note.startswith("calcium yields: 60.238 mmol/kg reported, 60.732 taken") for note in soil.notes
    )
    assert_neutral(soil)


def test_a_charge_difference_is_good_to_5_tolerable_to_10_and_refused_beyond__common_practice() -> None:
    good = soil_of(REPORT, extract_chloride="9.4 mmol_c/L")  # 1.8 of 39.8: 4.5 %
    tolerable = soil_of(REPORT, extract_chloride="11.3 mmol_c/L")  # 3.7 of 41.7: 8.9 %
    assert not any("of their sum" in note for note in good.notes)
    assert any("-8.9 % of their sum: tolerable" in note for note in tolerable.notes)
    with pytest.raises(
        LimitError, match=r"charge imbalance of the saturation extract = 10\.5882 %: cations are 19"
    ):
        soil_of(REPORT, extract_chloride="12.1 mmol_c/L")


@pytest.mark.parametrize(("sodium", "ratio"), [("1.5 cmol_c/kg", "0.88"), ("8.4 cmol_c/kg", "1.17")])
def test_cations_far_from_the_cec_are_refused__common_practice(sodium: str, ratio: str) -> None:
    with pytest.raises(LimitError, match=f"are {ratio} of a CEC of 24 cmol_c/kg"):
        soil_of(REPORT, exchangeable_sodium=sodium)


def test_cations_well_above_the_cec_are_remarked_on__common_practice() -> None:
    soil = soil_of(REPORT, exchangeable_calcium="14.9 cmol_c/kg")
    assert any("are 1.12 of the CEC" in note for note in soil.notes)
    assert soil.cation_exchange_capacity == 240.0


def test_reports_that_hint_at_lime_bring_its_omission_on_screen__common_practice() -> None:
    notes = " ".join(soil_of(REPORT, lime="1.2 %", extract_carbonate="0.1 mmol_c/L").notes)
    assert "residual sodium carbonate of the extract = 4 mmol_c/L" in notes
    assert "calcium carbonate = 1.2 %" in notes
    assert "calcite is left out" in notes


def test_an_extract_whose_ec_does_not_fit_is_remarked_on__common_practice() -> None:
    assert not any(
        "over conductivity" in note for note in soil_of(REPORT, extract_conductivity="1.9 dS/m").notes
    )
    assert any(
        "= 19 mmol_c/L per dS/m" in note for note in soil_of(REPORT, extract_conductivity="1.0 dS/m").notes
    )


def test_native_gypsum_adds_calcium_and_sulfate_and_stays_solid__conservation() -> None:
    soil, plain = soil_of(REPORT, native_gypsum="5 g/kg"), soil_of(REPORT)
    added = 5000 / 172.171
    assert soil.sulfate - plain.sulfate == pytest.approx(added)
    assert soil.calcium - plain.calcium == pytest.approx(added)
    assert 0 < soil.state.gypsum < added
    assert_neutral(soil)
    assert_inventory_is_state(soil)


def test_an_ion_absent_from_exchanger_or_extract_leaves_no_selectivity_to_imply__analytic() -> None:
    soil = soil_of(REPORT, extract_potassium="0 mmol_c/L", extract_chloride="7.2 mmol_c/L")
    assert soil.implied_selectivity is None
    with pytest.raises(LimitError, match="this soil implies none"):
        soil.with_selectivity("implied")


def test_bed_7_reaches_esp_20_7_at_its_drained_water__pinned() -> None:
    # Computed once with a bracketed reference outside this code; nobody else confirmed it.
    soil = soil_of(TOTALS)
    assert soil.exchangeable_sodium_percentage == pytest.approx(20.7, abs=0.05)
    assert soil.magnesium / (soil.magnesium + soil.calcium) == pytest.approx(0.30, rel=1e-12)
    assert soil.sodium * 22.98977 == pytest.approx(940, rel=1e-12)
    assert_neutral(soil)
    assert_inventory_is_state(soil)


def test_reported_calcium_yields_where_totals_say_too_much__conservation() -> None:
    soil = soil_of(TOTALS, total_calcium="2000 mg/kg")
    assert soil.calcium == soil_of(TOTALS).calcium
    assert any(note.startswith("calcium yields: 49.9") for note in soil.notes)


def test_totals_take_magnesium_once__analytic() -> None:
    by_share = soil_of(TOTALS)
    by_amount = soil_of(TOTALS, magnesium_share=None, total_magnesium=f"{by_share.magnesium!r} mmol/kg")
    assert by_amount.calcium == pytest.approx(by_share.calcium, rel=1e-12)
    for magnesium in ({"magnesium_share": None}, {"total_magnesium": "300 mg/kg"}):
        with pytest.raises(LimitError, match="given twice or not at all"):
            soil_of(TOTALS, **magnesium)


def test_totals_may_say_which_anions_are_bicarbonate__analytic() -> None:
    soil = soil_of(TOTALS, bicarbonate_share="25 %")
    assert soil.bicarbonate == pytest.approx(3.5)
    assert soil.chloride == pytest.approx(10.5)
    assert not any("bicarbonate" in key for key, _ in soil.defaults)


def test_more_sodium_than_exchanger_and_anions_hold_is_refused__analytic() -> None:
    with pytest.raises(LimitError, match=r"calcium = -\d.*charge balance leaves none"):
        soil_of(TOTALS, total_sodium="3600 mg/kg")


@given(
    capacity=st.floats(1.0, 60.0),
    esp=st.floats(0.0, 60.0),
    conductivity=st.floats(0.1, 12.0),
    sulfate=st.floats(0.0, 20.0),
)
@settings(deadline=None, max_examples=50)
def test_a_summary_has_the_esp_and_the_ec_it_was_given__analytic(
    capacity: float, esp: float, conductivity: float, sulfate: float
) -> None:
    soil = soil_of(
        SUMMARY,
        cation_exchange_capacity=f"{capacity} cmol_c/kg",
        exchangeable_sodium_percentage=f"{esp} %",
        electrical_conductivity=f"{conductivity} dS/m",
        sulfate_share=f"{sulfate} %",
    )
    assert soil.exchangeable_sodium_percentage == pytest.approx(esp, abs=1e-8)
    assert soil.electrical_conductivity == pytest.approx(conductivity, rel=1e-9)
    assert soil.state.exchanger.k == pytest.approx(0.02, abs=1e-10)
    assert soil.state.solution.ca == pytest.approx(2 * soil.state.solution.mg, rel=1e-9)
    assert 2 * soil.state.solution.so4 == pytest.approx(
        sulfate / 100 * soil.state.solution.anion_charge, abs=1e-9
    )
    assert_neutral(soil)


def test_a_summary_shows_every_default_it_took__pinned() -> None:
    keys = {key for key, _ in soil_of(SUMMARY).defaults}
    assert keys == {
        "initial_water",
        "driest_water",
        "conductivity_basis",
        "selectivity",
        "potassium_share",
        "calcium_to_magnesium",
        "sulfate_share",
        "bicarbonate_share",
    }
    assert any("potassium share not given: 2 % of the CEC" in note for note in soil_of(SUMMARY).notes)


def test_the_conductivity_of_a_summary_may_be_that_of_a_saturation_extract__analytic() -> None:
    soil = soil_of(SUMMARY, conductivity_basis="saturation extract", saturation_percentage="50 %")
    assert soil.electrical_conductivity > 3.0  # half the water, nearly twice the salt
    assert any(
        "saturation" in key for key, _ in soil_of(SUMMARY, conductivity_basis="saturation extract").defaults
    )
    paste = soil_of(
        SUMMARY,
        conductivity_basis="saturation extract",
        saturation_percentage="50 %",
        drained_water="50 %",
        bulk_density="1.0 kg/L",
    )
    assert paste.electrical_conductivity == pytest.approx(2.0, rel=1e-9)


@pytest.mark.parametrize(
    ("other", "words"),
    [
        ({"exchangeable_sodium_percentage": "90 %", "potassium_share": "20 %"}, "leaves nothing for calcium"),
        ({"sulfate_share": "80 %", "bicarbonate_share": "30 %"}, "leaves nothing for chloride"),
        (
            {
                "sulfate_share": "90 %",
                "exchangeable_sodium_percentage": "2 %",
                "electrical_conductivity": "6 dS/m",
            },
            "gypsum",
        ),
    ],
)
def test_a_summary_that_cannot_be_is_refused__analytic(other: dict[str, str], words: str) -> None:
    with pytest.raises(LimitError, match=words):
        soil_of(SUMMARY, **other)


def test_a_solution_beyond_the_activity_model_is_refused__davies1962() -> None:
    # Magnesium sulfate: strongest in charge for its conductivity, and it does not bring down gypsum.
    with pytest.raises(ModelRangeError, match="Davies"):
        soil_of(
            SUMMARY,
            electrical_conductivity="25 dS/m",
            exchangeable_sodium_percentage="10 %",
            sulfate_share="99 %",
            calcium_to_magnesium="0.01",
        )


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


def test_what_was_seen_of_the_site_is_kept__pinned() -> None:
    soil = soil_of(REPORT, ph="8.6", jar_test="cloudy", drain_test="6 h")
    assert soil.observations == {"ph": "8.6", "drain_test": "6 h", "jar_test": "cloudy"}
    assert soil.ground.depth == 150.0
    assert soil.sodium_adsorption_ratio == pytest.approx(soil_of(REPORT).sodium_adsorption_ratio)
    assert isinstance(soil.state.solution, Solution)
