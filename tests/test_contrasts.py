"""The contrasts differ in one thing each, and their rules are what the columns do."""

import pytest

from soilx.show import contrast_view, lecture
from soilx.show.contrasts import CONTRASTS, contrast_runs


@pytest.fixture(scope="module")
def runs():
    return [list(contrast_runs(at).values()) for at in range(len(CONTRASTS))]


def differing(one, other):
    """What two scenarios do not share."""
    parts = {
        "capacity": lambda scenario: scenario.soil.cation_exchange_capacity,
        "gypsum": lambda scenario: scenario.gypsum,
        "placement": lambda scenario: scenario.placement,
        "water": lambda scenario: scenario.wettings[0].water.solution,
        "volume": lambda scenario: scenario.volume,
    }
    return {name for name, part in parts.items() if part(one) != part(other)}


def test_columns_of_a_contrast_differ_in_one_thing__analytic(runs):
    expected = ["capacity", "water", "placement", "water", "water", "gypsum"]
    for (first, *others), wanted in zip(runs, expected, strict=True):
        assert others
        for other in others:
            assert differing(first.scenario, other.scenario) == {wanted}
            assert other.initial_esp_pct == pytest.approx(first.initial_esp_pct, rel=1e-9)


def test_waters_that_are_called_alike_are_alike__analytic(runs):
    ratios = [run.scenario.wettings[0].water.sodium_adsorption_ratio for run in runs[1]]
    assert ratios == [pytest.approx(3.0, abs=0.001)] * 3
    gypsum, salt = (run.scenario.wettings[0].water for run in runs[4])
    # Both are said to conduct the same; EC is read to a hundredth.
    assert salt.electrical_conductivity == pytest.approx(gypsum.electrical_conductivity, abs=0.005)
    assert gypsum.solution.na < 1e-3


def test_every_rule_is_what_its_columns_do__pinned(runs):
    # Computed by this model for Block C; nobody else has confirmed it.
    capacities, strengths, placements, waters, salts, doses = runs
    ends = [run.final_esp_pct for run in capacities]
    assert ends == sorted(ends)
    assert ends[2] > ends[0] + 5
    ends = [run.final_esp_pct for run in strengths]
    assert ends == sorted(ends, reverse=True)
    assert ends[0] - ends[2] > 3
    assert [str(run.leachate.clarity[-1]) for run in strengths][::2] == ["cloudy", "clear"]
    mixed, top = (run.final_esp_by_layer_pct for run in placements)
    assert top[0] < 1 < mixed[0] < mixed[-1] < top[-1]
    pure, well = waters
    assert pure.final_esp_pct < well.final_esp_pct
    assert [str(run.leachate.clarity[-1]) for run in waters] == ["cloudy", "clear"]
    gypsum, salt = salts
    assert gypsum.final_esp_pct < gypsum.initial_esp_pct - 3 < salt.initial_esp_pct < salt.final_esp_pct
    assert {str(run.leachate.clarity[-1]) for run in salts} == {"clear"}
    once, five = doses
    assert five.scenario.gypsum == pytest.approx(5 * once.scenario.gypsum)
    assert five.sodium_leached_mg_per_kg < 1.05 * once.sodium_leached_mg_per_kg
    assert five.gypsum_left_g_per_kg > 5 * once.gypsum_left_g_per_kg


def test_one_press_puts_columns_question_and_numbers_on_the_page__analytic(runs):
    page = lecture.Contrasts()
    assert not page.chart.content
    for at, one in enumerate(CONTRASTS):
        page.picked = at
        assert (page.question, page.rule) == (one.question, one.rule)
        content = page.chart.content
        drawn = [record["esp_pct"] for record in content["records"]["layers"]]
        expected = [value for run in runs[at] for value in run.final_esp_by_layer_pct]
        # Records keep three decimals.
        assert drawn == pytest.approx(expected, abs=5.1e-4)
        for run in runs[at]:
            assert f"{run.final_esp_pct:.1f}" in content["caption"]
        assert content["table"]["rows"] == contrast_view.numbers(contrast_runs(at)).rows
        assert one.rule.count(".") == 1


def test_a_contrast_that_is_not_there_is_refused__common_practice():
    page = lecture.Contrasts()
    with pytest.raises(ValueError, match="counted from 0"):
        page.picked = len(CONTRASTS)
