"""Waters: an analysis in, a neutral solution out."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from soilx.chemistry.soil_solution import Solution
from soilx.column.water import DEIONISED, Water
from soilx.errors import LimitError, SoilxError, UnitKindError
from soilx.units import quantity

WELL = {
    "name": "Well 3",
    "sodium": "8.4 mmol_c/L",
    "calcium": "1.2 mmol_c/L",
    "magnesium": "0.9 mmol_c/L",
    "potassium": "0.1 mmol_c/L",
    "bicarbonate": "5.6 mmol_c/L",
    "carbonate": "0.2 mmol_c/L",
    "chloride": "3.6 mmol_c/L",
    "sulfate": "1.2 mmol_c/L",
}


def test_the_demo_well_has_its_sar_and_residual_carbonate__analytic() -> None:
    water = Water.of(**WELL)
    assert water.sodium_adsorption_ratio == pytest.approx(8.2, abs=0.05)
    assert water.residual_sodium_carbonate == pytest.approx(3.7, abs=0.05)
    assert water.solution.hco3 == pytest.approx(5.8)  # carbonate counted with bicarbonate, by charge
    assert water.electrical_conductivity == pytest.approx(1.1, abs=0.05)
    assert any("calcite is left out" in note for note in water.notes)


def test_an_analysis_in_mg_per_litre_is_the_same_water__analytic() -> None:
    in_charge = Water.of(name="w", sodium="2 mmol_c/L", chloride="2 mmol_c/L")
    in_mass = Water.of(name="w", sodium="45.97954 mg/L", chloride=quantity(70.906, "mg/L"))
    assert in_mass.solution.na == pytest.approx(in_charge.solution.na, rel=1e-12)
    assert in_mass.solution.cl == pytest.approx(in_charge.solution.cl, rel=1e-12)


def test_deionised_water_is_neutral_and_all_but_empty__analytic() -> None:
    assert DEIONISED.solution.charge_imbalance == pytest.approx(0.0, abs=1e-12)
    assert min(DEIONISED.solution.as_array()) == 1e-4
    assert DEIONISED.electrical_conductivity < 1e-3
    assert DEIONISED.notes == ()


def test_deionised_is_a_name_that_stands_for_one_water__pinned() -> None:
    assert (
        Water.of(
            name="deionised",
            sodium="0.0001 mmol/L",
            calcium="0.0001 mmol/L",
            magnesium="0.0001 mmol/L",
            potassium="0.0001 mmol/L",
            sulfate="0.0001 mmol/L",
            chloride="0.0001 mmol/L",
            bicarbonate="0.0003 mmol/L",
        )
        == DEIONISED
    )
    with pytest.raises(LimitError, match="give this water another name"):
        Water.of(name="deionised", sodium="1 mmol/L", chloride="1 mmol/L")


@given(difference=st.floats(-0.18, 0.18), sodium=st.floats(0.5, 40.0))
@settings(deadline=None, max_examples=50)
def test_chloride_takes_up_a_tolerable_difference_and_cations_stand__conservation(
    difference: float, sodium: float
) -> None:
    water = Water.of(
        name="w",
        sodium=f"{sodium!r} mmol/L",
        calcium="1 mmol/L",
        chloride=f"{(sodium + 2) * (1 + difference)!r} mmol/L",
    )
    assert water.solution.na == sodium
    assert water.solution.charge_imbalance == pytest.approx(0.0, abs=1e-12)
    assert bool(water.yields) == (abs(difference) > 1e-6)


def test_a_charge_difference_beyond_a_tenth_is_refused__common_practice() -> None:
    with pytest.raises(LimitError, match=r"charge imbalance of water Well 3 = 1\d\.\d+ %: cations are 10\.6"):
        Water.of(**{**WELL, "chloride": "6.5 mmol_c/L"})


def test_a_difference_that_chloride_cannot_take_up_is_refused__analytic() -> None:
    with pytest.raises(LimitError, match=r"chloride of water soda = -0\.1 "):
        Water.of(name="soda", sodium="2 mmol/L", bicarbonate="2.1 mmol/L")


def test_ions_that_are_not_given_are_nil_and_said_to_be__pinned() -> None:
    water = Water.of(name="w", sodium="1 mmol/L", chloride="1 mmol/L")
    assert water.solution.mg == 0.0
    assert ("magnesium", "0 mmol_c/L") in water.defaults
    assert "magnesium of w not given: 0 mmol_c/L" in water.notes


@pytest.mark.parametrize(
    ("other", "error", "words"),
    [
        ({"sodium": "8.4"}, UnitKindError, "sodium"),
        ({"sodium": "-8.4 mmol_c/L"}, LimitError, "sodium = -8.4 mmol_c/L: is negative"),
        ({"sodium": "8400 mmol_c/L"}, LimitError, "is absurd"),
        ({"natrium": "8.4 mmol_c/L"}, LimitError, "natrium: is not something said of a water"),
        ({"name": ""}, LimitError, "name: is missing"),
    ],
)
def test_what_is_wrong_with_a_water_is_named__pinned(
    other: dict[str, str], error: type[SoilxError], words: str
) -> None:
    with pytest.raises(error, match=words):
        Water.of(**{**WELL, **other})


def test_a_water_made_by_hand_is_neutral_and_not_empty__conservation() -> None:
    with pytest.raises(LimitError, match="has to be neutral"):
        Water(name="w", solution=Solution(ca=0.0, mg=0.0, na=1.0, k=0.0, so4=0.0, cl=1.1, hco3=0.0))
    with pytest.raises(LimitError, match="less than deionised water holds"):
        Water(name="w", solution=Solution(ca=0.0, mg=0.0, na=0.0, k=0.0, so4=0.0, cl=0.0, hco3=0.0))


def test_a_water_is_built_again_from_its_texts__analytic() -> None:
    water = Water.of(**WELL)
    assert Water.of(**dict(water.typed)) == water
