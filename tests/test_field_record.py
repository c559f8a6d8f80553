"""The button that saves a decision: what it holds when something was changed, and when it rests."""

import functools

import pytest

from soilx import demo_path, read_waters
from soilx.practice.decision_file import decision_from_toml
from soilx.practice.dose.product import PURE
from soilx.practice.soil_test.report import read_reports
from soilx.show.field_answer import answer_to, verdict_on
from soilx.show.field_choices import Aim, demo_products, product_texts
from soilx.show.field_record import WAITS, decision_download, put_decision

REPORT = read_reports(demo_path("soils.csv"))["Block C"]
WELL = read_waters(demo_path("waters.csv"))["Well 3"]
PICKED = {"way": "worked in", "cover": "field crop", "climate": "Dry summers", "years": "5"}


@functools.cache
def answer():
    aim = Aim(target_esp_pct=5.0, factor=1.25)
    decision = verdict_on(REPORT, water=WELL, aim=aim, convention="US")
    return answer_to(REPORT, water=WELL, aim=aim, decision=decision)


def saved(*, aim=None, product=None, boxes=None, prices=None, plan=None, t_per_ha=7.05):
    """The button with a decision behind it."""
    pit = demo_products()["Pit gypsum"]
    download = decision_download()
    put_decision(
        download,
        REPORT,
        answer(),
        convention="US",
        aim=aim or {"factor": "1.25"},
        product=product or pit,
        product_boxes=product_texts(pit) if boxes is None else boxes,
        prices=prices or {},
        plan=plan or {},
        picked=PICKED,
        t_per_ha=t_per_ha,
    )
    return download


def test_a_rate_that_was_chosen_is_kept_and_the_formulas_own_is_not__common_practice():
    assert "gypsum" not in dict(decision_from_toml(saved().text).plan)
    assert dict(decision_from_toml(saved(t_per_ha=9.5).text).plan)["gypsum"] == "9.5 t/ha"


def test_it_rests_while_a_box_cannot_be_read__common_practice():
    download = saved(aim={"factor": "12"})
    assert (download.name, download.text) == ("", "")
    assert download.waits == WAITS
    assert saved(plan={"first": "soon"}).text == ""


def test_the_product_is_the_one_that_was_picked_with_its_price__analytic():
    bagged = demo_products()["Bagged fine gypsum"]
    own = decision_from_toml(
        saved(product=bagged, boxes={}, prices={bagged.name: "300", "money": "euro"}).text
    ).amendment()
    assert own.name == bagged.name
    assert own.bag == pytest.approx(bagged.bag)
    assert (own.price_per_t, own.currency) == (300.0, "euro")
    assert own.purity == pytest.approx(bagged.purity, abs=5e-5)  # a box shows four figures of its per cent
    assert decision_from_toml(saved(product=PURE, boxes={}).text).amendment() == PURE


def test_what_was_typed_stays_as_it_was_typed__analytic():
    texts = {"target": "6 %", "factor": "1.1", "depth": "10 cm"}
    record = decision_from_toml(saved(aim=texts, plan={"first": "2027-04-01", "cap": "20 lb/1000 ft^2"}).text)
    assert dict(record.aim) == texts | {"convention": "US"}
    assert dict(record.plan) == PICKED | {"first": "2027-04-01", "cap": "20 lb/1000 ft^2"}
