"""A soil by its CEC, ESP and EC alone."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from soilx.chemistry.conductivity import electrical_conductivity
from soilx.column.soil import Soil, state_of
from soilx.errors import LimitError, ModelRangeError

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


@given(
    capacity=st.floats(1.0, 60.0),
    esp=st.floats(0.0, 60.0),
    conductivity=st.floats(0.1, 12.0),
    sulfate=st.one_of(st.just(0.0), st.floats(1e-6, 20.0)),
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
    told = soil_of(SUMMARY, conductivity_basis="drained soil solution", driest_water="0.08 L/kg")
    assert {key for key, _ in told.defaults} == keys - {"conductivity_basis", "driest_water"}
    assert told.driest_water == 0.08
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


def test_an_extract_without_its_water_is_taken_at_twice_the_drained_one__common_practice() -> None:
    soil = soil_of(SUMMARY, conductivity_basis="saturation extract", drained_water="0.16 L/kg")
    extract = state_of(soil, 0.32).solution
    assert float(electrical_conductivity(extract.as_array())) == pytest.approx(2.0, rel=1e-9)
    assert dict(soil.defaults)["saturation_percentage"].startswith("32 %, twice the drained water")


def test_an_esp_that_moves_with_the_water_is_told_and_one_that_stays_is_not__analytic() -> None:
    assert not [note for note in soil_of(SUMMARY).yields if "stated" in note]
    moved = soil_of(SUMMARY, conductivity_basis="saturation extract")
    assert any(note.startswith("ESP 18.00 stated, ") for note in moved.yields)


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
